"""Courses laid over each other, beside scipy and numpy; values, distance and figures of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.course import MET, MISSED, course_of, read_off
from journal.curves.day import day_line, planned_at
from journal.curves.figures import figures
from journal.curves.growth import CULTURES, ctmi
from journal.curves.likeness import distance
from journal.curves.registration import (
    AS_IT_WAS,
    BY_CULTURE,
    BY_STAGE,
    axes_of,
    by_culture,
    by_stage,
    standard,
)
from journal.records.plans import AcidTarget, Dose, Plan, Stage

MINUTES = np.arange(0.0, 180.0, 0.5)


def warmed(kitchen, delays=None, bump=0.0, at=120.0, ph=0.0, shift=0.0):
    """A make read each half minute on its plan, re-timed to its own delays, with a bump of a given
    height and ten minutes' width, and a curd whose pH falls evenly."""
    late = delays or {}
    starts = [s + late.get(i, 0.0) for i, s in enumerate(kitchen.plan.starts())]
    bare = kitchen.make(delays=late)
    value = planned_at(day_line(bare), MINUTES)
    value = np.where(np.isfinite(value), value, 39.0) + shift
    value += bump * np.exp(-(((MINUTES - at) / 5.0) ** 2))
    acid = kitchen.trace("curd-ph", [starts[1], starts[6]], [6.6 + ph, 6.3 + ph])
    return kitchen.make(kitchen.trace("milk-temp", MINUTES, value), acid, delays=late)


def test_a_stretched_course_agrees_with_scipy_between_its_landmarks(kitchen) -> None:
    from scipy.interpolate import interp1d

    late = {2: 5.0, 3: 17.0, 4: 17.0, 5: 11.0, 6: 14.0}
    courses = [course_of(warmed(kitchen)), course_of(warmed(kitchen, late))]
    stages = standard(courses)
    lengths = [[s.minutes for s in course.stages] for course in courses]
    edges = np.r_[0.0, np.cumsum(np.median(lengths, axis=0))]
    assert [s.begin for s in stages] == pytest.approx(edges[:-1])
    for course in courses:
        knots = np.r_[[s.begin for s in course.stages], course.end_min]
        theirs = interp1d(knots, edges)(np.linspace(knots[0], knots[-1], 400))
        axis = by_stage(course, stages)
        there = np.linspace(knots[0], knots[-1], 400)
        assert axis.to_position(there) == pytest.approx(theirs, abs=1e-9)
        assert axis.to_minutes(axis.to_position(there)) == pytest.approx(there, abs=1e-9)


def test_culture_time_agrees_with_an_integral_of_the_published_rate(kitchen) -> None:
    from scipy.integrate import quad
    from scipy.interpolate import PchipInterpolator

    whole = warmed(kitchen)
    course, kind = course_of(whole), CULTURES[kitchen.plan.culture_type]
    axis = by_culture(course)
    smooth = PchipInterpolator(course.temp.minutes, course.temp.value)

    def rate(minute: float) -> float:
        return float(ctmi(smooth(minute), kind.lowest_c, kind.best_c, kind.highest_c))

    start = float(course.tau_min[0])
    for minute in (40.0, 80.0, 130.0):
        expected = quad(rate, start, minute, limit=400)[0]
        assert axis.to_position(minute) == pytest.approx(expected, rel=0.005)
    assert axis.to_minutes(axis.to_position(77.0)) == pytest.approx(77.0, abs=1e-6)
    assert axis.to_position(start - 10) == pytest.approx(-10.0)


def test_aligned_at_any_stage_it_counts_from_there(kitchen) -> None:
    courses = [course_of(warmed(kitchen)), course_of(kitchen.make(begun=3))]
    for stage in courses[0].stages:
        axes = axes_of(courses, AS_IT_WAS, stage.key)
        assert axes[0].to_position(stage.begin) == 0.0
        assert (axes[1] is None) == (courses[1].stage(stage.key) is None)
    assert len(axes_of(courses, BY_CULTURE, "start")) == 2


def test_a_delay_alone_is_no_difference_once_stages_are_stretched(kitchen) -> None:
    one, late = warmed(kitchen), warmed(kitchen, dict.fromkeys(range(2, 7), 12.0))
    courses = [course_of(one), course_of(late)]
    axes = axes_of(courses, BY_STAGE, "start")
    place = np.arange(0.0, 150.0)
    off = [c.off.at(axis.to_minutes(place)) for c, axis in zip(courses, axes, strict=True)]
    assert np.nanmax(np.abs(off[0] - off[1])) < 0.05
    apart = distance(*courses)
    assert apart.temp < 0.05
    assert apart.lengths == pytest.approx(12.0 / 10 / np.sqrt(7), rel=1e-6)  # one stage of seven


def test_a_stage_that_was_never_ended_goes_on_minute_by_minute(kitchen) -> None:
    whole, cut_short = warmed(kitchen), kitchen.make(begun=5, finished=False)
    courses = [course_of(whole), course_of(cut_short)]
    axis = by_stage(courses[1], standard(courses))
    last = courses[1].stages[-1]
    assert not last.done
    assert axis.to_position(last.begin + 7) - axis.to_position(last.begin) == pytest.approx(7.0)


def test_values_are_read_off_as_numpy_does_but_over_no_gap() -> None:
    x, y = np.array([0.0, 10.0, 100.0]), np.array([1.0, 3.0, 5.0])
    assert read_off(x, y, [0, 4, 10, 50, 100, 101], 20).tolist() == pytest.approx(
        [1.0, np.interp(4, x, y), 3.0, np.nan, 5.0, np.nan], nan_ok=True
    )


