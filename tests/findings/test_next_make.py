"""The next make: from the best known plan, within bounds; predictions that keep their word."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from journal.curves.plan_faults import faults
from journal.findings import AGE_KEY, FindingError, ScoreTable, Variable, study
from journal.findings import next_make as next_make_module
from journal.findings.additive import AdditiveFit, fit_additive
from journal.findings.adjustable import MadeByPlan, adjustables
from journal.findings.doses import CULTURES
from journal.findings.next_make import BOLD, CAREFUL, OF_ACID, ONE, makes_a_year, next_make
from journal.findings.plan_variables import PLAN_VARIABLES, plan_variable_of
from journal.findings.predict import PredictionBase, predict
from journal.findings.trade import family_of
from journal.findings.trials import Trials, _Few, best_settings
from journal.message import Message
from journal.records.instants import DAY_MS
from journal.records.plan_text import builtin_plans
from journal.sample.plans import plan_of
from journal.wording.next_make import proposal_notes
from tests.even_makes import versions
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


HARD_SIZE = plan_variable_of("curd_size").planned(HARD)


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
on dry, curd that drains for a day. What bounds are for is in plan_variables.py."""


@pytest.mark.parametrize("plan", [HARD, *builtin_plans()], ids=lambda plan: plan.name)
def test_every_plan_variable_reads_what_it_wrote_and_brings_no_fault(plan):
    """Every variable a plan settles can be moved, but for those named in CLOSED with the reason."""
    for plan_variable in PLAN_VARIABLES:
        own, moved = plan_variable.planned(plan), 0
        if own is None:
            continue
        step = {"curd_size": 2.0, "ph_at_milling": 0.1, "ph_at_drain": 0.1, "cook_rate": 0.05,
                "salt_in_curd": 0.3, "cook_temperature": 1.0}.get(
                plan_variable.key, own / 10)  # fmt: skip
        for value in plan_variable.values(plan, step):
            new = plan_variable.try_plan(plan, value)
            if new is None:
                continue
            moved += 1
            assert plan_variable.bounds[0] <= value <= plan_variable.bounds[1]
            assert plan_variable.planned(new) == pytest.approx(value, rel=0.06, abs=0.02)
            assert new != plan
            assert len(faults(new)) <= len(faults(plan))
            apart = (plan_variable.key, "milk_ripened", "cook_rate")
            others = [o for o in PLAN_VARIABLES if o.key not in apart]
            if plan_variable.key not in ("milk_ripened", "cook_rate", "cook_temperature"):
                for other in others:
                    assert other.planned(new) == other.planned(plan), (plan_variable.key, other.key)
        closed = CLOSED.get((plan.name, plan_variable.key))
        assert bool(moved) == (closed is None), (plan_variable.key, closed)


def made_of(t, plan=HARD, waiting=()):
    """Every make of a table by one plan, with what was done, and plans of makes that wait."""
    keys = [v.key for v in t.variables[:-1]]
    rows = zip(t.make, t.x, strict=True)
    done = [(code, dict(zip(keys, map(float, row), strict=False))) for code, row in rows]
    makes = [MadeByPlan(code, i + 1, i * 14 * DAY_MS, plan, values)
             for i, (code, values) in enumerate(done)]  # fmt: skip
    more = [MadeByPlan(f"HL-{900 + i}", 900 + i, (len(makes) + i) * 14 * DAY_MS, one, {})
            for i, one in enumerate(waiting)]  # fmt: skip
    return [*makes, *more]


def found_of(t, **more):
    return next_make(t, study(t, permutations=9), made_of(t, **more), a_year=26)


def test_careful_tries_three_changes_of_a_step_at_most_and_one_tries_one():
    for seed in range(3):
        found = found_of(table(np.random.default_rng(seed)))
        careful, one = found.of(CAREFUL), found.of(ONE)
        assert 1 <= len(careful.changes) <= 3
        assert len(one.changes) == 1
        best = found.best.plan
        for change in (*careful.changes, *one.changes):
            own = plan_variable_of(change.key).planned(best)
            assert change.was == pytest.approx(own, abs=10 ** -plan_variable_of(change.key).digits)
            assert change.trial
            assert change.gain.low80 < change.gain.mean < change.gain.high80


def test_the_best_known_plan_keeps_what_promises():
    for seed in range(3):
        best = found_of(table(np.random.default_rng(100 + seed), salt=0.8)).best
        salt = next(change for change in best.kept if change.key == "salt_in_curd")
        assert salt.value > salt.was
        assert salt.gain.low80 > 0
        assert plan_variable_of("salt_in_curd").planned(best.plan) == pytest.approx(
            salt.value, abs=0.02
        )
        assert best.score.low80 < best.score.mean < best.score.high80


