"""The shelves of Ageing: wheels that lie together, the air about them, what they want, and the care
of the coming week."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

import numpy as np

from journal.keeping import Journal
from journal.records import id_of
from journal.records.due import TASTE
from journal.records.instants import DAY_MS, from_datetime, local
from journal.records.wheels import Room
from journal.reports.air import room_now
from journal.reports.wheels import ShelfRow
from journal.wording import worded
from journal.wording.care import care_name
from journal.wording.shown import write

# What is done with the wheel in the hand; the scale, a tasting and another room want more.
_ASKS = ("weigh", TASTE, "move")
_HOUR_MS = DAY_MS // 24
_DAY_MOST_MS = 25 * _HOUR_MS  # the longest day there is
_RECENT_DAYS = 2  # the air is said as it was measured last, if that is not longer ago
WEEK = 7


@dataclass(frozen=True)
class Shelf:
    """Wheels that lie together: the room's key (None: no room yet), what it is called, its wheels;
    its air as measured last in words, "" where it was not or was said before, and whether that is
    out of range; the shelf of the room, "" where it has none."""

    room_id: int | None
    name: str
    rows: tuple[ShelfRow, ...]
    air: str = ""
    outside: bool = False
    shelf: str = ""

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


@dataclass(frozen=True)
class HourAir:
    """An hour of a day of a room: the means of what was read, NaN where nothing was."""

    hour: int
    temp_c: float
    humidity_pct: float


def hours_of(journal: Journal, room: Room, on: date) -> list[HourAir]:
    """The hours of a day that were read, by the kitchen's clock."""
    begin = from_datetime(datetime(on.year, on.month, on.day), journal.zone)
    trace = journal.air.trace(id_of(room), begin).between(begin, begin + _DAY_MOST_MS)
    hours = trace.at_ms // _HOUR_MS
    out = []
    for hour in np.unique(hours):
        at = local(int(hour) * _HOUR_MS, journal.zone)
        here = hours == hour
        if at.date() == on:
            means = (_mean(values[here]) for values in (trace.temp_c, trace.humidity_pct))
            out.append(HourAir(at.hour, *means))
    return out


def _mean(values: np.ndarray) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if len(known) else float("nan")


def shelves_of(journal: Journal, rows: Sequence[ShelfRow], now_ms: int) -> list[Shelf]:
    """The wheels, shelf by shelf, with shelves that are empty behind those of their room, and rooms
    that are behind all."""
    rooms = {room.id: room for room in journal.rooms.all()}
    out: list[Shelf] = []
    for (room_id, shelf), found in groupby(rows, key=_place):
        some, first = tuple(found), room_id not in {one.room_id for one in out}
        air, outside = _air(journal, rooms.get(room_id), now_ms) if first else ("", False)
        name = f"{some[0].room}, {shelf}" if shelf else some[0].room
        out.append(Shelf(room_id, name, some, air, outside, shelf))
    for room in rooms.values():
        own = [number for number, shelf in enumerate(out) if shelf.room_id == room.id]
        taken = {out[number].shelf for number in own}
        free = [s for s in room.shelves if s not in taken]
        empty = [Shelf(room.id, f"{room.name}, {s}", (), shelf=s) for s in free]
        if not own and not empty:
            empty = [Shelf(room.id, room.name, ())]
        at = own[-1] + 1 if own else len(out)
        out[at:at] = empty
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
    """ "11.4 °C, 84 %, in range", or since when it is out of range."""
    if room is None:
        return "", False
    now = room_now(journal, room, now_ms)
    last = now.last
    if last.at_ms is None or last.at_ms < now_ms - _RECENT_DAYS * DAY_MS:
        return "", False
    if now.out:
        return now.out, True
    parts = [
        write(value, kind, digits=digits)
        for value, kind, digits in (
            (last.temp_c, "temperature", 1),
            (last.humidity_pct, "humidity", 0),
        )
        if value is not None
    ]
    wanted = room.range_c is not None or room.range_pct is not None
    return ", ".join([*parts, *([worded("reports.in-range")] if wanted else [])]), False


def _place(row: ShelfRow) -> tuple[int | None, str]:
    return row.life.wheel.room_id, row.life.wheel.shelf


def _waits(row: ShelfRow) -> date:
    return row.dues[0].on if row.dues else date.max
