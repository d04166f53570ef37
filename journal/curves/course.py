"""The course of a make: its stages, how far it was off its plan, its acidity, its culture time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.curves.acid_targets import DayAcidTarget, day_acid_targets, nearest_miss, read_for
from journal.curves.align import stage_keys
from journal.curves.culture_time import culture_in_min, culture_time
from journal.curves.day import day_line, last_reading_min, planned_at, stage_times
from journal.records.traces import Floats
from journal.records.whole import WholeMake

TEMP_GAP_MIN, ACID_GAP_MIN = 45.0, 180.0  # between readings further apart no value is read off
# Curd is read as milk before it is cut.
ACIDITIES = {"curd-ph": ("milk-ph", "curd-ph"), "whey-ph": ("whey-ph",),
             "whey-acidity": ("whey-acidity",), "milk-acidity": ("milk-acidity",)}  # fmt: skip
_CULTURE_STEP_MIN = 5.0
_AFTER_THE_VAT = ("press", "brine", "dry", "smoke")
MET, MISSED = "met", "missed"


@dataclass(frozen=True)
class StageSpan:
    """A stage as it went, minutes from the make's start. `key` is what the same stage of other
    makes is known by; `delay` is how many minutes longer it took than planned."""

    key: str
    label: str
    begin: float
    end: float
    delay: float
    done: bool = True

    @property
    def minutes(self) -> float:
        """How long it took."""
        return self.end - self.begin


@dataclass(frozen=True)
class TargetMark:
    """An acid target of a make: where it falls, whether it was met, what was read nearest to it."""

    label: str
    minute: float
    value: float
    state: str


@dataclass(frozen=True, eq=False)
class CourseReadings:
    """Readings of a kind, each (n,): minutes from the start, values; `gap_min` is how far apart
    two of them may be and still tell of what lies between."""

    kind: str
    minutes: Floats
    value: Floats
    gap_min: float

    def at(self, minutes: npt.ArrayLike) -> Floats:
        """The values at minutes (any shape), NaN where nothing was read near."""
        return read_off(self.minutes, self.value, minutes, self.gap_min)


@dataclass(frozen=True, eq=False)
class Course:
    """A make as it is laid beside others; all minutes count from its start.

    `off` is read minus planned °C where the plan holds a temperature, `acid` the acidity of the
    kind read most, `tau` culture time at `tau_min`; `shown_min` is where the hours at the vat end.
    """

    code: str
    stages: tuple[StageSpan, ...]
    temp: CourseReadings
    off: CourseReadings
    acid: CourseReadings
    targets: tuple[TargetMark, ...]
    tau_min: Floats
    tau: Floats
    shown_min: float

    def stage(self, key: str) -> StageSpan | None:
        """The stage of that key, None where it never began."""
        return next((one for one in self.stages if one.key == key), None)

    def stage_at(self, minute: float) -> StageSpan | None:
        """The stage that ran at a minute."""
        return next((s for s in self.stages if s.begin <= minute < s.end), None)

    @property
    def end_min(self) -> float:
        """Where its last stage ends."""
        return self.stages[-1].end if self.stages else 0.0


def course_of(whole: WholeMake, acid_kind: str | None = None) -> Course:
    """The course of a make; `acid_kind` is the kind of acidity wanted where it was read."""
    now = last_reading_min(whole) if whole.make.running else None
    stages = _stages(whole, now)
    milk = whole.trace("milk-temp").sound()
    minutes = milk.minutes_from(whole.make.started_ms)
    temp = CourseReadings("milk-temp", minutes, milk.value, TEMP_GAP_MIN)
    apart = milk.value - planned_at(day_line(whole, now), minutes)
    known = np.isfinite(apart)
    off = CourseReadings("milk-temp", minutes[known], apart[known], TEMP_GAP_MIN)
    tau_min, tau = _culture(whole, stages)
    return Course(
        whole.make.code, stages, temp, off, _acid(whole, acid_kind), _targets(whole),
        tau_min, tau, _shown(whole, stages),
    )  # fmt: skip


def acidity_read(whole: WholeMake) -> str | None:
    """The kind of acidity of a make that comes first and was read more than once."""
    return next((kind for kind in ACIDITIES if _count(whole, kind) > 1), None)


def read_off(minutes: Floats, value: Floats, at: npt.ArrayLike, gap_min: float) -> Floats:
    """Values at minutes (any shape), straight between readings; NaN outside them and between two
    that lie further apart than `gap_min`."""
    where = np.asarray(at, float)
    if not len(minutes):
        return np.full(where.shape, np.nan)
    after = np.clip(np.searchsorted(minutes, where), 0, len(minutes) - 1)
    before = np.maximum(after - 1, 0)
    exact = minutes[after] == where
    near = exact | (minutes[after] - minutes[before] <= gap_min)
    inside = (where >= minutes[0]) & (where <= minutes[-1]) & near
    return np.where(inside, np.interp(where, minutes, value), np.nan)


def _stages(whole: WholeMake, now: float | None) -> tuple[StageSpan, ...]:
    """The stages that began, as the day has them."""
    begins, end = stage_times(whole, now)
    ends = [*begins[1:], end]
    keys = stage_keys([stage.kind for stage in whole.plan.stages])
    by_hand = any(run.ended_ms is not None for run in whole.runs)
    out = []
    for index, (begin, until) in enumerate(zip(begins, ends, strict=True)):
        run = whole.runs[index] if index < len(whole.runs) else None
        if by_hand and (run is None or run.began_ms is None):
            continue
        stage = whole.plan.stages[index]
        runs = index == whole.running_index
        last = max(begin, min(until, now)) if runs and now is not None else until
        done = not runs and not (whole.make.failed and index == len(begins) - 1)
        delay = last - begin - stage.minutes
        delay = max(0.0, delay) if runs else delay
        out.append(StageSpan(keys[index], stage.label, begin, last, delay, done))
    if whole.running_index is not None:
        out = [s for s in out if now is None or s.begin <= now]
    return tuple(out)


def _acid(whole: WholeMake, wanted: str | None) -> CourseReadings:
    kind = wanted if wanted and _count(whole, wanted) else acidity_read(whole)
    if kind is None:
        return CourseReadings(wanted or "curd-ph", np.empty(0), np.empty(0), ACID_GAP_MIN)
    parts = [whole.trace(one).sound() for one in ACIDITIES[kind]]
    minutes = np.concatenate([part.minutes_from(whole.make.started_ms) for part in parts])
    order = np.argsort(minutes, kind="stable")
    value = np.concatenate([part.value for part in parts])
    return CourseReadings(kind, minutes[order], value[order], ACID_GAP_MIN)


def _count(whole: WholeMake, kind: str) -> int:
    return sum(len(whole.trace(one).sound()) for one in ACIDITIES[kind])


def _targets(whole: WholeMake) -> tuple[TargetMark, ...]:
    """The acid targets whose time is over and of which something was read."""
    now = (last_reading_min(whole) or 0.0) if whole.make.running else np.inf
    begins, end = stage_times(whole)
    out = []
    for one in day_acid_targets(whole.plan, begins, [*begins[1:], end]):
        begun = one.index < len(whole.runs) and whole.runs[one.index].began_ms is not None
        if one.to_min <= now and begun:
            out += _target(whole, one)
    return tuple(out)


def _target(whole: WholeMake, one: DayAcidTarget) -> list[TargetMark]:
    missed = nearest_miss(whole, one)
    if missed is not None:
        return [TargetMark(one.label, missed[0], missed[1], MISSED)]
    minutes, value = read_for(whole, one.acid_target.kind)
    middle = (one.from_min + one.to_min) / 2
    read = read_off(minutes, value, [middle], ACID_GAP_MIN)[0]
    near = (minutes >= one.from_min) & (minutes <= one.to_min)
    if np.isfinite(read) and one.acid_target.low <= read <= one.acid_target.high:
        return [TargetMark(one.label, middle, float(read), MET)]
    if not near.any():
        return []
    within = np.abs(value - (one.acid_target.low + one.acid_target.high) / 2)
    best = int(np.argmin(np.where(near, within, np.inf)))
    return [TargetMark(one.label, float(minutes[best]), float(value[best]), MET)]


def _culture(whole: WholeMake, stages: tuple[StageSpan, ...]) -> tuple[Floats, Floats]:
    """Knots of culture time, from the culture in to the last stage's end."""
    first = culture_in_min(whole)
    last = max(stages[-1].end if stages else 0.0, first + _CULTURE_STEP_MIN)
    minutes = np.r_[np.arange(first, last, _CULTURE_STEP_MIN), last]
    return minutes, culture_time(whole).at(minutes)


def _shown(whole: WholeMake, stages: tuple[StageSpan, ...]) -> float:
    """The end of the hours at the vat: where the curd goes under the press, or all of it."""
    kinds = [one.key.partition(" ")[0] for one in stages]
    after = (s.begin for s, kind in zip(stages, kinds, strict=True) if kind in _AFTER_THE_VAT)
    end = stages[-1].end if stages else 0.0
    return next((at for at in after if at > 0), end)
