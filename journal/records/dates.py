"""Days, months and weekdays as people type them, in English on every desktop.

The names stand here: what the system's language makes of `%B` or `%a` is not asked. What
`wording/dates.py` writes is read back here: "14 March 2026", "Sat 14 Mar".
"""

from __future__ import annotations

import calendar
import re
from datetime import date, datetime, timedelta

from journal.message import Instant
from journal.records import RecordError
from journal.records.instants import DAY_MS, from_datetime, from_typed, local

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTH_DAYS = 30.4375
_NAMED = re.compile(
    r"(?:(?P<weekday>[a-z]{3,9})[.,]?\s+)?(?P<day>\d{1,2})\.?\s+(?P<month>[a-z]{3,9})[.,]*"
    r"(?:\s*(?P<year>\d{4}))?"
)
_NAMED_MONTH = re.compile(r"([a-z]{3,9})[.,]*\s+(\d{4})")
_MONTH = re.compile(r"(\d{1,2})\s*[/.]\s*(\d{4})|(\d{4})-(\d{1,2})")
_AHEAD = re.compile(r"(?:in\s+)?(\d{1,3})\s*(days?|d|weeks?|w|months?)")
_LEAP_YEARS_APART = 8  # at most, over a century that is no leap year
_NOON = 12
_FIRST_YEAR, _FIRST_MS = 1990, 631_152_000_000  # an older year is a mistyped one
_FARTHEST_YEARS = 50


def age_days(from_ms: int, to_ms: int) -> float:
    """Days between two instants."""
    return (to_ms - from_ms) / DAY_MS


def read_day(text: str, zone: str, now_ms: int) -> int:
    """The instant meant by a day as typed: today at this moment, another day at its noon.

    Reads "14 March 2026", "14 mar" (the last one there was), "today", "yesterday" and ISO 8601,
    where a time of day is taken as it stands.

    Raises
    ------
    RecordError
        When it is no day, or one still to come.
    """
    plain = " ".join(text.split())
    today = local(now_ms, zone).date()
    if plain.lower() in ("", "today"):
        return now_ms
    if plain.lower() == "yesterday":
        return _noon(today - timedelta(days=1), zone)
    named = _named(plain.lower(), today, to_come=False)
    if named is not None:
        at_ms = _noon(named, zone)
    else:
        try:
            at_ms = from_typed(plain, zone)
        except RecordError as error:
            if error.id != "records.no-instant":
                raise
            raise RecordError("records.no-past-day", typed=plain) from None
        if "T" not in plain.upper() and ":" not in plain:
            at_ms = _noon(local(at_ms, zone), zone)
    if at_ms < _FIRST_MS:
        raise RecordError("records.day-too-old", typed=plain)
    if local(at_ms, zone).date() == today:
        return min(at_ms, now_ms) if ":" in plain else now_ms
    if at_ms > now_ms:
        raise RecordError("records.day-to-come", at=Instant(at_ms, zone))
    return at_ms


def read_date(text: str, zone: str, now_ms: int) -> int:
    """The noon of a day as typed, past or to come, as it stands on a packet.

    Reads what `read_day` does, and "03/2027", "March 2027" and "in 2 weeks". A month alone means
    its last day; a day without a year the next one there is.

    Raises
    ------
    RecordError
        When it is no day.
    """
    plain = " ".join(text.split()).lower()
    today = local(now_ms, zone).date()
    day = (
        _ahead(plain, today)
        or _end_of_month(plain)
        or _named(plain, today, to_come=True)
        or _iso(plain)
    )
    if day is None:
        raise RecordError("records.no-date", typed=text.strip())
    if day.year < _FIRST_YEAR or day.year > today.year + _FARTHEST_YEARS:
        raise RecordError("records.date-far-away", typed=text.strip(), year=day.year)
    return _noon(day, zone)


def read_weekdays(text: str) -> list[int]:
    """Weekdays as typed with commas, "sat, sun", 0 is Monday; every one where nothing is said.

    Raises
    ------
    RecordError
        For a word that is none, or more than one.
    """
    words = [word.strip() for word in text.split(",") if word.strip()]
    found = [index_in(WEEKDAYS, word) if len(word) > 1 else None for word in words]
    for word, index in zip(words, found, strict=True):
        if index is None:
            raise RecordError("records.no-weekday", typed=word)
    return [index for index in found if index is not None] or list(range(len(WEEKDAYS)))


def index_in(names: tuple[str, ...], typed: str) -> int | None:
    """Which of the names is meant by its beginning; None when it is none or not one alone."""
    found = [i for i, name in enumerate(names) if name.lower().startswith(typed.lower())]
    return found[0] if len(found) == 1 else None


def _named(text: str, today: date, *, to_come: bool) -> date | None:
    """A day with its month's name; without a year the last one there was, or the next to come.

    None when the text is not of that kind; RecordError when there is no such day.
    """
    found = _NAMED.fullmatch(text)
    month = None if found is None else index_in(MONTHS, found["month"])
    weekday = index_in(WEEKDAYS, found["weekday"]) if found and found["weekday"] else None
    if found is None or month is None or (found["weekday"] and weekday is None):
        return None
    years = [int(found["year"])] if found["year"] else _years(today, to_come=to_come)
    days = [day for year in years if (day := _day_of(year, month + 1, int(found["day"])))]
    if not found["year"]:
        days = [day for day in days if (day >= today if to_come else day <= today)]
    if not days:
        year = found["year"]
        which = "records.day-not-in-month-of" if year else "records.day-not-in-month"
        named = {"month": MONTHS[month], "year": year, "day": found["day"]}
        raise RecordError(which, typed=text, **named)
    if weekday is not None and days[0].weekday() != weekday:
        raise RecordError("records.other-weekday", typed=text, on=days[0])
    return days[0]


def _years(today: date, *, to_come: bool) -> list[int]:
    """The years in which a day without one is looked for, nearest first."""
    step = 1 if to_come else -1
    return [today.year + step * count for count in range(_LEAP_YEARS_APART + 1)]


def _day_of(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _ahead(text: str, today: date) -> date | None:
    if text in ("today", "tomorrow"):
        return today + timedelta(days=int(text == "tomorrow"))
    found = _AHEAD.fullmatch(text)
    if found is None:
        return None
    count, unit = int(found[1]), found[2][0]
    if unit == "m":
        months = today.year * 12 + today.month - 1 + count
        year, month = divmod(months, 12)
        return date(year, month + 1, min(today.day, _last(year, month + 1)))
    return today + timedelta(days=count * (7 if unit == "w" else 1))


def _end_of_month(text: str) -> date | None:
    """The last day of a month that is given by its number or its name, with the year."""
    found, named = _MONTH.fullmatch(text), _NAMED_MONTH.fullmatch(text)
    if named is not None:
        index, year = index_in(MONTHS, named[1]), int(named[2])
        month = 0 if index is None else index + 1
    elif found is not None:
        year, month = int(found[2] or found[3]), int(found[1] or found[4])
    else:
        return None
    return date(year, month, _last(year, month)) if 1 <= month <= 12 and year else None


def _iso(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _last(year: int, month: int) -> int:
    return calendar.monthrange(year, month)[1]


def _noon(day: date, zone: str) -> int:
    return from_datetime(datetime(day.year, day.month, day.day, _NOON), zone)
