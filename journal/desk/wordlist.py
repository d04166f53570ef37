"""A list of words, each with what it is or what is said of it, in a frame over the page."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyledItemDelegate,
    QStyleOptionViewItem,
)

from journal.desk.scrollbars import quieten
from journal.desk.theme import RADIUS, SMALL, STEP, TEXT, colours_of, font

Index = QModelIndex | QPersistentModelIndex
_BESIDE = Qt.ItemDataRole.UserRole
_MEANS = Qt.ItemDataRole.UserRole + 1
_BESIDE_FROM = 32 * STEP  # where what is said begins, beside short words


class PopupFrame(QFrame):
    """A field of its own over the page."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c = colours_of(self)
        painter.setPen(QPen(c.ink, 1))
        painter.setBrush(c.field)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), RADIUS, RADIUS)
        painter.end()


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


class _Row(QStyledItemDelegate):
    """The words, and in the quiet voice what stands beside them."""

    def __init__(self, parent: WordList, row: int, at_right: bool) -> None:
        super().__init__(parent)
        self._list, self._row, self._at_right = parent, row, at_right

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        return QSize(100, self._row)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        c = colours_of(self._list)
        if not index.flags():
            painter.setFont(font(SMALL, bold=True))
            painter.setPen(c.quiet)
            box = option.rect.adjusted(3 * STEP, 0, -3 * STEP, -STEP)
            painter.drawText(box, Qt.AlignmentFlag.AlignBottom, index.data())
            return
        here = index.row() == self._list.currentRow()
        painter.fillRect(option.rect, c.chosen if here else c.field)
        box = option.rect.adjusted(3 * STEP, 0, -3 * STEP, 0)
        painter.setFont(font(TEXT, bold=here))
        painter.setPen(c.ink)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, index.data())
        wide = painter.fontMetrics().horizontalAdvance(index.data())
        painter.setFont(font(SMALL))
        painter.setPen(c.quiet)
        self._draw_beside(painter, box, wide, index.data(_BESIDE))

    def _draw_beside(self, painter: QPainter, box: QRect, wide: int, words: str) -> None:
        middle = Qt.AlignmentFlag.AlignVCenter
        if self._at_right:
            painter.drawText(box, middle | Qt.AlignmentFlag.AlignRight, words)
            return
        rest = box.adjusted(max(wide + 4 * STEP, _BESIDE_FROM), 0, 0, 0)
        cut = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, rest.width())
        painter.drawText(rest, middle, cut)