def test_a_failed_trial_is_never_the_base():
    """The newest make went far off in salt and failed; or waits for its scores."""
    for seed in range(2):
        t = table(np.random.default_rng(seed), salt=0.4)
        x, y = t.x.copy(), t.y.copy()
        x[-1, 1], y[-1] = 1.6, 2.0
        low = plan_variable_of("salt_in_curd").try_plan(HARD, 1.6)
        one = ScoreTable("overall", t.make, t.wheel, y, t.y_se, t.variables, x)
        made = [*made_of(one)[:-1], replace(made_of(one)[-1], plan=low)]
        failed = next_make(one, study(one, permutations=9), made)
        assert failed.start.plan == low
        assert plan_variable_of("salt_in_curd").planned(failed.best.plan) > 2.2
        waiting = found_of(t, waiting=[low])
        assert waiting.start.plan == low
        assert plan_variable_of("salt_in_curd").planned(waiting.best.plan) > 2.2


def test_a_proposal_that_was_taken_is_not_made_again():
    t = table(np.random.default_rng(7))
    for kind in (CAREFUL, ONE, BOLD):
        taken = []
        for _ in range(4):
            plan = found_of(t, waiting=taken).of(kind).plan
            for other in taken:
                values = [(one.planned(plan), one.planned(other)) for one in PLAN_VARIABLES]
                assert any(a is not None and abs(a - b) > 0.01 * a for a, b in values), kind
            taken.append(plan)


def test_bounds_stay_where_they_were_however_often_a_proposal_is_followed():
    t = table(np.random.default_rng(8), salt=0.6)
    taken, first = [], {}
    for _ in range(8):
        found = found_of(t, waiting=taken)
        own = adjustables(found.start.plan, made_of(t, waiting=taken), "", t)
        bounds = {one.plan_variable.key: (one.low, one.high) for one in own}
        first = first or bounds
        for key, (low, high) in first.items():
            assert bounds[key] == pytest.approx((low, high), rel=0.01)  # a rate is rounded
        taken.append(found.of(BOLD).plan)
        for one in own:
            assert (
                one.low - 0.06 * one.low <= one.plan_variable.planned(taken[-1]) <= 1.06 * one.high
            )
            assert one.plan_variable.bounds[0] <= one.low <= one.high <= one.plan_variable.bounds[1]


def test_a_published_range_of_the_family_widens_the_bounds_and_is_named():
    plan = replace(HARD, name="cheddar type", style="dry-salted hard")
    t = table(np.random.default_rng(9))
    alone, family = (adjustables(plan, made_of(t, plan), name, t) for name in ("", "cheddar-type"))
    wider = {one.plan_variable.key: one for one in family}
    press = wider["time_in_the_press"]
    assert "Thom and Fisk" in press.source
    assert press.low <= 720
    assert press.high >= 1080
    assert not any(one.source for one in alone)


def test_culture_is_never_less_than_was_ever_used():
    t = table(np.random.default_rng(10))
    for one in adjustables(HARD, made_of(t), "", t):
        if one.plan_variable.key in CULTURES:
            assert one.low == pytest.approx(one.plan_variable.planned(HARD))


def test_it_ends_where_it_is_no_longer_wanted():
    """Also after the variables were looked at one by one: the rest takes as long again."""
    t = table(np.random.default_rng(0))
    asked = iter(range(len(t.variables) + 1))
    with refused(FindingError, "findings.stopped"):
        study(t, permutations=9, stop=lambda: next(asked) == len(t.variables))
    with refused(FindingError, "findings.stopped"):
        next_make(t, study(t, permutations=9), made_of(t), stop=lambda: True)


def test_too_few_makes_propose_nothing():
    found = found_of(table(np.random.default_rng(3), rows=4))
    assert found.best is None
    assert found.proposals == ()
    assert found.why == Message("findings.proposed-from-five")


def test_of_a_score_of_which_more_is_not_better_nothing_is_proposed():
    t = replace(table(np.random.default_rng(3)), score_name="bitter")
    assert found_of(t).why == Message("findings.more-not-better", score="bitter")


def test_makes_a_year_are_counted_where_nobody_says():
    t = table(np.random.default_rng(3))
    assert next_make(t, study(t, permutations=9), made_of(t)).a_year == 26
    assert makes_a_year([]) == 12
    for days in (2.0, 0.5):  # every other day; twice a day, which is more than there are days
        every = [MadeByPlan(f"HL-{i}", i, round(i * days * DAY_MS), HARD, {}) for i in range(365)]
        assert makes_a_year(every) == (182 if days == 2.0 else 365)


