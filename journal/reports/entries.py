"""When the last thing was entered in a make, and the clock that it goes by."""

from __future__ import annotations

from collections.abc import Sequence

from journal.keeping import Journal
from journal.records import id_of
from journal.records.clocks import Clocks, Timekeeper
from journal.records.coming import coming
from journal.records.instants import DAY_MS
from journal.records.makes import Make

CLOCK = "clock"  # the setting in which a window keeps how the clocks stood
_LOOKED_AT = 50
_LONGEST_MS = 90 * DAY_MS  # of a stage: a reading typed for later than that is mistyped


def last_entry_ms(journal: Journal, make: Make) -> int:
    """The instant of the last thing that was typed or done in a make; UTC milliseconds."""
    key = id_of(make)
    found = [make.started_ms]
    for run in journal.runs.where(make_id=key):
        found += [at for at in (run.began_ms, run.ended_ms, *run.turned_ms) if at is not None]
    found += [timer.started_ms for timer in journal.timers.where(make_id=key)]
    found += [note.at_ms for note in journal.notes.where(make_id=key)]
    found += [reading.at_ms for reading in journal.readings.last(key, _LOOKED_AT)]
    return max(at for at in found if at <= make.started_ms + _LONGEST_MS)


def timekeeper_for(clocks: Clocks, journal: Journal, running: Sequence[Make]) -> Timekeeper:
    """The clock that running makes go by: on from where the last window left it, with what speaks
    against it; the wall's where none runs."""
    if not running:
        return Timekeeper(clocks)
    due = [
        one.at_ms
        for make in running
        for one in coming(
            make,
            journal.makes.plan_of(make),
            journal.runs.where(make_id=make.id),
            journal.timers.where(make_id=make.id),
        )
    ]
    last_ms = max(last_entry_ms(journal, make) for make in running)
    kept = journal.setting(CLOCK)
    return Timekeeper(clocks, kept, last_ms=last_ms, due_ms=max(due, default=0))
