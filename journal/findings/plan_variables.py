"""What a plan can change of a make variable, and how far it is safe to.

Bounds are those of common practice, no source, unless one is named; they are deliberately narrow:
a change is proposed to be made once, by someone who will eat the cheese. Nothing here ever makes
milk raw, acid slower than a kitchen has seen, or salt less than a hard cheese wants.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from journal.curves.growth import culture
from journal.curves.plan_faults import MOST_PRESSURE_KPA, faults
from journal.findings.error import FindingError
from journal.records import RecordError
from journal.records.plan_expected import of_curd_pct, press_load_kg
from journal.records.plans import AcidTarget, Plan, Stage
from journal.records.spoon_weight import POWDERS

HOTTEST_BELOW_C = 2.0  # a cook stays so far under the heat its culture dies at
ReadPlan = Callable[[Plan], float | None]
ChangePlan = Callable[[Plan, float], Plan]


@dataclass(frozen=True)
class PlanVariable:
    """A variable a plan settles.

    Parameters
    ----------
    key : str
        Of the make variable.
    planned : callable
        The plan's own value in the variable's unit; None where the plan does not say.
    changed : callable
        The plan with another value.
    shares : (low, high)
        How far a value may go, as shares of the plan's own.
    bounds : (low, high)
        How far it may ever go.
    digits : int
        Of a proposed value.
    """

    key: str
    planned: ReadPlan
    changed: ChangePlan
    shares: tuple[float, float]
    bounds: tuple[float, float]
    digits: int

    def values(self, plan: Plan, step: float, most: int = 3) -> list[float]:
        """Values a few steps either side of the plan's own, within the bounds."""
        own = self.planned(plan)
        if own is None or not step or not np.isfinite(step):
            return []
        low = max(self.bounds[0], min(self.shares[0] * own, own))
        high = min(self.bounds[1], max(self.shares[1] * own, own))
        found = {round(own + n * abs(step), self.digits) for n in range(-most, most + 1) if n}
        return sorted(v for v in found if low <= v <= high and abs(v - own) > 1e-9)

    def try_plan(self, plan: Plan, value: float) -> Plan | None:
        """The plan with that value; None where it cannot be or brings a fault of its own."""
        try:
            new = self.changed(plan, value)
        except (RecordError, FindingError):
            return None
        return new if len(faults(new)) <= len(faults(plan)) else None


def _at(plan: Plan, kind: str) -> Iterator[tuple[int, Stage]]:
    return ((i, s) for i, s in enumerate(plan.stages) if s.kind == kind)


def _with(plan: Plan, index: int, **changed: object) -> Plan:
    return _put(plan, index, replace(plan.stages[index], **changed))  # type: ignore[arg-type]


def _put(plan: Plan, index: int, stage: Stage) -> Plan:
    return replace(plan, stages=(*plan.stages[:index], stage, *plan.stages[index + 1 :]))


def _dose_indices(plan: Plan, kind: str) -> list[tuple[int, int]]:
    return [(i, k) for i, s in enumerate(plan.stages)
            for k, dose in enumerate(s.doses) if dose.kind == kind]  # fmt: skip


def _dose(kind: str, unit: str) -> tuple[ReadPlan, ChangePlan]:
    """What goes in of a kind, in g or in ml. A plan that has a powder in spoons is left out: a
    step of a tenth is finer than any spoon."""

    def planned(plan: Plan) -> float | None:
        doses = [plan.stages[i].doses[k] for i, k in _dose_indices(plan, kind)]
        if kind in POWDERS and any(dose.spoons for dose in doses):
            return None
        found = sum(dose.per_litre for dose in doses if dose.unit == unit)
        return found if found > 0 else None

    def changed(plan: Plan, value: float) -> Plan:
        return _scale_doses(plan, kind, unit, value / (planned(plan) or value))

    return planned, changed


def _scale_doses(plan: Plan, kind: str, unit: str, share: float) -> Plan:
    for i, k in _dose_indices(plan, kind):
        if plan.stages[i].doses[k].unit != unit:
            continue
        doses = list(plan.stages[i].doses)
        doses[k] = replace(doses[k], per_litre=float(f"{doses[k].per_litre * share:.3g}"))
        plan = _with(plan, i, doses=tuple(doses))
    return plan


def _minutes(kind: str) -> tuple[ReadPlan, ChangePlan]:
    """The length of all stages of a kind; the longest gives or takes."""

    def planned(plan: Plan) -> float | None:
        found = [s.minutes for _, s in _at(plan, kind)]
        return sum(found) if found else None

    def changed(plan: Plan, value: float) -> Plan:
        index, stage = max(_at(plan, kind), key=_length)
        return _longer(plan, index, stage, value - (planned(plan) or value))

    return planned, changed


