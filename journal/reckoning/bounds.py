"""What no sum can take is refused here: one message for each kind of impossible input.

`what` is the id of a noun, "reckoning.fat-of-milk", that stands in the message as one of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

from journal.message import Message
from journal.reckoning import ReckoningError

Floats = npt.NDArray[np.float64]
Numbers = float | Floats


def require(fits: Any, warnings: str, /, **values: Any) -> None:
    """Refuse with that message unless all of `fits` (one truth or an array of them) holds."""
    if not np.all(fits):
        raise ReckoningError(warnings, **values)


def above(value: Numbers, low: float, what: str, unit: str = "") -> None:
    """Refuse a value that is not a finite number above `low`."""
    fits = np.isfinite(value) & (np.asarray(value) > low)
    found = _first_wrong(value, fits)
    require(fits, "reckoning.not-above", what=Message(what), low=low, found=found, unit=unit)


def at_least(value: Numbers, low: float, what: str, unit: str = "") -> None:
    """Refuse a value that is not a finite number of at least `low`."""
    fits = np.isfinite(value) & (np.asarray(value) >= low)
    found = _first_wrong(value, fits)
    require(fits, "reckoning.not-at-least", what=Message(what), low=low, found=found, unit=unit)


def within(value: Numbers, low: float, high: float, what: str, unit: str = "") -> None:
    """Refuse a value outside `low` to `high`, both included."""
    array = np.asarray(value)
    fits = (array >= low) & (array <= high)
    bounds: dict[str, Any] = {"low": low, "high": high, "unit": unit}
    found = _first_wrong(value, fits)
    require(fits, "reckoning.not-within", what=Message(what), found=found, **bounds)


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


def _first_wrong(value: Numbers, fits: Any) -> float | None:
    """The first value that does not fit; None where there is none."""
    wrong = np.ravel(value)[~np.ravel(fits)]
    return float(wrong[0]) if wrong.size else None
