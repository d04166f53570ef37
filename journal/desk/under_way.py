"""What is under way beside the places and may take minutes: how far it is, and a way to stop it."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import WordButton
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column, in_row
from journal.desk.spoken import SpokenProgress
from journal.desk.theme import STEP
from journal.desk.work import Task
from journal.wording import worded

SHOWN_AFTER_MS = 400  # what is done by then is not worth a line


class _Line(QWidget):
    """One piece of work."""

    def __init__(self, task: Task, words: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._words, self._spoken = words, SpokenProgress()
        self.label = Label(f"{words}\u2026")
        self.stop = WordButton("Stop")
        self.stop.setAccessibleName(worded("desk.stop-work", work=words))
        self.stop.clicked.connect(partial(self._on_stop, task))
        in_row((self.label, 1), self.stop, of=self, margins=(8 * STEP, STEP, 8 * STEP, STEP))

    def show_progress(self, share: float, _words: str) -> None:
        """Say how far it is, 0 to 1."""
        if self.stop.isEnabled():
            self.label.setText(f"{self._words}, {100 * share:.0f} %")
            if self.isVisible():
                self._spoken.tell(self.label, share, self._words)

    def _on_stop(self, task: Task) -> None:
        task.break_off()
        self.stop.setEnabled(False)
        self.label.setText(worded("desk.stopping-work", work=self._words))


class UnderWay(QWidget):
    """A line for each, under the places; no room is taken while there is nothing.

    `stopped` says what was stopped without being asked to, as where another journal is shown.
    """

    stopped = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: dict[Task, _Line] = {}
        self._column = in_column(Hairline(), of=self, margins=0, gap=0)
        self.hide()

    def follow(self, task: Task, words: str) -> None:
        """Say how far a task is, until it has ended."""
        task.words = words
        line = _Line(task, words, self)
        line.hide()
        self.lines[task] = line
        self._column.addWidget(line)
        task.progressed.connect(line.show_progress)
        task.ended.connect(partial(self._on_ended, words))
        QTimer.singleShot(SHOWN_AFTER_MS, line, partial(self._show, task))

    def _show(self, task: Task) -> None:
        if task in self.lines:
            self.lines[task].show()
            self.show()

    def _on_ended(self, words: str, task: Task) -> None:
        line = self.lines.pop(task, None)
        if line is not None:
            self._column.removeWidget(line)
            line.hide()
            line.deleteLater()
        self.setVisible(any(one.isVisibleTo(self) for one in self.lines.values()))
        if not task.state.wanted:
            self.stopped.emit(worded("desk.stopped", what=words))
