"""The clocks that run beside the stage, as rows of words; no widget."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.curves.snapshot import MakeSnapshot, OtherMake
from journal.message import Instant
from journal.records.coming import next_turn_ms, turn_of
from journal.records.timers import FLOCCULATION, Timer
from journal.records.whole import WholeMake
from journal.wording import text_of, worded
from journal.wording.durations import countdown
from journal.wording.keys import key_of
from journal.wording.vat_stage import to_go


@dataclass(frozen=True)
class ClockRow:
    """One clock: what it is of, its figures, what they mean, the key, and whether it is over."""

    name: str
    figures: str = ""
    what: str = ""
    key: str = ""
    over: bool = False

    @property
    def words(self) -> str:
        """The row read aloud."""
        return " ".join(part for part in (self.name, self.figures, self.what) if part)


def other_row(other: OtherMake, now_ms: int) -> ClockRow:
    """The clock of another make."""
    make, stage = other.step.make, other.step.stage
    if stage is None or other.step.ends_ms is None:
        return ClockRow(make.code, "", worded("wording.weigh-its-wheels"), key_of("other"))
    ends = other.step.ends_ms
    figures, what = to_go(ends, now_ms)
    return ClockRow(make.code, figures, f"{stage.label}, {what}", key_of("other"), ends < now_ms)


def clock_rows(day: MakeSnapshot) -> list[ClockRow]:
    """The rows of clocks beside the stage of a make."""
    whole, index, now_ms, flocs = day.whole, day.page_state.index, day.now_ms, day.past.flocs
    rows = _turn_rows(whole, index, now_ms)
    running = [timer for timer in whole.timers if timer.running]
    for timer in sorted(running, key=_ends):
        rows.append(_timer_row(timer, now_ms, flocs, whole.make.zone))
    return rows + _floc_hint(whole, index, flocs)


def floc_range(flocs: Sequence[float]) -> str:
    """What past makes took to the first flecks: "past makes 12 to 15 min"."""
    if not flocs:
        return ""
    low, high = min(flocs), max(flocs)
    which = "wording.flecks-took" if round(low) == round(high) else "wording.flecks-took-between"
    return worded(which, makes=len(flocs), low=low, high=high)


def _turn_rows(whole: WholeMake, index: int | None, now_ms: int) -> list[ClockRow]:
    if index is None or not whole.plan.stages[index].turns:
        return []
    stage, run = whole.plan.stages[index], whole.runs[index]
    due = next_turn_ms(run, stage)
    if due is None:
        turned = worded("wording.turned", times=len(run.turned_ms))
        return [ClockRow(turned, key=key_of("turn"))]
    figures, what = to_go(due, now_ms)
    name = text_of(turn_of(whole.plan, stage, len(run.turned_ms)))
    return [ClockRow(name, figures, what, key_of("turn"), over=due < now_ms)]


def _timer_row(timer: Timer, now_ms: int, flocs: Sequence[float], zone: str) -> ClockRow:
    if timer.ends_ms is None:
        figures = countdown(max(0, now_ms - timer.started_ms))
        if timer.name == FLOCCULATION:
            what = floc_range(flocs) or worded("wording.until-flecks")
            return ClockRow(timer.name, figures, what, key_of("flecks"))
        since = worded("wording.since", at=Instant(timer.started_ms, zone))
        return ClockRow(timer.name, figures, since, key_of("timer"))
    figures, what = to_go(timer.ends_ms, now_ms)
    return ClockRow(timer.name, figures, what, "", over=timer.ends_ms < now_ms)


def _floc_hint(whole: WholeMake, index: int | None, flocs: Sequence[float]) -> list[ClockRow]:
    """While the milk sets: how to start the test, or what it predicted."""
    if index is None or whole.plan.stages[index].kind != "set":
        return []
    tests = [timer for timer in whole.timers if timer.name == FLOCCULATION]
    multiplier = whole.plan.floc_multiplier
    if not tests and multiplier is None:
        return []
    if not tests:
        test, when = worded("wording.flocculation-test"), worded("wording.when-rennet")
        return [ClockRow(test, "", when, key_of("flecks"))]
    took = tests[-1].took_min
    if took is None:
        return []
    flecks = worded("wording.flecks-after", took=took)
    times = "" if multiplier is None else f", × {multiplier:g}"
    return [ClockRow(f"{flecks}{times}", "", floc_range(flocs))]


def _ends(timer: Timer) -> tuple[bool, int]:
    return timer.ends_ms is None, timer.ends_ms or timer.started_ms
