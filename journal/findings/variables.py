"""Make variables, read out of the record: nothing here was ever typed twice.

A new variable is one function that reads a whole make and one line in `MAKE_VARIABLES` (or,
where it differs from wheel to wheel, in `WHEEL_VARIABLES`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median

import numpy as np

from journal.curves.deviation import deviation
from journal.findings.error import FindingError
from journal.findings.panel import PanelScores, panel_scores
from journal.findings.table import AGE_KEY, Floats, ScoreTable, Variable, snake
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.makes import Entered
from journal.records.whole import Given, WholeMake

NONE = float("nan")
_NEAR_MS = 45 * MINUTE_MS  # a pH this far from its moment does not speak for it


@dataclass(frozen=True)
class _Read:
    variable: Variable
    read: Callable[[WholeMake], float]


def score_table(
    wholes: Iterable[WholeMake], score: str, variables: Sequence[str] | None = None
) -> ScoreTable:
    """The wheels' scores for one attribute with the variables of their makes.

    Parameters
    ----------
    wholes : iterable of WholeMake
        Makes without scores for the attribute are passed over.
    score : str
        The attribute, "overall" or another, in whatever capitals.
    variables : sequence of str, optional
        Names to look at; by default every variable that any make has a value for.

    Raises
    ------
    FindingError
        When no wheel has such a score, naming the scores there are.
    """
    makes, values, names = _scored(wholes, score)
    given = [(make, one) for make in makes for one in make.scores]
    if not given:
        known = ", ".join(sorted(names)) or "none yet"
        raise FindingError(f"No wheel has a score for {score}. Scores given: {known}.")
    wheels = sorted({(make.make.code, one.wheel_code) for make, one in given})
    people = sorted({one.assessor for _, one in given})
    panel = _panel(given, wheels, people)
    owner = {make.make.code: make for make in makes}
    rows = [(owner[wheels[i][0]], wheels[i][1]) for i in panel.wheel_ix]
    known_variables, x = _columns(rows, values, panel)
    if not known_variables:
        raise FindingError(f"No make with a score for {score} has a variable to look at yet.")
    table = ScoreTable(
        score_name=given[0][1].attribute,
        make=[make.make.code for make, _ in rows],
        wheel=[wheel for _, wheel in rows],
        y=panel.score,
        y_se=panel.se,
        variables=known_variables,
        x=x,
        assessors=len(people),
        notes=panel.notes,
    )
    return table if variables is None else table.choosing(variables)


def _scored(
    wholes: Iterable[WholeMake], score: str
) -> tuple[list[WholeMake], dict[str, list[float]], set[str]]:
    """Makes with their scores for the attribute, their variables, and every attribute met.

    The traces are let go as soon as the variables are read: a long journal does not fit in memory.
    """
    makes: list[WholeMake] = []
    values: dict[str, list[float]] = {}
    names: set[str] = set()
    for make in wholes:
        names |= {one.attribute for one in make.scores}
        ones = tuple(one for one in make.scores if snake(one.attribute) == snake(score))
        if ones:
            values[make.make.code] = [_value(make, one) for one in MAKE_VARIABLES]
            makes.append(replace(make, traces={}, scores=ones))
    return makes, values, names


def _value(make: WholeMake, one: _Read) -> float:
    """What the record says; where it is silent, what a table of past makes said."""
    value = one.read(make)
    if np.isfinite(value):
        return value
    said = (e.value for e in make.entered if _speaks_for(e, one.variable))
    return next((v for v in said if v is not None), NONE)


def _speaks_for(entered: Entered, variable: Variable) -> bool:
    """Whether a value out of a table is that variable, in its unit."""
    return snake(entered.name) == variable.key and entered.unit in ("", variable.unit)


def _panel(
    given: list[tuple[WholeMake, Given]], wheels: list[tuple[str, str]], people: list[str]
) -> PanelScores:
    wheel_at = {wheel: i for i, wheel in enumerate(wheels)}
    person_at = {name: i for i, name in enumerate(people)}
    return panel_scores(
        [wheel_at[make.make.code, one.wheel_code] for make, one in given],
        [person_at[one.assessor] for _, one in given],
        [one.tasting_id for _, one in given],
        [_age_days(make, one) for make, one in given],
        [one.value for _, one in given],
    )


def _age_days(make: WholeMake, one: Given) -> float:
    """Days from make to tasting; unknown where both stand on the day a table of makes gave."""
    age = (one.at_ms - make.make.started_ms) / DAY_MS
    return age if age >= 1 else NONE


def _columns(
    rows: list[tuple[WholeMake, str]], values: dict[str, list[float]], panel: PanelScores
) -> tuple[list[Variable], Floats]:
    """Variables that have a value somewhere, and their values (rows, variables)."""
    columns: list[tuple[Variable, list[float]]] = [
        (one.variable, [values[make.make.code][i] for make, _ in rows])
        for i, one in enumerate(MAKE_VARIABLES)
    ]
    columns += [
        (
            variable,
            [
                read(make, wheel, float(days))
                for (make, wheel), days in zip(rows, panel.age_days, strict=True)
            ],
        )
        for variable, read in WHEEL_VARIABLES
    ]
    columns += _entered(rows)
    columns.append((AGE, [float(days) for days in panel.age_days]))
    kept = [(v, column) for v, column in columns if np.isfinite(column).any()]
    return (
        [_stepped(v, column) for v, column in kept],
        np.array([column for _, column in kept]).T.reshape(len(rows), len(kept)),
    )


def _entered(rows: list[tuple[WholeMake, str]]) -> list[tuple[Variable, list[float]]]:
    """Variables that came in from a table of past makes."""
    known = [one.variable for one in MAKE_VARIABLES]
    units = {
        e.name: e.unit
        for make, _ in rows
        for e in make.entered
        if e.value is not None and not any(_speaks_for(e, one) for one in known)
    }
    taken = {one.key for one in known}
    out = []
    for name in sorted(units):
        values = [
            next((e.value for e in make.entered if e.name == name and e.value is not None), NONE)
            for make, _ in rows
        ]
        shown = f"{name} ({units[name]})" if snake(name) in taken else name
        variable = Variable(shown, unit=units[name])
        if variable.key != AGE_KEY:
            out.append((variable, values))
    return out


def _stepped(variable: Variable, column: list[float]) -> Variable:
    """A dose's step is a tenth of the usual dose; other steps stand as they are declared."""
    if variable.key not in ("culture_dose", "rennet_dose"):
        return variable
    usual = median([value for value in column if np.isfinite(value)])
    return replace(variable, step=float(f"{usual / 10:.1g}")) if usual > 0 else variable


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


