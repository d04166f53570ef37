"""A plan for another milk or mould: its brine follows the wheel, so that the salt stays alike, and
its warming follows the milk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from journal.reckoning.brine import GOUDA_M2_S, hours_for_share, uptake_share
from journal.records.instants import MINUTE_MS
from journal.records.makes import StageRun
from journal.records.plan_expected import expected
from journal.records.plans import Plan, Stage

WheelSize = tuple[float, float]  # width and height, mm
WARMED = ("warm", "pasteurise")
# Milk is warmed through the wall of its vessel, which grows as the milk to the power of 2/3: so the
# time goes with the cube root (our sum). Within half as much again it is left as it is.
_NEAR, _ROOT = 1.5, 1 / 3
_MOST_SHARE = 0.99  # a wheel that is salted through is not brined for ever


def for_milk(plan: Plan, litres: float) -> Plan:
    """The plan for another amount of milk: doses are for a litre and follow, the brine lasts as
    long as its wheel then wants, much more milk takes longer to warm."""
    return alike(plan, replace(plan, milk_l=litres))


def alike(before: Plan, after: Plan) -> Plan:
    """`after`, the plan `before` with another milk, mould or yield, its brine lengthened or
    shortened to whole minutes so that its wheel takes the same share of salt, and its warming as
    the milk takes it."""
    stages = tuple(stage_alike(stage, before, after) for stage in after.stages)
    return after if stages == after.stages else replace(after, stages=stages)


def stage_alike(stage: Stage, before: Plan, after: Plan) -> Stage:
    """A stage of `before` as it is in `after`."""
    if stage.kind in WARMED:
        return _warmed(stage, warming_share(before, after.milk_l))
    if stage.kind != "brine":
        return stage
    minutes = brine_min(stage.minutes, wheel_of(before), wheel_of(after))
    return stage if minutes == stage.minutes else stage.lasting(max(1.0, round(minutes)))


def stage_for_milk(plan: Plan, stage: Stage, litres: float) -> Stage:
    """A stage of the plan as it is for so much milk."""
    return stage_alike(stage, plan, replace(plan, milk_l=litres))


def minutes_typed_for(plan: Plan, stage: Stage, litres: float, minutes: float) -> float:
    """The length of a stage at the plan's own milk that is `minutes` for `litres`."""
    if stage.kind in WARMED:
        held = stage.minutes - stage.ramp_length_min
        return held + max(minutes - held, 1.0) / warming_share(plan, litres)
    if stage.kind != "brine":
        return minutes
    return brine_min(minutes, wheel_of(replace(plan, milk_l=litres)), wheel_of(plan))


def scales(plan: Plan, litres: float) -> bool:
    """Whether a stage of the plan lasts another time with so much milk."""
    far = warming_share(plan, litres) != 1
    return any(s.kind == "brine" or (far and s.kind in WARMED) for s in plan.stages)


def warming_share(plan: Plan, litres: float) -> float:
    """How much longer (shorter below 1) so much milk takes to warm than the plan's own."""
    share = litres / plan.milk_l
    return 1.0 if 1 / _NEAR <= share <= _NEAR else share**_ROOT


def _warmed(stage: Stage, share: float) -> Stage:
    """A stage whose ramp takes that much longer; what it holds after stays."""
    if share == 1:
        return stage
    ramp = max(1.0, round(stage.ramp_length_min * share))
    held = stage.minutes - stage.ramp_length_min
    slow = {"first_c_per_min": None, "first_min": None}  # whole minutes may end before it
    longer = replace(stage, **slow).lasting(held + ramp)  # type: ignore[arg-type]
    return longer if stage.ramp_min is None else replace(longer, ramp_min=ramp)


def brine_min(minutes: float, before: WheelSize | None, after: WheelSize | None) -> float:
    """The minutes in a brine that salt the wheel `after` as `minutes` do the wheel `before`.

    By the sum of `reckon brine`, for the same share of all that a wheel could take. The
    coefficient of a model gouda: another's gives the same within some 4 %.
    """
    if before is None or after is None or before == after:
        return minutes
    return _brine_min(minutes, before, after)


def wheel_of(plan: Plan) -> WheelSize | None:
    """Width and height of one wheel of the plan's milk; None where no mould is named."""
    height = expected(plan, plan.milk_l).height_mm
    return None if height is None or plan.mould_mm is None else (plan.mould_mm, height)


def as_set_up(plan: Plan, litres: float, runs: Sequence[StageRun]) -> Plan:
    """The plan of a make, its brine and warming as long as they were laid out when it began."""
    stages = list(plan.stages)
    for run in runs:
        minutes = (run.planned_end_ms - run.planned_begin_ms) / MINUTE_MS
        stage = stages[run.position] if run.position < len(stages) else None
        if stage is None or stage.kind not in ("brine", *WARMED) or minutes <= 0:
            continue
        if abs(minutes - stage.minutes) <= 0.01:
            continue
        stages[run.position] = stage.lasting(minutes)
        if stage.kind in WARMED and stage.ramp_min is not None:
            held = stage.minutes - stage.ramp_length_min
            stages[run.position] = replace(stages[run.position], ramp_min=max(minutes - held, 0.0))
    if tuple(stages) == plan.stages:
        return plan
    return replace(plan, milk_l=litres, stages=tuple(stages))


@lru_cache(maxsize=256)
def _brine_min(minutes: float, before: WheelSize, after: WheelSize) -> float:
    share = min(float(uptake_share(GOUDA_M2_S, minutes / 60, *before)), _MOST_SHARE)
    return 60 * hours_for_share(GOUDA_M2_S, share, *after)
