"""The ribbons of a comparison: the makes in their order, laid over each other on one axis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from journal.curves.course import Course
from journal.curves.registration import AS_IT_WAS, BY_CULTURE, AxisMap, axes_of
from journal.reports.comparison import Compared, MakeRibbon
from journal.reports.comparison_choice import BY_LIKENESS, BY_SCORE, ComparisonChoice
from journal.wording import word_of, worded
from journal.wording.compare import moment_text, score_words
from journal.wording.durations import from_start
from journal.wording.numbers import signed
from journal.wording.readings import value_text
from journal.wording.shown import shown_value

_ROOM_SHARE = 0.07  # of the axis behind the hours at the vat: what lies after them begins there
LEAST_C, MOST_C = 1.0, 4.0  # what the strip of temperature is drawn to


@dataclass(frozen=True, eq=False)
class Lane:
    """One ribbon in its place: the make, and the axis its minutes go by."""

    ribbon: MakeRibbon
    axis: AxisMap
    mine: bool = False

    @property
    def course(self) -> Course:
        """The make's course."""
        return self.ribbon.course

    @property
    def make_id(self) -> int:
        """The make, as the journal knows it."""
        return self.ribbon.row.id


@dataclass(frozen=True, eq=False)
class RibbonScene:
    """The lanes, the make's own first, and what all share: the positions shown, the °C and the
    acidity that the strips are drawn to, what zero is. `left_out` never came to the moment."""

    lanes: tuple[Lane, ...] = ()
    positions: tuple[float, float] = (0.0, 60.0)
    off_c: float = LEAST_C
    acid: tuple[float, float] = (4.5, 6.8)
    zero: str = ""
    left_out: tuple[str, ...] = ()
    choice: ComparisonChoice = field(default_factory=ComparisonChoice)


def scene_of(compared: Compared, choice: ComparisonChoice) -> RibbonScene:
    """Lay the makes over each other as chosen."""
    ribbons = [compared.mine, *in_order(compared, choice.order)]
    courses = [one.course for one in ribbons]
    mine = compared.mine.course
    moment = choice.moment if mine.stage(choice.moment) else "start"
    axes = axes_of(courses, choice.time, moment)
    lanes = [
        Lane(ribbon, axis, index == 0)
        for index, (ribbon, axis) in enumerate(zip(ribbons, axes, strict=True))
        if axis is not None
    ]
    there = {lane.make_id for lane in lanes}
    left_out = tuple(one.row.code for one in ribbons if one.row.id not in there)
    return RibbonScene(
        tuple(lanes), _positions(lanes), _off_c(lanes), _acid(lanes), _zero(mine, choice, moment),
        left_out, choice,
    )  # fmt: skip


def in_order(compared: Compared, order: str) -> list[MakeRibbon]:
    """The other makes as they are sorted: newest, best or most alike first."""
    if order == BY_SCORE:
        return sorted(compared.others, key=_score, reverse=True)
    if order == BY_LIKENESS:
        return sorted(compared.others, key=lambda one: compared.likeness[one.row.id].steps)
    return sorted(compared.others, key=lambda one: one.row.started_ms, reverse=True)


def moments_of(course: Course) -> list[tuple[str, str]]:
    """The moments a make can be lined up at, with their words."""
    named = [(stage.key, moment_text(stage.key, stage.label)) for stage in course.stages]
    return [("start", moment_text("start", "")), *named]


def values_text(lane: Lane, position: float) -> str:
    """What was read of a make there: "cook 38.9 °C (+0.4), pH 6.41", "" where nothing was."""
    minute = float(lane.axis.to_minutes(position))
    stage = lane.course.stage_at(minute)
    if stage is None:
        return ""
    temp, off = float(lane.course.temp.at(minute)), float(lane.course.off.at(minute))
    acid = float(lane.course.acid.at(minute))
    parts = []
    if np.isfinite(temp):
        beside = signed(shown_value(off, "temperature_difference"), 1)
        away = f" ({beside})" if np.isfinite(off) else ""
        parts.append(value_text("milk-temp", temp) + away)
    if np.isfinite(acid):
        parts.append(value_text(lane.course.acid.kind, acid))
    return f"{stage.label} {', '.join(parts)}".rstrip()


