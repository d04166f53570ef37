"""What sensors delivered, collected from their threads and saved in one transaction at a time."""

from __future__ import annotations

import json
import threading
from collections import deque
from dataclasses import dataclass
from typing import Any

import numpy as np

from journal.exchange.sensors.sensor import Batch, Sensor
from journal.keeping import Journal
from journal.records.sources import Arrived

MOST_AT_ONCE = 8192  # readings in one transaction


@dataclass(frozen=True)
class Waiting:
    """A batch on its way into the journal."""

    sensor: Sensor
    make_id: int
    batch: Batch


class Intake:
    """Takes batches in any thread (`take`) and saves them in the journal's own (`save`)."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._lock = threading.Lock()
        self._waiting: deque[Waiting] = deque()

    def take(self, sensor: Sensor, make_id: int, batch: Batch) -> bool:
        """Put a batch in the queue; True when it was empty before. Any thread."""
        with self._lock:
            self._waiting.append(Waiting(sensor, make_id, batch))
            return len(self._waiting) == 1

    @property
    def waiting(self) -> bool:
        """Whether there is anything to save."""
        return bool(self._waiting)

    def save(self, initiator: object | None = None) -> int:
        """Save what waits, at most `MOST_AT_ONCE` readings, in one transaction; tell the sensors.

        Returns how many readings were new. When the journal refuses, KeepingError is raised and
        everything still waits.
        """
        with self._lock:
            some = list(self._first())
        if not some:
            return 0
        with self._journal.appending("sensor readings", initiator):
            kept = sum(self._save_of(*one) for one in _columns(some))
            for sensor, make_id, mark in _marks(some):
                self._journal.set_setting(
                    f"probe:{sensor.source.uuid}", json.dumps({**mark, "make": make_id})
                )
        with self._lock:
            for _ in some:
                self._waiting.popleft()
        for one in some:
            one.sensor.kept(one.batch.number)
        return kept

    def _first(self) -> list[Waiting]:
        found: list[Waiting] = []
        count = 0
        for one in self._waiting:
            if found and count + len(one.batch.readings) > MOST_AT_ONCE:
                break
            found.append(one)
            count += len(one.batch.readings)
        return found

    def _save_of(self, make_id: int, kind: str, source: str, readings: list[Arrived]) -> int:
        at_ms = np.array([one.at_ms for one in readings], np.int64)
        value = np.array([one.value for one in readings], np.float64)
        flags = np.array([one.flags for one in readings], np.uint8)
        return self._journal.readings.append_many(make_id, kind, at_ms, value, source, flags)


def mark_of(journal: Journal, sensor_uuid: str, make_id: int) -> dict[str, Any]:
    """The mark an earlier run for this make left; {} when there was none."""
    text = journal.setting(f"probe:{sensor_uuid}")
    try:
        found = json.loads(text or "{}")
    except ValueError:
        return {}
    return found if isinstance(found, dict) and found.get("make") == make_id else {}


def _columns(some: list[Waiting]) -> list[tuple[int, str, str, list[Arrived]]]:
    """The readings of each make, kind and source, in the order they came."""
    found: dict[tuple[int, str, str], list[Arrived]] = {}
    for one in some:
        for reading in one.batch.readings:
            key = (one.make_id, reading.kind, one.sensor.source.name)
            found.setdefault(key, []).append(reading)
    return [(*key, readings) for key, readings in found.items()]


def _marks(some: list[Waiting]) -> list[tuple[Sensor, int, dict[str, Any]]]:
    """The last mark of each sensor that has one."""
    found = {id(one.sensor): (one.sensor, one.make_id, one.batch.mark) for one in some
             if one.batch.mark}  # fmt: skip
    return list(found.values())
