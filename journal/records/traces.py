"""Traces: the readings of one kind of one make as arrays, never a record each."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Instants = npt.NDArray[np.int64]
Flags = npt.NDArray[np.uint8]

STRUCK = 1  # kept, shown struck, never computed with
DOUBTFUL = 2  # far from the trend, kept after asking
CORRECTED = 4  # entered afterwards in place of another, or for a past moment


@dataclass(frozen=True)
class Reading:
    """One reading as a person meets it: in the last-five list, the hover, the undo menu.

    `raw` is what the instrument showed, where a check of it says that `value` is the truth.
    """

    make_id: int
    kind: str
    at_ms: int
    value: float
    flags: int = 0
    id: int | None = None  # key in the row log; None once folded into a block
    raw: float | None = None


@dataclass(frozen=True)
class Trace:
    """Readings of one kind, ascending in time: `at_ms` (n,), `value` (n,), `flags` (n,)."""

    kind: str
    at_ms: Instants = field(default_factory=lambda: np.empty(0, np.int64))
    value: Floats = field(default_factory=lambda: np.empty(0, np.float64))
    flags: Flags = field(default_factory=lambda: np.empty(0, np.uint8))

    def __len__(self) -> int:
        return len(self.at_ms)

    def sound(self) -> Trace:
        """The same without struck readings: what every sum works on."""
        unstruck = (self.flags & STRUCK) == 0
        if unstruck.all():
            return self
        return Trace(self.kind, self.at_ms[unstruck], self.value[unstruck], self.flags[unstruck])

    def minutes_from(self, zero_ms: int) -> Floats:
        """Minutes since `zero_ms`, shape (n,)."""
        return (self.at_ms - zero_ms) / 60_000.0

    def between(self, first_ms: int, last_ms: int) -> Trace:
        """The part from `first_ms` to `last_ms`, both included."""
        low, high = np.searchsorted(self.at_ms, [first_ms, last_ms + 1])
        return self.part(int(low), int(high))

    def part(self, first: int, end: int) -> Trace:
        """The readings from one place to before another."""
        cut = slice(first, end)
        return Trace(self.kind, self.at_ms[cut], self.value[cut], self.flags[cut])


@dataclass(frozen=True)
class AirTrace:
    """The air of one room, ascending in time: `at_ms`, `temp_c`, `humidity_pct`, all (n,).

    NaN where a reading lacks one of the two.
    """

    at_ms: Instants
    temp_c: Floats
    humidity_pct: Floats

    def between(self, first_ms: int, last_ms: int) -> AirTrace:
        """The part from `first_ms` to `last_ms`, both included."""
        low, high = np.searchsorted(self.at_ms, [first_ms, last_ms + 1])
        cut = slice(int(low), int(high))
        return AirTrace(self.at_ms[cut], self.temp_c[cut], self.humidity_pct[cut])

    def both(self) -> AirTrace:
        """The instants of which both are known: one that was not read then lies between its own
        readings before and after, where the nearer is not six hours off."""
        temp, pct = (_between(self.at_ms, values) for values in (self.temp_c, self.humidity_pct))
        known = np.isfinite(temp) & np.isfinite(pct)
        return AirTrace(self.at_ms[known], temp[known], pct[known])


_NEAR_MS = 6 * 3_600_000


def _between(at_ms: Instants, values: Floats) -> Floats:
    known = np.isfinite(values)
    if known.all() or not known.any():
        return values
    there = at_ms[known]
    after = np.searchsorted(there, at_ms)
    off = np.minimum(
        np.abs(there[np.minimum(after, len(there) - 1)] - at_ms),
        np.abs(at_ms - there[np.maximum(after - 1, 0)]),
    )
    found = np.interp(at_ms, there, values[known])
    return np.asarray(np.where(off <= _NEAR_MS, found, np.nan), np.float64)
