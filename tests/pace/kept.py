"""Simulated journals in parts, each kept in a file as it is done: a long run can be taken up again.

A line of the file is what was run, the numbers of the journals (first and how many) and one row of
figures a journal. A line that was cut off is run again.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from functools import partial
from multiprocessing import Pool
from pathlib import Path

import numpy as np

Rows = list[list[float]]
PART = 25
"""Journals a process is given at a time."""


class Kept:
    """What was run before, and what is run now."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path
        self._rows: dict[tuple[str, int, int], Rows] = {}
        for line in path.read_text("utf-8").splitlines() if path and path.exists() else ():
            try:
                what, first, size, rows = json.loads(line)
            except ValueError:
                continue
            self._rows[what, first, size] = rows

    def run(
        self, what: str, work: Callable[[Sequence[int]], Rows], count: int, jobs: int
    ) -> np.ndarray:
        """One row a journal (count, figures): what `work` says of the numbers it is given."""
        parts = [range(i, min(i + PART, count)) for i in range(0, count, PART)]
        wanted = [part for part in parts if (what, part.start, len(part)) not in self._rows]
        if jobs == 1:
            for part in wanted:
                self._keep(what, part, work(part))
        else:
            with Pool(jobs) as pool:
                for part, rows in pool.imap(partial(_told, work), wanted, chunksize=1):
                    self._keep(what, part, rows)
        rows = [row for part in parts for row in self._rows[what, part.start, len(part)]]
        return np.array(rows, dtype=float)

    def over(
        self, what: str, work: Callable[[int, Sequence[int]], Rows], seeds: Sequence[int],
        count: int, jobs: int,
    ) -> np.ndarray:  # fmt: skip
        """The same of several seeds, one after the other; `work` is given the seed first."""
        runs = [self.run(f"{what} {seed}", partial(work, seed), count, jobs) for seed in seeds]
        return np.concatenate(runs)

    def _keep(self, what: str, part: range, rows: Rows) -> None:
        plain = [[float(value) for value in row] for row in rows]
        self._rows[what, part.start, len(part)] = plain
        if self.path is not None:
            with self.path.open("a", encoding="utf-8") as file:
                file.write(json.dumps([what, part.start, len(part), plain]) + "\n")


def _told(work: Callable[[Sequence[int]], Rows], part: range) -> tuple[range, Rows]:
    return part, work(part)


def each(work: Callable[[int], Sequence[float]], numbers: Sequence[int]) -> Rows:
    """What `work` says of each number."""
    return [list(work(number)) for number in numbers]
