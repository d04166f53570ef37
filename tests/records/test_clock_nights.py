"""Times typed on the nights when clocks change: none is taken for another, order and lengths hold.

The oracle knows of zones only what an instant shows on a clock: it looks every instant of the
nights up, a minute at a time, and remembers at which of them a clock shows a time.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import UTC, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records.clocks import Timekeeper
from journal.records.dates import read_date, read_day
from journal.records.day_typed import day_typed
from journal.records.instants import at_clock, from_typed, typed_clock
from journal.records.plan_text import builtin_plans
from tests.records.test_clocks import HOUR, Machine

MINUTE, NOW = 60_000, 1_792_900_000_000
# The nights of both changes: a whole hour, half an hour, over midnight, and where winter is July.
NIGHTS = [
    ("Europe/Berlin", "2026-03-28"), ("Europe/Berlin", "2026-10-24"),
    ("America/New_York", "2026-03-07"), ("America/New_York", "2026-10-31"),
    ("Australia/Lord_Howe", "2026-04-04"), ("Australia/Lord_Howe", "2026-10-03"),
    ("Africa/Cairo", "2026-04-23"), ("Africa/Cairo", "2026-10-29"),
]  # fmt: skip


@cache
def shown(zone: str, day: str) -> dict[str, list[int]]:
    """The instants, in order, at which a clock of that zone shows a time, over 36 hours."""
    begun = datetime.fromisoformat(day).replace(hour=6, tzinfo=UTC)
    found = defaultdict(list)
    for minute in range(36 * 60):
        at = begun + timedelta(minutes=minute)
        found[at.astimezone(ZoneInfo(zone)).strftime("%Y-%m-%dT%H:%M")].append(
            round(at.timestamp() * 1000)
        )
    return found


@cache
def minutes_between(zone: str, day: str) -> list[str]:
    """Every minute a person could type for those hours, whether a clock shows it or not."""
    times = sorted(shown(zone, day))
    first, last = map(datetime.fromisoformat, (times[0], times[-1]))
    count = int((last - first) / timedelta(minutes=1))
    return [f"{first + timedelta(minutes=n):%Y-%m-%dT%H:%M}" for n in range(count + 1)]


@pytest.mark.parametrize(("zone", "day"), NIGHTS)
def test_each_minute_of_the_night_is_the_one_that_a_clock_shows(zone: str, day: str) -> None:
    odd = 0
    for text in minutes_between(zone, day):
        instants = shown(zone, day).get(text, [])
        if len(instants) == 1:
            assert from_typed(text, zone) == instants[0]
            assert typed_clock(instants[0], zone) == text[11:]
            continue
        odd += 1
        with pytest.raises(RecordError) as refused:
            from_typed(text, zone)
        assert refused.value.id == ("records.time-twice" if instants else "records.time-skipped")
        if instants:
            assert [from_typed(f"{text} {turn}", zone) for turn in ("first", "second")] == instants
            both = [typed_clock(at, zone) for at in instants]
            assert both == [f"{text[11:]} first", f"{text[11:]} second"]
            assert [read_day(text[:11] + one, zone, instants[1] + HOUR) for one in both] == instants
        else:
            after = refused.value.values["after"].at_ms
            assert any(after in some for some in shown(zone, day).values())
    assert odd in (30, 60), "half an hour or an hour is odd that night"


@pytest.mark.parametrize(("zone", "day"), NIGHTS)
@settings(max_examples=40)
@given(data=st.data())
def test_a_time_of_day_is_the_last_one_within_the_make_or_asked(
    zone: str, day: str, data: st.DataObject
) -> None:
    every = sorted(at for some in shown(zone, day).values() for at in some)
    first = data.draw(st.sampled_from(every[:-1]))
    last = data.draw(st.sampled_from([at for at in every if first < at < first + 23 * HOUR]))
    text = data.draw(st.sampled_from(minutes_between(zone, day)))[11:]
    inside = [at for key, some in shown(zone, day).items() if key[11:] == text for at in some
              if first <= at <= last]  # fmt: skip
    if len(inside) == 1:
        assert at_clock(text, zone, first, last) == inside[0]
        return
    with pytest.raises(RecordError) as refused:
        at_clock(text, zone, first, last)
    none = ("records.time-outside", "records.time-skipped")
    assert refused.value.id in (("records.time-twice",) if inside else none)
    if inside:
        both = [at_clock(f"{text} {turn}", zone, first, last) for turn in ("first", "second")]
        assert both == sorted(inside)


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/New_York"])
def test_the_first_and_the_last_day_there_is_are_refused(zone: str, day: str) -> None:
    for read in (
        lambda: read_day(day, zone, NOW),
        lambda: read_date(day, zone, NOW),
        lambda: from_typed(f"{day}T12:00", zone),
        lambda: at_clock(f"{day}T12:00", zone, NOW - HOUR, NOW),
        lambda: day_typed(f"start {day} 8:00", builtin_plans()[0], zone, NOW),
        lambda: day_typed(f"{day} 8:00", builtin_plans()[0], zone, NOW),
    ):
        with pytest.raises(RecordError):
            read()


def test_a_clock_set_by_hours_during_the_night_shifts_neither_order_nor_length() -> None:
    machine = Machine()
    keeper = Timekeeper(machine.clocks())
    begun, true = keeper.now(), [machine.true]
    read = [begun]
    for by in (5 * HOUR, -9 * HOUR, 2 * HOUR, -30 * 24 * HOUR, 33 * HOUR):
        machine.run(20 * MINUTE)
        read.append(keeper.now())
        true.append(machine.true)
        machine.set_clock(by)
        machine.sleep(3 * MINUTE)
        read.append(keeper.now())
        true.append(machine.true)
    assert read == true


@given(st.integers(-3000, 3000), st.integers(0, 16), st.integers(-40, 40))
def test_after_a_new_start_of_the_machine_a_clock_is_never_believed_against_the_entries(
    set_min: int, away_h: int, wrong_h: int
) -> None:
    """Whatever the clock was set to, a new start goes on in order, or asks."""
    assume(abs(set_min) > 2 or set_min == 0)
    machine = Machine()
    before = Timekeeper(machine.clocks())
    machine.run(30 * MINUTE)
    machine.set_clock(set_min * MINUTE)
    last = before.now()
    kept = before.kept()
    machine.sleep(away_h * HOUR + MINUTE)
    machine.set_clock(wrong_h * HOUR)
    machine.steady = machine.awake = 0
    after = Timekeeper(machine.clocks(boot="two"), kept, last_ms=last, due_ms=last + HOUR)
    if after.doubt is None:
        assert set_min == 0
        assert after.now() >= last, "no entry comes before the last one without a word"
        assert abs(after.now() - machine.true) == abs(wrong_h) * HOUR
        assert after.now() <= last + 19 * HOUR, "nor far behind what was due"
    else:
        assert after.doubt.wall_ms == machine.wall
        after.answer(machine.wall - machine.true)
        assert after.doubt is None
        machine.run(5 * MINUTE)
        assert after.now() == machine.true
        again = Timekeeper(machine.clocks(boot="two"), after.kept(), last_ms=last)
        assert (again.doubt, again.now()) == (None, machine.true)


def test_in_the_same_run_of_the_machine_nothing_is_asked() -> None:
    machine = Machine()
    before = Timekeeper(machine.clocks())
    machine.run(MINUTE)
    kept, last = before.kept(), before.now()
    machine.sleep(HOUR)
    machine.set_clock(-9 * HOUR)
    after = Timekeeper(machine.clocks(), kept, last_ms=last, due_ms=last)
    assert (after.doubt, after.now()) == (None, machine.true)
