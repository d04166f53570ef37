"""What 10,000 readings an hour cost the window while they arrive: the frames of Vat with and
without them, and its longest frame against a bare pyqtgraph curve that is given the same.

A frame is the work of the window's own thread from one picture to the next, which a busy machine
does not make longer; by the clock it is printed too, without a promise.
"""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from statistics import fmean

import numpy as np

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio

AN_HOUR = 10_000
EVERY_S = 3600 / AN_HOUR
BEHIND_H = 6  # so long has it gone already
SPELL_S = 5.0
JERK_MS = 50.0  # three pictures missed at 60 a second: from then on people see a jerk (from memory)
HEADER = "Time,Probe (°C)\n"


@dataclass(frozen=True)
class Spell:
    """Some seconds of frames: the work of each and how long it took by the clock, ms."""

    work: list[float]
    clock: list[float]


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """Vat with a running make that has six hours of such readings behind it."""
    vat, bare = _Vat(journals.folder), _Bare()
    found = []
    for _ in range(min(rounds, 5) + 1):
        found.append((vat.spell(), vat.spell(arriving=True), bare.spell()))
    came = vat.close()
    quiet, arriving, plain = zip(*found[1:], strict=True)  # the first is warming up
    longest = [max(s.work) for s in arriving]
    yield Ratio(
        f"a frame of Vat while {AN_HOUR:,} readings an hour arrive ({came} did), to one without",
        [fmean(s.work) for s in arriving], [fmean(s.work) for s in quiet], 1.5,
    )  # fmt: skip
    yield Ratio(
        "the same by the clock, nine frames in ten are quicker",
        [float(np.quantile(s.clock, 0.9)) for s in arriving],
        [float(np.quantile(s.clock, 0.9)) for s in quiet], None,
    )  # fmt: skip
    yield Ratio(
        "its longest frame, to that of a bare curve given the same",
        longest, [max(s.work) for s in plain], 1.5,
    )  # fmt: skip
    yield Ratio("its longest frame, to what is seen as a jerk", longest, [JERK_MS] * len(found[1:]),
                1.0)  # fmt: skip


