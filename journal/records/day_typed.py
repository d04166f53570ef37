"""A wish for the day as typed: "start 10:30", "end 22:00", "out of the press by 06:30"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from journal.records import RecordError
from journal.records.dates import WEEKDAYS, index_in
from journal.records.instants import MINUTE_MS, from_datetime, from_wall, local
from journal.records.plan_day import PlanSchedule, day_of, vat_minutes
from journal.records.plans import Plan
from journal.records.stage_written import kind_in

_LONGEST = 400
_DAY = r"today|tomorrow|(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*|\d{4}-\d\d-\d\d"
_TIME = re.compile(
    rf"(?:(?P<day>{_DAY})[ t,]+(?:at\s+)?)?"
    r"(?P<hour>[01]?\d|2[0-3])(?:[:.h](?P<minute>[0-5]\d))?\s*(?P<half>am|pm)?",
    re.IGNORECASE,
)
_OUT = re.compile(r"(?:out of|end of|off)\s+(?:the\s+)?(.+?)\s+(?:by|at|on)\s+(.+)", re.IGNORECASE)
_AT = re.compile(r"(.+?)\s+(?:by|at)\s+(.+)", re.IGNORECASE)


@dataclass(frozen=True)
class Anchor:
    """A minute of the plan that should fall on a time of the clock."""

    minute: float
    text: str
    start: bool = False


def day_typed(text: str, plan: Plan, zone: str, now_ms: int) -> PlanSchedule:
    """The plan on the clock as wished; a time without a day is the next one that can still be had.

    Raises
    ------
    RecordError
        With what was not understood and what would do, or that it cannot be had.
    """
    line = " ".join(text.split())
    if len(line) > _LONGEST:
        raise RecordError("records.too-long-to-read", most=_LONGEST)
    parts = [p.strip() for p in re.split(r"[;,]| and ", line) if p.strip()]
    anchors = [_anchor(part, plan) for part in parts]
    starts = [a for a in anchors if a.start]
    ends = [a for a in anchors if not a.start]
    if not anchors or len(starts) > 1 or len(ends) > 1:
        raise RecordError("records.day-not-said")
    start_ms = _next(starts[0].text, zone, now_ms) if starts else None
    if not ends:
        return day_of(plan, zone, start_ms=start_ms)
    end = ends[0]
    earliest = (now_ms if start_ms is None else start_ms) + round(end.minute * MINUTE_MS)
    end_ms = _next(end.text, zone, earliest)
    return day_of(plan, zone, start_ms=start_ms, end_ms=end_ms, end_min=end.minute)


def _anchor(part: str, plan: Plan) -> Anchor:
    found = re.fullmatch(r"(?:start|begin|from)\s+(?:at\s+)?(.+)", part, re.IGNORECASE)
    if found:
        return Anchor(0.0, found[1], start=True)
    if _TIME.fullmatch(part):
        return Anchor(0.0, part, start=True)
    found = re.fullmatch(r"(?:end|done)\s+(?:(?:at|by)\s+)?(.+)", part, re.IGNORECASE)
    if found and not found[1].lower().startswith("of "):
        return Anchor(vat_minutes(plan), found[1])
    found = _OUT.fullmatch(part)
    if found:
        index = _stage(found[1], plan, last=True)
        return Anchor(plan.starts()[index] + plan.stages[index].minutes, found[2])
    found = _AT.fullmatch(part)
    if found:
        return Anchor(plan.starts()[_stage(found[1], plan, last=False)], found[2])
    raise RecordError("records.no-day", text=part)


def _stage(words: str, plan: Plan, *, last: bool) -> int:
    """The index of the stage that is meant: by its own name, else the last (first) of its kind."""
    wanted, kind = words.lower().strip(), kind_in(words)
    named = [i for i, s in enumerate(plan.stages) if s.label.lower() == wanted]
    alike = named or [i for i, s in enumerate(plan.stages) if kind is not None and s.kind == kind]
    if not alike:
        known = tuple(dict.fromkeys(s.label for s in plan.stages))
        raise RecordError("records.no-stage-called", name=words, known=known)
    return alike[-1 if last else 0]


def _next(text: str, zone: str, earliest_ms: int) -> int:
    """The first instant on that clock from `earliest_ms` on; with a day, that day's."""
    found = _TIME.fullmatch(text.strip())
    if found is None:
        raise RecordError("records.no-time-of-day", text=text)
    hour = int(found["hour"])
    if found["half"]:
        hour = hour % 12 + (12 if found["half"].lower() == "pm" else 0)
    first = local(earliest_ms, zone).replace(tzinfo=None)
    at = first.replace(hour=hour, minute=int(found["minute"] or 0), second=0, microsecond=0)
    at = _on_day(at, (found["day"] or "").lower(), text)
    out = from_wall(at, zone, text.strip(), "first")
    if not found["day"] and out < earliest_ms - MINUTE_MS:
        out = from_wall(at + timedelta(days=1), zone, text.strip(), "first")
    if found["day"] and out < earliest_ms - MINUTE_MS:
        raise RecordError("records.day-too-early", text=text.strip())
    return out


def _on_day(at: datetime, day: str, text: str) -> datetime:
    """`at` moved to the day that is named, the next one of a weekday."""
    if day in ("", "today"):
        return at
    if day == "tomorrow":
        return at + timedelta(days=1)
    if day[0].isdigit():
        try:
            when = datetime.fromisoformat(day)
            from_datetime(when, "UTC")
        except (ValueError, OverflowError):
            raise RecordError("records.no-iso-date", text=day) from None
        return at.replace(year=when.year, month=when.month, day=when.day)
    named = index_in(WEEKDAYS, day)
    if named is None:
        raise RecordError("records.no-time-of-day", text=text)
    return at + timedelta(days=(named - at.weekday()) % 7)
