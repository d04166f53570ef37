"""What is asked about a clock that may be wrong."""

from __future__ import annotations

from journal.records.clocks import ClockDoubt
from journal.records.instants import MINUTE_MS
from journal.wording.dates import time_words


def doubt_words(doubt: ClockDoubt, zone: str) -> str:
    """What speaks against the clock: "The computer’s clock says 03:10, but the last entry of the
    running make is from 09:42."."""
    says = f"The computer’s clock says {time_words(doubt.wall_ms, doubt.last_ms, zone)}"
    last = f"the last entry of the running make is from {time_words(doubt.last_ms, 0, zone)}"
    if doubt.wall_ms < doubt.last_ms - MINUTE_MS:
        return f"{says}, but {last}."
    if doubt.only_late:
        return f"{says}, and {last}."
    held = time_words(doubt.held_ms, doubt.wall_ms, zone)
    began = f"by the clock that the make began with, it is {held}"
    return f"{says}, but it was set during the make: {began}."
