"""What stands in a cell of a list that is more than its text: made of marks, in px of the cell."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QWidget

from journal.desk.charts.drawing import draw_scene
from journal.desk.charts.marks import LEFT, RIGHT, Mark, Scene, TextMark, TriangleMark
from journal.desk.theme import SMALL, STEP, TEXT, colours_of, font

Index = QModelIndex | QPersistentModelIndex
EDGE = 3 * STEP  # px beside a text


def cell_text(
    text: str, wide: float, high: float, role: str = "ink", *, size: int = TEXT,
    bold: bool = False, right: bool = False, left: float = EDGE, edge: float = EDGE,
) -> TextMark:  # fmt: skip
    """A cell's text in the middle of its height, from `left` to so near its right edge."""
    room = wide - left - edge
    x, align = (wide - edge, RIGHT) if right else (left, LEFT)
    return TextMark(x, high / 2, text, role, align, size=size, bold=bold, wide=room)


def marked_cell(
    text: str, wide: float, high: float, *, marked: bool, right: bool = False
) -> list[Mark]:
    """A cell's text, with the triangle before it where something is to be seen to."""
    role = "attention" if marked else "ink"
    out: list[Mark] = [cell_text(text, wide, high, role, right=right)]
    if marked and text:
        taken = min(QFontMetricsF(font(TEXT)).horizontalAdvance(text), wide - 2 * EDGE)
        out.append(TriangleMark(wide - EDGE - taken - 17 if right else -2, high / 2 - 5, 11))
    return out


def named_cell(
    text: str, wide: float, high: float, *, quiet: bool, bold: bool, beside: str = ""
) -> list[Mark]:
    """A cell's text, standing back or standing out, with a quiet word beside it where it fits."""
    out: list[Mark] = [cell_text(text, wide, high, "quiet" if quiet else "ink", bold=bold)]
    left = EDGE + QFontMetricsF(font(TEXT, bold=bold)).horizontalAdvance(text) + 2 * STEP
    if beside and left + QFontMetricsF(font(SMALL)).horizontalAdvance(beside) <= wide - EDGE:
        out.append(TextMark(left, high / 2 + 1, beside))
    return out


def line_high(size: int) -> float:
    """How high a line of words is, px."""
    return QFontMetricsF(font(size)).height()


class MarksDelegate(QStyledItemDelegate):
    """Draws the cells of a list: a subclass says in `marks` what stands in one."""

    def __init__(self, view: QWidget) -> None:
        super().__init__(view)
        self._shown_on = view

    def marks(self, index: Index, wide: float, high: float) -> Sequence[Mark]:
        """What stands in a cell so large."""
        raise NotImplementedError  # each kind of list has its own

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        box = QRectF(option.rect)
        marks = self.marks(index, box.width(), box.height())
        clip = QRectF(0, 0, box.width(), box.height())
        draw_scene(painter, Scene(marks, clip=clip), colours_of(self._shown_on), box.topLeft())
