"""The points of one variable as they are drawn, on the screen and on paper."""

from __future__ import annotations

import numpy as np

from journal.curves.surface import BandSurface, Span
from journal.findings import Scatter
from journal.findings.curve import BestValue
from journal.wording.effects import MANY, best_range_words
from journal.wording.scales import finite, round_values, step_for

_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)


def scatter_ranges(seen: Scatter) -> tuple[Span, Span]:
    """What is shown of the variable and of the score."""
    se = np.where(np.isfinite(seen.y_se), seen.y_se, 0.0)
    values = finite([seen.y - se, seen.y + se, seen.low80, seen.high80])
    low, high = float(values.min()), float(values.max())
    room = 0.06 * max(high - low, 1.0)
    first, last = float(seen.x.min()), float(seen.x.max())
    if last - first <= 1e-9 * max(abs(first), abs(last), 1e-9):  # it never varied
        first, last = first - 0.1 * max(abs(first), 1.0), last + 0.1 * max(abs(last), 1.0)
    beyond = 0.06 * (last - first)
    return (first - beyond, last + beyond), (low - room, high + 2 * room)


def draw_scatter(plot: BandSurface, seen: Scatter, shown: Span | None = None) -> None:
    """The score with other things equal at round values, the line in its range, and the points
    with their standard errors; of many points these would only hide each other. `shown` is what of
    the variable is shown."""
    x, y = scatter_ranges(seen)
    x = x if shown is None else shown
    plot.show_range(x, y)
    step = step_for(y[1] - y[0], _STEPS, 7)
    values = round_values(*y, (step,), above=0.07)  # the name of the axis stands there
    plot.rules(values, x, digits=0 if step >= 1 else 1)
    if seen.line_x.size:
        plot.band(seen.line_x, seen.low80, seen.high80, "past", 0.55)
        plot.line(seen.line_x, seen.line_y, "ink", width=1.6, level=2)
    many = seen.x.size > MANY
    known = np.isfinite(seen.y_se) & (seen.y_se > 0) & (not many)
    if known.any():
        ends = [seen.y - seen.y_se, seen.y + seen.y_se, np.full(seen.y.size, np.nan)]
        ups = np.column_stack(ends)[known].ravel()
        plot.line(np.repeat(seen.x[known], 3), ups, "past_line", width=1, level=3)
    if seen.best is not None:
        _draw_best(plot, seen.best, seen.unit, x, y)
    plot.points(seen.x, seen.y, "ink", size=4 if many else 7, level=5)


def _draw_best(plot: BandSurface, best: BestValue, unit: str, x: Span, y: Span) -> None:
    """Where it is best: a line across, its range as a bar above the axis, and both in words."""
    plot.line(np.full(2, best.value), np.array(y), "planned", width=1, dash="fine", level=1)
    foot = y[0] + 0.14 * (y[1] - y[0])
    low, high = max(best.low80, x[0]), min(best.high80, x[1])
    plot.line(np.array([low, high]), np.full(2, foot), "planned", width=3, level=4)
    left = best.value < (x[0] + x[1]) / 2
    plot.words(best.value, foot, best_range_words(best, unit), "planned",
               anchor=(0 if left else 1, 1), bold=True, on_paper=True)  # fmt: skip
