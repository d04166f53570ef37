"""How far a session is: assessors down, samples across, each box as far as it is."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QModelIndex, QSize, Signal
from PySide6.QtWidgets import QSizePolicy

from journal.desk.cells import EDGE
from journal.desk.charts.marks import MIDDLE, BoxMark, Mark, TextMark
from journal.desk.scrollbars import SIDEWAYS
from journal.desk.tables import Column, RowsView
from journal.desk.theme import RADIUS, STEP, TEXT, scaled
from journal.wording import worded
from journal.wording.session_progress import DONE, NAMED, NOW, TO_COME, TYPED, ProgressRow

_FILLED = (NOW, NAMED)
_NOTHING = "nothing"  # of a box without words
_ROW = 10 * STEP
_NAME, _BOX, _MOST_HIGH = 88, 54, 260  # px


class ProgressTable(RowsView[ProgressRow]):
    """`box_picked` carries the key of a box that was clicked, or entered."""

    box_picked = Signal(object)
    frames_row = False

    def __init__(self, name: str = "Progress of this session") -> None:
        super().__init__(name, (), row_height=_ROW, in_order=True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setSelectionMode(self.SelectionMode.NoSelection)
        self.clicked.connect(self._on_box)
        self.opened.connect(self._on_opened)

    def show_rows(self, rows: Sequence[ProgressRow], heads: Sequence[str] | None = None) -> None:
        """Show these; without `heads` the columns are the places of a serving order."""
        at = self.currentIndex()
        across = max((len(row.boxes) for row in rows), default=0)
        shown = [_place(k) for k in range(across)] if heads is None else list(heads)
        name: Column[ProgressRow] = Column("assessor", _name_of, width=_NAME, marks=_name_marks)
        self._widths.clear()
        self.rows_model.columns = [name, *map(self._box_column, range(len(shown)), shown)]
        super().show_rows(rows)
        self.setCurrentIndex(self.rows_model.index(max(at.row(), 0), max(at.column(), 1)))
        described = [
            f"{row.name}, {head}: {box.words or _NOTHING}, {box.look}"
            for row in rows
            for head, box in zip(shown, row.boxes, strict=False)
        ]
        self.setAccessibleDescription("; ".join(described))
        whole = self.horizontalHeader().height() + len(rows) * scaled(_ROW) + SIDEWAYS
        self.setMaximumHeight(whole)
        self.setMinimumHeight(min(whole, _MOST_HIGH // 2))
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), min(self.maximumHeight(), _MOST_HIGH))

    def _box_column(self, k: int, head: str) -> Column[ProgressRow]:
        return Column(head, partial(_words_of, k), width=_BOX, marks=partial(self._box_marks, k))

    def _box_marks(self, k: int, row: ProgressRow, wide: float, high: float) -> list[Mark]:
        if k >= len(row.boxes):
            return []
        box, at = row.boxes[k], self.currentIndex()
        here = self.hasFocus() and at.column() == k + 1 and self.current() is row
        edge = "ink" if here else {TYPED: "quiet", TO_COME: "hairline"}.get(box.look, "ink")
        ink = {NOW: "paper", NAMED: "paper", DONE: "ink"}.get(box.look, "quiet")
        fill, dash = "ink" if box.look in _FILLED else "paper", "dash" if box.look == TYPED else ""
        inner = STEP + 0.5
        across, down = (inner, wide - inner), (inner, high - inner)
        width = 2.6 if here else 1
        return [
            BoxMark(across, down, fill, edge, width=width, dash=dash, rounded=RADIUS),
            TextMark(wide / 2, high / 2, box.words, ink, MIDDLE, size=TEXT),
        ]

    def _on_opened(self, _row: ProgressRow) -> None:
        self._on_box(self.currentIndex())

    def _on_box(self, index: QModelIndex) -> None:
        boxes = self.rows_model.rows[index.row()].boxes[: index.column()]
        if len(boxes) == index.column() > 0 and boxes[-1].key is not None:
            self.box_picked.emit(boxes[-1].key)


def _name_of(row: ProgressRow) -> str:
    return row.name


def _name_marks(row: ProgressRow, _wide: float, high: float) -> list[Mark]:
    return [TextMark(EDGE, high / 2, row.name, "ink", bold=row.here, size=TEXT)]


def _words_of(k: int, row: ProgressRow) -> str:
    return row.boxes[k].words if k < len(row.boxes) else ""


def _place(number: int) -> str:
    places = worded("desk.places").split()
    return (
        places[number] if number < len(places) else worded("wording.series-nth", number=number + 1)
    )
