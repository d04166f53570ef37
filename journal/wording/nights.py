"""What of a plan's day falls in the night, and how to have it by day."""

from __future__ import annotations

from journal.records.instants import MINUTE_MS, local
from journal.records.plan_day import (
    HandsNeeded,
    PlanSchedule,
    day_with_less_night,
    left_until_ms,
    night_moments,
    vat_minutes,
)
from journal.wording.dates import clock, weekday_clock, weekday_name
from journal.wording.letters import capital
from journal.wording.shown import write
from journal.wording.stages import doing

_LEAVES = {"press": "the cheese leaves the press", "brine": "the cheese leaves the brine"}
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
    text = f"{moment_words(day, first)} at {clock(first.at_ms, day.zone)}"
    now = 0 <= day.start_ms - not_before_ms <= _NOW_MS
    text = f"Started now, {text}" if now else capital(text)
    ways = []
    morning = left_until_ms(day, first)
    if morning is not None:
        ways.append(f"leave it until {clock(morning, day.zone)}")
    other = day_with_less_night(day, not_before_ms)
    if other is not None:
        ways.append(_start_words(day, first, other))
    return f"{text}. {capital(', or '.join(ways))}?" if ways else f"{text}, in the night."


def moment_words(day: PlanSchedule, moment: HandsNeeded) -> str:
    """What needs hands in the night: "cooking falls", "the cheese leaves the press"."""
    label = day.stages[moment.index].label
    if moment.hands:
        return f"{doing(label)} falls"
    return _LEAVES.get(day.plan.stages[moment.index].kind, f"{doing(label)} ends")


def _start_words(day: PlanSchedule, moment: HandsNeeded, other: PlanSchedule) -> str:
    """Another start, and when the moment then comes."""
    at = other.stages[moment.index]
    start, before = local(other.start_ms, day.zone), local(day.start_ms, day.zone)
    when = "" if start.date() == before.date() else f"{weekday_name(start)} "
    text = f"start {when}at {clock(other.start_ms, day.zone)} instead"
    if moment.hands and at.begin_ms == other.start_ms:
        return text
    return f"{text} (then {clock(at.begin_ms if moment.hands else at.end_ms, day.zone)})"


def schedule_words(day: PlanSchedule, now_ms: int) -> str:
    """When a plan's day begins, leaves the vat and ends."""
    vat_end = day.start_ms + round(vat_minutes(day.plan) * MINUTE_MS)
    start, left, end = (
        weekday_clock(at, now_ms, day.zone) for at in (day.start_ms, vat_end, day.end_ms)
    )
    ends = f", ends {end}" if day.end_ms - vat_end > MINUTE_MS else ""
    longer = f", {write(day.longer_min, 'duration')} longer" if day.longer_min >= 1 else ""
    return f"Start {start}, at the vat until {left}{ends}{longer}."
