"""Readings that keep arriving: appended to the log by the row, with ids that never come twice."""

from __future__ import annotations

import sqlite3

import numpy as np

from journal.keeping.blocks import unpack
from journal.records.instants import now_ms
from journal.records.traces import Flags, Floats, Instants


class Ids:
    """Gives ids for new rows that no row had while the journal is open.

    What was undone may come back under its old id, and a stream goes on beside it.
    """

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db
        self._top: dict[str, int] = {}

    def fresh(self, table: str) -> int:
        """The next id of that table."""
        row = self._db.execute(f'select max(id) from main."{table}"').fetchone()
        self._top[table] = max(self._top.get(table, 0), row[0] or 0) + 1
        return self._top[table]

    def fresh_run(self, table: str, count: int) -> range:
        """So many ids in a row."""
        first = self.fresh(table)
        self._top[table] = first + count - 1
        return range(first, first + count)


def append_rows(
    db: sqlite3.Connection, ids: Ids, trace_id: int, at_ms: Instants, value: Floats, flags: Flags
) -> None:
    """Append readings to the log, a row each."""
    saved = now_ms()
    keys = ids.fresh_run("reading_log", len(at_ms))
    db.executemany(
        "insert into reading_log (id, trace_id, at_ms, value, flags, kept_ms) "
        "values (?, ?, ?, ?, ?, ?)",
        [
            (key, trace_id, at, number, mark, saved)
            for key, at, number, mark in zip(
                keys, at_ms.tolist(), value.tolist(), flags.tolist(), strict=True
            )
        ],
    )


def near(
    db: sqlite3.Connection, make_id: int, kind: str, first_ms: int, last_ms: int
) -> tuple[Instants, Floats]:
    """What is kept of a make and kind between two instants, any source; not in order."""
    parts = []
    for first, count, coding, at, value, flags in db.execute(
        "select b.first_ms, b.count, b.coding, b.at, b.value, b.flags "
        "from reading_block b join trace t on t.id = b.trace_id "
        "where t.make_id = ? and t.kind = ? and b.first_ms <= ? and b.last_ms >= ?",
        (make_id, kind, last_ms, first_ms),
    ):
        instants, values, _ = unpack(first, count, coding, at, value, flags)
        parts.append((instants, values))
    logged = db.execute(
        "select l.at_ms, l.value from reading_log l join trace t on t.id = l.trace_id "
        "where t.make_id = ? and t.kind = ? and l.at_ms between ? and ?",
        (make_id, kind, first_ms, last_ms),
    ).fetchall()
    if logged:
        table = list(zip(*logged, strict=True))
        parts.append((np.array(table[0], np.int64), np.array(table[1], np.float64)))
    if not parts:
        return np.empty(0, np.int64), np.empty(0)
    return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])


def only_new(saved: tuple[Instants, Floats], at_ms: Instants, value: Floats) -> Instants:
    """Which readings are not yet kept, in order of time and each once; places, shape (n,)."""
    all_at = np.concatenate([saved[0], at_ms])
    all_value = np.concatenate([saved[1], value])
    fresh = np.arange(len(all_at)) >= len(saved[0])
    order = np.lexsort((fresh, all_value, all_at))
    all_at, all_value, fresh = all_at[order], all_value[order], fresh[order]
    double = np.zeros(len(order), bool)
    double[1:] = (np.diff(all_at) == 0) & (np.diff(all_value) == 0)
    return order[fresh & ~double] - len(saved[0])
