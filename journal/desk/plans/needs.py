"""The strip of what a plan needs: each thing with its amount, side by side."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QHelpEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.desk.labels import plain_tip
from journal.desk.theme import SMALL, STEP, TEXT, Colours, colours_of, font
from journal.wording.plan_sheet import Need

_FIRST = 84  # px, where the timeline begins in the other places
_GAP = 6 * STEP
_LEAST = 24 * STEP


class Needs(QWidget):
    """Shows Needs in columns; a name too long is cut and whole in its tip."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._needs: list[Need] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("What the plan needs")

    def show_needs(self, needs: list[Need]) -> None:
        """Show these."""
        self._needs = list(needs)
        self.setAccessibleDescription("; ".join(_in_words(need) for need in needs))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, 72)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent):
            x = event.pos().x()
            for need, left, width in self._columns():
                if left <= x < left + width:
                    QToolTip.showText(event.globalPos(), plain_tip(_in_words(need)), self)
                    return True
        return super().event(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        c = colours_of(self)
        middle = self.height() / 2
        painter.setFont(font(SMALL))
        painter.setPen(c.quiet)
        painter.drawText(QRectF(0, middle - 10, 76, 20), Qt.AlignmentFlag.AlignVCenter, "Needs")
        for need, left, width in self._columns():
            self._draw(painter, c, need, QRectF(left, middle - 22, width, 44))
        painter.end()

    def _draw(self, painter: QPainter, c: Colours, need: Need, box: QRectF) -> None:
        painter.setFont(font(SMALL))
        painter.setPen(c.quiet)
        label = painter.fontMetrics().elidedText(
            need.label, Qt.TextElideMode.ElideRight, int(box.width())
        )
        upper = QRectF(box.x(), box.y(), box.width(), 20)
        painter.drawText(upper, Qt.AlignmentFlag.AlignVCenter, label)
        lower = QRectF(box.x(), box.y() + 22, box.width(), 22)
        painter.setFont(font(TEXT, bold=True))
        painter.setPen(c.ink)
        painter.drawText(lower, Qt.AlignmentFlag.AlignVCenter, need.amount)
        if need.about:
            taken = QFontMetricsF(painter.font()).horizontalAdvance(need.amount) + 2 * STEP
            painter.setFont(font(SMALL))
            painter.setPen(c.quiet)
            words = painter.fontMetrics().elidedText(
                need.about, Qt.TextElideMode.ElideRight, int(box.width() - taken)
            )
            painter.drawText(lower.adjusted(taken, 0, 0, 0), Qt.AlignmentFlag.AlignVCenter, words)

    def _columns(self) -> list[tuple[Need, float, float]]:
        """Each need with its left edge and width: as much as it wants, less for all where the
        strip is too short."""
        if not self._needs:
            return []
        wanted = [max(_LEAST, _width(need)) for need in self._needs]
        room = self.width() - _FIRST - _GAP * (len(wanted) - 1)
        if sum(wanted) > room:
            wanted = _shared(wanted, room)
        spare = max(0.0, room - sum(wanted))
        gap = _GAP + min(spare / max(1, len(wanted) - 1), 12 * STEP)
        out, left = [], float(_FIRST)
        for need, width in zip(self._needs, wanted, strict=True):
            out.append((need, left, width))
            left += width + gap
        return out


def _width(need: Need) -> float:
    small, bold = QFontMetricsF(font(SMALL)), QFontMetricsF(font(TEXT, bold=True))
    amount = bold.horizontalAdvance(need.amount)
    if need.about:
        amount += 2 * STEP + small.horizontalAdvance(need.about)
    return max(small.horizontalAdvance(need.label), amount) + 2


def _shared(wanted: list[float], room: float) -> list[float]:
    """Widths that fit: the widest give first."""
    cap = max(wanted)
    while sum(min(w, cap) for w in wanted) > room and cap > 1:
        cap -= 1
    return [min(w, cap) for w in wanted]


def _in_words(need: Need) -> str:
    return f"{need.label} {need.amount}" + (f", {need.about}" if need.about else "")
