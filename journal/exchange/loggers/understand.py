"""What a raw table holds: which columns are the time, which are readings of which kind."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from itertools import chain, pairwise

import numpy as np

from journal.exchange import ExchangeError
from journal.exchange.loggers.cells import NUMBER, mostly, sample_of
from journal.exchange.loggers.headers import kinds_of, rivals_of, unit_in
from journal.exchange.loggers.mapping import DATE_ORDERS, TIME_FORMS, Mapping, find_column
from journal.exchange.loggers.numbers import GOOD, decimal_mark, read_values
from journal.exchange.loggers.table import RawTable
from journal.exchange.loggers.timing import NO_TIME, Timing, find_timing
from journal.message import Message
from journal.quantities import QuantityError
from journal.quantities.units import unit_named
from journal.records.kinds import READING_KINDS
from journal.wording import text_of, worded

_LOOKED_AT = 400


@dataclass(frozen=True)
class LoggerColumn:
    """One column: its role ("time", "reading" or "left out"), and for a reading kind and unit.

    `unit` is a unit key of the kind's quantity; `sure` is False when no one said the unit, and
    `unlikely` says that the values are hardly in that unit, so that a person has to choose.
    """

    index: int
    name: str
    role: str
    kind: str = ""
    unit: str = ""
    sure: bool = True
    unlikely: Message | None = None

    @property
    def quantity(self) -> str:
        """The quantity of the kind, "" for a column that is no reading."""
        return READING_KINDS[self.kind].quantity if self.kind else ""


@dataclass(frozen=True)
class Understood:
    """A raw table with its meaning, and the full mapping.

    `sentences` tell a person what was understood, `questions` what they should look at;
    `date_order` is "" when the dates leave it open; `unclear` says of columns that could be read
    in two ways how that was settled.
    """

    raw: RawTable
    columns: tuple[LoggerColumn, ...]
    timing: Timing
    decimal: str
    mapping: Mapping
    sentences: tuple[str, ...]
    questions: tuple[str, ...]
    unclear: tuple[str, ...] = ()

    @property
    def readings(self) -> tuple[LoggerColumn, ...]:
        """The columns that are readings."""
        return tuple(column for column in self.columns if column.kind)

    @property
    def doubts(self) -> tuple[str, ...]:
        """What was assumed because nobody chose it: units, the unit of a counted time."""
        assumed = (text_of(self.timing.doubt),) if self.timing.doubt is not None else ()
        bare = (_no_unit(column) for column in self.columns if not column.sure)
        return (*assumed, *self.unclear, *bare)

    @property
    def date_order(self) -> str:
        """ "dmy", "mdy", "ymd", or "" while it is open or there are no dates."""
        return self.timing.date_order


def understand(raw: RawTable, mapping: Mapping | None = None) -> Understood:
    """Find out what the columns are; what `mapping` says is taken as it is.

    Raises
    ------
    ExchangeError
        When the mapping names a column the file has not, a unit the kind has not, or was
        remembered for a file of another shape.
    """
    picked = mapping or Mapping()
    if picked.shape and picked.shape != raw.shape:
        raise ExchangeError("exchange.mapping-of-other-file")
    picked = _by_real_name(raw, picked)
    samples = [sample_of(column, _LOOKED_AT) for column in raw.columns]
    looks = [mostly(sample) for sample in samples]
    timing = find_timing(raw, looks, picked)
    decimal = picked.decimal or _decimal(raw, samples, looks, timing)
    columns = _columns(raw, samples, looks, timing, decimal, picked)
    unclear = (*_rivals(raw, columns, picked), *_halves(raw, columns, samples))
    full = _full_mapping(raw, columns, timing, decimal, picked)
    return Understood(
        raw=raw,
        columns=columns,
        timing=timing,
        decimal=decimal,
        mapping=full,
        sentences=_sentences(raw, columns, timing, decimal),
        questions=(*_questions(columns, timing), *unclear),
        unclear=unclear,
    )


def without(understood: Understood, kinds: Collection[str]) -> Understood:
    """The same with the columns of those kinds left out; the mapping still knows what they are."""
    columns = tuple(
        LoggerColumn(column.index, column.name, "left out") if column.kind in kinds else column
        for column in understood.columns
    )
    return replace(
        understood,
        columns=columns,
        sentences=_sentences(understood.raw, columns, understood.timing, understood.decimal),
        questions=(*_questions(columns, understood.timing), *understood.unclear),
    )


def _by_real_name(raw: RawTable, picked: Mapping) -> Mapping:
    """The mapping with each column by the name it has in the file."""

    def real(name: str) -> str:
        return raw.header[find_column(raw.header, name)]

    return replace(
        picked,
        kinds={real(name): kind for name, kind in picked.kinds.items()},
        units={real(name): unit for name, unit in picked.units.items()},
        time=tuple(real(name) for name in picked.time),
    )


def _decimal(
    raw: RawTable, samples: Sequence[list[str]], looks: Sequence[str], timing: Timing
) -> str:
    cells = [
        cell
        for index, sample in enumerate(samples)
        if looks[index] == NUMBER and index not in timing.columns
        for cell in sample
    ]
    return decimal_mark(cells, raw.delimiter)


def _rivals(raw: RawTable, columns: Sequence[LoggerColumn], picked: Mapping) -> list[str]:
    """Sensors of which any could be the milk's: none is imported."""
    if raw.sensors is None or picked.kinds:
        return []
    left = [column.name for column in columns if column.role == "left out"]
    return [
        worded(
            "exchange.columns-rival",
            columns=[f"“{name}”" for name in group],
            kind=kinds_of(group[:1])[0] or "",
        )
        for group in rivals_of(left)
    ]


