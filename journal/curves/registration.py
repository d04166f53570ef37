"""Courses laid over each other: at a moment, by culture time, or stretched stage by stage.

An axis takes a make's minutes to places that all makes share, straight between its knots. Landmarks
registered piecewise linearly: J. O. Ramsay and B. W. Silverman, Functional Data Analysis, 2nd ed.
(2005), section 7.3.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from journal.curves.align import START
from journal.curves.course import Course
from journal.records.traces import Floats

AS_IT_WAS, BY_CULTURE, BY_STAGE = "as-it-was", "by-culture", "by-stage"
TIMES = (AS_IT_WAS, BY_CULTURE, BY_STAGE)


class AxisMap(NamedTuple):
    """`minutes` (k,) of a make and the `position` (k,) of each, both never falling; beyond the ends
    a minute is a minute."""

    minutes: Floats
    position: Floats

    def to_position(self, minutes: npt.ArrayLike) -> Floats:
        """Positions of minutes (any shape)."""
        return _straight(self.minutes, self.position, np.asarray(minutes, float))

    def to_minutes(self, position: npt.ArrayLike) -> Floats:
        """Minutes at positions (any shape); of a stretch that has one position, its end."""
        return _straight(self.position, self.minutes, np.asarray(position, float))


class StandardStage(NamedTuple):
    """A stage where all makes lie over each other: from `begin` to `end`."""

    key: str
    begin: float
    end: float


def at_moment(course: Course, moment: str) -> AxisMap | None:
    """Minutes from a moment: the make's start or a stage's begin; None where it never came."""
    stage = course.stage(moment)
    if moment != START and stage is None:
        return None
    zero = 0.0 if stage is None else stage.begin
    return AxisMap(np.array([zero, zero + 1]), np.array([0.0, 1.0]))


def by_culture(course: Course) -> AxisMap:
    """Culture time, zero where the culture went in; minutes before it."""
    return AxisMap(course.tau_min, course.tau)


def standard(courses: Sequence[Course]) -> tuple[StandardStage, ...]:
    """The stages of the first course, each as long as the median of the courses that ended it."""
    out: list[StandardStage] = []
    at = 0.0
    for stage in courses[0].stages if courses else ():
        same = (course.stage(stage.key) for course in courses)
        lengths = [s.minutes for s in same if s is not None and s.done]
        end = at + (float(np.median(lengths)) if lengths else stage.minutes)
        out.append(StandardStage(stage.key, at, end))
        at = end
    return tuple(out)


def by_stage(course: Course, stages: Sequence[StandardStage]) -> AxisMap:
    """Each stage of a course stretched to its standard. A stage that others lack takes no room, one
    that never ended goes on minute by minute up to the end of its standard."""
    known = {one.key: one for one in stages}
    minutes: list[float] = []
    position: list[float] = []
    for stage in course.stages:
        own = known.get(stage.key)
        if own is None or (position and own.begin < position[-1] - 1e-9):
            continue
        end = own.end if stage.done else min(own.end, own.begin + stage.minutes)
        minutes += [stage.begin, stage.end]
        position += [own.begin, end]
    if not minutes:
        return AxisMap(np.array([0.0, 1.0]), np.array([0.0, 1.0]))
    return AxisMap(np.array(minutes), np.array(position))


def axes_of(courses: Sequence[Course], time: str, moment: str) -> list[AxisMap | None]:
    """The axis of each course, None for one that never came to the moment.

    Parameters
    ----------
    courses : the current make first: it names the stages
    time : one of `TIMES`
    moment : where minutes count from, where time is taken as it was
    """
    if time == BY_CULTURE:
        return [by_culture(course) for course in courses]
    if time == BY_STAGE:
        stages = standard(courses)
        return [by_stage(course, stages) for course in courses]
    return [at_moment(course, moment) for course in courses]


def _straight(x: Floats, y: Floats, at: Floats) -> Floats:
    """Straight between knots; before the first and behind the last one for one."""
    within: Floats = np.interp(at, x, y)
    within = np.where(at > x[-1], y[-1] + (at - x[-1]), within)
    return np.where(at < x[0], y[0] + (at - x[0]), within)
