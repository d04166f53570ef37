"""The table of stages, edited in place by keyboard; each key is read as it is typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QResizeEvent

from journal.desk.cells import MarksDelegate
from journal.desk.charts.marks import LEFT, RIGHT, BoxMark, Mark, TextMark, TriangleMark
from journal.desk.plans.cell_line import CellLine
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, TEXT, font, scaled
from journal.wording import worded
from journal.wording.plan_lines import CELLS, MILK, SheetLine, titles

_GAP = 3 * STEP
CARE_STRIP = 7 * STEP  # px over the first line of care, with its titles
_LEAST_NOTE = 15 * STEP  # px that the words of care keep beside their days
_PLAIN = Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier
_WHAT, _MIN = CELLS.index("what"), CELLS.index("minutes")
_STEPS: dict[int, int] = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_ENDS: dict[int, int] = {Qt.Key.Key_Home: 0, Qt.Key.Key_End: _WHAT}
Index = QModelIndex | QPersistentModelIndex


class StageTable(RowsView[SheetLine]):
    """Shows SheetLines: the milk, the stages, and under a line of its own the care. `typed` and
    `saved` carry row, column and text: at each key, and when the cell is left; `dropped` says that
    what was being typed is let go. `row_wanted` asks for a fresh line after a row.
    `care_hidden` says how many lines of care are below what is seen, and of what. `text_of(row,
    column)` gives a cell's text for typing on."""

    typed = Signal(int, str, str)
    saved = Signal(int, str, str)
    dropped = Signal()
    row_wanted = Signal(int)
    care_hidden = Signal(int, str)
    frames_row = False
    grown = Signal()  # its lines take another height

    def __init__(self, text_of: Callable[[int, str], str], row_height: int) -> None:
        heads = titles()
        super().__init__(
            "Stages",
            [
                Column(heads[0], _label_of, width=16 * STEP),
                Column(heads[1], _temp_of, right=True),
                Column(heads[2], _minutes_of, right=True),
                Column(heads[3], _words_of, quiet=True, stretch=True),
            ],
            row_height=row_height,
            in_order=True,
        )
        self.setItemDelegate(_StageCell(self))
        self._text_of = text_of
        self._row, self._care = row_height, list[int]()
        self._at: tuple[int, str] | None = None
        self._was = ""
        self.horizontalHeader().sectionResized.connect(self._on_column_resized)
        self.editor = CellLine(self.viewport(), row_height)
        line = self.editor.line
        line.textChanged.connect(self._on_text)
        line.moved.connect(self._on_moved)
        line.given_up.connect(self.drop)
        line.lost.connect(self.finish)

    # What it shows

    def show_lines(self, lines: Sequence[SheetLine]) -> None:
        """Show these, staying on the selected cell and in the one being typed."""
        if len(lines) == len(self.rows_model.rows):
            self.rows_model.rows = list(lines)
            last = self.rows_model.index(len(lines) - 1, len(CELLS) - 1)
            self.rows_model.dataChanged.emit(self.rows_model.index(0, 0), last)
            self.fit()
        else:
            column = max(self.currentIndex().column(), 0)
            self.blockSignals(True)
            self.show_rows(lines)
            self.select_cell(min(max(self.currentIndex().row(), 0), len(lines) - 1) - 1, column)
            self.blockSignals(False)
        self._give_heights()
        self._place_editor()
        self._say_hidden()

    @property
    def whole_height(self) -> int:
        """How high it is when all of it is seen, px."""
        return self.horizontalHeader().height() + self.verticalHeader().length() + STEP

    def _give_heights(self, wide: int = 0) -> None:
        """A line is as high as its words are: doses and checks are seen whole. A column that is
        just given its width says it."""
        before = self.whole_height
        metrics, wide = QFontMetrics(font(TEXT)), (wide or self.columnWidth(_WHAT)) - 2 * _GAP
        for number, line in enumerate(self.rows_model.rows):
            room = QRect(0, 0, max(wide, 20 * STEP), 10_000)
            words = "" if line.care else line.words
            high = metrics.boundingRect(room, Qt.TextFlag.TextWordWrap, words).height() + 2 * STEP
            high = max(scaled(self._row), high if words else 0)
            self.setRowHeight(number, high + CARE_STRIP * line.opens)
        if self.whole_height != before:
            self.grown.emit()

    def _say_hidden(self) -> None:
        """How many lines of care are out of sight below."""
        high = self.viewport().height()
        hidden = [
            line
            for number, line in enumerate(self.rows_model.rows)
            if line.care and self.rowViewportPosition(number) + self.rowHeight(number) > high + 2
        ]
        names = dict.fromkeys(line.label for line in hidden if line.label)
        self.care_hidden.emit(len(hidden), ", ".join(names))

    def show_care(self) -> None:
        """Go to the first line of care, with as many of the others as there is room for."""
        care = [number for number, line in enumerate(self.rows_model.rows) if line.care]
        if care:
            self.scrollTo(self.rows_model.index(care[-1], 0))
            self.setCurrentIndex(self.rows_model.index(care[0], 0))
            self.setFocus()

    def select_cell(self, row: int, column: int = 0) -> None:
        """Go to a cell of a draft's row (-1: the milk)."""
        self.setCurrentIndex(self.rows_model.index(row + 1, column))

    @property
    def current_stage(self) -> int:
        """The draft's selected row (-1: the milk), -2 for none."""
        line = self.current()
        return -2 if line is None else line.row

    @property
    def writing(self) -> bool:
        """A cell is being typed in."""
        return self._at is not None

    # Typing

    def write(self, text: str | None = None, *, more: bool = False) -> None:
        """Type in the selected cell: on from what is there, or anew from `text`. In the
        last column what is typed, or comes with `more`, is added to what is there."""
        line, column = self.current(), CELLS[self.currentIndex().column()]
        if line is None or (line.row == MILK and column in ("stage", "minutes")):
            return
        self._was = self._text_of(line.row, column)
        begun = self._was if text is None else text
        if (more or text is not None) and column == "what" and self._was.strip():
            begun = f"{self._was}; {text or ''}"
        self._at = (line.row, column)
        right = column == "temp" or (column == "minutes" and not line.care)
        self.editor.open_with(begun, kinds=column == "stage", right=right, care=line.care)
        self._place_editor()
        called = line.label or worded("desk.new-care" if line.care else "desk.new-stage")
        title = titles(care=line.care)[CELLS.index(column)]
        self.editor.line.setAccessibleName(f"{called}, {title}")
        self.editor.line.setFocus()
        if text is None and column != "what":
            self.editor.line.selectAll()
        self._on_text(self.editor.line.text())

    def finish(self) -> None:
        """Keep what is being typed; nothing happens when nothing is."""
        if self._at is None:
            return
        (row, column), text, same = self._at, self.editor.line.text(), self._same()
        self._close()
        if not same:
            self.saved.emit(row, column, text)
        else:
            self.dropped.emit()

    def _same(self) -> bool:
        """What is being typed says what stood there."""
        return self.editor.line.text().rstrip("; ") == self._was.rstrip("; ")

    def drop(self) -> None:
        """Let what is being typed go."""
        if self._at is not None:
            self._close()
            self.dropped.emit()

    def _close(self) -> None:
        had = self.editor.line.hasFocus()
        self._at = None
        self.editor.hide()
        if had:
            self.setFocus()

    def _place_editor(self) -> None:
        if self._at is None:
            return
        index = self.rows_model.index(self._at[0] + 1, CELLS.index(self._at[1]))
        box, care = self.cell_box(index), self._line_at(index.row())
        wide = max(box.width(), 22 * STEP)
        if care is not None and self._at[1] != "temp":
            wide = max(wide, min(56 * STEP, self.viewport().width() - box.left()))
        right = self._at[1] == "temp" or (self._at[1] == "minutes" and care is None)
        left = box.right() - wide + 1 if right else box.left()
        self.editor.setGeometry(QRect(left, box.top(), wide, box.height()))
        self.editor.show()

    def _line_at(self, number: int) -> SheetLine | None:
        """The line of care in that line of the table."""
        lines = self.rows_model.rows
        return lines[number] if 0 <= number < len(lines) and lines[number].care else None

    def fit(self) -> None:
        """Give each column what the stages need; care has columns of its own."""
        super().fit()
        metrics = QFontMetrics(font(TEXT, bold=True))
        rows, wide = self.rows_model.rows, metrics.horizontalAdvance
        lengths = [titles()[_MIN], *(line.minutes for line in rows if not line.care)]
        self.setColumnWidth(_MIN, max(map(wide, lengths)) + 2 * _GAP + 2)
        care = [line for line in rows if line.care]
        self._care = [
            max((wide(line.cell(name)) for line in care), default=0) + 2 * _GAP for name in CELLS
        ]

    def cell_box(self, index: Index) -> QRect:
        """Where a cell is drawn and typed in. Care stands in the columns of the stages, but for its
        days, which take what they need; where that is too much its columns move left."""
        box = self.visualRect(index)
        line = self._line_at(index.row())
        if line is None:
            return box
        if line.opens:
            box.setTop(box.top() + CARE_STRIP)
        edges = self._care_edges()
        box.setLeft(edges[index.column()])
        box.setRight(edges[index.column() + 1] - 1)
        return box

    def _care_edges(self) -> list[int]:
        """The left edges of the columns of care, and the right edge of the last."""
        widths = [self.columnWidth(i) for i in range(len(CELLS))]
        left, total = self.columnViewportPosition(0), sum(widths)
        name, temp, days, _ = self._care or widths
        spare = total - widths[0] - widths[1] - days - _LEAST_NOTE
        if spare < 0:
            widths[0] = max(name, widths[0] + spare)
            spare = total - widths[0] - widths[1] - days - _LEAST_NOTE
            widths[1] = max(temp, 10 * STEP, widths[1] + min(spare, 0))
        rest = total - widths[0] - widths[1]
        parted = min(max(days, widths[_MIN]), rest - min(_LEAST_NOTE, rest // 3))
        return [
            left, left + widths[0], left + widths[0] + widths[1],
            left + widths[0] + widths[1] + parted, left + total,
        ]  # fmt: skip

    def indexAt(self, spot: QPoint) -> QModelIndex:
        """The cell that is drawn there."""
        index = super().indexAt(spot)
        if self._line_at(index.row()) is None:
            return index
        edges = self._care_edges()
        column = sum(spot.x() >= edge for edge in edges[1:-1])
        return index.sibling(index.row(), column)

    def currentChanged(self, now: Index, before: Index) -> None:
        super().currentChanged(now, before)
        self.viewport().update()  # a line of care is drawn across its cells

    def _go(self, columns: int, rows: int) -> None:
        """Go on to another cell and type there; beyond the last one ask for a fresh line."""
        at = self.currentIndex()
        spot = at.row() * len(CELLS) + at.column() + columns + rows * len(CELLS)
        while True:
            row, column = divmod(spot, len(CELLS))
            if row == 0 and CELLS[column] in ("stage", "minutes") and columns:
                spot += columns
                continue
            break
        if row >= len(self.rows_model.rows):
            if columns > 0:
                self.row_wanted.emit(len(self.rows_model.rows) - 1)
            return
        if row >= 0:
            self.setCurrentIndex(self.rows_model.index(row, column))
            if columns:
                self.write(more=columns > 0)

    # Handlers

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self.writing:  # a letter that was on its way when the cell opened
            if not self.editor.line.hasFocus() and event.text().isprintable():
                self.editor.line.insert(event.text())
            return
        key, plain = event.key(), not event.modifiers() & ~_PLAIN
        step = _STEPS.get(key, 0)
        if not plain:
            super().keyPressEvent(event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._goes_on():
            self._to_next_line()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2):
            self.write()
        elif step or key in _ENDS:
            self._to_column(step, key)
        elif key == Qt.Key.Key_Delete:
            self._empty()
        elif event.text().isprintable() and event.text().strip():
            self.write(event.text())
        else:
            super().keyPressEvent(event)

    def _on_column_resized(self, column: int, before: int, now: int) -> None:
        if column == _WHAT and now != before:  # its words take more lines, or fewer
            self._give_heights(now)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scrollTo(self.currentIndex())  # longer words below take room from the table
        self._place_editor()
        self._say_hidden()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        self._place_editor()
        self._say_hidden()

    def _to_column(self, step: int, key: int) -> None:
        column = self.currentIndex().column()
        to = _ENDS.get(key, column + step)
        self.select_cell(self.currentIndex().row() - 1, min(max(to, 0), _WHAT))

    def _goes_on(self) -> bool:
        """In the last cell of a stage Enter leads on to the next line."""
        return self.current_stage != MILK and self.currentIndex().column() == _WHAT

    def _to_next_line(self) -> None:
        row = self.currentIndex().row() + 1
        if row < len(self.rows_model.rows):
            self.select_cell(row - 1)
        else:
            self.row_wanted.emit(row - 1)

    def _empty(self) -> None:
        line, column = self.current(), CELLS[self.currentIndex().column()]
        if line is not None and column in ("temp", "what") and line.row != MILK:
            self.saved.emit(line.row, column, "")

    def _on_text(self, text: str) -> None:
        if self._at is not None:
            self.typed.emit(*self._at, text)

    def _on_moved(self, columns: int, rows: int) -> None:
        blank = self._at is not None and self._at[1] == "stage" and not self.editor.line.text()
        last = self.currentIndex().row() == len(self.rows_model.rows) - 1
        untouched = self._at is not None and self._same()
        self.finish()
        if untouched and not columns and not rows and self._goes_on():
            self._to_next_line()
            return
        if not (blank and last and columns > 0) and (columns or rows):
            self._go(columns, rows)

    def _on_double(self, _index: QModelIndex) -> None:
        self.write()


class _StageCell(MarksDelegate):
    def __init__(self, view: StageTable) -> None:
        super().__init__(view)
        self._view = view

    def marks(self, index: Index, wide: float, high: float) -> list[Mark]:
        view, marks, ends = self._view, list[Mark](), (0, wide)
        line: SheetLine = view.rows_model.rows[index.row()]
        strip = CARE_STRIP if line.opens else 0
        if index.row() == view.currentIndex().row():
            marks.append(BoxMark(ends, (strip, high), "chosen"))
        if line.opens:  # its titles are no part of the selected line; a rule parts it from stages
            inset = _GAP if index.column() == 0 else 0
            marks.append(BoxMark(ends, (0, strip), "paper"))
            marks.append(BoxMark((inset, wide), (STEP, STEP + 1), "hairline"))
        corner = view.visualRect(index).topLeft()
        # A line of care has columns of its own: each of the table's cells shows its part of them.
        for column in range(len(CELLS)) if line.care else (index.column(),):
            one = index.sibling(index.row(), column)
            marks += self._cell_marks(line, one, view.cell_box(one).translated(-corner))
        return marks

    def _cell_marks(self, line: SheetLine, index: Index, cell: QRect) -> list[Mark]:
        view, marks, box = self._view, list[Mark](), QRectF(cell)
        column, name = view.rows_model.columns[index.column()], CELLS[index.column()]
        here, y = index.row() == view.currentIndex().row(), box.center().y()
        if index.column() == 0 and (line.fault or line.loose):
            marks.append(TriangleMark(box.left() + 1, y - 5, 9))
        if index == view.currentIndex() and view.hasFocus():
            across, down = (
                (box.left() + STEP, box.right() - STEP),
                (box.top() + 2, box.bottom() - 3),
            )
            marks.append(BoxMark(across, down, edge="ink", width=1.6, rounded=3))
        right = column.right and not (line.care and name == "minutes")
        x, align = (box.right() - _GAP, RIGHT) if right else (box.left() + _GAP, LEFT)
        if line.opens:
            title = titles(care=True)[index.column()]
            marks.append(TextMark(x, STEP + CARE_STRIP / 2, title, align=align))
        back = (column.quiet and not here) or line.row == MILK
        role = "attention" if name in line.loose else "quiet" if back else "ink"
        bold, wrapped = here and index.column() == 0, name == "what" and not line.care
        room = box.width() - 2 * _GAP
        text = TextMark(x, y, line.cell(name), role, align, bold=bold, size=TEXT, wide=room,
                        wrapped=wrapped)  # fmt: skip
        return [*marks, text]


def _label_of(line: SheetLine) -> str:
    return line.label


def _temp_of(line: SheetLine) -> str:
    return line.temp


def _minutes_of(line: SheetLine) -> str:
    return line.minutes


def _words_of(line: SheetLine) -> str:
    return line.words
