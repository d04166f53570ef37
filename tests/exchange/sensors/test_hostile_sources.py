"""Sources that never end: a pipe, a line without an end, more readings than can be saved."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from journal.exchange.sensors.growing_file import FileSensor
from journal.exchange.sensors.sensor import MOST_WAITING, Backoff

QUICK = Backoff(first=0.02, most=0.1)


@pytest.fixture
def file_sensor(source_for, clock, tmp_path):
    def made(path: Path) -> FileSensor:
        source = source_for("file", path=str(path))
        return FileSensor(source, zone="Europe/London", clock=clock, poll_s=0.01, backoff=QUICK)

    return made


def test_a_pipe_or_a_line_without_an_end_is_said_and_held_nowhere(file_sensor, run, wait, tmp_path):
    os.mkfifo(tmp_path / "pipe")
    endless = tmp_path / "endless.csv"
    endless.write_bytes(b"7" * 3_000_000)
    for path, words in ((tmp_path / "pipe", "not a file"), (endless, "no table of readings")):
        sensor = run(file_sensor(path))
        wait(lambda: sensor.state.word == "failed")  # noqa: B023 - waited for here
        assert words in sensor.state.sentence
        sensor.stop()


def test_a_flood_waits_in_its_file_until_there_is_room(file_sensor, run, heap, wait, tmp_path):
    path = tmp_path / "flood.csv"
    begun = datetime(2026, 3, 14, 9, 0)
    rows = (f"{begun + timedelta(seconds=n)},{20 + n % 9}.5\n" for n in range(2 * MOST_WAITING))
    path.write_text("Time,Milk (°C)\n" + "".join(rows), encoding="utf-8")
    heap.keeps = False
    sensor = run(file_sensor(path))
    wait(lambda: len(heap.arrived) > MOST_WAITING)
    assert len(heap.arrived) < 1.2 * MOST_WAITING
    sensor.kept(heap.batches[-1].number)
    wait(lambda: len(heap.arrived) > 1.5 * MOST_WAITING)
