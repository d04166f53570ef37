"""Whether a small process keeps the alarms once the window is closed: asked once, then started."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QProcess, QSettings
from PySide6.QtWidgets import QMessageBox

from journal.desk.asking import answered
from journal.desk.preferences import choose, chosen
from journal.desk.settings import is_sample, sync_settings
from journal.keeping import Journal, KeepingError

if TYPE_CHECKING:
    from pathlib import Path

    from journal.desk.window import Window

QUESTION = (
    "A make is running. Should a small process keep its alarms while the window is closed?\n\n"
    "It ends with the make and uses no network. Settings change this answer."
)


class BackgroundAlarmsQuestion(QObject):
    """Hears that the window closes, and asks once where a make runs."""

    def __init__(self, window: Window, settings: QSettings) -> None:
        super().__init__(window)
        self._window, self._settings = window, settings

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Close and watched is self._window:
            self.ask()
        return False

    def ask(self) -> None:
        """Ask, where it was not answered yet and there is something to mind."""
        if chosen(self._settings, "minding") != "ask" or not may_keep_alarms(self._window.journal):
            return
        button = QMessageBox.StandardButton
        yes = answered(self._window, QUESTION, button.Yes | button.No, button.Yes, "settings")
        choose(self._settings, "minding", "yes" if yes else "no")
        sync_settings(self._settings)


def may_keep_alarms(journal: Journal | None) -> bool:
    """Whether there is something to mind once the window is closed: a make that runs, and is not
    of the sample."""
    if journal is None or journal.closed or is_sample(journal.path):
        return False
    try:
        return bool(journal.makes.running())
    except KeepingError:
        return False


def start_background_alarms(path: Path) -> bool:
    """Mind a journal from now on in a process of its own, which outlives this one."""
    process = QProcess()
    process.setProgram(sys.executable)
    process.setArguments(["-m", "journal.desk.background_alarms", str(path.resolve())])
    for tell in (process.setStandardOutputFile, process.setStandardErrorFile):
        tell(QProcess.nullDevice())  # who started the window is not to wait for it
    started = process.startDetached()
    return bool(started[0] if isinstance(started, tuple) else started)
