"""How far a session is: assessors down, samples across, each box as far as it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.charts.marks import MIDDLE, BoxMark, Mark, Scene, TextMark
from journal.desk.drawn import DrawnWidget
from journal.desk.theme import RADIUS, STEP, TEXT, font

DONE, NOW, NAMED, TYPED, TO_COME = "done", "now", "named", "typed", "to come"
_FILLED = (NOW, NAMED)
_NAME, _ROW, _HEAD = 112, 10 * STEP, 8 * STEP
_LEAST, _MOST = 64, 96  # px, how wide a box with its room stands
_PLACES = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
           "tenth")  # fmt: skip


@dataclass(frozen=True)
class ProgressBox:
    """One sample of one assessor: its words, how it looks, and what a click on it picks (None for
    nothing)."""

    words: str
    look: str
    key: object = None


@dataclass(frozen=True)
class ProgressRow:
    """An assessor with a box for each sample; `here` marks the one whose turn it is."""

    name: str
    boxes: tuple[ProgressBox, ...]
    here: bool = False


class ProgressTable(DrawnWidget):
    """Draws rows; `picked` carries the key of a box that was clicked."""

    picked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[ProgressRow] = []
        self._heads: list[str] = []
        self._least = _LEAST
        self.setAccessibleName("Progress of this session")
        self.setSizePolicy(QSizePolicy.Policy.MinimumExpanding, QSizePolicy.Policy.Fixed)

    def show_rows(self, rows: Sequence[ProgressRow], heads: Sequence[str] | None = None) -> None:
        """Draw these; without `heads` the columns are the places of a serving order."""
        self._rows = list(rows)
        across = max((len(row.boxes) for row in rows), default=0)
        self._heads = [_place(k) for k in range(across)] if heads is None else list(heads)
        described = [
            f"{row.name}, {head}: {box.words or 'nothing'}, {box.look}"
            for row in rows
            for head, box in zip(self._heads, row.boxes, strict=False)
        ]
        self.setAccessibleDescription("; ".join(described))
        words = {*self._heads, *(box.words for row in rows for box in row.boxes)}
        metrics = QFontMetricsF(font(TEXT, bold=True))
        widest = max((metrics.horizontalAdvance(one) for one in words), default=0.0)
        self._least = max(_LEAST, round(widest) + 5 * STEP)
        self.setMinimumWidth(_NAME + across * self._least)
        self.setFixedHeight(_HEAD + len(rows) * _ROW)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self.minimumWidth(), self.minimumHeight())

    def scene(self) -> Scene:
        wide, middle = self._wide(), _HEAD / 2
        marks: list[Mark] = [TextMark(0, middle, "assessor")]
        for k, head in enumerate(self._heads):
            marks.append(TextMark(_NAME + (k + 0.5) * wide, middle, head, align=MIDDLE))
        for number, row in enumerate(self._rows):
            y, room = _HEAD + (number + 0.5) * _ROW, _NAME - 2 * STEP
            name = TextMark(0, y, row.name, "ink", bold=row.here, size=TEXT, wide=room)
            marks.append(name)
            for k, box in enumerate(row.boxes):
                marks += _box_marks(self._at(number, k), box)
        return Scene(marks)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        for number, row in enumerate(self._rows):
            for k, box in enumerate(row.boxes):
                if box.key is not None and self._at(number, k).contains(event.position()):
                    self.picked.emit(box.key)
                    return

    def _wide(self) -> float:
        room = (self.width() - _NAME) / max(len(self._heads), 1)
        return max(self._least, min(_MOST, room))

    def _at(self, row: int, column: int) -> QRectF:
        wide = self._wide()
        side = min(3.0 * STEP, (wide - self._least) / 2 + STEP)
        return QRectF(
            _NAME + column * wide + side,
            _HEAD + row * _ROW + STEP,
            wide - 2 * side,
            _ROW - 2 * STEP,
        )


def _box_marks(at: QRectF, box: ProgressBox) -> list[Mark]:
    edge = {TYPED: "quiet", TO_COME: "hairline"}.get(box.look, "ink")
    ink = {NOW: "paper", NAMED: "paper", DONE: "ink"}.get(box.look, "quiet")
    across, down = (at.left() + 0.5, at.right() - 0.5), (at.top() + 0.5, at.bottom() - 0.5)
    fill, dash = "ink" if box.look in _FILLED else "paper", "dash" if box.look == TYPED else ""
    middle = at.center()
    return [
        BoxMark(across, down, fill, edge, dash=dash, rounded=RADIUS),
        TextMark(middle.x(), middle.y(), box.words, ink, MIDDLE, size=TEXT),
    ]


def _place(number: int) -> str:
    return _PLACES[number] if number < len(_PLACES) else f"{number + 1}th"
