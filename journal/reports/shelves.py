"""The shelves of Ageing: wheels that lie together, the air about them, what they want, and the care
of the coming week."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from journal.keeping import Journal
from journal.records.due import TASTE
from journal.records.instants import DAY_MS
from journal.records.wheels import Room
from journal.reports.wheels import ShelfRow
from journal.wording.care import care_name

# What is done with the wheel in the hand; the scale, a tasting and another room want more.
_ASKS = ("weigh", TASTE, "move")
_RECENT_DAYS = 2  # the air is said as it was measured last, if that is not longer ago
NEAR_C, NEAR_PCT = 2.0, 5.0  # about a room's aim; common practice, no source
WEEK = 7


@dataclass(frozen=True)
class Shelf:
    """Wheels that lie together: the room's key (None: no room yet), what it is called, its wheels;
    its air as measured last in words, "" where it was not, and whether that is out of range."""

    room_id: int | None
    name: str
    rows: tuple[ShelfRow, ...]
    air: str = ""
    outside: bool = False

    def wanting(self, kind: str) -> list[ShelfRow]:
        """Those that want that care today, or did before."""
        return [row for row in self.rows if any(d.kind == kind for d in row.due)]

    def errand(self, first: ShelfRow | None = None) -> str:
        """The care that can be given to the whole shelf now: what the first wheel wants, else what
        waits longest; "" where there is none."""
        rows = [*([first] if first is not None else []), *sorted(self.rows, key=_waits)]
        kinds = [due.kind for row in rows for due in row.due if due.kind not in _ASKS]
        return kinds[0] if kinds else ""


@dataclass(frozen=True)
class CareDay:
    """A day of the coming week: what falls due, such as "turn 3"; today has what is late too."""

    on: date
    words: tuple[str, ...]


def shelves_of(journal: Journal, rows: Sequence[ShelfRow], now_ms: int) -> list[Shelf]:
    """The wheels, shelf by shelf, and rooms that are empty behind them."""
    rooms = {room.id: room for room in journal.rooms.all()}
    out: list[Shelf] = []
    for room_id, found in groupby(rows, key=_room):
        some = tuple(found)
        air, outside = _air(journal, rooms.get(room_id), now_ms)
        out.append(Shelf(room_id, some[0].room, some, air, outside))
    lying = {shelf.room_id for shelf in out}
    out += [Shelf(room.id, room.name, ()) for room in rooms.values() if room.id not in lying]
    return out


def week_of(rows: Sequence[ShelfRow], today: date) -> list[CareDay]:
    """What falls due on each of the next seven days, today first."""
    days: list[CareDay] = []
    for number in range(WEEK):
        on = today + timedelta(days=number)
        due = [d for row in rows for d in row.dues if max(d.on, today) == on]
        kinds = Counter(care_name(d.kind) for d in due)
        days.append(CareDay(on, tuple(f"{kind} {count}" for kind, count in kinds.most_common())))
    return days


def _air(journal: Journal, room: Room | None, now_ms: int) -> tuple[str, bool]:
    """ "11.4 °C, 84 %, in range" """
    if room is None or room.id is None:
        return "", False
    trace = journal.duties.air(room.id, now_ms - _RECENT_DAYS * DAY_MS)
    if not len(trace.at_ms):
        return "", False
    parts, outside = [], False
    for values, aim, near, unit in (
        (trace.temp_c, room.target_c, NEAR_C, "{:.1f} °C"),
        (trace.humidity_pct, room.target_humidity_pct, NEAR_PCT, "{:.0f} %"),
    ):
        known = values[values == values]  # without NaN
        if len(known):
            parts.append(unit.format(known[-1]))
            outside = outside or (aim is not None and abs(known[-1] - aim) > near)
    if room.target_c is None and room.target_humidity_pct is None:
        return ", ".join(parts), False
    return ", ".join([*parts, "out of range" if outside else "in range"]), outside


def _room(row: ShelfRow) -> int | None:
    return row.life.wheel.room_id


def _waits(row: ShelfRow) -> date:
    return row.dues[0].on if row.dues else date.max
