"""The window's watch over the makes that run: it hears the alarm and passes it on."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication, QSystemTrayIcon

from journal.desk.alarm import Alarm, rung_words, step_words, timekeeper_on
from journal.keeping import Change, Journal
from journal.records.clocks import Clocks, Step
from journal.records.coming import Coming
from journal.records.instants import clock


class Watch:
    """Mixed into the window before its widget. What falls due is said in the place shown, on the
    taskbar, and in the system's tray where there is one."""

    alarm: Alarm | None = None
    _tray: QSystemTrayIcon | None = None

    def watch(self, journal: Journal, clocks: Clocks, tick_ms: int) -> Alarm:
        """Look after a journal's running makes from now on."""
        self.unwatch()
        self.alarm = Alarm(journal, timekeeper_on(clocks, journal), tick_ms, self)
        self.alarm.rang.connect(self._on_rang)
        self.alarm.noticed.connect(self._on_noticed)
        journal.listen(self._on_watched_change)
        return self.alarm

    def unwatch(self) -> None:
        """Look after none."""
        if self.alarm is not None:
            self.alarm.stop()
            self.alarm.journal.unlisten(self._on_watched_change)
            self.alarm.deleteLater()
            self.alarm = None
        if self._tray is not None:
            self._tray.hide()

    def _on_watched_change(self, change: Change) -> None:
        if self.alarm is not None:
            self.alarm.heard(change)

    def _on_rang(self, one: Coming) -> None:
        words = rung_words(one, clock(one.at_ms, self.alarm.zone_of(one)))
        QApplication.alert(self)
        self._tell_tray(words)
        if self.current is not None:
            self.current.rang(words)

    def _on_noticed(self, step: Step) -> None:
        if self.current is not None and (self.alarm.coming or step.kind == "set"):
            self.current.say("clock", step_words(step), attention=step.kind == "set")

    def _tell_tray(self, words: str) -> None:
        if not QSystemTrayIcon.isSystemTrayAvailable():
            return
        if self._tray is None:
            self._tray = QSystemTrayIcon(QApplication.windowIcon(), self)
        self._tray.show()
        self._tray.showMessage("Vatside", words, QSystemTrayIcon.MessageIcon.NoIcon)