def _length(placed: tuple[int, Stage]) -> float:
    return placed[1].minutes


def _longer(plan: Plan, index: int, stage: Stage, by: float) -> Plan:
    minutes = round(stage.minutes + by, 1)
    longer = stage.lasting(minutes)
    ramp = stage.ramp_min
    return _put(plan, index, replace(longer, ramp_min=None if ramp is None else min(ramp, minutes)))


def _ripened(plan: Plan) -> float | None:
    """Minutes from the stage the culture goes in at to the set."""
    begins = [i for i, _ in _dose_indices(plan, "culture")]
    ends = [i for i, _ in _at(plan, "set")]
    if not begins or not ends or ends[0] <= begins[0]:
        return None
    return sum(s.minutes for s in plan.stages[begins[0] : ends[0]])


def _ripened_to(plan: Plan, value: float) -> Plan:
    index, stage = max(_at(plan, "ripen"), key=_length, default=(-1, plan.stages[0]))
    if index < 0:
        raise FindingError("findings.no-ripening")
    return _longer(plan, index, stage, value - (_ripened(plan) or value))


def _size(plan: Plan) -> float | None:
    return next((s.size_mm for _, s in _at(plan, "cut") if s.size_mm is not None), None)


def _size_to(plan: Plan, value: float) -> Plan:
    index = next(i for i, s in _at(plan, "cut") if s.size_mm is not None)
    return _with(plan, index, size_mm=value)


def _cook(plan: Plan) -> tuple[int, Stage, float] | None:
    """The index of the cook, the stage, and the °C it climbs."""
    now = plan.milk_c
    for i, stage in enumerate(plan.stages):
        if stage.kind == "cook" and stage.target_c is not None:
            return (i, stage, stage.target_c - now) if stage.first_min is None else None
        now = stage.target_c if stage.target_c is not None else now
    return None


def _rate(plan: Plan) -> float | None:
    found = _cook(plan)
    if found is None or found[2] <= 0:
        return None
    return found[2] / max(found[1].ramp_length_min, 1e-9)


def _rate_to(plan: Plan, value: float) -> Plan:
    found = _cook(plan)
    if found is None:
        raise FindingError("findings.no-climbing-cook")
    index, stage, climbs = found
    ramp = float(round(climbs / value))
    held = stage.minutes - stage.ramp_length_min
    own = None if stage.ramp_min is None else ramp
    return _put(plan, index, replace(stage.lasting(ramp + held), ramp_min=own))


def _cook_c(plan: Plan) -> float | None:
    return next((s.target_c for _, s in _at(plan, "cook") if s.target_c is not None), None)


def _cook_to(plan: Plan, value: float) -> Plan:
    """Another heat of the cook, and of what is held at it after."""
    if plan.sours and value > culture(plan.culture_type).highest_c - HOTTEST_BELOW_C:
        raise FindingError("findings.too-hot", celsius=value, unit="°C")
    own, first = _cook_c(plan), next(i for i, s in _at(plan, "cook") if s.target_c is not None)
    for i, stage in enumerate(plan.stages):
        if i >= first and stage.target_c == own and stage.kind in ("cook", "stir", "pitch"):
            plan = _with(plan, i, target_c=value)
    return plan


def _acid_target(kind: str) -> tuple[ReadPlan, ChangePlan]:
    """The middle of the curd's acid target at a stage of that kind; the window moves as a whole."""

    def planned(plan: Plan) -> float | None:
        found = _gated(plan, kind)
        return None if found is None else round((found[1].low + found[1].high) / 2, 3)

    def changed(plan: Plan, value: float) -> Plan:
        found = _gated(plan, kind)
        if found is None:
            raise FindingError("findings.no-acid-target")
        index, acid_target = found
        by = value - (acid_target.low + acid_target.high) / 2
        moved = replace(
            acid_target, low=round(acid_target.low + by, 2), high=round(acid_target.high + by, 2)
        )
        return _with(plan, index, acid_target=moved)

    return planned, changed


def _gated(plan: Plan, kind: str) -> tuple[int, AcidTarget] | None:
    found = ((i, s.acid_target) for i, s in _at(plan, kind) if s.acid_target is not None)
    return next(
        ((i, acid_target) for i, acid_target in found if acid_target.kind == "curd-ph"), None
    )


def _salt(plan: Plan) -> float | None:
    """Salt as % of the curd the plan expects; None for cheese salted in brine alone."""
    per_litre = sum(
        plan.stages[i].doses[k].per_litre
        for i, k in _dose_indices(plan, "salt")
        if plan.stages[i].doses[k].unit == "g"
    )
    return of_curd_pct(plan, per_litre * plan.milk_l, plan.milk_l) if per_litre else None


