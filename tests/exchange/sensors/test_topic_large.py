"""A broker that sends more than a reading: held nowhere, and said."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import closing, suppress
from types import SimpleNamespace

import pytest

from tests.exchange.sensors.test_topic import TOPIC, sensor_on

__all__ = ["sensor_on"]

CONNECTED = b"\x20\x02\x00\x00"
CHUNK = bytes(65_536)


def length(size: int) -> bytes:
    """A length as the protocol writes it: seven bits a byte, the lowest first."""
    out = bytearray()
    while True:
        size, low = divmod(size, 128)
        out.append(low | (128 if size else 0))
        if not size:
            return bytes(out)


@pytest.fixture
def flood() -> Iterator[SimpleNamespace]:
    """A broker whose one message says that it has 200 MB, and goes on until nobody listens;
    `sent` is how much each listener let it send."""
    server = socket.create_server(("127.0.0.1", 0))
    broker = SimpleNamespace(port=server.getsockname()[1], sent=[])

    def serve() -> None:
        with suppress(OSError):
            while True:
                there, _ = server.accept()
                with closing(there):
                    broker.sent.append(_flood(there))

    thread = threading.Thread(target=serve)
    thread.start()
    yield broker
    server.shutdown(socket.SHUT_RDWR)
    server.close()
    thread.join()


def _flood(there: socket.socket) -> int:
    sent = 0
    with suppress(OSError):
        there.recv(4096)
        there.sendall(CONNECTED)
        asked = there.recv(4096)
        there.sendall(b"\x90\x03" + asked[2:4] + b"\x01")
        head = len(TOPIC).to_bytes(2, "big") + TOPIC.encode()
        there.sendall(b"\x30" + length(200_000_000) + head)
        while sent < 200_000_000:
            sent += there.send(CHUNK)
    return sent


def test_a_message_of_200_mb_is_ended_and_said(flood, sensor_on, run, heap, wait):
    sensor = run(sensor_on(flood))
    wait(lambda: flood.sent)
    wait(lambda: "a message that is too large to be a reading" in sensor.state.sentence)
    assert sensor.state.word == "failed"
    assert max(flood.sent) < 20_000_000, "not more than the system's own buffers took"
    assert heap.arrived == []
    sensor.stop()
    assert sensor.state.word == "off"


def test_what_is_large_and_no_reading_stops_nothing(broker, publisher, sensor_on, run, heap, wait):
    sensor = run(sensor_on(broker))
    wait(lambda: sensor.state.word == "connected")
    publisher.send("31.0")
    publisher.send("9" * 900_000)
    publisher.send("[" * 100_000)
    publisher.send("31.2")
    wait(lambda: len(heap.arrived) == 2)
    assert heap.values == [31.0, 31.2]
    assert sensor.state.word == "connected"
