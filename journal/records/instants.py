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
_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.h]([0-5]\d)")


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
    """The IANA name of this machine's zone, or UTC where it cannot be told."""
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
    """UTC milliseconds of `when`; a datetime without an offset is read in `zone`."""
    aware = when if when.tzinfo else when.replace(tzinfo=zone_of(zone))
    return round(aware.timestamp() * 1000)


def from_iso(text: str, zone: str) -> int:
    """UTC milliseconds of an ISO 8601 date and time; without an offset it is in `zone`."""
    try:
        return from_datetime(datetime.fromisoformat(text.strip()), zone)
    except (ValueError, OverflowError):
        raise RecordError("records.no-instant", typed=text) from None


def iso(at_ms: int, zone: str) -> str:
    """ISO 8601 with the zone's offset, to the second (milliseconds only where they count)."""
    when = local(at_ms, zone)
    return when.isoformat(timespec="milliseconds" if at_ms % 1000 else "seconds")


def at_clock(text: str, zone: str, first_ms: int, last_ms: int) -> int:
    """The instant a person means by "11:20": the last one on that clock from `first_ms` to
    `last_ms`; a whole ISO 8601 date and time is taken as it stands.

    Raises
    ------
    RecordError
        When it is no time, or lies outside the two.
    """
    found = _CLOCK.fullmatch(text.strip())
    if found is None:
        at = _dated(text, zone)
    else:
        day = local(last_ms, zone).replace(
            hour=int(found[1]), minute=int(found[2]), second=0, microsecond=0, tzinfo=None
        )
        at = from_datetime(day, zone)
        if at > last_ms:
            at = from_datetime(day - timedelta(days=1), zone)
    if not first_ms - MINUTE_MS < at <= last_ms:
        raise RecordError(
            "records.time-outside",
            typed=text.strip(),
            first=Instant(first_ms, zone),
            last=Instant(last_ms, zone),
        )
    return at


def _dated(text: str, zone: str) -> int:
    try:
        return from_iso(text, zone)
    except RecordError:
        raise RecordError("records.no-time", typed=text.strip()) from None
