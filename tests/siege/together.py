"""Several at once on one journal: windows and commands write in turn; what one has acknowledged is
shown by each window within a second, and undo takes back nobody else's."""

from __future__ import annotations

import itertools
import json
import os
import random
import select
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QEventLoop, Qt

from tests.siege.acting import (
    CTRL,
    NAME,
    Hand,
    Part,
    Process,
    apart,
    command,
    make_kitchen,
    reading,
    tell,
)
from tests.siege.kills import ask
from tests.siege.table import Tally

WINDOWS = 3
A_KITCHEN = 40  # acts in one journal
SOON_S, PATIENCE_S = 1.0, 15.0
ANSWER_S = 600.0  # one that died is noticed at once; this is for a machine with much to do
_STEP_MS = 20


class Puppet:
    """A window that does what it is told, an order a line."""

    def __init__(
        self, folder: Path, number: int, first: Callable[[], object] = lambda: None
    ) -> None:
        orders, self._out = os.pipe()
        part = Part(folder, itertools.count(), ini=folder / f"window-{number}.ini")
        self.process = Process(partial(_obey, part, orders, first), folder / "errors.txt")
        os.close(orders)
        self._answers: list[list[object]] = []

    def ask(self, *order: object) -> list[object]:
        """Give an order and wait for the answer."""
        self.begin(*order)
        return self.answer()

    def begin(self, *order: object) -> None:
        """Give an order."""
        os.write(self._out, (json.dumps(order) + "\n").encode())

    def answer(self) -> list[object]:
        """The next answer."""
        end = time.monotonic() + ANSWER_S
        while time.monotonic() < end:
            for row in self.process.hear():
                if row[0] == "answer":
                    return row[1:]
            if not select.select([self.process.pipe], [], [], 1)[0]:
                continue
            if os.waitpid(self.process.pid, os.WNOHANG)[0]:
                break
        raise RuntimeError("a window gives no answer")

    def kill(self) -> None:
        """End it, where something went wrong."""
        self.process.kill()

    def close(self) -> None:
        """Close the window."""
        self.begin("close")
        self.process.wait()
        os.close(self._out)


def _log(*words: object) -> None:
    if not command(*words):
        raise AssertionError("refused")


def _obey(part: Part, orders: int, first: Callable[[], object]) -> None:
    """What the process of a window does."""
    first()
    hand, rest = Hand(part), b""
    tell("answer", "open")
    while True:
        hand.app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, _STEP_MS)
        if not select.select([orders], [], [], _STEP_MS / 1000)[0]:
            continue
        rest += os.read(orders, 65536)
        while b"\n" in rest:
            line, rest = rest.split(b"\n", 1)
            word, *values = json.loads(line)
            if word == "close":
                hand.window.close()
                hand.journal.close()
                return
            tell("answer", *_ACTS[word](hand, *values))


def _read(hand: Hand, number: int) -> list[object]:
    line = hand.window.current.page.entry.temp.line
    hand.read(number)
    return [not line.text()]


def _shows(hand: Hand) -> set[float]:
    """The values among the last readings on the page."""
    return {round(one.value, 4) for one in hand.window.current.page.readings.readings}


def _see(hand: Hand, value: float, there: bool) -> list[object]:
    """Wait until a value is shown, or no more; how long that took, the machine's own lateness
    taken off."""
    begun, late, before = time.monotonic(), 0.0, time.monotonic()
    while (value in _shows(hand)) != there and time.monotonic() < begun + PATIENCE_S:
        hand.app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, _STEP_MS)
        select.select([], [], [], _STEP_MS / 1000)
        late += max(0.0, time.monotonic() - before - 3 * _STEP_MS / 1000)
        before = time.monotonic()
    return [(value in _shows(hand)) == there, time.monotonic() - begun - late]


def _undo(hand: Hand) -> list[object]:
    hand.press(Qt.Key.Key_Z, CTRL)
    return [True]


_ACTS = {"read": _read, "see": _see, "undo": _undo}


class Company:
    """Some windows on one journal."""

    def __init__(self, folder: Path, rng: random.Random, tally: Tally) -> None:
        self.folder, self.rng, self.tally = folder, rng, tally
        apart(partial(make_kitchen, folder), folder)
        self.windows = [Puppet(folder, number) for number in range(WINDOWS)]
        for one in self.windows:
            one.answer()
        self.own: dict[int, list[float]] = {n: [] for n in range(WINDOWS)}
        self.there: list[float] = []
        self.slowest = 0.0

    def act(self, number: int) -> None:
        """One reads, or undoes, or a command logs; the others see it."""
        who = self.rng.randrange(WINDOWS + 1)
        if who == WINDOWS:
            value = reading(number)
            words = ("log", self.folder / NAME, "latest", "milk-temp", f"{value:.4f}")
            done = apart(partial(_log, *words), self.folder)
            self.there.append(value)
            if done.code:
                self._fault("a command was refused")
            self._seen(value, True, -1)
        elif self.own[who] and self.rng.random() < 0.4:
            value = self.own[who].pop()
            self.windows[who].ask("undo")
            self.there.remove(value)
            self.tally.counts["undone"] += 1
            self._seen(value, False, -1)
        elif self.windows[who].ask("read", number)[0]:
            value = reading(number)
            self.own[who].append(value)
            self.there.append(value)
            self._seen(value, True, who)
        self.tally.counts["acts"] += 1

    def _seen(self, value: float, there: bool, by: int) -> None:
        """All other windows show it, or show it no more."""
        others = [one for n, one in enumerate(self.windows) if n != by]
        for one in others:
            one.begin("see", value, there)
        for one in others:
            shown, took = one.answer()
            self.slowest = max(self.slowest, float(str(took)))
            self.tally.counts["looks"] += 1
            if not shown:
                self._fault(f"a window {'does not show' if there else 'still shows'} a reading")
            elif float(str(took)) > SOON_S:
                self._fault(f"a window shows it after {took:.1f} s only")

    def close(self) -> None:
        """Close all, and look."""
        for one in self.windows:
            one.close()
        reported = [["reading", value] for value in self.there]
        for fault in ask(self.folder / NAME, reported, closed=True)["faults"]:
            self._fault(fault)

    def _fault(self, fault: str) -> None:
        if fault not in self.tally.faults:
            self.tally.faults.append(fault)


def run(count: int, seed: int) -> Tally:
    """So many acts."""
    tally, rng = Tally("together"), random.Random(seed)
    slowest = 0.0
    while (left := count - tally.counts["acts"]) > 0:
        with tempfile.TemporaryDirectory() as folder:
            company = Company(Path(folder), rng, tally)
            try:
                for number in range(min(A_KITCHEN, left)):
                    company.act(number)
                company.close()
            finally:
                for one in company.windows:
                    one.kill()
            slowest = max(slowest, company.slowest)
    tally.counts["ms at most until all saw it"] = round(1000 * slowest)
    return tally
