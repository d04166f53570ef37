"""What a make's day looks like, said once: for the plan, the make and what is printed of both."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.acid_targets import DayAcidTarget, day_acid_targets
from journal.curves.day import AllowedRange, allowed_range, plan_range, stage_times
from journal.curves.placing import Drawn, beside, edges, place_label
from journal.curves.reduce import reduce
from journal.curves.surface import COLUMNS, PlotSurface, StageBar
from journal.records.kinds import PH_KINDS
from journal.records.plans import Plan
from journal.records.traces import STRUCK, Trace
from journal.records.whole import WholeMake

GAP_MIN = 45.0  # a line is not drawn over a longer silence
FEW_POINTS = 150  # up to here every reading has its own mark
USUAL_PH = (5.2, 6.7)  # shown of the acidity even where a plan says less


@dataclass(frozen=True, eq=False)
class Readings:
    """Sound readings of a kind: `minutes` from the start and `value` (n,)."""

    kind: str
    minutes: np.ndarray
    value: np.ndarray

    @property
    def hollow(self) -> bool:
        """Whether its marks are open, which marks whey apart from curd."""
        return self.kind == "whey-ph"

    def until(self, last: float) -> np.ndarray:
        """The values up to a minute."""
        return self.value[self.minutes <= last]


@dataclass(frozen=True, eq=False)
class DayScene:
    """A day at the vat, ready to be drawn: the planned line in its allowed range, the stages, the
    acid targets where they fall, and of a make what was read."""

    plan: AllowedRange
    stages: tuple[StageBar, ...]
    acid_targets: tuple[DayAcidTarget, ...]
    log: Readings | None = None
    acid: tuple[Readings, ...] = ()

    def ph_targets(self, until: float = np.inf) -> list[DayAcidTarget]:
        """The acid targets that are a pH and open before a minute."""
        return [t for t in self.acid_targets if is_ph(t) and t.from_min < until]


def plan_scene(plan: Plan, chosen: int = -1) -> DayScene:
    """A plan on its own clock, with the current stage."""
    begins = plan.starts()
    ends = [start + stage.minutes for stage, start in zip(plan.stages, begins, strict=True)]
    targets = day_acid_targets(plan, begins, ends)
    return DayScene(plan_range(plan), _bars(plan, begins, ends, chosen), tuple(targets))


def make_scene(whole: WholeMake, now_min: float | None) -> DayScene:
    """A make on its own day, with what was read; `now_min` while it runs."""
    begins, end = stage_times(whole, now_min)
    ends = [*begins[1:], end]
    acid = [readings_of(whole, kind) for kind in PH_KINDS]
    log = readings_of(whole, "milk-temp")
    return DayScene(
        allowed_range(whole, "day", now_min),
        _bars(whole.plan, begins, ends),
        tuple(day_acid_targets(whole.plan, begins, ends)),
        log if len(log.minutes) else None,
        tuple(one for one in acid if len(one.minutes)),
    )


def readings_of(whole: WholeMake, kind: str) -> Readings:
    """The readings of a kind that stand."""
    trace = whole.trace(kind).sound()
    return Readings(kind, trace.minutes_from(whole.make.started_ms), trace.value)


def is_ph(target: DayAcidTarget) -> bool:
    """Whether an acid target has its place on a scale of pH."""
    return target.acid_target.kind.endswith("-ph")


def draw_plan(plot: PlotSurface, plan: AllowedRange) -> None:
    """The planned line between two dotted ones, its allowed range; the grey wash is for past makes
    alone."""
    for edge in (plan.low, plan.high):
        plot.line(plan.minutes, edge, "planned", width=1, dash="fine")
    plot.line(plan.minutes, plan.mid, "planned", width=1.5, dash="planned")


def draw_log(plot: PlotSurface, log: Readings) -> None:
    """The milk's temperature as it was read; few readings have marks of their own."""
    drawn = reduce(log.minutes, log.value, COLUMNS, gap=GAP_MIN)
    plot.line(drawn.at, drawn.value, "temperature", width=2, level=4)
    if len(log.minutes) <= FEW_POINTS:
        plot.points(log.minutes, log.value, "temperature", size=4)


def draw_acidity(plot: PlotSurface, acid: Iterable[Readings]) -> None:
    """Acidity by kind: marks, or a line where there are many."""
    for one in acid:
        if len(one.minutes) > FEW_POINTS:
            drawn = reduce(one.minutes, one.value, COLUMNS, gap=GAP_MIN)
            plot.line(drawn.at, drawn.value, "acidity", width=1.6, level=4)
        elif len(one.minutes):
            plot.points(one.minutes, one.value, "acidity", size=8, hollow=one.hollow)


def draw_acid_targets(
    plot: PlotSurface,
    targets: Sequence[DayAcidTarget],
    words: Callable[[DayAcidTarget], str],
    drawn: Sequence[Drawn],
    faulty: Collection[int] = (),
) -> None:
    """Acid targets as boxes, the words of each where they cover the least of the boxes, of each
    other and of what is drawn; one that cannot be reached (by its stage) asks for attention."""
    boxes = [((t.from_min, t.to_min), (t.acid_target.low, t.acid_target.high)) for t in targets]
    taken = [*(edges(*box) for box in boxes), *drawn]
    for target, box in zip(targets, boxes, strict=True):
        role = "attention" if target.index in faulty else "planned"
        plot.box(*box, role)
        spots = beside(*box, plot.pane(box[0][0]))
        taken.append(place_label(plot, f" {words(target)} ", role, spots, taken))


def stage_name(target: DayAcidTarget) -> str:
    """An acid target by its stage's name."""
    return target.label


def draw_struck(plot: PlotSurface, trace: Trace, started_ms: int) -> None:
    """Struck readings as small crosses."""
    struck = (trace.flags & STRUCK) != 0
    if struck.any():
        x = trace.minutes_from(started_ms)[struck]
        plot.points(x, trace.value[struck], "quiet", symbol="x", size=8)


def _bars(
    plan: Plan, begins: Sequence[float], ends: Sequence[float], chosen: int = -1
) -> tuple[StageBar, ...]:
    rows = enumerate(zip(plan.stages, begins, ends, strict=False))
    return tuple(
        StageBar(i + 1, stage.label, first, last, stage.hands, i == chosen)
        for i, (stage, first, last) in rows
    )
