"""The alarms while the window is closed: a small process that watches a journal's running makes,
and the air of its rooms. It ends with the last of the makes, or when a window takes the journal up.

It reads the file for a moment at a time, so that it holds no lock, and writes nothing into it; it
listens to nobody and calls nobody. What it is told by is a small file with its number: once that is
gone, or has another's number, it ends. A journal that cannot be read is looked at again ever
more rarely, and said to be so once, and again by the window that takes it up; where that lasts
until all that it knew of is past, or for a day, it ends.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QObject, QTimer, Signal

from journal.desk import settings as remembered
from journal.desk.alarm import Alarm, newly_out, timekeeper_on
from journal.desk.background_alarms_token import process_of, token_of, write_token
from journal.desk.notify import notify
from journal.desk.preferences import chosen
from journal.desk.timers import timer
from journal.keeping import Journal, KeepingError
from journal.records.clocks import machine_clocks
from journal.records.coming import DueItem
from journal.records.instants import DAY_MS, MINUTE_MS, now_ms
from journal.wording import worded
from journal.wording.alarms import rung_words

TICK_MS, LOOK_MS = 1000, 5_000
LOOK_MOST_MS = 5 * MINUTE_MS
_SAY_AFTER_MS = MINUTE_MS  # a file is busy for a moment now and then
_AFTER_LAST_MS = 60 * MINUTE_MS


class BackgroundAlarms(QObject):
    """Keeps the alarms of one journal; `done` comes when nothing is left to watch."""

    done = Signal()

    def __init__(
        self, path: Path, parent: QObject | None = None, clock: Callable[[], int] = now_ms
    ) -> None:
        super().__init__(parent)
        self._path, self._clock = path, clock
        self._unread_ms: int | None = None  # since when it cannot be read
        self._reported = False
        self._alarm: Alarm | None = None
        self._known_out: set[tuple[str, str, int]] = set()
        self._rooms_ms = 0
        token_of(path).parent.mkdir(parents=True, exist_ok=True)
        write_token(path, os.getpid())
        self._ticks = timer(self, TICK_MS)
        self._ticks.timeout.connect(self._on_tick)
        self._looks = timer(self, LOOK_MS)
        self._looks.timeout.connect(self.look)

    def begin(self) -> None:
        """Look at once, and from then on."""
        self.look()
        self._ticks.start()
        self._looks.start()

    def look(self) -> None:
        """Read what is to fall due, and the rooms; a file that is busy is read the next time."""
        try:
            with Journal.open(self._path, read_only=True) as journal:
                running = bool(journal.makes.running())
                if running:
                    self._read(journal)
        except KeepingError as error:
            self._on_unread(error)
            return
        if not running:
            self._end()
        elif self._unread_ms is not None:
            self._unread_ms, self._reported = None, False
            if self._mine():
                write_token(self._path, os.getpid())
            self._looks.setInterval(LOOK_MS)

    def _on_unread(self, error: KeepingError) -> None:
        now = self._clock()
        if self._unread_ms is None:
            self._unread_ms = now
        last_ms = self._unread_ms + DAY_MS
        if self._alarm is not None:
            known = [one.at_ms for one in self._alarm.coming]
            last_ms = min(last_ms, max([self._unread_ms, *known]) + _AFTER_LAST_MS)
        if now >= last_ms or not self._path.exists():
            self._end()
            return
        self._looks.setInterval(min(LOOK_MOST_MS, 2 * self._looks.interval()))
        if not self._reported and now - self._unread_ms >= _SAY_AFTER_MS:
            self._reported = True
            if self._mine():
                write_token(self._path, os.getpid(), self._unread_ms)
            notify("Vatside", worded("desk.alarms-may-not-ring", why=error))

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
            for words in newly_out(journal, now, self._known_out):
                self._alarm.sound()
                notify("Vatside", words)

    def _on_tick(self) -> None:
        if not self._mine():
            self._end()
        elif self._alarm is not None:
            self._alarm.tick()

    def _on_rang(self, one: DueItem) -> None:
        if self._alarm is not None:
            notify("Vatside", rung_words(one, self._alarm.zone_of(one)))

    def _mine(self) -> bool:
        return process_of(self._path) == os.getpid()

    def _end(self) -> None:
        if self._mine() and self._reported and self._path.exists():
            write_token(self._path, 0, self._unread_ms)  # for the window that takes it up
        elif self._mine():
            with suppress(OSError):
                token_of(self._path).unlink()
        self._ticks.stop()
        self._looks.stop()
        self.done.emit()


def main(path: str) -> int:
    """Mind the journal at `path` until it needs it no more."""
    app = QCoreApplication(sys.argv[:1])
    app.setApplicationName("Vatside")
    minder = BackgroundAlarms(Path(path))
    minder.done.connect(app.quit)
    QTimer.singleShot(0, minder.begin)
    return app.exec()


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1]))
