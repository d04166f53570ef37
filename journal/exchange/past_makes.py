"""A table of past makes, one row a make: read and understood first, then saved as one step."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from journal.exchange import ExchangeError
from journal.exchange.loggers.order import decide_order
from journal.exchange.loggers.stamps import NO_OFFSET, date_ms, read_parts
from journal.exchange.loggers.table import RawTable
from journal.exchange.loggers.zones import to_utc
from journal.exchange.past_cells import (
    clean,
    numeric,
    out_of,
    sound_rows,
    summing,
    table_mark,
    with_mark,
)
from journal.exchange.past_columns import (
    ChosenColumns,
    PastColumn,
    columns_of,
    is_there,
    refuse_doubles,
)
from journal.exchange.past_known import with_known
from journal.exchange.past_words import questions, understood
from journal.exchange.skipped import IMPOSSIBLE, NO_DATE, NO_ROLE, SUMMING
from journal.exchange.spreadsheet import read_foreign
from journal.findings.columns import (
    AGE,
    CODE,
    DATE,
    GONE,
    LEFT_OUT,
    MAKE,
    MILK,
    NAME,
    PERSON,
    PLAN,
    REMARK,
    REPEAT,
    ROW_NUMBER,
    SCORE,
    SESSION,
    TASTED,
    THERE,
    USED,
    VARIABLE,
    WHEEL,
    WORDS,
)
from journal.quantities import QuantityError
from journal.quantities.conversion import convert
from journal.quantities.units import stored_unit, unit_named
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso, zone_of
from journal.records.tastings import SCORE_TOP
from journal.wording import text_of, worded

_MOST_MILK_L, _MOST_WHEEL_KG = 10_000.0, 1000.0  # as the records have them


@dataclass(frozen=True)
class PastVariable:
    """A make variable out of a table: a number with its unit, or text where it is none."""

    name: str
    value: float | None
    text: str = ""
    unit: str = ""


@dataclass(frozen=True)
class PastUse:
    """What went in: a kind of ingredient, its amount in g or ml."""

    kind: str
    amount: float
    unit: str


@dataclass(frozen=True)
class PastScore:
    """A score on the journal's scale: of which tasting, by whom ("": nobody says), for what."""

    tasted_ms: int
    session: str
    who: str
    attribute: str
    value: float


@dataclass(frozen=True)
class PastWheel:
    """A wheel of a make: its weight, whether it is still there and when it went, where the table
    says so (None: it does not), and what it scored."""

    kg: float | None = None
    there: bool | None = None
    gone_ms: int | None = None
    given: tuple[PastScore, ...] = ()


@dataclass(frozen=True)
class PastMake:
    """A make of the table: a row, or several of one. `milk_l` is None where nothing tells it."""

    row: int  # the first, counted from 1 below the header
    started_ms: int
    tasted_ms: int
    name: str
    plan: str
    milk_l: float | None
    remark: str
    variables: tuple[PastVariable, ...]
    wheels: tuple[PastWheel, ...]
    code: str = ""
    used: tuple[PastUse, ...] = ()
    rows: int = 1

    @property
    def wheel_kg(self) -> float | None:
        """The weight of its first wheel."""
        return self.wheels[0].kg

    @property
    def there(self) -> bool:
        """Whether the table says that a wheel is still there."""
        return any(wheel.there for wheel in self.wheels)

    @property
    def scores(self) -> dict[str, float]:
        """The mean of what it was given, by attribute."""
        found: dict[str, list[float]] = {}
        for wheel in self.wheels:
            for one in wheel.given:
                found.setdefault(one.attribute, []).append(one.value)
        return {name: sum(values) / len(values) for name, values in found.items()}


@dataclass(frozen=True)
class PastTable:
    """A table as understood, before anything is saved.

    `read` counts rows, `reasons` the rows left out, a count a reason; `sentences` tell what was
    understood and what to look at, `questions` what a person should say once: `chosen` is what
    they said, with what is remembered of columns of these names.
    """

    columns: tuple[PastColumn, ...]
    makes: tuple[PastMake, ...]
    read: int
    reasons: dict[str, int] = field(default_factory=dict)
    sentences: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    chosen: ChosenColumns = field(default_factory=ChosenColumns)

    @property
    def rows(self) -> int:
        """How many rows its makes are of."""
        return sum(make.rows for make in self.makes)