def position_text(scene: RibbonScene, position: float) -> str:
    """Where the pointer stands: "1:05 after rennet in"."""
    if not scene.zero:
        return from_start(position)
    which = "reports.before-moment" if position < 0 else "reports.after-moment"
    return worded(which, time=from_start(abs(position)), moment=scene.zero)


def scene_text(scene: RibbonScene, position: float | None) -> str:
    """The whole picture as text: who is shown, by what, and all values at the pointer."""
    if not scene.lanes:
        return worded("reports.nothing-to-compare")
    first, rest = scene.lanes[0], scene.lanes[1:]
    parts = [
        worded("reports.ribbons", code=first.ribbon.row.code, others=len(rest),
               time=time_text(scene))
    ]  # fmt: skip
    for lane in scene.lanes:
        row, course = lane.ribbon.row, lane.course
        late = [f"{s.label} {signed(s.delay, 0)} min" for s in course.stages if abs(s.delay) >= 5]
        met = [word_of("reports.target-", t.state, label=t.label) for t in course.targets]
        score = worded("wording.make-failed") if row.failed else score_words(row.best_score)
        how = ", ".join([*late, *met]) or worded("reports.on-its-plan")
        parts.append(f"{row.code}, {score}: {how}.")
    if position is not None:
        none = worded("reports.nothing-read")
        read = [f"{lane.ribbon.row.code} {values_text(lane, position) or none}."
                for lane in scene.lanes]  # fmt: skip
        parts.append(worded("reports.at-place", place=position_text(scene, position), read=read))
    return " ".join(parts)


def time_text(scene: RibbonScene) -> str:
    """How the ribbons lie over each other."""
    if scene.choice.time == AS_IT_WAS:
        return worded("reports.lined-up", moment=scene.zero)
    if scene.choice.time == BY_CULTURE:
        return worded("reports.by-culture-time")
    return worded("reports.stretched")


def _score(one: MakeRibbon) -> tuple[bool, float, int]:
    score = one.row.best_score
    known = score is not None and not one.row.failed
    return known, score or 0.0, one.row.started_ms


def _positions(lanes: Sequence[Lane]) -> tuple[float, float]:
    if not lanes:
        return 0.0, 60.0
    first = min(float(lane.axis.to_position(0.0)) for lane in lanes)
    last = max(float(lane.axis.to_position(lane.course.shown_min)) for lane in lanes)
    room = max(last - first, 30.0)
    return first, last + _ROOM_SHARE * room


def _off_c(lanes: Sequence[Lane]) -> float:
    """So many °C that all but what is far off have room."""
    parts = [lane.course.off.value for lane in lanes]
    every = np.abs(np.concatenate([np.zeros(1), *parts]))
    return float(np.clip(np.quantile(every, 0.995), LEAST_C, MOST_C))


def _acid(lanes: Sequence[Lane]) -> tuple[float, float]:
    """The range of the acidity that the first lane has, in the hours at the vat."""
    if not lanes:
        return 4.5, 6.8
    kind = lanes[0].course.acid.kind
    courses = [lane.course for lane in lanes if lane.course.acid.kind == kind]
    parts = [c.acid.value[c.acid.minutes <= c.shown_min + 30] for c in courses]
    every = np.concatenate([np.empty(0), *parts])
    if not len(every):
        return 4.5, 6.8
    low, high = float(every.min()), float(every.max())
    return low, max(high, low + 0.1)


def _zero(mine: Course, choice: ComparisonChoice, moment: str) -> str:
    if choice.time != AS_IT_WAS:
        return worded("reports.culture-in") if choice.time == BY_CULTURE else ""
    stage = mine.stage(moment)
    return moment_text(moment, stage.label if stage else "")
