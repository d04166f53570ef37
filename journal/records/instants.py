"""Instants: UTC milliseconds beside a zone's name, and how they are read."""

from __future__ import annotations

import re
import time
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from journal.message import Instant
from journal.records import RecordError

MINUTE_MS = 60_000
DAY_MS = 86_400_000
_NOON = 12
_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.h]([0-5]\d)(?:\s*([ap])\.?m\.?)?", re.IGNORECASE)
_TURN = re.compile(r"(.*\S)\s+(first|second)", re.IGNORECASE)


def now_ms() -> int:
    """The present instant in UTC milliseconds."""
    return time.time_ns() // 1_000_000


def zone_of(name: str) -> ZoneInfo:
    """The zone called `name`; raises RecordError when there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise RecordError("records.no-zone", name=name) from None


def system_zone() -> str:
    """The IANA name of this machine's zone, or UTC where it is unknown."""
    import os
    from pathlib import Path

    wanted = os.environ.get("TZ", "").lstrip(":")
    if not wanted:
        link = Path("/etc/localtime")
        target = str(link.resolve()) if link.exists() else ""
        wanted = target.partition("zoneinfo/")[2]
    try:
        zone_of(wanted or "UTC")
    except RecordError:
        return "UTC"
    return wanted or "UTC"


def local(at_ms: int, zone: str) -> datetime:
    """The instant as an aware datetime in `zone`."""
    return datetime.fromtimestamp(at_ms / 1000, UTC).astimezone(zone_of(zone))


def from_datetime(when: datetime, zone: str) -> int:
    """UTC milliseconds of `when`; a datetime without an offset is read in `zone`. OverflowError in
    the first and the last year there is, where the next day or another zone's clock has none."""
    if not 1 < when.year < 9999:
        raise OverflowError
    aware = when if when.tzinfo else when.replace(tzinfo=zone_of(zone))
    return round(aware.timestamp() * 1000)


def from_iso(text: str, zone: str) -> int:
    """UTC milliseconds of an ISO 8601 date and time; without an offset it is in `zone`."""
    try:
        return from_datetime(datetime.fromisoformat(text.strip()), zone)
    except (ValueError, OverflowError):
        raise RecordError("records.no-instant", typed=text) from None


def from_wall(when: datetime, zone: str, typed: str, turn: str = "") -> int:
    """UTC milliseconds of a time that a person read off a clock of that zone.

    Parameters
    ----------
    when : without an offset, or with its own, which is taken as it stands
    typed : what was typed, for the refusal
    turn : "first" or "second" where the clocks were put back over it and it came twice

    Raises
    ------
    RecordError
        When the clocks were put forward over it, or it came twice and nothing says which is meant.
    """
    found = passes(when, zone)
    if len(found) == 1:
        return found[0]
    if not found:
        after = Instant(from_datetime(when, zone), zone)
        raise RecordError("records.time-skipped", typed=typed, after=after)
    if not turn:
        raise RecordError("records.time-twice", typed=typed, first=Instant(found[0], zone))
    return found[turn == "second"]


def from_typed(text: str, zone: str) -> int:
    """UTC milliseconds of an ISO 8601 date and time as a person types it: without an offset as
    `from_wall` reads it, "2026-10-25T02:30 second" too. A day alone is its beginning.

    Raises
    ------
    RecordError
        When it is none, or the zone's clocks were changed over it.
    """
    plain, turn = turn_of(text)
    try:
        when = datetime.fromisoformat(plain)
        if ":" not in plain and "T" not in plain.upper():
            return from_datetime(when, zone)
        return from_wall(when, zone, plain, turn)
    except (ValueError, OverflowError) as error:
        if isinstance(error, RecordError):
            raise
        raise RecordError("records.no-instant", typed=text) from None


def typed_clock(at_ms: int, zone: str) -> str:
    """The time of day as it is typed, so that it reads back the same: "02:30 second" in the hour
    that comes twice."""
    when = local(at_ms, zone)
    found = passes(when.replace(tzinfo=None, fold=0), zone)
    turn = ("", " second" if when.fold else " first")[len(found) > 1]
    return when.time().isoformat("minutes") + turn


def turn_of(text: str) -> tuple[str, str]:
    """What is typed before "first" or "second", and that word."""
    found = _TURN.fullmatch(text.strip())
    return (found[1], found[2].lower()) if found else (text.strip(), "")


def passes(when: datetime, zone: str) -> tuple[int, ...]:
    """The instants at which a clock of that zone shows `when`: none, one or two."""
    if when.tzinfo is not None:
        return (from_datetime(when, zone),)
    first, second = (from_datetime(when.replace(fold=fold), zone) for fold in (0, 1))
    if first > second:
        return ()
    return (first,) if first == second else (first, second)


def iso(at_ms: int, zone: str) -> str:
    """ISO 8601 with the zone's offset, to the second (milliseconds only where they count)."""
    when = local(at_ms, zone)
    return when.isoformat(timespec="milliseconds" if at_ms % 1000 else "seconds")


def hour_of(typed: int, half: str | None) -> int:
    """The hour of the day of one that is typed, with the half of the day or without."""
    if half is None or typed > _NOON:
        return typed
    return typed % _NOON + (_NOON if half.lower() == "p" else 0)


def at_clock(text: str, zone: str, first_ms: int, last_ms: int) -> int:
    """The instant a person means by "11:20" or "5:20 pm": the last one on that clock from
    `first_ms` to `last_ms`; a whole ISO 8601 date and time is taken as it stands.

    Raises
    ------
    RecordError
        When it is no time, lies outside the two, or the clocks were changed over it.
    """
    plain, turn = turn_of(text)
    found = _CLOCK.fullmatch(plain)
    if found is None:
        days = [_dated(plain, zone)]
    else:
        day = local(last_ms, zone).replace(
            hour=hour_of(int(found[1]), found[3]),
            minute=int(found[2]),
            second=0,
            microsecond=0,
            tzinfo=None,
            fold=0,
        )
        days = [day, day - timedelta(days=1)]
    for when in days:
        here = [at for at in passes(when, zone) if first_ms - MINUTE_MS < at <= last_ms]
        if len(here) == 1 and not turn:
            return here[0]
        if here or first_ms - MINUTE_MS < from_datetime(when, zone) <= last_ms:
            at = from_wall(when, zone, plain, turn)
            if first_ms - MINUTE_MS < at <= last_ms:
                return at
    raise RecordError(
        "records.time-outside",
        typed=text.strip(),
        first=Instant(first_ms, zone),
        last=Instant(last_ms, zone),
    )


def _dated(text: str, zone: str) -> datetime:
    """A date and time as ISO 8601 has them, or with one of twelve hours: "2026-03-14 1:40 pm"."""
    day, _, time = text.replace("T", " ", 1).partition(" ")
    halved = _CLOCK.fullmatch(time.strip())
    if halved is not None and halved[3]:
        text = f"{day}T{hour_of(int(halved[1]), halved[3]):02d}:{halved[2]}"
    try:
        when = datetime.fromisoformat(text)
        from_datetime(when, zone)
    except (ValueError, OverflowError):
        raise RecordError("records.no-time", typed=text) from None
    return when


def same_day(a_ms: int, b_ms: int, zone: str) -> bool:
    """Whether two instants lie on one day of that zone."""
    return local(a_ms, zone).date() == local(b_ms, zone).date()