def read_past(
    path: str | Path,
    chosen: ChosenColumns | None = None,
    *,
    zone: str,
    known: Mapping[str, str] | None = None,
) -> PastTable:
    """Read a table of past makes and say what was understood; nothing is saved.

    Parameters
    ----------
    chosen
        What a person chose for the columns.
    zone
        The zone in which its dates are read.
    known
        What was chosen before for columns of these names (`past_known.py`).

    Raises
    ------
    ExchangeError
        When the file holds no such table, no dates, or scores outside 0 to 10 without a scale.
    """
    raw = read_foreign(path)
    chosen = with_known(raw.header, chosen or ChosenColumns(), known or {})
    columns = columns_of(raw, chosen)
    refuse_doubles(columns)
    sums = summing(raw)
    rows = [row for row in sound_rows(raw) if row < raw.rows - sums]
    reader = _Reader(raw, rows, columns, chosen, zone)
    started, dated = reader.dates()
    parts = _RowLists(
        started=started,
        dated=dated,
        tasted=reader.tasted(started),
        gone=reader.gone(),
        milk=reader.amount(MILK, "volume"),
        wheel=reader.amount(WHEEL, "mass"),
        variables=[reader.variables(c) for c in columns if c.role in (VARIABLE, WORDS)],
        used=[(c, reader.used(c)) for c in columns if c.role == USED],
        scores=[(c, reader.score(c)) for c in columns if c.role == SCORE],
    )
    reasons = Counter({SUMMING: sums} if sums else {})
    single = list(_makes(reader, parts, reasons))
    joins = bool({MAKE, PERSON, REPEAT} & reader.roles.keys())
    makes = tuple(merged(single, by_make=MAKE in reader.roles) if joins else single)
    if MAKE in reader.roles and len(makes) > len({make.name for make in makes}):
        reader.notes.append(worded("exchange.rows-differ", column=reader.roles[MAKE].header))
    sentences = (*understood(columns, milk_given=chosen.milk_l is not None), *reader.notes)
    asked = questions(columns, chosen)
    return PastTable(tuple(columns), makes, len(rows) + sums, dict(reasons), sentences, asked,
                     chosen)  # fmt: skip


@dataclass(frozen=True)
class _RowLists:
    """What the rows say, a list entry each, in the order of the rows."""

    started: list[int]
    dated: list[bool]
    tasted: list[int]
    gone: list[int | None]
    milk: list[float]
    wheel: list[float]
    variables: list[list[PastVariable | None]]
    used: list[tuple[PastColumn, list[float]]]
    scores: list[tuple[PastColumn, list[float]]]

    def wheel_of(self, i: int, reader: _Reader) -> PastWheel:
        """The wheel of a row with what it scored there."""
        row, weight = reader.rows[i], self.wheel[i]
        session, person = reader.text(SESSION, row), reader.text(PERSON, row)
        given = tuple(
            PastScore(self.tasted[i], session, column.who or person, column.name, values[i])
            for column, values in self.scores
            if not math.isnan(values[i])
        )
        kg = None if math.isnan(weight) else weight
        return PastWheel(kg, reader.there(row), self.gone[i], given)


def _makes(reader: _Reader, parts: _RowLists, reasons: Counter[str]) -> Iterator[PastMake]:
    """The rows that are makes; the others are counted into `reasons`."""
    for i, row in enumerate(reader.rows):
        variables = tuple(v for column in parts.variables if (v := column[i]) is not None)
        used = tuple(PastUse(column.name, values[i], column.unit) for column, values in parts.used
                     if values[i] > 0)  # fmt: skip
        wheel, milk, weight = parts.wheel_of(i, reader), parts.milk[i], parts.wheel[i]
        why = ""
        if not parts.dated[i]:
            why = NO_DATE
        elif not variables and not used and not wheel.given:
            why = NO_ROLE
        elif milk <= 0 or milk > _MOST_MILK_L or weight <= 0 or weight > _MOST_WHEEL_KG:
            why = IMPOSSIBLE
        if why:
            reasons[why] += 1
            continue
        yield PastMake(
            row=row + 1,
            started_ms=parts.started[i],
            tasted_ms=parts.tasted[i],
            name=reader.text(NAME, row) or reader.text(MAKE, row) or reader.numbered(row),
            plan=reader.text(PLAN, row),
            milk_l=reader.chosen.milk_l if math.isnan(milk) else milk,
            remark=reader.text(REMARK, row),
            variables=variables,
            wheels=(wheel,),
            code=reader.text(CODE, row),
            used=used,
        )


def merged(makes: Sequence[PastMake], *, by_make: bool) -> list[PastMake]:
    """Rows of one make as one: those of one name that say nothing different of what was done,
    begun on the first of their days; without names of makes, rows that are alike in all but who
    tasted when. Rows of different weights are its wheels."""
    groups: dict[Hashable, list[list[PastMake]]] = {}
    for make in makes:
        alike = (make.started_ms, make.code, make.plan, make.wheel_kg)
        key = (make.name, make.row if by_make and not make.name else None if by_make else alike)
        own = groups.setdefault(key, [])
        fitting = next((rows for rows in own if _says_the_same(rows[0], make)), None)
        if fitting is None:
            own.append([make])
        else:
            fitting.append(make)
    return [_joined(rows) for own in groups.values() for rows in own]


