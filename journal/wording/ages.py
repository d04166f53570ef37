"""How old a cheese is, and how far a day is from today, in words."""

from __future__ import annotations

from datetime import date

from journal.records.dates import MONTH_DAYS
from journal.records.instants import local
from journal.wording.dates import clock, format_day
from journal.wording.sentences import worded


def age_words(days: float) -> str:
    """An age: days up to two months, months up to three years, then years."""
    if days < 1.5:
        return worded("wording.age-day" if days >= 0.5 else "wording.age-new")
    if days < 2 * MONTH_DAYS:
        return worded("wording.age-days", days=days)
    if days < 36 * MONTH_DAYS:
        return worded("wording.age-months", months=days / MONTH_DAYS)
    return worded("wording.age-years", years=days / 365.25)


def old_words(days: float) -> str:
    """An age as one says it of a wheel: "made today", "4 months old"."""
    said = "wording.age-today" if days < 0.5 else "wording.age-old"
    return worded(said, age=age_words(days))


def time_words(at_ms: int, now_ms: int, zone: str) -> str:
    """The time of day, with the date where that is another than now: "03:04 on 15 March"."""
    at, time = local(at_ms, zone), clock(at_ms, zone)
    if at.date() == local(now_ms, zone).date():
        return time
    return worded("wording.on-day", what=time, day=format_day(at, year=False))


def relative_day(on: date, today: date, *, weekday: bool = False) -> str:
    """ "3 days late", "today", "tomorrow", "5 Dec" (with its weekday "Sat 5 Dec")."""
    away = (on - today).days
    if away < 0:
        return worded("wording.days-late", days=-away)
    if away < 2:
        return worded("wording.tomorrow" if away else "wording.today")
    return format_day(on, short=True, year=on.year != today.year, weekday=weekday)


def ago(at_ms: int, now_ms: int, zone: str) -> str:
    """Days on the kitchen's calendar: "today", "yesterday", "12 days ago"."""
    days = (local(now_ms, zone).date() - local(at_ms, zone).date()).days
    if days <= 0:
        return worded("wording.today")
    return worded("wording.yesterday" if days == 1 else "wording.days-ago", days=days)
