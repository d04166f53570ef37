"""SIGKILL in the midst of what must be whole or not at all: a new journal, a newer format, an
import, a backup, a restore."""

from __future__ import annotations

import itertools
import os
import random
import shutil
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from journal.records.instants import now_ms
from tests.siege.acting import (
    NAME,
    Part,
    Process,
    apart,
    bring,
    command,
    commands,
    make_kitchen,
    picture,
    tell,
)
from tests.siege.kills import ask
from tests.siege.table import Tally

RELEASED = Path(__file__).parents[1] / "keeping" / "released"
FAR = "Asia/Tokyo"  # no zone that anything falls back to
PLAN = ("--plan", "cheddar type", "--milk", "12l")


class Scene:
    """One act that is killed again and again; `prepare` makes the folder it begins in, `act` is
    what is killed, `judge` says what is wrong afterwards."""

    def __init__(self, rng: random.Random, tally: Tally) -> None:
        self.rng, self.tally = rng, tally

    name = ""
    journal = NAME

    def prepare(self, folder: Path) -> None:
        """Make what is there before."""
        make_kitchen(folder)

    def act(self, folder: Path) -> None:
        """What is killed."""
        raise NotImplementedError

    def judge(self, folder: Path, reported: list[list[object]]) -> list[str]:
        """What is wrong when the program has started again."""
        return ask(folder / self.journal, [*self.before, *reported], closed=True)["faults"]

    before: tuple[list[object], ...] = ()

    def next_start(self, folder: Path) -> None:
        """Log a reading and check."""
        last = command("log", folder / self.journal, "latest", "milk-temp", "31.4")
        if not last or not command("check", folder / self.journal):
            raise AssertionError("not sound after the next start")

    def live(self, count: int) -> None:
        """Measure how long the act takes, then kill it so many times at a random moment of it."""
        with tempfile.TemporaryDirectory() as kept:
            base = Path(kept) / "base"
            base.mkdir()
            apart(partial(self.prepare, base), base)
            took = self._measure(base)
            for number in range(count):
                folder = Path(kept) / f"{number}"
                shutil.copytree(base, folder)
                self._once(folder, took)
                shutil.rmtree(folder)

    def _measure(self, base: Path) -> float:
        times = []
        for number in range(3):
            with tempfile.TemporaryDirectory() as folder:
                whole = Path(folder) / f"{number}"
                shutil.copytree(base, whole)
                begun = time.monotonic()
                if apart(partial(self.act, whole), whole).code:
                    self._fault(f"failed by itself: {(whole / 'errors.txt').read_text()[-900:]}")
                times.append(time.monotonic() - begun)
        return max(times)

    def _once(self, folder: Path, took: float) -> None:
        one = Process(partial(self.act, folder), folder / "errors.txt")
        time.sleep(self.rng.uniform(0, took))  # the random moment
        self.tally.counts[f"in a {self.name}"] += one.kill()
        if one.code not in (0, -9):
            self._fault(f"failed by itself: {(folder / 'errors.txt').read_text()[-900:]}")
        if apart(partial(self.next_start, folder), folder).code:
            self._fault(f"no next start: {(folder / 'errors.txt').read_text()[-900:]}")
        for fault in self.judge(folder, one.reported):
            self._fault(fault)

    def _fault(self, fault: str) -> None:
        text = f"{self.name}: {fault}"
        if text not in self.tally.faults:
            self.tally.faults.append(text)


class Making(Scene):
    """A new journal: there with its first make, or not at all, and to be made again then."""

    name = "making of a journal"

    def prepare(self, folder: Path) -> None:
        """Nothing."""

    def act(self, folder: Path) -> None:
        """Begin a make in a journal that is made for it."""
        os.environ["TZ"] = FAR
        if command("begin", folder / NAME, *PLAN):
            tell("new", str(folder / NAME))

    def next_start(self, folder: Path) -> None:
        """Begin again, where that is needed."""
        if "cheddar" not in command("makes", folder / NAME):
            self.act(folder)
        super().next_start(folder)

    def judge(self, folder: Path, reported: list[list[object]]) -> list[str]:
        """Whole, in this machine's zone, with one make."""
        wanted = [["new", NAME], ["set", "letters", "HL"], ["set", "zone", FAR]]
        return ask(folder / NAME, wanted, closed=True)["faults"]


