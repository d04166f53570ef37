"""Deviations as they happen, each known by a key that stays the same."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.acidity import fit
from journal.curves.culture_time import culture_time
from journal.curves.events import events
from journal.curves.sigmoid import ph_at
from journal.curves.until import whole_until
from journal.records.makes import Addition
from journal.records.plans import Plan, Stage
from journal.wording import text_of
from tests.vat_page import page_of

COURSE = np.array([6.62, 4.9, np.log(200), np.log(45), -0.8, 0.15])


def holding(kitchen, values, first=70.0, step=1.0):
    """A make in its setting at 31 ± 0.5 °C, which began at 56 min."""
    at = first + step * np.arange(len(values))
    return kitchen.make(kitchen.trace("milk-temp", at, values), begun=3, finished=False)


def test_outside_for_how_long_with_mean_and_worst(kitchen) -> None:
    whole = holding(kitchen, [31.0, 31.2, 31.8, 32.2, 32.0, 31.8, 31.2])
    (got,) = events(whole, kitchen.at(77))
    assert got.kind == "outside"
    assert got.since_ms == kitchen.at(72)
    assert got.minutes == pytest.approx(3.0)
    assert got.mean_c == pytest.approx((0.8 + 1.2 + 1.0 + 0.8) / 4)
    assert got.worst_c == pytest.approx(1.2)
    assert not got.lasts
    # The line between the readings leaves the allowed range at 71.5 and comes back at 75.5 min.
    assert "was above its allowed range for 4 min" in text_of(got.message)


def test_while_it_lasts_it_counts_on_and_its_key_stays(kitchen) -> None:
    whole = holding(kitchen, [31.0, 30.2, 30.1, 30.0, 29.9, 29.8, 29.8, 29.8])
    early, late = events(whole, kitchen.at(74.5)), events(whole, kitchen.at(77.5))
    assert (early[0].minutes, late[0].minutes) == pytest.approx((3.0, 6.0))  # as far as it was read
    assert early[0].key == late[0].key
    assert late[0].lasts
    assert late[0].worst_c == pytest.approx(-1.2)
    assert "has been below" in text_of(late[0].message)


def test_a_spoon_in_the_vat_is_no_event_nor_is_a_single_reading(kitchen) -> None:
    assert events(holding(kitchen, [31.0, 31.0, 33.0, 31.0, 31.0]), kitchen.at(74)) == []
    typed = holding(kitchen, [31.0, 32.0], step=10.0)
    assert events(typed, kitchen.at(84)) == []  # what followed it was not read
    twice = holding(kitchen, [31.0, 32.0, 32.0], step=10.0)
    (now,) = events(twice, kitchen.at(94))
    assert (now.minutes, now.lasts) == (pytest.approx(10.0), True)
    (old,) = events(twice, kitchen.at(125))
    assert not old.lasts  # not read for over half an hour: nothing is known of now


def test_two_strays_are_two_events_and_crossing_over_parts_them(kitchen) -> None:
    values = [32.0] * 5 + [31.0] + [32.0] * 5 + [30.0] * 5
    got = events(holding(kitchen, values), kitchen.at(86))
    assert [e.since_ms for e in got] == [kitchen.at(m) for m in (70, 76, 81)]
    assert len({e.key for e in got}) == 3
    assert [e.lasts for e in got] == [False, False, True]


def test_readings_to_come_change_nothing(kitchen) -> None:
    whole = holding(kitchen, [31.0, 32.0, 32.0, 32.0, 32.0, 31.0, 31.0])
    assert events(whole, kitchen.at(74)) == events(
        whole_until(whole, kitchen.at(74)), kitchen.at(74)
    )


def cooking(kitchen, rate, limit=None, until=122.0):
    stages = [*kitchen.plan.stages]
    stages[4] = replace(stages[4], limit_c_per_min=limit)
    kitchen.plan = replace(kitchen.plan, stages=tuple(stages))
    at = np.arange(104.0, until + 0.1, 2.0)
    trace = kitchen.trace("milk-temp", at, 31.0 + rate * (at - 104))
    return kitchen.make(trace, begun=5, finished=False)


def kinds(found):
    return [e.kind for e in found if e.kind != "outside"]


def test_the_cooks_rate_against_the_plan(kitchen_of) -> None:
    """Planned 0.20 °C/min: quicker by over 30 %, slower by over 30 %, or over the limit."""
    for rate, limit, output in (
        (0.2, None, []),
        (0.24, None, []),
        (0.28, None, ["quick"]),
        (0.12, None, ["lagging"]),
        (0.24, 0.21, ["quick"]),
        (0.24, 0.25, []),
    ):
        kitchen = kitchen_of()
        assert kinds(events(cooking(kitchen, rate, limit), kitchen.at(122))) == output


def test_a_cook_just_begun_is_not_judged_and_its_key_is_its_stage(kitchen_of) -> None:
    kitchen = kitchen_of()
    assert kinds(events(cooking(kitchen, 0.4, until=112), kitchen.at(112))) == []
    early, late = (events(cooking(kitchen_of(), 0.3), kitchen.at(m)) for m in (116, 122))
    assert kinds(early) == kinds(late) == ["quick"]
    keys = [[e.key for e in found if e.kind == "quick"] for found in (early, late)]
    assert keys[0] == keys[1]


def test_a_cook_that_is_over_stays_on_record_in_the_past(kitchen_of) -> None:
    kitchen = kitchen_of()
    whole = cooking(kitchen, 0.12, until=143)
    (now,) = (e for e in events(whole, kitchen.at(140)) if e.kind == "lagging")
    assert now.lasts
    assert text_of(now.message).startswith("The cook is slower than planned: 0.12 °C/min so far")
    runs = list(whole.runs)
    runs[4] = replace(runs[4], ended_ms=kitchen.at(144))
    runs[5] = replace(runs[5], began_ms=kitchen.at(144), ended_ms=None)
    over = replace(whole, runs=tuple(runs))
    (then,) = (e for e in events(over, kitchen.at(160)) if e.kind == "lagging")
    assert not then.lasts
    assert then.key == now.key
    assert then.minutes == pytest.approx(40)
    assert text_of(then.message) == (
        "The cook was slower than planned: 0.12 °C/min, planned 0.20 °C/min."
    )


def test_milk_warms_from_the_cold_at_its_own_pace_but_not_beyond(kitchen) -> None:
    at = np.arange(1.0, 26.0, 2.0)
    quicker = kitchen.trace("milk-temp", at, np.minimum(8 + 1.2 * at, 31.5))
    assert events(kitchen.make(quicker, begun=1, finished=False), kitchen.at(25)) == []
    hotter = kitchen.trace("milk-temp", at, np.minimum(8 + 1.6 * at, 34.0))
    (got,) = events(kitchen.make(hotter, begun=1, finished=False), kitchen.at(25))
    assert (got.kind, got.worst_c > 0) == ("outside", True)


SOUR = Plan("Held at 31", (Stage("ripen", 900, target_c=31.0, ramp_min=0),), milk_c=31.0)


def souring(kitchen, minutes, factor=1.0):
    """A make whose culture takes `factor` times as long."""
    whole = kitchen.make(finished=False)
    course = COURSE + np.array([0, 0, np.log(factor), np.log(factor), 0, 0])
    ph = ph_at(course, culture_time(whole).at(np.asarray(minutes, float)))[0]
    ph += np.random.default_rng(3).normal(0, 0.01, len(ph))
    return replace(whole, traces={"curd-ph": kitchen.trace("curd-ph", minutes, ph)})


def test_slow_acid_is_named_before_the_six_hours_are_over_and_keeps_its_key(kitchen_of) -> None:
    kitchen = kitchen_of(plan=SOUR)
    past = [fit(souring(kitchen, np.arange(0, 500, 25.0))) for _ in range(5)]
    slow, sound = (souring(kitchen, np.arange(0, 400, 25.0), f) for f in (2.2, 1.0))
    assert events(sound, kitchen.at(300), past) == []
    assert events(slow, kitchen.at(60), past) == []
    early, late = (events(slow, kitchen.at(m), past) for m in (260, 380))
    assert [e.kind for e in early] == ["slow acid"]
    assert early[0].key == late[0].key
    assert early[0].since_ms == kitchen.start_ms
    assert early[0].minutes == pytest.approx(260)
    for words in ("Staphylococcus aureus", "2006 69:2161", "Common practice", "do not eat it"):
        assert words in text_of(early[0].message)
    for borrowed in ("pH 5.8", "pH 6.3", "Salers", "Saint-Nectaire"):  # of another family of cheese
        assert borrowed not in text_of(early[0].message)


def test_what_the_page_says(kitchen_of) -> None:
    kitchen = kitchen_of()
    output = page_of(cooking(kitchen, 0.12), kitchen.at(122))
    assert "behind" in output.splitlines()[0]
    assert "At 0.20 °C/min, the most the plan allows" in output
    assert (
        "6 min outside the range" in output
    )  # the newest alone; that the cook lags is in the list (F12)
    quiet = kitchen_of()
    assert page_of(quiet.make(finished=True), quiet.at(300)).strip() == ""


def test_a_make_until_an_instant_has_nothing_later(kitchen) -> None:
    whole = kitchen.make(kitchen.trace("milk-temp", [10, 50, 100], [20, 31, 31.0]))
    added = Addition(1, 1, "culture", "mixed", 1.0, "g", kitchen.at(27))
    got = whole_until(replace(whole, additions=(added,)), kitchen.at(26.5))
    assert got.make.finished_ms is None
    assert len(got.trace("milk-temp")) == 1
    assert [r.began_ms is not None for r in got.runs] == [True, True] + [False] * 5
    assert got.runs[1].ended_ms is None
    assert got.additions == ()
    assert whole_until(whole, kitchen.at(5)).traces == {}
