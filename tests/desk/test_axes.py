"""Natural times on the clock of the make's own zone, across a change of the clocks too."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.desk.charts.axes import NATURAL_MIN, ClockAxis, clock_ticks, natural_step
from journal.records.instants import from_iso
from journal.wording.durations import from_start
from journal.wording.scales import named

LONDON = "Europe/London"


def output(start: str, low: float, high: float, step: int, zone: str = LONDON) -> list[str]:
    axis = ClockAxis(zero_ms=from_iso(start, zone), zone=zone)
    ticks = clock_ticks(low, high, step, axis.zero_ms, zone)
    return axis.tickStrings(ticks, 1.0, step)


def test_ticks_stand_at_the_clock_not_at_the_start(qapp):
    assert output("2026-03-14T09:07", 0, 120, 30) == ["09:30", "10:00", "10:30", "11:00"]
    assert output("2026-03-14T09:07", 0, 12, 5) == ["09:10", "09:15"]


def test_another_zone_has_its_own_clock(qapp):
    assert output("2026-03-14T09:07", 0, 60, 60, "Asia/Kathmandu") == ["10:00"]


def test_the_spring_hour_is_left_out(qapp):
    # Clocks in London go from 01:00 to 02:00 on 29 March 2026 (EU rule: last Sunday of March).
    assert output("2026-03-29T00:00", 0, 180, 60) == ["00:00", "02:00", "03:00", "04:00"]


def test_the_autumn_hour_that_comes_twice_is_told_apart(qapp):
    assert output("2026-10-25T00:00", 0, 180, 60) == ["00:00", "01:00", "01:00 GMT", "02:00"]


def test_long_axes_are_told_in_months_with_the_year_where_one_begins(qapp):
    axis = ClockAxis(zero_ms=from_iso("2025-11-20T09:00", LONDON), zone=LONDON)
    ((step, at),) = axis.tickValues(0, 150 * 1440, 640)
    assert axis.tickStrings(at, 1, step) == ["Dec 2025", "Jan 2026", "Feb", "Mar", "Apr"]
    ((step, at),) = axis.tickValues(0, 3 * 366 * 1440, 400)
    names = axis.tickStrings(at, 1, step)
    assert len(set(names)) == len(names) > 1


def test_values_that_lie_close_have_names_apart():
    assert [name for _, name in named([5.0, 5.25, 5.5], 0)] == ["5.00", "5.25", "5.50"]
    assert [name for _, name in named([-1.0, 0.0, 1.0], 0)] == ["−1", "0", "1"]


def test_days_are_dated(qapp):
    assert output("2026-03-14T09:00", 0, 3 * 1440, 1440) == ["15 Mar", "16 Mar", "17 Mar"]


@given(st.floats(1, 5e5), st.floats(2, 30))
def test_a_step_is_natural_and_never_too_many(span, most):
    step = natural_step(span, most)
    assert span / step <= most * 1.0001
    assert step in NATURAL_MIN or step > NATURAL_MIN[-1]


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0:00"), (-30, "−0:30"), (135, "2:15"), (4 * 1440, "4 d")]
)
def test_elapsed_time_is_written_as_hours(minutes, words):
    assert from_start(minutes) == words


def test_a_time_that_comes_again_is_named_with_its_day(qapp):
    axis = ClockAxis(zero_ms=from_iso("2026-06-01T00:00", "UTC"))
    for hours in (5, 20, 25, 36, 60, 100):
        for wide in (300, 1500):
            [(step, at)] = axis.tickValues(90, 90 + 60 * hours, wide)
            names = axis.tickStrings(at, 1, step)
            assert len(set(names)) == len(names) > 0
    assert axis.tickStrings([720, 1440, 2160], 1, 720) == ["1 Jun, 12:00", "2 Jun", "2 Jun, 12:00"]