def test_the_likest_course_is_found_where_it_is_known(kitchen) -> None:
    rng = np.random.default_rng(4)
    mine = course_of(warmed(kitchen, bump=1.0))
    made = {
        "twin": warmed(kitchen, {6: 1.0}, bump=0.9),
        "late": warmed(kitchen, {5: 25.0, 6: 25.0}, bump=1.0),
        "warm": warmed(kitchen, shift=1.5),
        "sour": warmed(kitchen, bump=1.0, ph=-0.25),
        "plain": warmed(kitchen),
    }
    names = list(made)
    for _ in range(5):
        rng.shuffle(names)
        ranked = sorted(names, key=lambda name: distance(mine, course_of(made[name])).steps)
        assert ranked[0] == "twin"
    assert distance(mine, mine).steps == 0.0
    cut_short = course_of(kitchen.make(begun=4, finished=False))
    assert distance(mine, cut_short).steps > max(
        distance(mine, course_of(made[name])).steps for name in ("twin", "plain")
    )
    one, other = course_of(made["warm"]), course_of(made["plain"])
    assert distance(one, other).temp == pytest.approx(1.5, abs=1e-6)
    assert distance(one, other).steps == pytest.approx(distance(other, one).steps)


def test_a_stage_is_late_by_what_it_took_longer_than_planned(kitchen) -> None:
    course = course_of(kitchen.make(delays={3: -4.0, 4: 14.0, 5: 14.0, 6: 14.0}))
    late = {stage.key: stage.delay for stage in course.stages}
    assert late == {"warm": 0, "ripen": 0, "set": -4, "cut": 18, "cook": 0, "pitch": 0, "drain": 0}
    running = kitchen.make(kitchen.trace("milk-temp", [110], [32]), begun=4, finished=False)
    assert course_of(running).stage("cut").delay == 6.0  # until it was last read
    early = kitchen.make(kitchen.trace("milk-temp", [100], [32]), begun=4, finished=False)
    assert course_of(early).stage("cut").delay == 0.0


def test_targets_are_told_as_met_or_missed(kitchen_of) -> None:
    met, missed = AcidTarget("curd-ph", 6.4, 6.5), AcidTarget("curd-ph", 5.0, 5.2)
    plan = Plan(
        "Two targets",
        (Stage("ripen", 60, target_c=31.0, acid_target=met),
         Stage("drain", 60, target_c=31.0, acid_target=missed)),
    )  # fmt: skip
    kitchen = kitchen_of(plan=plan)
    whole = kitchen.make(kitchen.trace("curd-ph", [10, 30, 60, 118], [6.5, 6.45, 6.2, 6.0]))
    marks = course_of(whole).targets
    assert [mark.state for mark in marks] == [MET, MISSED]
    assert marks[0].value == pytest.approx(6.45)
    running = replace(whole, make=replace(whole.make, finished_ms=None))
    assert [mark.state for mark in course_of(running).targets] == [MET]  # the other has 2 min yet
    later = kitchen.trace("curd-ph", [10, 30, 60, 118, 120], [6.5, 6.45, 6.2, 6.0, 6.0])
    over = replace(running, traces={"curd-ph": later})
    assert [mark.state for mark in course_of(over).targets] == [MET, MISSED]


def test_the_figures_of_a_make_beside_quadrature(kitchen_of) -> None:
    from scipy.integrate import quad

    kitchen = kitchen_of()
    stages = list(kitchen.plan.stages)
    stages[1] = replace(stages[1], doses=(Dose("culture", "culture", 0.02, "g"),))
    kitchen.plan = replace(kitchen.plan, stages=tuple(stages))
    whole = warmed(kitchen, bump=2.0, at=80.0)
    course = course_of(whole)
    found = figures(whole, course)

    def off(minute: float) -> float:
        return abs(2.0 * np.exp(-(((minute - 80.0) / 5.0) ** 2)))

    assert found.degree_minutes == pytest.approx(quad(off, 30, 130, limit=200)[0], rel=0.01)
    set_outside = 2 * 5.0 * np.sqrt(np.log(2.0 / 0.5))  # the set allows half a degree
    assert found.minutes_read - found.minutes_inside == pytest.approx(set_outside, abs=0.6)
    rise = np.diff(course.temp.value) / 0.5
    cook = course.stage("cook")
    inside = (MINUTES[:-1] >= cook.begin) & (MINUTES[:-1] < cook.end)
    assert found.steepest_c_per_min == pytest.approx(np.median(rise[inside]), abs=0.02)
    bare = [
        np.polyfit(course.temp.minutes[i:j], course.temp.value[i:j], 1)[0]
        for i, j in ((i, i + 11) for i in np.flatnonzero(inside)[:-11])
    ]
    assert found.steepest_c_per_min == pytest.approx(max(bare), rel=0.01)
    parts = found.culture
    total = parts.cold + parts.slow + parts.well + parts.warm + parts.hot
    assert total == pytest.approx(course.shown_min - course.tau_min[0], abs=1.0)
    gains = [s.acid_gain for s in found.stages if s.acid_gain is not None]
    assert sum(gains) == pytest.approx(0.3, abs=0.03)
    assert sum(s.culture_min for s in found.stages) == pytest.approx(course.tau[-1], rel=0.02)
    alone = figures(kitchen.make(), course_of(kitchen.make()))
    assert (alone.culture, alone.degree_minutes, alone.minutes_inside) == (None, None, None)
    sweet = warmed(kitchen_of())  # a plan without a culture
    assert figures(sweet, course_of(sweet)).culture is None
