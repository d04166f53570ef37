"""Make variables, read out of the record: nothing here was ever typed twice.

A new variable is one function that reads a whole make and one line in `MAKE_VARIABLES` (or,
where it differs from wheel to wheel, in `WHEEL_VARIABLES`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from journal.curves.deviation import cook_rate
from journal.findings.doses import off_share, parts_of, per_litre
from journal.findings.made_of import composition_at, salt_is_known
from journal.findings.scales import INVERSE_KELVIN, LOG
from journal.findings.table import AGE_KEY, Variable
from journal.reckoning.press import pressure_kpa, round_area_cm2
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.milk_lots import mean_of, price_of
from journal.records.plans import Stage
from journal.records.whole import WholeMake

NONE = float("nan")
_NEAR_MS = 45 * MINUTE_MS  # a pH this far from its moment does not speak for it


@dataclass(frozen=True)
class MakeVariable:
    """A variable and how it is read out of a make; `off` says how far the value may be off, sd as
    a share of it (None: as good as not at all)."""

    variable: Variable
    read: Callable[[WholeMake], float]
    off: Callable[[WholeMake], float] | None = None


def _minutes_of(make: WholeMake, kind: str) -> float:
    """How long all stages of a kind really took, minutes."""
    ran = [
        run.ended_ms - run.began_ms
        for run in make.runs
        if run.kind == kind and run.began_ms is not None and run.ended_ms is not None
    ]
    return sum(ran) / MINUTE_MS if ran else NONE


def _ripened_min(make: WholeMake) -> float:
    """Culture in to rennet in."""
    rennet = make.run_of("set")
    culture = [a.at_ms for a in make.additions if a.kind == "culture"]
    ripen = make.run_of("ripen")
    if not culture and ripen is not None and ripen.began_ms is not None:
        culture = [ripen.began_ms]
    if rennet is None or rennet.began_ms is None or not culture:
        return NONE
    return (rennet.began_ms - min(culture)) / MINUTE_MS


def _begun(make: WholeMake, kind: str) -> list[Stage]:
    """The plan's stages of a kind that really began: of the others the plan says nothing."""
    begun = {run.position for run in make.runs if run.began_ms is not None}
    return [s for i, s in enumerate(make.plan.stages) if s.kind == kind and i in begun]


def _stage_number(kind: str, name: str) -> Callable[[WholeMake], float]:
    """A number of the first stage of a kind that has one in the plan, such as the curd's size."""

    def read(make: WholeMake) -> float:
        values = [getattr(s, name) for s in _begun(make, kind)]
        return next((float(v) for v in values if v is not None), NONE)

    return read


def _length(kind: str) -> Callable[[WholeMake], float]:
    def read(make: WholeMake) -> float:
        return _minutes_of(make, kind)

    return read


def _cook_rate(make: WholeMake) -> float:
    rate = cook_rate(make)
    return NONE if rate is None else rate


def _cook_temperature(make: WholeMake) -> float:
    """The milk at the end of the cook."""
    run = make.run_of("cook")
    if run is None or run.began_ms is None or run.ended_ms is None:
        return NONE
    part = make.trace("milk-temp").sound().between(run.began_ms, run.ended_ms)
    return float(np.median(part.value[-5:])) if len(part) else NONE


def _ph_at(kind: str) -> Callable[[WholeMake], float]:
    """The curd's pH when a stage began, between the readings either side."""

    def read(make: WholeMake) -> float:
        run = make.run_of(kind)
        trace = make.trace("curd-ph").sound()
        if run is None or run.began_ms is None or not len(trace):
            return NONE
        if np.abs(trace.at_ms - run.began_ms).min() > _NEAR_MS:
            return NONE
        return float(np.interp(run.began_ms, trace.at_ms, trace.value))

    return read


def _salt_in_curd(make: WholeMake) -> float:
    """Salt added over the green weight, % w/w."""
    salt_g = sum(part.amount for part in parts_of(make, "salt") if part.unit == "g")
    curd_kg = sum(w.green_weight_kg or 0.0 for w in make.wheels)
    return salt_g / (10 * curd_kg) if salt_g and curd_kg else NONE


def _load(make: WholeMake) -> float:
    """The greatest load read, kg, where no mould says what pressure it gives."""
    trace = make.trace("load").sound()
    return float(trace.value.max()) if len(trace) and make.plan.mould_mm is None else NONE


def _pressure(make: WholeMake) -> float:
    """The greatest pressure on the cheese, kPa: of the load as read, else the plan's own."""
    trace, mould = make.trace("load").sound(), make.plan.mould_mm
    if len(trace):
        return NONE if mould is None else _kpa(float(trace.value.max()), mould)
    planned = [s.pressure_kpa for s in _begun(make, "press") if s.pressure_kpa]
    return max(planned, default=NONE)


def _kpa(load_kg: float, mould_mm: float) -> float:
    return float(pressure_kpa(load_kg, round_area_cm2(mould_mm)))


def _milk(name: str) -> Callable[[WholeMake], float]:
    def read(make: WholeMake) -> float:
        value = getattr(make.make.milk, name)
        return NONE if value is None else float(value)

    return read


def _milk_ph(make: WholeMake) -> float:
    """The mean pH of its lots by their litres."""
    value = mean_of(make.milk_lots, lambda lot: lot.ph)
    return NONE if value is None else value


def _milk_age(make: WholeMake) -> float:
    """Days from the milking to the make."""
    value = mean_of(make.milk_lots, lambda lot: (make.make.started_ms - lot.day_ms) / DAY_MS)
    return NONE if value is None else max(0.0, value)


