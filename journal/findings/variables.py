"""The table of wheel scores and make variables, made from whole makes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from statistics import median

import numpy as np

from journal.findings.categories import (
    CATEGORIES,
    category_columns,
    contrasts,
    one_spelling,
    own_text,
    why_no_contrast,
)
from journal.findings.doses import CULTURES, DOSES, RENNETS, dose_notes, name_of
from journal.findings.error import FindingError
from journal.findings.further import (
    FURTHER,
    FigureVariable,
    Further,
    FurtherVariable,
    asked_for,
    left_out,
    read_figures,
    sums_left_out,
)
from journal.findings.levelled import levelled
from journal.findings.made_of import composition_of
from journal.findings.pairs import with_pairs
from journal.findings.readers import (
    AGE,
    ESTIMATES,
    HUMIDITY,
    MAKE_VARIABLES,
    NONE,
    WARMTH,
    WHEEL_VARIABLES,
    MakeVariable,
)
from journal.findings.table import (
    AGE_KEY,
    Floats,
    NotLookedAt,
    ScoreTable,
    Variable,
    looked_past,
    snake,
)
from journal.message import Message
from journal.records.instants import DAY_MS
from journal.records.makes import Entered
from journal.records.whole import ScoreGiven, WholeMake


def score_table(
    wholes: Iterable[WholeMake],
    score: str,
    variables: Sequence[str] | None = None,
    ticked: Iterable[str] = (),
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
    ticked : iterable of str, optional
        Keys of further variables (`further.py`) that the default looks at too.

    Raises
    ------
    FindingError
        When no wheel has such a score, naming the scores there are.
    """
    further = asked_for(variables, ticked)
    makes, values, names = scored(wholes, score, further.figures)
    given = [(make, one) for make in makes for one in make.scores]
    if not given:
        if not names:
            raise FindingError("findings.nothing-scored", score=score)
        raise FindingError("findings.no-such-score", score=score, names=sorted(names))
    wheels = sorted({(make.make.code, one.wheel_code) for make, one in given})
    people = sorted({one.assessor for _, one in given})
    fit = levelled(_singles(given, wheels, people))
    panel, spreads = fit.panel, fit.spreads
    owner = {make.make.code: make for make in makes}
    rows = [(owner[wheels[i][0]], wheels[i][1]) for i in panel.wheel_ix]
    known_variables, x, off, notes, past = columns_of(rows, values, panel.age_days, further)
    if not any(_varies(x[:, i]) or not v.step_label for i, v in enumerate(known_variables)):
        raise FindingError("findings.no-variable-yet", score=score)
    table = ScoreTable(
        score_name=given[0][1].attribute,
        make=[make.make.code for make, _ in rows],
        wheel=[wheel for _, wheel in rows],
        y=panel.score,
        y_se=fit.se,
        variables=known_variables,
        x=x,
        assessors=len(people),
        notes=[
            *panel.notes,
            *notes,
            *([spreads.message()] if spreads is not None else []),
            *looked_past(past),
        ],
        shared=fit.shared,
        off=off,
        not_looked_at=tuple(past),
    )
    return useful_sums(table, further) if variables is None else table.choosing(variables)


def useful_sums(table: ScoreTable, further: Further) -> ScoreTable:
    """The table without those sums over a wheel's life that here say its age in other words, or
    differ by less than their typical change; notes name them. Who names or ticks one looks at
    it, and a note says what was ticked."""
    again, same = (
        [v for v in found if v.key not in further.keys] for found in sums_left_out(table)
    )
    asked = [v.name for v in table.variables if v in FURTHER and v.key in further.keys]
    notes = [
        Message(words, names=[v.name for v in found])
        for words, found in (("findings.age-again", again), ("findings.hardly-varied", same))
        if found
    ]
    if asked:
        notes.append(Message("findings.ticked", names=asked))
    left = [v.name for v in table.variables if v not in (*again, *same)]
    return replace(table.choosing(left), notes=[*table.notes, *notes]) if notes else table


