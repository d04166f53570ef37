"""What a make really had of the variables that the trade speaks of.

Most are make variables of the findings (`readers.py`); a few more are read for this alone, since
they are known of few makes or are estimates. What no record can say is in `ASKED`: it is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np

from journal.findings.categories import CATEGORIES
from journal.findings.doses import per_litre
from journal.findings.made_of import composition_of, salt_is_known
from journal.findings.readers import AGE, MAKE_VARIABLES, NONE, WHEEL_VARIABLES
from journal.findings.table import Variable
from journal.findings.variables import value_of
from journal.records.instants import DAY_MS
from journal.records.plans import Plan
from journal.records.whole import WholeMake

HOUR_MS = DAY_MS // 24


@dataclass(frozen=True)
class ValueEstimate:
    """A value of a make: `low` to `high` is where an estimate lies in 8 of 10, the value itself
    where it was measured; `kind` says it where it is no number ("" else)."""

    value: float
    low: float
    high: float
    kind: str = ""


ReadTrade = Callable[[WholeMake, str, float], ValueEstimate | None]


@dataclass(frozen=True)
class TradeVariable:
    """A variable of the trade: how it is read of a make, at a wheel and its age in days.

    `variable` is None for a kind (whose milk, which lot).
    """

    key: str
    read: ReadTrade
    variable: Variable | None = None


def exactly(value: float) -> ValueEstimate | None:
    """A measured value; None where there is none."""
    return ValueEstimate(value, value, value) if math.isfinite(value) else None


@cache
def measured() -> dict[str, tuple[TradeVariable, ...]]:
    """The variables of the trade that a record can say, by the trade's key; in each unit of a
    variable that has several."""
    own = {one.variable.key: TradeVariable(one.variable.key, _of_make(i), one.variable)
           for i, one in enumerate(MAKE_VARIABLES)}  # fmt: skip
    own |= {variable.key: TradeVariable(variable.key, _of_wheel(read), variable)
            for variable, read in WHEEL_VARIABLES}  # fmt: skip
    own[AGE.key] = TradeVariable(AGE.key, _age, AGE)
    found: dict[str, tuple[TradeVariable, ...]] = {key: (one,) for key, one in own.items()}
    found["culture_dose"] = (own["culture_dose"], own["culture_dose_in_ml"])
    found["rennet_dose"] = (own["rennet_dose"], own["rennet_dose_in_g"])
    found["press_load"] = (own["press_pressure"], own["press_load"])
    for key, (variable, read) in _MORE.items():
        found[key] = (TradeVariable(key, read, variable),)
    for key, name in _KINDS.items():
        found[key] = (TradeVariable(key, _kind(name)),)
    return found


def applies(plan: Plan, key: str) -> bool:
    """Whether a plan has what a variable is about: no brine, no time in brine."""
    kinds = {stage.kind for stage in plan.stages} | {rule.kind for rule in plan.care}
    doses = {dose.kind for stage in plan.stages for dose in stage.doses}
    return _NEEDS.get(key, key) in kinds | doses or key not in _NEEDS


_NEEDS = {
    "heal": "heal", "stirring": "stir", "cheddaring": "cheddar", "curd_crumbs": "cheddar",
    "whey_drainage_while_matting": "cheddar", "ph_at_milling": "mill", "salting_delay": "mill",
    "ph_at_drain": "drain", "cook_rate": "cook", "cook_temperature": "cook", "curd_size": "cut",
    "press_load": "press", "time_in_the_press": "press", "press_sequence": "press",
    "press_rate": "press", "curd_temperature_at_press": "press", "time_in_brine": "brine",
    "brine_strength": "brine", "brine_ph": "brine", "brine_temperature": "brine",
    "wax_temperature": "wax", "piercing_day": "pierce", "bandage_fit": "bandage",
    "colour_added": "colour", "mould_dose": "mould", "milk_ripened": "culture",
    "culture_dose": "culture", "rennet_dose": "rennet", "coagulant_kind": "rennet",
}  # fmt: skip
"""The stage, care or dose without which a plan has no such variable."""


def _of_make(index: int) -> ReadTrade:
    def read(make: WholeMake, _wheel: str, _age: float) -> ValueEstimate | None:
        return exactly(value_of(make, MAKE_VARIABLES[index])[0])

    return read


def _of_wheel(of: Callable[[WholeMake, str, float], float]) -> ReadTrade:
    def read(make: WholeMake, wheel: str, age: float) -> ValueEstimate | None:
        return exactly(of(make, wheel, age))

    return read


def _age(_make: WholeMake, _wheel: str, age: float) -> ValueEstimate | None:
    return exactly(age)


def _kind(name: str) -> ReadTrade:
    category = next(one for one in CATEGORIES if one.name == name)

    def read(make: WholeMake, _wheel: str, _age: float) -> ValueEstimate | None:
        kind = category.read(make)
        return ValueEstimate(NONE, NONE, NONE, kind) if kind else None

    return read


def _estimated(name: str) -> ReadTrade:
    def read(make: WholeMake, _wheel: str, _age: float) -> ValueEstimate | None:
        found = composition_of(make)
        if found is None or (name == "s_m_pct" and not salt_is_known(make)):
            return None
        return ValueEstimate(getattr(found, name), *found.ranges_80[name])

    return read


def _ph_after(first_h: float, last_h: float) -> ReadTrade:
    """The curd's pH so many hours after the make began, the median of what was read then."""

    def read(make: WholeMake, _wheel: str, _age: float) -> ValueEstimate | None:
        began = make.make.started_ms
        trace = make.trace("curd-ph").sound()
        part = trace.between(began + round(first_h * HOUR_MS), began + round(last_h * HOUR_MS))
        return exactly(float(np.median(part.value))) if len(part) else None

    return read


