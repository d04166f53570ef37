"""Other makes on a common grid: the band they fill at each moment, and its median."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.curves import CurveError
from journal.curves.align import Aligned, aligned, moment_ms
from journal.message import Message
from journal.records.traces import Floats
from journal.records.whole import WholeMake

FEW = 5  # makes below which ten and ninety in a hundred mean nothing
LONGEST = 10_000  # points of a band; the grid is made coarser rather than longer
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Band:
    """The other makes on a common grid, each (n,), NaN where fewer than two makes were read.

    `minutes` count from the moment of alignment; `count` is how many makes were read there.
    `makes` is how many there are at all. Where fewer than five were read `p10` and `p90` are the
    least and the greatest; `whole_range` is true where that is so everywhere.
    """

    minutes: Floats
    p10: Floats
    p50: Floats
    p90: Floats
    count: npt.NDArray[np.intp]
    makes: int
    whole_range: bool

    @property
    def few(self) -> Mask:
        """Where the band goes from the least to the greatest (n,)."""
        return self.count < FEW

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
    return band_of(grid, table)


def band_of(grid: Floats, table: Floats) -> Band:
    """The band of curves on a grid: `table` (curves, n), NaN where one does not reach."""
    count = np.isfinite(table).sum(axis=0)
    few = count < FEW
    p10, p50, p90 = _shares(table, count, (0.1, 0.5, 0.9))
    least, greatest = _shares(table, count, (0.0, 1.0))
    return Band(
        grid, np.where(few, least, p10), p50, np.where(few, greatest, p90), count, len(table),
        bool(few.all()),
    )  # fmt: skip


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