def further_variables(
    wholes: Iterable[WholeMake], score: str | None, ticked: frozenset[str]
) -> list[FurtherVariable]:
    """What findings about a score (None: about anything) leave out by default, and why."""
    every = Further(frozenset(v.key for v in FURTHER), alone=True)
    makes, values, _ = scored(wholes, score, every.figures)
    owner = {make.make.code: make for make in makes}
    units = sorted(
        {(make.make.code, one.wheel_code, _age_days(make, one)) for make in makes
         for one in make.scores}
    )  # fmt: skip
    rows, ages = [(owner[code], wheel) for code, wheel, _ in units], [age for *_, age in units]
    variables, x, *_ = columns_of(rows, values, np.array(ages), every)
    codes, none = [code for code, *_ in units], np.zeros(len(units))
    wheels = [wheel for _, wheel in rows]
    return left_out(ScoreTable(score or "", codes, wheels, none, none, variables, x), ticked)


ValuesByMake = dict[str, list[tuple[float, float]]]
"""Of each make, by its code: the value of each make variable and then of each figure asked for,
and how far it may be off."""


def scored(
    wholes: Iterable[WholeMake], score: str | None, figures: Sequence[FigureVariable] = ()
) -> tuple[list[WholeMake], ValuesByMake, set[str]]:
    """Makes with their scores for the attribute (None: any), their variables, and every attribute.

    The traces are dropped as soon as the variables are read: a long journal does not fit in memory.
    """
    makes: list[WholeMake] = []
    values: ValuesByMake = {}
    names: set[str] = set()
    for make in wholes:
        names |= {one.attribute for one in make.scores}
        ones = tuple(
            one for one in make.scores if score is None or snake(one.attribute) == snake(score)
        )
        if ones:
            usual = [value_of(make, one) for one in MAKE_VARIABLES]
            values[make.make.code] = usual + read_figures(make, figures)
            makes.append(replace(make, traces={}, scores=ones))
    return makes, values, names


def value_of(make: WholeMake, one: MakeVariable) -> tuple[float, float]:
    """What the record says and how far it may be off; where it is silent, what a table of past
    makes said."""
    value = one.read(make)
    if np.isfinite(value):
        return value, one.off(make) if one.off is not None else 0.0
    values = (e.value for e in make.entered if _speaks_for(e, one.variable))
    return next((v for v in values if v is not None), NONE), 0.0


def _speaks_for(entered: Entered, variable: Variable) -> bool:
    """Whether a value out of a table is that variable, in its unit."""
    named = snake(entered.name)
    if named == variable.key:
        return entered.unit in ("", variable.unit)
    alike = next((keys for keys in (CULTURES, RENNETS) if variable.key in keys), ())
    return named in alike and entered.unit == variable.unit


def _singles(
    given: list[tuple[WholeMake, ScoreGiven]], wheels: list[tuple[str, str]], people: list[str]
) -> Floats:
    """Make, wheel, assessor, session (numbered), age and value of each score, (6, scores)."""
    wheel_at = {wheel: i for i, wheel in enumerate(wheels)}
    make_at = {code: i for i, code in enumerate(sorted({code for code, _ in wheels}))}
    person_at = {name: i for i, name in enumerate(people)}
    rows = [
        (
            make_at[make.make.code],
            wheel_at[make.make.code, one.wheel_code],
            person_at[one.assessor],
            one.tasting_id,
            _age_days(make, one),
            one.value,
        )
        for make, one in given
    ]
    return np.array(rows, dtype=float).T


def _age_days(make: WholeMake, one: ScoreGiven) -> float:
    """Days from make to tasting; unknown where both stand on the day a table of makes gave."""
    age = (one.at_ms - make.make.started_ms) / DAY_MS
    return age if age >= 1 else NONE


