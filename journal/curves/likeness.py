"""How alike two courses are: one distance of temperature, acidity and the lengths of stages."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from journal.curves.course import Course
from journal.curves.registration import by_stage, standard
from journal.records.kinds import READING_KINDS
from journal.records.traces import Floats

# What counts as one step of each: common practice, no source.
TEMP_STEP_C, PH_STEP, ACIDITY_STEP, LENGTH_STEP_MIN = 1.0, 0.1, 0.02, 10.0
_GRID_MIN = 2.0


class CourseDistance(NamedTuple):
    """The distance of two courses in steps, and its parts (NaN where one was not read): 1 is a
    degree all the time, or 0.1 pH, or 10 min in each stage."""

    steps: float
    temp: float
    acid: float
    lengths: float


def distance(one: Course, other: Course) -> CourseDistance:
    """How far two courses lie apart.

    Equal stages are laid over each other, each as long as the median of the two. The parts are root
    mean squares of the differences: of °C off the plan in steps of 1 °C, of acidity in steps of
    0.1 pH (0.02 % of titratable acidity), and of the lengths of the stages of either in steps of
    10 min; one that never began took no time, so that a make cut short is far. The distance is the
    root of the mean of the squares of those parts that are known.
    """
    stages = standard([one, other])
    end = stages[-1].end if stages else 0.0
    grid = np.arange(0.0, end + _GRID_MIN, _GRID_MIN)
    minutes = [by_stage(course, stages).to_minutes(grid) for course in (one, other)]
    off = one.off.at(minutes[0]) - other.off.at(minutes[1])
    acid = np.empty(0)
    if one.acid.kind == other.acid.kind:
        acid = one.acid.at(minutes[0]) - other.acid.at(minutes[1])
    step = PH_STEP if READING_KINDS[one.acid.kind].quantity == "ph" else ACIDITY_STEP
    parts = [
        _rms(off) / TEMP_STEP_C,
        _rms(acid) / step,
        _rms(_lengths(one, other)) / LENGTH_STEP_MIN,
    ]
    known = [part for part in parts if np.isfinite(part)]
    total = float(np.sqrt(np.mean(np.square(known)))) if known else float("inf")
    return CourseDistance(total, *parts)


def _lengths(one: Course, other: Course) -> Floats:
    """How far the lengths of each stage of either lie apart; one that never began took no time."""
    took = [{stage.key: stage.minutes for stage in course.stages} for course in (one, other)]
    keys = dict.fromkeys([*took[0], *took[1]])
    return np.array([took[0].get(key, 0.0) - took[1].get(key, 0.0) for key in keys])


def _rms(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(np.sqrt(np.mean(known**2))) if len(known) else float("nan")