def _halves(
    raw: RawTable, columns: Sequence[LoggerColumn], samples: Sequence[list[str]]
) -> list[str]:
    """Columns without names that may be the halves of numbers cut at a decimal comma."""
    if raw.named or raw.delimiter != ",":
        return []
    whole = [all(cell.strip().isdigit() for cell in sample) for sample in samples]
    return [
        worded("exchange.halves", one=one.name, two=two.name)
        for one, two in pairwise(columns)
        if one.kind and two.role == "left out" and whole[one.index] and whole[two.index]
    ]


def _columns(
    raw: RawTable,
    samples: Sequence[list[str]],
    looks: Sequence[str],
    timing: Timing,
    decimal: str,
    picked: Mapping,
) -> tuple[LoggerColumn, ...]:
    free = [
        index
        for index in range(len(raw.header))
        if index not in timing.columns and looks[index] == NUMBER
    ]
    guessed = dict(zip(free, kinds_of([raw.header[index] for index in free]), strict=True))
    if picked.kinds and not picked.shape:
        guessed = {}
    if raw.sensors is not None:
        open_ones = set(chain.from_iterable(rivals_of([raw.header[index] for index in free])))
        guessed = {p: k for p, k in guessed.items() if raw.header[p] not in open_ones}
    found = []
    for index, name in enumerate(raw.header):
        kind = picked.kinds.get(name, guessed.get(index) or "")
        if index in timing.columns:
            found.append(LoggerColumn(index, name, "time"))
        elif kind:
            column = _reading(index, name, kind, samples[index], picked)
            found.append(replace(column, unlikely=_unlikely(column, samples[index], decimal)))
        else:
            found.append(LoggerColumn(index, name, "left out"))
    return tuple(found)


def _reading(index: int, name: str, kind: str, sample: list[str], picked: Mapping) -> LoggerColumn:
    quantity = READING_KINDS[kind].quantity
    chosen = picked.unit_for(name, kind)
    if chosen:
        try:
            return LoggerColumn(index, name, "reading", kind, unit_named(quantity, chosen).key)
        except QuantityError as error:
            raise ExchangeError("exchange.in-a-column", column=name, why=error) from None
    written = unit_in(name, quantity)
    if written:
        return LoggerColumn(index, name, "reading", kind, written)
    usual = unit_named(quantity, READING_KINDS[kind].unit).key
    behind = _unit_behind(sample, quantity)
    sure = bool(behind) or quantity in ("ph", "humidity", "percent")
    return LoggerColumn(index, name, "reading", kind, behind or usual, sure)


