"""Readings out of an understood table: arrays to save, and what was skipped and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from journal.exchange import ExchangeError
from journal.exchange.loggers.long_table import ELSEWHERE
from journal.exchange.loggers.mapping import Mapping
from journal.exchange.loggers.numbers import EMPTY, GOOD, NO_NUMBER, OTHER_UNIT, read_values
from journal.exchange.loggers.patterns import Ints
from journal.exchange.loggers.table import RawTable
from journal.exchange.loggers.timing import Followed, UnsureDay, instants
from journal.exchange.loggers.understand import LoggerColumn, Understood, understand
from journal.exchange.skipped import (
    EMPTY_CELL,
    IMPOSSIBLE_VALUE,
    NO_TIME,
    NOT_A_NUMBER,
    REPEATED_HEADER,
    TWICE,
    WRONG_UNIT,
)
from journal.records import RecordError
from journal.records.instants import MINUTE_MS, zone_of
from journal.records.kinds import READING_KINDS
from journal.wording import worded

_FARED = {EMPTY: EMPTY_CELL, NO_NUMBER: NOT_A_NUMBER, OTHER_UNIT: WRONG_UNIT}


@dataclass(frozen=True)
class LoggerTrace:
    """Readings of one kind, ascending in time: `at_ms` (n,) UTC, `value` (n,) in stored units,
    `guessed` (n,) where the day is a guess."""

    at_ms: Ints
    value: NDArray[np.float64]
    guessed: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.at_ms)

    def at_odds(self, apart: float) -> NDArray[np.bool_]:
        """Which readings, (n,), share their instant with one that lies further apart."""
        found = np.zeros(len(self), np.bool_)
        same = (np.diff(self.at_ms) == 0) & (np.abs(np.diff(self.value)) > apart)
        found[:-1] |= same
        found[1:] |= same
        return found


@dataclass(frozen=True)
class LoggerReadings:
    """What a file gives: a series for each kind of reading, and an account of every value.

    `read` counts rows; `kept` and `skipped` count values, so that with k mapped columns
    `kept + skipped == read * k`, and in a table with a row for each value the rows of the sensors
    that are mapped. `reasons` has a count for each reason; `notes` are sentences, `early` those
    on what lies before the make began; `unsure` says why the day of some rows is a guess.
    """

    series: dict[str, LoggerTrace]
    unsure: UnsureDay
    read: int
    kept: int
    skipped: int
    reasons: dict[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    early: tuple[str, ...] = ()


def take(
    understood: Understood,
    mapping: Mapping | None = None,
    *,
    zone: str,
    start_ms: int,
    followed: Followed | None = None,
) -> LoggerReadings:
    """Take the readings out of the table.

    Parameters
    ----------
    understood
        What `understand` found.
    mapping
        Another mapping than the one found; None keeps to `understood.mapping`.
    zone
        IANA name of the zone in which times without an offset are read.
    start_ms
        The make's start in UTC ms, from which elapsed times count.
    followed
        The present, of a file that is followed, and whether it goes on from a row of `start_ms`.

    Raises
    ------
    ExchangeError
        When there is no time, no reading, or the order of the dates is open.
    """
    if mapping is not None and mapping != understood.mapping:
        understood = understand(understood.raw, mapping)
    raw = understood.raw
    _refuse_open(understood)
    at_ms, timed, notes, unsure = instants(raw, understood.timing, _zone(zone), start_ms, followed)
    sound = timed & ~raw.repeated
    reasons: Counter[str] = Counter()
    rows = np.flatnonzero(sound)
    parts: dict[str, list[LoggerTrace]] = {}
    for column in understood.readings:
        here = _own_rows(raw, column)
        reasons[REPEATED_HEADER] += int((raw.repeated & here).sum())
        reasons[NO_TIME] += int((~timed & ~raw.repeated & here).sum())
        own = rows[here[rows]]
        value, possible = _column(understood, column, own, reasons)
        part = LoggerTrace(at_ms[own][possible], value[possible], unsure.rows[own][possible])
        parts.setdefault(column.kind, []).append(part)
    series = {kind: _merged(found, reasons) for kind, found in parts.items()}
    if not any(part.guessed.any() for part in series.values()):
        unsure = replace(unsure, words=())  # of a column that is left out
    notes += _row_notes(understood, at_ms[rows])
    early = _early(series, start_ms)
    return LoggerReadings(
        series=series,
        unsure=unsure,
        read=raw.rows,
        kept=sum(map(len, series.values())),
        skipped=reasons.total(),
        reasons={reason: count for reason, count in reasons.items() if count},
        notes=(*notes, *early),
        early=early,
    )


def _refuse_open(understood: Understood) -> None:
    """Refuse a table about which a person has to choose something first."""
    sensors = understood.raw.sensors
    if not understood.readings and sensors is not None:
        names = [f"“{name}”" for name in understood.raw.header[len(sensors.others) :]]
        raise ExchangeError("exchange.one-sensor-a-row", names=names, asks="columns")
    if not understood.readings:
        raise ExchangeError("exchange.nothing-mapped")
    for column in understood.readings:
        if column.unlikely is not None:
            raise ExchangeError(column.unlikely, asks="unit")


def _early(series: dict[str, LoggerTrace], start_ms: int) -> tuple[str, ...]:
    """What lies before the make began: a clock that is wrong, or another make's readings."""
    at_ms = np.concatenate([part.at_ms for part in series.values()])
    early = at_ms[at_ms < start_ms]
    if not len(early):
        return ()
    which = "exchange.one-early" if len(early) == 1 else "exchange.several-early"
    ahead = (start_ms - int(early.min())) / MINUTE_MS
    return (worded(which, readings=len(early), ahead=ahead),)


