"""Probes on real things: files that grow, a broker that is killed, a pair of pseudo-terminals."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from journal.exchange.probes.intake import Intake
from journal.exchange.probes.probe import Arrived, Backoff, Batch, Heard, Probe
from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, Stage
from journal.records.sources import Source

START_MS = from_iso("2026-03-14T09:00", "Europe/London")
PATIENCE_S = 20.0
QUICK = Backoff(first=0.02, most=0.1)
PATHS = os.pathsep.join([os.environ.get("PATH", ""), "/usr/sbin", "/usr/local/sbin"])


def until(condition: Callable[[], object], what: str = "it never came true") -> None:
    """Wait for a condition that another thread brings about."""
    tick, end = threading.Event(), time.monotonic() + PATIENCE_S
    while not condition():
        assert time.monotonic() < end, what
        tick.wait(0.005)


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
    """Where a probe delivers to: what came, in order, and what it said of each raw line."""

    arrived: list[Arrived] = field(default_factory=list)
    batches: list[Batch] = field(default_factory=list)
    said: list[Heard] = field(default_factory=list)
    probe: Probe | None = None
    keeps: bool = True

    def deliver(self, batch: Batch) -> None:
        self.batches.append(batch)
        self.arrived.extend(batch.readings)
        if self.keeps and self.probe is not None:
            self.probe.kept(batch.number)

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
def run(heap: Heap) -> Iterator[Callable[[Probe], Probe]]:
    """Starts probes, and stops them at the end."""
    started: list[Probe] = []

    def go(probe: Probe, into: Heap | None = None) -> Probe:
        target = into or heap
        target.probe = probe
        probe.start(target.deliver, target.said.append)
        started.append(probe)
        return probe

    yield go
    for probe in started:
        probe.stop()
        assert probe.state.word == "off"
    assert not [t for t in threading.enumerate() if t.name.startswith("probe ")]


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
        self.started: list[Probe] = []

    def start(self, probe: Probe) -> Probe:
        def deliver(batch: Batch) -> None:
            self.intake.take(probe, self.make.id or 0, batch)

        probe.start(deliver)
        self.started.append(probe)
        return probe

    def values(self, kind: str = "milk-temp") -> list[float]:
        while self.intake.waiting:
            self.intake.keep()
        return self.journal.readings.trace(self.make.id or 0, kind).value.tolist()


@pytest.fixture
def into(journal: Journal, make: Make) -> Iterator[IntoJournal]:
    made = IntoJournal(journal, make)
    yield made
    for probe in made.started:
        probe.stop()


class Broker:
    """A real mosquitto on loopback that remembers across a kill."""

    def __init__(self, folder: Path, *lines: str, port: int = 0) -> None:
        self.port = port or free_port()
        self.conf = folder / "broker.conf"
        self.conf.write_text(
            "\n".join(
                [
                    f"listener {self.port} 127.0.0.1",
                    "persistence true",
                    f"persistence_location {folder}/",
                    "autosave_interval 1",
                    "autosave_on_changes true",
                    "max_queued_messages 0",
                    *(["user root"] if os.geteuid() == 0 else []),
                    *(lines or ["allow_anonymous true"]),
                ]
            )
            + "\n"
        )
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        program = shutil.which("mosquitto", path=PATHS)
        if program is None:
            pytest.skip("no mosquitto on this machine to test on (.ci/run installs it)")
        self._process = subprocess.Popen(
            [program, "-c", str(self.conf)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        until(self._answers, "the broker does not answer")

    def _answers(self) -> bool:
        with socket.socket() as attempt:
            return attempt.connect_ex(("127.0.0.1", self.port)) == 0

    def end(self, how: signal.Signals = signal.SIGTERM) -> None:
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(PATIENCE_S)
            self._process = None


def free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return int(held.getsockname()[1])


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[Broker]:
    made = Broker(tmp_path)
    made.start()
    yield made
    made.end()


class Publisher:
    """A sensor that publishes at least once and connects again by itself."""

    def __init__(self, port: int, topic: str = "kitchen/vat") -> None:
        from paho.mqtt.client import Client
        from paho.mqtt.enums import CallbackAPIVersion

        self.topic = topic
        self.client = Client(CallbackAPIVersion.VERSION2, client_id="sensor", clean_session=False)
        self.client.reconnect_delay_set(1, 1)
        self.client.connect_async("127.0.0.1", port, keepalive=5)
        self.client.loop_start()
        self.client.on_publish = self._on_out
        self._sent = self._out = 0

    def send(self, payload: str, *, qos: int = 1, retain: bool = False) -> None:
        self._sent += 1
        self.client.publish(self.topic, payload, qos=qos, retain=retain)

    def all_out(self) -> bool:
        return self._out == self._sent

    def _on_out(self, *_about: object) -> None:
        self._out += 1

    def close(self) -> None:
        self.client.disconnect()
        self.client.loop_stop()


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
