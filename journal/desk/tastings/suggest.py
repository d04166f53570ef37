"""A short list under a line: what could be meant by what is typed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from journal.desk.fields import Line
from journal.desk.scrollbars import quieten
from journal.desk.theme import RADIUS, SMALL, STEP, TEXT, colours_of, font

SHOWN = 7
_ROW = 8 * STEP
_SAYS = Qt.ItemDataRole.UserRole
_MEANS = Qt.ItemDataRole.UserRole + 1


@dataclass(frozen=True)
class Suggestion:
    """A line of the list: its words, what is said of them, and what picking it hands out."""

    words: str
    says: str
    means: object


class Suggestions(QFrame):
    """Hangs under `line`, above everything in `page`; `look` gives what fits a text.

    Down opens it, typing narrows it, Enter picks, Esc puts it away. `picked` carries what the
    picked line means.
    """

    picked = Signal(object)

    def __init__(
        self, line: Line, page: QWidget, look: Callable[[str], list[Suggestion]], width: int
    ) -> None:
        super().__init__(page)
        self._line, self._look, self._width = line, look, width
        self.list = QListWidget()
        self.list.setFrameShape(QFrame.Shape.NoFrame)
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.list.setItemDelegate(_Row(self.list))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        quieten(self.list)
        self.list.setAccessibleName(f"{line.accessibleName()}: what could be meant")
        column = QVBoxLayout(self)
        column.setContentsMargins(2, 3, 2, 3)
        column.addWidget(self.list)
        line.installEventFilter(self)
        line.textEdited.connect(self.open)
        self.list.itemClicked.connect(self._on_item)
        self.hide()

    def open(self) -> None:
        """Show what fits the text; hidden when nothing does."""
        found = self._look(self._line.text())
        self.list.clear()
        for one in found[:40]:
            item = QListWidgetItem(one.words)
            item.setData(_SAYS, one.says)
            item.setData(_MEANS, one.means)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{one.words}: {one.says}")
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        self.setVisible(bool(found))
        if found:
            self._stand(min(len(found), SHOWN) * _ROW + 10)

    def take(self) -> bool:
        """Pick the line at hand; False when the list is not to be seen."""
        if not self.isVisible():
            return False
        self._on_item(self.list.currentItem())
        return True

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c = colours_of(self)
        painter.setPen(QPen(c.ink, 1))
        painter.setBrush(c.field)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), RADIUS, RADIUS)
        painter.end()

    def eventFilter(self, _watched: QWidget, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyPress:
            return self._on_key(event)
        if event.type() == QEvent.Type.FocusOut:
            self.hide()
        return False

    def _on_key(self, event: QKeyEvent) -> bool:
        key, row = event.key(), self.list.currentRow()
        if key == Qt.Key.Key_Down and not self.isVisible():
            self.open()
            return self.isVisible()
        if not self.isVisible():
            return False
        if key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            step = 1 if key == Qt.Key.Key_Down else -1
            self.list.setCurrentRow(min(max(row + step, 0), self.list.count() - 1))
            return True
        if key == Qt.Key.Key_Escape:
            self.hide()
            return True
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        return plain and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.take()

    def _on_item(self, item: QListWidgetItem | None) -> None:
        means = item.data(_MEANS) if item is not None else None
        if means is not None:
            self.hide()
            self.picked.emit(means)

    def _stand(self, high: int) -> None:
        """Under the line, or above it where there is more room."""
        page = self.parentWidget()
        box = self._line.parentWidget()
        corner = box.mapTo(page, QPoint(0, box.height() + 2))
        if corner.y() + high > page.height() and corner.y() - box.height() > high:
            corner.setY(corner.y() - box.height() - high - 4)
        width = min(self._width, page.width() - corner.x() - 2 * STEP)
        self.setGeometry(corner.x(), corner.y(), width, min(high, page.height() - corner.y()))
        self.raise_()


class _Row(QStyledItemDelegate):
    """The words, and what is said of them in the quiet voice."""

    def sizeHint(self, _option: QStyleOptionViewItem, _index) -> QSize:
        return QSize(100, _ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index) -> None:
        c = colours_of(self.parent())
        here = index.row() == self.parent().currentRow()
        painter.fillRect(option.rect, c.chosen if here else c.field)
        box = option.rect.adjusted(3 * STEP, 0, -3 * STEP, 0)
        painter.setFont(font(TEXT, bold=here))
        painter.setPen(c.ink)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, index.data())
        wide = painter.fontMetrics().horizontalAdvance(index.data())
        painter.setFont(font(SMALL))
        painter.setPen(c.quiet)
        rest = box.adjusted(max(wide + 4 * STEP, 32 * STEP), 0, 0, 0)
        says = painter.fontMetrics().elidedText(
            index.data(_SAYS), Qt.TextElideMode.ElideRight, rest.width()
        )
        painter.drawText(rest, Qt.AlignmentFlag.AlignVCenter, says)
