"""Every session of one kind, the newest first: the list to go on from, or to begin another."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.form.frame import acts_row, arrange_list
from journal.desk.labels import Label
from journal.desk.tables import Column, RowsView
from journal.desk.theme import TITLE

R = TypeVar("R")


class SessionList(QWidget, Generic[R]):
    """`opened` carries the row that is wanted, `asked` wants a new one; `hidden` tells which rows
    are to be gone on with, `words` what is said below of the selected row."""

    opened = Signal(object)
    asked = Signal()

    def __init__(
        self, title: str, new: str, columns: Sequence[Column[R]],
        hidden: Callable[[R], bool], words: Callable[[R], str] | None = None,
    ) -> None:  # fmt: skip
        super().__init__()
        self._hidden, self._words = hidden, words
        self.table = RowsView(title, columns)
        self.begin = Button(new, MAIN, "choose")
        self.whole = Label("", role="quiet", wrap=True)
        if words is None:
            self.whole.hide()
        head, foot = [Label(title, TITLE, bold=True)], (self.whole, acts_row(self.begin))
        arrange_list(self, head, self.table, foot)
        self.begin.clicked.connect(self.asked)
        self.table.opened.connect(self.opened)
        self.table.picked.connect(self._on_picked)
        self.setFocusProxy(self.table)

    def show_sessions(self, rows: Sequence[R]) -> None:
        """List these, with the first hidden one selected."""
        self.table.show_rows(rows)
        if not self.table.select_where(self._hidden):
            self.table.select(0)

    def open_current(self) -> None:
        """Open the selected session."""
        if self.table.current() is not None:
            self.opened.emit(self.table.current())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.open_current()
        else:
            super().keyPressEvent(event)

    def _on_picked(self, row: R) -> None:
        if self._words is not None:
            self.whole.setText(self._words(row))
