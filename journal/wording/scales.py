"""What an axis shows: its range, round values in it, and where values are missing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from journal.curves.surface import Span
from journal.wording.numbers import minus
from journal.wording.shown import shown_difference, shown_value, stored_value, unit_label


def value_range(
    parts: Iterable[npt.ArrayLike],
    *,
    least: float,
    below: float,
    above: float,
    empty: Span = (0.0, 40.0),
) -> Span:
    """From the lowest to the highest of all that is finite, with shares of that span (`least` at
    the least) left free `below` and `above`; `empty` where there is nothing."""
    values = finite(parts)
    if not len(values):
        return empty
    low, high = float(values.min()), float(values.max())
    room = max(high - low, least)
    return low - below * room, high + above * room


def finite(parts: Iterable[npt.ArrayLike]) -> np.ndarray:
    """All finite values of the parts in one row."""
    values = np.concatenate([np.empty(0), *(np.ravel(part).astype(float) for part in parts)])
    known: np.ndarray = values[np.isfinite(values)]
    return known


def step_for(span: float, sizes: Sequence[float], most: float) -> float:
    """The smallest of the sizes that divides a span into `most` steps or fewer; else the last."""
    return next((size for size in sizes if span / size <= most), sizes[-1])


def round_values(
    low: float,
    high: float,
    sizes: Sequence[float],
    most: float = 7,
    *,
    below: float = 0.0,
    above: float = 0.0,
) -> list[float]:
    """Round values inside a range, in steps of which it holds `most`; shares of it stay free of
    them at either end, where the unit or a name stands."""
    span = high - low
    step = step_for(span, sizes, most)
    first, last = np.ceil((low + below * span) / step), np.floor((high - above * span) / step)
    return [float(i * step) + 0.0 for i in np.arange(first, last + 1)]


# The units of axes that may be shown in another, and the sizes of steps that are round there.
UNITS_SHOWN = {"°C": "temperature", "kg": "mass"}
_STEPS = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)


def ruled(
    values: Sequence[float], shown: Span, digits: int, unit: str
) -> tuple[Sequence[float], list[tuple[float, str]], str]:
    """Round values of an axis in the unit that is chosen: where they stand on it, each with its
    name, and the unit. Those about zero are differences, and stay where they stand."""
    quantity = UNITS_SHOWN[unit]
    label = unit_label(quantity)
    if label == unit or not len(values):
        return values, named(values, digits), unit
    if min(values) < 0 < max(values) and min(values) == -max(values):
        return values, [(v, minus(shown_difference(v))) for v in values], label
    low, high = (shown_value(value, quantity) for value in (min(values), max(values)))
    room = shown_value(shown[0], quantity), shown_value(shown[1], quantity)
    most = max(len(values), 2) + 1
    more = 0.1 * (high - low)
    there = round_values(max(low - more, room[0]), min(high + more, room[1]), _STEPS, most)
    stored = [stored_value(value, quantity) for value in there]
    names = [words for _, words in named(there, 0)]
    return stored, list(zip(stored, names, strict=True)), label


def named(values: Sequence[float], digits: int) -> list[tuple[float, str]]:
    """Values with their names, in so many digits that each says where it stands."""
    apart = min(np.diff(np.sort(values)), default=1.0)
    more = 0
    while more < 3 and np.abs(np.round(values, digits + more) - values).max(initial=0) > apart / 50:
        more += 1
    return [(value, minus(f"{value:.{digits + more}f}")) for value in values]


def even_scale(
    parts: Iterable[npt.ArrayLike], least: float, sizes: Sequence[float], most: float
) -> tuple[Span, list[float]]:
    """A range that begins and ends at a round value, and its round values: what one marks by hand
    is counted from either edge."""
    values = finite(parts)
    low, high = (float(values.min()), float(values.max())) if len(values) else (0.0, 40.0)
    if high - low < least:
        low, high = (low + high - least) / 2, (low + high + least) / 2
    step = step_for(high - low, sizes, most)
    first, last = round(np.floor(low / step - 0.3)), round(np.ceil(high / step + 0.3))
    marks = [float(first * step + i * step) for i in range(last - first + 1)]
    return (marks[0], marks[-1]), marks


def finite_runs(values: np.ndarray, least: int = 1) -> list[slice]:
    """The stretches without NaN that hold `least` values or more."""
    good = np.isfinite(values)
    edges = np.flatnonzero(np.diff(np.r_[False, good, False].astype(int)))
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return [slice(int(a), int(b)) for a, b in pairs if b - a >= least]


def nearest(
    at: np.ndarray, value: np.ndarray, x: float, within: float = np.inf
) -> tuple[float, float] | None:
    """The point of a curve nearest to `x`, None where there is none so near."""
    known = np.isfinite(value)
    at, value = at[known], value[known]
    if not len(at):
        return None
    i = int(np.argmin(np.abs(at - x)))
    return (float(at[i]), float(value[i])) if abs(at[i] - x) <= within else None