def _dose(kind: str) -> Callable[[WholeMake], float]:
    def read(make: WholeMake) -> float:
        amounts = [a.amount for a in make.additions if a.kind == kind]
        return sum(amounts) / make.make.milk.litres if amounts else NONE

    return read


def _stage_number(kind: str, name: str) -> Callable[[WholeMake], float]:
    """A number of the first planned stage of a kind that has one (cut size, load)."""

    def read(make: WholeMake) -> float:
        values = [getattr(s, name) for s in make.plan.stages if s.kind == kind]
        return next((float(v) for v in values if v is not None), NONE)

    return read


def _length(kind: str) -> Callable[[WholeMake], float]:
    def read(make: WholeMake) -> float:
        return _minutes_of(make, kind)

    return read


def _cook_rate(make: WholeMake) -> float:
    rate = deviation(make).cook_rate_c_per_min if make.run_of("cook") else None
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
    salt_g = sum(a.amount for a in make.additions if a.kind == "salt" and a.unit == "g")
    curd_kg = sum(w.green_weight_kg or 0.0 for w in make.wheels)
    return salt_g / (10 * curd_kg) if salt_g and curd_kg else NONE


def _load(make: WholeMake) -> float:
    trace = make.trace("load").sound()
    return float(trace.value.max()) if len(trace) else NONE


def _milk(name: str) -> Callable[[WholeMake], float]:
    def read(make: WholeMake) -> float:
        value = getattr(make.make.milk, name)
        return NONE if value is None else float(value)

    return read


def _per_litre(name: str) -> Callable[[WholeMake], float]:
    def read(make: WholeMake) -> float:
        value = getattr(make.make, name)
        return NONE if value is None else 100 * float(value) / make.make.milk.litres

    return read


def _air(name: str) -> Callable[[WholeMake, str, float], float]:
    """The mean air of the wheel's room from the make to the tasting."""

    def read(make: WholeMake, wheel_code: str, age_days: float) -> float:
        wheel = next((w for w in make.wheels if w.code == wheel_code), None)
        air = make.air.get(wheel.room_id) if wheel is not None and wheel.room_id else None
        if air is None or not np.isfinite(age_days):
            return NONE
        first = make.make.started_ms
        values = getattr(air.between(first, first + round(age_days * DAY_MS)), name)
        values = values[np.isfinite(values)]
        return float(values.mean()) if len(values) else NONE

    return read


AGE = Variable("age at tasting", AGE_KEY, "days", 30.0)

MAKE_VARIABLES: tuple[_Read, ...] = (
    _Read(Variable("milk fat", unit="%", step=0.3), _milk("fat_pct")),
    _Read(Variable("milk protein", unit="%", step=0.1), _milk("protein_pct")),
    _Read(Variable("culture dose", unit="g/L"), _dose("culture")),
    _Read(Variable("milk ripened", unit="min", step=10.0), _ripened_min),
    _Read(Variable("rennet dose", unit="ml/L"), _dose("rennet")),
    _Read(Variable("set", unit="min", step=5.0), _length("set")),
    _Read(Variable("curd size", unit="mm", step=2.0), _stage_number("cut", "size_mm")),
    _Read(Variable("heal", unit="min", step=2.0), _length("heal")),
    _Read(Variable("cook rate", unit="°C/min", step=0.05), _cook_rate),
    _Read(Variable("cook temperature", unit="°C", step=1.0), _cook_temperature),
    _Read(Variable("stirring", unit="min", step=10.0), _length("stir")),
    _Read(Variable("whey drawn", unit="% of milk", step=5.0), _per_litre("whey_drawn_l")),
    _Read(Variable("water added", unit="% of milk", step=5.0), _per_litre("water_added_l")),
    _Read(Variable("pH at drain", unit="pH", step=0.1), _ph_at("drain")),
    _Read(Variable("cheddaring", unit="min", step=15.0), _length("cheddar")),
    _Read(Variable("pH at milling", unit="pH", step=0.1), _ph_at("mill")),
    _Read(Variable("salt in curd", unit="%", step=0.3), _salt_in_curd),
    _Read(Variable("press load", unit="kg", step=5.0), _load),
    _Read(Variable("time in the press", unit="min", step=60.0), _length("press")),
    _Read(Variable("time in brine", unit="min", step=60.0), _length("brine")),
)

WHEEL_VARIABLES: tuple[tuple[Variable, Callable[[WholeMake, str, float], float]], ...] = (
    (Variable("room humidity", unit="%", step=3.0), _air("humidity_pct")),
    (Variable("room temperature", unit="°C", step=1.0), _air("temp_c")),
)
