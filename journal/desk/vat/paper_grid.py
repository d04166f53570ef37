"""The rows of a day from paper: a grid that is typed from the keyboard, cell by cell."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent

from journal.desk.cells import Index, MarksDelegate, cell_text
from journal.desk.charts.marks import BoxMark, Mark, TriangleMark
from journal.desk.form.line_field import FieldFrame
from journal.desk.plans.cell_line import KeyLine
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP
from journal.records.paper_day import CELLS
from journal.wording import worded

_ROW = 9 * STEP
_PLAIN = Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier
_SAYS = len(CELLS)  # the column of what is said of a row
_STEPS: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1), Qt.Key.Key_Tab: (1, 0), Qt.Key.Key_Backtab: (-1, 0),
}  # fmt: skip


@dataclass(frozen=True)
class GridRow:
    """A row as it is shown: the five cells, what goes on from the row above written back (`quiet`),
    what is said of it, and the cells that are wrong or doubted."""

    texts: tuple[str, ...]
    quiet: frozenset[str] = frozenset()
    says: str = ""
    marked: frozenset[str] = frozenset()


class PaperGrid(RowsView[GridRow]):
    """`typed` carries row, cell and text when a cell was left with another; `row_wanted` asks for
    one more row, `inserted` for one over a row, `removed` carries the row to delete; `left` says
    that Tab leads on."""

    typed = Signal(int, str, str)
    row_wanted = Signal()
    inserted = Signal(int)
    removed = Signal(int)

    def __init__(self, titles: Sequence[str]) -> None:
        columns = [
            Column(title, _reader(index), right=cell in ("temp", "acid"),
                   width=_WIDTHS[cell])
            for index, (title, cell) in enumerate(zip(titles, CELLS, strict=True))
        ]  # fmt: skip
        message: Column[GridRow] = Column("", _says, quiet=True, stretch=True)
        super().__init__("The day from paper", [*columns, message], row_height=_ROW, in_order=True)
        self.titles = tuple(titles)
        self.as_typed: list[tuple[str, ...]] = []
        self.setItemDelegate(_PaperCell(self))
        self._at: tuple[int, int] | None = None
        self.editor = FieldFrame(KeyLine(), _ROW, self.viewport(), inset=2 * STEP)
        self.editor.hide()
        line = self.line
        line.moved.connect(self._on_moved)
        line.given_up.connect(self.drop)
        line.lost.connect(self.finish)

    @property
    def line(self) -> KeyLine:
        """What is typed in."""
        line = self.editor.line
        if not isinstance(line, KeyLine):
            raise TypeError(line)
        return line

    def show_grid(self, rows: Sequence[GridRow], typed: Sequence[tuple[str, ...]]) -> None:
        """Show these, staying in the selected cell; `typed` is what each cell begins with when
        it is typed in."""
        self.as_typed = list(typed)
        if len(rows) == len(self.rows_model.rows):
            self.rows_model.rows = list(rows)
            last = self.rows_model.index(len(rows) - 1, _SAYS)
            self.rows_model.dataChanged.emit(self.rows_model.index(0, 0), last)
            return
        at = self.currentIndex()
        row, column = max(at.row(), 0), max(at.column(), 0)
        self.show_rows(rows)
        self.select_cell(min(row, len(rows) - 1), column)

    def select_cell(self, row: int, column: int) -> None:
        """Go to a cell."""
        self.setCurrentIndex(self.rows_model.index(row, column))

    @property
    def writing(self) -> bool:
        """A cell is being typed in."""
        return self._at is not None

    def half_typed(self) -> tuple[int, str, str] | None:
        """The cell that is being typed in, and what stands there."""
        if self._at is None:
            return None
        return self._at[0], CELLS[self._at[1]], self.line.text()

    def write(self, text: str | None = None) -> None:
        """Type in the selected cell: on from what is there, or anew from `text`."""
        at = self.currentIndex()
        if not at.isValid() or at.column() >= _SAYS:
            return
        row, column = at.row(), at.column()
        self._at = row, column
        self.line.setText(self.as_typed[row][column] if text is None else text)
        name = worded("desk.cell-of-row", column=self.titles[column], row=row + 1)
        self.line.setAccessibleName(name)
        self._place()
        self.editor.show()
        self.editor.raise_()
        self.line.setFocus()
        if text is None:
            self.line.selectAll()

    def finish(self) -> None:
        """Take what is being typed."""
        if self._at is None:
            return
        (row, column), text = self._at, self.line.text()
        self._close()
        if text != self.as_typed[row][column]:
            self.typed.emit(row, CELLS[column], text)

    def drop(self) -> None:
        """Leave the cell as it was."""
        self._close()

    def _close(self) -> None:
        self._at = None
        if self.line.hasFocus():  # before it hides, or Qt leads the focus on from it
            self.setFocus()
        self.editor.hide()

    def _place(self) -> None:
        if self._at is not None:
            box = self.visualRect(self.rows_model.index(*self._at))
            self.editor.setGeometry(box.adjusted(1, 0, 0, 0))

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, plain = event.key(), not event.modifiers() & ~_PLAIN
        row = max(self.currentIndex().row(), 0)
        if key == Qt.Key.Key_Delete and not plain:
            self.removed.emit(row)
        elif key == Qt.Key.Key_Insert:
            self.inserted.emit(row)
        elif not plain:
            super().keyPressEvent(event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._to_next_row()
        elif key == Qt.Key.Key_F2:
            self.write()
        elif key in _STEPS:
            self._go(*_STEPS[key])
        elif key == Qt.Key.Key_Delete:
            column = self.currentIndex().column()
            if column < _SAYS and self.as_typed[row][column]:
                self.typed.emit(row, CELLS[column], "")
        elif event.text().isprintable() and event.text().strip():
            self.write(event.text())
        else:
            super().keyPressEvent(event)

    def focusNextPrevChild(self, on: bool) -> bool:
        """Tab goes on through the cells, and from the last and the first one out of the grid."""
        at = self.currentIndex()
        spot = at.row() * len(CELLS) + at.column() + (1 if on else -1)
        if 0 <= spot < len(self.rows_model.rows) * len(CELLS):
            self._go(1 if on else -1, 0)
            return True
        return super().focusNextPrevChild(on)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        self._place()

    def _to_next_row(self) -> None:
        row = self.currentIndex().row() + 1
        if row >= len(self.rows_model.rows):
            self.row_wanted.emit()
        self.select_cell(min(row, len(self.rows_model.rows) - 1), 0)

    def _go(self, columns: int, rows: int) -> None:
        at = self.currentIndex()
        spot = (at.row() + rows) * len(CELLS) + min(at.column(), _SAYS - 1) + columns
        row, column = divmod(spot, len(CELLS))
        if row >= len(self.rows_model.rows):
            self.row_wanted.emit()
        if 0 <= row < len(self.rows_model.rows):
            self.select_cell(row, column)

    def _on_moved(self, columns: int, rows: int) -> None:
        self.finish()
        if columns or rows:
            self._go(columns, rows)
        else:
            self._to_next_row()

    def _on_double(self, _index: QModelIndex) -> None:
        self.write()


_WIDTHS = {
    "time": 20 * STEP,
    "stage": 26 * STEP,
    "temp": 18 * STEP,
    "acid": 18 * STEP,
    "note": 56 * STEP,
}


def _reader(index: int) -> Callable[[GridRow], str]:
    return lambda row: row.texts[index]


def _says(row: GridRow) -> str:
    return row.says


class _PaperCell(MarksDelegate):
    def __init__(self, view: PaperGrid) -> None:
        super().__init__(view)
        self._view = view

    def marks(self, index: Index, wide: float, high: float) -> list[Mark]:
        view, marks = self._view, list[Mark]()
        row: GridRow = view.rows_model.rows[index.row()]
        is_words = index.column() == _SAYS
        name, left, ends = "" if is_words else CELLS[index.column()], 2 * STEP, (0, wide)
        if index.row() == view.currentIndex().row():
            marks.append(BoxMark(ends, (0, high), "chosen"))
        marks.append(BoxMark(ends, (high - 1, high), "hairline"))
        if index == view.currentIndex() and view.hasFocus():
            marks.append(BoxMark((1, wide - 2), (2, high - 3), edge="ink", width=1.4, rounded=3))
        if is_words and row.says and row.marked:
            marks.append(TriangleMark(left, high / 2 - 5, 9))
            left += 4 * STEP
        wrong = name in row.marked or (is_words and row.marked)
        role = "attention" if wrong else "quiet" if name in row.quiet or is_words else "ink"
        right = view.rows_model.columns[index.column()].right
        text = row.says if is_words else row.texts[index.column()]
        shown = cell_text(text, wide, high, role, right=right, left=left, edge=2 * STEP)
        return [*marks, shown]
