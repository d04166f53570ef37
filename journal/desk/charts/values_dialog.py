"""The values of a chart as a list to walk by keys and screen reader, to copy and save as rows."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.charts.values import ValueTable
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP
from journal.wording import worded

_SIZE = 160 * STEP, 140 * STEP


class ValuesDialog(FramedDialog):
    """Shows a table; `picked` carries the number of the row that was entered."""

    picked = Signal(int)

    def __init__(self, name: str, table: ValueTable, shown_at: int | None, parent: QWidget) -> None:
        title = worded("desk.values-of", name=name)
        super().__init__(title, parent)
        self._values = table
        columns = [
            Column(head, partial(self._cell, number), stretch=number == len(table.heads) - 1)
            for number, head in enumerate(table.heads)
        ]
        self.table: RowsView[int] = RowsView(title, columns)
        self.table.show_rows(range(len(table.rows)))
        if shown_at is not None:
            self.table.select_where(partial(_is, shown_at))
        self.table.opened.connect(self._on_opened)
        copy = Button("Copy all rows")
        copy.clicked.connect(self.table.copy_all)
        done = Button("Close", MAIN, "Esc")
        done.clicked.connect(self.reject)
        hint = Label("Enter shows the row in the chart. Ctrl+C copies it.", role="quiet")
        count = Label(worded("wording.many-row", number=len(table.rows)), role="quiet")
        self.arrange(self.table, acts=(copy, done), message=hint, beside=count)
        self.resize(*_SIZE)
        self.table.setFocus()

    def _cell(self, column: int, row: int) -> str:
        return self._values.rows[row].cells[column]

    def _on_opened(self, row: int) -> None:
        self.picked.emit(row)
        self.accept()


def _is(wanted: int, row: int) -> bool:
    return row == wanted