def _zone(name: str) -> ZoneInfo:
    try:
        return zone_of(name)
    except RecordError as error:
        raise ExchangeError(error.message) from None


def _own_rows(raw: RawTable, column: LoggerColumn) -> NDArray[np.bool_]:
    """The rows in which a column has a cell: all of them but in a table with a row a value."""
    if raw.sensors is None:
        return np.ones(raw.rows, np.bool_)
    return np.array([cell != ELSEWHERE for cell in raw.columns[column.index]], np.bool_)


def _column(
    understood: Understood, column: LoggerColumn, rows: Ints, reasons: Counter[str]
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """The values of one column and which are possible; the others are counted into `reasons`."""
    cells: Sequence[str] = understood.raw.columns[column.index]
    if len(rows) < len(cells):
        cells = [cells[row] for row in rows.tolist()]
    value, fared = read_values(cells, understood.decimal, column.quantity, column.unit)
    for code, count in enumerate(np.bincount(fared, minlength=4).tolist()):
        if code in _FARED:
            reasons[_FARED[code]] += count
    kind = READING_KINDS[column.kind]
    good = fared == GOOD
    possible = good & (value >= kind.low) & (value <= kind.high)
    reasons[IMPOSSIBLE_VALUE] += int((good & ~possible).sum())
    return value, possible


def _merged(parts: Sequence[LoggerTrace], reasons: Counter[str]) -> LoggerTrace:
    """All readings of one kind in order of time, each instant with the same value once."""
    at_ms = np.concatenate([part.at_ms for part in parts])
    value = np.concatenate([part.value for part in parts])
    guessed = np.concatenate([part.guessed for part in parts])
    if (np.diff(at_ms) > 0).all():
        return LoggerTrace(at_ms, value, guessed)
    order = np.lexsort((np.arange(len(at_ms)), value, at_ms))
    twice = np.zeros(len(at_ms), np.bool_)
    same = (np.diff(at_ms[order]) == 0) & (np.diff(value[order]) == 0)
    twice[order[1:][same]] = True
    reasons[TWICE] += int(twice.sum())
    order = np.flatnonzero(~twice)
    order = order[np.argsort(at_ms[order], kind="stable")]
    return LoggerTrace(at_ms[order], value[order], guessed[order])


def _row_notes(understood: Understood, at_ms: Ints) -> list[str]:
    notes = []
    back = int((np.diff(at_ms) < 0).sum())
    if back and back == len(at_ms) - 1:
        notes.append(worded("exchange.rows-reversed"))
    elif back:
        notes.append(worded("exchange.rows-sorted", places=back))
    uneven = understood.raw.uneven
    if uneven:
        notes.append(worded("exchange.rows-uneven", rows=uneven))
    return notes
