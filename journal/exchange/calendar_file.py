"""What is due as a calendar file (RFC 5545), for a phone's or a desktop's calendar.

An event is a day's care of one kind in one room, or a make's tasting, at an hour of the kitchen's
zone, with an alarm. Its UID is made of the journal's own and of what it is, so a calendar that is
given the file again, or reads it anew by itself, changes what it has. The file itself is the memory
of what was written: what was there and is no longer due is written once more as cancelled, what
changed has its SEQUENCE raised, and what did not keeps its stamp: nothing changed, the same bytes.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID, uuid5

from journal.exchange import ExchangeError
from journal.exchange.calendar_zone import zone_component
from journal.keeping import Journal
from journal.records.care_ahead import ahead
from journal.records.due import TASTE, Due
from journal.records.instants import local, zone_of
from journal.wording import worded
from journal.wording.wheels import dues_title

if TYPE_CHECKING:
    from icalendar import Calendar, Event

DAYS = 400  # so far ahead
HOUR = time(9, 0)
_LASTS = timedelta(minutes=15)
_KEPT = ("summary", "dtstart", "dtend", "description", "location", "status")
_PATH = "calendar"  # the setting that says where the file is


@dataclass(frozen=True)
class CalendarReport:
    """What a calendar file holds: events that stand, and those written as cancelled."""

    path: Path
    events: int
    cancelled: int
    changed: bool


def write_calendar(
    journal: Journal, path: str | Path, now_ms: int, *, hour: time = HOUR, days: int = DAYS
) -> CalendarReport:
    """Write what is due from today on into a file, in place of what it said before.

    Raises
    ------
    ExchangeError
        When the file there is no calendar, or one of something else: it stays as it is.
    """
    path = Path(path)
    today = local(now_ms, journal.zone).date()
    before = _read(path, journal.origin)
    stamp = datetime.fromtimestamp(now_ms // 1000, UTC)
    dues = ahead(journal.care_tasks.lives(), now_ms, today + timedelta(days=days))
    events = [_event(journal, group, hour) for group in _groups(dues)]
    for event in events:
        _stamp(event, before.pop(str(event["uid"]), None), stamp)
    gone = [old for old in before.values() if _is_to_come(old, today)]
    for event in gone:
        _cancel(event, stamp)
    text = _calendar(journal, [*events, *gone]).to_ical()
    changed = not path.exists() or path.read_bytes() != text
    if changed:
        _put(path, text)
    return CalendarReport(path, len(events), len(gone), changed)


def remember_calendar(journal: Journal, path: str | Path, hour: time = HOUR) -> None:
    """From now on the file is written anew when something changes (`renew_calendar`)."""
    journal.set_setting(_PATH, f"{hour.isoformat('minutes')} {Path(path).resolve()}")


def has_calendar(journal: Journal) -> bool:
    """Whether a file was written that follows the journal."""
    return journal.setting(_PATH) is not None


def renew_calendar(journal: Journal, now_ms: int) -> CalendarReport | None:
    """Write the file anew that was written last; None where there is none, or no longer."""
    known = journal.setting(_PATH)
    if known is None:
        return None
    hour, _, path = known.partition(" ")
    if not Path(path).exists():
        return None
    return write_calendar(journal, path, now_ms, hour=time.fromisoformat(hour))


def _groups(dues: Iterable[Due]) -> list[list[Due]]:
    """Care of one kind on one day in one room together, each tasting by itself."""
    found: dict[tuple[object, ...], list[Due]] = {}
    for due in dues:
        make = due.life.wheel.make_id if due.kind == TASTE else None
        found.setdefault((due.on, due.kind, due.life.wheel.room_id, make), []).append(due)
    return list(found.values())


def _event(journal: Journal, group: list[Due], hour: time) -> Event:
    from icalendar import Alarm, Event

    first = group[0]
    codes = [due.life.wheel.code for due in group]
    room = first.life.room
    event = Event()
    event.add("uid", f"{uuid5(UUID(journal.origin), _what(journal, first))}@vatside")
    notes = sorted({due.note for due in group if due.note})
    if first.kind == TASTE:
        event.add("summary", dues_title(group))
        event.add("description", "\n".join([first.life.plan, *notes]))
    else:
        event.add("summary", dues_title(group) + f", {room}" * bool(room))
        event.add("description", "\n".join([", ".join(codes), *notes]))
    if room:
        event.add("location", room)
    begins = datetime.combine(first.on, hour, zone_of(journal.zone))
    event.add("dtstart", begins)
    event.add("dtend", begins + _LASTS)
    event.add("status", "CONFIRMED")
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", str(event["summary"]))
    alarm.add("trigger", timedelta(0))
    event.add_component(alarm)
    return event


def _what(journal: Journal, due: Due) -> str:
    """What an event is, whatever wheels it holds: the kind, where, and the day; of a tasting the
    make and the age, whichever day that falls on."""
    if due.kind == TASTE:
        make = journal.makes.get(due.life.wheel.make_id)
        return f"{TASTE} {make.uuid} {due.at_days:g}"
    key = due.life.wheel.room_id
    room = "" if key is None else journal.rooms.binned(key).uuid
    return f"{due.kind} {room} {due.on.isoformat()}"


def _stamp(event: Event, old: Event | None, stamp: datetime) -> None:
    """A new event has SEQUENCE 0; one that changed is one higher; one that did not is as it was."""
    if old is None:
        event.add("sequence", 0)
        event.add("dtstamp", stamp)
        return
    same = all(_value(event, key) == _value(old, key) for key in _KEPT)
    event.add("sequence", int(old.get("sequence", 0)) + (0 if same else 1))
    event.add("dtstamp", old.decoded("dtstamp") if same else stamp)


def _cancel(event: Event, stamp: datetime) -> None:
    if _value(event, "status") == "CANCELLED":
        return
    for key in ("status", "sequence", "dtstamp"):
        number = int(event.get("sequence", 0))
        event.pop(key, None)
        value = {"status": "CANCELLED", "sequence": number + 1, "dtstamp": stamp}[key]
        event.add(key, value)
    event.subcomponents = []


def _value(event: Event, key: str) -> object:
    found = event.get(key)
    at = getattr(found, "dt", None)
    return str(found) if at is None else (at.astimezone(UTC) if isinstance(at, datetime) else at)


def _is_to_come(event: Event, today: date) -> bool:
    at = event.decoded("dtstart")
    day = at.date() if isinstance(at, datetime) else at
    return isinstance(day, date) and day >= today


def _calendar(journal: Journal, events: list[Event]) -> Calendar:
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//Vatside//Vatside//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", worded("exchange.wheels-of", journal=journal.path.stem))
    calendar.add("x-wr-timezone", journal.zone)
    calendar.add("x-vatside-journal", journal.origin)
    calendar.add("x-published-ttl", "PT1H")
    ordered = sorted(events, key=_order)
    if ordered:
        first, last = (_begins(event).date() for event in (ordered[0], ordered[-1]))
        calendar.add_component(zone_component(journal.zone, first, last))
    for event in ordered:
        calendar.add_component(event)
    return calendar


def _order(event: Event) -> tuple[datetime, str]:
    return _begins(event).astimezone(UTC), str(event["uid"])


def _begins(event: Event) -> datetime:
    found = event.decoded("dtstart")
    assert isinstance(found, datetime)
    return found


def _read(path: Path, origin: str) -> dict[str, Event]:
    """The events that the file has, by UID; of no file, or an empty one, none."""
    from icalendar import Calendar, Event

    if path.exists() and not path.is_file():
        raise ExchangeError("exchange.calendar-no-file", file=path.name)
    if not path.exists() or not path.stat().st_size:
        return {}
    try:
        calendar = Calendar.from_ical(path.read_bytes())
    except (ValueError, IndexError, KeyError) as error:
        raise ExchangeError("exchange.no-calendar", file=path.name) from error
    if str(calendar.get("x-vatside-journal", "")) != origin:
        raise ExchangeError("exchange.other-calendar", file=path.name)
    return {str(e["uid"]): e for e in calendar.walk("VEVENT") if isinstance(e, Event)}


def _put(path: Path, text: bytes) -> None:
    """The whole file or none of it, for a program that reads it meanwhile."""
    part = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        part.write_bytes(text)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