def _salt_to(plan: Plan, value: float) -> Plan:
    return _scale_doses(plan, "salt", "g", value / (_salt(plan) or value))


def _most_pressed(plan: Plan) -> float | None:
    most = max((s.pressure_kpa or 0.0 for _, s in _at(plan, "press")), default=0.0)
    return most if most > 0 else None


def _pressed_to(plan: Plan, pressure: float) -> Plan:
    """Another greatest pressure: stages that had it go there, and none stays above it."""
    if pressure > MOST_PRESSURE_KPA:
        raise FindingError("findings.too-much-pressure", kpa=pressure)
    most, pressure = _most_pressed(plan), float(f"{pressure:.3g}")
    for i, stage in _at(plan, "press"):
        if stage.pressure_kpa and (stage.pressure_kpa == most or stage.pressure_kpa > pressure):
            plan = _put(plan, i, stage.pressed_with(pressure))
    return plan


def _load(plan: Plan) -> float | None:
    most = _most_pressed(plan)
    return press_load_kg(plan, most) if most is not None else None


def _load_to(plan: Plan, value: float) -> Plan:
    return _pressed_to(plan, (_most_pressed(plan) or 0.0) * value / (_load(plan) or value))


def _water(plan: Plan) -> float | None:
    share = 100 * sum(s.water_added_per_l for s in plan.stages)
    return share if share > 0 else None


def _water_to(plan: Plan, value: float) -> Plan:
    share = value / (_water(plan) or value)
    for i, stage in enumerate(plan.stages):
        if stage.water_added_per_l:
            plan = _with(plan, i, water_added_per_l=round(stage.water_added_per_l * share, 3))
    return plan


PLAN_VARIABLES: tuple[PlanVariable, ...] = (
    PlanVariable("culture_dose", *_dose("culture", "g"), (0.8, 1.6), (0, 5), 4),
    PlanVariable("culture_dose_in_ml", *_dose("culture", "ml"), (0.8, 1.6), (0, 5), 4),
    PlanVariable("milk_ripened", _ripened, _ripened_to, (0.6, 1.7), (10, 180), 0),
    PlanVariable("rennet_dose", *_dose("rennet", "ml"), (0.7, 1.4), (0, 2), 3),
    PlanVariable("rennet_dose_in_g", *_dose("rennet", "g"), (0.7, 1.4), (0, 2), 4),
    PlanVariable("set", *_minutes("set"), (0.8, 1.4), (15, 240), 0),
    PlanVariable("curd_size", _size, _size_to, (0.5, 1.8), (4, 30), 1),
    PlanVariable("heal", *_minutes("heal"), (0.4, 2.5), (2, 30), 0),
    PlanVariable("cook_rate", _rate, _rate_to, (0.5, 1.6), (0.04, 0.6), 3),
    PlanVariable("cook_temperature", _cook_c, _cook_to, (0.94, 1.06), (28, 56), 1),
    PlanVariable("stirring", *_minutes("stir"), (0.5, 1.8), (2, 120), 0),
    PlanVariable("water_added", _water, _water_to, (0.6, 1.5), (2, 60), 1),
    PlanVariable("ph_at_drain", *_acid_target("drain"), (0.97, 1.03), (5.8, 6.55), 2),
    PlanVariable("cheddaring", *_minutes("cheddar"), (0.6, 1.5), (20, 240), 0),
    PlanVariable("ph_at_milling", *_acid_target("mill"), (0.965, 1.035), (5.15, 5.7), 2),
    PlanVariable("salt_in_curd", _salt, _salt_to, (0.75, 1.4), (1.5, 3.2), 2),
    PlanVariable(
        "press_pressure", _most_pressed, _pressed_to, (0.5, 2.0), (0.2, MOST_PRESSURE_KPA), 1
    ),
    PlanVariable("time_in_the_press", *_minutes("press"), (0.6, 1.6), (30, 2880), 0),
    PlanVariable("time_in_brine", *_minutes("brine"), (0.7, 1.4), (30, 5760), 0),
)  # fmt: skip

_NO_LONGER_OFFERED = (PlanVariable("press_load", _load, _load_to, (0.5, 2.0), (0.5, 400), 1),)
"""Of series that were set up by them: the pressure stands in the load's place."""


def plan_variable_of(key: str) -> PlanVariable | None:
    """What a plan can change of a make variable; None where it does not settle it."""
    return next((one for one in (*PLAN_VARIABLES, *_NO_LONGER_OFFERED) if one.key == key), None)


def first_changed(old: Plan, new: Plan) -> int:
    """The index of the first stage that differs, -1 where none does."""
    pairs = enumerate(zip(old.stages, new.stages, strict=False))
    return next((i for i, (a, b) in pairs if a != b), -1)
