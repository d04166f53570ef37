"""What sensors deliver of a room's air, saved with the room in one transaction at a time."""

from __future__ import annotations

import json
import threading
from collections import deque
from collections.abc import Iterable, Iterator
from typing import Any

from journal.exchange.sensors.intake import MOST_AT_ONCE
from journal.exchange.sensors.sensor import Batch, Sensor
from journal.keeping import Journal
from journal.records.instants import MINUTE_MS
from journal.records.sources import Arrived
from journal.records.wheels import AirReading

_TEMPS, _HUMIDITY = ("room-temp", "milk-temp"), "room-humidity"


class RoomIntake:
    """Takes batches in any thread (`take`) and saves them in the journal's own (`save`). A
    temperature is the room's, whatever its column is called; other kinds are left out. Of a sensor
    that says more than a reading a minute of each kind the first of each minute is saved: the air
    of a room changes slowly, and the file is to last for years."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._lock = threading.Lock()
        self._waiting: deque[tuple[Sensor, int, Batch]] = deque()
        self._minutes: dict[tuple[str, str], int] = {}  # of each sensor and kind, the last saved

    def take(self, sensor: Sensor, room_id: int, batch: Batch) -> bool:
        """Put a batch in the queue; True when it was empty before. Any thread."""
        with self._lock:
            self._waiting.append((sensor, room_id, batch))
            return len(self._waiting) == 1

    @property
    def waiting(self) -> bool:
        """Whether there is anything to save."""
        return bool(self._waiting)

    def save(self, initiator: object | None = None) -> int:
        """Save what one sensor has waiting, at most `MOST_AT_ONCE` readings; how many instants were
        new. When the journal refuses, KeepingError is raised and everything still waits."""
        with self._lock:
            some = self._first()
        if not some:
            return 0
        sensor, room_id, last = some[-1]
        room = self._journal.rooms.get(room_id)
        readings = [one for _, _, batch in some for one in batch.readings]
        minutes = dict(self._minutes)
        parts = _parts(self._thinned(sensor, readings, minutes))
        with self._journal.appending("keeping.act-air", initiator, room=room.name):
            kept = self._journal.air.bring(room, _readings(parts, room_id, sensor.source.name))
            if last.mark:
                mark = json.dumps({**last.mark, "room": room_id})
                self._journal.set_setting(f"probe:{sensor.source.uuid}", mark)
        self._minutes = minutes
        with self._lock:
            for _ in some:
                self._waiting.popleft()
        sensor.kept(last.number)
        return kept

    def _first(self) -> list[tuple[Sensor, int, Batch]]:
        """What comes first, of one sensor."""
        found: list[tuple[Sensor, int, Batch]] = []
        count = 0
        for one in self._waiting:
            count += len(one[2].readings)
            if found and (one[:2] != found[0][:2] or count > MOST_AT_ONCE):
                break
            found.append(one)
        return found

    def _thinned(
        self, sensor: Sensor, readings: Iterable[Arrived], minutes: dict[tuple[str, str], int]
    ) -> Iterator[Arrived]:
        """The first reading of each kind of each minute."""
        for one in readings:
            key, minute = (sensor.source.uuid, one.kind), one.at_ms // MINUTE_MS
            if minutes.get(key) != minute:
                minutes[key] = minute
                yield one


def room_mark_of(journal: Journal, sensor_uuid: str, room_id: int) -> dict[str, Any]:
    """The mark an earlier run for this room left; {} when there was none."""
    try:
        found = json.loads(journal.setting(f"probe:{sensor_uuid}") or "{}")
    except ValueError:
        return {}
    return found if isinstance(found, dict) and found.get("room") == room_id else {}


def _parts(readings: Iterable[Arrived]) -> dict[int, dict[str, float]]:
    parts: dict[int, dict[str, float]] = {}
    for one in readings:
        if one.kind in _TEMPS and -30 <= one.value <= 60:
            parts.setdefault(one.at_ms, {})["temp_c"] = one.value
        elif one.kind == _HUMIDITY and 0 <= one.value <= 100:
            parts.setdefault(one.at_ms, {})["humidity_pct"] = one.value
    return parts


def _readings(parts: dict[int, dict[str, float]], room_id: int, source: str) -> list[AirReading]:
    return [
        AirReading(room_id, at, part.get("temp_c"), part.get("humidity_pct"), source)
        for at, part in sorted(parts.items())
    ]
