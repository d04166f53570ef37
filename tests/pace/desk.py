"""The window in this process, for what is measured once it is up."""

from __future__ import annotations

import gc
import time
from pathlib import Path

from PySide6.QtCore import QEventLoop, QSettings
from PySide6.QtWidgets import QApplication

from journal.desk.theme import Look
from journal.desk.window import Window
from journal.keeping import Journal

SIZE = (1280, 720)
WAIT_MS = 20


def application() -> QApplication:
    """The one application."""
    there = QApplication.instance()
    return there if isinstance(there, QApplication) else QApplication([])


class PacedWindow:
    """A window on a journal. It counts until the picture is drawn and nothing is under way."""

    def __init__(self, path: Path, settings: Path, place: str = "today") -> None:
        self.app = application()
        kept = QSettings(str(settings), QSettings.Format.IniFormat)
        self.journal = Journal.open(path)
        self.window = Window(
            self.journal, settings=kept, look=Look(self.app, "light"), place=place,
            daily_backup=False,
        )  # fmt: skip
        self.window.resize(*SIZE)
        self.window.show()
        while not self.window.windowHandle().isExposed():
            self.app.processEvents()
        self.settle()
        gc.freeze()  # as the window does once it stands (`Standing` in `desk/late.py`)

    def settle(self) -> float:
        """Wait until all is done and drawn; the longest work in one go of the window's thread, ms:
        so long a key has to wait for it. A busy machine does not make it longer."""
        longest = 0.0
        while True:
            begun = time.thread_time_ns()
            self.app.processEvents()
            longest = max(longest, (time.thread_time_ns() - begun) / 1e6)
            if self.window.settled():
                break
            self.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, WAIT_MS)
        self.window.grab()
        self.app.processEvents()
        return longest

    def go(self, place: str, make_id: int | None = None) -> float:
        """Go to a place; ms until it is drawn and settled."""
        begun = time.perf_counter_ns()
        self.window.go(place, make_id)
        self.settle()
        return (time.perf_counter_ns() - begun) / 1e6

    def reach(self, place: str) -> float:
        """Go to a place; ms until it is drawn and takes keys. What is calculated beside the screen
        may come later."""
        begun = time.perf_counter_ns()
        self.window.go(place)
        self.window.grab()
        self.app.processEvents()
        return (time.perf_counter_ns() - begun) / 1e6

    def hold(self, place: str) -> float:
        """Go to a place; the longest work in one go of the window's thread meanwhile, ms."""
        begun = time.thread_time_ns()
        self.window.go(place)
        gone = (time.thread_time_ns() - begun) / 1e6
        return max(gone, self.settle())

    def close(self) -> None:
        """Close it and its journal."""
        self.window.close()
        self.app.processEvents()
        self.journal.close()
        self.window.deleteLater()
        self.app.processEvents()
