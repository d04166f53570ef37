"""How long a make of 100,000 readings takes to open and draw, against bare pyqtgraph drawing the
same arrays from one bare SELECT; and a frame of its chart against one of theirs."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn

READINGS, FRAMES = 100_000, 20


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """Open the make in Makes (list, chart, timeline) in a window that is up already."""
    rows = journals.folder / "rows.db"
    for makes in sorted({journals.small, journals.large}):
        path = journals.of(makes)
        make_id, at, value = _large_make(path)
        if not rows.exists():
            _bare_table(rows, at, value)
        opened, bare = _Opened(path, make_id, journals.folder / f"{makes}.ini"), _Bare(rows)
        of = f"a make of {READINGS:,} readings among {makes:,}"
        yield in_turn(f"{of} opened", opened, bare, rounds, 1.5)
        yield in_turn(f"a frame of {of}", opened.frame, bare.frame, rounds, 1.5)
        opened.close()


def _large_make(path: Path) -> tuple[int, np.ndarray, np.ndarray]:
    """A make of so many readings in a journal, given them where it has not got them yet."""
    from journal.keeping import Journal

    with Journal.open(path) as journal:
        make = journal.makes.rows()[3]
        at = make.started_ms + np.arange(READINGS) * 250
        value = np.round(31 + np.sin(np.arange(READINGS) / 900) * 4, 2)
        if journal.readings.count(make.id) < READINGS:
            journal.readings.add_many(make.id, "milk-temp", at, value, "probe")
    return make.id, at, value


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

        from tests.pace.desk import SIZE, application

        self._app = application()
        self._db = sqlite3.connect(path)
        self._plot = pg.PlotWidget()
        self._plot.resize(*SIZE)
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

    def frame(self) -> float:
        """One of some frames, as it stands."""
        return frame(self._plot)


class _Opened:
    """The window goes to the make; it counts until the picture is drawn and all has settled."""

    def __init__(self, path: Path, make_id: int, settings: Path) -> None:
        from tests.pace.desk import PacedWindow

        self._make_id = make_id
        self._paced = PacedWindow(path, settings, place="makes")
        rows = self._paced.journal.makes.rows()
        self._other = next(row.id for row in rows if row.id != make_id)

    def __call__(self) -> float:
        self._paced.go("makes", self._other)
        return self._paced.go("makes", self._make_id)

    def frame(self) -> float:
        """One of some frames of its chart."""
        from journal.desk.charts.chart import Chart

        shown = self._paced.window.current.findChildren(Chart)
        return frame(next(chart for chart in shown if chart.isVisible()))

    def close(self) -> None:
        """Close the window."""
        self._paced.close()


def frame(chart) -> float:
    """The mean of some frames of a chart, ms."""
    from tests.pace.desk import application

    begun = time.perf_counter_ns()
    for _ in range(FRAMES):
        chart.viewport().repaint()
        application().processEvents()
    return (time.perf_counter_ns() - begun) / 1e6 / FRAMES