def _acidity_at_start(make: WholeMake, _wheel: str, _age: float) -> ValueEstimate | None:
    """The milk's acidity before the culture went in, % lactic."""
    culture = [a.at_ms for a in make.additions if a.kind == "culture"]
    trace = make.trace("milk-acidity").sound()
    if not culture or not len(trace) or trace.at_ms[0] > min(culture):
        return None
    return exactly(float(trace.value[0]))


def _milk_at_set(make: WholeMake, _wheel: str, _age: float) -> ValueEstimate | None:
    run = make.run_of("set")
    if run is None or run.began_ms is None or run.ended_ms is None:
        return None
    part = make.trace("milk-temp").sound().between(run.began_ms, run.ended_ms)
    return exactly(float(np.median(part.value))) if len(part) else None


def _salting_delay(make: WholeMake, _wheel: str, _age: float) -> ValueEstimate | None:
    """From the end of milling to the salt, minutes."""
    mill, salt = make.run_of("mill"), [a.at_ms for a in make.additions if a.kind == "salt"]
    if mill is None or mill.ended_ms is None or not salt:
        return None
    return exactly((min(salt) - mill.ended_ms) / 60_000)


def _wheel_size(make: WholeMake, wheel: str, _age: float) -> ValueEstimate | None:
    own = next((one.green_weight_kg for one in make.wheels if one.code == wheel), None)
    return None if own is None else exactly(own)


def _mould(make: WholeMake, _wheel: str, _age: float) -> ValueEstimate | None:
    return exactly(per_litre("mould", "g")(make))


def _first_day(kinds: tuple[str, ...]) -> ReadTrade:
    """The wheel's age in days at its first care of these kinds."""

    def read(make: WholeMake, wheel: str, _age: float) -> ValueEstimate | None:
        own = {one.id for one in make.wheels if one.code == wheel}
        days = [
            (care.at_ms - make.make.started_ms) / DAY_MS
            for care in make.care
            if care.kind in kinds and care.wheel_id in own
        ]
        return exactly(min(days)) if days else None

    return read


def _turns_a_week(make: WholeMake, wheel: str, age: float) -> ValueEstimate | None:
    """How often a week the wheel was turned in its first four weeks; None where no care is kept."""
    own = {one.id for one in make.wheels if one.code == wheel}
    days = [(one.at_ms - make.make.started_ms) / DAY_MS for one in make.care
            if one.wheel_id in own and one.kind == "turn"]  # fmt: skip
    weeks = min(age, 28.0) / 7 if math.isfinite(age) else 4.0
    return exactly(sum(day <= 28.0 for day in days) / weeks) if days and weeks > 0 else None


_MORE: dict[str, tuple[Variable, ReadTrade]] = {
    key: (Variable(key, unit=unit, step=step), read)
    for key, unit, step, read in (
        ("moisture", "%", 1.5, _estimated("moisture_pct")),
        ("mnfs", "%", 1.5, _estimated("mnfs_pct")),
        ("fat_in_dry_matter", "%", 1.5, _estimated("fdm_pct")),
        ("salt_in_moisture", "%", 0.5, _estimated("s_m_pct")),
        ("ph_day_1", "pH", 0.1, _ph_after(18, 48)),
        ("ph_day_3", "pH", 0.1, _ph_after(60, 108)),
        ("ph_ripe", "pH", 0.1, _ph_after(24 * 21, 24 * 3650)),
        ("milk_acidity_at_start", "% lactic", 0.01, _acidity_at_start),
        ("set_temperature", "°C", 1.0, _milk_at_set),
        ("salting_delay", "min", 5.0, _salting_delay),
        ("wheel_size", "kg", 0.2, _wheel_size),
        ("mould_dose", "g/L", 0.001, _mould),
        ("piercing_day", "days", 3.0, _first_day(("pierce",))),
        ("wrap_day", "days", 2.0, _first_day(("wax", "wrap"))),
        ("turning", "a week", 2.0, _turns_a_week),
    )
}
_KINDS = {
    "culture_kind": "culture lot",
    "milk_source": "milk source",
    "treatment_pasteurised": "treatment",
}

ASKED = (
    "adjunct_culture", "bandage_fit", "brine_ph", "brine_strength", "brine_temperature",
    "coagulant_kind", "colour_added", "cooling_rate", "curd_crumbs", "curd_temperature_at_press",
    "drain_room_temperature", "gel_firmness_at_cut", "geotrichum_growth", "hoop_filling",
    "late_gas", "light", "milk_age", "milk_cell_count", "milk_feed", "milk_handling",
    "milk_hygiene", "milk_spores", "milk_storage", "milk_temperature_at_fill", "mixing_of_curds",
    "moisture_evenness", "mucor_growth", "pasteurisation_heat", "press_rate", "press_sequence",
    "rind_care", "room_air_change", "room_hygiene", "salting_evenness", "salting_method", "season",
    "surface_flora", "utensil_hygiene", "utensil_metal", "water_quality", "wax_temperature",
    "whey_drainage_while_matting", "wrap_tightness",
)  # fmt: skip
"""Variables of the trade that no record says: not measured here, asked for at the next make."""
