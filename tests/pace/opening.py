"""How long a make of 100,000 readings takes to open and draw, against bare pyqtgraph drawing the
same arrays from one bare SELECT."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from tests.pace.ratio import Ratio, in_turn

READINGS = 100_000


def measure(folder: Path, rounds: int, makes: int) -> Iterator[Ratio]:
    """Open the make in Makes (list, chart, timeline) in a window that is up already."""
    del makes
    from journal.keeping import Journal
    from journal.sample import write_sample

    path = folder / "opening.vatside"
    write_sample(path)
    with Journal.open(path) as journal:
        make = journal.makes.rows()[3]
        at = make.started_ms + np.arange(READINGS) * 250
        value = np.round(31 + np.sin(np.arange(READINGS) / 900) * 4, 2)
        journal.readings.add_many(make.id, "milk-temp", at, value, "probe")
    _bare_table(folder / "rows.db", at, value)
    yield in_turn(
        f"a make of {READINGS:,} readings opened",
        _Opened(path, make.id, folder / "c.ini"),
        _Bare(folder / "rows.db"),
        rounds,
        1.5,
    )


def _bare_table(path: Path, at: np.ndarray, value: np.ndarray) -> None:
    db = sqlite3.connect(path)
    db.execute("create table reading (make integer, at integer, value real)")
    rows = [(1, t, v) for t, v in zip(at.tolist(), value.tolist(), strict=True)]
    db.executemany("insert into reading values (?, ?, ?)", rows)
    db.execute("create index of_make on reading (make, at)")
    db.commit()
    db.close()


class _Bare:
    """One SELECT into arrays, one curve in a plot that is up already."""

    def __init__(self, path: Path) -> None:
        import pyqtgraph as pg
        from PySide6.QtWidgets import QApplication

        self._app = QApplication.instance() or QApplication([])
        self._db = sqlite3.connect(path)
        self._plot = pg.PlotWidget()
        self._plot.resize(1280, 720)
        self._plot.show()
        while not self._plot.windowHandle().isExposed():
            self._app.processEvents()

    def __call__(self) -> float:
        begun = time.perf_counter_ns()
        rows = self._db.execute("select at, value from reading where make = 1 order by at")
        table = np.array(rows.fetchall())
        self._plot.clear()
        self._plot.plot(table[:, 0], table[:, 1])
        self._plot.grab()
        self._app.processEvents()
        return (time.perf_counter_ns() - begun) / 1e6


class _Opened:
    """The window goes to the make; it counts until the picture is drawn and all has settled."""

    def __init__(self, path: Path, make_id: int, settings: Path) -> None:
        from PySide6.QtCore import QSettings
        from PySide6.QtWidgets import QApplication

        from journal.desk.theme import Look
        from journal.desk.window import Window
        from journal.keeping import Journal

        self._app = QApplication.instance() or QApplication([])
        self._make_id = make_id
        kept = QSettings(str(settings), QSettings.Format.IniFormat)
        journal = Journal.open(path)
        self._other = next(row.id for row in journal.makes.rows() if row.id != make_id)
        self._window = Window(journal, settings=kept, look=Look(self._app, "light"), place="makes")
        self._window.resize(1280, 720)
        self._window.show()
        while not self._window.windowHandle().isExposed():
            self._app.processEvents()

    def __call__(self) -> float:
        self._go(self._other)
        begun = time.perf_counter_ns()
        self._go(self._make_id)
        return (time.perf_counter_ns() - begun) / 1e6

    def _go(self, make_id: int) -> None:
        self._window.go("makes", make_id)
        self._app.processEvents()
        while not self._window.settled():
            self._app.processEvents()
        self._window.grab()
        self._app.processEvents()
