"""The key sheet: every key of the window and of the place one is in."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QGridLayout, QVBoxLayout, QWidget

from journal.desk.commands import Command, shown_keys
from journal.desk.labels import Hairline, Label
from journal.desk.theme import LEAD, STEP


class KeySheet(QDialog):
    """Groups of commands with their keys, in two columns of words; `typing` says below the first
    what the keys of a place do that are no commands."""

    def __init__(
        self,
        groups: Iterable[tuple[str, Iterable[Command]]],
        parent: QWidget,
        typing: str = "",
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Keyboard shortcuts")
        column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 6 * STEP, 8 * STEP, 6 * STEP)
        column.setSpacing(3 * STEP)
        for title, commands in groups:
            column.addWidget(Label(title, LEAD, bold=True))
            column.addLayout(_table(commands))
            if typing:
                column.addWidget(Label(typing, wrap=True))
                typing = ""
            column.addWidget(Hairline())
        column.addWidget(Label("Esc closes this.", role="quiet"))


def _table(commands: Iterable[Command]) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(8 * STEP)
    grid.setVerticalSpacing(STEP)
    with_keys = [c for c in commands if c.keys]
    for row, command in enumerate(with_keys):
        grid.addWidget(Label(shown_keys(command), role="quiet"), row // 2, (row % 2) * 2)
        grid.addWidget(Label(command.title.rstrip("…")), row // 2, (row % 2) * 2 + 1)
    return grid
