"""A list of words, each with what it is or what is said of it, in a frame over the page."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPaintEvent
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyleOptionViewItem,
)

from journal.desk.cells import EDGE, Index, MarksDelegate, line_high
from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import RIGHT, BoxMark, Mark, Scene, TextMark
from journal.desk.scrollbars import quieten
from journal.desk.theme import RADIUS, SMALL, STEP, TEXT, colours_of, font

_BESIDE = Qt.ItemDataRole.UserRole
_MEANS = Qt.ItemDataRole.UserRole + 1
_BESIDE_FROM = 32 * STEP  # where what is said begins, beside short words


class PopupFrame(QFrame):
    """A field of its own over the page."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        box = (1, self.width() - 1), (1, self.height() - 1)
        frame = BoxMark(*box, "field", "ink", rounded=RADIUS)
        paint_scene(self, Scene([frame]), colours_of(self))


class WordList(QListWidget):
    """Lines of `row` px that never take the focus; `at_right` puts what stands beside the words
    at the right edge."""

    def __init__(self, row: int, *, at_right: bool = False) -> None:
        super().__init__()
        quieten(self)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setItemDelegate(_Row(self, row, at_right))

    def add(self, words: str, beside: str, means: object) -> None:
        """One more line."""
        item = QListWidgetItem(words)
        item.setData(_BESIDE, beside)
        item.setData(_MEANS, means)
        item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{words}, {beside}")
        self.addItem(item)

    def add_head(self, words: str) -> None:
        """A line that stands above those it names, and cannot be chosen."""
        item = QListWidgetItem(words)
        item.setFlags(Qt.ItemFlag.NoItemFlags)
        self.addItem(item)

    def meant(self, item: QListWidgetItem | None) -> object:
        """What a line means; None without one."""
        return None if item is None else item.data(_MEANS)

    def on_arrow(self, event: QKeyEvent) -> bool:
        """Move by an arrow key; False for any other."""
        step = {int(Qt.Key.Key_Down): 1, int(Qt.Key.Key_Up): -1}.get(event.key())
        if step is None:
            return False
        at = self.currentRow() + step
        while 0 <= at < self.count() and not self.item(at).flags():
            at += step
        if 0 <= at < self.count():
            self.setCurrentRow(at)
        return True


class _Row(MarksDelegate):
    """The words, and in the quiet voice what stands beside them."""

    def __init__(self, parent: WordList, row: int, at_right: bool) -> None:
        super().__init__(parent)
        self._list, self._row, self._at_right = parent, row, at_right

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        return QSize(100, self._row)

    def marks(self, index: Index, wide: float, high: float) -> list[Mark]:
        if not index.flags():
            y = high - STEP - line_high(SMALL) / 2
            return [TextMark(EDGE, y, index.data(), bold=True)]
        here, words, beside = (
            index.row() == self._list.currentRow(),
            index.data(),
            index.data(_BESIDE),
        )
        marks: list[Mark] = [
            BoxMark((0, wide), (0, high), "chosen" if here else "field"),
            TextMark(EDGE, high / 2, words, "ink", bold=here, size=TEXT),
        ]
        if self._at_right:
            return [*marks, TextMark(wide - EDGE, high / 2, beside, align=RIGHT)]
        taken = QFontMetricsF(font(TEXT, bold=here)).horizontalAdvance(words) + 4 * STEP
        left = EDGE + max(taken, _BESIDE_FROM)
        return [*marks, TextMark(left, high / 2, beside, wide=max(wide - EDGE - left, 1))]
