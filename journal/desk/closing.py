"""Closing the window over work that somebody waits for: it is not stopped without a word."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtWidgets import QMessageBox, QPushButton, QWidget

from journal.desk.asked_help import bind_help
from journal.desk.work import Work
from journal.wording import worded

KEEP, STOP, STAY = "Close when it is done", "Stop and close", "Leave it open"
_ROLE = QMessageBox.ButtonRole


class Closing(QObject):
    """Lets a window close, or asks and closes it later; what is not waited for is stopped."""

    def __init__(self, window: QWidget, work: Work) -> None:
        super().__init__(window)
        self._window, self._work = window, work
        self._box: QMessageBox | None = None
        self._waits = self._stops = False
        self._failed = False  # something has, and nobody was there to read of it
        work.failed.connect(self._on_failed)
        work.ended.connect(self._on_ended)

    def may(self) -> bool:
        """Whether nothing is in its way; else it is asked about."""
        tasks = self._work.waited_for()
        if not tasks or self._stops:
            return True
        if self._box is None:
            words = ", ".join(one.words[0].lower() + one.words[1:] for one in tasks)
            self._ask(worded("desk.close-asked", work=words))
        return False

    def _ask(self, question: str) -> None:
        box = self._box = QMessageBox(
            QMessageBox.Icon.Question, "Vatside", question, parent=self._window
        )
        box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        box.setTextFormat(Qt.TextFormat.PlainText)
        keep = box.addButton(KEEP, _ROLE.AcceptRole)
        stop = box.addButton(STOP, _ROLE.DestructiveRole)
        stay = box.addButton(STAY, _ROLE.RejectRole)
        box.setDefaultButton(keep)
        box.setEscapeButton(stay)
        box.finished.connect(partial(self._on_answer, keep, stop))
        bind_help(box, "")
        self._waits = self._failed = False
        box.open()

    def _on_answer(self, keep: QPushButton, stop: QPushButton, _code: int) -> None:
        """The title bar closes it too, without a button."""
        box, self._box = self._box, None
        if box is None:  # it was not needed any more
            return
        self._waits, self._stops = box.clickedButton() is keep, box.clickedButton() is stop
        if self._stops:
            QTimer.singleShot(0, self._window.close)

    def _on_failed(self) -> None:
        """What became of it is said in the window, which stays open for it."""
        self._failed = True

    def _on_ended(self) -> None:
        if self._work.waited_for():
            return
        box, self._box = self._box, None
        waits, self._waits = self._waits or box is not None, False
        if box is not None:  # nobody needs to answer any more
            box.close()
        if waits and not self._failed:
            QTimer.singleShot(0, self._window.close)
