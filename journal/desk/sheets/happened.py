"""What a make's record says of its day, as cells: its stages and its readings."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from journal.desk.sheets.table import Cell, Words
from journal.records.instants import MINUTE_MS
from journal.records.kinds import READING_KINDS, ReadingKind
from journal.records.makes import StageRun
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.wording.dates import weekday_clock
from journal.wording.doses import amount_words
from journal.wording.durations import minutes_text
from journal.wording.numbers import NOTHING, signed
from journal.wording.readings import figure_text, unit_text
from journal.wording.shown import shown_figure
from journal.wording.ties import NO_BREAK

_ACIDITY = ("milk-ph", "curd-ph", "whey-ph", "milk-acidity", "whey-acidity")
NONE = NOTHING


def clock_on(whole: WholeMake, at_ms: int | None) -> str:
    """The time of day in the make's zone, with the weekday when it is not the make's first day."""
    if at_ms is None:
        return NONE
    return weekday_clock(at_ms, whole.make.started_ms, whole.make.zone)


def stage_cells(whole: WholeMake, index: int) -> list[Cell]:
    """A stage's row: planned and real begin, delay, planned and real length, °C, what was read
    and what went in."""
    stage = whole.plan.stages[index]
    run = next((r for r in whole.runs if r.position == index), None)
    planned = None if run is None else run.planned_begin_ms
    began = None if run is None else run.began_ms
    delay = None if run is None else run.delay_min
    target = NONE if stage.target_c is None else shown_figure(stage.target_c, "temperature", 1)
    return [
        [Words(lead=f"{index + 1}  {stage.label}")],
        clock_on(whole, planned),
        [Words(lead=clock_on(whole, began))],
        NONE if delay is None else signed(delay, 0),
        _length(stage.minutes),
        _real_length(whole, run),
        target,
        _read_in(whole, run),
        [*_acid_in(whole, run), *(Words(text) for text in _used(whole, index))],
    ]


def reading_rows(whole: WholeMake) -> list[list[Cell]]:
    """Each kind that was read: how many, first, last, lowest and highest with their times."""
    rows: list[list[Cell]] = []
    for key, kind in READING_KINDS.items():
        trace = whole.trace(key).sound()
        if not len(trace):
            continue
        struck = len(whole.trace(key)) - len(trace)
        low, high = int(np.argmin(trace.value)), int(np.argmax(trace.value))
        rows.append([
            [Words(lead=_kind_words(kind))],
            f"{len(trace):,}" + (f" ({struck} struck)" if struck else ""),
            *(_at(whole, trace, i, kind) for i in (0, len(trace) - 1, low, high)),
        ])  # fmt: skip
    return rows


def _kind_words(kind: ReadingKind) -> str:
    """What was read and its unit: "milk, °C", "curd pH"."""
    unit = unit_text(kind.key)
    return kind.label if kind.label.endswith(unit) else f"{kind.label}, {unit}"


def _length(minutes: float) -> str:
    """A length that stands on one line."""
    return minutes_text(minutes).replace(" ", NO_BREAK)


def _ended(whole: WholeMake, run: StageRun) -> int | None:
    return whole.make.finished_ms if run.ended_ms is None else run.ended_ms


def _real_length(whole: WholeMake, run: StageRun | None) -> str:
    ended = None if run is None else _ended(whole, run)
    if run is None or run.began_ms is None or ended is None:
        return NONE
    return _length(round((ended - run.began_ms) / MINUTE_MS))


def _part(whole: WholeMake, run: StageRun | None, kind: str) -> Trace:
    """What was read of a kind while a stage ran."""
    if run is None or run.began_ms is None:
        return Trace(kind)
    trace = whole.trace(kind).sound()
    ended = _ended(whole, run)
    last = int(trace.at_ms[-1]) if ended is None and len(trace) else ended
    return Trace(kind) if last is None else trace.between(run.began_ms, last)


def _read_in(whole: WholeMake, run: StageRun | None) -> str:
    part = _part(whole, run, "milk-temp")
    return _from_to(part, 1, "temperature") if len(part) else NONE


def _acid_in(whole: WholeMake, run: StageRun | None) -> Iterator[Words]:
    for key in _ACIDITY:
        part = _part(whole, run, key)
        if len(part):
            kind = READING_KINDS[key]
            unit = "" if kind.unit == "pH" else " %"
            yield Words(f"{kind.label} {_from_to(part, kind.digits, kind.quantity)}{unit}")


def _from_to(part: Trace, digits: int, quantity: str) -> str:
    first, last = (shown_figure(float(part.value[i]), quantity, digits) for i in (0, -1))
    return first if len(part) == 1 or first == last else f"{first} to {last}"


def _used(whole: WholeMake, index: int) -> Iterator[str]:
    for item in whole.additions:
        if item.position == index:
            amount = amount_words(item.amount, item.unit)
            yield f"{item.name} {amount} at {clock_on(whole, item.at_ms)}"


def _at(whole: WholeMake, trace: Trace, index: int, kind: ReadingKind) -> str:
    at_ms = int(trace.at_ms[index])
    figure = figure_text(kind.key, float(trace.value[index]))
    return f"{figure} at {clock_on(whole, at_ms)}"
