"""SIGKILL at random moments, to one of those who write or to all at once."""

from __future__ import annotations

import calendar
import itertools
import json
import os
import random
import select
import shutil
import subprocess
import sys
import tempfile
import time
from functools import partial
from pathlib import Path

from tests.siege.acting import (
    LOGGER,
    NAME,
    ROLES,
    USUAL,
    Hand,
    Part,
    Process,
    apart,
    command,
    commands,
    logged,
    logged_value,
    make_kitchen,
)
from tests.siege.table import Tally

FIRST, LAST = 0x40000002, 0x40000002 + 509  # the bytes that an open connection of SQLite shares
LONGEST = 6  # between two kills, in the time that two commands take here and now
A_DAY, ALL_EACH = 30, 10  # moments of killing in one journal; at each tenth all are killed
SPOKEN = ("will", "begins", "draft", "open")  # of a row that is no row of the journal
ORACLE = Path(__file__).with_name("oracle.py")


def ask(journal: Path, reported: list[list[object]], **more: object) -> dict[str, list[str]]:
    """Ask the oracle, in a fresh process."""
    question = json.dumps({"journal": str(journal), "said": reported, **more})
    done = subprocess.run(
        [sys.executable, "-I", ORACLE], input=question, capture_output=True, text=True, check=False
    )
    if done.returncode:
        return {"faults": [f"the oracle died: {done.stderr[-300:]}"]}
    found: dict[str, list[str]] = json.loads(done.stdout)
    return found


def holds(pid: int, journal: Path) -> bool:
    """Whether a process still holds the shared lock of an open journal, as the kernel says."""
    inode = journal.stat().st_ino
    for line in Path("/proc/locks").read_text().splitlines():
        words = line.split()
        if words[1:4:2] == ["POSIX", "READ"] and words[4] == str(pid):
            ends = words[6:8]
            if words[5].endswith(f":{inode}") and ends == [str(FIRST), str(LAST)]:
                return True
    return False


