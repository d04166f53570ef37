"""A make among other makes: the band they fill, and the difference between two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.curves import CurveError
from journal.curves.align import Aligned, aligned, moment_ms
from journal.curves.unusual import what_was_different as what_was_different
from journal.message import Message
from journal.records.traces import Floats
from journal.records.whole import WholeMake

FEW = 5  # makes below which ten and ninety in a hundred mean nothing
LONGEST = 10_000  # points of a band; the grid is made coarser rather than longer


@dataclass(frozen=True)
class Band:
    """The other makes on a common grid, each (n,), NaN where fewer than two makes were read.

    `minutes` count from the moment of alignment; `count` is how many makes were read there.
    `makes` is how many there are at all. `whole_range` is true when there are fewer than five:
    `p10` and `p90` are then the least and the greatest.
    """

    minutes: Floats
    p10: Floats
    p50: Floats
    p90: Floats
    count: npt.NDArray[np.intp]
    makes: int
    whole_range: bool

    @property
    def says(self) -> Message:
        """What the band is."""
        if self.makes < 2:
            return Message("curves.band-of-none")
        if self.whole_range:
            return Message("curves.band-of-few", makes=self.makes)
        return Message("curves.band", makes=self.makes)


def band(wholes: Sequence[WholeMake], kind: str, moment: str, grid_min: float = 1.0) -> Band:
    """The 10 to 90 % band of a kind of reading over several makes.

    Each make is drawn straight between its readings and only within its own span. Makes that
    never came to the moment, or have no such reading, are left out.

    Raises
    ------
    CurveError
        When there is no such moment or kind, or the grid has no width.
    """
    if not grid_min > 0:
        raise CurveError("curves.band-grid")
    there = [w for w in wholes if moment_ms(w, moment) is not None]
    curves = [c for c in (aligned(w, kind, moment) for w in there) if len(c.minutes)]
    grid = _grid(curves, grid_min)
    table = np.full((len(curves), len(grid)), np.nan)
    for row, curve in zip(table, curves, strict=True):
        row[:] = np.interp(grid, curve.minutes, curve.value, left=np.nan, right=np.nan)
    few = len(curves) < FEW
    count = np.isfinite(table).sum(axis=0)
    p10, p50, p90 = _shares(table, count, (0.0, 0.5, 1.0) if few else (0.1, 0.5, 0.9))
    return Band(grid, p10, p50, p90, count, len(curves), few)


def difference(a: WholeMake, b: WholeMake, kind: str, moment: str) -> Aligned:
    """Make `a` minus make `b`, aligned at a moment, at every instant either was read.

    Only where both have readings before and after; empty where they never overlap.

    Raises
    ------
    CurveError
        When one of them never came to the moment.
    """
    one, other = aligned(a, kind, moment), aligned(b, kind, moment)
    if not len(one.minutes) or not len(other.minutes):
        return Aligned(np.empty(0), np.empty(0))
    first = max(one.minutes[0], other.minutes[0])
    last = min(one.minutes[-1], other.minutes[-1])
    at = np.union1d(one.minutes, other.minutes)
    at = at[(at >= first) & (at <= last)]
    return Aligned(at, np.interp(at, *one) - np.interp(at, *other))


def _grid(curves: list[Aligned], grid_min: float) -> Floats:
    """Whole steps of the grid that cover every curve, empty without curves."""
    if not curves:
        return np.empty(0)
    first = min(c.minutes[0] for c in curves)
    last = max(c.minutes[-1] for c in curves)
    step = grid_min * max(1, int(np.ceil((last - first) / grid_min / LONGEST)))
    steps: Floats = np.arange(np.floor(first / step), np.ceil(last / step) + 1)
    return steps * step


def _shares(
    table: Floats, count: npt.NDArray[np.intp], shares: tuple[float, ...]
) -> tuple[Floats, ...]:
    """Quantiles down each column (linear between order statistics), NaN under two values."""
    if not len(table):
        return tuple(np.full(table.shape[1], np.nan) for _ in shares)
    ordered = np.sort(table, axis=0)
    columns = np.arange(table.shape[1])
    out = []
    for share in shares:
        index = share * np.maximum(count - 1, 0)
        low = np.floor(index).astype(int)
        high = np.minimum(low + 1, np.maximum(count - 1, 0))
        under, over = ordered[low, columns], ordered[high, columns]
        value = under + (over - under) * (index - low)
        out.append(np.where(count >= 2, value, np.nan))
    return tuple(out)
