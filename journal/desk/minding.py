"""The alarms while the window is closed: a small process that minds a journal's running makes, and
the air of its rooms. It ends with the last of the makes, or when a window takes the journal up.

It reads the file for a moment at a time, so that it holds no lock, and writes nothing into it; it
listens to nobody and calls nobody. What it is told by is a small file with its number: once that is
gone, or has another's number, it ends.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QObject, QTimer, Signal

from journal.desk import settings as remembered
from journal.desk.alarm import Alarm, newly_out, rung_words, timekeeper_on
from journal.desk.minding_token import token_of
from journal.desk.notify import notify
from journal.desk.preferences import chosen
from journal.keeping import Journal, KeepingError
from journal.records.clocks import machine_clocks
from journal.records.coming import DueItem
from journal.records.instants import MINUTE_MS
from journal.wording.dates import clock

TICK_MS, LOOK_MS = 1000, 5_000


class Minder(QObject):
    """Minds one journal; `done` comes when there is nothing left to mind."""

    done = Signal()

    def __init__(self, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._path, self._token = path, token_of(path)
        self._alarm: Alarm | None = None
        self._told: set[tuple[str, str, int]] = set()
        self._rooms_ms = 0
        self._token.parent.mkdir(parents=True, exist_ok=True)
        self._token.write_text(str(os.getpid()))
        self._ticks = QTimer(self, interval=TICK_MS)
        self._ticks.timeout.connect(self._on_tick)
        self._looks = QTimer(self, interval=LOOK_MS)
        self._looks.timeout.connect(self.look)

    def begin(self) -> None:
        """Look at once, and from then on."""
        self.look()
        self._ticks.start()
        self._looks.start()

    def look(self) -> None:
        """Read what is to fall due, and the rooms; a file that is busy is read the next time."""
        try:
            journal = Journal.open(self._path, read_only=True)
        except KeepingError:
            if not self._path.exists():
                self._end()
            return
        try:
            running = bool(journal.makes.running())
            if running:
                self._read(journal)
        except KeepingError:
            return
        finally:
            journal.close()
        if not running:
            self._end()

    def _read(self, journal: Journal) -> None:
        if self._alarm is None:
            keeper = timekeeper_on(machine_clocks(), journal)
            self._alarm = Alarm(journal, keeper, TICK_MS, self, keeps_clock=False)
            self._alarm.stop()  # it is told when to tick
            saved = remembered.settings()
            silent = chosen(saved, "sound") == "none"
            self._alarm.set_sound(chosen(saved, "sound"))
            self._alarm.set_loudness(0.0 if silent else int(chosen(saved, "loudness")) / 100)
            self._alarm.rang.connect(self._on_rang)
        self._alarm.journal = journal
        self._alarm.look_again()
        now = self._alarm.now()
        if abs(now - self._rooms_ms) >= MINUTE_MS:
            self._rooms_ms = now
            for words in newly_out(journal, now, self._told):
                self._alarm.sound()
                notify("Vatside", words)

    def _on_tick(self) -> None:
        if not self._mine():
            self._end()
        elif self._alarm is not None:
            self._alarm.tick()

    def _on_rang(self, one: DueItem) -> None:
        if self._alarm is not None:
            notify("Vatside", rung_words(one, clock(one.at_ms, self._alarm.zone_of(one))))

    def _mine(self) -> bool:
        try:
            return self._token.read_text() == str(os.getpid())
        except OSError:
            return False

    def _end(self) -> None:
        if self._mine():
            with suppress(OSError):
                self._token.unlink()
        self._ticks.stop()
        self._looks.stop()
        self.done.emit()


def main(path: str) -> int:
    """Mind the journal at `path` until it needs it no more."""
    app = QCoreApplication(sys.argv[:1])
    app.setApplicationName("Vatside")
    minder = Minder(Path(path))
    minder.done.connect(app.quit)
    QTimer.singleShot(0, minder.begin)
    return app.exec()


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1]))
