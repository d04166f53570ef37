"""Months along an axis of days."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from journal.records.instants import from_datetime, local
from journal.wording.dates import month_name

_MONTH_DAYS = 30.44
_MONTHS = (1, 2, 3, 6, 12, 24, 60, 120)  # between names of a long axis


def months_between(first_ms: int, last_ms: int, zone: str, most: float) -> list[tuple[int, str]]:
    """The instants at which months begin, each with its name, at most so many."""
    first, last = (local(at_ms, zone).date() for at_ms in (first_ms, last_ms))
    days = month_starts(first, last, most)
    at = [from_datetime(datetime(day.year, day.month, 1), zone) for day in days]
    pairs = zip(at, month_names(days), strict=True)
    return [(at_ms, name) for at_ms, name in pairs if first_ms <= at_ms <= last_ms]


def month_starts(first: date, last: date, most: float) -> list[date]:
    """The firsts of months from one day to another, each so many months that at most so many are
    named."""
    months = (last - first).days / _MONTH_DAYS
    step = next((n for n in _MONTHS if months / n <= max(most, 1)), _MONTHS[-1])
    number = first.year * 12 + first.month - 1 + (first.day > 1)
    number += -number % step
    out = []
    while (on := date(number // 12, number % 12 + 1, 1)) <= last:
        out.append(on)
        number += step
    return out


def month_names(days: Sequence[date]) -> list[str]:
    """Firsts of months by their names, with the year at the first of them, where one begins, and
    where a month of that name was there before."""
    out: list[str] = []
    for i, on in enumerate(days):
        name = month_name(on, short=True)
        begins = i == 0 or on.year != days[i - 1].year
        out.append(f"{name} {on.year}" if begins or name in out else name)
    return out
