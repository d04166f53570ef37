"""Days to come as they stand on a packet: "14 March 2027", "03/2027", "in 2 weeks"."""

from __future__ import annotations

import calendar
import re
from datetime import date, datetime, timedelta

from journal.desk.dates import MONTHS
from journal.records import RecordError
from journal.records.instants import from_datetime, local

_WORDS = re.compile(r"(\d{1,2}\.?\s+)?([A-Za-z]{3,9})\.?,?\s*(\d{4})?")
_MONTH = re.compile(r"(\d{1,2})\s*[/.]\s*(\d{4})|(\d{4})-(\d{1,2})")
_AHEAD = re.compile(r"(?:in\s+)?(\d{1,3})\s*(days?|d|weeks?|w|months?)")
_NOON = 12


def read_date(text: str, zone: str, now_ms: int) -> int:
    """The noon of a day as typed, past or to come.

    A month alone means its last day, as on a packet; a day without a year the next one there is.

    Raises
    ------
    RecordError
        When it is no day.
    """
    plain = " ".join(text.split()).lower()
    today = local(now_ms, zone).date()
    day = _ahead(plain, today) or _month(plain) or _worded(plain, today) or _iso(plain)
    if day is None:
        raise RecordError(f"“{text.strip()}” is no day. Write it like 14 March 2027 or 03/2027.")
    return from_datetime(datetime(day.year, day.month, day.day, _NOON), zone)


def date_words(at_ms: int, zone: str) -> str:
    """The day, short: "14 Mar 2027"."""
    when = local(at_ms, zone)
    return f"{when.day} {when:%b} {when.year}"


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


def _month(text: str) -> date | None:
    found = _MONTH.fullmatch(text)
    if found is None:
        return None
    year, month = int(found[2] or found[3]), int(found[1] or found[4])
    return date(year, month, _last(year, month)) if 1 <= month <= 12 else None


def _worded(text: str, today: date) -> date | None:
    found = _WORDS.fullmatch(text)
    months = [m for m in MONTHS if found is not None and m.lower().startswith(found[2])]
    if found is None or len(months) != 1 or not (found[1] or found[3]):
        return None
    month, year = MONTHS.index(months[0]) + 1, int(found[3] or today.year)
    try:
        day = int(found[1].strip(" .")) if found[1] else _last(year, month)
        when = date(year, month, day)
    except ValueError:
        return None
    return when if found[3] or when >= today else when.replace(year=year + 1)


def _iso(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _last(year: int, month: int) -> int:
    return calendar.monthrange(year, month)[1]
