"""A delimited file of a million rows into the journal, against `pandas.read_csv` of the same
columns with their dates parsed plus one bare `executemany`.

pandas stands in an environment of its own beside the journals that are measured, made at the first
measurement: the program and its tests have nothing to do with it.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import venv
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn
from tests.pace.starting import ROOT

ROWS = 1_000_000
START_S = 1_770_000_000

_OURS = """
import sys, time
from journal.exchange.bring_in import bring_in
from journal.keeping import Journal
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans
path, table, start_ms, rows = sys.argv[1:]
with Journal.create(path, zone="UTC") as journal:
    make = journal.makes.begin(builtin_plans()[0], Milk(12.0), int(start_ms))
    begun = time.perf_counter()
    report = bring_in(journal, make, table)
    took = time.perf_counter() - begun
assert report.kept == 2 * int(rows), report
print(took * 1000)
"""

_BARE = """
import sqlite3, sys, time
import pandas
path, table = sys.argv[1:]
db = sqlite3.connect(path)
db.execute("pragma journal_mode = wal")
db.execute("pragma synchronous = full")
db.execute("create table reading (at integer, milk real, ph real)")
begun = time.perf_counter()
frame = pandas.read_csv(table, parse_dates=["Time"])
at = frame["Time"].astype("int64")
rows = zip(at.tolist(), frame.iloc[:, 1].tolist(), frame.iloc[:, 2].tolist())
with db:
    db.executemany("insert into reading values (?, ?, ?)", rows)
print((time.perf_counter() - begun) * 1000)
"""


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """Both read the same file into a new database, in a process of their own."""
    python = _with_pandas(journals)
    if python is None:
        sys.stderr.write("A delimited file: not measured, pandas could not be installed here.\n")
        return
    table = journals.folder / "million.csv"
    _write(table)
    yield in_turn(
        f"a delimited file of {ROWS:,} rows, to pandas and one executemany",
        _Read(Path(sys.executable), _OURS, table, journals.folder / "ours" / "rows.vatside",
              str(START_S * 1000), str(ROWS)),
        _Read(python, _BARE, table, journals.folder / "bare" / "rows.db"),
        min(rounds, 3), 3.0,
    )  # fmt: skip


def _with_pandas(journals: Journals) -> Path | None:
    home = journals.kept / "with-pandas"
    python = home / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if not python.exists():
        venv.create(home, with_pip=True)
    if _runs([python, "-c", "import pandas"]) or _runs([python, "-m", "pip", "install", "pandas"]):
        return python
    return None


def _runs(command: list[str | Path]) -> bool:
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def _write(path: Path) -> None:
    with path.open("w") as file:
        file.write("Time,Milk (°C),Whey pH\n")
        for number in range(ROWS):
            when = datetime.fromtimestamp(START_S + number, UTC)
            file.write(f"{when:%Y-%m-%d %H:%M:%S},{31 + number % 400 / 100:.2f},"
                       f"{6.6 - number % 150 / 100:.2f}\n")  # fmt: skip


class _Read:
    """One reading of the file into a new database, ms as its process says."""

    def __init__(self, python: Path, code: str, table: Path, into: Path, *more: str) -> None:
        self._into = into
        self._command = [str(python), "-c", code, str(into), str(table), *more]

    def __call__(self) -> float:
        shutil.rmtree(self._into.parent, ignore_errors=True)
        self._into.parent.mkdir()
        done = subprocess.run(self._command, capture_output=True, text=True, check=True, cwd=ROOT)
        return float(done.stdout)