def test_the_range_of_a_foretold_make_holds_it():
    draw = np.random.default_rng(4)
    held80, held95, makes = [], [], 75
    for _ in range(makes):
        t = table(draw, curd=0.2)
        answer = study(t, permutations=9)
        ground = PredictionBase.of(t, t.make[-1])
        size, salt = float(draw.normal(HARD_SIZE, 1)), float(draw.normal(2.4, 0.3))
        report = predict(t, answer, ground, {"curd size": size, "salt in curd": salt})
        real = 6 + 0.2 * (size - HARD_SIZE) + 2 * (salt - 2.4) + 0.4 * draw.normal()
        held80.append(report.low80 <= real <= report.high80)
        held95.append(report.low95 <= real <= report.high95)
        assert report.low95 < report.low80 < report.score < report.high80 < report.high95
        assert report.sure_high80 - report.sure_low80 < report.high80 - report.low80
    assert np.mean(held80) == pytest.approx(0.8, abs=0.03 + 3 * math.sqrt(0.16 / makes))
    assert np.mean(held95) >= 0.92 - 3 * math.sqrt(0.0475 / makes)


def test_values_beyond_what_was_made_are_named_and_unknown_ones_refused():
    t = table(np.random.default_rng(5))
    answer = study(t, permutations=9)
    ground = PredictionBase.of(t, t.make[0])
    assert predict(t, answer, ground, {"curd size": 40.0}).outside == ("curd size",)
    assert predict(t, answer, ground, {}).against == pytest.approx(0.0)
    with refused(FindingError, "findings.no-such-variable", variable="moon"):
        predict(t, answer, ground, {"moon": 1.0})
    with refused(FindingError, "findings.make-without-score", make="HL-9999"):
        PredictionBase.of(t, "HL-9999")


def test_a_change_that_touches_the_acid_says_so():
    """In words; and what does not touch it does not."""
    for seed in range(2):
        found = found_of(table(np.random.default_rng(seed)))
        for proposal in (*found.proposals, found.best):
            every = {change.key for change in (*proposal.changes, *proposal.kept)}
            warned = any("acid may come" in words for words in proposal_notes(proposal))
            assert warned == bool(every & OF_ACID)


@pytest.mark.parametrize("plan", [HARD, *builtin_plans()], ids=lambda plan: plan.name)
def test_what_can_be_changed_lies_in_its_bounds_and_has_room_for_a_step(plan):
    """Times are planned by the minute, however fine a setting is."""
    found = adjustables(
        plan, [MadeByPlan("HL-1", 1, DAY_MS, plan, {})], "", table(np.random.default_rng(1))
    )
    for one in found:
        assert one.low - 1e-9 <= one.plan_variable.planned(plan) <= one.high + 1e-9
        assert one.high - one.low >= one.step
        if one.variable.unit == "min":
            assert one.planned(one.setting(one.plan_variable.planned(plan)) + 0.123) % 1 == 0


def test_in_which_order_changes_stand_changes_nothing():
    """What each is worth, alone and as a trial, is its own wherever it stands."""
    draw, k, order = np.random.default_rng(2), 3, np.array([2, 0, 1])
    columns = np.concatenate([[0], 1 + order, 1 + k + order])
    roots = 0.3 * draw.normal(size=(2, 1 + 2 * k, 1 + 2 * k))
    fit = AdditiveFit(0.3 * draw.normal(size=(2, 1 + 2 * k)), roots @ roots.transpose(0, 2, 1),
                      np.array([0.4, 0.6]), np.array([0.3, 0.5]), 6.0, k)  # fmt: skip
    turned = replace(fit, means=fit.means[:, columns],
                     covariances=fit.covariances[:, columns][:, :, columns])  # fmt: skip
    done, scored = draw.normal(size=(8, k)), np.arange(8) < 6
    trials = Trials(done, scored, np.full(k, -3.0), np.full(k, 3.0), 26.0)
    other = Trials(done[:, order], scored, trials.low, trials.high, 26.0)
    for one, there in zip(fit.each_gain(done), turned.each_gain(done[:, order]), strict=True):
        assert there == pytest.approx(one[:, order])
    base, drawn = best_settings(fit, trials), fit.draws(draw, 400)
    worth = _Few(fit, trials, base, drawn)._worth(base)
    again = _Few(turned, other, base[order], drawn[:, columns])._worth(base[order])
    assert again == pytest.approx(worth[:, order])


def test_bends_are_believed_by_the_room_each_change_has(monkeypatch):
    """Half of it, in steps, and a step at least."""
    seen = []
    monkeypatch.setattr(next_make_module, "fit_additive",
                        lambda given: seen.append(given) or fit_additive(given))  # fmt: skip
    t = table(np.random.default_rng(3))
    next_make(t, study(t, permutations=9), made_of(t), a_year=26)
    found = adjustables(HARD, made_of(t), family_of(HARD), t)
    room = [(one.high - one.low) / one.step for one in found]
    assert seen[0].half == pytest.approx(np.maximum(np.array(room) / 2, 1.0))
    assert max(room) > 3