def _series(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Seconds from the start and values, as a sensor in milk gives them."""
    at = np.arange(count) * EVERY_S
    return at, np.round(31 + np.sin(at / 900) * 4 + np.sin(at * 7) / 20, 2)


def _frames(chart, app) -> Spell:
    """Draw a chart anew again and again; a frame has in it whatever else was done meanwhile."""
    work, clock = [], []
    begun = before, seen = time.thread_time_ns(), time.perf_counter_ns()
    while seen - begun[1] < SPELL_S * 1e9:
        chart.viewport().repaint()
        app.processEvents()
        now, here = time.thread_time_ns(), time.perf_counter_ns()
        work.append((now - before) / 1e6)
        clock.append((here - seen) / 1e6)
        before, seen = now, here
    return Spell(work, clock)


class _Bare:
    """A plot with one curve; each second it is given all the readings there are then."""

    def __init__(self) -> None:
        import pyqtgraph as pg
        from PySide6.QtCore import QTimer
        from PySide6.QtWidgets import QApplication

        self._app = QApplication.instance() or QApplication([])
        self._count = BEHIND_H * AN_HOUR
        self._plot = pg.PlotWidget()
        self._plot.resize(900, 600)
        self._curve = self._plot.plot(*_series(self._count), pen=pg.mkPen("k", width=1.5))
        self._plot.show()
        self._timer = QTimer()
        self._timer.setInterval(1000)
        self._timer.timeout.connect(self._on_readings)
        while not self._plot.windowHandle().isExposed():
            self._app.processEvents()

    def spell(self) -> Spell:
        """Its frames while readings come."""
        self._plot.show()
        self._timer.start()
        took = _frames(self._plot, self._app)
        self._timer.stop()
        self._plot.hide()
        return took

    def _on_readings(self) -> None:
        self._count += round(1 / EVERY_S)
        self._curve.setData(*_series(self._count))


class _Vat:
    """The window in Vat on a make that runs, with a file that a logger keeps appending to."""

    def __init__(self, folder: Path) -> None:
        from PySide6.QtCore import QSettings
        from PySide6.QtWidgets import QApplication

        from journal.desk.theme import Look
        from journal.desk.window import Window
        from journal.keeping import Journal

        self._app = QApplication.instance() or QApplication([])
        self._file = folder / "logger.csv"
        self._file.write_text(HEADER)
        self._journal = Journal.create(folder / "probes.vatside", zone="Europe/London")
        self._begun = time.monotonic()
        self._start_ms = 1_773_478_800_000
        self._written = BEHIND_H * AN_HOUR
        self._make_id = self._make()
        kept = QSettings(str(folder / "p.ini"), QSettings.Format.IniFormat)
        self._window = Window(
            self._journal, settings=kept, look=Look(self._app, "light"), place="vat",
            clock=self._clock,
        )  # fmt: skip
        self._window.resize(1280, 720)
        self._window.show()
        while not (self._window.windowHandle().isExposed() and self._window.settled()):
            self._app.processEvents()
        self._window.desk.sensors.made()
        self._journal.sources.save(self._source())
        self._write()  # a file is connected once it has a row
        while self._journal.readings.count(self._make_id) < self._written:
            self._app.processEvents()
        self._before = self._written

    def spell(self, *, arriving: bool = False) -> Spell:
        """Its frames, while readings come or while none do."""
        ending = threading.Event()
        writer = threading.Thread(target=self._write_on, args=(ending,))
        if arriving:
            writer.start()
        took = _frames(self._window.current.chart, self._app)
        ending.set()
        if arriving:
            writer.join()
            self._settle()
        return took

    def close(self) -> int:
        """End it; how many readings came while it was measured."""
        self._window.stop_sensors()
        count = self._journal.readings.count(self._make_id) - self._before
        self._window.close()
        self._journal.close()
        return count

    def _make(self) -> int:
        from journal.records.makes import Milk
        from journal.records.plan_text import builtin_plans

        plan = next(p for p in builtin_plans() if p.name == "cheddar type")
        make = self._journal.makes.begin(plan, Milk(12.0), self._start_ms)
        at, value = _series(self._written)
        at_ms = self._start_ms + np.round(at * 1000).astype(np.int64)
        self._journal.readings.add_many(make.id, "milk-temp", at_ms, value, "vat probe")
        return make.id

    def _source(self):
        from journal.exchange.loggers.table import read_table
        from journal.exchange.loggers.understand import understand
        from journal.records.sources import FILE, Source

        mapping = understand(read_table((HEADER + self._row(0)).encode())).mapping
        output = json.dumps({"path": str(self._file), "mapping": mapping.to_dict()})
        return Source("vat probe", FILE, "milk-temp", "", output, self._make_id)

    def _clock(self) -> int:
        gone_s = BEHIND_H * 3600 + time.monotonic() - self._begun
        return self._start_ms + round(gone_s * 1000)

    def _row(self, number: int) -> str:
        at_ms = self._start_ms + round(number * EVERY_S * 1000)
        when = datetime.fromtimestamp(at_ms / 1000, UTC)
        return f"{when:%Y-%m-%d %H:%M:%S}.{at_ms % 1000:03d},{31 + number % 100 / 100:.2f}\n"

    def _write(self) -> None:
        with self._file.open("a") as file:
            file.write(self._row(self._written))
        self._written += 1

    def _write_on(self, ending: threading.Event) -> None:
        """One row as often as 10,000 an hour, in a thread of its own."""
        while not ending.wait(EVERY_S):
            self._write()

    def _settle(self) -> None:
        """Wait for the last of them, so that the next spell is a quiet one."""
        end = time.monotonic() + 3
        while time.monotonic() < end or not self._window.settled():
            self._app.processEvents()
