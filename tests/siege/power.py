"""Power cuts: what was acknowledged is there, whatever of the unsynced rest was lost."""

from __future__ import annotations

import json
import random
import sys
import tempfile
from functools import partial
from pathlib import Path

from tests.siege.acting import NAME, apart, command, make_kitchen, reading
from tests.siege.disk import Disk, calls, can_record, record
from tests.siege.kills import ask
from tests.siege.table import Tally

ROOT = Path(__file__).resolve().parents[2]
ROLES = ("window", "commands", "watcher", "background", "beginner", "exporter", "bundler")
ACTS, A_RECORD = 12, 30  # acts of each in a record, and cuts of it; fewer where few are wanted
_OUT = ("exports", "bundles")
_OWN = ("camera-", "import-", "errors.txt", "logger.csv")  # files of the siege itself


def run(count: int, seed: int) -> Tally:
    """So many cuts, some of each of several records."""
    tally, rng = Tally("power"), random.Random(seed)
    tally.not_run = can_record()
    while not tally.not_run and (left := count - tally.counts["cuts"]) > 0:
        with tempfile.TemporaryDirectory() as folder:
            acts = ACTS if count >= A_RECORD else 4
            Record(Path(folder).resolve(), rng, tally, acts).cut(min(A_RECORD, left))
    return tally


class Record:
    """Some who write at once, recorded to their end."""

    def __init__(self, folder: Path, rng: random.Random, tally: Tally, acts: int) -> None:
        self.rng, self.tally = rng, tally
        self.kitchen, self.log = folder / "kitchen", folder / "calls"
        self.images = folder / "images"
        self.kitchen.mkdir()
        apart(partial(make_kitchen, self.kitchen), self.kitchen)
        self.disk = Disk(self.kitchen)
        words = ["-m", "tests.siege.acting", str(self.kitchen), str(acts), "0", *ROLES]
        if record([sys.executable, *words], self.log):
            tally.faults.append(f"the record: {(self.kitchen / 'errors.txt').read_text()[-1500:]}")
        self.reported: list[list[object]] = []
        self.announced: dict[int, int] = {}  # by process: how far the record was at its last word

    def cut(self, count: int) -> None:
        """Play the record and cut the power at so many random moments of it."""
        every = list(calls(self.log))
        moments = sorted(self.rng.choices(range(len(every)), k=count))
        for at, call in enumerate(every):
            self.disk.play(call)
            rows = _said(call)
            for row in rows:
                self.reported.append(row)
                self.tally.counts["acknowledged"] += 1
            if rows:
                self._look_at_sync(call.pid, str(rows[-1][0]))
            while moments and moments[0] == at:
                moments.pop(0)
                self._cut_here()

    def _look_at_sync(self, pid: int, kind: str) -> None:
        """An act that is acknowledged left nothing of its own pending."""
        since, self.announced[pid] = self.announced.get(pid, 0), self.disk.at
        if kind in ("will", "begins", "open"):
            return
        self.tally.counts["syncs seen"] += 1
        for path in self.disk.unsynced(pid, since):
            name = Path(path).name
            # What a fold brought over in part is synced with the rest, before the -wal begins anew.
            if not name.startswith(_OWN) and f"{path}-wal" not in self.disk.names:
                announced = "the name " * path.startswith("the name ") + _kind_of(path)
                self._fault(f"not synced when {kind} was acknowledged: {announced}")

    def _cut_here(self) -> None:
        self.tally.counts["cuts"] += 1
        reported = [row for row in self.reported if row[0] not in ("backup", "export", "bundle")]
        backups = [(row[1], []) for row in self.reported if row[0] == "backup"]
        there = {kind: [row[1] for row in self.reported if row[0] == kind[:-1]] for kind in _OUT}
        with tempfile.TemporaryDirectory() as folder:
            image = Path(folder) / "kitchen"
            self.disk.image(image, self.rng)
            opened = Path(folder) / "opened"
            _copy(image, opened)
            self._judge(ask(image / NAME, reported, backups=backups, **there), "as it lies")
            if apart(partial(_next_start, opened, self.tally.counts["cuts"]), opened).code:
                self._fault(f"no next start: {(opened / 'errors.txt').read_text()[-600:]}")
            found = ask(opened / NAME, reported, backups=backups, **there)
            self._judge(found, "after the next start")

    def _judge(self, found: dict[str, list[str]], when: str) -> None:
        for fault in found["faults"]:
            self._fault(f"{when}: {fault}")

    def _fault(self, fault: str) -> None:
        if fault not in self.tally.faults:
            self.tally.faults.append(fault)


def _said(call: object) -> list[list[object]]:
    """What a process acknowledged by a call."""
    if call.name != "write" or not call.inside.startswith("1<"):
        return []
    found = []
    for line in call.texts[-1].decode(errors="replace").splitlines():
        if line.startswith('["'):
            found.append(json.loads(line))
    return found


def _kind_of(path: str) -> str:
    """A file's name without what is its own alone."""
    return "".join("#" if letter.isdigit() else letter for letter in Path(path).name)


def _copy(folder: Path, to: Path) -> None:
    import shutil

    shutil.copytree(folder, to)


def _next_start(folder: Path, number: int) -> None:
    """Log one reading and check."""
    if not command("log", folder / NAME, "latest", "milk-temp", f"{reading(90000 + number)}"):
        raise AssertionError("nothing can be logged")
    if not command("check", folder / NAME):
        raise AssertionError("check says that the journal is not sound")
