"""Those who write at once to one journal, each in a process of its own: a window by real key
presses, commands, a watcher, background work. Each says on its standard output, a JSON list a line,
what it has acknowledged: what is lost after that is a fault.

The processes are forked from one that has loaded the program and opened nothing, so that each is
there in a few milliseconds. `python -m tests.siege.acting FOLDER ACTS NUMBER ROLE…` runs some of
them to their end, for a recording.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import itertools
import json
import os
import random
import signal
import struct
import sys
import time
import traceback
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtCore import QEventLoop, QSettings, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.command import main as vatside
from journal.desk import dialogs
from journal.desk import window as _loaded
from journal.exchange import bring_in, export, past_makes  # noqa: F401 - loaded before the fork
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import understand
from journal.exchange.sensors import intake, making  # noqa: F401 - loaded before the fork
from journal.keeping import Journal
from journal.records.instants import DAY_MS, now_ms
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.records.sources import FILE, Source

NAME = "kitchen.vatside"
ZONE = "Europe/London"
LOGGER = "logger.csv"
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ENTER, ESC, F7 = Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_F7
HOUR_MS = DAY_MS // 24
ATTRIBUTES = 8
PATIENCE_S = 20.0


# The kitchen that is written to


def make_kitchen(folder: Path) -> Path:
    """A journal with a make that runs since two hours, a finished one with two wheels, and a
    logger's file to watch."""
    path, begun = folder / NAME, now_ms() // 1000 * 1000 - 2 * HOUR_MS
    plan = Plan("plain", (Stage("warm", 30, target_c=31.0), Stage("cook", 900, target_c=34.0)))
    (folder / LOGGER).write_text("Time,Probe (°C)\n" + "".join(logged(range(3), begun)), "utf-8")
    with Journal.create(path, zone=ZONE) as journal:
        old = journal.makes.begin(plan, Milk(12.0), begun - 2000 * HOUR_MS)
        journal.makes.finish(old.id or 0, [0.6, 0.5], begun - 1990 * HOUR_MS)
        journal.makes.begin(plan, Milk(12.0), begun)
        mapping = understand(read_table(folder / LOGGER)).mapping.to_dict()
        settings = json.dumps({"path": str(folder / LOGGER), "mapping": mapping})
        journal.sources.save(Source("probe", FILE, "milk-temp", "", settings))
    return path


