"""Which makes a few typed words mean: parts of code, name and plan, a year, a month, a state."""

from __future__ import annotations

from collections.abc import Sequence

from journal.keeping import MakeRow
from journal.wording.dates import day_words, iso_day


class MakeFilter:
    """Holds what can be found of each make, made once for a list of rows."""

    def __init__(self, rows: Sequence[MakeRow] = ()) -> None:
        self._rows = list(rows)
        self._words: list[str] | None = None

    def matching(self, text: str) -> list[MakeRow]:
        """The rows that hold every typed word, in their order."""
        wanted = text.lower().split()
        if not wanted:
            return list(self._rows)
        if self._words is None:
            self._words = [findable(row) for row in self._rows]
        return [
            row
            for row, words in zip(self._rows, self._words, strict=True)
            if all(word in words for word in wanted)
        ]


def findable(row: MakeRow) -> str:
    """Everything a make can be found by, in lower case."""
    days = (iso_day(row.started_ms, row.zone), day_words(row.started_ms, row.zone))
    words = (row.code, row.name, row.plan, *days, state_of(row), row.why_failed)
    return " ".join(words).lower()


def state_of(row: MakeRow) -> str:
    """ "running", "failed", "do not eat" or "" for a make that came to its end."""
    if row.failed:
        return "failed"
    if row.verdict is not None:
        return "do not eat"
    return "running" if row.finished_ms is None else ""
