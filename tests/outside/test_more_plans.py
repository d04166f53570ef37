"""The further kinds against what is published of them, at their own milk and at any other.

data/kind_schedules.csv has a row for each published figure, with its source and how it was read;
what is from memory is in no row, and said to be so in the plan's file.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from journal.curves.plan_faults import faults_at
from journal.curves.plan_heat import meets_pair, minutes_above, warmed
from journal.records.plan_expected import of_curd_pct
from journal.records.plan_scaled import for_milk, warming_share
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import Plan, Stage

DENSITY = 1.030  # kg/l, producer milk at 20 °C (University of Guelph, Goff)
Row = dict[str, str]
with (Path(__file__).parent / "data" / "kind_schedules.csv").open(encoding="utf-8") as _file:
    ROWS = list(csv.DictReader(_file))
MORE = sorted({row["plan"] for row in ROWS})
LITRES = (2.0, 3.0, 4.5, 6.0, 9.0, 12.0, 17.0, 25.0, 40.0, 60.0)


def stage_of(plan: Plan, label: str) -> Stage:
    return next(stage for stage in plan.stages if stage.label == label)


def dosed(stage: Stage, *kinds: str) -> float:
    """Of an ingredient for a litre of milk."""
    return sum(dose.per_litre for dose in stage.doses if dose.kind in kinds)


def held_min(plan: Plan, stage: Stage) -> float:
    """How long a stage stands within 2 °C of its target."""
    from_c = next(start for one, start in warmed(plan) if one is stage)
    assert stage.target_c is not None
    if stage.kind == "pasteurise":
        return stage.minutes - stage.ramp_length_min
    return minutes_above(stage, from_c, 90.0)


def value_of(plan: Plan, row: Row) -> tuple[float, float]:
    """What the plan says of a row, as a range."""
    what = row["what"]
    if not row["stage"]:
        one = {
            "yield_pct": plan.yield_pct, "room_c": plan.room_c, "room_pct": plan.room_humidity_pct,
            "eat_from_days": plan.eat_from_days, "protein_fat": plan.protein_fat,
        }[what]  # fmt: skip
        assert one is not None
        return one, one
    stage = stage_of(plan, row["stage"])
    gate = stage.acid_target
    if what in ("ph", "acidity_pct"):
        assert gate is not None
        return gate.low, gate.high
    if what == "ph_low_to":
        assert gate is not None
        return gate.high, gate.high
    one = {
        "target_c": lambda: stage.target_c,
        "minutes": lambda: stage.minutes,
        "held_min": lambda: held_min(plan, stage),
        "size_mm": lambda: stage.size_mm,
        "brine_pct": lambda: stage.brine_pct,
        "water_c": lambda: stage.water_c,
        "whey_share": lambda: stage.whey_drawn_per_l,
        "culture_pct": lambda: dosed(stage, "culture") / 10,
        "g_per_kg": lambda: dosed(stage, "other") / DENSITY,
        "salt_pct": lambda: of_curd_pct(plan, dosed(stage, "salt"), 1.0),
        "rennet_ml_per_1000_kg": lambda: 1000 * dosed(stage, "rennet") / DENSITY,
    }[what]()
    assert one is not None
    return one, one


def test_every_new_plan_has_its_rows() -> None:
    assert len(MORE) == 21
    assert set(MORE) <= {plan.name for plan in builtin_plans()}
    assert len(ROWS) >= 80
    assert all(row["source"] for row in ROWS)


def beside(low: float, high: float, row: Row) -> bool:
    """Within the published range, to half of its last digit or a hundredth of it."""
    slack = 0.006 * max(abs(float(row["high"])), 1.0)
    return float(row["low"]) - slack <= low and high <= float(row["high"]) + slack


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['plan']}-{r['stage']}-{r['what']}")
def test_a_published_figure(row: Row) -> None:
    low, high = value_of(builtin_plan(row["plan"]), row)
    assert beside(low, high, row), (low, high)


@pytest.mark.parametrize("name", MORE)
def test_other_milk_leaves_every_figure_within_what_is_published(name: str) -> None:
    """Only warming, and a brine by its wheel, are of another length: no row here is of them."""
    plan = builtin_plan(name)
    for litres in LITRES:
        scaled = for_milk(plan, litres)
        for row in ROWS:
            if row["plan"] == name:
                assert beside(*value_of(scaled, row), row), (litres, row)


@pytest.mark.parametrize("plan", builtin_plans(), ids=lambda plan: plan.name)
def test_any_milk_from_two_to_sixty_litres(plan: Plan) -> None:
    """No fault, or the one sentence that says from how much milk on the plan works: and from there
    on it does."""
    for litres in LITRES:
        found = faults_at(plan, litres)
        if not found:
            continue
        (only,) = found
        assert only.message.id == "curves.little-milk", litres
        least = only.message.values["least_l"]
        assert litres < least <= plan.milk_l
        assert faults_at(plan, least) == []


@pytest.mark.parametrize("plan", builtin_plans(), ids=lambda plan: plan.name)
def test_what_pasteurises_does_so_with_any_milk(plan: Plan) -> None:
    for litres in (plan.milk_l, *LITRES):
        scaled = for_milk(plan, litres)
        for stage, from_c in warmed(scaled):
            assert stage.kind != "pasteurise" or meets_pair(scaled, stage, from_c), litres


def test_much_more_milk_warms_by_the_cube_root_and_a_little_more_not_at_all() -> None:
    """Its vessel's wall grows as the milk to the power of 2/3 (our sum)."""
    plan = builtin_plan("paneer")
    heat = plan.stages[0]
    assert for_milk(plan, 12.0).stages[0] == heat
    eight = for_milk(plan, 80.0).stages[0]
    assert warming_share(plan, 80.0) == pytest.approx(2.0)
    assert eight.ramp_min == 2 * (heat.ramp_min or 0)
    assert eight.minutes - (eight.ramp_min or 0) == heat.minutes - (heat.ramp_min or 0)
    assert for_milk(plan, 1.25).stages[0].ramp_min == (heat.ramp_min or 0) / 2
