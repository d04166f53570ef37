"""The next make: single changes within bounds, with reasons; foretelling that keeps its word."""

from __future__ import annotations

import math

import numpy as np
import pytest

from journal.curves.plan_faults import faults
from journal.findings import AGE_KEY, FindingError, ScoreTable, Variable, study
from journal.findings.levers import LEVERS, lever_of
from journal.findings.next_make import next_make
from journal.findings.predict import Ground, predict
from journal.message import Message
from journal.records.plan_text import builtin_plans
from journal.sample.design import versions
from journal.sample.plans import plan_of
from journal.wording import text_of
from tests.refusals import refused

HARD = plan_of(next(v for v in versions(1) if not v.washed), 1, "a")


def table(draw, rows=24, curd=0.0, salt=0.6, spread=1.0, curd_spread=1.0):
    x = np.column_stack(
        [
            HARD_SIZE + curd_spread * draw.normal(size=rows),
            2.4 + 0.3 * spread * draw.normal(size=rows),
            100 + 30 * draw.normal(size=rows),
        ]
    )
    y = 6 + curd * (x[:, 0] - HARD_SIZE) + salt * (x[:, 1] - 2.4) / 0.3
    y = y + 0.4 * draw.normal(size=rows)
    variables = [
        Variable("curd size", unit="mm", step=2.0),
        Variable("salt in curd", unit="%", step=0.3),
        Variable("age at tasting", AGE_KEY, "days", 30.0),
    ]
    return ScoreTable("overall", [f"HL-{i:04d}" for i in range(rows)], ["A"] * rows, y,
                      np.full(rows, np.nan), variables, x)  # fmt: skip


HARD_SIZE = lever_of("curd_size").planned(HARD)


OUTSIDE, HOT = "outside of what is ever proposed", "too hot for its culture"
CLOSED = {
    ("alpine type", "cook_temperature"): HOT,
    ("blue type", "culture_dose_in_ml"): OUTSIDE,
    ("blue type", "ph_at_drain"): OUTSIDE,
    ("blue type", "salt_in_curd"): OUTSIDE,
    ("brined white", "culture_dose_in_ml"): OUTSIDE,
    ("brined white", "ph_at_drain"): OUTSIDE,
    ("brined white", "salt_in_curd"): OUTSIDE,
    ("camembert type", "culture_dose_in_ml"): OUTSIDE,
    ("camembert type", "heal"): OUTSIDE,
    ("camembert type", "ph_at_drain"): OUTSIDE,
    ("cheddar type", "culture_dose_in_ml"): OUTSIDE,
    ("lactic", "set"): OUTSIDE,
    ("washed-curd type", "culture_dose_in_ml"): OUTSIDE,
    ("brown whey cheese", "cook_rate"): OUTSIDE,
    ("brown whey cheese", "cook_temperature"): OUTSIDE,
    ("butter", "culture_dose_in_ml"): OUTSIDE,
    ("caerphilly type", "culture_dose_in_ml"): OUTSIDE,
    ("caerphilly type", "cook_rate"): OUTSIDE,
    ("caerphilly type", "salt_in_curd"): OUTSIDE,
    ("colby type", "culture_dose_in_ml"): OUTSIDE,
    ("cream cheese", "culture_dose_in_ml"): OUTSIDE,
    ("cream cheese", "salt_in_curd"): OUTSIDE,
    ("cultured cream", "culture_dose_in_ml"): OUTSIDE,
    ("goat with ash", "culture_dose_in_ml"): OUTSIDE,
    ("goat with ash", "set"): OUTSIDE,
    ("grana type", "culture_dose_in_ml"): OUTSIDE,
    ("grana type", "cook_temperature"): HOT,
    ("jack type", "culture_dose_in_ml"): OUTSIDE,
    ("mozzarella type", "culture_dose_in_ml"): OUTSIDE,
    ("pecorino type", "culture_dose_in_ml"): OUTSIDE,
    ("pecorino type", "ph_at_drain"): OUTSIDE,
    ("quark", "culture_dose_in_ml"): OUTSIDE,
    ("queso blanco", "ph_at_drain"): OUTSIDE,
    ("smoked stretched curd", "culture_dose_in_ml"): OUTSIDE,
    ("strained yoghurt", "culture_dose_in_ml"): OUTSIDE,
    ("washed rind", "culture_dose_in_ml"): OUTSIDE,
    ("washed rind", "ph_at_drain"): OUTSIDE,
    ("wensleydale type", "culture_dose_in_ml"): OUTSIDE,
    ("wensleydale type", "cook_rate"): OUTSIDE,
    ("wensleydale type", "ph_at_drain"): OUTSIDE,
    ("yoghurt", "culture_dose_in_ml"): OUTSIDE,
}
"""What a plan settles and nothing is proposed of, and why: doses of bulk starter in ml, salt laid
on dry, curd that drains for a day. What bounds are for is in levers.py."""


