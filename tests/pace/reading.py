"""How long a typed reading takes until it is durable, against a bare insert of like durability,
and how many paints it takes until it is drawn."""

from __future__ import annotations

import itertools
import sqlite3
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn

BATCH = 200


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """The median of a batch of readings, in turn with a batch of bare inserts; then some typed."""
    from journal.keeping import Journal

    bare = sqlite3.connect(journals.folder / "bare.db", isolation_level=None)
    bare.execute("pragma journal_mode = wal")
    bare.execute("pragma synchronous = full")
    bare.execute("create table reading (id integer primary key, make integer, at integer, v real)")
    insert = "insert into reading (make, at, v) values (?, ?, ?)"
    for makes in sorted({journals.small, journals.large}):
        with Journal.open(journals.of(makes)) as journal:
            key = journal.makes.by_code("latest").id or 0
            at = itertools.count(journal.makes.get(key).started_ms + time.time_ns() % 10**7)

            def ours(journal=journal, key=key, at=at) -> float:
                return _each(lambda: journal.readings.log(key, "room-temp", 21.4, next(at)))

            def plain(key=key, at=at) -> float:
                return _each(lambda: bare.execute(insert, (key, next(at), 21.4)))

            yield in_turn(f"a reading until durable, {makes:,} makes", ours, plain, rounds, 1.5)
    bare.close()
    yield _drawn(journals.of(journals.large), journals.folder, rounds)


def _each(act: Callable[[], object]) -> float:
    times = []
    for _ in range(BATCH):
        begun = time.perf_counter_ns()
        act()
        times.append((time.perf_counter_ns() - begun) / 1e6)
    return median(times)


def _drawn(path: Path, folder: Path, rounds: int) -> Ratio:
    """Paints of the chart from Enter until the reading is among what it draws."""
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest

    from tests.pace.desk import PacedWindow

    paced = PacedWindow(path, folder / "drawn.ini", place="vat")
    vat = paced.window.current
    line, chart = vat.page.entry.temp.line, vat.chart
    paints = []
    for turn in range(rounds):
        before = len(chart._day.whole.trace("milk-temp"))
        line.clear()
        QTest.keyClicks(line, f"{31 + turn / 10:.1f}")
        QTest.keyClick(line, Qt.Key.Key_Return)
        count = 1
        while len(chart._day.whole.trace("milk-temp")) == before:
            chart.viewport().repaint()
            paced.app.processEvents()
            count += 1
        paints.append(float(count))
    paced.close()
    return Ratio("paints until a typed reading is drawn", paints, [1.0] * rounds, 1.0, "paints")