def _milk_price(make: WholeMake) -> float:
    """What a litre cost, in the maker's money."""
    value = price_of(make.make.milk, make.milk_lots)
    return value if value else NONE


def _per_litre(name: str) -> Callable[[WholeMake], float]:
    def read(make: WholeMake) -> float:
        value = getattr(make.make, name)
        return NONE if value is None else 100 * float(value) / make.make.milk.litres

    return read


def _air(name: str) -> Callable[[WholeMake, str, float], float]:
    """What the wheel's air was from the make to the tasting, in all rooms it stood in."""

    def read(make: WholeMake, wheel_code: str, age_days: float) -> float:
        if not np.isfinite(age_days):
            return NONE
        until_ms = make.make.started_ms + round(age_days * DAY_MS)
        had = make.air_had(wheel_code, until_ms)
        return NONE if had is None else float(getattr(had, name))

    return read


AGE = Variable("age at tasting", AGE_KEY, "days", 30.0)

MAKE_VARIABLES: tuple[MakeVariable, ...] = (
    MakeVariable(Variable("milk fat", unit="%", step=0.3), _milk("fat_pct")),
    MakeVariable(Variable("milk protein", unit="%", step=0.1), _milk("protein_pct")),
    MakeVariable(Variable("milk pH as it came", unit="pH", step=0.05), _milk_ph),
    MakeVariable(Variable("age of the milk", unit="days", step=1.0), _milk_age),
    MakeVariable(Variable("price of the milk", scale=LOG), _milk_price),
    MakeVariable(
        Variable("culture dose", unit="g/L", scale=LOG),
        per_litre("culture", "g"),
        off_share("culture", "g"),
    ),
    MakeVariable(
        Variable("culture dose in ml", unit="ml/L", scale=LOG),
        per_litre("culture", "ml"),
        off_share("culture", "ml"),
    ),
    MakeVariable(Variable("milk ripened", unit="min", step=10.0), _ripened_min),
    MakeVariable(
        Variable("rennet dose", unit="ml/L", scale=LOG),
        per_litre("rennet", "ml"),
        off_share("rennet", "ml"),
    ),
    MakeVariable(
        Variable("rennet dose in g", unit="g/L", scale=LOG),
        per_litre("rennet", "g"),
        off_share("rennet", "g"),
    ),
    MakeVariable(Variable("set", unit="min", step=5.0), _length("set")),
    MakeVariable(Variable("curd size", unit="mm", step=2.0), _stage_number("cut", "size_mm")),
    MakeVariable(Variable("heal", unit="min", step=2.0), _length("heal")),
    MakeVariable(Variable("cook rate", unit="°C/min", step=0.05), _cook_rate),
    MakeVariable(Variable("cook temperature", unit="°C", step=1.0), _cook_temperature),
    MakeVariable(Variable("stirring", unit="min", step=10.0), _length("stir")),
    MakeVariable(Variable("whey drawn", unit="% of milk", step=5.0), _per_litre("whey_drawn_l")),
    MakeVariable(Variable("water added", unit="% of milk", step=5.0), _per_litre("water_added_l")),
    MakeVariable(Variable("pH at drain", unit="pH", step=0.1), _ph_at("drain")),
    MakeVariable(Variable("cheddaring", unit="min", step=15.0), _length("cheddar")),
    MakeVariable(Variable("pH at milling", unit="pH", step=0.1), _ph_at("mill")),
    MakeVariable(
        Variable("salt in curd", unit="%", step=0.3), _salt_in_curd, off_share("salt", "g")
    ),
    MakeVariable(Variable("press pressure", unit="kPa", step=2.0), _pressure),
    MakeVariable(Variable("press load", unit="kg", step=5.0), _load),
    MakeVariable(Variable("time in the press", unit="min", step=60.0), _length("press")),
    MakeVariable(Variable("time in brine", unit="min", step=60.0), _length("brine")),
)

HUMIDITY = Variable("room humidity", unit="%", step=3.0)
WARMTH = Variable("room temperature", unit="°C", step=1.0, scale=INVERSE_KELVIN)
# What adds up over a wheel's life, and so may be its age in other words.
DAYS_OUT = Variable("days out of range", unit="days", step=10.0)
DEGREE_DAYS = Variable("degree-days", unit="°C days", step=300.0)
SUMS = (DAYS_OUT, DEGREE_DAYS)


def _composed(name: str) -> Callable[[WholeMake, str, float], float]:
    """What the wheel was made of when it was tasted, as the kitchen scale tells it."""

    def read(make: WholeMake, wheel_code: str, age_days: float) -> float:
        found = composition_at(make, wheel_code, age_days)
        guessed = name == "s_m_pct" and not salt_is_known(make)
        return NONE if found is None or guessed else float(getattr(found, name))

    return read


# Estimates that follow from the milk, the salt and the scale, which are looked at themselves: so
# only where they are named.
ESTIMATES: tuple[tuple[Variable, Callable[[WholeMake, str, float], float]], ...] = (
    (Variable("moisture at tasting", unit="%", step=1.5), _composed("moisture_pct")),
    (Variable("MNFS at tasting", unit="%", step=1.5), _composed("mnfs_pct")),
    (Variable("S/M at tasting", unit="%", step=0.5), _composed("s_m_pct")),
    (Variable("fat in dry matter at tasting", unit="%", step=1.5), _composed("fdm_pct")),
)

WHEEL_VARIABLES: tuple[tuple[Variable, Callable[[WholeMake, str, float], float]], ...] = (
    (HUMIDITY, _air("humidity_pct")),
    (WARMTH, _air("temp_c")),
    (DAYS_OUT, _air("days_out")),
    (DEGREE_DAYS, _air("degree_days")),
)
