"""The last readings in sight: strike one out, or correct it."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction, QContextMenuEvent, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from journal.desk.labels import draw_triangle
from journal.desk.theme import STEP, TEXT, colours_of, font
from journal.desk.vat.day import value_text
from journal.desk.vat.entry import DIGITS
from journal.records.instants import clock
from journal.records.kinds import READING_KINDS
from journal.records.traces import DOUBTFUL, STRUCK, Reading

SHOWN = 5
_ROW = 5 * STEP
_READING = Qt.ItemDataRole.UserRole
_CLOCK = Qt.ItemDataRole.UserRole + 1


class LastReadings(QListWidget):
    """The newest readings, newest first. `strike_asked` and `correct_asked` carry the Reading."""

    strike_asked = Signal(object)
    correct_asked = Signal(object)
    left_upwards = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Last readings")
        self.setAccessibleDescription("Delete strikes one out, F2 corrects it")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setItemDelegate(_Row(self))
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.viewport().setAutoFillBackground(False)
        self.show_rows(SHOWN)

    def show_readings(self, readings: list[Reading], zone: str) -> None:
        """Show these, at most five."""
        self.clear()
        for reading in readings[:SHOWN]:
            item = QListWidgetItem(in_words(reading, zone))
            item.setData(_READING, reading)
            item.setData(_CLOCK, clock(reading.at_ms, zone))
            self.addItem(item)
        self.setCurrentRow(0 if readings else -1)
        self.setVisible(True)

    def show_rows(self, count: int) -> None:
        """Take the height of so many rows; the others are an arrow key away."""
        self.setFixedHeight(_ROW * count)

    def chosen(self) -> Reading | None:
        """The reading one stands on, the newest when one stands on none."""
        item = self.currentItem() or self.item(0)
        return item.data(_READING) if item is not None else None

    def strike(self) -> None:
        """Ask to strike the chosen reading out, or to let it stand again."""
        if self.chosen() is not None:
            self.strike_asked.emit(self.chosen())

    def correct(self) -> None:
        """Ask to correct the chosen reading."""
        if self.chosen() is not None:
            self.correct_asked.emit(self.chosen())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text() and event.text() in DIGITS:
            event.ignore()
            return
        up = event.key() == Qt.Key.Key_Up and self.currentRow() <= 0
        if up or event.key() == Qt.Key.Key_Escape:
            self.left_upwards.emit()
            return
        super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        item = self.itemAt(event.pos())
        if item is None:
            return
        self.setCurrentItem(item)
        struck = bool(item.data(_READING).flags & STRUCK)
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for words, slot in (
            ("Let it stand again" if struck else "Strike it out", self.strike),
            ("Correct it", self.correct),
        ):
            action = QAction(words, menu)
            action.triggered.connect(slot)
            menu.addAction(action)
        menu.popup(event.globalPos())


class _Row(QStyledItemDelegate):
    def sizeHint(self, _option: QStyleOptionViewItem, _index) -> QSize:
        return QSize(80, _ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index) -> None:
        view: LastReadings = self.parent()
        c = colours_of(view)
        reading: Reading = index.data(_READING)
        if view.hasFocus() and index.row() == view.currentRow():
            painter.fillRect(option.rect, c.chosen)
        face = font(TEXT)
        face.setStrikeOut(bool(reading.flags & STRUCK))
        painter.setPen(c.ink if index.row() == 0 and not reading.flags & STRUCK else c.quiet)
        box = option.rect
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.setFont(font(TEXT))
        painter.drawText(box, middle, index.data(_CLOCK))
        painter.setFont(face)
        painter.drawText(box.adjusted(14 * STEP, 0, 0, 0), middle, _value(reading))
        painter.setFont(font(TEXT))
        painter.setPen(c.quiet)
        words = ", ".join(part for part in (_what(reading), _shown(reading)) if part)
        painter.drawText(box.adjusted(40 * STEP, 0, 0, 0), middle, words)
        if reading.flags & DOUBTFUL and not reading.flags & STRUCK:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            draw_triangle(painter, box.x() + 34 * STEP, box.y() + 5, 10, c.attention)


def in_words(reading: Reading, zone: str) -> str:
    """A reading as it is read aloud: "11:28, 34.3 °C, milk", and whether it is struck."""
    state = ", struck out" if reading.flags & STRUCK else ""
    state += ", far from the one before" if reading.flags & DOUBTFUL and not state else ""
    shown = f", {_shown(reading)}" if reading.raw is not None else ""
    return f"{clock(reading.at_ms, zone)}, {_value(reading)}, {_what(reading)}{shown}{state}"


def _value(reading: Reading) -> str:
    return value_text(reading.kind, reading.value)


def _shown(reading: Reading) -> str:
    """What the instrument showed, where its check corrected it."""
    if reading.raw is None:
        return ""
    return f"shown {reading.raw:.{READING_KINDS[reading.kind].digits}f}"


def _what(reading: Reading) -> str:
    return READING_KINDS[reading.kind].label.removesuffix(" pH")
