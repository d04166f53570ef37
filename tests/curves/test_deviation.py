"""The deviation's numbers against what can be worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.curves import CurveError
from journal.curves.day import plan_line, planned_at
from journal.curves.deviation import deviation, strayed
from journal.records.plans import Plan, Stage
from journal.records.traces import STRUCK

HOLD = Plan("Held", (Stage("ripen", 120, target_c=31.0, ramp_min=0),), milk_c=31.0)


def beside(kitchen, minutes, off):
    """A log that lies `off` above the plan at `minutes`."""
    at = np.asarray(minutes, float)
    return kitchen.trace("milk-temp", at, planned_at(plan_line(kitchen.plan), at) + off)


def test_a_log_half_a_degree_above_the_plan(kitchen) -> None:
    minutes = np.r_[np.arange(0, 97, 2.0), np.arange(104, 165, 2.0)]
    got = deviation(kitchen.make(beside(kitchen, minutes, 0.5)))
    assert got.rms_c == pytest.approx(0.5, abs=1e-9)
    assert got.worst_c == pytest.approx(0.5)
    assert got.minutes_outside == pytest.approx(0.0)
    assert got.cook_rate_c_per_min == pytest.approx(0.2)
    assert got.planned_cook_rate_c_per_min == pytest.approx(0.2)


def test_plan_knots_between_two_readings_are_not_jumped_over(kitchen) -> None:
    # 22 → 28 min: the plan rises 1 °C/min until 26 and then holds 31; the log goes straight
    # from 27 to 31, so it lies below by a triangle whose height at 26 min is 31 − 29⅔ = 4/3.
    got = deviation(kitchen.make(kitchen.trace("milk-temp", [22, 28], [27.0, 31.0])))
    height = 31 - (27 + 4 * 4 / 6)
    assert got.rms_c == pytest.approx(np.sqrt(height**2 / 3), rel=1e-9)
    assert got.worst_c == pytest.approx(0.0)  # at the readings themselves there is none
    crossed = (height - 1) / height * 6
    assert got.minutes_outside == pytest.approx(crossed, rel=1e-9)


def test_a_triangle_of_two_degrees(kitchen_of) -> None:
    kitchen = kitchen_of(plan=HOLD)
    log = kitchen.trace("milk-temp", [10, 15, 20], [31, 33, 31])
    got = deviation(kitchen.make(log))
    assert got.rms_c == pytest.approx(np.sqrt(4 / 3), rel=1e-12)  # ∫ of a triangle squared
    assert got.minutes_outside == pytest.approx(5.0, rel=1e-12)  # above 1 °C half of the time
    assert got.worst_c == pytest.approx(2.0)
    assert got.worst_at_ms == kitchen.at(15)


def test_both_sides_of_the_corridor_count(kitchen_of) -> None:
    kitchen = kitchen_of(plan=HOLD)
    got = deviation(kitchen.make(kitchen.trace("milk-temp", [0, 8], [29.0, 33.0])))
    assert got.minutes_outside == pytest.approx(4.0, rel=1e-12)  # −2 → −1 and +1 → +2
    assert got.rms_c == pytest.approx(np.sqrt(4 / 3), rel=1e-12)


def test_the_stages_own_tolerance_counts(kitchen) -> None:
    minutes = np.arange(58, 95, 1.0)  # inside the set, ±0.5 °C
    got = deviation(kitchen.make(beside(kitchen, minutes, 0.7)))
    assert got.minutes_outside == pytest.approx(36.0)


def test_a_gap_of_twelve_minutes_is_left_out_and_one_of_ten_is_not(kitchen_of) -> None:
    kitchen = kitchen_of(plan=HOLD)
    log = kitchen.trace("milk-temp", [0, 5, 17, 27], [32.0, 32.0, 33.0, 33.0])
    got = deviation(kitchen.make(log))
    assert got.rms_c == pytest.approx(np.sqrt((5 * 1 + 10 * 4) / 15), rel=1e-12)
    assert got.minutes_outside == pytest.approx(10.0)


def test_only_time_between_readings_in_a_temperature_stage_counts(kitchen) -> None:
    # 94 and 98 min straddle the end of the set; nothing is held in the cut (96 to 104).
    log = kitchen.trace("milk-temp", [92, 94, 98, 100, 106, 110], [32, 32, 50, 50, 32.4, 33.2])
    got = deviation(kitchen.make(log))
    assert got.rms_c == pytest.approx(1.0, rel=1e-9)
    assert got.worst_c == pytest.approx(1.0)


def test_struck_readings_are_left_out(kitchen_of) -> None:
    kitchen = kitchen_of(plan=HOLD)
    log = kitchen.trace("milk-temp", [0, 4, 8], [31.5, 80.0, 31.5], [0, STRUCK, 0])
    got = deviation(kitchen.make(log))
    assert got.rms_c == pytest.approx(0.5)
    assert got.worst_c == pytest.approx(0.5)


def test_the_two_clocks_of_a_late_cook(kitchen) -> None:
    late = {4: 14.0, 5: 14.0, 6: 14.0}
    minutes = np.arange(118, 159, 1.0)
    log = kitchen.trace("milk-temp", minutes, 31 + 0.2 * (minutes - 118))
    whole = kitchen.make(log, delays=late)
    day, plan = deviation(whole), deviation(whole, "plan")
    assert day.rms_c == pytest.approx(0.0, abs=1e-9)
    assert day.cook_rate_c_per_min == plan.cook_rate_c_per_min == pytest.approx(0.2)
    assert plan.worst_c == pytest.approx(-2.8)
    # On the plan's clock it lags 2.8 °C until 144 min and closes that by 158.
    assert plan.rms_c == pytest.approx(np.sqrt((26 * 2.8**2 + 14 * 2.8**2 / 3) / 40), rel=1e-9)
    assert plan.minutes_outside == pytest.approx(26 + 14 * 1.8 / 2.8, rel=1e-9)


def test_the_slip_of_each_stage_that_began(kitchen) -> None:
    whole = kitchen.make(delays={2: 10.0, 3: 10.0, 4: -2.5}, begun=5, finished=False)
    got = deviation(whole).delay_min
    assert [(s.position, s.kind) for s in got] == [
        (1, "warm"),
        (2, "ripen"),
        (3, "set"),
        (4, "cut"),
        (5, "cook"),
    ]
    assert [s.minutes for s in got] == pytest.approx([0, 0, 10, 10, -2.5])


def test_the_cook_rate_is_the_least_squares_slope(kitchen) -> None:
    minutes = np.array([100, 104, 111, 123, 140, 144, 150.0])
    value = np.array([31, 31.4, 32.0, 35.1, 37.7, 39.2, 39.0])
    got = deviation(kitchen.make(kitchen.trace("milk-temp", minutes, value)))
    inside = (minutes >= 104) & (minutes <= 144)
    expected = np.polyfit(minutes[inside], value[inside], 1)[0]
    assert got.cook_rate_c_per_min == pytest.approx(expected, rel=1e-9)


def test_the_planned_cook_rate_of_a_ramp_with_a_hold_is_that_of_its_whole_line(kitchen_of) -> None:
    stage = Stage("cook", 60, target_c=39.0, ramp_min=40)
    kitchen = kitchen_of(plan=Plan("Cook", (stage,), milk_c=31.0))
    fine = np.linspace(0, 60, 200_001)
    expected = np.polyfit(fine, planned_at(plan_line(kitchen.plan), fine), 1)[0]
    got = deviation(kitchen.make()).planned_cook_rate_c_per_min
    assert got == pytest.approx(expected, rel=1e-5)  # the grid is good to about one in n


def test_nothing_read_or_nothing_planned_says_nothing(kitchen, kitchen_of) -> None:
    none = deviation(kitchen.make())
    assert (none.rms_c, none.worst_c, none.worst_at_ms, none.minutes_outside) == (None,) * 4
    assert none.cook_rate_c_per_min is None
    assert none.planned_cook_rate_c_per_min == pytest.approx(0.2)
    sparse = deviation(kitchen.make(beside(kitchen, [0, 15, 30], 0.4)))
    assert sparse.rms_c is None
    assert sparse.worst_c == pytest.approx(0.4)
    held = kitchen_of(plan=HOLD)
    got = deviation(held.make(beside(held, [0, 5], 0.1)))
    assert got.cook_rate_c_per_min is None
    assert got.planned_cook_rate_c_per_min is None
    with pytest.raises(CurveError):
        deviation(kitchen.make(), "moon")


def test_readings_brought_in_without_any_stage_ended(kitchen) -> None:
    minutes = np.r_[np.arange(0, 97, 2.0), np.arange(104, 165, 2.0)]
    log = beside(kitchen, minutes, -0.3)
    for whole in (kitchen.make(log, begun=1), kitchen.make(log, begun=1, finished=False)):
        assert deviation(whole).rms_c == pytest.approx(0.3, abs=1e-9)


def test_a_running_stage_held_until_now(kitchen) -> None:
    minutes = np.arange(104, 153, 2.0)
    log = kitchen.trace("milk-temp", minutes, np.minimum(31 + 0.2 * (minutes - 104), 39))
    whole = kitchen.make(log, begun=5, finished=False)
    assert deviation(whole, now_min=152).rms_c == pytest.approx(0.0, abs=1e-9)


def brute(minutes, value, line, plan) -> tuple[float, float]:
    """The same sums by a fine grid: minutes that count and ∫d²."""
    at = np.linspace(minutes[0], minutes[-1], 400_001)
    at = (at[1:] + at[:-1]) / 2
    apart = np.interp(at, minutes, value) - planned_at(line, at)
    pause = np.diff(minutes)[np.clip(np.searchsorted(minutes, at) - 1, 0, len(minutes) - 2)]
    apart = apart[(pause <= 10) & np.isfinite(apart)]
    width = (minutes[-1] - minutes[0]) / 400_000
    return len(apart) * width, float(np.sum(apart**2) * width)


@given(st.lists(st.floats(0.2, 14), min_size=3, max_size=15), st.integers(0, 10**6))
def test_the_exact_sums_agree_with_a_fine_grid(steps: list[float], seed: int) -> None:
    plan = Plan(
        "Two slopes",
        (Stage("warm", 30, target_c=30), Stage("ripen", 30, target_c=30, ramp_min=0),
         Stage("cook", 60, target_c=39, ramp_min=40), Stage("pitch", 120, target_c=36)),
    )  # fmt: skip
    minutes = np.cumsum(steps)
    value = 30 + np.random.default_rng(seed).normal(0, 3, len(minutes))
    line = plan_line(plan)
    sums = strayed(minutes, value, line, plan)
    counted, square = brute(minutes, value, line, plan)
    assert sums.minutes == pytest.approx(counted, abs=0.01)
    assert sums.square == pytest.approx(square, rel=2e-3, abs=0.05)
    assert 0 <= sums.outside <= sums.minutes + 1e-9


@given(st.lists(st.floats(0.2, 14), min_size=2, max_size=20), st.integers(0, 10**6))
def test_time_turned_round_changes_nothing(steps: list[float], seed: int) -> None:
    line = plan_line(HOLD)
    minutes = np.cumsum(steps)
    minutes *= min(1.0, 119 / minutes[-1])
    value = 31 + np.random.default_rng(seed).normal(0, 1.5, len(minutes))
    forth = strayed(minutes, value, line, HOLD)
    back = strayed(120 - minutes[::-1], value[::-1], line, HOLD)
    assert tuple(forth) == pytest.approx(tuple(back), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("shift_ms", [-1_700_000_000_000, -1, 1, 86_400_000, 10**12 + 7])
def test_the_instant_it_all_began_changes_nothing(kitchen, shift_ms: int) -> None:
    rng = np.random.default_rng(4)
    minutes = np.cumsum(rng.uniform(0.5, 11, 40))
    log = kitchen.trace("milk-temp", minutes, 31 + rng.normal(0, 2, 40))
    whole = kitchen.make(log, delays={2: 7.0, 4: 3.0})
    moved = replace(
        whole,
        make=replace(whole.make, started_ms=whole.make.started_ms + shift_ms),
        runs=tuple(
            replace(
                r,
                planned_begin_ms=r.planned_begin_ms + shift_ms,
                began_ms=r.began_ms + shift_ms,
                ended_ms=r.ended_ms + shift_ms,
            )
            for r in whole.runs
        ),
        traces={"milk-temp": replace(log, at_ms=log.at_ms + shift_ms)},
    )
    one, other = deviation(whole), deviation(moved)
    assert one.rms_c == other.rms_c
    assert one.minutes_outside == other.minutes_outside
    assert one.cook_rate_c_per_min == other.cook_rate_c_per_min
    assert one.worst_at_ms is not None
    assert other.worst_at_ms == one.worst_at_ms + shift_ms
    assert one.delay_min == other.delay_min
