"""What a plan's own acid targets say of its culture where there is no past make."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.acidity import basis, fit, forecast
from journal.curves.culture_time import culture_time
from journal.curves.leaning import usual
from journal.curves.plan_acid import planned_make
from journal.curves.plan_acid_targets import acid_targets_used, usual_of
from journal.curves.sigmoid import ph_at
from journal.records.plans import AcidTarget, Plan, Stage
from journal.wording import text_of

HELD = Stage("ripen", 300, target_c=31.0, ramp_min=0)


def plan_with(*stages: Stage) -> Plan:
    return Plan("Held at 31", (HELD, *stages), milk_c=31.0)


def gated(minutes: float, ph: float, kind: str = "curd-ph") -> Plan:
    """A plan that wants a pH, within 0.1, `minutes` after its begin."""
    first = replace(HELD, minutes=minutes - 10)
    acid_target = AcidTarget(kind, ph - 0.1, ph + 0.1, 0, 20)
    return Plan(
        "Held",
        (first, Stage("drain", 300, target_c=31.0, ramp_min=0, acid_target=acid_target)),
        milk_c=31,
    )


def told_ph(plan: Plan, minutes: float, whey: float = 0.0) -> float:
    tau = culture_time(planned_make(plan)).at(np.array([minutes]))
    return float(ph_at(usual_of(plan).mean, tau, whey)[0, 0])


def test_without_gates_it_is_the_wide_prior() -> None:
    mean, covariance = usual("mesophilic")
    found = usual_of(plan_with())
    assert found.mean == pytest.approx(mean)
    assert found.covariance == pytest.approx(covariance)
    assert acid_targets_used(plan_with()) == 0


@pytest.mark.parametrize("minutes", [140.0, 260.0])
@pytest.mark.parametrize("kind", ["curd-ph", "whey-ph"])
def test_a_gate_draws_the_usual_course_towards_it_but_not_all_the_way(minutes, kind) -> None:
    plan, whey = gated(minutes, 6.2, kind), float(kind == "whey-ph")
    bare = replace(plan, stages=tuple(replace(s, acid_target=None) for s in plan.stages))
    before, after = told_ph(bare, minutes, whey), told_ph(plan, minutes, whey)
    assert abs(after - 6.2) < 0.7 * abs(before - 6.2)
    assert np.all(np.diag(usual_of(plan).covariance) <= np.diag(usual_of(bare).covariance) + 1e-9)
    assert acid_targets_used(plan) == 1


def test_washed_curd_usually_ends_sweeter() -> None:
    """Gouda goes into the brine at 5.15 to 5.25, feta ends at 4.4, cheddar at 5.1 (Guelph)."""
    washed = replace(HELD, water_added_per_l=0.3)
    sour, sweet = usual_of(plan_with()).mean[1], usual_of(plan_with(washed)).mean[1]
    assert 4.4 <= sour <= 5.1
    assert sour < sweet <= 5.25


def test_gates_near_the_milks_own_ph_and_gates_of_titrated_acid_say_nothing() -> None:
    assert acid_targets_used(gated(60.0, 6.58, "milk-ph")) == 0
    assert acid_targets_used(gated(200.0, 0.2, "whey-acidity")) == 0


def test_a_plan_out_by_a_third_still_has_the_truth_in_its_range() -> None:
    """Its clock is believed no better than that, so both ends lie within the 95 % range."""
    plan = gated(240.0, 6.2)
    spread = np.sqrt(usual_of(plan).covariance[2, 2])
    assert 2 * spread > np.log(4 / 3)
    assert spread < np.sqrt(usual("mesophilic")[1][2, 2])


def test_makes_of_the_kitchen_outweigh_a_plan_that_is_wrong(kitchen_of) -> None:
    quick, slow = kitchen_of(plan=gated(140.0, 6.2)), kitchen_of(plan=gated(280.0, 6.2))
    course = np.array([6.62, 4.9, np.log(220), np.log(45), -0.8, 0.15])

    def read(kitchen, last: float):
        whole, at = kitchen.make(finished=False), np.arange(0, last, 25.0)
        ph = ph_at(course, culture_time(whole).at(at))[0]
        return replace(whole, traces={"curd-ph": kitchen.trace("curd-ph", at, ph)})

    def apart(count: int) -> float:
        at = [
            forecast(read(k, 60.0), 5.5, past=[fit(read(k, 500.0))] * count).reached_at_ms
            for k in (quick, slow)
        ]
        return abs(at[1] - at[0]) / 60_000

    assert apart(0) > 40
    assert apart(6) < 8


def test_the_basis_says_that_the_plans_gates_are_leant_on(kitchen_of) -> None:
    whole = kitchen_of(plan=gated(200.0, 6.2)).make(finished=False)
    assert text_of(basis(fit(whole))) == (
        "No pH reading yet and no past make, so this relies on the usual course of a "
        "mesophilic culture and the plan's acid targets."
    )
