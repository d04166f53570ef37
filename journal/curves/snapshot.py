"""A make at one moment: where it stands, what is past, what is to be expected."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from journal.background import State
from journal.curves.acid_targets import DayAcidTarget, day_acid_targets
from journal.curves.acidity import (
    FEW,
    AcidFit,
    Fan,
    Forecast,
    fan,
    fit,
    forecast,
    has_acid,
    tells_when,
)
from journal.curves.comparison_set import Band
from journal.curves.day import AllowedRange, allowed_range, stage_times
from journal.curves.delay import StageDelay, delays, total_delay
from journal.curves.events import Event, events, heard_until
from journal.curves.heating import Heating, Vessel, heating
from journal.curves.page_state import PageState, page_state
from journal.curves.shown_events import Acknowledged
from journal.curves.slow_acid import failing
from journal.curves.verdict import verdict_of
from journal.message import Message
from journal.records import id_of
from journal.records.due import DueStage
from journal.records.instants import MINUTE_MS
from journal.records.kinds import PH_KINDS
from journal.records.plans import AcidTarget
from journal.records.traces import Trace
from journal.records.verdicts import Verdict
from journal.records.whole import WholeMake

PAST, USUAL = "past", "usual"  # on what a forecast leans
_AFTER_THE_VAT = ("press", "brine", "dry", "smoke")


@dataclass(frozen=True)
class EarlierMakes:
    """Earlier makes of the plan: their bands from the start, their courses of acid, and what
    they tell of the vat."""

    temp: Band | None = None
    ph: Band | None = None
    fits: tuple[AcidFit, ...] = ()
    makes: int = 0
    flocs: tuple[float, ...] = ()  # minutes to the first flecks, where they were tested
    vessels: tuple[Vessel, ...] = ()


@dataclass(frozen=True)
class Ahead:
    """What is expected: the fan of the acidity, when the next acid target is reached, the ramp's
    end.

    `leans` says on what the acid target's forecast leans (PAST, USUAL) while it has few readings
    of its own, "" once it has enough. `passed` says that the acid is already beyond the acid
    target of the current stage. `doubt` is what is said of a culture that may fail, `slow` of one
    that does (then the caution is shown too); both None as long as nothing speaks for it. `events`
    are all of the day's.
    """

    fan: Fan | None = None
    acid_target: Forecast | None = None
    acid_target_label: str = ""
    leans: str = ""
    passed: Message | None = None
    heating: Heating | None = None
    events: tuple[Event, ...] = ()
    doubt: Message | None = None
    slow: Message | None = None
    index: int | None = None  # the stage this was calculated in
    verdict: Verdict | None = None  # what is said of eating it


@dataclass(frozen=True)
class TimedNote:
    """A note at a minute of the day, with its photo's thumbnail as the screen holds it."""

    at_min: float
    text: str
    picture: Any = None


@dataclass(frozen=True)
class OtherMake:
    """Another make that runs, at its step."""

    make_id: int
    step: DueStage


@dataclass(frozen=True)
class MakeSnapshot:
    """One make at one moment."""

    whole: WholeMake
    now_ms: int
    page_state: PageState
    allowed_range: AllowedRange
    begins: tuple[float, ...]
    end_min: float
    past: EarlierMakes = field(default_factory=EarlierMakes)
    ahead: Ahead = field(default_factory=Ahead)
    delays: tuple[StageDelay, ...] = ()
    delay_min: float = 0.0  # how late the whole day is
    others: tuple[OtherMake, ...] = ()
    notes: tuple[TimedNote, ...] = ()
    left_alone: bool = False  # the advice was left
    acknowledged: Acknowledged = field(default_factory=Acknowledged)
    window: tuple[float, float] | None = None  # minutes to show, where not the hours at the vat

    @property
    def now_min(self) -> float:
        """Minutes from the make's start."""
        return (self.now_ms - self.whole.make.started_ms) / MINUTE_MS

    @property
    def make_id(self) -> int:
        """The make, as the journal knows it."""
        return id_of(self.whole.make)

    @property
    def running(self) -> bool:
        """The make is neither finished nor has it failed."""
        return self.whole.make.running

    @property
    def stage_ends(self) -> tuple[float, ...]:
        """When each stage of the day ends, minutes from the start."""
        return (*self.begins[1:], self.end_min)

    def acid_targets(self) -> list[DayAcidTarget]:
        """The plan's acid targets where they fall on this day."""
        return day_acid_targets(self.whole.plan, self.begins, self.stage_ends)

    def range_at(self, minute: float) -> tuple[float, float, float] | None:
        """The allowed range of the day at a minute: its low, planned and high °C; None where the
        plan names no temperature."""
        c = self.allowed_range
        i = int(np.searchsorted(c.minutes, minute))
        if not 0 < i < len(c.minutes) or not np.isfinite(c.mid[i - 1 : i + 1]).all():
            return None
        around = c.minutes[i - 1 : i + 1]
        low, mid, high = (
            float(np.interp(minute, around, line[i - 1 : i + 1])) for line in (c.low, c.mid, c.high)
        )
        return low, mid, high

    def view(self) -> tuple[float, float]:
        """The stretch of the day to show, minutes: the hours at the vat, and on while it runs."""
        if self.window is not None:
            return self.window
        stages = self.whole.plan.stages[: len(self.begins)]
        after = next((i for i, s in enumerate(stages) if i and s.kind in _AFTER_THE_VAT), None)
        end = self.end_min if after is None else self.begins[after]
        index = self.page_state.index
        if index is not None and (after is None or index < after):
            end = max(end, self.stage_ends[index], self.now_min + 15)
        return 0.0, end * 1.03


