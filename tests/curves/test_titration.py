"""Who titrates is told of slow acid too: what acidity stands for, and what comes of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.acidity import basis, fan, fit, forecast
from journal.curves.culture_time import culture_in_min
from journal.curves.events import events
from journal.curves.plan_acid import planned_make
from journal.curves.titration import ph_of_acidity, spread_ph
from journal.records.makes import Make, Milk
from journal.records.plan_text import builtin_plan
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.wording import text_of

START_MS = 1_760_000_000_000
CHEDDAR = builtin_plan("cheddar type")


def read(hours, values, kind="whey-acidity", plan=CHEDDAR) -> WholeMake:
    """A make read so many hours after its culture went in."""
    at = START_MS + np.round((np.asarray(hours) * 60 + zero(plan)) * 60_000).astype(np.int64)
    trace = Trace(kind, at, np.asarray(values, float), np.zeros(len(at), np.uint8))
    return WholeMake(Make("HL-0001", 1, Milk(plan.milk_l), START_MS), plan, traces={kind: trace})


def zero(plan) -> float:
    return culture_in_min(planned_make(plan))


def slow(whole: WholeMake) -> list[str]:
    last = max(int(trace.at_ms[-1]) for trace in whole.traces.values())
    return [text_of(e.message) for e in events(whole, last + 60_000) if e.kind == "slow acid"]


# % lactic acid and the curd's pH of one step. Milk to pH 4.6: Mistry & Kosikowski 1985. Milk for a
# camembert: +0.05 % and pH 6.2 to 6.3 (University of Guelph). Whey of a cheddar at the drain and at
# the mill: 0.16 to 0.19 and 0.45 to 0.65 % (Thom & Fisk 1918), curd 6.05 and 5.35 (Guelph). Lactic
# whey at 24 h: 55 to 65 °D (after Corcy 1991), curd at 4.4 to 4.6 (common practice, no source).
PUBLISHED = [
    ("milk-acidity", "cow", 0.15 + 0.48, 4.6),
    ("milk-acidity", "cow", 0.15 + 0.05, 6.25),
    ("whey-acidity", "cow", 0.175, 6.05),
    ("whey-acidity", "cow", 0.55, 5.35),
    ("whey-acidity", "goat", 0.60, 4.5),
]


@pytest.mark.parametrize(("kind", "animal", "pct", "ph"), PUBLISHED)
def test_an_acidity_stands_for_the_published_ph_within_its_own_range(kind, animal, pct, ph) -> None:
    """Within twice the spread that the relation gives itself."""
    found = ph_of_acidity(np.array([pct]), animal, kind)
    assert abs(found[0] - ph) <= 2 * spread_ph(found)[0]


def test_many_titrations_are_no_surer_of_the_relation_than_one() -> None:
    for count in (1, 5, 20):
        ph = np.full(count, 5.6)
        assert spread_ph(ph)[0] / np.sqrt(count) >= 0.4 - 1e-9


def test_whey_stuck_at_11_degrees_for_six_hours_is_named() -> None:
    stuck = read(np.arange(2, 7), [0.11] * 5)
    assert slow(stuck)
    assert "do not eat it, do not age it" in slow(stuck)[0]
    assert forecast(stuck, 5.4).called
    assert slow(read([2], [0.11])) == []


def test_milk_that_stays_at_its_own_acidity_is_named_too() -> None:
    assert slow(read(np.arange(0, 7), [0.16] * 7, "milk-acidity"))


@pytest.mark.parametrize("upto", [1, 2, 3, 4, 5, 6])
def test_whey_that_sours_is_not_named(upto) -> None:
    """Cheddar's whey as printed in 1918: 0.16 to 0.19 % at the drain, 0.45 to 0.65 at the mill."""
    hours, pct = [2, 2.5, 3.5, 4.2, 5.2, 6], [0.12, 0.13, 0.16, 0.20, 0.32, 0.50]
    whole = read(hours[:upto], pct[:upto])
    assert slow(whole) == []
    assert not forecast(whole, 5.4).called


def test_both_acidities_feed_one_course() -> None:
    """A meter that says less than the burette, then both together, predict in between."""
    ph, acid = read([1, 3, 4], [6.55, 6.3, 6.1], "curd-ph"), read([2, 3, 4], [0.11, 0.12, 0.13])
    both = replace(ph, traces={**ph.traces, **acid.traces})
    at = [fan(w, to_min=zero(CHEDDAR) + 360).mid[-1] for w in (ph, both, acid)]
    assert at[0] < at[1] < at[2]
    assert (fit(both).readings, fit(both).titrated) == (6, 3)
    assert "6 acidity readings" in text_of(basis(fit(both)))


def test_a_ph_reading_outweighs_a_titration() -> None:
    ph, sour = read([4], [6.4], "curd-ph"), read([4], [0.30])
    both = replace(ph, traces={**ph.traces, **sour.traces})
    four = zero(CHEDDAR) + 240
    alone = [fan(w, from_min=four, to_min=four + 1).mid[0] for w in (ph, both)]
    assert alone[1] == pytest.approx(alone[0], abs=0.05)


def test_whey_under_water_tells_nothing() -> None:
    plan = builtin_plan("washed-curd type")
    assert fit(read([1.5, 5], [0.12, 0.06], plan=plan)).readings == 1


def test_whey_titrated_since_the_wash_is_left_out_and_the_curd_asked_for() -> None:
    """Water thins the whey of a washed curd, so that 11 °D for hours say nothing either way; who
    only titrates hears it instead of nothing. 11 °D are 0.099 % lactic acid: 0.009 % a degree."""
    washed = builtin_plan("washed-curd type")
    stuck = read(np.arange(3.0, 10.0), np.full(7, 0.099), plan=washed)
    asked = "7 acidity readings since the wash are left out"
    assert asked in text_of(forecast(stuck, 5.3).basis)
    assert text_of(forecast(stuck, 5.3).basis).endswith("Read the pH of the curd.")
    curd = read([8.0], [5.6], "curd-ph", washed).traces
    assert "left out" not in text_of(
        forecast(replace(stuck, traces=stuck.traces | curd), 5.3).basis
    )
    assert "left out" not in text_of(forecast(read([1.0], [0.099], plan=washed), 5.3).basis)
    assert "left out" not in text_of(
        forecast(read(np.arange(3.0, 10.0), np.full(7, 0.099)), 5.3).basis
    )
