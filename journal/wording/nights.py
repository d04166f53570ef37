"""What of a plan's day falls in the night, and how to have it by day."""

from __future__ import annotations

from journal.message import Instant, Message
from journal.records.instants import MINUTE_MS, local
from journal.records.plan_day import (
    HandsNeeded,
    PlanSchedule,
    day_with_less_night,
    left_until_ms,
    night_moments,
    vat_minutes,
)
from journal.wording import worded
from journal.wording.dates import weekday_clock, weekday_name
from journal.wording.stages import doing

_LEAVES = {"press": "wording.leaves-press", "brine": "wording.leaves-brine"}
_NOW_MS = 10 * MINUTE_MS  # a start so near is one made now


def night_words(day: PlanSchedule, not_before_ms: int) -> str:
    """What falls in the night and how to have it by day, as a sentence; "" when nothing does.

    Stages that may last longer come first: the press is left on until the morning. Else, or beside
    it, another start on the half hour from which nothing falls in the night:
    "Started now, warming falls at 04:05. Start at 06:00 instead?".
    """
    moments = night_moments(day)
    if not moments:
        return ""
    first = moments[0]
    now = 0 <= day.start_ms - not_before_ms <= _NOW_MS
    at, moment = Instant(first.at_ms, day.zone), moment_words(day, first)
    night = Message("wording.night-now" if now else "wording.night-at", moment=moment, at=at)
    ways = []
    morning = left_until_ms(day, first)
    if morning is not None:
        ways.append(Message("wording.leave-until", morning=Instant(morning, day.zone)))
    other = day_with_less_night(day, not_before_ms)
    if other is not None:
        ways.append(_start_message(day, first, other))
    if not ways:
        return worded("wording.in-the-night", night=night)
    way = Message("wording.night-ways", one=ways[0], other=ways[1]) if ways[1:] else ways[0]
    return worded("wording.night-instead", night=night, way=way)


def moment_words(day: PlanSchedule, moment: HandsNeeded) -> str:
    """What needs hands in the night: "cooking falls", "the cheese leaves the press"."""
    label = day.stages[moment.index].label
    if moment.hands:
        return worded("wording.stage-falls", stage=doing(label))
    leaves = _LEAVES.get(day.plan.stages[moment.index].kind, "wording.stage-ends")
    return worded(leaves, stage=doing(label))


def _start_message(day: PlanSchedule, moment: HandsNeeded, other: PlanSchedule) -> Message:
    """Another start, and when the moment then comes."""
    at = other.stages[moment.index]
    start, before = local(other.start_ms, day.zone), local(day.start_ms, day.zone)
    when = "" if start.date() == before.date() else f"{weekday_name(start)} "
    then = Instant(at.begin_ms if moment.hands else at.end_ms, day.zone)
    at_once = moment.hands and at.begin_ms == other.start_ms
    which = "wording.start-instead" if at_once else "wording.start-instead-then"
    return Message(which, when=when, at=Instant(other.start_ms, day.zone), then=then)


def schedule_words(day: PlanSchedule, now_ms: int) -> str:
    """When a plan's day begins, leaves the vat and ends."""
    vat_end = day.start_ms + round(vat_minutes(day.plan) * MINUTE_MS)
    start, left, end = (
        weekday_clock(at, now_ms, day.zone) for at in (day.start_ms, vat_end, day.end_ms)
    )
    ends = Message("wording.schedule-ends", end=end) if day.end_ms - vat_end > MINUTE_MS else ""
    more = day.longer_min
    longer = Message("wording.schedule-longer", minutes=more) if more >= 1 else ""
    return worded("wording.schedule", start=start, left=left, ends=ends, longer=longer)
