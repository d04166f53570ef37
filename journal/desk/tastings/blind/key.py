"""What only the helper sees: what each code is; and the codes read from under the cups."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.events import pressed_key
from journal.desk.form.fields import Fields
from journal.desk.form.frame import acts_row, arrange_page
from journal.desk.form.line_field import UNTITLED, TextLine
from journal.desk.form.spec import AS_TYPED, Field, FieldContext
from journal.desk.labels import Label
from journal.desk.layouts import empty, in_column
from journal.desk.tables import Column, RowsView
from journal.desk.theme import LEAD, STEP, TITLE
from journal.keeping.session_rows import KeyRow
from journal.wording import worded

_CUP_STYLE = replace(UNTITLED, size=LEAD)
_CUPS = "Type the code you find under each cup, in the order of the cups."
_LOOK_AWAY = (
    "This page shows what each code is. It is for the helper who cuts and serves and does "
    "not taste. Tasters look away now."
)


def _who(row: KeyRow) -> str:
    return row.assessor or worded("wording.everyone")


def _code(row: KeyRow) -> str:
    return row.code


def _cheese(row: KeyRow) -> str:
    return row.cheese


class KeyPage(QWidget):
    """Covered until it is asked for; `away` says that it was hidden again."""

    away = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[KeyRow] = []
        self.label = Label(_LOOK_AWAY, LEAD, wrap=True)
        self.table = RowsView(
            "What each code is",
            (Column("code", _code, bold=True), Column("for", _who, quiet=True),
             Column("what it is", _cheese, stretch=True)),
        )  # fmt: skip
        self.show_it = Button("Show the key", MAIN, "Enter")
        self.put_away = Button("Hide", FAINT, "key")
        self.show_it.clicked.connect(self.reveal_sheet)
        self.put_away.clicked.connect(self._on_away)
        column = in_column(
            Label("For the helper only", TITLE, bold=True),
            self.label,
            (self.table, 1),
            acts_row(self.show_it, self.put_away),
            of=self,
            margins=(8 * STEP, 5 * STEP, 8 * STEP, 4 * STEP),
            gap=4 * STEP,
        )
        column.addStretch(0)

    def cover(self, rows: Sequence[KeyRow]) -> None:
        """Hold these ready, and show nothing of them."""
        self._rows = list(rows)
        self.table.show_rows([])
        self.table.hide()
        self.show_it.show()
        self.show_it.setFocus()

    def reveal_sheet(self) -> None:
        """Show them."""
        self.table.show_rows(self._rows)
        self.table.show()
        self.show_it.hide()
        self.put_away.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.show_it.isVisible():
            self.reveal_sheet()
        elif event.key() == Qt.Key.Key_Escape:
            self._on_away()
        else:
            super().keyPressEvent(event)

    def _on_away(self) -> None:
        self.cover(())
        self.away.emit()


class CupsPage(QWidget):
    """For each cup the code found under it. `reveal_asked` when all are typed, `back_asked`;
    `edited` at each key."""

    edited = Signal(str)
    reveal_asked = Signal()
    back_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[TextLine] = []
        self.message = Label("", role="quiet", wrap=True)
        self.reveal = Button("Reveal", MAIN, "main")
        self.back = Button("Back to the sheet", FAINT, "Esc")
        self.reveal.clicked.connect(self.reveal_asked)
        self.back.clicked.connect(self.back_asked)
        self._inner = QWidget()
        self._grid = QGridLayout(self._inner)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(4 * STEP)
        self._grid.setVerticalSpacing(2 * STEP)
        self._grid.setColumnStretch(2, 1)
        title = Label("Turn the cups over", TITLE, bold=True)
        about = Label(_CUPS, role="quiet", wrap=True)
        parts = (title, about, self._inner)
        arrange_page(self, parts, self.message, (self.reveal, self.back))

    def show_cups(self, count: int, typed: Sequence[str] = ()) -> None:
        """Ask for so many, some of them typed before."""
        empty(self._grid)
        asked = [Field(str(n), worded("desk.code-under-cup", number=n), AS_TYPED)
                 for n in range(1, count + 1)]  # fmt: skip
        fields = Fields(asked, FieldContext(self, style=_CUP_STYLE), self._inner)
        fields.watch(self)
        fields.put_texts(typed)
        self.lines = list(fields.lines.values())
        for number, line in enumerate(self.lines, 1):
            made = fields.made[str(number)]
            made.setFixedWidth(28 * STEP)
            line.setMaxLength(3)
            line.textEdited.connect(self.edited)
            line.returnPressed.connect(self._on_return)
            self._grid.addWidget(Label(worded("desk.cup", number=number), LEAD), number, 0)
            self._grid.addWidget(made, number, 1)
        self.message.say_if_any("")
        next((line for line in self.lines if not line.text()), self.lines[0]).setFocus()

    def under(self) -> dict[int, str]:
        """What is typed, by the number of the cup."""
        return {n: line.text().strip() for n, line in enumerate(self.lines, 1)}

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if pressed_key(event) == Qt.Key.Key_Escape:
            self.back_asked.emit()
            return True
        return False

    def _on_return(self) -> None:
        at = [line is self.sender() for line in self.lines].index(True) + 1
        (self.lines[at] if at < len(self.lines) else self.reveal).setFocus()
