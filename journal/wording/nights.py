"""What of a plan's day falls in the night, and how to have it by day."""

from __future__ import annotations

from journal.records.instants import local
from journal.records.plan_day import (
    HandsNeeded,
    PlanSchedule,
    day_with_less_night,
    left_until_ms,
    night_moments,
)
from journal.wording.dates import clock, weekday_name
from journal.wording.letters import capital
from journal.wording.style import PLAIN, Style

_OUT_OF = {"press": "Out of the press", "brine": "Out of the brine"}


def night_words(day: PlanSchedule, not_before_ms: int, style: Style = PLAIN) -> str:
    """What falls in the night and how to have it by day, as a sentence; "" when nothing does.

    Stages that may stretch come first: the press is left on until the morning. Else, or beside
    it, another start on the half hour from which nothing falls in the night.
    """
    moments = night_moments(day)
    if not moments:
        return ""
    first = moments[0]
    text = f"{moment_words(day, first, style)} at {clock(first.at_ms, day.zone)}"
    ways = []
    morning = left_until_ms(day, first)
    if morning is not None:
        ways.append(f"leave it until {clock(morning, day.zone)}")
    other = day_with_less_night(day, not_before_ms)
    if other is not None:
        ways.append(_start_words(day, first, other))
    return f"{text}: {', or '.join(ways)}." if ways else f"{text}, in the night."


def moment_words(day: PlanSchedule, moment: HandsNeeded, style: Style = PLAIN) -> str:
    """What wants hands at a moment of the night: "Cook", "Out of the press"."""
    label = day.stages[moment.index].label
    if moment.hands:
        return capital(label)
    return _OUT_OF.get(day.plan.stages[moment.index].kind, f"End of the {label}")


def _start_words(day: PlanSchedule, moment: HandsNeeded, other: PlanSchedule) -> str:
    """Another start, and when the moment then comes."""
    at = other.stages[moment.index]
    start, before = local(other.start_ms, day.zone), local(day.start_ms, day.zone)
    when = "" if start.date() == before.date() else f"{weekday_name(start)} "
    text = f"start {when}at {clock(other.start_ms, day.zone)}"
    if moment.hands and at.begin_ms == other.start_ms:
        return text
    return f"{text} and it is {clock(at.begin_ms if moment.hands else at.end_ms, day.zone)}"