def logged(numbers: range, begun_ms: int) -> Iterator[str]:
    """Lines of the logger's file, each with a value of its own."""
    for n in numbers:
        at = time.strftime("%Y-%m-%d %H:%M:%S", time.gmtime(begun_ms // 1000 + n))
        yield f"{at},{logged_value(n):.4f}\n"


def logged_value(n: int) -> float:
    """What the probe shows in its line `n`."""
    return round(20 + n / 1000, 4)


def picture(number: int) -> bytes:
    """A PNG of one dot with a word of its own in it."""
    row = zlib.compress(b"\x00\xff\xff\xff")
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)),
        (b"tEXt", b"Comment\x00" + str(number).encode() * 2000),
        (b"IDAT", row),
        (b"IEND", b""),
    )
    parts = [
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in chunks
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


# Each role: acts with numbers that nobody else uses; without a count of acts they have no end.


def tell(*row: object) -> None:
    """Say what is acknowledged: in one write, so that a kill leaves a whole line or none."""
    os.write(1, (json.dumps(row) + "\n").encode())


@dataclass
class Part:
    """What a role is given."""

    folder: Path
    numbers: Iterator[int]
    acts: int | None = None
    ini: Path | None = None
    rng: random.Random = field(default_factory=random.Random)

    @property
    def path(self) -> Path:
        """The journal."""
        return self.folder / NAME

    def turns(self) -> Iterator[int]:
        """A number of its own for each act."""
        return itertools.islice(self.numbers, self.acts)


def reading(number: int) -> float:
    """A temperature of milk that no other act has."""
    return round(28 + number / 10000, 4)


class Hand:
    """Somebody at a window: each key goes to what has the focus."""

    def __init__(self, part: Part, place: str = "vat") -> None:
        self.part = part
        self.app = QApplication([])
        self.journal = Journal.open(part.path)
        self.ini = str(part.ini or part.folder / "window.ini")
        settings = QSettings(self.ini, QSettings.Format.IniFormat)
        self.window = _loaded.Window(self.journal, settings=settings, place=place)
        self.window.show()
        self.window.activateWindow()
        self.until(self.window.isActiveWindow)
        self.until(self.window.settled)

    def until(self, true: Callable[[], bool]) -> bool:
        """Let the window live until something is so; whether it became so."""
        end = time.monotonic() + PATIENCE_S
        wakes = QTimer(interval=5)  # with a longest time of its own Qt would not wait at all
        wakes.start()
        while not true() and time.monotonic() < end:
            self.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        wakes.stop()
        return true()

    def type(self, text: str, *then: Qt.Key) -> None:
        """Type, then press."""
        for letter in text:
            QTest.keyClick(self._focus(), Qt.Key.Key_Space if letter == " " else letter)
        for key in then:
            self.press(key)

    def press(
        self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> None:
        """Press one key."""
        QTest.keyClick(self._focus(), key, held)
        self.app.processEvents()

    def _focus(self):
        return QApplication.focusWidget() or self.window

    # Acts

    def read(self, number: int) -> None:
        """Type a reading; it is kept when its field is empty again."""
        line = self._emptied()
        self.type(f"{reading(number):.4f}", ENTER)
        if not line.text():
            tell("reading", reading(number))

    def note(self, number: int) -> None:
        """Type a note."""
        self.press(F7)
        self.type(f"note {number}", ENTER)
        self._noted(number)

    def photo(self, number: int) -> None:
        """Add a photo with words to it."""
        chosen, made = self.part.folder / f"camera-{number}.png", picture(number)
        chosen.write_bytes(made)
        dialogs.ask_open = lambda *_: str(chosen)
        self.press(F7, SHIFT)
        self.type(f"photo {number}", ENTER)
        self._noted(number, hashlib.sha256(made).hexdigest())
        chosen.unlink()

    def _noted(self, number: int, photo: str = "") -> None:
        ask = self.window.current.page.ask
        if not ask.asking:
            tell("photo", f"photo {number}", photo) if photo else tell("note", f"note {number}")
        while ask.asking:
            self.press(ESC)

    def draft(self, number: int) -> None:
        """Leave a reading half typed until it is written down."""
        self._emptied()
        half = self.window.current.half_typed
        text = f"{reading(number):.4f}"
        tell("will", self.ini, text)
        self.type(text)
        self.until(lambda: not half._rest.isActive())
        tell("draft", self.ini, text)

    def _emptied(self):
        """The field of the milk, with nothing typed in it."""
        line = self.window.current.page.entry.temp.line
        line.setFocus()
        tell("will", self.ini, "")
        line.clear()
        return line

    def score(self, number: int) -> None:
        """Score a wheel as somebody of one's own, by keys alone."""
        self.window.go("tastings")
        self.until(self.window.settled)
        place, who = self.window.current, f"Taster {number}"
        self.type("0001-a", ENTER)
        self.type(who, ENTER)
        for n in range(ATTRIBUTES):
            self.type(f"{(number + n) % 21 / 2:g}", ENTER)
        self.press(ENTER, CTRL)
        self.until(place.settled)
        if self.journal.assessors.where(name=who):
            tell("score", who, {n: (number + n) % 21 / 2 for n in range(ATTRIBUTES)})
        self.window.go("vat")
        self.until(self.window.settled)


def window(part: Part) -> None:
    """Readings, notes, photos, drafts and scores by keys."""
    hand = Hand(part)
    tell("open")
    acts = [hand.read, hand.read, hand.read, hand.note, hand.photo, hand.draft, hand.score]
    for turn, number in enumerate(part.turns()):
        (acts[turn % len(acts)] if part.acts else part.rng.choice(acts))(number)
        hand.app.processEvents()
    hand.window.close()
    hand.journal.close()


def command(*words: object) -> str:
    """Run a vatside command; what it wrote, "" when it was refused."""
    reported = io.StringIO()
    with contextlib.redirect_stdout(reported):
        done = vatside([str(word) for word in words])
    return reported.getvalue() if done == 0 else ""


def commands(part: Part) -> None:
    """Readings and scores by commands."""
    for number in part.turns():
        if number % 3:
            value = reading(number)
            if command("log", part.path, "latest", "milk-temp", f"{value:.4f}"):
                tell("reading", value)
            continue
        who, points = f"Taster {number}", number % 21 / 2
        scored = ("score", part.path, "HL-0001-A", f"overall={points:g}", "--assessor", who)
        if command(*scored):
            tell("score", who, {0: points})


def watcher(part: Part) -> None:
    """A sensor's readings as they come, until all are there."""
    for _ in part.turns():
        command("watch", part.path, "latest", "--sensor", "probe", "--for", "0.4s")


def background(part: Part) -> None:
    """Backups, and imports of a logger's file."""
    for turn, number in enumerate(part.turns()):
        if turn % 2:
            bring(part, number)
            continue
        path = command("backup", part.path, "--json")
        if path:
            tell("backup", json.loads(path)["path"])


def exporter(part: Part) -> None:
    """Exports, each into a folder of its own."""
    for number in part.turns():
        out = part.folder / f"export-{number}"
        if command("export", part.path, out):
            tell("export", str(out))


def bundler(part: Part) -> None:
    """Bundles, each under a name of its own."""
    for number in part.turns():
        out = part.folder / f"moved-{number}.vatside.zip"
        if command("bundle", part.path, out):
            tell("bundle", str(out))


def bring(part: Part, number: int, rows: int = 40) -> None:
    """Import a logger's file: all of it is kept, or none."""
    values = [round(60 + number / 1000 + n / 100000, 5) for n in range(rows)]
    begun = (now_ms() - HOUR_MS) // 1000
    times = [time.strftime("%Y-%m-%d %H:%M:%S", time.gmtime(begun + n)) for n in range(rows)]
    path = part.folder / f"import-{number}.csv"
    lines = [f"{at},{value:.5f}\n" for at, value in zip(times, values, strict=True)]
    path.write_text("Time,Milk (°C)\n" + "".join(lines), "utf-8")
    tell("begins", values)
    if command("import-readings", part.path, "latest", path):
        tell("import", values)
    path.unlink()


def beginner(part: Part) -> None:
    """New journals, each with its first make."""
    for number in part.turns():
        path = part.folder / f"new-{number}.vatside"
        if command("begin", path, "--plan", "cheddar type", "--milk", "12l"):
            tell("new", str(path))


EVERY = (window, commands, watcher, background, exporter, bundler, beginner)
ROLES = {role.__name__: role for role in EVERY}
USUAL = ("window", "commands", "commands too", "watcher", "background")


# Processes


class Process:
    """A forked process; `reported` is what it has acknowledged so far."""

    def __init__(self, act: Callable[[], object], log: Path) -> None:
        self.reported: list[list[object]] = []
        self._rest = b""
        self.pipe, out = os.pipe()
        self.began = time.monotonic()
        self.pid = os.fork()
        if self.pid == 0:
            _live(act, out, log)
        os.close(out)
        os.set_blocking(self.pipe, False)
        self.code: int | None = None

    def hear(self) -> list[list[object]]:
        """What it has said since the last time."""
        new: list[list[object]] = []
        with contextlib.suppress(BlockingIOError):
            while more := os.read(self.pipe, 65536):
                *lines, self._rest = (self._rest + more).split(b"\n")
                new += [json.loads(line) for line in lines]
        self.reported += new
        return new

    def kill(self) -> bool:
        """End it by SIGKILL; whether it still lived."""
        if self.code is not None:
            return False
        os.kill(self.pid, signal.SIGKILL)
        self.wait()
        return self.code == -signal.SIGKILL

    def wait(self) -> int:
        """Wait for its end, and hear what it said until then."""
        if self.code is None:
            os.set_blocking(self.pipe, True)
            self.hear()
            _, status = os.waitpid(self.pid, 0)
            self.code = os.waitstatus_to_exitcode(status)
            os.close(self.pipe)
        return self.code


def apart(act: Callable[[], object], folder: Path) -> Process:
    """Do something in a process of its own, to its end."""
    one = Process(act, folder / "errors.txt")
    one.wait()
    return one


def _live(act: Callable[[], object], out: int, log: Path) -> None:
    """What a forked process does, and nothing of its parent's."""
    code = 1
    try:
        os.dup2(out, 1)
        os.dup2(os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND), 2)
        act()
        code = 0
    except BaseException:  # noqa: BLE001 - whatever it is, it is this process's end
        os.write(2, traceback.format_exc().encode())
    finally:
        os._exit(code)


def main(words: list[str]) -> int:
    """Let some act to their end."""
    folder, acts, first, *roles = words
    begun = [
        Process(
            lambda role=role, n=n: ROLES[role](
                Part(Path(folder), itertools.count(int(first) + 1000 * n), int(acts))
            ),
            Path(folder) / "errors.txt",
        )
        for n, role in enumerate(roles)
    ]
    return max(one.wait() for one in begun)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
