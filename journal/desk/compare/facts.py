"""What was different, drawn: each fact with its value, what is usual, and where it lies."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.curves.surface import Span
from journal.desk.charts.marks import (
    RIGHT,
    BoxMark,
    DotMark,
    LineMark,
    Mark,
    MarkScale,
    Scene,
    TextMark,
    TriangleMark,
)
from journal.desk.drawn import DrawnWidget
from journal.desk.theme import STEP, TEXT, font, scaled
from journal.findings.different import Different
from journal.wording import text_of
from journal.wording.compare import different_text, fact_text, range_text
from journal.wording.languages import translated

HIGH = 14 * STEP  # px of a fact
SCALE = 30 * STEP  # px of the picture of where it lies
_MOST_Z = 6.0  # spreads shown either side of usual
_EIGHT_IN_TEN = 1.2816


class FactsView(DrawnWidget):
    """Shows at most three facts."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: tuple[Different, ...] = ()
        self.setAccessibleName(translated("What was different"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_rows(self, rows: Sequence[Different]) -> None:
        """Show these."""
        self.rows = tuple(rows)
        self.setAccessibleDescription(" ".join(different_text(row) for row in rows))
        self.setFixedHeight(scaled(HIGH) * len(self.rows))
        self.setVisible(bool(self.rows))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(90 * STEP, scaled(HIGH) * len(self.rows))

    def scene(self) -> Scene:
        left, scale = scaled(6 * STEP), self.width() - SCALE - 2
        marks: list[Mark] = []
        for number, row in enumerate(self.rows):
            top = number * scaled(HIGH)
            value, edge, base = fact_text(row.fact), scale - 3 * STEP, top + scaled(5 * STEP)
            room = edge - QFontMetricsF(font(TEXT)).horizontalAdvance(value) - left - 2 * STEP
            name = text_of(row.fact.what)
            marks += [
                TriangleMark(0, top + scaled(7), scaled(12)),
                TextMark(edge, base, value, "ink", RIGHT, size=TEXT, base=True),
                TextMark(left, base, name, "ink", size=TEXT, bold=True, wide=room, base=True),
                TextMark(left, top + scaled(10 * STEP), range_text(row), base=True),
            ]
            if row.z is not None:
                middle = top + scaled(STEP) + scaled(6 * STEP) / 2
                marks.append(place_scene((scale, scale + SCALE), middle, row))
        return Scene(marks)


def place_scene(room: Span, y: float, row: Different) -> Scene:
    """Where a value lies between two px: eight in ten others as a bar, this one as a ring, at the
    edge where it lies further out."""
    z = max(-_MOST_Z, min(_MOST_Z, row.z or 0.0))
    marks: list[Mark] = [
        LineMark((-_MOST_Z, _MOST_Z), (y, y)),
        BoxMark((-_EIGHT_IN_TEN, _EIGHT_IN_TEN), (y - 4, y + 4), "past"),
        DotMark(z, y, 10, "paper", "ink", 2.0 if row.unusual else 1.4),
    ]
    inner = room[0] + 2 * STEP, room[1] - 2 * STEP
    return Scene(marks, MarkScale((-_MOST_Z, _MOST_Z), inner))
