"""What sensors deliver of a room's air, saved with the room in one transaction at a time."""

from __future__ import annotations

import json
import threading
from collections import deque
from typing import Any

from journal.exchange.sensors.sensor import Batch, Sensor
from journal.keeping import Journal
from journal.records.wheels import AirReading

_TEMPS, _HUMIDITY = ("room-temp", "milk-temp"), "room-humidity"


class RoomIntake:
    """Takes batches in any thread (`take`) and saves them in the journal's own (`save`). A
    temperature is the room's, whatever its column is called; other kinds are left out."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._lock = threading.Lock()
        self._waiting: deque[tuple[Sensor, int, Batch]] = deque()

    def take(self, sensor: Sensor, room_id: int, batch: Batch) -> None:
        """Put a batch in the queue. Any thread."""
        with self._lock:
            self._waiting.append((sensor, room_id, batch))

    @property
    def waiting(self) -> bool:
        """Whether there is anything to save."""
        return bool(self._waiting)

    def save(self) -> int:
        """Save the batch that waits longest; how many instants were new. When the journal refuses,
        KeepingError is raised and everything still waits."""
        with self._lock:
            if not self._waiting:
                return 0
            sensor, room_id, batch = self._waiting[0]
        room = self._journal.rooms.get(room_id)
        with self._journal.appending("keeping.act-air", room=room.name):
            kept = self._journal.air.bring(room, _readings(batch, room_id, sensor.source.name))
            if batch.mark:
                told = json.dumps({**batch.mark, "room": room_id})
                self._journal.set_setting(f"probe:{sensor.source.uuid}", told)
        with self._lock:
            self._waiting.popleft()
        sensor.kept(batch.number)
        return kept


def room_mark_of(journal: Journal, sensor_uuid: str, room_id: int) -> dict[str, Any]:
    """The mark an earlier run for this room left; {} when there was none."""
    try:
        found = json.loads(journal.setting(f"probe:{sensor_uuid}") or "{}")
    except ValueError:
        return {}
    return found if isinstance(found, dict) and found.get("room") == room_id else {}


def _readings(batch: Batch, room_id: int, source: str) -> list[AirReading]:
    parts: dict[int, dict[str, float]] = {}
    for one in batch.readings:
        if one.kind in _TEMPS and -30 <= one.value <= 60:
            parts.setdefault(one.at_ms, {})["temp_c"] = one.value
        elif one.kind == _HUMIDITY and 0 <= one.value <= 100:
            parts.setdefault(one.at_ms, {})["humidity_pct"] = one.value
    return [
        AirReading(room_id, at, part.get("temp_c"), part.get("humidity_pct"), source)
        for at, part in sorted(parts.items())
    ]
