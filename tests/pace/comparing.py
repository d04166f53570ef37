"""Compare with 50 makes of 20,000 readings: its first picture against one bare SELECT of the rows
it needs, and a frame while one moves through it against bare pyqtgraph with as many points."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn

OTHERS, READINGS, FRAMES = 50, 20_000, 20


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """A window that is up goes to Compare; then its pointer is pulled."""
    from journal.sample import write_sample
    from tests.pace.desk import PacedWindow

    folder = journals.folder
    path = folder / "compare.vatside"
    write_sample(path, makes=OTHERS + 2, readings_per_make=READINGS)
    rows = folder / "compare.db"
    _bare_table(rows)
    first = _FirstPicture(path, folder / "compare.ini")
    yield in_turn(
        f"{OTHERS} makes of {READINGS:,} readings in Compare, first picture, to one SELECT",
        first, _Select(rows), min(rounds, 5), 2.0,
    )  # fmt: skip
    paced = PacedWindow(path, folder / "compare.ini")
    paced.go("compare", first.make_id)
    moved, bare = _Moved(paced), _BarePanned(rows)
    yield in_turn(
        "a frame there while the pointer moves, to bare pyqtgraph panned over as many points",
        moved, bare, rounds, 1.5,
    )  # fmt: skip
    yield in_turn(
        "a frame there while it is scrolled, to the same", moved.scrolled, bare, rounds, 1.5
    )
    paced.close()


def _bare_table(path: Path) -> None:
    db = sqlite3.connect(path)
    db.execute("create table reading (make integer, at integer, value real)")
    for make in range(OTHERS + 1):
        at = 1_700_000_000_000 + np.arange(READINGS) * 1440
        value = np.round(31 + np.sin(np.arange(READINGS) / 900 + make) * 4, 2)
        rows = [(make, t, v) for t, v in zip(at.tolist(), value.tolist(), strict=True)]
        db.executemany("insert into reading values (?, ?, ?)", rows)
    db.execute("create index of_make on reading (make, at)")
    db.commit()
    db.close()


def _select(path: Path) -> np.ndarray:
    db = sqlite3.connect(path)
    rows = db.execute("select make, at, value from reading order by make, at").fetchall()
    db.close()
    return np.array(rows)


class _Select:
    """The rows of all its curves, as an array."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def __call__(self) -> float:
        begun = time.perf_counter_ns()
        _select(self._path)
        return (time.perf_counter_ns() - begun) / 1e6


class _FirstPicture:
    """A new window each time, and its first visit with a make that finished."""

    def __init__(self, path: Path, settings: Path) -> None:
        from journal.keeping import Journal

        self._path, self._settings = path, settings
        with Journal.open(path) as journal:
            rows = journal.makes.rows()
            self.make_id = next(row.id for row in rows if row.finished_ms and not row.failed)

    def __call__(self) -> float:
        from tests.pace.desk import PacedWindow

        paced = PacedWindow(self._path, self._settings)
        took = paced.go("compare", self.make_id)
        paced.close()
        return took


class _Moved:
    """Frames of the ribbons, the pointer a step further each."""

    def __init__(self, paced) -> None:
        self._paced = paced
        self._ribbons = paced.window.current.ribbons

    def __call__(self) -> float:
        from PySide6.QtCore import Qt
        from PySide6.QtTest import QTest

        begun = time.perf_counter_ns()
        for _ in range(FRAMES):
            QTest.keyClick(self._ribbons, Qt.Key.Key_Right)
            self._ribbons.viewport().repaint()
            self._paced.app.processEvents()
        return (time.perf_counter_ns() - begun) / 1e6 / FRAMES

    def scrolled(self) -> float:
        """Frames scrolled down and up again."""
        bar = self._ribbons.verticalScrollBar()
        begun = time.perf_counter_ns()
        for turn in range(FRAMES):
            bar.setValue(bar.maximum() * turn // FRAMES)
            self._ribbons.viewport().repaint()
            self._paced.app.processEvents()
        took = (time.perf_counter_ns() - begun) / 1e6 / FRAMES
        bar.setValue(0)
        return took


class _BarePanned:
    """All those curves in one bare plot, panned a step further each frame."""

    def __init__(self, path: Path) -> None:
        import pyqtgraph as pg

        from tests.pace.desk import SIZE, application

        self._app = application()
        self._plot = pg.PlotWidget()
        self._plot.resize(*SIZE)
        table = _select(path)
        self._least, self._most = float(table[:, 1].min()), float(table[:, 1].max())
        for make in range(OTHERS + 1):
            mine = table[table[:, 0] == make]
            self._plot.plot(mine[:, 1], mine[:, 2])
        self._plot.show()
        while not self._plot.windowHandle().isExposed():
            self._app.processEvents()

    def __call__(self) -> float:
        span = (self._most - self._least) / 2
        begun = time.perf_counter_ns()
        for turn in range(FRAMES):
            left = self._least + span * turn / FRAMES
            self._plot.setXRange(left, left + span, padding=0)
            self._plot.viewport().repaint()
            self._app.processEvents()
        return (time.perf_counter_ns() - begun) / 1e6 / FRAMES
