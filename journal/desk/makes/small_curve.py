"""The small curve of a make in the list: read when it is first painted, then remembered."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from journal.desk.charts.marks import LineMark
from journal.keeping import Journal, KeepingError

COLUMNS = 48
ENOUGH = 24  # a trace with fewer points in its outline is short enough to read whole
BOTTOM_C, TOP_C = 0.0, 58.0  # one scale for all makes: from cold milk to the hottest cook

Outline = tuple[np.ndarray, np.ndarray]


class SmallCurves:
    """The milk's temperature of a make, for a cell."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._read: dict[int, Outline] = {}

    def forget(self, makes: Iterable[int]) -> None:
        """What was read of these makes is old; with none named, all of it is."""
        for make_id in list(makes) or list(self._read):
            self._read.pop(make_id, None)

    def marks(self, make_id: int, wide: float, high: float, role: str) -> list[LineMark]:
        """The curve of a make, nothing where it has no temperature."""
        share, value = self._outline(make_id)
        if len(share) < 2:
            return []
        height = (np.clip(value, BOTTOM_C, TOP_C) - BOTTOM_C) / (TOP_C - BOTTOM_C)
        x, y = 12 + share * (wide - 24), high - 7 - height * (high - 12)
        return [LineMark(x, y, role, 1.3)]

    def _outline(self, make_id: int) -> Outline:
        """Share of the make's length (0 to 1) and °C; nothing where the file is damaged."""
        if make_id not in self._read:
            try:
                at, middle = self._points(make_id)
            except KeepingError:
                at, middle = np.empty(0), np.empty(0)
            span = float(at[-1] - at[0]) if len(at) > 1 else 0.0
            share = (at - at[0]) / span if span > 0 else np.empty(0)
            self._read[make_id] = (share, middle if span > 0 else np.empty(0))
        return self._read[make_id]

    def _points(self, make_id: int) -> Outline:
        """Instants (ms) and °C."""
        at, low, high = self._journal.readings.outline(make_id, "milk-temp", COLUMNS)
        good = np.isfinite(low) & np.isfinite(high)
        at, middle = at[good], (low[good] + high[good]) / 2
        if len(at) >= ENOUGH:
            return at, middle
        whole = self._journal.readings.trace(make_id, "milk-temp").sound()
        every = slice(None, None, max(1, len(whole) // (2 * COLUMNS)))
        return whole.at_ms[every], whole.value[every]