# Above these °C a column whose unit nobody named is asked about: nine in ten values of a make, of a
# room, lie below (common practice, no source). Below freezing it cannot be in °F.
_HOTTEST_C = {"milk-temp": 60.0, "room-temp": 40.0}
_FREEZING_F = 32.0


def _unlikely(column: LoggerColumn, sample: Sequence[str], decimal: str) -> Message | None:
    """Why values whose unit nobody named are hardly in the unit taken, None where they can be."""
    if column.sure or column.kind not in _HOTTEST_C:
        return None
    value, fared = read_values(sample, decimal, column.quantity, column.unit)
    value = value[fared == GOOD]
    if not len(value):
        return None
    low, high = np.quantile(value, [0.1, 0.9])
    if high <= _HOTTEST_C[column.kind] or low < _FREEZING_F:
        return None
    return Message("exchange.rather-fahrenheit", column=column.name, low=low, high=high)


def _unit_behind(sample: list[str], quantity: str) -> str:
    """The unit written behind the numbers themselves, "" when there is none."""
    for cell in sample[:50]:
        suffix = cell.strip().lstrip("+-−0123456789.,' ")
        if suffix:
            try:
                return unit_named(quantity, suffix).key
            except QuantityError:
                continue
    return ""


def _full_mapping(
    raw: RawTable, columns: Sequence[LoggerColumn], timing: Timing, decimal: str, picked: Mapping
) -> Mapping:
    return Mapping(
        kinds={column.name: column.kind for column in columns if column.role != "time"},
        units={column.name: column.unit for column in columns if column.kind and column.sure},
        unit=picked.unit,
        time=tuple(raw.header[index] for index in timing.columns),
        time_form=timing.form,
        date_order=timing.date_order,
        decimal=decimal,
        shape=raw.shape,
    )


_DELIMITERS = {
    "\t": Message("exchange.between-tabs"),
    ";": Message("exchange.between-semicolons"),
    ",": Message("exchange.between-commas"),
}


def _sentences(
    raw: RawTable, columns: Sequence[LoggerColumn], timing: Timing, decimal: str
) -> tuple[str, ...]:
    found = [
        worded("exchange.file-read" if len(raw.header) > 1 else "exchange.one-column-read",
               rows=raw.rows, columns=len(raw.header), comma=decimal == ",",
               between=_DELIMITERS.get(raw.delimiter, f"“{raw.delimiter}”"),
               encoding=raw.encoding.upper())
    ]  # fmt: skip
    if raw.before:
        found.append(worded("exchange.lines-skipped", lines=len(raw.before)))
    if raw.sensors is not None:
        found.append(worded("exchange.sensor-a-row", sensors=len(raw.sensors.names)))
    if not raw.named:
        found.append(worded("exchange.no-header"))
    if timing.form:
        names = [f"“{raw.header[index]}”" for index in timing.columns]
        order = DATE_ORDERS[timing.date_order] if timing.date_order and timing.open else None
        which = "exchange.time-is" if order is None else "exchange.time-is-in-order"
        found.append(worded(which, columns=names, form=TIME_FORMS[timing.form], order=order))
    found += [text_of(timing.reason)] if timing.reason and timing.date_order else []
    for column in columns:
        if column.kind:
            unit = unit_named(column.quantity, column.unit).label
            of_unit = "exchange.column-without-unit" if column.unlikely else "exchange.column-is"
            found.append(worded(of_unit, column=column.name, kind=column.kind, unit=unit))
        elif column.role == "left out":
            found.append(worded("exchange.column-left-out", column=column.name))
    return tuple(found)


def _questions(columns: Sequence[LoggerColumn], timing: Timing) -> tuple[str, ...]:
    found = [] if timing.form else [timing.reason or NO_TIME]
    if timing.open and not timing.date_order and timing.reason is not None:
        found.append(timing.reason)
    if timing.doubt is not None:
        found.append(timing.doubt)
    if not any(column.kind for column in columns):
        found.append(Message("exchange.nothing-recognised"))
    return (*map(text_of, found), *(_no_unit(column) for column in columns if not column.sure))


def _no_unit(column: LoggerColumn) -> str:
    if column.unlikely is not None:
        return text_of(column.unlikely)
    unit = unit_named(column.quantity, column.unit).label
    return worded("exchange.unit-assumed", column=column.name, unit=unit)
