"""The air of rooms: kept as the instruments showed it, given corrected by their checks."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.keeping.changes import Changes
from journal.keeping.keepers import Keeper
from journal.records import id_of
from journal.records.instants import now_ms
from journal.records.traces import AirTrace, Instants
from journal.records.wheels import WET_BULB, AirCheck, AirReading, Room

_AIR = """
select at_ms, temp_c, humidity_pct, source from air_reading
where room_id = ? and at_ms >= ? order by at_ms, id
"""
_KNOWN = """
select at_ms, temp_c, humidity_pct from air_reading where room_id = ? and at_ms between ? and ?
"""


def read_air(
    db: sqlite3.Connection, checks: Keeper[AirCheck], room_id: int, since_ms: int = 0
) -> AirTrace:
    """The air of a room from an instant on, its humidity corrected by the instrument's checks."""
    rows = db.execute(_AIR, (room_id, since_ms)).fetchall()
    at_ms = np.array([row[0] for row in rows], np.int64)
    values = np.array([row[1:3] for row in rows], np.float64).reshape(-1, 2)  # None becomes NaN
    found = checks.where(room_id=room_id)
    if found:
        sources = np.array([row[3] for row in rows], object)
        _correct(at_ms, values[:, 1], sources, found)
    return AirTrace(at_ms, values[:, 0], values[:, 1])


def _correct(
    at_ms: Instants, pct: np.ndarray, sources: np.ndarray, checks: Sequence[AirCheck]
) -> None:
    """Turn what was shown into what is, in place, each by the last check of its instrument.

    A check that names none is of all instruments that have none of their own; two bulbs need none.
    """
    shown = pct.copy()
    named = [check.source for check in checks if check.source]
    of_all = ~np.isin(sources.astype(str), [*named, WET_BULB])
    for check in sorted(checks, key=lambda one: one.at_ms):
        slope, offset = check.line
        later = (at_ms >= check.at_ms) & (sources == check.source if check.source else of_all)
        pct[later] = np.clip(slope * shown[later] + offset, 0.0, 100.0)


@dataclass(frozen=True)
class LastAir:
    """The air of a room when it was last read: each of the two at its own time."""

    room: Room
    at_ms: int | None = None
    temp_c: float | None = None
    humidity_pct: float | None = None


class AirKeeper:
    """Keeps the air of rooms. Typed readings are an act each, a file is one."""

    def __init__(
        self,
        db: sqlite3.Connection,
        changes: Changes,
        rooms: Keeper[Room],
        airs: Keeper[AirReading],
        checks: Keeper[AirCheck],
    ) -> None:
        self._db, self._changes = db, changes
        self._rooms, self._airs, self._checks = rooms, airs, checks

    def note(self, reading: AirReading) -> AirReading:
        """Keep one reading."""
        with self._changes.unit("keeping.act-air", room=self._rooms.get(reading.room_id).name):
            return self._airs.save(reading)

    def bring(self, room: Room, readings: Sequence[AirReading]) -> int:
        """Keep readings that are not there yet, as one act; how many were not."""
        if not readings:
            return 0
        span = min(one.at_ms for one in readings), max(one.at_ms for one in readings)
        there = set(self._db.execute(_KNOWN, (room.id, *span)).fetchall())
        fresh = [o for o in readings if (o.at_ms, o.temp_c, o.humidity_pct) not in there]
        if fresh:
            with self._changes.unit("keeping.act-air", room=room.name):
                self._airs.save_many(fresh)
        return len(fresh)

    def check(self, check: AirCheck) -> AirCheck:
        """Keep a check of a room's hygrometer; ReckoningError where its readings make no line."""
        _ = check.line
        room = self._rooms.get(check.room_id).name
        with self._changes.unit("keeping.act-air-check", room=room):
            return self._checks.save(check)

    def trace(self, room_id: int, since_ms: int = 0) -> AirTrace:
        """The air of a room from an instant on."""
        return read_air(self._db, self._checks, room_id, since_ms)

    def last(self, room: Room, at_ms: int | None = None) -> LastAir:
        """The air of a room when it was last read before an instant (None: now)."""
        until = now_ms() if at_ms is None else at_ms
        since = self._db.execute(
            "select min(at_ms) from (select at_ms from air_reading where room_id = ? and at_ms <= ?"
            " order by at_ms desc limit 50)",
            (room.id, until),
        ).fetchone()[0]
        if since is None:
            return LastAir(room)
        trace = self.trace(id_of(room), since).between(since, until)
        temp, pct = (_last(values) for values in (trace.temp_c, trace.humidity_pct))
        return LastAir(room, int(trace.at_ms[-1]), temp, pct)


def _last(values: np.ndarray) -> float | None:
    known = values[np.isfinite(values)]
    return float(known[-1]) if len(known) else None