class Day:
    """One journal, those who write to it, and what they have acknowledged."""

    def __init__(self, folder: Path, rng: random.Random, tally: Tally, roles: list[str]) -> None:
        self.folder, self.rng, self.tally, self.roles = folder, rng, tally, roles
        self.numbers = itertools.count(0, 200)
        self.lines = itertools.count(3)
        self.reported: list[list[object]] = []
        self.sure: list[tuple[str, list[list[object]]]] = []  # backups, and what each must hold
        self.begun_ms = 0
        self.here: dict[str, Process] = {}
        self.known: dict[str, int] = {}  # how much was acknowledged when a process began
        apart(partial(make_kitchen, folder), folder)
        self.path = folder / NAME
        begun = time.monotonic()
        self.reported += apart(
            partial(commands, Part(folder, itertools.count(90_000), 2)), folder
        ).reported
        self.longest_s = LONGEST * (time.monotonic() - begun)

    def begin(self, role: str) -> None:
        """Start one of those who write."""
        first = next(self.numbers)
        part = Part(self.folder, itertools.count(first), rng=random.Random(first))
        self.known[role] = len(self.reported)
        self.here[role] = Process(partial(ROLES[role.split()[0]], part), self.folder / "errors.txt")

    def hear(self, role: str) -> None:
        """Take down what one has said."""
        self.take(role, self.here[role].hear())

    def take(self, role: str, rows: list[list[object]]) -> None:
        """Take down rows; a backup must hold what was acknowledged before its process began."""
        for row in rows:
            if row[0] == "backup":
                self.sure.append((str(row[1]), self.reported[: self.known[role]]))
            else:
                self.reported.append(row)

    def kill(self, role: str) -> None:
        """Kill one at this moment."""
        one = self.here.pop(role)
        before = len(one.reported)
        self.tally.counts["kills"] += one.kill()
        self.take(role, one.reported[before:])

    def some_time(self) -> None:
        """Let them write for a random while; the logger writes too."""
        end = time.monotonic() + self.rng.uniform(0, self.longest_s)
        with (self.folder / LOGGER).open("a", encoding="utf-8") as logger:
            logger.writelines(logged(range(n := next(self.lines), n + 1), self.begun()))
        while (left := end - time.monotonic()) > 0:
            pipes = {one.pipe: role for role, one in self.here.items() if one.code is None}
            for pipe in select.select(list(pipes), [], [], left)[0]:
                role = pipes[pipe]
                self.hear(role)
                if os.waitpid(self.here[role].pid, os.WNOHANG)[0]:
                    self.tally.faults.append(f"{role} ended by itself: {self.errors()}")
                    self.here[role].code = 1
                    os.close(pipe)
                    self.here.pop(role)
                    self.begin(role)

    def begun(self) -> int:
        """When the make that runs began, from the logger's own first line."""
        if not self.begun_ms:
            first = (self.folder / LOGGER).read_text("utf-8").splitlines()[1].split(",")[0]
            self.begun_ms = 1000 * calendar.timegm(time.strptime(first, "%Y-%m-%d %H:%M:%S"))
        return self.begun_ms

    def errors(self) -> str:
        """The last that one of them wrote on its standard error."""
        path = self.folder / "errors.txt"
        return path.read_text("utf-8")[-1500:] if path.exists() else ""

    def live(self, kills: int, whole: int) -> None:
        """Kill one after another; at every `whole`-th all at once, and look."""
        for role in self.roles:
            self.begin(role)
        for turn in range(1, kills + 1):
            self.some_time()
            if turn % whole == 0 or turn == kills:
                self.all_at_once()
                if turn < kills:
                    for role in self.roles:
                        self.begin(role)
                continue
            here = list(self.here)
            role = self.rng.choices(here, [1 if one == "window" else 3 for one in here])[0]
            self.kill(role)
            self.look_at_locks()
            self.begin(role)

    def look_at_locks(self) -> None:
        """A window that is open holds its lock, whatever befell the others."""
        one = self.here.get("window")
        if one is not None and ["open"] in one.reported:
            self.tally.counts["locks seen"] += 1
            if not holds(one.pid, self.path):
                self.tally.faults.append("a window lost its lock")

    def all_at_once(self) -> None:
        """Kill all; what was acknowledged is there before and after the next start."""
        for role in list(self.here):
            os.kill(self.here[role].pid, 9)
        for role in list(self.here):
            self.kill(role)
        with tempfile.TemporaryDirectory() as beside:  # as it lies, untouched by the program
            copy = Path(beside) / "as-it-lies"
            shutil.copytree(self.folder, copy)
            self.judge(ask(copy / NAME, self.reported, backups=self.sure), "as it lies")
        if apart(partial(next_start, self.folder, next(self.numbers)), self.folder).code:
            self.tally.faults.append(f"no next start: {self.errors()}")
        # The new window was typed into: what was half typed before is another's by now.
        self.reported = [row for row in self.reported if row[0] not in ("will", "draft")]
        probe = [["reading", logged_value(n)] for n in range(self._lines_written())]
        found = ask(self.path, self.reported + probe, backups=self.sure, closed=True)
        self.judge(found, "after the next start")
        self.tally.counts["looks"] += 1

    def _lines_written(self) -> int:
        return len((self.folder / LOGGER).read_text("utf-8").splitlines()) - 1

    def judge(self, found: dict[str, list[str]], when: str) -> None:
        """Take down the faults, each once."""
        for fault in found["faults"]:
            text = f"{when}: {fault}"
            if text not in self.tally.faults:
                self.tally.faults.append(text)


def next_start(folder: Path, number: int) -> None:
    """Open the window again, read once, close it; the sensor catches up; the journal is sound."""
    hand = Hand(Part(folder, itertools.count(number)))
    hand.read(number)
    hand.window.close()
    hand.journal.close()
    command("watch", folder / NAME, "latest", "--sensor", "probe", "--for", "1s")
    if not command("check", folder / NAME):
        raise AssertionError("check says that the journal is not sound")


def run(count: int, seed: int) -> Tally:
    """So many kills, a new journal after each `A_DAY`."""
    tally, rng = Tally("kills"), random.Random(seed)
    while (left := count - tally.counts["kills"]) > 0:
        with tempfile.TemporaryDirectory() as folder:
            day = Day(Path(folder), rng, tally, list(USUAL))
            day.live(min(A_DAY, left), ALL_EACH)
            tally.counts["rows acknowledged"] += sum(row[0] not in SPOKEN for row in day.reported)
    return tally
