"""The air of rooms as a person meets it: how it is now, and what is outside."""

from __future__ import annotations

from dataclasses import dataclass

from journal.keeping import Journal
from journal.keeping.airs import LastAir
from journal.records import id_of
from journal.records.air_range import AirSpell, DayAir, day_cells, out_now
from journal.records.instants import DAY_MS
from journal.records.wheels import Room
from journal.wording.wheels import spell_words

_LOOKED_AT_MS = 15 * DAY_MS  # a room that is out for longer is told as out for so long


@dataclass(frozen=True)
class RoomNow:
    """A room: its air when last read, the spells outside that go on, in a sentence or ""."""

    last: LastAir
    spells: tuple[AirSpell, ...]
    out: str

    @property
    def room(self) -> Room:
        """The room."""
        return self.last.room


def room_now(journal: Journal, room: Room, now_ms: int) -> RoomNow:
    """How a room is."""
    trace = journal.air.trace(id_of(room), now_ms - _LOOKED_AT_MS)
    going = tuple(out_now(trace, room, now_ms))
    words = "; ".join(spell_words(spell, now_ms, journal.zone) for spell in going)
    return RoomNow(journal.air.last(room, now_ms), going, words)


def rooms_out(journal: Journal, now_ms: int) -> list[RoomNow]:
    """The rooms with wheels in them that have been outside what they allow for an hour or more."""
    used = journal.care_tasks.rooms_used()
    rooms = [room for room in journal.rooms.all() if room.id in used]
    return [one for one in (room_now(journal, room, now_ms) for room in rooms) if one.spells]


def days_of(journal: Journal, room: Room, since_ms: int = 0) -> list[DayAir]:
    """Each day of a room that was read, from an instant on."""
    return day_cells(journal.air.trace(id_of(room), since_ms), room, journal.zone)
