"""What is said when something falls due, and when the clocks of the machine jump."""

from __future__ import annotations

from collections.abc import Sequence

from journal.message import Instant
from journal.records.clocks import ClockJump
from journal.records.coming import DueItem
from journal.wording.durations import span_text
from journal.wording.sentences import worded
from journal.wording.stages import doing


def rung_words(one: DueItem, zone: str) -> str:
    """What is said when something falls due."""
    if one.kind == "stage":
        stage, at = doing(str(one.words)), Instant(one.at_ms, zone)
        return worded("wording.stage-was-due", code=one.code, stage=stage, at=at)
    if one.kind == "turn":
        return worded("wording.turn-is-due", code=one.code, turn=one.words)
    return worded("wording.timer-is-up", code=one.code, timer=one.words)


def timers_words(timers: Sequence[DueItem]) -> str:
    """Several timers that are up; their clocks stand beside it, each by its name."""
    return worded("wording.timers-are-up", timers=[f"“{one.words}”" for one in timers])


def jump_words(step: ClockJump) -> str:
    """What is said when the machine slept or its clock was set."""
    if step.kind == "slept":
        return worded("wording.computer-slept", span=span_text(step.ms))
    return worded("wording.clock-was-set", forward=step.ms > 0, span=span_text(step.ms))
