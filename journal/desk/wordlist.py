"""A list of words, each with an explanation, also in a frame over the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QFrame

from journal.desk.cells import EDGE, line_high
from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import RIGHT, BoxMark, Mark, Scene, TextMark
from journal.desk.tables import Column, RowsView
from journal.desk.theme import RADIUS, SMALL, STEP, TEXT, colours_of, font

_BESIDE_FROM = 32 * STEP  # where what is said begins, beside short words


class PopupFrame(QFrame):
    """A field of its own over the page."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        box = (1, self.width() - 1), (1, self.height() - 1)
        frame = BoxMark(*box, "field", "ink", rounded=RADIUS)
        paint_scene(self, Scene([frame]), colours_of(self))


@dataclass(frozen=True)
class WordRow:
    """A line: its words, what stands beside them, and what it means; a `head` stands above those it
    names, and cannot be chosen."""

    words: str
    beside: str = ""
    means: object = None
    head: bool = False


class WordList(RowsView[WordRow]):
    """Lines of `row` px that never take the focus; `at_right` puts what stands beside the words at
    the right edge. `taken` carries what a line that was clicked means."""

    taken = Signal(object)

    def __init__(self, name: str, row: int, *, at_right: bool = False) -> None:
        words: Column[WordRow] = Column("", _spoken, stretch=True, marks=self._marks)
        super().__init__(name, [words], row_height=row, in_order=True)
        self._at_right = at_right
        self.horizontalHeader().hide()
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.clicked.connect(self._on_clicked)

    def show_lines(self, rows: Sequence[WordRow]) -> None:
        """Show these, standing on the first."""
        self.show_rows(rows)
        self.select_where(lambda row: not row.head)

    def meant(self) -> object:
        """What the current line means; None without one."""
        row = self.current()
        return None if row is None else row.means

    def on_arrow(self, event: QKeyEvent) -> bool:
        """Move by an arrow key; False for any other."""
        step = {int(Qt.Key.Key_Down): 1, int(Qt.Key.Key_Up): -1}.get(event.key())
        if step is None:
            return False
        rows, at = self.rows_model.rows, self.currentIndex().row() + step
        while 0 <= at < len(rows) and rows[at].head:
            at += step
        if 0 <= at < len(rows):
            self.select(at)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if not index.isValid() or not self.rows_model.rows[index.row()].head:
            super().mousePressEvent(event)

    def _on_clicked(self, index: QModelIndex) -> None:
        means = self.rows_model.rows[index.row()].means
        if means is not None:
            self.taken.emit(means)

    def _marks(self, row: WordRow, wide: float, high: float) -> list[Mark]:
        """The words, and in the quiet voice what stands beside them."""
        if row.head:
            y = high - STEP - line_high(SMALL) / 2
            return [TextMark(EDGE, y, row.words, bold=True)]
        here, y, end = row is self.current(), high / 2, wide - EDGE
        if self._at_right:
            room = end - EDGE - QFontMetricsF(font(SMALL)).horizontalAdvance(row.beside) - 2 * STEP
            return [
                TextMark(EDGE, y, row.words, "ink", bold=here, size=TEXT, wide=max(room, 1)),
                TextMark(end, y, row.beside, align=RIGHT),
            ]
        taken = QFontMetricsF(font(TEXT, bold=here)).horizontalAdvance(row.words) + 4 * STEP
        left = EDGE + max(taken, _BESIDE_FROM)
        return [
            TextMark(EDGE, y, row.words, "ink", bold=here, size=TEXT, wide=end - EDGE),
            TextMark(left, y, row.beside, wide=max(end - left, 1)),
        ]


def _spoken(row: WordRow) -> str:
    return f"{row.words}, {row.beside}" if row.beside else row.words
