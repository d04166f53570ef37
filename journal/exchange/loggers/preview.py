"""What a person sees before anything is saved: first rows, what each column is, what was found."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.exchange.loggers.mapping import TIME_FORMS
from journal.exchange.loggers.take import LoggerReadings
from journal.exchange.loggers.understand import LoggerColumn, Understood
from journal.exchange.skipped import reason_texts
from journal.quantities.units import unit_named
from journal.records.kinds import READING_KINDS
from journal.wording import text_if_any, text_of, worded


@dataclass(frozen=True)
class PreviewColumn:
    """A column of the preview: its name, what it is taken as, and its kind or ""."""

    name: str
    taken_as: str
    kind: str


@dataclass(frozen=True)
class Preview:
    """The first rows as they are in the file, with what was understood and what to look at."""

    columns: tuple[PreviewColumn, ...]
    rows: tuple[tuple[str, ...], ...]
    sentences: tuple[str, ...]
    questions: tuple[str, ...]


def preview(understood: Understood, taken: LoggerReadings | None = None, rows: int = 8) -> Preview:
    """Gather what to show; `taken` may be None while a question is open."""
    raw = understood.raw
    shown = np.flatnonzero(~raw.repeated)[:rows].tolist()
    found, asked = list(understood.sentences), understood.questions
    if taken is not None:
        found += [*taken.notes, account(taken)]
        if not understood.date_order:  # the start of the make has settled it
            asked = tuple(one for one in asked if one != text_if_any(understood.timing.reason))
    return Preview(
        columns=tuple(
            PreviewColumn(column.name, _taken_as(understood, column), column.kind)
            for column in understood.columns
        ),
        rows=tuple(tuple(column[row][:80].strip() for column in raw.columns) for row in shown),
        sentences=tuple(found),
        questions=asked,
    )


def account(taken: LoggerReadings) -> str:
    """ "120 rows read, 236 values saved, 4 skipped: empty value 3, duplicate 1." """
    why = [f"{reason} {count:,}" for reason, count in reason_texts(taken.reasons).items()]
    which = "exchange.account-why" if why else "exchange.account"
    return worded(which, rows=taken.read, values=taken.kept, skipped=taken.skipped, why=why)


def _taken_as(understood: Understood, column: LoggerColumn) -> str:
    if column.role == "time":
        return text_of(TIME_FORMS[understood.timing.form])
    if not column.kind:
        return worded("exchange.left-out")
    label = unit_named(column.quantity, column.unit).label
    unit = worded("exchange.unit-open") if column.unlikely else label
    return f"{READING_KINDS[column.kind].label}, {unit}"