def _says_the_same(one: PastMake, other: PastMake) -> bool:
    """Whether nothing that both rows say of what was done is different."""
    known = {v.name: v for v in one.variables}
    used = {use.kind: use for use in one.used}
    return (
        all(known.get(v.name, v) == v for v in other.variables)
        and all(used.get(use.kind, use) == use for use in other.used)
        and (one.milk_l is None or other.milk_l is None or one.milk_l == other.milk_l)
    )


def _started(make: PastMake) -> int:
    return make.started_ms


def _joined(rows: Sequence[PastMake]) -> PastMake:
    wheels: dict[float | None, PastWheel] = {}
    variables: dict[str, PastVariable] = {}
    for make in rows:
        for one in make.variables:
            variables.setdefault(one.name, one)
        own = make.wheels[0]
        before = wheels.get(own.kg)
        wheels[own.kg] = own if before is None else replace(before, given=before.given + own.given)
    used = next((make.used for make in rows if make.used), ())
    first = min(rows, key=_started)
    return replace(first, wheels=tuple(wheels.values()), variables=tuple(variables.values()),
                   used=used, rows=len(rows))  # fmt: skip


class _Reader:
    """Reads the columns of one table; `notes` gathers what a person should look at."""

    def __init__(
        self,
        raw: RawTable,
        rows: list[int],
        columns: Sequence[PastColumn],
        chosen: ChosenColumns,
        zone: str,
    ) -> None:
        self.raw = raw
        self.rows = rows
        self.roles = {column.role: column for column in columns}
        self.chosen = chosen
        self.zone = zone
        left_out = [c.index for c in columns if c.role in (LEFT_OUT, REMARK, NAME)]
        self.mark = table_mark(raw, but=left_out)
        self.notes: list[str] = []

    def cells(self, column: PastColumn) -> list[str]:
        """A column's cells in the order of the rows."""
        return [self.raw.columns[column.index][row] for row in self.rows]

    def text(self, role: str, row: int) -> str:
        """One cell of the column with that role, "" when there is none."""
        column = self.roles.get(role)
        return "" if column is None else clean(self.raw.columns[column.index][row])

    def there(self, row: int) -> bool | None:
        """Whether the table says that the row's wheel is still there; None where no column does."""
        column = self.roles.get(THERE)
        if column is None:
            return self.text(GONE, row) == "" if GONE in self.roles else None
        cell = self.raw.columns[column.index][row]
        found = is_there(column.header, cell)
        if found is None:
            raise ExchangeError("exchange.there-or-not", cell=clean(cell), column=column.header)
        return found

    def numbered(self, row: int) -> str:
        """A name out of the column that numbers the rows: "case 12"."""
        number = self.text(ROW_NUMBER, row)
        return f"{self.roles[ROW_NUMBER].name} {number}" if number else ""

    def dates(self) -> tuple[list[int], list[bool]]:
        """When each row's make began, and whether anything says so."""
        column = self.roles.get(DATE)
        stand_in = from_iso(self.chosen.date, self.zone) if self.chosen.date else None
        if column is None and stand_in is None:
            raise ExchangeError("exchange.no-column-of-dates", asks="date")
        if column is None:
            return [stand_in or 0] * len(self.rows), [True] * len(self.rows)
        found, good = self._instants(column)
        if stand_in is not None:
            found = [at if ok else stand_in for at, ok in zip(found, good, strict=True)]
            good = [True] * len(good)
        if not any(good):
            raise ExchangeError("exchange.no-date-in-column", column=column.header)
        return found, good

    def gone(self) -> list[int | None]:
        """When each row's wheel was gone, None where nothing says so."""
        column = self.roles.get(GONE)
        if column is None:
            return [None] * len(self.rows)
        at_ms, good = self._instants(column)
        return [at if ok else None for at, ok in zip(at_ms, good, strict=True)]

    def tasted(self, started: list[int]) -> list[int]:
        """When each row's cheese was tasted: by its own date, by its age, else as it was made."""
        column = self.roles.get(TASTED)
        if column is not None:
            at_ms, good = self._instants(column)
            both = zip(at_ms, started, good, strict=True)
            return [max(at, begun) if ok else begun for at, begun, ok in both]
        if AGE in self.roles:
            ages = self.amount(AGE, "duration")
            return [
                begun if math.isnan(age) or age < 0 else begun + round(age * MINUTE_MS)
                for age, begun in zip(ages, started, strict=True)
            ]
        self.notes.append(worded("exchange.tasted-when-made"))
        return list(started)

    def amount(self, role: str, quantity: str) -> list[float]:
        """A column in the quantity's stored unit, NaN where there is none."""
        column = self.roles.get(role)
        if column is None:
            return [math.nan] * len(self.rows)
        found = numeric(self.cells(column), self.mark)
        if found is None:
            raise ExchangeError("exchange.should-hold-numbers", column=column.header)
        usual = "d" if role == AGE else stored_unit(quantity).key
        written = column.unit or found.unit or _unit_in_header(column.header, quantity) or usual
        try:
            unit = unit_named(quantity, written).key
        except QuantityError as error:
            raise ExchangeError("exchange.in-a-column", column=column.header, why=error) from None
        kept = convert(np.array(found.values), unit, stored_unit(quantity).key)
        return [float(value) for value in kept]

    def variables(self, column: PastColumn) -> list[PastVariable | None]:
        """A column as make variables: numbers, or the text of a column of text."""
        cells = self.cells(column)
        if column.meaning is not None:
            amounts = column.meaning.amounts(self.marked(cells))
            if amounts is not None:
                unit = column.meaning.unit
                return [_variable(column.name, value, "", unit) for value in amounts]
        found = numeric(cells, self.mark) if column.role == VARIABLE else None
        if found is None and column.role == VARIABLE:
            raise ExchangeError("exchange.column-without-numbers", column=column.header)
        values = found.values if found is not None else [math.nan] * len(cells)
        unit = column.unit or (found.unit if found is not None else "")
        return [
            _variable(column.name, value, clean(cell), unit)
            for value, cell in zip(values, cells, strict=True)
        ]

    def used(self, column: PastColumn) -> list[float]:
        """How much went in, in g or ml."""
        found = column.meaning.amounts(self.marked(self.cells(column))) if column.meaning else None
        return found or [math.nan] * len(self.rows)

    def marked(self, cells: Sequence[str]) -> list[str]:
        """Cells whose thousands are read by the table's mark: "1,250 g" is 1250 g beside points."""
        return [with_mark(cell, self.mark) for cell in cells]

    def score(self, column: PastColumn) -> list[float]:
        """A score column on the journal's scale of 0 to 10, NaN where nobody scored."""
        cells, top = out_of(self.cells(column)) or (self.cells(column), SCORE_TOP)
        found = numeric(cells, self.mark)
        if found is None:
            raise ExchangeError("exchange.column-without-scores", column=column.header)
        low, high = self._scale(column, top)
        real = [value for value in found.values if not math.isnan(value)]
        if real and not low <= min(real) <= max(real) <= high:
            raise ExchangeError(
                "exchange.off-scale", column=column.header, least=min(real), most=max(real),
                low=low, high=high, asks="scale",
            )  # fmt: skip
        if (low, high) != (0.0, SCORE_TOP):
            self.notes.append(worded("exchange.rescaled", column=column.header, low=low, high=high))
        return [(value - low) / (high - low) * SCORE_TOP for value in found.values]

    def _scale(self, column: PastColumn, top: float) -> tuple[float, float]:
        for name, scale in self.chosen.scales.items():
            if name and name.lower() in (column.header.lower(), column.name.lower()):
                return scale
        return self.chosen.scales.get("", (0.0, top))

    def _instants(self, column: PastColumn) -> tuple[list[int], list[bool]]:
        parts = read_parts([cell.strip() for cell in self.cells(column)])
        order, reason = self.chosen.date_order, None
        if not order:
            found = decide_order(parts, np.maximum(parts.clock_ms, 0), steady=False)
            order, reason = found.order, found.reason
        if not order:
            raise ExchangeError(
                "exchange.under-column", column=column.header, why=reason, asks="date order"
            )
        if reason is not None:
            self.notes.append(text_of(reason))
        midnight, good = date_ms(parts, order)
        local = midnight + np.maximum(parts.clock_ms, 0)
        own = parts.offset_min != NO_OFFSET
        at_ms = local - np.where(own, parts.offset_min, 0) * MINUTE_MS
        bare = good & ~own
        at_ms[bare], _ = to_utc(local[bare], zone_of(self.zone))
        good &= at_ms > DAY_MS
        return at_ms.tolist(), good.tolist()


def _unit_in_header(header: str, quantity: str) -> str:
    from journal.exchange.loggers.headers import unit_in

    return unit_in(header, quantity) or ""


def _variable(name: str, value: float, text: str, unit: str) -> PastVariable | None:
    if not math.isnan(value):
        return PastVariable(name, value, "", unit)
    return PastVariable(name, None, text, "") if text else None
