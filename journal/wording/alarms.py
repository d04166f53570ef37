"""What is said when something falls due, and when the clocks of the machine jump."""

from __future__ import annotations

from collections.abc import Sequence

from journal.records.clocks import ClockJump
from journal.records.coming import DueItem
from journal.wording.counts import listed
from journal.wording.dates import clock
from journal.wording.durations import span_text
from journal.wording.sentences import text_of
from journal.wording.stages import doing


def rung_words(one: DueItem, zone: str) -> str:
    """What is said when something falls due."""
    if one.kind == "stage":
        return f"{one.code}: {doing(str(one.words))} was due to end at {clock(one.at_ms, zone)}."
    if one.kind == "turn":
        turn = one.words if isinstance(one.words, str) else text_of(one.words)
        return f"{one.code}: {turn} is due."
    return f"{one.code}: the timer “{one.words}” is up."


def timers_words(timers: Sequence[DueItem]) -> str:
    """Several timers that are up; their clocks stand beside it, each by its name."""
    return f"{listed([f'“{one.words}”' for one in timers])} are up."


def jump_words(step: ClockJump) -> str:
    """What is said when the machine slept or its clock was set."""
    if step.kind == "slept":
        return f"The computer slept for {span_text(step.ms)}. The timers kept running."
    way = "forward" if step.ms > 0 else "back"
    return (
        f"The computer’s clock was set {way} by {span_text(step.ms)}. Running makes keep the "
        "time they started with."
    )
