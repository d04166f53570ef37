"""The key sheet: every key of the window and of the place one is in, to read or to print."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, Button
from journal.desk.commands import Command, bind, shown_keys
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Hairline, Label
from journal.desk.scrollbars import scrolled
from journal.desk.theme import LEAD, STEP, scaled
from journal.wording import worded
from journal.wording.languages import translated

Group = tuple[str, Sequence[Command]]


class KeySheet(FramedDialog):
    """Groups of commands with their keys; `typing` says below the first what the keys of a place
    do that are no commands. `change_asked` wants the page where keys are changed."""

    help_topic = "settings/Keys"
    change_asked = Signal()

    def __init__(self, groups: Iterable[Group], parent: QWidget, typing: str = "") -> None:
        super().__init__("Keyboard shortcuts", parent)
        self._groups = [(translated(title), with_keys_of(commands)) for title, commands in groups]
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 4 * STEP, 0)
        column.setSpacing(3 * STEP)
        for title, commands in self._groups:
            column.addWidget(Label(title, LEAD, bold=True))
            column.addLayout(_table(commands))
            if typing:
                column.addWidget(Label(typing, wrap=True))
                typing = ""
            column.addWidget(Hairline())
        column.addStretch(1)
        to_paper = Button("Print…", FAINT, "print")
        change, close = Button("Change the keys…", FAINT), Button("Close", key="Esc")
        bind("print", self, self.print_sheet)
        to_paper.clicked.connect(self.print_sheet)
        change.clicked.connect(self._on_change)
        close.clicked.connect(self.reject)
        self.arrange(scrolled(inner), acts=(to_paper, change, close))
        self.resize(scaled(250 * STEP), scaled(190 * STEP))

    def print_sheet(self) -> None:
        """Show the sheet as pages, to be printed or saved."""
        from journal.desk.printing import Printout, PrintPreview
        from journal.desk.sheets.keys import write_keys

        rows = [
            (title, [(shown_keys(one), one.title.rstrip("…")) for one in commands])
            for title, commands in self._groups
        ]

        def report(sentence: str, attention: bool) -> None:
            self.fault.say(sentence, wrong=attention)

        what = Printout("Print the keys", "keys.pdf", partial(write_keys, rows))
        PrintPreview(what, partial(worded, "desk.keys-saved-as"), report, self).open()

    def _on_change(self) -> None:
        self.accept()
        self.change_asked.emit()


def with_keys_of(commands: Iterable[Command]) -> list[Command]:
    """Those that have a key at this moment."""
    return [one for one in commands if shown_keys(one)]


def _table(commands: Sequence[Command]) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(5 * STEP)
    grid.setVerticalSpacing(STEP)
    grid.setColumnStretch(1, 1)
    grid.setColumnStretch(3, 1)
    for row, command in enumerate(commands):
        grid.addWidget(Label(shown_keys(command), role="quiet"), row // 2, (row % 2) * 2)
        words = Label(command.title.rstrip("…"), wrap=True)
        grid.addWidget(words, row // 2, (row % 2) * 2 + 1)
    return grid
