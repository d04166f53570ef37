"""Sensors on real things: files that grow, a broker that is killed, a pair of pseudo-terminals."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from journal.exchange.sensors.intake import Intake
from journal.exchange.sensors.sensor import Backoff, Batch, RawMessage, Sensor
from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, Stage
from journal.records.sources import Arrived, Source
from tests.exchange.sensors.real_broker import Broker, Publisher, until

START_MS = from_iso("2026-03-14T09:00", "Europe/London")
QUICK = Backoff(first=0.02, most=0.1)


class Clock:
    """The present instant, moved by hand; any thread reads it."""

    def __init__(self) -> None:
        self.now_ms = START_MS

    def __call__(self) -> int:
        return self.now_ms

    def after(self, seconds: float) -> None:
        self.now_ms += round(seconds * 1000)


@dataclass
class Heap:
    """Where a sensor delivers to: what came, in order, and what it said of each raw line."""

    arrived: list[Arrived] = field(default_factory=list)
    batches: list[Batch] = field(default_factory=list)
    options: list[RawMessage] = field(default_factory=list)
    sensor: Sensor | None = None
    keeps: bool = True

    def deliver(self, batch: Batch) -> None:
        self.batches.append(batch)
        self.arrived.extend(batch.readings)
        if self.keeps and self.sensor is not None:
            self.sensor.kept(batch.number)

    @property
    def values(self) -> list[float]:
        return [one.value for one in self.arrived]

    @property
    def instants(self) -> list[int]:
        return [one.at_ms for one in self.arrived]


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def heap() -> Heap:
    return Heap()


@pytest.fixture
def run(heap: Heap) -> Iterator[Callable[[Sensor], Sensor]]:
    """Starts sensors, and stops them at the end."""
    started: list[Sensor] = []

    def go(sensor: Sensor, into: Heap | None = None) -> Sensor:
        target = into or heap
        target.sensor = sensor
        sensor.start(target.deliver, target.options.append)
        started.append(sensor)
        return sensor

    yield go
    for sensor in started:
        sensor.stop()
        assert sensor.state.word == "off"
    assert not [t for t in threading.enumerate() if t.name.startswith("sensor ")]


def source_of(kind: str, *, name: str = "vat probe", unit: str = "", **settings: object) -> Source:
    return Source(name, kind, "milk-temp", unit, json.dumps(settings))


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.create(tmp_path / "kitchen.vatside", letters="HL", zone="Europe/London") as made:
        yield made


@pytest.fixture
def make(journal: Journal) -> Make:
    plan = Plan("kitchen hard", (Stage("warm", 30, target_c=31.0),), milk_l=12)
    return journal.makes.begin(plan, Milk(12.0), START_MS)


@dataclass
class IntoJournal:
    """Delivers into a journal as the program does: collected, then kept in this thread."""

    journal: Journal
    make: Make

    def __post_init__(self) -> None:
        self.intake = Intake(self.journal)
        self.started: list[Sensor] = []

    def start(self, sensor: Sensor) -> Sensor:
        def deliver(batch: Batch) -> None:
            self.intake.take(sensor, self.make.id or 0, batch)

        sensor.start(deliver)
        self.started.append(sensor)
        return sensor

    def values(self, kind: str = "milk-temp") -> list[float]:
        while self.intake.waiting:
            self.intake.save()
        return self.journal.readings.trace(self.make.id or 0, kind).value.tolist()


@pytest.fixture
def into(journal: Journal, make: Make) -> Iterator[IntoJournal]:
    made = IntoJournal(journal, make)
    yield made
    for sensor in made.started:
        sensor.stop()


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[Broker]:
    made = Broker(tmp_path)
    made.start()
    yield made
    made.end()


@pytest.fixture
def publisher(broker: Broker) -> Iterator[Publisher]:
    made = Publisher(broker.port)
    until(made.client.is_connected)
    yield made
    made.close()


# Tests get these by fixture, since a test module cannot import this file.


@pytest.fixture
def wait() -> Callable[..., None]:
    return until


@pytest.fixture
def source_for() -> Callable[..., Source]:
    return source_of
