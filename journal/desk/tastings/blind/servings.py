"""Who gets which code when: assessors down, places across, each box as far as it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.theme import RADIUS, STEP, TEXT, Colours, font
from journal.keeping.blind import ServingRow

GIVEN, NOW, TO_COME = "given", "now", "to come"
_NAME, _CELL, _ROW, _HEAD = 112, 88, 11 * STEP, 8 * STEP
_PLACES = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
           "tenth")  # fmt: skip


@dataclass(frozen=True)
class ServingBox:
    """One serving: its id (0 before there is one), its code, how it stands."""

    id: int
    code: str
    look: str


@dataclass(frozen=True)
class AssessorRow:
    """An assessor with their servings in order; `here` marks the one whose turn it is."""

    name: str
    boxes: tuple[ServingBox, ...]
    here: bool = False


def rows_of(servings: Sequence[ServingRow], now: int | None) -> list[AssessorRow]:
    """The table of a session; `now` is the serving at hand."""
    out: list[AssessorRow] = []
    for name in dict.fromkeys(s.assessor for s in servings):
        boxes = tuple(
            ServingBox(s.id, s.code, NOW if s.id == now else (GIVEN if s.given else TO_COME))
            for s in servings
            if s.assessor == name
        )
        out.append(AssessorRow(name, boxes, any(box.look == NOW for box in boxes)))
    return out


class Servings(DrawnWidget):
    """Draws rows; `picked` carries the id of a serving that was clicked."""

    picked = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[AssessorRow] = []
        self.setAccessibleName("Progress of this session")
        self.setSizePolicy(QSizePolicy.Policy.MinimumExpanding, QSizePolicy.Policy.Fixed)

    def show_rows(self, rows: Sequence[AssessorRow]) -> None:
        """Draw these."""
        self._rows = list(rows)
        described = [
            f"{row.name}, {_place(k)}: {box.code or 'a code'}, {box.look}"
            for row in rows
            for k, box in enumerate(row.boxes)
        ]
        self.setAccessibleDescription("; ".join(described))
        self.setMinimumWidth(_NAME + self._across() * 64)
        self.setFixedHeight(_HEAD + len(rows) * _ROW)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self.minimumWidth(), self.minimumHeight())

    def draw(self, painter: QPainter, c: Colours) -> None:
        painter.setPen(c.quiet)
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(QRectF(0, 0, _NAME, _HEAD), middle, "assessor")
        for k in range(self._across()):
            box = QRectF(_NAME + k * self._wide(), 0, self._wide(), _HEAD)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, _place(k))
        for number, row in enumerate(self._rows):
            painter.setPen(c.ink)
            painter.setFont(font(TEXT, bold=row.here))
            words = painter.fontMetrics().elidedText(
                row.name, Qt.TextElideMode.ElideRight, _NAME - 2 * STEP
            )
            top = _HEAD + number * _ROW
            painter.drawText(QRectF(0, top, _NAME, _ROW), middle, words)
            for k, one in enumerate(row.boxes):
                _draw(painter, c, self._box(number, k), one)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        for number, row in enumerate(self._rows):
            for k, box in enumerate(row.boxes):
                if box.id and self._box(number, k).contains(event.position()):
                    self.picked.emit(box.id)
                    return

    def _across(self) -> int:
        return max((len(row.boxes) for row in self._rows), default=0)

    def _wide(self) -> float:
        return min(_CELL, max(64.0, (self.width() - _NAME) / max(self._across(), 1)))

    def _box(self, row: int, column: int) -> QRectF:
        wide = self._wide()
        side = min(13.0, (wide - 56) / 2)
        return QRectF(
            _NAME + column * wide + side, _HEAD + row * _ROW + 6, wide - 2 * side, _ROW - 12
        )


def _draw(painter: QPainter, c: Colours, at: QRectF, box: ServingBox) -> None:
    pen = QPen(c.hairline if box.look == TO_COME else c.ink, 1)
    painter.setPen(pen)
    painter.setBrush(c.ink if box.look == NOW else c.paper)
    painter.drawRoundedRect(at.adjusted(0.5, 0.5, -0.5, -0.5), RADIUS, RADIUS)
    painter.setFont(font(TEXT))
    painter.setPen({NOW: c.paper, GIVEN: c.ink}.get(box.look, c.quiet))
    painter.drawText(at, Qt.AlignmentFlag.AlignCenter, box.code)


def _place(number: int) -> str:
    return _PLACES[number] if number < len(_PLACES) else f"{number + 1}th"
