"""The planned line on both clocks."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.curves import CurveError
from journal.curves.day import (
    allowed_range,
    day_line,
    last_reading_min,
    line_of,
    plan_line,
    planned_at,
    segments,
    stage_times,
)
from journal.records.plans import Plan, Stage
from tests.refusals import refused


def test_on_its_own_clock_it_is_the_plans_line(kitchen) -> None:
    line = plan_line(kitchen.plan)
    knots = np.array(kitchen.plan.line())
    assert np.array_equal(line.minutes, knots[:, 0])
    assert np.array_equal(line.value, knots[:, 1], equal_nan=True)
    at = np.arange(0.5, kitchen.plan.minutes)
    assert np.allclose(planned_at(line, at), kitchen.plan.temperature_at(at), equal_nan=True)


@given(st.lists(st.tuples(st.booleans(), st.integers(1, 90)), min_size=1, max_size=9))
def test_any_plan_agrees_with_its_own_line(shape: list[tuple[bool, int]]) -> None:
    stages = [Stage("stir", m, target_c=20.0 + m if held else None) for held, m in shape]
    plan = Plan("Any", tuple(stages))
    line, knots = plan_line(plan), plan.line()
    assert list(line.minutes) == [x for x, _ in knots]
    assert np.array_equal(line.value, [y for _, y in knots], equal_nan=True)


def test_a_day_without_slip_is_the_plan(kitchen) -> None:
    day, plan = day_line(kitchen.make()), plan_line(kitchen.plan)
    assert np.allclose(day.minutes, plan.minutes)
    assert np.allclose(day.value, plan.value, equal_nan=True)


def test_a_late_cook_climbs_from_its_own_begin(kitchen) -> None:
    whole = kitchen.make(delays={4: 14.0, 5: 14.0, 6: 14.0})
    line = day_line(whole)
    assert planned_at(line, 118.0) == pytest.approx(31.0)
    assert planned_at(line, 118.0 + 20) == pytest.approx(35.0)
    assert planned_at(line, 118.0 + 40) == pytest.approx(39.0)


def test_a_stage_begun_early_cuts_the_one_before_short(kitchen) -> None:
    whole = kitchen.make(delays={5: -10.0, 6: -10.0})
    line = day_line(whole)
    assert planned_at(line, 133.999) == pytest.approx(37.0, abs=1e-3)
    assert planned_at(line, 134.5) == pytest.approx(39.0)  # the hold wants its target at once


def test_a_running_stage_that_overruns_is_held_until_now_and_the_rest_follows(kitchen) -> None:
    whole = kitchen.make(begun=5, finished=False)
    begins, end = stage_times(whole, now_min=160.0)
    assert begins == pytest.approx([0, 26, 56, 96, 104, 160, 180])
    assert end == pytest.approx(195)
    line = day_line(whole, 160.0)
    assert planned_at(line, 159.0) == pytest.approx(39.0)
    assert planned_at(line, 179.0) == pytest.approx(39.0)
    assert np.isnan(planned_at(line, 181.0))
    assert stage_times(whole, now_min=120.0)[0][5] == pytest.approx(144)


def test_a_make_given_up_ends_where_it_ended(kitchen) -> None:
    whole = kitchen.make(begun=3)
    line = day_line(whole)
    assert line.minutes[-1] == pytest.approx(96)
    assert np.isnan(planned_at(line, 110.0))


def test_a_stage_passed_over_has_no_length_beyond_the_next(kitchen) -> None:
    from dataclasses import replace

    whole = kitchen.make()
    runs = list(whole.runs)
    runs[1] = replace(runs[1], began_ms=None, ended_ms=None)
    begins, _ = stage_times(replace(whole, runs=tuple(runs)))
    assert begins[1] == pytest.approx(26)
    runs[2] = replace(runs[2], began_ms=kitchen.at(20))
    begins, _ = stage_times(replace(whole, runs=tuple(runs)))
    assert begins[1] == begins[2] == pytest.approx(20)


def test_stages_nobody_ended_follow_the_plan(kitchen) -> None:
    finished = kitchen.make(begun=1)
    assert stage_times(finished)[0] == pytest.approx(kitchen.plan.starts())
    running = kitchen.make(begun=1, finished=False)
    assert stage_times(running)[0] == pytest.approx(kitchen.plan.starts())


def test_the_corridor_is_each_stages_tolerance_and_one_degree_by_default(kitchen) -> None:
    way = allowed_range(kitchen.make(), "plan")
    assert len(way.minutes) == len(way.low) == len(way.mid) == len(way.high)
    inside_set = (way.minutes > 56) & (way.minutes <= 96) & np.isfinite(way.mid)
    assert np.allclose(way.high[inside_set] - way.mid[inside_set], 0.5)
    early = way.minutes < 56
    assert np.allclose(way.mid[early] - way.low[early], 1.0)
    assert np.array_equal(np.isnan(way.low), np.isnan(way.mid))
    assert np.isnan(way.mid).sum() == 1  # the cut holds no temperature; the drain ends the line


def test_the_straight_pieces_know_their_stage_and_stretch(kitchen) -> None:
    s = segments(plan_line(kitchen.plan))
    assert (s.x1 > s.x0).all()
    assert list(s.stage) == [0, 1, 2, 4, 5]
    assert list(s.stretch) == [0, 0, 0, 1, 1]


def test_the_last_reading_is_that_of_any_kind_and_not_a_struck_one(kitchen) -> None:
    milk = kitchen.trace("milk-temp", [1, 50], [5, 31], [0, 1])
    assert last_reading_min(kitchen.make(milk, kitchen.trace("curd-ph", [30], [6.5]))) == 30
    assert last_reading_min(kitchen.make(kitchen.trace("curd-ph", [], []))) is None
    assert last_reading_min(kitchen.make()) is None


def test_a_plan_that_holds_no_temperature_has_no_line(kitchen_of) -> None:
    kitchen = kitchen_of(plan=Plan("Cold", (Stage("drain", 60),)))
    line = day_line(kitchen.make())
    assert len(line.minutes) == 0
    assert np.isnan(planned_at(line, [0.0, 10.0])).all()


def test_an_unknown_clock_is_refused(kitchen) -> None:
    with refused(CurveError, "curves.no-clock", known=("day", "plan")):
        line_of(kitchen.make(), "wall")
