"""Days, months, weekdays and times of day as they are written: "14 March 2026", "Sat 14 Mar",
"09:30". Days are read back by `records/dates.py`, whose names these are.
"""

from __future__ import annotations

from datetime import date

from journal.records.dates import MONTHS, WEEKDAYS
from journal.records.instants import local
from journal.wording.style import PLAIN, Style

_SHORT = 3


def clock(at_ms: int, zone: str, style: Style = PLAIN) -> str:
    """The time of day, "09:30"."""
    return local(at_ms, zone).strftime("%H:%M")


def month_name(on: date, *, short: bool = False, style: Style = PLAIN) -> str:
    """ "March", or "Mar"."""
    name = MONTHS[on.month - 1]
    return name[:_SHORT] if short else name


def weekday_name(on: date, *, short: bool = False, style: Style = PLAIN) -> str:
    """ "Saturday", or "Sat"."""
    name = WEEKDAYS[on.weekday()]
    return name[:_SHORT] if short else name


def format_day(
    on: date, *, short: bool = False, year: bool = True, weekday: bool = False, style: Style = PLAIN
) -> str:
    """ "14 March 2026"; short "14 Mar 2026"; with its weekday "Saturday 14 March 2026"."""
    words = [weekday_name(on, short=short, style=style)] if weekday else []
    words += [str(on.day), month_name(on, short=short, style=style)]
    return " ".join([*words, f"{on.year:04d}"] if year else words)


def day_words(at_ms: int, zone: str, style: Style = PLAIN) -> str:
    """The day in that zone: "14 March 2026"."""
    return format_day(local(at_ms, zone), style=style)


def short_day(at_ms: int, zone: str, style: Style = PLAIN) -> str:
    """The day in that zone, short: "14 Mar 2026"."""
    return format_day(local(at_ms, zone), short=True, style=style)


def weekday_clock(
    at_ms: int, beside_ms: int, zone: str, *, short: bool = True, style: Style = PLAIN
) -> str:
    """The time of day, after its weekday when that is another day than `beside_ms`."""
    at, beside = local(at_ms, zone), local(beside_ms, zone)
    day = "" if at.date() == beside.date() else f"{weekday_name(at, short=short, style=style)} "
    return f"{day}{clock(at_ms, zone, style)}"
