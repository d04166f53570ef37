"""The study of a table that is no journal, for a page of its own; runs in the background."""

from __future__ import annotations

from dataclasses import dataclass

from journal.background import State
from journal.exchange.foreign import foreign_columns, scores_of
from journal.exchange.spreadsheet import read_foreign
from journal.findings import FindingError, study
from journal.findings.answer import StudyAnswer
from journal.findings.columns import SCORE
from journal.findings.next_make import NextMake
from journal.wording import worded


@dataclass(frozen=True, eq=False)
class ForeignStudy:
    """A study of a table, and the columns of it that can be asked about, likeliest first."""

    answer: StudyAnswer
    scores: tuple[str, ...]


def study_foreign(path: str, score: str, state: State) -> ForeignStudy:
    """Read a table and study one of its columns; "" takes the likeliest.

    Raises
    ------
    ExchangeError
        When the file cannot be read as a table.
    FindingError
        When it has no number, or nothing beside it.
    """
    state.progress(0.1, worded("reports.reading-table"))
    raw = read_foreign(path)
    columns = foreign_columns(raw)
    numbers = [one for one in columns if one.numbers is not None and not one.is_empty]
    if not numbers:
        raise FindingError("findings.nothing-to-look-at")
    scores = [one.attribute or one.name for one in numbers if one.role == SCORE]
    rest = [one.name for one in numbers if one.role != SCORE]
    names = (*scores, *reversed(rest))  # a table ends with what it is about
    table = scores_of(raw, score or names[0])

    def studying(share: float) -> None:
        state.progress(0.2 + 0.8 * share, worded("reports.comparing"))

    found = study(table, progress=studying, stop=state.stopped)
    return ForeignStudy(StudyAnswer(table, found, {}, NextMake()), names)
