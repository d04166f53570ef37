"""Days, months, weekdays and times of day as they are written: "14 March 2026", "Sat 14 Mar",
"09:30". Days are read back by `records/dates.py`, whose names these are.
"""

from __future__ import annotations

from datetime import date

from journal.records.dates import MONTHS, WEEKDAYS
from journal.records.instants import local, turn_of, typed_clock
from journal.wording.style import style_in_use

_SHORT = 3


def clock(at_ms: int, zone: str) -> str:
    """The time of day, "09:30", or "9:30 am" where the style has twelve hours."""
    return _time_of_day(at_ms, zone, "%M")


def clock_to_type(at_ms: int, zone: str) -> str:
    """The time of day as a field shows it and reads it back: with the half of the day where the
    style has twelve hours, "02:30 second" in the hour that comes twice."""
    plain, turn = turn_of(typed_clock(at_ms, zone))
    return f"{clock(at_ms, zone) if style_in_use().clock != '24' else plain} {turn}".rstrip()


def clock_hint() -> str:
    """What may be typed for the day of a plan."""
    return "10:30, or end 22:00" if style_in_use().clock == "24" else "10:30 am, or end 10 pm"


def clock_seconds(at_ms: int, zone: str) -> str:
    """The time of day to the second, "09:30:05"."""
    return _time_of_day(at_ms, zone, "%M:%S")


def _time_of_day(at_ms: int, zone: str, rest: str) -> str:
    when = local(at_ms, zone)
    if style_in_use().clock == "24":
        return when.strftime(f"%H:{rest}")
    half = "am" if when.hour < 12 else "pm"
    return f"{(when.hour - 1) % 12 + 1}:{when.strftime(rest)} {half}"


def iso_day(at_ms: int, zone: str) -> str:
    """The day as a list or another program takes it: "2026-03-14" (ISO 8601)."""
    return iso_date(local(at_ms, zone))


def iso_date(on: date) -> str:
    """The same of a day of the calendar."""
    return on.strftime("%Y-%m-%d")


def iso_minute(at_ms: int, zone: str) -> str:
    """Day and time of day as a list takes them: "2026-03-14 09:30"."""
    return local(at_ms, zone).strftime("%Y-%m-%d %H:%M")


def days_into_week(on: date) -> int:
    """How many days of the week are over before a day; it begins as was chosen."""
    return (on.weekday() - int(style_in_use().first_day)) % 7


def month_name(on: date, *, short: bool = False) -> str:
    """ "March", or "Mar"."""
    name = MONTHS[on.month - 1]
    return name[:_SHORT] if short else name


def weekday_name(on: date, *, short: bool = False) -> str:
    """ "Saturday", or "Sat"."""
    name = WEEKDAYS[on.weekday()]
    return name[:_SHORT] if short else name


def format_day(on: date, *, short: bool = False, year: bool = True, weekday: bool = False) -> str:
    """ "14 March 2026"; short "14 Mar 2026"; with its weekday "Saturday 14 March 2026"."""
    words = [weekday_name(on, short=short)] if weekday else []
    words += [str(on.day), month_name(on, short=short)]
    return " ".join([*words, f"{on.year:04d}"] if year else words)


def day_words(at_ms: int, zone: str) -> str:
    """The day in that zone: "14 March 2026"."""
    return format_day(local(at_ms, zone))


def short_day(at_ms: int, zone: str) -> str:
    """The day in that zone, short: "14 Mar 2026"."""
    return format_day(local(at_ms, zone), short=True)


def short_moment(at_ms: int, zone: str) -> str:
    """The day and the time of day in that zone, short: "14 Mar 2026 09:30"."""
    return f"{short_day(at_ms, zone)} {clock(at_ms, zone)}"


def weekday_clock(at_ms: int, beside_ms: int, zone: str, *, short: bool = True) -> str:
    """The time of day, after its weekday when that is another day than `beside_ms`."""
    at, beside = local(at_ms, zone), local(beside_ms, zone)
    day = "" if at.date() == beside.date() else f"{weekday_name(at, short=short)} "
    return f"{day}{clock(at_ms, zone)}"


def day_clock(at_ms: int, zone: str, *, short: bool = False) -> str:
    """The day and the time of day: "14 March, 09:30"; short "14 Mar, 09:30"."""
    day = format_day(local(at_ms, zone), short=short, year=False)
    return f"{day}, {clock(at_ms, zone)}"


def dated_clock(at_ms: int, beside_ms: int, zone: str) -> str:
    """The time of day, after its date when that is another day than `beside_ms`."""
    far = local(at_ms, zone).date() != local(beside_ms, zone).date()
    return day_clock(at_ms, zone, short=True) if far else clock(at_ms, zone)