def day_of(whole: WholeMake, now_ms: int, past: EarlierMakes, ahead: Ahead) -> MakeSnapshot:
    """A make at a moment, ready to be drawn."""
    now_min = (now_ms - whole.make.started_ms) / MINUTE_MS
    running = whole.make.finished_ms is None
    begins, end = stage_times(whole, now_min if running else None)
    lines = allowed_range(whole, "day", now_min if running else None)
    return MakeSnapshot(
        whole, now_ms, page_state(whole, now_ms), lines, tuple(begins), end, past, ahead,
        tuple(delays(whole, now_min if running else None)),
        total_delay(whole, now_min if running else None),
    )  # fmt: skip


def ahead_of(day: MakeSnapshot, state: State) -> Ahead:
    """What is to be expected of a make at a moment; runs in the background."""
    whole, past = day.whole, day.past.fits
    acid_targets = [g for g in day.acid_targets() if g.acid_target.kind in PH_KINDS]
    sours = whole.plan.sours and (has_acid(whole) or bool(acid_targets))
    if state.stopped():
        return Ahead()
    fitted = fit(whole, past) if sours else None
    out = _milk_ahead(day, fitted)
    if fitted is not None:
        out = replace(out, verdict=verdict_of(whole, fitted))
    if fitted is None or not day.running or state.stopped():
        return out
    return _acid_ahead(day, out, fitted, acid_targets)


def _milk_ahead(day: MakeSnapshot, fitted: AcidFit | None) -> Ahead:
    """The ramp, and what strayed so far."""
    ramp = heating(day.whole, heard_until(day.whole, day.now_ms), day.past.vessels)
    found = events(day.whole, day.now_ms, day.past.fits, fitted=fitted)
    slow = next((e.message.values["said"] for e in found if e.kind == "slow acid"), None)
    return Ahead(
        heating=ramp,
        events=tuple(found),
        slow=slow,
        index=day.page_state.index,
    )


def _acid_ahead(
    day: MakeSnapshot, out: Ahead, fitted: AcidFit, acid_targets: list[DayAcidTarget]
) -> Ahead:
    """The acidity's fan, its next acid target, and whether its culture fails."""
    whole, past = day.whole, day.past.fits
    of = "whey" if acid_targets and acid_targets[-1].acid_target.kind == "whey-ph" else "curd"
    fails = failing(fitted.stalled, fitted.called)
    out = replace(
        out,
        fan=fan(whole, of, past, fitted=fitted, to_min=day.view()[1]),
        slow=fails if fitted.called else out.slow,
        doubt=None if fitted.called else fails,
        leans="" if fitted.readings >= FEW else (PAST if fitted.past else USUAL),
    )
    here = max(day.page_state.index or 0, 1)
    to_come = [g for g in acid_targets if g.index >= here and g.to_min > day.now_min]
    out = replace(
        out, passed=next((_passed(whole, g) for g in acid_targets if g.index == here), None)
    )
    coming = next((g for g in to_come if _awaited(whole, fitted, g.acid_target)), None)
    if coming is None:
        return out
    asked = "whey" if coming.acid_target.kind == "whey-ph" else "curd"
    expected = forecast(whole, _level(coming.acid_target), asked, past, fitted=fitted)
    if expected.reached_at_ms is None:  # a course may end within the acid target, above its middle
        expected = forecast(whole, coming.acid_target.high, asked, past, fitted=fitted)
    return replace(out, acid_target=expected, acid_target_label=coming.label)


def _level(acid_target: AcidTarget) -> float:
    return (acid_target.low + acid_target.high) / 2


def _awaited(whole: WholeMake, fitted: AcidFit, acid_target: AcidTarget) -> bool:
    """Whether an acid target's pH has yet to come; one near the milk's own is checked, not
    awaited."""
    last = _last_of(whole, acid_target)
    return tells_when(fitted, _level(acid_target)) and (last is None or last > acid_target.high)


def _passed(whole: WholeMake, acid_target: DayAcidTarget) -> Message | None:
    """That the last pH lies below an acid target; else None."""
    last, asked = _last_of(whole, acid_target.acid_target), acid_target.acid_target
    if last is None or last >= asked.low:
        return None
    return Message(
        "curves.gate-passed", label=acid_target.label, ph=last, low=asked.low, high=asked.high
    )


def _last_of(whole: WholeMake, acid_target: AcidTarget) -> float | None:
    """The last pH of an acid target's kind, None before the first; curd is as milk before the
    cut."""
    kinds = ("whey-ph",) if acid_target.kind == "whey-ph" else ("milk-ph", "curd-ph")
    traces = [t for t in (whole.trace(kind).sound() for kind in kinds) if len(t)]
    return float(max(traces, key=_last_ms).value[-1]) if traces else None


def _last_ms(trace: Trace) -> int:
    return int(trace.at_ms[-1])
