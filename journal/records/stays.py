"""Where a wheel stood over its life, room by room, and the air it had there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from journal.records import id_of
from journal.records.air_range import days_outside
from journal.records.instants import DAY_MS
from journal.records.traces import AirTrace, Floats
from journal.records.wheels import Care, Room, Wheel

MOVE = "move"
# A reading speaks for so many days before and after it: one a week is enough (common practice, no
# source). Of a wheel with fewer than half of its days known nothing is told.
_SPEAKS_DAYS = 3
_SPEAKS_MS = _SPEAKS_DAYS * DAY_MS
_LEAST_KNOWN = 0.5
NONE = float("nan")


@dataclass(frozen=True)
class RoomStay:
    """A time in one room, from an instant on until another; `room_id` None where nobody knows."""

    room_id: int | None
    from_ms: int
    until_ms: int


@dataclass(frozen=True)
class AirHad:
    """The air a wheel had: means, days outside what its rooms allow, °C × days; NaN where it was
    read too seldom. `known_days` of its `days` are known."""

    days: float
    known_days: float
    temp_c: float = NONE
    humidity_pct: float = NONE
    days_out: float = NONE
    degree_days: float = NONE


NO_AIR = AirTrace(np.empty(0, np.int64), np.empty(0), np.empty(0))


def stays_of(
    wheel: Wheel,
    wheels: Mapping[int | None, Wheel],
    moves: Mapping[int, Sequence[Care]],
    first_ms: int,
    last_ms: int,
) -> list[RoomStay]:
    """Where a wheel stood between two instants, in their order; a piece stood where the wheel did
    that it was cut from. `wheels` has those, `moves` the moves of each."""
    found: list[RoomStay] = []
    until = last_ms
    one: Wheel | None = wheel
    while one is not None and until > first_ms:
        up = wheels.get(one.cut_from_id) if one.cut_from_id is not None else None
        begun = first_ms if up is None or up.gone_ms is None else max(up.gone_ms, first_ms)
        found = _own(one, moves.get(id_of(one), []), begun, until) + found
        one, until = up, min(until, begun)
    return found


def moves_of(cares: Iterable[Care]) -> dict[int, list[Care]]:
    """The moves among care, by wheel."""
    found: dict[int, list[Care]] = {}
    for care in cares:
        if care.kind == MOVE:
            found.setdefault(care.wheel_id, []).append(care)
    return found


def moved_in_order(moves: Iterable[Care]) -> list[Care]:
    """The moves of one wheel as they were made."""
    return sorted((care for care in moves if care.kind == MOVE), key=_when)


def _when(care: Care) -> int:
    return care.at_ms


def _own(wheel: Wheel, moves: Sequence[Care], first_ms: int, last_ms: int) -> list[RoomStay]:
    """The stays of a wheel itself. The room of a move of long ago may not be known."""
    made = moved_in_order(moves)
    rooms = [made[0].from_room_id if made else wheel.room_id, *(move.room_id for move in made)]
    if made and rooms[-1] is None:
        rooms[-1] = wheel.room_id
    edges = [first_ms, *(min(max(m.at_ms, first_ms), last_ms) for m in made), last_ms]
    spans = zip(rooms, pairwise(edges), strict=True)
    return [RoomStay(room, begin, end) for room, (begin, end) in spans if end > begin]


def air_through(stays: Iterable[RoomStay], airs: Mapping[int, AirTrace]) -> AirTrace:
    """The air about a wheel through its stays."""
    parts = [
        airs.get(stay.room_id or 0, NO_AIR).between(stay.from_ms, stay.until_ms - 1)
        for stay in stays
    ]
    if len(parts) == 1:
        return parts[0]
    return AirTrace(
        np.concatenate([NO_AIR.at_ms, *(part.at_ms for part in parts)]),
        np.concatenate([NO_AIR.temp_c, *(part.temp_c for part in parts)]),
        np.concatenate([NO_AIR.humidity_pct, *(part.humidity_pct for part in parts)]),
    )


def air_had(
    stays: Sequence[RoomStay], airs: Mapping[int, AirTrace], rooms: Mapping[int, Room], zone: str
) -> AirHad:
    """The air over the stays of a wheel, each day by its mean, a day that was not read by those
    about it. Days outside and degree-days are given for all days, in proportion to those known."""
    days = sum(stay.until_ms - stay.from_ms for stay in stays) / DAY_MS
    temps = [_days_of(stay, airs, "temp_c") for stay in stays]
    damp = [_days_of(stay, airs, "humidity_pct") for stay in stays]
    (temp_c, of_temp), (pct, of_pct) = _mean(temps, days), _mean(damp, days)
    out = read = 0
    for stay in stays:
        room = rooms.get(stay.room_id or 0)
        if room is not None and (room.range_c is not None or room.range_pct is not None):
            trace = airs.get(id_of(room), NO_AIR).between(stay.from_ms, stay.until_ms - 1)
            off, seen = days_outside(trace, room, zone)
            out, read = out + off, read + seen
    known = max(of_temp, of_pct)
    days_out = days * out / read if read and known >= _LEAST_KNOWN * days else NONE
    return AirHad(days, known, temp_c, pct, days_out, temp_c * days)


def _days_of(stay: RoomStay, airs: Mapping[int, AirTrace], name: str) -> tuple[Floats, Floats]:
    """Of each day of a stay what was read, NaN where nothing near it was, and how much of the day
    it is."""
    length = (stay.until_ms - stay.from_ms) / DAY_MS
    day = np.arange(int(np.ceil(length)))
    part = np.minimum(1.0, length - day)
    room = airs.get(stay.room_id or 0, NO_AIR)
    near = room.between(stay.from_ms - _SPEAKS_MS, stay.until_ms + _SPEAKS_MS)
    value: Floats = getattr(near, name)
    known = np.isfinite(value)
    if not known.any():
        return np.full(len(day), NONE), part
    on, which = np.unique((near.at_ms[known] - stay.from_ms) // DAY_MS, return_inverse=True)
    means = np.bincount(which, value[known]) / np.bincount(which)
    at = np.searchsorted(on, day)
    before, after = on[np.maximum(at - 1, 0)], on[np.minimum(at, len(on) - 1)]
    far = np.minimum(np.abs(day - before), np.abs(after - day)) > _SPEAKS_DAYS
    return np.where(far, NONE, np.interp(day, on, means)), part


def _mean(stays: Iterable[tuple[Floats, Floats]], days: float) -> tuple[float, float]:
    """The mean over all stays, NaN where too few days are known, and how many are."""
    total = known = 0.0
    for value, part in stays:
        is_known = np.isfinite(value)
        total += float((value[is_known] * part[is_known]).sum())
        known += float(part[is_known].sum())
    return (total / known if known and known >= _LEAST_KNOWN * days else NONE), known
