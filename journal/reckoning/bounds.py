"""What no sum can take is refused here: one sentence for each kind of impossible input."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

from journal.reckoning import ReckoningError

Floats = npt.NDArray[np.float64]
Numbers = float | Floats


def require(fits: Any, sentence: str) -> None:
    """Refuse with `sentence` unless all of `fits` (one truth or an array of them) holds."""
    if not np.all(fits):
        raise ReckoningError(sentence)


def above(value: Numbers, low: float, what: str, unit: str = "") -> None:
    """Refuse a value that is not a finite number above `low`."""
    fits = np.isfinite(value) & (np.asarray(value) > low)
    require(
        fits, f"The {what} must be more than {_shown(low, unit)}, not {_first(value, fits, unit)}."
    )


def at_least(value: Numbers, low: float, what: str, unit: str = "") -> None:
    """Refuse a value that is not a finite number of at least `low`."""
    fits = np.isfinite(value) & (np.asarray(value) >= low)
    require(
        fits, f"The {what} must be {_shown(low, unit)} or more, not {_first(value, fits, unit)}."
    )


def within(value: Numbers, low: float, high: float, what: str, unit: str = "") -> None:
    """Refuse a value outside `low` to `high`, both included."""
    array = np.asarray(value)
    fits = (array >= low) & (array <= high)
    require(
        fits,
        f"The {what} must lie between {low:g} and {_shown(high, unit)}, "
        f"not at {_first(value, fits, unit)}.",
    )


def part(pct: Numbers, what: str) -> None:
    """Refuse a percentage outside 0 to 100."""
    within(pct, 0, 100, what, "%")


def outside(value: Numbers, low: float, high: float) -> bool:
    """Whether any of the values lies outside a published range."""
    array = np.asarray(value)
    return bool(np.any((array < low) | (array > high)))


def plain(value: Any) -> Numbers:
    """A float for a single number, else an array of floats."""
    array = np.asarray(value, dtype=np.float64)
    return float(array) if array.ndim == 0 else array


def each(one: Callable[..., float], *values: Numbers) -> Numbers:
    """A sum of single numbers over numbers or arrays, these broadcast against each other."""
    arrays = np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in values))
    flat = zip(*(array.ravel().tolist() for array in arrays), strict=True)
    return plain(np.array([one(*row) for row in flat]).reshape(arrays[0].shape))


def listed(one: Callable[..., Any], *values: Numbers) -> Any:
    """What `one` says of single numbers; over arrays a list of it, an entry an element."""
    if all(np.ndim(value) == 0 for value in values):
        return one(*values)
    arrays = np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in values))
    return [one(*row) for row in zip(*(array.ravel().tolist() for array in arrays), strict=True)]


def _shown(value: float, unit: str) -> str:
    return f"{value:g} {unit}".rstrip()


def _first(value: Numbers, fits: Any, unit: str) -> str:
    """The first value that does not fit, as a sentence shows it."""
    wrong = np.ravel(value)[~np.ravel(fits)]
    return _shown(float(wrong[0]), unit) if wrong.size else "nothing"
