"""Where a wheel stood and the air it had there, against sums by hand."""

from __future__ import annotations

import numpy as np
import pytest

from journal.records.instants import DAY_MS
from journal.records.stays import RoomStay, air_had, moves_of, stays_of
from journal.records.traces import AirTrace
from journal.records.wheels import Care, Room, Wheel

START = 1_760_000_000_000
CELLAR, LARDER = 1, 2
ROOMS = {
    CELLAR: Room("Cellar", 12.0, 85.0, id=CELLAR),
    LARDER: Room("Larder", 12.0, 85.0, id=LARDER),
}


def at(days: float) -> int:
    return START + round(days * DAY_MS)


def air(temp_c: float, pct: float, days: np.ndarray) -> AirTrace:
    n = len(days)
    return AirTrace(START + (days * DAY_MS).astype(np.int64), np.full(n, temp_c), np.full(n, pct))


AIRS = {CELLAR: air(10.0, 85.0, np.arange(0, 100, 2.0)),
        LARDER: air(16.0, 70.0, np.arange(0, 100, 2.0))}  # fmt: skip


def move(days: float, to: int | None, come: int | None = None, wheel: int = 1) -> Care:
    return Care(wheel, "move", at(days), room_id=to, from_room_id=come)


def stays(wheel: Wheel, cares: list[Care], days: float, *others: Wheel) -> list[RoomStay]:
    wheels: dict[int | None, Wheel] = {one.id: one for one in (wheel, *others)}
    return stays_of(wheel, wheels, moves_of(cares), START, at(days))


def test_a_move_half_way_gives_half_of_each_room() -> None:
    wheel = Wheel(1, "HL-0001-A", room_id=LARDER, id=1)
    found = stays(wheel, [move(40, LARDER, CELLAR), Care(1, "turn", at(9))], 80)
    assert found == [RoomStay(CELLAR, START, at(40)), RoomStay(LARDER, at(40), at(80))]
    had = air_had(found, AIRS, ROOMS, "UTC")
    assert (had.temp_c, had.humidity_pct) == (pytest.approx(13.0), pytest.approx(77.5))
    assert had.degree_days == pytest.approx(40 * 10 + 40 * 16)
    assert had.days_out == pytest.approx(40, abs=1)  # the larder is too warm and too dry, each day


def test_until_it_was_tasted_only_what_was_before_counts() -> None:
    wheel = Wheel(1, "HL-0001-A", room_id=LARDER, id=1)
    had = air_had(stays(wheel, [move(40, LARDER, CELLAR)], 40), AIRS, ROOMS, "UTC")
    assert (had.temp_c, had.humidity_pct, had.days_out) == (10.0, 85.0, 0)


def test_a_piece_stood_where_its_wheel_did() -> None:
    whole = Wheel(1, "HL-0001-A", room_id=CELLAR, gone_ms=at(30), id=1)
    piece = Wheel(1, "HL-0001-A1", room_id=LARDER, cut_from_id=1, cut_share=0.5, id=2)
    found = stays(piece, [move(60, LARDER, CELLAR, 2)], 80, whole)
    assert [(s.room_id, (s.until_ms - s.from_ms) / DAY_MS) for s in found] == [
        (CELLAR, 30), (CELLAR, 30), (LARDER, 20)
    ]  # fmt: skip


def test_moves_without_a_known_room_are_a_time_nobody_knows() -> None:
    wheel = Wheel(1, "HL-0001-A", room_id=LARDER, id=1)
    found = stays(wheel, [move(20, None), move(30, None)], 50)
    assert [s.room_id for s in found] == [None, None, LARDER]
    assert np.isnan(air_had(found, AIRS, ROOMS, "UTC").temp_c)  # 20 of 50 days


def test_one_reading_a_week_is_enough_and_a_few_days_are_not() -> None:
    wheel = Wheel(1, "HL-0001-A", room_id=CELLAR, id=1)
    weekly = {CELLAR: air(11.0, 84.0, np.arange(3, 70, 7.0))}
    had = air_had(stays(wheel, [], 70), weekly, ROOMS, "UTC")
    assert (had.known_days, had.temp_c) == (70, pytest.approx(11.0))
    few = {CELLAR: air(11.0, 84.0, np.array([1.0, 2.0, 3.0]))}
    had = air_had(stays(wheel, [], 70), few, ROOMS, "UTC")
    assert had.known_days == pytest.approx(7)
    assert all(np.isnan([had.temp_c, had.humidity_pct, had.days_out, had.degree_days]))


def test_a_busy_week_counts_no_more_than_a_quiet_one() -> None:
    """Each day by its own mean: a logger's 288 readings of a day weigh what one typed does."""
    wheel = Wheel(1, "HL-0001-A", room_id=CELLAR, id=1)
    quiet, busy = (
        air(10.0, 80.0, np.arange(0, 10.0) + 0.5),
        air(20.0, 90.0, np.arange(10, 20, 1 / 288)),
    )
    both = AirTrace(*(np.concatenate(pair) for pair in zip(
        (quiet.at_ms, quiet.temp_c, quiet.humidity_pct),
        (busy.at_ms, busy.temp_c, busy.humidity_pct), strict=True)))  # fmt: skip
    had = air_had(stays(wheel, [], 20), {CELLAR: both}, ROOMS, "UTC")
    assert had.temp_c == pytest.approx(15.0)
