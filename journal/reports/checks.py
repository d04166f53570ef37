"""What the last checks of the instruments said, for a make."""

from __future__ import annotations

from journal.keeping import Journal
from journal.records.makes import Make
from journal.wording.checks import checks_words


def checks_of(journal: Journal, make: Make, now_ms: int) -> str:
    """What the last checks said by now, for a finished make by its end; the instruments of sensors
    that are on are among them."""
    sources = ["", *(one.name for one in journal.sources.all() if one.make_id)]
    at_ms = now_ms if make.finished_ms is None else make.finished_ms
    return checks_words(journal.readings.checks, at_ms, make.zone, sources)
