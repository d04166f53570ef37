"""Beside the blind sheet: how the sitting is going, and what the scale means in words."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, Button
from journal.desk.fields import Line
from journal.desk.labels import Hairline, Label
from journal.desk.tastings.blind.servings import Row, Servings
from journal.desk.tastings.scrolled import scrolled
from journal.desk.theme import STEP, TEXT

VALUES = (0.0, 2.0, 5.0, 8.0, 10.0)
_NOTHING = (
    "Nothing about the samples is shown until the cloth is lifted: no name, no age, no earlier "
    "score. Then each wheel stands beside its own earlier months."
)


class Going(QWidget):
    """`picked` carries a serving's id; `worded` (attribute, value, words) that a meaning was
    typed; the three buttons ask for what they say."""

    picked = Signal(int)
    worded = Signal(str, float, str)

    def __init__(self) -> None:
        super().__init__()
        self._attribute = ""
        self.servings = Servings()
        self.servings.picked.connect(self.picked)
        self.balance = Label("", role="quiet", wrap=True)
        self.meaning = Label("", role="quiet")
        self.words = [Line(TEXT) for _ in VALUES]
        self.type_in = Button("Type in sheets of paper", FAINT, "Ctrl R")
        self.prints = Button("Print the sheets…", FAINT, "Ctrl P")
        self.key = Button("The helper's key", FAINT, "Ctrl H")
        for line, value in zip(self.words, VALUES, strict=True):
            line.setPlaceholderText("in your own words")
            line.setAccessibleName(f"What {value:g} means")
            line.editingFinished.connect(self._on_worded)
        self._build()

    def _build(self) -> None:
        acts = QHBoxLayout()
        acts.setSpacing(2 * STEP)
        for button in (self.type_in, self.prints, self.key):
            acts.addWidget(button)
        acts.addStretch(1)
        self._area = scrolled(self.servings, sideways=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(3 * STEP)
        column.addWidget(Label("How this sitting is going", role="quiet"))
        column.addWidget(self._area)
        column.addWidget(self.balance)
        column.addLayout(acts)
        column.addWidget(Hairline())
        column.addWidget(self.meaning)
        column.addLayout(self._scale())
        column.addWidget(Hairline())
        column.addWidget(Label(_NOTHING, role="quiet", wrap=True))
        column.addStretch(1)

    def _scale(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(5 * STEP)
        grid.setVerticalSpacing(2 * STEP)
        for row, (line, value) in enumerate(zip(self.words, VALUES, strict=True)):
            number = Label(f"{value:g}", role="quiet", right=True)
            number.setFixedWidth(5 * STEP)
            grid.addWidget(number, row, 0)
            grid.addWidget(line, row, 1)
        return grid

    def show_rows(self, rows: Sequence[Row], balance: str) -> None:
        """Show how far everybody is."""
        self.servings.show_rows(rows)
        self._area.setFixedHeight(min(self.servings.minimumHeight() + 6, 260))
        self.balance.setText(balance)

    def show_scale(self, attribute: str, words: dict[float, str]) -> None:
        """Show what the scale means for an attribute."""
        self._attribute = attribute
        self.meaning.setText(f"{attribute.capitalize()}, in your own words for it")
        for line, value in zip(self.words, VALUES, strict=True):
            if not line.hasFocus():
                line.setText(words.get(value, ""))
                line.setCursorPosition(0)

    def _on_worded(self) -> None:
        line = self.sender()
        value = VALUES[self.words.index(line)]
        self.worded.emit(self._attribute, value, line.text().strip())
