"""Readings as they are to be read: what the file holds is raw, checks of instruments correct it."""

from __future__ import annotations

import sqlite3

import numpy as np

from journal.keeping.rows import NOUNS
from journal.records.calibrations import Calibration, corrected
from journal.records.traces import Floats, Instants


class Checked:
    """The checks of one make's instruments, and what they make of its readings."""

    def __init__(self, db: sqlite3.Connection, make_id: int) -> None:
        noun = NOUNS["calibration"]
        quoted = ", ".join(f'"{column}"' for column in noun.columns())
        rows = db.execute(
            f"select {quoted}, id from calibration where make_id = ? order by id", (make_id,)
        )
        self._all: list[Calibration] = [noun.back(row) for row in rows]

    def __bool__(self) -> bool:
        return bool(self._all)

    def values(self, kind: str, source: str, at_ms: Instants, raw: Floats) -> Floats:
        """Raw readings (n,) of a kind and source, corrected."""
        return corrected(self._all, kind, source, at_ms, raw) if self._all else raw

    def value(self, kind: str, source: str, at_ms: int, raw: float) -> float:
        """One raw reading, corrected."""
        if not self._all:
            return raw
        return float(self.values(kind, source, np.array([at_ms]), np.array([raw]))[0])

    def table(self, kind: str, source: str, raw: Floats) -> Floats:
        """Rows (n, 3) of instant, low and high, the values corrected."""
        at = raw[:, 0].astype(np.int64)
        values = [self.values(kind, source, at, raw[:, column]) for column in (1, 2)]
        return np.stack([raw[:, 0], *values], axis=1)
