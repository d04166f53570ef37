"""A long trace reduced to what a screen can show: the least and the greatest of each column."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from journal.curves import CurveError
from journal.records.traces import Floats

Indices = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]


class Reduced(NamedTuple):
    """Points to draw: `at` (m,) ascending, `value` (m,) with NaN where the line breaks."""

    at: Floats
    value: Floats


def reduce(
    at: npt.ArrayLike,
    value: npt.ArrayLike,
    columns: int,
    *,
    gap: float | None = None,
    view: tuple[float, float] | None = None,
) -> Reduced:
    """Keep the least and the greatest value of each pixel column, in their order of time.

    Parameters
    ----------
    at : (n,) ascending instants, in any unit (minutes, milliseconds)
    value : (n,) readings; NaN is a break
    columns : how many pixel columns there are, at least 1
    gap : a pause longer than this, in the unit of `at`, breaks the line; None: only NaN does
    view : first and last instant shown, which the columns divide evenly; None: all of it. What
        lies outside the view is left out but for the nearest point on each side.

    Returns
    -------
    Reduced
        At most 2 × `columns` points (2 more when a view cuts the line) and, besides, one NaN
        for each break that lies between two of them. Every point is one of those given; where
        they are few enough all of them come back.

    Raises
    ------
    CurveError
        When the two arrays differ in length or there is no column.
    """
    times, values = np.asarray(at, dtype=float), np.asarray(value, dtype=float)
    if times.shape != values.shape or times.ndim != 1:
        raise CurveError("curves.lengths-differ")
    if columns < 1:
        raise CurveError("curves.no-column")
    broken = _breaks(times, values, gap)
    finite = np.flatnonzero(np.isfinite(values))
    kept = finite[_chosen(times[finite], values[finite], columns, view)]
    return _with_breaks(times, values, kept, broken)


def _breaks(times: Floats, values: Floats, gap: float | None) -> Indices:
    """How many breaks lie before each point, (n,): two points on one line have the same count."""
    finite = np.isfinite(values)
    steps = np.zeros(len(times), np.intp)
    steps[~finite] = 1
    if gap is not None and len(times) > 1:
        steps[1:] += np.diff(times) > gap
    return np.cumsum(steps)


def _chosen(
    times: Floats, values: Floats, columns: int, view: tuple[float, float] | None
) -> npt.NDArray[np.intp]:
    """Which of the finite points to draw, as ascending indices."""
    first, last = (0, len(times)) if view is None else np.searchsorted(times, view)
    if view is not None:
        last = int(np.searchsorted(times, view[1], side="right"))
    inner = np.arange(first, last)
    if len(inner) > 2 * columns:
        low, high = view if view is not None else (times[first], times[last - 1])
        inner = first + _extremes(times[inner], values[inner], columns, float(low), float(high))
    sides = [i for i in (first - 1, last) if view is not None and 0 <= i < len(times)]
    return np.unique(np.concatenate([inner, np.asarray(sides, np.intp)]))


def _extremes(times: Floats, values: Floats, columns: int, low: float, high: float) -> Indices:
    """Indices of the first least and the first greatest value of each column that holds any."""
    span = high - low
    share = (times - low) / span if span > 0 else np.zeros_like(times)
    column = np.clip((share * columns).astype(np.intp), 0, columns - 1)
    starts = np.flatnonzero(np.r_[True, np.diff(column) > 0])
    sizes = np.diff(np.r_[starts, len(times)])
    least = np.repeat(np.minimum.reduceat(values, starts), sizes)
    greatest = np.repeat(np.maximum.reduceat(values, starts), sizes)
    return np.concatenate(
        [_first_of_each(values == least, column), _first_of_each(values == greatest, column)]
    )


def _first_of_each(wanted: Mask, column: Indices) -> Indices:
    """The first index of each column at which `wanted` holds."""
    at = np.flatnonzero(wanted)
    return at[np.flatnonzero(np.r_[True, np.diff(column[at]) > 0])]


def _with_breaks(times: Floats, values: Floats, kept: Indices, broken: Indices) -> Reduced:
    """The kept points, with a NaN halfway between two that a break parts."""
    after = np.flatnonzero(np.diff(broken[kept]) > 0) + 1
    middle = (times[kept][after - 1] + times[kept][after]) / 2
    return Reduced(np.insert(times[kept], after, middle), np.insert(values[kept], after, np.nan))
