"""A day that was kept on paper: rows as they are typed from the sheet, understood one by one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from journal.message import Instant, Message, MessageError
from journal.quantities import QuantityError
from journal.quantities.typed import parse
from journal.records import RecordError
from journal.records.instants import (
    MINUTE_MS,
    from_typed,
    from_wall,
    hour_of,
    local,
    passes,
    turn_of,
)
from journal.records.kinds import READING_KINDS
from journal.records.makes import StageRun
from journal.records.plans import Stage

CELLS = ("time", "stage", "temp", "acid", "note")
END = "end"  # in the column of stages: the make was over then
_DIGITS = re.compile(r"\d+")
_CLOCK = re.compile(
    r"(?:(\d{1,2})[:.h ]([0-5]\d)|(\d{1,2})([0-5]\d))(?:\s*([ap])\.?m\.?)?", re.IGNORECASE
)
_MINUTE = re.compile(r"[0-5]?\d")


@dataclass(frozen=True)
class PaperRow:
    """A row of the sheet, as typed."""

    time: str = ""
    stage: str = ""
    temp: str = ""
    acid: str = ""
    note: str = ""

    @property
    def empty(self) -> bool:
        """Nothing stands in it."""
        return not any(getattr(self, cell).strip() for cell in CELLS)

    def put(self, cell: str, text: str) -> PaperRow:
        """The row with another text in a cell."""
        return replace(self, **{cell: text})


@dataclass(frozen=True)
class PaperDay:
    """What the rows are read by: the stages of the plan, the acidity read in each, when each began
    as far as the journal knows, the units of bare numbers by quantity, when the make began, and
    until when a row can be."""

    stages: tuple[Stage, ...]
    acid_kinds: tuple[str, ...]
    begun_ms: tuple[int | None, ...]
    units: Mapping[str, str]
    zone: str
    started_ms: int
    until_ms: int

    def stage_at(self, at_ms: int) -> int:
        """The stage that ran then, as far as the journal knows."""
        begun = [index for index, began in enumerate(self.begun_ms)
                 if began is not None and began <= at_ms]  # fmt: skip
        return max(begun, default=0)


@dataclass(frozen=True)
class PaperLine:
    """A row understood: `position` is the stage of that moment, `begins` whether it began then,
    `ended` whether the make was over; a value is as the instrument showed it."""

    row: int
    at_ms: int
    position: int
    begins: bool = False
    ended: bool = False
    temp_c: float | None = None
    acid_kind: str = ""
    acid: float | None = None
    note: str = ""

    def values(self) -> Iterator[tuple[str, str, float]]:
        """The cell, kind and value of each reading in it."""
        if self.temp_c is not None:
            yield "temp", "milk-temp", self.temp_c
        if self.acid is not None:
            yield "acid", self.acid_kind, self.acid


@dataclass(frozen=True)
class PaperFault:
    """What in a cell is not understood, and why."""

    row: int
    cell: str
    message: Message


def read_rows(rows: Sequence[PaperRow], day: PaperDay) -> tuple[list[PaperLine], list[PaperFault]]:
    """Every row that can be understood, in order, and each fault of the others."""
    lines: list[PaperLine] = []
    faults: list[PaperFault] = []
    at_ms, position, ended = day.started_ms, 0, False
    for number, row in enumerate(rows):
        if row.empty:
            continue
        line, found = _line(number, row, day, PaperLine(number, at_ms, position, ended=ended))
        faults += found
        at_ms, position, ended = line.at_ms, line.position, line.ended
        if not found:
            lines.append(line)
    return lines, faults


def _line(
    number: int, row: PaperRow, day: PaperDay, last: PaperLine
) -> tuple[PaperLine, list[PaperFault]]:
    line = PaperLine(number, last.at_ms, last.position, note=row.note.strip())
    faults = []
    for cell in CELLS[:-1]:
        try:
            line = _WITH[cell](line, getattr(row, cell).strip(), day, last)
        except MessageError as error:
            faults.append(PaperFault(number, cell, error.message))
    return line, faults


def _with_time(line: PaperLine, text: str, day: PaperDay, last: PaperLine) -> PaperLine:
    if not text:
        raise RecordError("records.paper-no-time")
    if last.ended:
        raise RecordError("records.paper-after-end")
    at_ms = _instant(text, last.at_ms, day.zone)
    if not last.at_ms <= at_ms <= day.until_ms:
        first, until = Instant(last.at_ms, day.zone), Instant(day.until_ms, day.zone)
        raise RecordError("records.paper-out-of-order", typed=text, first=first, last=until)
    return replace(line, at_ms=at_ms)


def _instant(text: str, before_ms: int, zone: str) -> int:
    """The first instant not before another that is meant by "9:35", "0935", "9:35 pm", or "35" in
    the hour of the row above, or in the next one."""
    before_ms -= before_ms % MINUTE_MS  # a clock shows no seconds
    above = local(before_ms, zone).replace(tzinfo=None, fold=0)
    plain, turn = turn_of(text)
    if _MINUTE.fullmatch(plain):
        when = above.replace(minute=int(plain), second=0, microsecond=0)
        for later in (when, when + timedelta(hours=1)):
            coming = [at for at in passes(later, zone) if at >= before_ms]
            if coming:
                return coming[0]
    clock = _CLOCK.fullmatch(plain)
    if clock is None:
        return from_typed(text, zone)
    hour, minute = hour_of(int(clock[1] or clock[3]), clock[5]), int(clock[2] or clock[4])
    try:
        when = datetime(above.year, above.month, above.day, hour, minute)
    except ValueError:
        raise RecordError("records.no-time", typed=text) from None
    for day in (when, when + timedelta(days=1)):
        found = passes(day, zone)
        if (found and found[-1] >= before_ms) or (not found and day >= above):
            return from_wall(day, zone, plain, turn)
    raise RecordError("records.no-time", typed=text)


def _with_stage(line: PaperLine, text: str, day: PaperDay, last: PaperLine) -> PaperLine:
    """The stage by its number on the sheet or the first letters of its name; nothing, or the
    stage that runs, leaves it at that."""
    word = text.casefold()
    there = max(last.position, day.stage_at(line.at_ms))
    line = replace(line, position=there)
    if not word:
        return line
    if word == END:
        return replace(line, ended=True)
    labels = [stage.label.casefold() for stage in day.stages]
    if _DIGITS.fullmatch(word):
        found = [int(word) - 1] if 0 < int(word) <= len(labels) else []
    else:
        found = [index for index, label in enumerate(labels) if label.startswith(word)]
    if not found:
        raise RecordError("records.no-stage-called", name=text,
                          known=tuple(stage.label for stage in day.stages))  # fmt: skip
    coming = [index for index in found if index >= there]
    if not coming:
        raise RecordError("records.paper-stage-before", stage=day.stages[found[-1]].label,
                          after=day.stages[there].label)  # fmt: skip
    return replace(line, position=coming[0], begins=coming[0] > there)


def _with_temp(line: PaperLine, text: str, day: PaperDay, _last: PaperLine) -> PaperLine:
    return replace(line, temp_c=_value(text, "milk-temp", day)) if text else line


def _with_acid(line: PaperLine, text: str, day: PaperDay, _last: PaperLine) -> PaperLine:
    if not text:
        return line
    kind = day.acid_kinds[line.position]
    try:
        return replace(line, acid_kind=kind, acid=_value(text, kind, day))
    except MessageError:
        other = "milk-acidity" if kind == "milk-ph" else "whey-acidity"
        if text.replace(",", ".").replace(".", "").isdigit() or not kind.endswith("-ph"):
            raise
        return replace(line, acid_kind=other, acid=_value(text, other, day))


_WITH = {"time": _with_time, "stage": _with_stage, "temp": _with_temp, "acid": _with_acid}


def _value(text: str, kind: str, day: PaperDay) -> float:
    """A value as it is typed; where that is impossible and no mark was typed, 312 is 31.2 and 652
    is 6.52."""
    spec, refusal = READING_KINDS[kind], None
    for meant in (text, _marked(text, spec.quantity)):
        try:
            value = parse(meant, spec.quantity, default_unit=day.units[spec.quantity]).stored
        except QuantityError as error:
            refusal = refusal or error
            continue
        if spec.low <= value <= spec.high:
            return value
    raise refusal or RecordError(
        "records.paper-impossible", typed=text, kind=kind, low=spec.low, high=spec.high
    )


def _marked(text: str, quantity: str) -> str:
    """The same digits with their decimal mark."""
    if not _DIGITS.fullmatch(text) or len(text) < 2:
        return text
    at = 1 if quantity == "ph" else len(text) - 1
    return f"{text[:at]}.{text[at:]}" if quantity in ("ph", "temperature") else text


def runs_as_typed(
    runs: Sequence[StageRun], started_ms: int, lines: Sequence[PaperLine]
) -> tuple[StageRun, ...]:
    """The stages of a make as the rows say that they went."""
    found = [replace(run) for run in runs]
    moved = started_ms - (found[0].planned_begin_ms if found else started_ms)
    found = [
        replace(run, planned_begin_ms=run.planned_begin_ms + moved,
                planned_end_ms=run.planned_end_ms + moved)
        for run in found
    ]  # fmt: skip
    if found:
        found[0] = replace(found[0], began_ms=started_ms)
    for line in lines:
        if not line.begins or line.position >= len(found):
            continue
        for index in range(line.position):
            run = found[index]
            if run.began_ms is None:
                found[index] = replace(run, skipped=True)
            elif run.ended_ms is None:
                found[index] = replace(run, ended_ms=line.at_ms)
        found[line.position] = replace(found[line.position], began_ms=line.at_ms, skipped=False)
    return tuple(found)
