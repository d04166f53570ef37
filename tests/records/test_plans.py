"""The planned temperature: at any minute, with two slopes, re-timed, and nowhere unheld."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage
from tests.refusals import refused


def a_plan() -> Plan:
    """Warm to 30, ripen, cut unheld, cook from 30 to 39 by two slopes, hold."""
    return Plan(
        name="two slopes",
        milk_c=6.0,
        stages=(
            Stage("warm", 24, target_c=30),
            Stage("ripen", 60, target_c=30),
            Stage("cut", 10),
            Stage("cook", 30, target_c=39, first_c_per_min=0.2, first_min=15),
            Stage("stir", 75, target_c=39),
        ),
    )


@pytest.mark.parametrize(
    ("minute", "planned"),
    [(0, 6), (12, 18), (24, 30), (84, 30), (94, 30), (99, 31), (109, 33), (110, 33.4), (124, 39)],
)
def test_planned_temperature_at_a_minute(minute: float, planned: float) -> None:
    # 1 °C in 5 min to 33 °C takes 15 min; the 6 °C left in 15 min are 0.4 °C/min.
    assert float(a_plan().temperature_at(minute)) == pytest.approx(planned, abs=1e-9)


def test_no_temperature_where_none_is_held_or_the_plan_is_over() -> None:
    found = a_plan().temperature_at([-1, 84.5, 90, 93.9, 199.1])
    assert np.isnan(found).all()


def test_temperature_keeps_the_shape_asked_for() -> None:
    assert a_plan().temperature_at(np.zeros((2, 3))).shape == (2, 3)
    assert a_plan().temperature_at(5.0).shape == ()


def test_line_breaks_where_no_temperature_is_held() -> None:
    line = a_plan().line()
    breaks = [at for at, c in line if math.isnan(c)]
    assert breaks == [94]
    assert line[0] == (0, 6)
    assert line[-1] == (199, 39)


def test_unheld_first_stage_begins_the_line_at_the_next() -> None:
    plan = Plan("p", (Stage("ripen", 10), Stage("warm", 20, target_c=25)), milk_c=5)
    assert plan.line() == [(10, 5), (30, 25)]
    assert math.isnan(float(plan.temperature_at(5)))


def test_retimed_by_its_own_clock_is_the_plan() -> None:
    plan = a_plan()
    same = plan.line(plan.starts())
    assert [at for at, _ in same] == [at for at, _ in plan.line()]
    minutes = np.linspace(0, 199, 400)
    assert np.array_equal(
        plan.temperature_at(minutes), plan.temperature_at(minutes, plan.starts()), equal_nan=True
    )


def test_a_late_stage_holds_the_one_before_and_keeps_its_slope() -> None:
    begins = [0, 24, 84, 104, 134]  # the cook ten minutes late
    at = a_plan().temperature_at([94, 104, 109, 119, 134, 200], begins)
    assert np.isnan(at[0])
    assert at[1:] == pytest.approx([30, 31, 33, 39, 39], abs=1e-9)


def test_a_stage_cut_short_hands_on_where_it_had_come_to() -> None:
    begins = [0, 12, 84, 94, 124]  # ripening began when the milk stood at 18
    plan = a_plan()
    at = plan.temperature_at([12, 12 + 30, 12 + 60, 84], begins)
    assert at == pytest.approx([18, 24, 30, 30], abs=1e-9)


def test_a_begin_before_an_earlier_one_counts_as_that_one() -> None:
    odd, even = a_plan().line([0, 24, 84, 80, 110]), a_plan().line([0, 24, 84, 84, 110])
    assert np.array_equal(odd, even, equal_nan=True)


def test_a_ramp_ends_early_and_holds() -> None:
    stage = Stage("set", 30, target_c=32, ramp_min=10)
    assert stage.knots(34) == [(0, 34), (10, 32), (30, 32)]


def test_a_ramp_of_no_minutes_is_a_jump() -> None:
    plan = Plan("p", (Stage("drain", 60, target_c=18, ramp_min=0),), milk_c=30)
    assert plan.temperature_at([0, 1]) == pytest.approx([18, 18])


def test_a_first_slope_never_climbs_past_the_target() -> None:
    stage = Stage("cook", 30, target_c=39, first_c_per_min=0.2, first_min=15)
    assert stage.knots(38) == [(0, 38), (pytest.approx(5), pytest.approx(39)), (30, 39)]
    assert stage.knots(39) == [(0, 39), (30, 39)]
    assert stage.knots(40) == [(0, 40), (30, 39)]


temperatures = st.floats(4, 60)


@st.composite
def stages(draw: st.DrawFn) -> Stage:
    minutes = draw(st.floats(1, 600))
    if draw(st.booleans()):
        return Stage("stir", minutes)
    more: dict[str, Any] = {}
    if draw(st.booleans()):
        more["ramp_min"] = draw(st.floats(0.5, 600))
    if draw(st.booleans()):
        ramp = min(more.get("ramp_min", minutes), minutes)
        more["first_c_per_min"] = draw(st.floats(0.05, 2))
        more["first_min"] = ramp * draw(st.floats(0.05, 0.95))
    return Stage("cook", minutes, target_c=draw(temperatures), **more)


@st.composite
def plans_and_begins(draw: st.DrawFn) -> tuple[Plan, list[float] | None]:
    some = tuple(draw(st.lists(stages(), min_size=1, max_size=6)))
    plan = Plan("any", some, milk_c=draw(temperatures))
    if draw(st.booleans()):
        return plan, None
    waits = draw(st.lists(st.floats(0, 900), min_size=len(some), max_size=len(some)))
    return plan, list(itertools.accumulate(waits))


@given(plans_and_begins())
def test_line_is_continuous_while_held_and_temperature_follows_it(
    case: tuple[Plan, list[float] | None],
) -> None:
    plan, begins = case
    line = plan.line(begins)
    held = any(stage.target_c is not None for stage in plan.stages)
    assert bool(line) == held
    for (before, from_c), (at, to_c) in itertools.pairwise(line):
        assert at >= before
        if at == before and not math.isnan(from_c + to_c):
            assert to_c == pytest.approx(from_c, abs=1e-6)
    for at, planned in line:
        if not math.isnan(planned):
            assert float(plan.temperature_at(at, begins)) == pytest.approx(planned, abs=1e-6)


@given(plans_and_begins())
def test_the_line_stays_between_where_it_came_from_and_its_targets(
    case: tuple[Plan, list[float] | None],
) -> None:
    plan, begins = case
    reached = [plan.milk_c, *(s.target_c for s in plan.stages if s.target_c is not None)]
    planned = [c for _, c in plan.line(begins) if not math.isnan(c)]
    assert all(min(reached) - 1e-6 <= c <= max(reached) + 1e-6 for c in planned)


def test_amounts_follow_the_milk() -> None:
    dose = Dose("rennet", "rennet", 0.2, "ml")
    plan = Plan("p", (Stage("set", 40, doses=(dose,)),), milk_l=12)
    assert [(d.name, amount) for _, d, amount in plan.amounts()] == [("rennet", pytest.approx(2.4))]


def test_hands_unless_left_alone() -> None:
    assert Stage("drain", 15).hands
    assert not Stage("drain", 900, alone=True).hands
    assert not Stage("set", 40).hands


@pytest.mark.parametrize(
    ("more", "refusal"),
    [
        ({"minutes": 0}, "stage-minutes"),
        ({"minutes": math.nan}, "stage-minutes"),
        ({"target_c": 300}, "stage-target"),
        ({"ramp_min": -1}, "stage-ramp"),
        ({"first_c_per_min": 0.2}, "first-slope-half"),
        ({"first_c_per_min": 0.0, "first_min": 5}, "first-slope-flat"),
        ({"first_c_per_min": 0.2, "first_min": 30}, "first-slope-too-long"),
        ({"first_c_per_min": 0.2, "first_min": 12, "ramp_min": 10}, "first-slope-too-long"),
        ({"size_mm": 0}, "stage-size"),
        ({"pressure_kpa": -1}, "stage-pressure"),
        ({"pressure_kpa": math.nan}, "stage-pressure"),
        ({"whey_drawn_per_l": 1.5}, "stage-whey-drawn"),
        ({"brine_pct": 40}, "stage-brine"),
        ({"humidity_pct": 101}, "air-humidity"),
        ({"turns": -1}, "stage-turns"),
    ],
)
def test_a_stage_refuses_the_impossible(more: dict[str, Any], refusal: str) -> None:
    with refused(RecordError, f"records.{refusal}"):
        Stage(**{"kind": "cook", "minutes": 30, **more})


@pytest.mark.parametrize(
    ("more", "refusal"),
    [
        ({"kind": "milk-temp"}, "no-such-acid-target"),
        ({"low": 6.4}, "acid-target-high"),
        ({"high": math.inf}, "acid-target-high"),
        ({"from_min": 20, "to_min": 10}, "acid-target-never-open"),
    ],
)
def test_an_acid_target_refuses_the_impossible(more: dict[str, Any], refusal: str) -> None:
    with refused(RecordError, f"records.{refusal}"):
        AcidTarget(**{"kind": "curd-ph", "low": 6.0, "high": 6.1, **more})


@pytest.mark.parametrize(
    ("more", "refusal"),
    [
        ({"name": " "}, "plan-without-name"),
        ({"stages": ()}, "plan-without-stage"),
        ({"milk_l": 0}, "milk-litres"),
        ({"animal": "yak"}, "no-such-animal"),
        ({"treatment": "boiled"}, "no-such-treatment"),
        ({"culture_type": "wild"}, "no-such-culture-type"),
        ({"version": 0}, "plan-version"),
        ({"taste_at_days": (60.0, -1.0)}, "days-of-age"),
        ({"yield_pct": 90}, "plan-yield"),
    ],
)
def test_a_plan_refuses_the_impossible(more: dict[str, Any], refusal: str) -> None:
    with refused(RecordError, f"records.{refusal}"):
        Plan(**{"name": "p", "stages": (Stage("set", 40),), **more})


@pytest.mark.parametrize(
    ("days", "refusal"),
    [((5, 4, 1), "care-never-due"), ((1, 4, 0), "care-never-due"), ((-1, 4, 1), "days-of-age")],
)
def test_a_care_rule_refuses_the_impossible(days: tuple[float, ...], refusal: str) -> None:
    with refused(RecordError, f"records.{refusal}"):
        CareRule("turn", *days)
