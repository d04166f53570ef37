"""Whether the acid has come as far as a published limit says by its hour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.message import Message
from journal.reckoning.bounds import above, within

# A reading so much later than its limit's hour no longer tells whether it was met in time (common
# practice, no source).
IN_TIME_H = 1.0


@dataclass(frozen=True)
class HourLimit:
    """What a sound cheese (`good`) and one at worst (`slow`) has come to after `hours`.

    `kind` is "curd-ph", where less is sourer, or "whey-acidity", % lactic, where more is.
    """

    hours: float
    kind: str
    good: float
    slow: float


def limit_at(hours: float, kind: str, limits: Sequence[HourLimit]) -> HourLimit | None:
    """The last limit of that kind that is due at that hour, None before the first."""
    above(hours, 0, "reckoning.time", "h")
    due = [one for one in limits if one.kind == kind and one.hours <= hours]
    return max(due, key=lambda one: one.hours, default=None)


def acid_verdict(value: float, limit: HourLimit) -> Message:
    """Good, slow or failed: how a reading stands to a limit that is due."""
    if limit.kind == "curd-ph":
        within(value, 0, 14, "reckoning.ph")
        reached = (value <= limit.good, value <= limit.slow)
    else:
        within(value, 0, 3, "reckoning.acidity", "%")
        reached = (value >= limit.good, value >= limit.slow)
    if reached[0]:
        return Message("reckoning.acid-good")
    return Message("reckoning.acid-slow" if reached[1] else "reckoning.acid-failed")


def verdict_warnings(hours: float, limit: HourLimit | None) -> tuple[Message, ...]:
    """Where an hour is before the first limit, or too late to tell."""
    if limit is None:
        return (Message("reckoning.acid-limit-not-due"),)
    if hours > limit.hours + IN_TIME_H:
        return (Message("reckoning.acid-read-late", hours=limit.hours),)
    return ()
