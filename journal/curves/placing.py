"""Where the words of a mark cover the least of what is drawn beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from journal.curves.surface import Pane, PlotSurface, Span

_OUTSIDE = 10_000
_ACROSS, _DOWN = 48, 24  # places looked at where those beside a mark are taken
_AT_ONCE = 64  # of them
Drawn = tuple[np.ndarray, np.ndarray]
"""What must not be covered, as points close together: x (n,) and y (n,)."""


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


def beside(x: Span, y: Span, pane: Pane) -> list[Spot]:
    """The spots about a box: at its sides, above it, below it."""
    high = pane.y[1] - pane.y[0]
    near, far = 0.02 * high, 0.08 * high
    corners = ((x[0], 0), (x[1], 1))
    return [
        Spot(x[0], sum(y) / 2, (1, 0.5)),
        Spot(x[1], sum(y) / 2, (0, 0.5)),
        *(Spot(at, y[1] + near, (left, 1)) for at, left in corners),
        *(Spot(at, y[0] - down, (left, 0)) for down in (near, far) for at, left in corners),
    ]


def place_label(
    plot: PlotSurface,
    text: str,
    role: str,
    spots: Sequence[Spot],
    drawn: Sequence[Drawn],
    *,
    on_paper: bool = False,
) -> Drawn:
    """Write words at the first of the spots that covers the fewest points of what is drawn;
    returns what they cover themselves. A space at either end keeps them off their mark."""
    pane, words = plot.pane(spots[0].x), text.strip()
    size = _in_units(plot.measure(text), pane)
    left, right, low, top = freest(pane, spots, size, drawn).box(*size)
    before = text[: len(text) - len(text.lstrip())]
    x = left + size[0] - _in_units(plot.measure(text.removeprefix(before)), pane)[0]
    plot.words(x, top, words, role, anchor=(0, 0), on_paper=on_paper)
    return edges((left, right), (low, top))


def freest(pane: Pane, spots: Sequence[Spot], size: Span, drawn: Sequence[Drawn]) -> Spot:
    """The first of the spots at which words of a size (in the axes' units) cover the fewest points;
    one whose words would run out at a side is moved in. Where they cover some at each of them, the
    free place nearest to it."""
    (x0, x1), (y0, y1) = pane.x, pane.y
    x, y = (np.concatenate([np.empty(0), *(points[axis] for points in drawn)]) for axis in (0, 1))

    def hidden(spots: Sequence[Spot]) -> np.ndarray:
        """How many points words at each of the spots cover (n,)."""
        left, right, low, top = np.array([spot.box(*size) for spot in spots]).T[:, :, None]
        count = ((x >= left) & (x <= right) & (y >= low) & (y <= top)).sum(axis=1)
        outside = (left < x0) | (right > x1) | (low < y0) | (top > y1)
        return np.asarray(count + _OUTSIDE * outside[:, 0])

    inside = [_moved_in(spot, size[0], pane.x) for spot in spots]
    counts = hidden(inside)
    best = inside[int(np.argmin(counts))]
    if not counts.min():
        return best

    def away(spot: Spot) -> float:
        return (
            abs(spot.x - best.x) / (x1 - x0) * pane.wide
            + abs(spot.y - best.y) / (y1 - y0) * pane.high
        )

    steps = [(at, up) for at in np.linspace(x0, x1, _ACROSS) for up in np.linspace(y1, y0, _DOWN)]
    others = sorted((Spot(float(at), float(up), (0, 0)) for at, up in steps), key=away)
    for first in range(0, len(others), _AT_ONCE):
        some = others[first : first + _AT_ONCE]
        free = np.flatnonzero(hidden(some) == 0)
        if len(free):
            return some[int(free[0])]
    return best


def fine(x: np.ndarray, y: np.ndarray, count: int = 600) -> Drawn:
    """A line through knots as many points close together."""
    if len(x) < 2:
        return np.asarray(x, float), np.asarray(y, float)
    at = np.linspace(float(x[0]), float(x[-1]), count)
    return at, np.interp(at, x, y)


def edges(span: Span, values: Span) -> Drawn:
    """A box as points all over it, for what must not be covered."""
    x, y = np.meshgrid(np.linspace(*span, 8), np.linspace(*values, 8))
    return x.ravel(), y.ravel()


def _in_units(size: tuple[float, float], pane: Pane) -> Span:
    return (
        size[0] * (pane.x[1] - pane.x[0]) / pane.wide,
        size[1] * (pane.y[1] - pane.y[0]) / pane.high,
    )


def _moved_in(spot: Spot, wide: float, x: Span) -> Spot:
    left = spot.x - spot.anchor[0] * wide
    inside = max(x[0], min(left, x[1] - wide))
    return replace(spot, x=spot.x + inside - left)
