"""Readings as they are to be read: what the file holds is raw, checks of instruments correct it."""

from __future__ import annotations

import sqlite3

import numpy as np

from journal.keeping.rows import NOUNS
from journal.records.calibrations import Calibration, Checks
from journal.records.traces import Floats

_MARK = """
create temp table checks_mark (turn integer not null);
insert into temp.checks_mark values (random());
"""
_TRIGGER = """
create temp trigger "checks_{event}" after {event} on main.calibration
begin update checks_mark set turn = random(); end
"""


class Checked:
    """The checks of the kitchen's instruments, and what they make of readings.

    A check holds for every make after it, so all are looked at. They are read from the file once
    and again only when they changed: here (a mark that triggers renew, also through undo and a
    unit that failed) or by another program (SQLite's data version).
    """

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db
        self._known: tuple[int, int] | None = None
        self._all = Checks()
        if not db.execute("select 1 from temp.sqlite_master where name = 'checks_mark'").fetchone():
            for statement in _MARK.strip().split(";\n"):
                db.execute(statement)
            for event in ("insert", "update", "delete"):
                db.execute(_TRIGGER.format(event=event))

    @property
    def all(self) -> Checks:
        """The checks as they stand in the file now."""
        mark = self._db.execute("select turn from temp.checks_mark").fetchone()
        version = self._db.execute("pragma data_version").fetchone()
        if self._known != (mark[0], version[0]):
            self._all = Checks(_read(self._db))
            self._known = (mark[0], version[0])
        return self._all

    def value(self, kind: str, source: str, at_ms: int, raw: float) -> float:
        """One raw reading, corrected."""
        checks = self.all
        if not checks:
            return raw
        return float(checks.values(kind, source, np.array([at_ms]), np.array([raw]))[0])

    def table(self, kind: str, source: str, raw: Floats) -> Floats:
        """Rows (n, 3) of instant, low and high, the values corrected."""
        checks = self.all
        if not checks:
            return raw
        at = raw[:, 0].astype(np.int64)
        values = [checks.values(kind, source, at, raw[:, column]) for column in (1, 2)]
        return np.stack([raw[:, 0], *values], axis=1)


def _read(db: sqlite3.Connection) -> list[Calibration]:
    noun = NOUNS["calibration"]
    quoted = ", ".join(f'"{column}"' for column in noun.columns())
    rows = db.execute(f"select {quoted}, id from calibration order by at_ms, id")
    return [noun.back(row) for row in rows]
