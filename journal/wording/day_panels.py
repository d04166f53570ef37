"""A day at the vat as two panels, on paper and on a page to send: their scales, and what is in
them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike

from journal.curves.acid_targets import DayAcidTarget
from journal.curves.day_scene import (
    USUAL_PH,
    DayScene,
    Readings,
    draw_acid_targets,
    draw_acidity,
    draw_log,
    draw_plan,
)
from journal.curves.surface import PlotSurface
from journal.records.kinds import READING_KINDS
from journal.wording.scales import even_scale

_PH_STEPS, _ACIDITY_STEPS = (0.1, 0.2, 0.5, 1.0), (0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)


def draw_warmth(
    plot: PlotSurface, scene: DayScene, last: float, floor: float | None = None
) -> None:
    """The plan and what was read of the milk up to a minute; what lies below `floor` (°C) is not
    shown."""
    log = [] if scene.log is None else [scene.log.until(last)]
    minutes, parts = scene.plan.minutes, [*log]
    for end in (scene.plan.low, scene.plan.high) if len(minutes) else ():
        parts += [end[minutes <= last], np.interp([last], minutes, end)]  # it may end in a ramp
    least = -np.inf if floor is None else floor
    held = [np.maximum(part, least) for part in parts]
    shown, values = even_scale(held, 6.0, (1, 2, 5, 10, 20), 11)
    plot.show_range(None, shown)
    plot.rules(values, (0.0, last), unit="°C")
    draw_plan(plot, scene.plan)
    if scene.log is not None:
        draw_log(plot, scene.log)


def draw_acid(
    plot: PlotSurface,
    acid: Sequence[Readings],
    targets: Sequence[DayAcidTarget],
    last: float,
    words: Callable[[DayAcidTarget], str],
) -> None:
    """Acidity that was read up to a minute, of one scale, with its targets and their words."""
    kind = acid[0].kind if acid else "milk-ph"
    ends = [(t.acid_target.low, t.acid_target.high) for t in targets]
    parts: list[ArrayLike] = [ends, *(one.until(last) for one in acid)]
    ph = kind.endswith("-ph")
    if ph:
        shown, values = even_scale([USUAL_PH, *parts], 1.0, _PH_STEPS, 8)
    else:
        shown, values = even_scale(parts, 0.1, _ACIDITY_STEPS, 8)
    plot.show_range(None, shown)
    unit = "pH" if ph else READING_KINDS[kind].unit
    plot.rules(values, (0.0, last), digits=1, unit=unit)
    drawn = [(one.minutes, one.value) for one in acid]
    draw_acid_targets(plot, targets, words, drawn)
    draw_acidity(plot, acid)
