"""Where the words of a mark cover the least of what is drawn beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.desk.plot import ChartPlot

_LEAST_PX = (320.0, 90.0)  # a panel that was not laid out yet is taken to be so large
_OUTSIDE = 10_000


@dataclass(frozen=True)
class Spot:
    """A place for words: a point and which corner of the words lies on it, (0, 0) the top left."""

    x: float
    y: float
    anchor: tuple[float, float]

    def box(self, wide: float, high: float) -> tuple[float, float, float, float]:
        """Left, right, lower and upper edge of words of that size."""
        left = self.x - self.anchor[0] * wide
        top = self.y + self.anchor[1] * high
        return left, left + wide, top - high, top


def freest(
    plot: ChartPlot,
    spots: Sequence[Spot],
    size_px: tuple[float, float],
    drawn: Sequence[tuple[np.ndarray, np.ndarray]],
) -> Spot:
    """The first of the spots that covers the fewest points of what is drawn.

    Parameters
    ----------
    size_px : width and height of the words
    drawn : curves as minutes (n,) and values (n,), finely drawn; what is not finite is passed over
    """
    (x0, x1), (y0, y1) = plot.viewRange()
    view = plot.getViewBox()
    wide = size_px[0] * (x1 - x0) / max(view.width(), _LEAST_PX[0])
    high = size_px[1] * (y1 - y0) / max(view.height(), _LEAST_PX[1])

    def is_hidden(spot: Spot) -> int:
        left, right, low, top = spot.box(wide, high)
        count = sum(
            int(np.sum((x >= left) & (x <= right) & (y >= low) & (y <= top))) for x, y in drawn
        )
        outside = left < x0 or right > x1 or low < y0 or top > y1
        return count + _OUTSIDE * int(outside)

    return min(spots, key=is_hidden)


def fine(x: np.ndarray, y: np.ndarray, count: int = 600) -> tuple[np.ndarray, np.ndarray]:
    """A line through knots as many points close together."""
    if len(x) < 2:
        return np.asarray(x, float), np.asarray(y, float)
    at = np.linspace(float(x[0]), float(x[-1]), count)
    return at, np.interp(at, x, y)


def edges(span: tuple[float, float], values: tuple[float, float]) -> tuple[np.ndarray, np.ndarray]:
    """A box as points all over it, for what must not be covered."""
    x, y = np.meshgrid(np.linspace(*span, 8), np.linspace(*values, 8))
    return x.ravel(), y.ravel()