def columns_of(
    rows: list[tuple[WholeMake, str]], values: ValuesByMake, ages: Floats, further: Further
) -> tuple[list[Variable], Floats, Floats, list[Message], list[NotLookedAt]]:
    """Variables that have a value somewhere, their values and how far these may be off, each
    (rows, variables); notes, and columns of imported words that are no variables. With the figures,
    estimates and declared pairs that are asked for, or a note on the estimates that could be."""
    of_makes = [one.variable for one in MAKE_VARIABLES]
    of_makes += [one.variable for one in further.figures]
    columns: list[tuple[Variable, list[float]]] = [
        (variable, [values[make.make.code][i][0] for make, _ in rows])
        for i, variable in enumerate(of_makes)
    ]
    offs = [[values[make.make.code][i][1] for make, _ in rows] for i in range(len(columns))]
    columns += [
        (
            variable,
            [
                read(make, wheel, float(days))
                for (make, wheel), days in zip(rows, ages, strict=True)
            ],
        )
        for variable, read in (*WHEEL_VARIABLES, *further.estimates)
    ]
    kinds, notes = category_columns([make for make, _ in rows])
    columns += kinds
    columns += _entered(rows)
    words, past = _entered_texts(rows)
    columns += words
    columns.append((AGE, [float(days) for days in ages]))
    offs += [[0.0] * len(rows)] * (len(columns) - len(offs))
    kept = [i for i, (_, column) in enumerate(columns) if np.isfinite(column).any()]
    shape = (len(rows), len(kept))
    makes = {make.make.code: make for make, _ in rows}
    named = _plainly_named([_stepped(*columns[i]) for i in kept])
    x = np.array([columns[i][1] for i in kept]).T.reshape(shape)
    variables, x = with_pairs(named, x, further.keys)
    off = np.array([offs[i] for i in kept]).T.reshape(shape)
    return (
        variables,
        x,
        np.column_stack([off, np.zeros((len(rows), len(variables) - len(named)))]),
        notes
        + dose_notes(makes.values())
        + _air_notes(rows, ages, columns)
        + _composed(makes, further),
        past,
    )


def _composed(makes: Mapping[str, WholeMake], further: Further) -> list[Message]:
    """That what the cheese is made of could be looked at, where it is known of any make."""
    rest = [v.name for v, _ in ESTIMATES if further.alone or v.key not in further.keys]
    if not rest or not any(composition_of(make) is not None for make in makes.values()):
        return []
    return [Message("findings.estimates-by-name", names=rest)]


def _air_notes(
    rows: list[tuple[WholeMake, str]],
    ages: Floats,
    columns: list[tuple[Variable, list[float]]],
) -> list[Message]:
    """Which wheels' air was read too seldom, where that of others was not."""
    of = {variable.key: column for variable, column in columns}
    known = np.isfinite(np.array([of[HUMIDITY.key], of[WARMTH.key]])).any(axis=0)
    lacking = sorted({wheel for (_, wheel), is_known, age in zip(rows, known, ages, strict=True)
                      if not is_known and np.isfinite(age)})  # fmt: skip
    if not lacking or not known.any():
        return []
    return [Message("findings.air-read-seldom", wheels=len(lacking), names=lacking)]


def _plainly_named(variables: list[Variable]) -> list[Variable]:
    """A dose that is known in one unit only goes by its plain name, whichever the unit is."""
    keys = {v.key for v in variables}
    plain = {other: key for key, other in (CULTURES, RENNETS) if key not in keys}
    return [replace(v, name=name_of(plain[v.key])) if v.key in plain else v for v in variables]


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


def _entered_texts(
    rows: list[tuple[WholeMake, str]],
) -> tuple[list[tuple[Variable, list[float]]], list[NotLookedAt]]:
    """Words that came in from a table of past makes, as contrasts; those that cannot, with why."""
    own = {one.name for one in CATEGORIES}
    names = {e.name for make, _ in rows for e in make.entered if e.value is None and e.text}
    codes = [make.make.code for make, _ in rows]
    columns: list[tuple[Variable, list[float]]] = []
    past = []
    for name in sorted(names - own):
        words = one_spelling([own_text(make, name) for make, _ in rows])
        found = contrasts(name, codes, words, of_words=True)
        columns += found
        if not found:
            past.append(NotLookedAt(name, why_no_contrast(codes, words)))
    return columns, past


def _stepped(variable: Variable, column: list[float]) -> Variable:
    """A dose's step is a tenth of the usual dose; other steps stand as they are declared."""
    if variable.key not in DOSES:
        return variable
    usual = median([value for value in column if np.isfinite(value)])
    more = Message("findings.share-more", percent=10)
    return replace(variable, step=usual / 10, step_label=more) if usual > 0 else variable


def _varies(column: Floats) -> bool:
    """Whether a column has two values at least."""
    known = column[np.isfinite(column)]
    return bool(known.size) and float(np.ptp(known)) > 0
