"""The air about each wheel of a journal, in all rooms it stood in."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.stays import MOVE, RoomStay, air_through, moves_of, stays_of
from journal.records.traces import AirTrace
from journal.records.wheels import Room, Wheel

RECENT = 300  # makes


def recent_wheels(journal: Journal) -> list[Wheel]:
    """The wheels that are still there and those of the newest makes, which tell how this kitchen's
    cheese dries and ripens now; with what they were cut from."""
    makes = [id_of(make) for make in journal.makes.newest(RECENT)]
    found = [*journal.wheels.of_any("make_id", makes), *journal.wheels.where(gone_ms=None)]
    return _with_parents(journal, found)


def _with_parents(journal: Journal, wheels: Iterable[Wheel]) -> list[Wheel]:
    found = {id_of(wheel): wheel for wheel in wheels}
    while missing := {w.cut_from_id for w in found.values() if w.cut_from_id is not None} - set(
        found
    ):
        more = {id_of(wheel): wheel for wheel in journal.wheels.of_any("id", missing)}
        if not more:
            break
        found |= more
    return [found[key] for key in sorted(found)]


class WheelAirs:
    """The rooms, their air and the moves of some wheels, read once."""

    def __init__(self, journal: Journal, of: Iterable[Wheel]) -> None:
        wheels = _with_parents(journal, of)
        self.rooms: dict[int | None, Room] = {room.id: room for room in journal.rooms.all()}
        self._airs = {id_of(room): journal.air.trace(id_of(room)) for room in self.rooms.values()}
        self._wheels: dict[int | None, Wheel] = {one.id: one for one in wheels}
        self._moves = moves_of(journal.cares.of_any("wheel_id", self._wheels, kind=MOVE))

    def through(self, wheel: Wheel, first_ms: int, last_ms: int) -> AirTrace:
        """The air about a wheel between two instants."""
        return air_through(self._stays(wheel, first_ms, last_ms), self._airs)

    def degree_days(self, wheel: Wheel, first_ms: int, last_ms: int, usual_c: float) -> float:
        """°C × days of a wheel; where nothing was read, as its rooms are wanted, else as usual."""
        total = 0.0
        for stay in self._stays(wheel, first_ms, last_ms):
            temp_c = air_through([stay], self._airs).temp_c
            known = temp_c[np.isfinite(temp_c)]
            wanted = wanted_c(self.rooms.get(stay.room_id), usual_c)
            days = (stay.until_ms - stay.from_ms) / DAY_MS
            total += days * (float(known.mean()) if len(known) else wanted)
        return total

    def _stays(self, wheel: Wheel, first_ms: int, last_ms: int) -> list[RoomStay]:
        return stays_of(wheel, self._wheels, self._moves, first_ms, last_ms)


def wanted_c(room: Room | None, usual_c: float) -> float:
    """The temperature wanted of a room, the usual one where nobody said."""
    return usual_c if room is None or room.target_c is None else max(room.target_c, 1.0)
