"""A plan for another milk or mould: its brine follows the wheel by the program's own sum."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from journal.keeping import Journal
from journal.reckoning.brine import (
    _roots,
    hours_for_share,
    salt_after_brine_pct,
    uptake_share,
)
from journal.records.drafts import draft_of
from journal.records.makes import Milk
from journal.records.plan_scaled import brine_min, for_milk, wheel_of
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import Plan, Stage
from journal.records.stage_typed import read_cell
from journal.records.stage_written import cell_text
from journal.records.tables import table

GOUDA = builtin_plan("washed-curd type")
MOISTURE = 43.0  # cancels out


def brine(plan: Plan) -> Stage:
    return next(stage for stage in plan.stages if stage.kind == "brine")


def salt_pct(plan: Plan) -> float:
    wheel = wheel_of(plan)
    assert wheel is not None
    stage = brine(plan)
    share = uptake_share(2.3e-10, stage.minutes / 60, *wheel)
    return float(salt_after_brine_pct(MOISTURE, stage.brine_pct or 0, share))


BRINED = [plan for plan in builtin_plans() if any(s.kind == "brine" for s in plan.stages)]


@pytest.mark.parametrize("litres", [3.0, 5.0, 24.0, 45.0])
@pytest.mark.parametrize("plan", BRINED, ids=lambda plan: plan.name)
def test_a_wheel_of_any_size_is_salted_alike(plan: Plan, litres: float) -> None:
    wanted = salt_pct(plan)
    assert 1.5 < wanted < 3.0
    assert salt_pct(for_milk(plan, litres)) == pytest.approx(wanted, rel=0.01)


@pytest.mark.parametrize("name", ["alpine type", "tomme", "washed-curd type", "grana type"])
def test_left_as_it_was_three_litres_would_take_more_than_twice_as_much_salt(name: str) -> None:
    plan = builtin_plan(name)
    assert salt_pct(replace(plan, milk_l=3.0)) > 2 * salt_pct(plan)


def test_the_plans_own_milk_changes_nothing() -> None:
    for plan in builtin_plans():
        assert for_milk(plan, plan.milk_l) == plan


def test_doses_stay_by_the_litre_and_other_stages_as_they_are() -> None:
    small = for_milk(GOUDA, 3.0)
    assert small.milk_l == 3.0
    pairs = list(zip(GOUDA.stages, small.stages, strict=True))
    assert all(a == b for a, b in pairs if a.kind not in ("brine", "warm"))
    (warm,) = [(a, b) for a, b in pairs if a.kind == "warm"]
    assert warm[1] == warm[0].lasting(19.0)  # 30 min by the cube root of a quarter


@pytest.mark.parametrize("name", ["cheddar type", "quark", "yoghurt"])
def test_a_make_of_much_milk_keeps_the_warming_it_began_with(name: str, tmp_path: Path) -> None:
    plan = builtin_plan(name)
    litres = 3 * plan.milk_l
    with Journal.create(tmp_path / "k.vatside", letters="HL", zone="UTC") as journal:
        make = journal.makes.begin(plan, Milk(litres), 1_800_000_000_000)
    with Journal.open(tmp_path / "k.vatside") as again:
        went = again.makes.plan_of(again.makes.by_code(make.code)).stages[0]
    assert went == for_milk(plan, litres).stages[0]
    assert went.minutes > plan.stages[0].minutes


def test_a_length_typed_for_much_milk_stands_as_it_was_typed() -> None:
    plan = builtin_plan("cheddar type")
    read = read_cell("minutes", "70", plan.stages[0], plan, 36.0)
    changed = replace(plan, stages=(read.stage, *plan.stages[1:]))
    assert cell_text(changed, read.stage, "minutes", 36.0) == "70"
    assert read.stage.minutes < 70


def test_without_a_mould_the_brine_stays() -> None:
    loose = replace(GOUDA, mould_mm=None)
    assert brine(for_milk(loose, 3.0)).minutes == brine(GOUDA).minutes


def test_the_length_hardly_hangs_on_whose_diffusion_it_is() -> None:
    """Over all published coefficients (Dairy Sci. Technol. 90 (2010), table II)."""
    rows = table("salt_diffusion")
    both = [float(v) for name in ("low_1e10_m2_s", "high_1e10_m2_s") for v in rows[name]]
    before, after = wheel_of(GOUDA), wheel_of(replace(GOUDA, milk_l=3.0))
    assert before is not None
    assert after is not None
    hours = brine_min(brine(GOUDA).minutes, before, after) / 60
    for coefficient in {min(both), max(both)}:
        share = uptake_share(coefficient * 1e-10, brine(GOUDA).minutes / 60, *before)
        other = hours_for_share(coefficient * 1e-10, float(share), *after)
        assert hours == pytest.approx(other, rel=0.05)


def test_the_zeros_are_those_of_scipy() -> None:
    from scipy.special import jn_zeros

    assert np.abs(_roots() - jn_zeros(0, 200)).max() < 1e-7


def test_in_a_draft_the_brine_follows_milk_mould_and_yield() -> None:
    draft = draft_of(GOUDA)
    for changed in ({"milk_l": 3.0}, {"mould_mm": 110.0}, {"yield_pct": 9.0}):
        plan = draft.with_head(**changed).plan()
        assert plan is not None
        assert brine(plan).minutes != brine(GOUDA).minutes
        assert salt_pct(plan) == pytest.approx(salt_pct(GOUDA), rel=0.01)
    named = draft.with_head(style="ours").plan()
    assert named is not None
    assert brine(named).minutes == brine(GOUDA).minutes


def test_a_length_typed_for_another_milk_is_the_length_shown_for_it() -> None:
    stage = brine(GOUDA)
    typed = read_cell("minutes", "2 h 37", stage, GOUDA, 3.0).stage
    assert cell_text(GOUDA, typed, "minutes", 3.0) == "157"
    assert typed.minutes > 15 * 60  # what that is for the plan's own twelve litres
    # and what stands there unchanged keeps its exact value
    text = cell_text(GOUDA, stage, "minutes", 3.0)
    assert read_cell("minutes", text, stage, GOUDA, 3.0).stage == stage
    press = next(s for s in GOUDA.stages if s.kind == "press")
    assert read_cell("minutes", "70", press, GOUDA, 3.0).stage.minutes == 70
