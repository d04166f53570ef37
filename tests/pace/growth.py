"""What more makes cost: the same acts in journals of 100, 1,000 and more makes, and the slope of
each: 0 where it takes as long with ten times the makes, 1 where it takes ten times as long."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import log
from pathlib import Path
from statistics import median

from tests.pace.journals import Journals


@dataclass(frozen=True)
class Growth:
    """An act and the milliseconds it took with so many makes each."""

    what: str
    took: dict[int, float]

    @property
    def slope(self) -> float:
        """By how much the logarithm grows with that of the makes, by least squares."""
        x, y = [log(makes) for makes in self.took], [log(ms) for ms in self.took.values()]
        middle, level = sum(x) / len(x), sum(y) / len(y)
        across = sum((a - middle) ** 2 for a in x)
        return sum((a - middle) * (b - level) for a, b in zip(x, y, strict=True)) / across

    def line(self) -> str:
        """One line: the slope, and the milliseconds at each size."""
        sizes = ", ".join(f"{makes:,}: {ms:.1f} ms" for makes, ms in self.took.items())
        return f"{self.slope:+5.2f} slope  {self.what}: {sizes}"


def measure(journals: Journals, rounds: int) -> Iterator[Growth]:
    """Each act as the median of some rounds, in every journal."""
    if len(journals.sizes) < 2:
        return
    for what, act in (*_acts(), *_visits(journals)):
        yield Growth(what, {makes: _median(act, journals.of(makes), rounds)
                            for makes in journals.sizes})  # fmt: skip


def _median(act: Callable[[Path], float], path: Path, rounds: int) -> float:
    act(path)
    return median(act(path) for _ in range(min(rounds, 5)))


def _timed(act: Callable[[], object]) -> float:
    begun = time.perf_counter_ns()
    act()
    return (time.perf_counter_ns() - begun) / 1e6


def _acts() -> Iterator[tuple[str, Callable[[Path], float]]]:
    from journal.desk.find import things_of
    from journal.keeping import Journal
    from journal.records.instants import now_ms
    from journal.reports.agenda import agenda_of

    def opened(path: Path) -> float:
        return _timed(lambda: Journal.open(path).close())

    def within(act: Callable[[Journal], object]) -> Callable[[Path], float]:
        def run(path: Path) -> float:
            with Journal.open(path) as journal:
                return _timed(lambda: act(journal))

        return run

    def newest(journal: Journal) -> object:
        return journal.whole(journal.makes.by_code("latest").id or 0)

    def logged(journal: Journal) -> object:
        key = journal.makes.by_code("latest").id or 0
        return journal.readings.log(key, "milk-temp", 31.4, now_ms() + time.monotonic_ns() % 10**6)

    yield "a journal opened and closed", opened
    yield "the list of makes", within(lambda journal: journal.makes.rows())
    yield "what is to do today", within(lambda journal: agenda_of(journal, now_ms()))
    yield "the newest make with all that hangs on it", within(newest)
    yield "a reading until durable", within(logged)
    yield "all that Find can find", within(things_of)


def _visits(journals: Journals) -> Iterator[tuple[str, Callable[[Path], float]]]:
    from journal.desk.places import PLACES
    from tests.pace.desk import PacedWindow

    def visit(path: Path, key: str) -> float:
        paced = PacedWindow(path, journals.folder / f"{path.stem}-growth.ini", place="vat")
        took = paced.go(key)
        paced.close()
        return took

    for entry in PLACES:
        if entry.key != "vat":
            yield f"{entry.title} visited", lambda path, key=entry.key: visit(path, key)
