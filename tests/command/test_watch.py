"""A sensor watched without the window: a real process, ended by Ctrl+C."""

from __future__ import annotations

import io
import json
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import understand
from journal.keeping import Journal
from journal.records.sources import FILE, TOPIC, Source

TEXT = "Time,Probe (°C)\n" + "".join(
    f"2026-07-14 08:00:{second:02d},{30 + second / 100:.2f}\n" for second in range(20)
)
PATIENCE_S = 20.0
# Tests that run in the background were begun with Ctrl+C ignored, and a child goes on so.
HEARING = (
    "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
    "from journal.command.entry import main; sys.exit(main(sys.argv[1:]))"
)


@pytest.fixture
def logger(begun: Path, tmp_path: Path) -> Path:
    """A logger's file with a source set up on it."""
    path = tmp_path / "logger.csv"
    path.write_text(TEXT, encoding="utf-8")
    mapping = understand(read_table(path)).mapping.to_dict()
    settings = json.dumps({"path": str(path), "mapping": mapping})
    with Journal.open(begun) as journal:
        journal.sources.save(Source("vat probe", FILE, "milk-temp", "", settings))
    return path


def kept(path: Path) -> list[float]:
    with Journal.open(path, read_only=True) as journal:
        make = journal.makes.by_code("latest")
        return journal.readings.trace(make.id or 0, "milk-temp").value.tolist()


def test_it_keeps_what_is_there_and_says_how_much(begun, logger, run):
    done = run("watch", begun, "latest", "--sensor", "Vat Probe", "--for", "1s", "--json")
    assert done.code == 0, done
    assert done.data == {"make": "HL-0001", "source": "vat probe", "kept": 20}
    assert "vat probe: connected" in done.err
    assert kept(begun) == [round(30 + second / 100, 2) for second in range(20)]
    again = run("watch", begun, "latest", "--sensor", "vat probe", "--for", "1s")
    assert again.out == "HL-0001: 0 readings from vat probe saved.\n"


def test_it_goes_on_until_it_is_stopped(begun, logger):
    words = ["watch", str(begun), "latest", "--sensor", "vat probe"]
    process = subprocess.Popen(
        [sys.executable, "-c", HEARING, *words],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    tick, end = threading.Event(), time.monotonic() + PATIENCE_S
    try:
        while len(kept(begun)) < 20:
            assert time.monotonic() < end
            tick.wait(0.05)
        with logger.open("a") as file:
            file.write("2026-07-14 08:00:30,31.00\n")
        while len(kept(begun)) < 21:
            assert time.monotonic() < end
            tick.wait(0.05)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=PATIENCE_S)
    finally:
        process.kill()
        process.wait()
    assert (process.returncode, out) == (0, "HL-0001: 21 readings from vat probe saved.\n"), err


def test_what_cannot_be_watched_is_refused(finished, refused):
    assert "is finished" in refused("watch", finished, "latest", "--sensor", "vat probe")


def test_an_unknown_source_is_told_from_those_there_are(begun, logger, refused):
    output = refused("watch", begun, "latest", "--sensor", "cellar")
    assert output == "There is no sensor called “cellar”. There are: vat probe."


def test_a_password_nobody_can_give_is_said(begun, refused, monkeypatch):
    settings = json.dumps({"host": "127.0.0.1", "topic": "t", "user": "vat"})
    with Journal.open(begun) as journal:
        journal.sources.save(Source("topic", TOPIC, "milk-temp", "", settings))
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    assert "password of vat" in refused("watch", begun, "latest", "--sensor", "topic")


def test_a_rooms_air_is_watched_once_and_goes_on_where_it_was(
    begun: Path, tmp_path: Path, run
) -> None:
    from journal.records.instants import local, now_ms
    from journal.records.wheels import Room

    path, now = tmp_path / "cellar.csv", now_ms()
    times = [local(now - (20 - n) * 60_000, "Europe/London") for n in range(20)]
    rows = [f"{at:%Y-%m-%d %H:%M:%S},{11 + n / 10:.1f},{80 + n % 3}" for n, at in enumerate(times)]
    head = "Time,Room temperature (°C),Humidity (%)\n"
    path.write_text(head + "\n".join(rows[:15]) + "\n", encoding="utf-8")
    mapping = understand(read_table(path)).mapping.to_dict()
    settings = json.dumps({"path": str(path), "mapping": mapping})
    with Journal.open(begun) as journal:
        room = journal.shelves.set_room(Room("Cellar", 12.0, 85.0))
        journal.sources.save(Source("cellar probe", FILE, "room-temp", "", settings))
    words = ("air", begun, "Cellar", "--sensor", "cellar probe", "--for", "1s", "--json")
    assert run(*words).data == {"room": "Cellar", "kept": 15}
    with path.open("a", encoding="utf-8") as file:
        file.write("\n".join(rows[15:]) + "\n")
    assert run(*words).data["kept"] == 5
    with Journal.open(begun, read_only=True) as journal:
        trace = journal.air.trace(room.id or 0)
    assert trace.temp_c.tolist() == [round(11 + n / 10, 1) for n in range(20)]
    assert trace.humidity_pct.tolist() == [float(80 + n % 3) for n in range(20)]
