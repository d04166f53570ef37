"""What a make is found by: parts of code, name and plan, a year, a month, a state."""

from __future__ import annotations

from journal.keeping import MakeRow
from journal.wording.dates import day_words, iso_day


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