@pytest.mark.parametrize("plan", [HARD, *builtin_plans()], ids=lambda plan: plan.name)
def test_every_lever_reads_what_it_wrote_and_brings_no_fault(plan):
    """Every variable a plan settles can be moved, but for those named in CLOSED with the reason."""
    for lever in LEVERS:
        own, moved = lever.planned(plan), 0
        if own is None:
            continue
        step = {"curd_size": 2.0, "ph_at_milling": 0.1, "ph_at_drain": 0.1, "cook_rate": 0.05,
                "salt_in_curd": 0.3, "cook_temperature": 1.0}.get(lever.key, own / 10)  # fmt: skip
        for value in lever.values(plan, step):
            new = lever.try_plan(plan, value)
            if new is None:
                continue
            moved += 1
            assert lever.bounds[0] <= value <= lever.bounds[1]
            assert lever.planned(new) == pytest.approx(value, rel=0.06, abs=0.02)
            assert new != plan
            assert len(faults(new)) <= len(faults(plan))
            others = [o for o in LEVERS if o.key not in (lever.key, "milk_ripened", "cook_rate")]
            if lever.key not in ("milk_ripened", "cook_rate", "cook_temperature"):
                for other in others:
                    assert other.planned(new) == other.planned(plan), (lever.key, other.key)
        closed = CLOSED.get((plan.name, lever.key))
        assert bool(moved) == (closed is None), (lever.key, closed)


def test_what_hardly_moved_teaches_the_most():
    """In every one of twelve journals: a curd size of sd 0.3 mm, whose step is 2 mm."""
    for seed in range(12):
        t = table(np.random.default_rng(seed), curd_spread=0.3)
        found = next_make(t, study(t, permutations=9), t.make[-1], HARD)
        assert found.learn.key == "curd_size"
        assert text_of(found.learn.title).startswith("Change only the curd size:")
        assert found.learn.reason.id == "findings.learn-moved-little"
        assert found.learn.reason.values["then"].id == "findings.would-halve"
        assert "it was only between" in text_of(found.learn.reason)
        assert "would halve the range of its effect" in text_of(found.learn.reason)
        assert found.learn.stage == next(i for i, s in enumerate(HARD.stages) if s.kind == "cut")
        assert lever_of("curd_size").planned(found.learn.plan) == pytest.approx(found.learn.value)


def test_what_is_said_to_halve_a_range_does():
    """Two more makes with the change, in every one of twelve journals."""
    for seed in range(12):
        draw = np.random.default_rng(seed)
        t = table(draw, curd_spread=0.3)
        before = study(t, permutations=9)
        found = next_make(t, before, t.make[-1], HARD)
        x = np.vstack([t.x, t.x[-2:]])
        x[-2:, 0] = found.learn.value
        y = 6 + 2 * (x[-2:, 1] - 2.4) + 0.4 * draw.normal(size=2)
        more = ScoreTable("overall", [*t.make, "HL-1", "HL-2"], ["A"] * len(x), np.append(t.y, y),
                          np.full(len(x), np.nan), t.variables, x)  # fmt: skip
        was, now = (s.finding("curd size") for s in (before, study(more, permutations=9)))
        assert now.high80 - now.low80 <= (was.high80 - was.low80) / 2


def test_it_ends_where_it_is_no_longer_wanted():
    """Also after the variables were looked at one by one: the rest takes as long again."""
    t = table(np.random.default_rng(0))
    asked = iter(range(len(t.variables) + 1))
    with refused(FindingError, "findings.stopped"):
        study(t, permutations=9, stop=lambda: next(asked) == len(t.variables))
    with refused(FindingError, "findings.stopped"):
        next_make(t, study(t, permutations=9), t.make[-1], HARD, stop=lambda: True)


