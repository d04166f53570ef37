"""Every blind session there was or is: the newest first, those hidden to go on with."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.labels import Label
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, TITLE
from journal.keeping.blind import SittingFar
from journal.wording.dates import day_words


def _day(row: SittingFar) -> str:
    return day_words(row.tasting.at_ms, row.tasting.zone)


def _at(row: SittingFar) -> int:
    return row.tasting.at_ms


def _samples(row: SittingFar) -> str:
    return str(row.samples)


def _people(row: SittingFar) -> str:
    return ", ".join(row.people)


def _far(row: SittingFar) -> str:
    if row.tasting.lifted_ms is not None:
        return "revealed"
    return f"{row.given} of {row.servings} scored"


class SittingList(QWidget):
    """`opened` carries the SittingFar that is wanted, `asked` wants a new one."""

    opened = Signal(object)
    asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.table = RowsView(
            "Blind sessions",
            (Column("day", _day, bold=True, sort=_at), Column("samples", _samples, right=True),
             Column("who", _people, quiet=True, stretch=True),
             Column("", _far, right=True, quiet=True)),
        )  # fmt: skip
        self.begin = Button("New session", MAIN, "Ctrl L")
        head = QVBoxLayout()
        head.setContentsMargins(3 * STEP, 0, 3 * STEP, 3 * STEP)
        head.addWidget(Label("Blind sessions", TITLE, bold=True))
        foot = QHBoxLayout()
        foot.setContentsMargins(3 * STEP, 3 * STEP, 3 * STEP, 0)
        foot.addWidget(self.begin)
        foot.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(5 * STEP, 5 * STEP, 5 * STEP, 4 * STEP)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.table, 1)
        column.addLayout(foot)
        self.begin.clicked.connect(self.asked)
        self.table.opened.connect(self.opened)
        self.setFocusProxy(self.table)

    def show_sessions(self, rows: Sequence[SittingFar]) -> None:
        """List these; one stands on the first that is hidden."""
        self.table.show_rows(rows)
        waiting = [k for k, row in enumerate(rows) if row.tasting.lifted_ms is None]
        if rows:
            self.table.select(waiting[0] if waiting else 0)

    def open_current(self) -> None:
        """Open the session one stands on."""
        if self.table.current() is not None:
            self.opened.emit(self.table.current())
