"""Closing the window over work that somebody waits for: it is not stopped without a word."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtWidgets import QMessageBox, QWidget

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
        keep.clicked.connect(partial(self._on_answer, waits=True))
        stop.clicked.connect(partial(self._on_answer, stops=True))
        stay.clicked.connect(partial(self._on_answer))
        bind_help(box, "")
        box.open()

    def _on_answer(self, *, waits: bool = False, stops: bool = False) -> None:
        self._box, self._waits, self._stops = None, waits, stops
        for task in self._work.waited_for():
            if waits:
                task.failed.connect(self._on_failed)
        if stops or not self._work.waited_for():
            QTimer.singleShot(0, self._window.close)

    def _on_failed(self) -> None:
        """What became of it is said in the window, which stays open for it."""
        self._waits = False

    def _on_ended(self) -> None:
        if self._work.waited_for():
            return
        if self._box is not None:  # nobody needs to answer any more
            self._box.close()
            self._box, self._waits = None, True
        if self._waits:
            QTimer.singleShot(0, self._window.close)