def test_what_never_moved_is_said_so():
    for seed in range(12):
        t = table(np.random.default_rng(seed), curd_spread=0.0)
        found = next_make(t, study(t, permutations=9), t.make[-1], HARD)
        assert found.learn.key == "curd_size"
        assert found.learn.reason.id == "findings.learn-never-varied"
        assert "it was always" in text_of(found.learn.reason)


def test_improving_stays_where_it_was_made_before_and_is_true():
    wins = 0
    for seed in range(20):
        t = table(np.random.default_rng(100 + seed))
        answer = study(t, permutations=9)
        found = next_make(t, answer, t.make[-1], HARD)
        if found.improve is None:
            continue
        wins += 1
        assert found.improve.key == "salt_in_curd"
        assert found.improve.value <= max(t.x[:, 1].max() * 1.05, 3.2)
        gain = found.improve.gain
        assert gain.against_low80 > 0
        assert not gain.outside
    assert wins >= 15


def test_noise_promises_nothing_mostly():
    promised = 0
    for seed in range(30):
        t = table(np.random.default_rng(200 + seed), rows=12, salt=0.0)
        found = next_make(t, study(t, permutations=9), t.make[-1], HARD)
        promised += found.improve is not None
        assert found.learn is not None
        if found.improve is None:
            assert found.why == Message("findings.nothing-promises")
    assert promised <= 30 * 0.4  # two variables, 80 % ranges: about a third by chance


def test_too_few_makes_propose_nothing():
    t = table(np.random.default_rng(3), rows=4)
    found = next_make(t, study(t, permutations=9), t.make[-1], HARD)
    assert found.learn is None
    assert found.why == Message("findings.proposed-from-five")


def test_the_range_of_a_foretold_make_holds_it():
    draw = np.random.default_rng(4)
    held80, held95 = [], []
    for _ in range(150):
        t = table(draw, curd=0.2)
        answer = study(t, permutations=9)
        ground = Ground.of(t, t.make[-1])
        size, salt = float(draw.normal(HARD_SIZE, 1)), float(draw.normal(2.4, 0.3))
        report = predict(t, answer, ground, {"curd size": size, "salt in curd": salt})
        real = 6 + 0.2 * (size - HARD_SIZE) + 2 * (salt - 2.4) + 0.4 * draw.normal()
        held80.append(report.low80 <= real <= report.high80)
        held95.append(report.low95 <= real <= report.high95)
        assert report.low95 < report.low80 < report.score < report.high80 < report.high95
        assert report.sure_high80 - report.sure_low80 < report.high80 - report.low80
    assert np.mean(held80) == pytest.approx(0.8, abs=0.03 + 3 * math.sqrt(0.16 / 150))
    assert np.mean(held95) >= 0.92 - 3 * math.sqrt(0.0475 / 150)


def test_values_beyond_what_was_made_are_named_and_unknown_ones_refused():
    t = table(np.random.default_rng(5))
    answer = study(t, permutations=9)
    ground = Ground.of(t, t.make[0])
    assert predict(t, answer, ground, {"curd size": 40.0}).outside == ("curd size",)
    assert predict(t, answer, ground, {}).against == pytest.approx(0.0)
    with refused(FindingError, "findings.no-such-variable", variable="moon"):
        predict(t, answer, ground, {"moon": 1.0})
    with refused(FindingError, "findings.make-without-score", make="HL-9999"):
        Ground.of(t, "HL-9999")


def test_a_change_that_touches_the_acid_says_to_keep_to_the_gates():
    draw = np.random.default_rng(6)
    t = table(draw)
    cook = lever_of("cook_temperature").planned(HARD)
    x = np.column_stack([cook + 0.1 * draw.normal(size=24), t.x[:, 2]])
    variables = [Variable("cook temperature", unit="°C", step=1.0), t.variables[2]]
    one = ScoreTable("overall", t.make, t.wheel, t.y, t.y_se, variables, x)
    found = next_make(one, study(one, permutations=9), one.make[-1], HARD)
    assert found.learn.key == "cook_temperature"
    assert text_of(found.learn.reason).endswith("watch the acid targets.")
    salty = next_make(t, study(t, permutations=9), t.make[-1], HARD)
    assert "acid targets" not in text_of(salty.learn.reason)
