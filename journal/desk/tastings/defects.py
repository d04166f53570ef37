"""Defects in trade terms: typed and picked, each with its strength, in a row that wraps."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QEvent, QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.buttons import PLAIN, Button
from journal.desk.events import pressed_key
from journal.desk.fields import Box, Line
from journal.desk.form.suggest import Suggestion, Suggestions
from journal.desk.theme import SMALL, STEP, font
from journal.records.shelf import shelf
from journal.records.tastings import STRENGTHS

HIGH, _GAP, _TYPING = 7 * STEP + 2, 2 * STEP, 132
_GROUPS = {"body_texture": "body and texture"}


@dataclass(frozen=True)
class Term:
    """A defect as the trade calls it, with its group and what is meant."""

    group: str
    term: str
    gloss: str


@lru_cache(maxsize=1)
def terms() -> tuple[Term, ...]:
    """The defects of the program's own table, in its order."""
    with shelf("tables", "defect_terms.csv").open(encoding="utf-8", newline="") as file:
        return tuple(Term(row["group"], row["term"], row["gloss"]) for row in csv.DictReader(file))


def split_strength(text: str) -> tuple[str, str]:
    """The strength named before or after a term ("slight bitter"), and the rest; usual: definite.

    A strength counts once it is written out.
    """
    words = text.lower().replace(",", " ").split()
    named = [word for word in words if word in STRENGTHS]
    rest = " ".join(word for word in words if word not in STRENGTHS)
    return (named[0] if named else "definite"), rest


def fitting(text: str) -> list[Suggestion]:
    """What could be meant by a text: terms that begin so, then those that hold it."""
    strength, wanted = split_strength(text)
    begins = [t for t in terms() if t.term.startswith(wanted)]
    holds = [t for t in terms() if t not in begins and wanted in f"{t.term} {t.gloss}".lower()]
    if not begins and not holds:
        return [Suggestion("No defect is called that", "say it in your own words below", None)]
    return [
        Suggestion(
            t.term if strength == "definite" else f"{t.term}, {strength}",
            f"{_GROUPS.get(t.group, t.group)}: {t.gloss}",
            (t.group, t.term, strength),
        )
        for t in [*begins, *holds]
    ]


class Chip(Button):
    """A defect that was found. Space or a click changes its strength, Delete takes it away."""

    stronger = Signal(object)
    removed = Signal(object)

    def __init__(self, mark: tuple[str, str, str], parent: QWidget | None = None) -> None:
        super().__init__(f"{mark[1]}, {mark[2]}", PLAIN, parent=parent)
        self.mark = mark
        self.setFont(font(SMALL))
        self.setAccessibleName(f"Defect {mark[1]}, {mark[2]}")
        self.setAccessibleDescription("Space changes the strength, Delete takes it away")
        self.setToolTip("Click or Space: how strong. Delete: take it away.")
        self.clicked.connect(self._on_clicked)

    def sizeHint(self) -> QSize:
        width = QFontMetricsF(self.font()).horizontalAdvance(self.text())
        return QSize(round(width) + 5 * STEP, HIGH)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removed.emit(self.mark)
            return
        super().keyPressEvent(event)

    def _on_clicked(self) -> None:
        self.stronger.emit(self.mark)


class DefectsField(QWidget):
    """The defects found, and a line to type the next. `changed` says that one came or went;
    `done` that Enter was pressed with nothing typed."""

    changed = Signal()
    done = Signal()

    def __init__(self, page: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._marks: list[tuple[str, str, str]] = []
        self._chips: list[Chip] = []
        self.line = Line(name="Defect", hint="type a defect")
        self._box = Box(self.line, HIGH, self, inset=2 * STEP)
        self.list = Suggestions(self.line, page, fitting, 104 * STEP)
        self.setFocusProxy(self.line)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.list.picked.connect(self._on_picked)
        self.line.returnPressed.connect(self._on_return)
        self.line.installEventFilter(self)
        self._place()

    def marks(self) -> tuple[tuple[str, str, str], ...]:
        """The defects found: group, term, strength."""
        return tuple(self._marks)

    def show_marks(self, marks: tuple[tuple[str, str, str], ...]) -> None:
        """Show these defects."""
        self._marks = list(marks)
        focused = next((c.mark[1] for c in self._chips if c.hasFocus()), None)
        for chip in self._chips:
            chip.hide()
            chip.deleteLater()
        self._chips = [Chip(mark, self) for mark in self._marks]
        before: QWidget = self._box
        for chip in reversed(self._chips):
            chip.stronger.connect(self._on_stronger)
            chip.removed.connect(self._on_removed)
            chip.show()
            QWidget.setTabOrder(chip, before)
            before = chip
            if chip.mark[1] == focused:
                chip.setFocus()
        self._place()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        back = pressed_key(event) == Qt.Key.Key_Backspace
        if back and not self.line.text() and self._chips:
            self._chips[-1].setFocus()
            return True
        return False

    def _place(self) -> None:
        """Chips from the left, the line after them, wrapped where there is no room."""
        x = y = 0
        for widget in (*self._chips, self._box):
            width = _TYPING if widget is self._box else widget.sizeHint().width()
            if x and x + width > self.width():
                x, y = 0, y + HIGH + STEP
            widget.setGeometry(QRect(x, y, min(width, max(self.width(), 40)), HIGH))
            x += width + _GAP
        self.setFixedHeight(y + HIGH)

    def _on_picked(self, mark: tuple[str, str, str]) -> None:
        others = tuple(m for m in self._marks if m[:2] != mark[:2])
        self.line.clear()
        self.show_marks((*others, mark))
        self.line.setFocus()
        self.changed.emit()

    def _on_return(self) -> None:
        if not self.line.text().strip():
            self.done.emit()

    def _on_stronger(self, mark: tuple[str, str, str]) -> None:
        after = STRENGTHS[(STRENGTHS.index(mark[2]) + 1) % len(STRENGTHS)]
        self.show_marks(tuple((*m[:2], after) if m == mark else m for m in self._marks))
        self.changed.emit()

    def _on_removed(self, mark: tuple[str, str, str]) -> None:
        self.show_marks(tuple(m for m in self._marks if m != mark))
        self.line.setFocus()
        self.changed.emit()
