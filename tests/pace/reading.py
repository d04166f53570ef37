"""How long a typed reading takes until it is durable, against a bare insert of like durability."""

from __future__ import annotations

import itertools
import sqlite3
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median

from tests.pace.ratio import Ratio, in_turn

BATCH = 200


def measure(folder: Path, rounds: int, makes: int) -> Iterator[Ratio]:
    """The median of a batch of readings, in turn with a batch of bare inserts."""
    del makes
    from journal.keeping import Journal
    from journal.sample import write_sample

    path = folder / "reading.vatside"
    write_sample(path)
    bare = sqlite3.connect(folder / "bare.db", isolation_level=None)
    bare.execute("pragma journal_mode = wal")
    bare.execute("pragma synchronous = full")
    bare.execute("create table reading (id integer primary key, make integer, at integer, v real)")
    with Journal.open(path) as journal:
        key = journal.makes.by_code("latest").id or 0
        at = itertools.count(journal.makes.get(key).started_ms)

        def ours() -> float:
            return _each(lambda: journal.readings.log(key, "milk-temp", 31.4, next(at)))

        def plain() -> float:
            return _each(
                lambda: bare.execute(
                    "insert into reading (make, at, v) values (?, ?, ?)", (key, next(at), 31.4)
                )
            )

        yield in_turn("a reading until durable", ours, plain, rounds, 1.5)
    bare.close()


def _each(act: Callable[[], object]) -> float:
    times = []
    for _ in range(BATCH):
        begun = time.perf_counter_ns()
        act()
        times.append((time.perf_counter_ns() - begun) / 1e6)
    return median(times)