class MovingOn(Scene):
    """A journal of an older format, opened by several at once: moved on, all rows there."""

    name = "migration"
    journal = "format_1.vatside"

    def prepare(self, folder: Path) -> None:
        """A released file with its photos."""
        shutil.copy(RELEASED / self.journal, folder)
        shutil.copytree(RELEASED / f"{self.journal}.photos", folder / f"{self.journal}.photos")

    def act(self, folder: Path) -> None:
        """Log readings in it."""
        (folder / NAME).symlink_to(folder / self.journal)
        commands(Part(folder, itertools.count(1), 2))

    def next_start(self, folder: Path) -> None:
        """Check it, and log."""
        (folder / NAME).unlink(missing_ok=True)
        super().next_start(folder)

    def judge(self, folder: Path, reported: list[list[object]]) -> list[str]:
        """All rows of the released file are there, and in the copy beside it, if there is one."""
        old = RELEASED / self.journal
        faults = ask(folder / self.journal, reported, closed=True, rows_of=str(old))["faults"]
        for copy in folder.glob("format_1.format-*.vatside"):
            faults += [f"copy: {one}" for one in ask(copy, [], rows_of=str(old))["faults"]]
        return faults


class Importing(Scene):
    """An import of a logger's file of many rows: all of it, or nothing."""

    name = "import"

    def act(self, folder: Path) -> None:
        """Import."""
        bring(Part(folder, itertools.count()), 7, 3000)

    def judge(self, folder: Path, reported: list[list[object]]) -> list[str]:
        """The file that was to be imported may lie there still."""
        (folder / "import-7.csv").unlink(missing_ok=True)
        return super().judge(folder, reported)


class BackingUp(Scene):
    """A backup with photos: whole, or none under its name."""

    name = "backup"

    def prepare(self, folder: Path) -> None:
        """With photos, and a backup."""
        make_kitchen(folder)
        keep_photos(folder, 3)
        command("backup", folder / NAME)

    def act(self, folder: Path) -> None:
        """Back up."""
        command("backup", folder / NAME)

    def judge(self, folder: Path, reported: list[list[object]]) -> list[str]:
        """Every backup is a whole journal."""
        there = [(path.name, []) for path in (folder / f"{NAME}.backups").glob("*.vatside")]
        return ask(folder / NAME, [], backups=there, closed=True)["faults"]


class Restoring(Scene):
    """A restore: the journal is what it was, or what the backup is; with its photos."""

    name = "restore"

    def prepare(self, folder: Path) -> None:
        """A backup, and then more."""
        make_kitchen(folder)
        keep_photos(folder, 2)
        command("backup", folder / NAME)
        commands(Part(folder, itertools.count(1), 2))

    def act(self, folder: Path) -> None:
        """Restore."""
        oldest = min((folder / f"{NAME}.backups").glob("*.vatside"))
        command("restore", folder / NAME, oldest)

    def judge(self, folder: Path, reported: list[list[object]]) -> list[str]:
        """The two readings of since are there both, or neither, and not one of them."""
        both = [["begins", [28.0001, 28.0002]]]
        there = [(path.name, []) for path in (folder / f"{NAME}.backups").glob("*.vatside")]
        return ask(folder / NAME, both, backups=there, closed=True)["faults"]


def keep_photos(folder: Path, count: int) -> None:
    """Notes with photos, as the program keeps them."""
    from journal.keeping import Journal
    from journal.records.makes import Note

    with Journal.open(folder / NAME) as journal:
        for number in range(count):
            chosen = folder / f"camera-{number}.png"
            chosen.write_bytes(picture(number))
            journal.photos.save(Note(now_ms(), f"photo {number}", 2), chosen)
            chosen.unlink()


SCENES: tuple[Callable[[random.Random, Tally], Scene], ...] = (
    Making, MovingOn, Importing, BackingUp, Restoring,
)  # fmt: skip


def run(count: int, seed: int) -> Tally:
    """So many kills, shared among the scenes."""
    tally, rng = Tally("scenes"), random.Random(seed)
    for scene in SCENES:
        scene(rng, tally).live(max(1, count // len(SCENES)))
    return tally
