"""Beside the blind sheet: how the session is going, who joins, and what the scale means."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import FAINT, Button
from journal.desk.form.page import LINE_STYLE
from journal.desk.form.readers import TextField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.form.suggest import Suggestion
from journal.desk.labels import Hairline, Label, plain_tip
from journal.desk.layouts import WrappedRow, in_column, in_row
from journal.desk.scrollbars import scrolled
from journal.desk.tastings.progress import ProgressTable
from journal.desk.tastings.scalebox import ScaleBox
from journal.desk.theme import STEP
from journal.keeping import Journal
from journal.wording.keys import key_of
from journal.wording.session_progress import ProgressRow

_NOTHING = "The samples stay hidden until you reveal them."


class RunningSession(QWidget):
    """`picked` carries a serving's id, `joined` the name of someone who joins; the buttons ask
    for what they say."""

    picked = Signal(object)
    joined = Signal(str)
    left = Signal()  # nobody joins after all

    def __init__(self, journal: Journal, people: Callable[[str], list[Suggestion]]) -> None:
        super().__init__()
        self.servings = ProgressTable()
        self.servings.box_picked.connect(self.picked)
        self.balance = Label("", role="quiet", wrap=True)
        self.scale = ScaleBox(journal)
        self.type_in = Button("Type in sheets", FAINT, "from_paper")
        self.prints = Button("Print…", FAINT, "print")
        self.key = Button("Show the key", FAINT, "key")
        self.pages = Button("Pages for those elsewhere…", FAINT, "to_send")
        self.paste = Button("Paste an answer", FAINT, "paste_answer")
        join = Field("join", "Add an assessor", hint="add an assessor", look=people)
        self._join = TextField(join, FieldContext(self, style=LINE_STYLE))
        self._join.setFixedWidth(60 * STEP)
        self._join.picked.connect(self._on_joined)
        self.join = self._join.line
        self.join.setToolTip(plain_tip(key_of("join")))
        self._build()

    def _build(self) -> None:
        acts = WrappedRow(2 * STEP, STEP)
        acts.show_row((self.type_in, self.prints, self.key, self.pages, self.paste))
        top = in_row((Label("Progress of this session", role="quiet"), 1), self._join)
        inner = QWidget()
        in_column(
            top,
            self.servings,
            self.balance,
            acts,
            Hairline(),
            self.scale,
            Hairline(),
            Label(_NOTHING, role="quiet", wrap=True),
            None,
            of=inner,
            margins=(8 * STEP, 7 * STEP, 8 * STEP, 2 * STEP),
            gap=3 * STEP,
        )
        in_column(scrolled(inner), of=self, margins=(0, 0, 0, 2 * STEP))

    def show_rows(self, rows: Sequence[ProgressRow], balance: str) -> None:
        """Show how far everybody is."""
        self.servings.show_rows(rows)
        self.balance.setText(balance)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() != Qt.Key.Key_Escape:
            super().keyPressEvent(event)
            return
        self.join.clear()
        self.left.emit()

    def _on_joined(self, name: str) -> None:
        self.join.clear()
        self.joined.emit(name)
