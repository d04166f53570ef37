"""Watching the running makes: passes on the alarm and what other programs wrote."""

from __future__ import annotations

from contextlib import suppress
from functools import partial

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication, QSystemTrayIcon, QWidget

from journal.desk.alarm import Alarm, newly_out, timekeeper_on
from journal.desk.background_alarms_token import end_background_alarms
from journal.desk.notify import notify
from journal.desk.settings import is_sample
from journal.keeping import Journal, KeepingError
from journal.message import Instant
from journal.records.clocks import ClockJump, Clocks
from journal.records.coming import DueItem
from journal.records.instants import MINUTE_MS
from journal.wording import worded
from journal.wording.alarms import jump_words, rung_words

OTHERS_MS = 500  # how often it is asked whether others wrote to the file
BUSY_S = 1.0  # a key waits no longer for another program that writes to the journal
WHILE_WRITTEN_S = 0.1  # nor while a merge or a restore writes to it for longer than that


class Watch(QObject):
    """Looks after a journal's running makes, and listens for what other programs write to its
    file, until it is ended. What falls due is announced on the
    taskbar and the desktop; `rang` carries its words.

    `stepped` carries a sentence about the machine's clocks, and whether it wants attention.
    """

    rang = Signal(str)
    stepped = Signal(str, bool)

    def __init__(self, window: QWidget, journal: Journal, clocks: Clocks, tick_ms: int) -> None:
        super().__init__(window)
        self._window = window
        self._tray: QSystemTrayIcon | None = None
        self.timekeeper = timekeeper_on(clocks, journal)
        self.alarm = Alarm(journal, self.timekeeper, tick_ms, self)
        self.alarm.rang.connect(self._on_rang)
        self.alarm.noticed.connect(self._on_noticed)
        self.alarm.ticked.connect(self._look_at_rooms)
        self._silent = is_sample(journal.path)  # nobody's kitchen
        self._rooms_ms = 0
        unread_ms = end_background_alarms(journal.path)
        if unread_ms is not None:
            QTimer.singleShot(0, self, partial(self._say_unread, unread_ms, journal.zone))
        self._known_out: set[tuple[str, str, int]] = set()
        journal.listen(self.alarm.on_change)
        self._others = QTimer(self)
        self._others.timeout.connect(self._on_others)
        self._others.start(OTHERS_MS)

    def _say_unread(self, unread_ms: int, zone: str) -> None:
        self.stepped.emit(worded("desk.alarms-unread", since=Instant(unread_ms, zone)), True)

    def end(self) -> None:
        """Look no more."""
        self._others.stop()
        self.alarm.stop()
        self.alarm.journal.unlisten(self.alarm.on_change)
        if self._tray is not None:
            self._tray.hide()
        self.deleteLater()

    def _on_others(self) -> None:
        """Hear of what other windows and programs wrote; what cannot be read is said where it is
        shown."""
        with suppress(KeepingError):
            self.alarm.journal.look_for_others()

    def _on_rang(self, one: DueItem) -> None:
        self._tell(rung_words(one, self.alarm.zone_of(one)))

    def _tell(self, words: str) -> None:
        """Tell it in the window, on the taskbar and on the desktop, also while the window is
        hidden; in the tray where no desktop shows it. What is silent is told in the window."""
        if not self._silent:
            QApplication.alert(self._window)
            if not notify("Vatside", words):
                self._tell_tray(words)
        self.rang.emit(words)

    def _look_at_rooms(self) -> None:
        """Once a minute: a room that has been out of its range for an hour is announced once."""
        now = self.alarm.now()
        if self.alarm.journal.closed or abs(now - self._rooms_ms) < MINUTE_MS:
            return
        self._rooms_ms = now
        with suppress(KeepingError):
            for words in newly_out(self.alarm.journal, now, self._known_out):
                self.alarm.sound()
                self._tell(words)

    def _on_noticed(self, step: ClockJump) -> None:
        if self.alarm.coming or step.kind == "set":
            self.stepped.emit(jump_words(step), step.kind == "set")

    def _tell_tray(self, words: str) -> None:
        if not QSystemTrayIcon.isSystemTrayAvailable():
            return
        if self._tray is None:
            self._tray = QSystemTrayIcon(QApplication.windowIcon(), self)
        self._tray.show()
        words = words.replace("<", "‹")  # some systems read markup there
        self._tray.showMessage("Vatside", words, QSystemTrayIcon.MessageIcon.NoIcon)
