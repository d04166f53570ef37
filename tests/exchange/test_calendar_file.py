"""The calendar file: read again by two parsers, across clock changes, and changed in place."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from io import StringIO
from pathlib import Path
from zoneinfo import ZoneInfo

import icalendar  # noqa: TID253
import pytest
import vobject
from dateutil.tz import tzical

from journal.exchange import ExchangeError
from journal.exchange.calendar_file import remember_calendar, renew_calendar, write_calendar
from journal.exchange.calendar_zone import zone_component
from journal.keeping import Journal
from journal.records.care_ahead import ahead
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.plans import CareRule, Plan, Stage

ZONE = "Europe/London"
START = from_iso("2026-10-12T08:00", ZONE)
PLAN = Plan(
    "hard",
    (Stage("warm", 30, target_c=31.0),),
    care=(
        CareRule("turn", 1, 40, 1),
        CareRule("oil", 14, 180, 30, "thin; both faces, and the rim: not the cloth"),
    ),
    taste_at_days=(60.0, 120.0),
)


@pytest.fixture
def journal(tmp_path: Path):
    with Journal.create(tmp_path / "kitchen.vatside", zone=ZONE) as journal:
        for _ in range(2):
            make = journal.makes.begin(PLAN, Milk(12.0), START)
            journal.makes.finish(make.id or 0, [0.8, 0.6], START + DAY_MS)
        room = journal.shelves.room_named("Cellar", new=True)
        journal.shelves.move(journal.wheels.all(), room, START + DAY_MS)
        yield journal


def by_uid(path: Path) -> dict[str, icalendar.Event]:
    calendar = icalendar.Calendar.from_ical(path.read_bytes())
    events = {str(event["uid"]): event for event in calendar.walk("VEVENT")}
    assert len(events) == len(calendar.walk("VEVENT"))
    return events


def standing(path: Path) -> dict[tuple[date, str], icalendar.Event]:
    return {
        (event.decoded("dtstart").date(), str(event["summary"])): event
        for event in by_uid(path).values()
        if str(event["status"]) == "CONFIRMED"
    }


def test_all_that_is_due_is_there_at_the_hour_of_the_kitchen(journal: Journal, tmp_path: Path):
    out = tmp_path / "wheels.ics"
    now = START + 2 * DAY_MS
    report = write_calendar(journal, out, now)
    found = standing(out)
    dues = ahead(journal.care_tasks.lives(), now, date(2027, 12, 1))
    assert (
        report.events == len(found) == len({(d.on, d.kind) for d in dues if d.kind != "taste"}) + 4
    )
    for due in dues:
        what = f"Taste {due.life.wheel.code[:7]}" if due.kind == "taste" else due.kind.capitalize()
        event = next(e for (on, text), e in found.items() if on == due.on and text.startswith(what))
        assert due.kind == "taste" or due.life.wheel.code in str(event["description"])
    for (on, _), event in found.items():
        begins = event.decoded("dtstart")
        assert (begins.hour, begins.minute) == (9, 0)
        winter = on >= date(2026, 10, 25) and on < date(2027, 3, 28)
        assert begins.astimezone(UTC).hour == (9 if winter else 8)
        alarm = event.walk("VALARM")[0]
        assert (alarm.decoded("trigger"), str(alarm["action"])) == (timedelta(0), "DISPLAY")
    assert "thin; both faces, and the rim: not the cloth" in str(
        found[date(2026, 10, 26), "Oil 4 wheels, Cellar"]["description"]
    )


def test_a_second_parser_reads_the_same(journal: Journal, tmp_path: Path):
    out = tmp_path / "wheels.ics"
    write_calendar(journal, out, START + 2 * DAY_MS)
    raw = out.read_bytes()
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))  # RFC 5545, 3.1
    assert b"\n" not in raw.replace(b"\r\n", b"")
    other = vobject.readOne(raw.decode())
    ours = by_uid(out)
    assert len(other.vevent_list) == len(ours)
    for event in other.vevent_list:
        mine = ours[event.uid.value]
        assert event.summary.value == str(mine["summary"])
        assert event.description.value == str(mine["description"])
        assert event.dtstart.value.astimezone(UTC) == mine.decoded("dtstart").astimezone(UTC)
        assert event.valarm.action.value == "DISPLAY"


def test_given_again_it_changes_what_is_there_and_never_doubles(journal: Journal, tmp_path: Path):
    """A calendar that takes each file in turn, by UID and SEQUENCE as RFC 5546 has it, ends with
    just what is due."""
    out, now = tmp_path / "wheels.ics", START + 2 * DAY_MS
    write_calendar(journal, out, now)
    phone = by_uid(out)
    before = out.read_bytes()
    assert not write_calendar(journal, out, now + 3_600_000).changed
    assert out.read_bytes() == before
    wheels = journal.wheels.all()
    journal.shelves.take_all(wheels[0], "sold", now)
    journal.shelves.care(wheels[1:], "oil", START + 13 * DAY_MS)
    journal.shelves.move([wheels[1]], journal.shelves.room_named("Larder", new=True), now + 1)
    report = write_calendar(journal, out, now + 7_200_000)
    assert report.changed
    assert report.cancelled > 0
    for uid, event in by_uid(out).items():
        if uid not in phone or event["sequence"] >= phone[uid]["sequence"]:
            phone[uid] = event
    left = {uid for uid, event in phone.items() if str(event["status"]) == "CONFIRMED"}
    assert left == {str(event["uid"]) for event in standing(out).values()}
    assert "Turn 2 wheels, Cellar" in {str(phone[uid]["summary"]) for uid in left}
    turned = [e for e in phone.values() if str(e["summary"]).startswith("Turn 2 wheels, Cellar")]
    assert {int(event["sequence"]) for event in turned} == {1}


def test_it_is_written_anew_where_it_was_and_nowhere_else(journal: Journal, tmp_path: Path):
    out, now = tmp_path / "wheels.ics", START + 2 * DAY_MS
    assert renew_calendar(journal, now) is None
    write_calendar(journal, out, now)
    remember_calendar(journal, out)
    journal.shelves.care(journal.wheels.all(), "turn", now)
    with Journal.open(journal.path) as second:  # another program
        report = renew_calendar(second, now)
    assert report is not None
    assert report.changed
    assert (date(2026, 10, 14), "Turn 4 wheels, Cellar") not in standing(out)
    out.unlink()
    assert renew_calendar(journal, now) is None
    for text in ("nonsense", "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n"):
        out.write_bytes(text.encode())
        with pytest.raises(ExchangeError):
            write_calendar(journal, out, now)
        assert out.read_bytes() == text.encode()
    assert list(tmp_path.glob(".wheels*")) == []


@pytest.mark.parametrize(
    "name", ["Europe/London", "America/St_Johns", "Australia/Lord_Howe", "UTC"]
)
def test_the_zones_own_rules_give_the_hours_of_every_day(name: str) -> None:
    """What a program without a table of zones makes of them."""
    component = zone_component(name, date(2027, 1, 1), date(2028, 12, 31))
    calendar = icalendar.Calendar()
    calendar.add_component(component)
    own = tzical(StringIO(calendar.to_ical().decode())).get()
    for day in range(730):
        at = datetime(2027, 1, 1, 9, 0) + timedelta(days=day)
        assert at.replace(tzinfo=own).utcoffset() == at.replace(tzinfo=ZoneInfo(name)).utcoffset()
