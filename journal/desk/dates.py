"""Days and ages as a person writes and reads them: "14 March 2026", "4 months"."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from journal.records import RecordError
from journal.records.instants import DAY_MS, from_datetime, from_iso, local

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip
MONTH_DAYS = 30.4375
_WRITTEN = re.compile(r"(\d{1,2})\.?\s+([A-Za-z]{3,9})\.?,?(?:\s+(\d{4}))?")
_NOON = 12


def day_words(at_ms: int, zone: str) -> str:
    """The day in that zone: "14 March 2026"."""
    when = local(at_ms, zone)
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


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
    now = local(now_ms, zone)
    if plain.lower() in ("", "today"):
        return now_ms
    if plain.lower() == "yesterday":
        return _noon(now - timedelta(days=1), zone)
    found = _WRITTEN.fullmatch(plain)
    if found is not None:
        at_ms = _noon(_written(found, now, plain), zone)
    else:
        try:
            at_ms = from_iso(plain, zone)
        except RecordError:
            raise RecordError(
                f"“{plain}” is no day. Write it like 14 March, or 2026-03-14."
            ) from None
        if "T" not in plain.upper() and ":" not in plain:
            at_ms = _noon(local(at_ms, zone), zone)
    if local(at_ms, zone).date() == now.date():
        return min(at_ms, now_ms) if ":" in plain else now_ms
    if at_ms > now_ms:
        raise RecordError(f"{day_words(at_ms, zone)} is still to come.")
    return at_ms


def age_words(days: float) -> str:
    """An age: days up to two months, months up to three years, then years."""
    if days < 1.5:
        return "1 day" if days >= 0.5 else "new"
    if days < 2 * MONTH_DAYS:
        return f"{days:.0f} days"
    if days < 36 * MONTH_DAYS:
        return f"{days / MONTH_DAYS:.0f} months"
    return f"{days / 365.25:.1f} years"


def old_words(days: float) -> str:
    """An age as one says it of a wheel: "made today", "4 months old"."""
    return "made today" if days < 0.5 else f"{age_words(days)} old"


def age_days(from_ms: int, to_ms: int) -> float:
    """Days between two instants."""
    return (to_ms - from_ms) / DAY_MS


def _written(found: re.Match[str], now: datetime, text: str) -> datetime:
    months = [m for m in MONTHS if m.lower().startswith(found[2].lower())]
    if len(months) != 1:
        raise RecordError(f"“{text}” is no day. Write it like 14 March 2026 or 2026-03-14.")
    month = MONTHS.index(months[0]) + 1
    try:
        when = datetime(int(found[3] or now.year), month, int(found[1]))
        if not found[3] and when.date() > now.date():
            when = when.replace(year=now.year - 1)
    except ValueError:
        raise RecordError(f"There is no {text}.") from None
    return when


def _noon(day: datetime, zone: str) -> int:
    return from_datetime(datetime(day.year, day.month, day.day, _NOON), zone)
