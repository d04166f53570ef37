"""The rules of a zone as a calendar file holds them, an observance a change of its clocks."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from journal.records.instants import zone_of

if TYPE_CHECKING:
    from icalendar import Timezone

_HOUR = timedelta(hours=1)


def zone_component(name: str, first: date, last: date) -> Timezone:
    """The VTIMEZONE of a zone, right from the first day to the last.

    Each observance stands alone, begun at the local time of the offset before it (RFC 5545, 3.6.5):
    lists of further dates are read wrongly by some programs.
    """
    from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

    zone = zone_of(name)
    component = Timezone()
    component.add("tzid", name)
    begin = datetime(first.year, first.month, first.day, tzinfo=UTC) - timedelta(days=1)
    end = datetime(last.year, last.month, last.day, tzinfo=UTC) + timedelta(days=2)
    for at in [begin, *changes(zone, begin, end)]:
        there = at.astimezone(zone)
        before = (at - timedelta(microseconds=1)).astimezone(zone).utcoffset()
        part = TimezoneDaylight() if there.dst() else TimezoneStandard()
        part.add("dtstart", (at + (before or timedelta())).replace(tzinfo=None))
        part.add("tzname", there.tzname() or name)
        part.add("tzoffsetfrom", before)
        part.add("tzoffsetto", there.utcoffset())
        component.add_component(part)
    return component


def changes(zone: ZoneInfo, begin: datetime, end: datetime) -> list[datetime]:
    """The instants between two at which the clocks of a zone change, to the minute."""
    found, at = [], begin
    while at < end:
        after = at + 24 * _HOUR
        if at.astimezone(zone).utcoffset() != after.astimezone(zone).utcoffset():
            found.append(_between(zone, at, after))
        at = after
    return found


def _between(zone: ZoneInfo, low: datetime, high: datetime) -> datetime:
    """The first minute with the later offset, by halving."""
    then = low.astimezone(zone).utcoffset()
    while high - low > timedelta(minutes=1):
        middle = low + timedelta(minutes=(high - low) // timedelta(minutes=2))
        if middle.astimezone(zone).utcoffset() == then:
            low = middle
        else:
            high = middle
    return high
