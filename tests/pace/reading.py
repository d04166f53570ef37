"""How long a typed reading takes until it is durable, against a bare insert of like durability,
and how many paints it takes until it is drawn."""

from __future__ import annotations

import itertools
import json
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from statistics import median

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn
from tests.pace.slow_disk import SLOWER_MS, slower_disk

BATCH = 200
_PAGES = 1_100  # SQLite begins a bare `-wal` anew after 1,000 pages; ours is by then too
_INSERT = "insert into reading (make, at, v) values (?, ?, ?)"


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """The median of a batch of readings, in turn with a batch of bare inserts, on this disk and on
    one that syncs more slowly; then some typed."""
    for makes in sorted({journals.small, journals.large}):
        yield durable(journals.of(makes), journals.folder, rounds, makes)
    slower = slower_disk(journals.folder)
    if slower is not None:
        for makes in sorted({journals.small, journals.large}):
            yield _simulated(journals.of(makes), journals.folder, rounds, makes, slower)
    yield _drawn(journals.of(journals.large), journals.folder, rounds)


def durable(path: Path, folder: Path, rounds: int, makes: int) -> Ratio:
    """A reading of the newest make against a bare insert, each durable before the next. Both go on
    in a `-wal` that was begun anew, for to make a file longer costs a sync more."""
    from journal.keeping import Journal

    with Journal.open(path) as journal, closing(_bare(folder / "bare.db")) as bare:
        key = journal.makes.by_code("latest").id or 0
        at = itertools.count(journal.makes.get(key).started_ms + time.time_ns() % 10**7)

        def ours() -> float:
            return _each(lambda: journal.readings.log(key, "room-temp", 21.4, next(at)))

        def plain() -> float:
            return _each(lambda: bare.execute(_INSERT, (key, next(at), 21.4)))

        return in_turn(f"a reading until durable, {makes:,} makes", ours, plain, rounds, 1.5)


def _bare(path: Path) -> sqlite3.Connection:
    path.unlink(missing_ok=True)
    bare = sqlite3.connect(path, isolation_level=None)
    bare.execute("pragma journal_mode = wal")
    bare.execute("pragma synchronous = full")
    bare.execute("create table reading (id integer primary key, make integer, at integer, v real)")
    for at in range(_PAGES):
        bare.execute(_INSERT, (1, at, 21.4))
    return bare


def _simulated(path: Path, folder: Path, rounds: int, makes: int, env: dict[str, str]) -> Ratio:
    """The same in a process whose disk is slower; it is held to no promise."""
    command = [sys.executable, "-m", "tests.pace.reading", path, folder, str(rounds), str(makes)]
    output = subprocess.run(command, env=env, check=True, capture_output=True, text=True)
    ours_ms, bare_ms = json.loads(output.stdout)
    what = (
        f"the same, {makes:,} makes, simulated: each sync takes {SLOWER_MS} ms longer on both sides"
    )
    return Ratio(what, ours_ms, bare_ms, None)


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


if __name__ == "__main__":  # a process of its own, with a disk of its own
    measured = durable(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]))
    print(json.dumps([measured.ours_ms, measured.bare_ms]))
