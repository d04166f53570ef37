"""All findings of a large journal against scipy's permutation test, a variable at a time; and the
command's findings on a journal of 2,000 makes against one of 500."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from journal.findings import ScoreTable, Variable, study
from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn

MAKES, VARIABLES, PERMUTATIONS = 500, 40, 9999
QUICKER = 20.0
TRIED = 2
"""Variables scipy is really asked about in a round; its time for all of them is in proportion."""
SOME, MANY_MAKES, TIMES, MOST_MB = 500, 2000, 4.0, 600.0
READINGS = 60
"""Readings a make in the journals of many makes: what findings ask for grows with the makes."""
BEAT_S = 0.01
UI_SHARE_S = 1.0


def large_table(seed: int = 1) -> ScoreTable:
    """500 makes of 40 variables, one wheel each."""
    draw = np.random.default_rng(seed)
    x = draw.normal(size=(MAKES, VARIABLES))
    y = 6 + x[:, :5] @ np.full(5, 0.3) + 0.8 * draw.normal(size=MAKES)
    return ScoreTable(
        "overall", [f"m{i}" for i in range(MAKES)], ["A"] * MAKES, y, np.full(MAKES, np.nan),
        [Variable(f"v{j}", step=1.0) for j in range(VARIABLES)], x,
    )  # fmt: skip


def _ours(table: ScoreTable) -> float:
    begin = time.perf_counter()
    study(table, permutations=PERMUTATIONS)
    return 1000 * (time.perf_counter() - begin)


def _as_documented(table: ScoreTable) -> float:
    """scipy.stats.permutation_test about Spearman's rho as its manual writes it, in proportion."""
    from scipy.stats import permutation_test, spearmanr

    def statistic(x: np.ndarray) -> float:
        return float(spearmanr(x, table.y).statistic)

    begin = time.perf_counter()
    permutation_test((table.x[:, 0],), statistic, permutation_type="pairings",
                     n_resamples=PERMUTATIONS, rng=np.random.default_rng(0))  # fmt: skip
    return 1000 * (time.perf_counter() - begin) * VARIABLES


def _at_its_best(table: ScoreTable) -> float:
    """The same test over ranks made once and sums of products, vectorized, in proportion."""
    from scipy.stats import permutation_test, rankdata

    ranks = rankdata(table.y)

    def statistic(x: np.ndarray, axis: int = -1) -> np.ndarray:
        return (x * ranks).sum(axis=axis)

    begin = time.perf_counter()
    for j in range(TRIED):
        own = rankdata(table.x[:, j])
        permutation_test((own,), statistic, permutation_type="pairings", vectorized=True,
                         n_resamples=PERMUTATIONS, rng=np.random.default_rng(j))  # fmt: skip
    return 1000 * (time.perf_counter() - begin) * VARIABLES / TRIED


def ui_share_ms(table: ScoreTable) -> float:
    """How long a thread that should beat every 10 ms was held up by the study beside it, in ms:
    what each beat came late by, summed, less what as many beats come late by with nothing
    beside them (a busy machine is no fault of the study)."""
    done = threading.Event()

    def work() -> None:
        study(table, permutations=PERMUTATIONS)
        done.set()

    worker = threading.Thread(target=work)
    worker.start()
    late, beats = 0.0, 0
    while not done.is_set():
        late += _late_s()
        beats += 1
    worker.join()
    return 1000 * max(late - sum(_late_s() for _ in range(beats)), 0.01)


def _late_s() -> float:
    """What one beat comes late by, seconds."""
    before = time.perf_counter()
    time.sleep(BEAT_S)
    return max(time.perf_counter() - before - BEAT_S, 0.0)


_MEASURED = """
import os, sys, time
begun = time.perf_counter()
child = os.spawnv(os.P_NOWAIT, sys.executable, [sys.executable, "-m", "journal.command",
                  "findings", sys.argv[1], "--score", "overall", "--json"])
_, status, used = os.wait4(child, 0)
sys.stderr.write(f"{time.perf_counter() - begun} {used.ru_maxrss / 1024} {status}")
"""


def command_s_mb(path: Path) -> tuple[float, float]:
    """What the command `findings` takes for a journal, in seconds and MB."""
    done = subprocess.run([sys.executable, "-c", _MEASURED, str(path)], stdout=subprocess.DEVNULL,
                          stderr=subprocess.PIPE, text=True, check=True,
                          env={**os.environ})  # fmt: skip
    seconds, megabytes, status = done.stderr.split()[-3:]
    assert status == "0", done.stderr
    return float(seconds), float(megabytes)


def many_makes(folder: Path, rounds: int) -> Iterator[Ratio]:
    """The findings of 2,000 makes against those of 500, and their memory against 600 MB."""
    from journal.sample import write_sample

    paths = {makes: folder / f"{makes}.vatside" for makes in (SOME, MANY_MAKES)}
    for makes, path in paths.items():
        write_sample(path, makes=makes, readings_per_make=READINGS)
    mb: list[float] = []

    def many() -> float:
        seconds, megabytes = command_s_mb(paths[MANY_MAKES])
        mb.append(megabytes)
        return 1000 * seconds

    def some() -> float:
        return 1000 * command_s_mb(paths[SOME])[0]

    what = f"the command findings on {MANY_MAKES} makes"
    yield in_turn(f"{what} against {SOME}", many, some, rounds, TIMES, warm=0)
    yield Ratio(f"{what}, memory", mb, [MOST_MB] * len(mb), 1.0, "MB")


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """The study against scipy's test, what it holds the thread of the window up by, and how it
    grows with the makes."""
    table = large_table()
    few = min(rounds, 3)
    what = f"all findings of {MAKES} makes, {VARIABLES} variables, {PERMUTATIONS} orders, against "

    def ours() -> float:
        return _ours(table)

    def documented() -> float:
        return _as_documented(table)

    def best() -> float:
        return _at_its_best(table)

    def share() -> float:
        return ui_share_ms(table)

    def a_second() -> float:
        return 1000 * UI_SHARE_S

    yield in_turn(f"{what}scipy.stats.permutation_test a variable as its manual writes it (one "
                  "timed, in proportion)", ours, documented, few, 1 / QUICKER)  # fmt: skip
    yield in_turn(f"{what}the same test over sums of ranks, vectorized ({TRIED} timed, in "
                  "proportion)", ours, best, few, None)  # fmt: skip
    yield in_turn("what the study holds the window's thread up by, against a second", share,
                  a_second, few, 1.0)  # fmt: skip
    yield from many_makes(journals.folder, few)
