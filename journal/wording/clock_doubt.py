"""What is asked about a clock that may be wrong."""

from __future__ import annotations

from journal.records.clocks import ClockDoubt
from journal.records.instants import MINUTE_MS
from journal.wording import worded
from journal.wording.ages import time_words


def doubt_words(doubt: ClockDoubt, zone: str) -> str:
    """What speaks against the clock: "The computer’s clock says 03:10, but the last entry of the
    running make is from 09:42."."""
    which = "wording.clock-set-during-make"
    if doubt.wall_ms < doubt.last_ms - MINUTE_MS:
        which = "wording.clock-before-last"
    elif doubt.only_late:
        which = "wording.clock-long-after"
    now = time_words(doubt.wall_ms, doubt.last_ms, zone)
    last = time_words(doubt.last_ms, 0, zone)
    held = time_words(doubt.held_ms, doubt.wall_ms, zone)
    return worded(which, now=now, last=last, held=held)
