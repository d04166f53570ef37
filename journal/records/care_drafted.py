"""Care typed into a draft: what a cell, or a whole schedule in one line, makes of its lines."""

from __future__ import annotations

from dataclasses import replace

from journal.message import Message
from journal.records import RecordError
from journal.records.care_typed import CareRead, no_care_named, read_care_cell, read_schedule
from journal.records.drafts import CareRow, PlanDraft


def with_care_cell(
    draft: PlanDraft, row: int, column: str, text: str
) -> tuple[PlanDraft, CareRead]:
    """The draft with a cell of a line of care typed anew, and what was made of it; a schedule typed
    into the first cell becomes its lines.

    Raises
    ------
    RecordError
        With what was not understood and what would do.
    """
    index = draft.care_at(row)
    at = draft.care[index]
    if not text.strip() and at.line is None:
        return draft.with_care(index, [CareRow()]), CareRead()
    read = read_care_cell(column, text, at.line, draft.care_before(row))
    loose = {} if column == "stage" else {c: t for c, t in at.loose.items() if c != column}
    first, *more = _rows(read)
    return draft.with_care(index, [replace(first, loose={**loose, **first.loose}), *more]), read


def with_schedule(draft: PlanDraft, text: str) -> tuple[PlanDraft, CareRead]:
    """The draft with a schedule behind the care it has.

    Raises
    ------
    RecordError
        Where nothing of it was understood.
    """
    end = len(draft.care)
    read = read_schedule(text, draft.care_before(len(draft.rows) + end))
    if not read.lines:
        raise RecordError(read.why or no_care_named(text))
    return draft.with_care(end, _rows(read), instead=0), read


def why_care_loose(draft: PlanDraft) -> Message | None:
    """Why the first line of care that is not understood is not, None where every one is."""
    for number, row in enumerate(draft.care, len(draft.rows)):
        for column, text in row.loose.items():
            try:
                why = read_care_cell(column, text, row.line, draft.care_before(number)).why
            except RecordError as error:
                why = error.message
            if why and text.strip():
                return Message("records.line-loose", line=number + 1, why=why)
    return None


def _rows(read: CareRead) -> list[CareRow]:
    """Lines that were read as rows, and behind them what was not understood."""
    rows = [CareRow(line) for line in read.lines]
    return [*rows, CareRow(None, {"stage": read.loose})] if read.loose else rows
