"""The desk's lists: rows of records under named columns, the current row tinted.

A list sorts by a click on a title, copies its rows (Ctrl+C, or all of them from its menu), offers
the commands of its screen on the row under the pointer, and is narrowed by typing (Ctrl+F).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Generic, TypeVar

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QAction,
    QContextMenuEvent,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QMenu,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from journal.desk.cells import MarksDelegate, cell_text
from journal.desk.charts.drawing import draw_scene, paint_scene
from journal.desk.charts.marks import LEFT, RIGHT, BoxMark, Mark, Scene, TextMark
from journal.desk.commands import Command, shown_keys
from journal.desk.form.filter_line import FilterLine
from journal.desk.menus import Menu
from journal.desk.natural import natural
from journal.desk.scrollbars import quieten
from journal.desk.table_files import save_table
from journal.desk.theme import SMALL, STEP, TEXT, colours_of, font, scaled
from journal.exchange.tables_out import CSV, XLSX
from journal.wording import worded
from journal.wording.languages import translated

Index = QModelIndex | QPersistentModelIndex
Row = TypeVar("Row")
Marks = Callable[[Row, float, float], Sequence[Mark]]

ROW = 8 * STEP
MANY = 12  # rows; a list of fewer is seen whole
_GAP = 3 * STEP
_LEAST = 34 * STEP  # what the column that stretches is to have at least
_TITLES = 8 * STEP
_FRAME = 2  # px about the selected row
_SHIFT_OR_PAD = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier


@dataclass(frozen=True)
class Column(Generic[Row]):
    """A column: its title, how a row's text is read, and how it stands.

    `right` sets numbers right (unit once in the title); `quiet` writes it back; `sort` gives the
    key a click on the title sorts by (None: always last; without it, the text with its numbers by
    size); `stretch`
    takes the room that is left; `spare` is left out where there is too little; `marks` says what is
    drawn in the cell instead: marks(row, width, height); `once` leaves it empty where the row above
    says the same.
    `name` is what the column is remembered by, where its title is another in other units.
    """

    title: str
    text: Callable[[Row], str]
    right: bool = False
    quiet: bool = False
    bold: bool = False
    sort: Callable[[Row], Any] | None = None
    stretch: bool = False
    spare: bool = False
    width: int = 0
    marks: Marks[Row] | None = None
    once: bool = False
    name: str = ""

    @property
    def shown(self) -> str:
        """The title in the language in use."""
        return translated(self.title)

    def key(self, row: Row) -> Any:
        """What a row is sorted by under this column."""
        return natural(self.text(row)) if self.sort is None else self.sort(row)


class RowsModel(QAbstractTableModel, Generic[Row]):
    """Rows of any record; the text of a cell is made when it is painted."""

    def __init__(self, columns: Sequence[Column[Row]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.columns = list(columns)
        self.rows: list[Row] = []

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show these rows."""
        self.beginResetModel()
        self.rows = list(rows)
        self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return self.columns[index.column()].text(self.rows[index.row()])
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.columns[section].shown
        return None

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Sort the rows themselves."""
        if 0 <= column < len(self.columns):
            self.beginResetModel()
            key, down = self.columns[column].key, order == Qt.SortOrder.DescendingOrder
            known = [row for row in self.rows if key(row) is not None]
            rest = [row for row in self.rows if key(row) is None]
            self.rows = [*sorted(known, key=key, reverse=down), *rest]
            self.endResetModel()

    def sort_by(self, key: Callable[[Row], Any]) -> None:
        """Put the rows into the order of a key; those it holds alike stay as they are."""
        self.beginResetModel()
        self.rows.sort(key=key)
        self.endResetModel()

    def says_above(self, index: Index) -> bool:
        """The row above says the same in this column."""
        text = self.columns[index.column()].text
        row = index.row()
        return row > 0 and text(self.rows[row]) == text(self.rows[row - 1])

    def as_text(self, rows: Sequence[Row]) -> str:
        """Rows as lines of cells with tabs between, the titles first: a spreadsheet takes it."""
        return "\n".join("\t".join(line) for line in self.as_cells(rows))

    def as_cells(self, rows: Sequence[Row]) -> list[list[str]]:
        """The titles, then the texts of each row."""
        shown = [c for c in self.columns if c.title or any(c.text(row) for row in rows)]
        lines = [[c.title for c in shown], *([c.text(row) for c in shown] for row in rows)]
        return [[" ".join(cell.split()) for cell in line] for line in lines]


class RowsView(QTableView, Generic[Row]):
    """A list. `picked` carries the selected row, `opened` the one entered, `typed_over` what
    was typed on the list where `takes` says that it belongs elsewhere.

    `in_order` keeps the rows as they are given, where their order means something; such a list is
    narrowed only where its page shows a line for it. Other lists are narrowed by the words typed:
    by `filter_line`, where the page shows one of its own, else in one over the titles, which is
    there once a list of many rows is asked for it (Ctrl+F, or typing). `findable` is what a row is
    found by, without it what stands in its columns; `question` reads what is typed as one to each
    row instead. `narrowed` comes when other rows are shown, `sorted_anew` when a title was clicked.
    """

    picked = Signal(object)
    opened = Signal(object)
    typed_over = Signal(str)
    narrowed = Signal()
    sorted_anew = Signal()
    frames_row = True  # False: its cells show where the keys go

    def __init__(
        self,
        name: str,
        columns: Sequence[Column[Row]],
        parent: QWidget | None = None,
        *,
        row_height: int = ROW,
        in_order: bool = False,
        takes: Callable[[str], bool] | None = None,
        findable: Callable[[Row], str] | None = None,
        filter_line: FilterLine | None = None,
        question: Callable[[str], Callable[[Row], bool]] | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(translated(name))
        self.rows: list[Row] = []  # those that are shown, and those that the filter hides
        self._widths: dict[int, int] = {}  # px, of the columns that do not stretch
        self._findable = findable or self._words_of
        self._question = question
        self._hidden: frozenset[int] = frozenset()
        self._group: Callable[[Row], Any] | None = None
        self._pinned = filter_line is not None
        self.filter = filter_line if filter_line is not None else FilterLine()
        self._takes = takes
        self._in_order = in_order
        self.sorted_by: tuple[int, Qt.SortOrder] | None = None
        self._commands: Callable[[], Sequence[Command]] = tuple
        self.rows_model: RowsModel[Row] = RowsModel(columns, self)
        self.setModel(self.rows_model)
        self.setItemDelegate(_Cell(self))
        quieten(self)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(scaled(row_height))
        self.verticalHeader().setMinimumSectionSize(scaled(row_height))
        self._header = _Header(self)
        self.setHorizontalHeader(self._header)
        self._set_widths()
        self._set_filter()
        palette = self.palette()
        palette.setColor(palette.ColorRole.Base, Qt.GlobalColor.transparent)
        self.setPalette(palette)
        self.selectionModel().currentRowChanged.connect(self._on_current)
        self.doubleClicked.connect(self._on_double)
        self._copying = QAction("Copy the row", self)
        self._copying.setShortcut(QKeySequence(QKeySequence.StandardKey.Copy))
        self._copying.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        self._copying.triggered.connect(self._on_copy)
        self.addAction(self._copying)

    def offer(self, commands: Callable[[], Sequence[Command]]) -> None:
        """Put commands that can be done into the menu of a row; they act on the selected row."""
        self._commands = commands

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show these rows, as far as they fit what is typed, sorted as the reader last asked, and
        stay on the selected row, as far as that goes."""
        row = self.currentIndex().row()
        self.rows = list(rows)
        self._show_fitting()
        self.fit()
        if self.rows_model.rows:
            self.select(min(max(row, 0), len(self.rows_model.rows) - 1))

    def current(self) -> Row | None:
        """The selected row."""
        row = self.currentIndex().row()
        return self.rows_model.rows[row] if 0 <= row < len(self.rows_model.rows) else None

    def select(self, row: int) -> None:
        """Go to a row, by a column that is seen: keys go on from there."""
        columns = range(len(self.rows_model.columns))
        seen = next((i for i in columns if not self.isColumnHidden(i)), 0)
        self.setCurrentIndex(self.rows_model.index(row, seen))

    def select_where(self, wanted: Callable[[Row], bool]) -> bool:
        """Go to the first row shown that is wanted; False where there is none."""
        index = next((i for i, row in enumerate(self.rows_model.rows) if wanted(row)), None)
        if index is not None:
            self.select(index)
        return index is not None

    def go_to(self, wanted: Callable[[Row], bool]) -> None:
        """The same; the filter gives way where it hides the row."""
        if not self.select_where(wanted) and any(wanted(row) for row in self.rows):
            self.filter.line.clear()
            self.select_where(wanted)

    def can_filter(self) -> bool:
        """There is enough to narrow, or narrowed already."""
        many = self._pinned or len(self.rows) >= MANY or self._header.open
        return many and (self._pinned or not self._in_order)

    def ask_filter(self, text: str = "") -> None:
        """Go to the line that narrows the list, and type a text there."""
        self._show_filter(True)
        self.filter.begin()
        if text:
            self.filter.line.end(False)
            self.filter.line.insert(text)

    def sort_rows(
        self, column: int | None, order: Qt.SortOrder, group: Callable[[Row], Any] | None
    ) -> None:
        """Sort by a column (None: as given), and before that by a group; stay on the row."""
        here = self.current()
        self.sorted_by = None if column is None else (column, order)
        self._group = group
        self._show_fitting()
        self.fit()
        self._header.viewport().update()
        if here is not None and here in self.rows_model.rows:
            self.select(self.rows_model.rows.index(here))

    def title_of(self, number: int) -> str:
        """The title of a column, with an arrow where the rows are sorted by it."""
        title = self.rows_model.columns[number].shown
        if self.sorted_by is None or self.sorted_by[0] != number:
            return title
        return f"{title} {'↑' if self.sorted_by[1] == Qt.SortOrder.AscendingOrder else '↓'}"

    def hide_columns(self, hidden: Iterable[int]) -> None:
        """Show all columns but these."""
        self._hidden = frozenset(hidden)
        for number in range(len(self.rows_model.columns)):
            self.setColumnHidden(number, number in self._hidden)
        self.fit()

    def fit(self) -> None:
        """Give each column what its widest text among the first rows needs."""
        metrics, heads = QFontMetrics(font(TEXT, bold=True)), QFontMetrics(font(SMALL))
        for i, column in enumerate(self.rows_model.columns):
            if column.stretch or i in self._hidden:
                continue
            texts = [column.text(row) for row in self.rows_model.rows[:100]]
            widest = max((metrics.horizontalAdvance(t) for t in texts), default=0)
            title = max(map(heads.horizontalAdvance, self.title_of(i).split("\n")))
            need = max(widest, title, column.width)
            self._widths[i] = need + 2 * _GAP + 2  # rounding must not cut a letter
            self.setColumnWidth(i, self._widths[i])
        titles = [self.title_of(i) for i in range(len(self.rows_model.columns))]
        self._header.show_lines(max((title.count("\n") for title in titles), default=0) + 1)
        self._leave_spare_out()

    def _leave_spare_out(self) -> None:
        """Hide the spare columns where the one that stretches would have too little room."""
        columns = self.rows_model.columns
        room = self.viewport().width() - sum(
            width
            for i, width in self._widths.items()
            if not columns[i].spare and i not in self._hidden
        )
        for i, column in enumerate(columns):
            if column.spare and i not in self._hidden:
                self.setColumnHidden(i, room - self._widths.get(i, 0) < scaled(_LEAST))
                room -= 0 if self.isColumnHidden(i) else self._widths.get(i, 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._leave_spare_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.hasFocus() and self.frames_row:
            self._frame_row()

    def _frame_row(self) -> None:
        """The selected row while the keys go to the list; the list where it has no rows."""
        row, port = self.currentIndex().row(), self.viewport()
        top, high = self.rowViewportPosition(row), self.rowHeight(row)
        if row < 0:
            top, high = 0, port.height()
        frame = (1, port.width() - 1), (top + 1, top + high - 1)
        paint_scene(port, Scene([BoxMark(*frame, edge="ink", width=_FRAME)]), colours_of(self))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        plain = not event.modifiers() & ~_SHIFT_OR_PAD
        if enter and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            if self.current() is not None:
                self.opened.emit(self.current())
        elif plain and event.text() and self._takes is not None and self._takes(event.text()):
            self.typed_over.emit(event.text())
        elif plain and self._filters(event.text()):
            self.ask_filter(event.text())
        elif event.key() == Qt.Key.Key_Escape and self.filter.line.text():
            self._on_left()
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """The commands on the row under the pointer, and what can be copied."""
        if not self.rows_model.rows:
            return
        menu = self.menu()
        menu.exec(event.globalPos())
        menu.deleteLater()

    def menu(self) -> QMenu:
        """The menu of the selected row."""
        menu = Menu(self)
        for command in self._commands():
            if command.is_enabled():
                keys = shown_keys(command)
                action = menu.addAction(f"{command.title}\t{keys}" if keys else command.title)
                action.triggered.connect(command.run)
        menu.addSeparator()
        menu.addAction(self._copying)
        menu.addAction(translated("Copy all rows")).triggered.connect(self.copy_all)
        for ending in (CSV, XLSX):
            save = worded("desk.save-list-as", format=ending[1:].upper())
            menu.addAction(save).triggered.connect(partial(self.save_as, ending))
        return menu

    def _on_copy(self) -> None:
        row = self.current()
        if row is not None:
            QGuiApplication.clipboard().setText(self.rows_model.as_text([row]))

    def copy_all(self) -> None:
        """Put all rows that are shown on the clipboard, their titles first."""
        QGuiApplication.clipboard().setText(self.rows_model.as_text(self.rows_model.rows))

    def save_as(self, ending: str, *_on: object) -> None:
        """Ask where, and save all rows that are shown as a table for a spreadsheet."""
        titles, *cells = self.rows_model.as_cells(self.rows_model.rows)
        save_table(self, self.accessibleName(), ending, titles, cells)

    def _set_filter(self) -> None:
        line = self.filter
        line.narrowed.connect(self._on_narrowed)
        line.passed_on.connect(self._on_passed_on)
        line.entered.connect(self._on_entered)
        if not self._pinned:
            line.setParent(self._header)
            line.hide()
            line.left.connect(self._on_left)

    def _show_filter(self, shown: bool) -> None:
        if not self._pinned:
            self._header.show_filter(shown)
            self.updateGeometries()

    def _show_fitting(self) -> None:
        wanted = self.filter.line.text().casefold().split()
        rows = self.rows
        if wanted and self._question is not None:
            rows = list(filter(self._question(self.filter.line.text()), rows))
        elif wanted:
            found = [(row, self._findable(row).casefold()) for row in rows]
            rows = [row for row, words in found if all(word in words for word in wanted)]
        self.rows_model.show_rows(rows)
        self._sort()
        self.filter.say_found(bool(rows) or not wanted)
        if self._header.open:
            self._show_filter(True)  # as high as it is now

    def _sort(self) -> None:
        if self.sorted_by is not None:
            self.rows_model.sort(*self.sorted_by)
        if self._group is not None:
            self.rows_model.sort_by(self._group)

    def _filters(self, text: str) -> bool:
        """Whether what is typed on the list narrows it: where its letters do nothing else."""
        return bool(text.strip()) and text.isprintable() and not self._takes and self.can_filter()

    def _words_of(self, row: Row) -> str:
        return " ".join(column.text(row) for column in self.rows_model.columns)

    def _on_narrowed(self, _text: str) -> None:
        here = self.current()
        self._show_fitting()
        if self.rows_model.rows:
            shown = self.rows_model.rows
            self.select(shown.index(here) if here is not None and here in shown else 0)
        self.narrowed.emit()

    def _on_passed_on(self, event: QKeyEvent) -> None:
        self.setFocus()
        self.keyPressEvent(event)

    def _on_entered(self) -> None:
        if not self._pinned:
            self.setFocus()
        elif self.current() is not None:
            self.opened.emit(self.current())

    def _on_left(self) -> None:
        """Show all rows again, without the line where it is not the page's own."""
        self.filter.line.clear()
        self._show_filter(False)
        self.setFocus()

    def _set_widths(self) -> None:
        header = self.horizontalHeader()
        for i, column in enumerate(self.rows_model.columns):
            if column.stretch:
                header.setSectionResizeMode(i, QHeaderView.ResizeMode.Stretch)
        if not self._in_order:
            header.setSectionsClickable(True)
            header.setSortIndicatorShown(False)
            header.sectionClicked.connect(self._on_title)

    def _on_title(self, column: int) -> None:
        up, down = Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder
        order = down if self.sorted_by == (column, up) else up
        self.sorted_by = (column, order)
        here = self.current()
        self._sort()
        self.fit()
        if here is not None:
            self.select(self.rows_model.rows.index(here))
        self.sorted_anew.emit()

    def _on_current(self, index: QModelIndex, _before: QModelIndex) -> None:
        if index.isValid():
            self.picked.emit(self.rows_model.rows[index.row()])

    def _on_double(self, index: QModelIndex) -> None:
        self.opened.emit(self.rows_model.rows[index.row()])


class _Cell(MarksDelegate):
    def __init__(self, view: RowsView[Any]) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        return QSize(40, scaled(ROW))

    def marks(self, index: Index, wide: float, high: float) -> Sequence[Mark]:
        view = self._view
        column, row = view.rows_model.columns[index.column()], view.rows_model.rows[index.row()]
        here = index.row() == view.currentIndex().row()
        tinted = here and view.selectionMode() != QAbstractItemView.SelectionMode.NoSelection
        marks: list[Mark] = [BoxMark((0, wide), (0, high), "chosen")] if tinted else []
        if column.once and view.rows_model.says_above(index):
            return marks
        if column.marks is not None:
            return [*marks, *column.marks(row, wide, high)]
        role = "quiet" if column.quiet and not here else "ink"
        bold, text = column.bold or (here and index.column() == 0), column.text(row)
        return [*marks, cell_text(text, wide, high, role, bold=bold, right=column.right)]


class _Header(QHeaderView):
    """The titles; the line that narrows the list stands over them while it is open."""

    def __init__(self, view: RowsView[Any]) -> None:
        super().__init__(Qt.Orientation.Horizontal, view)
        self._view = view
        self.open = False
        self._lines = 1
        self.setFixedHeight(self._titles())
        self.setMinimumSectionSize(24)
        self.setHighlightSections(False)

    def show_filter(self, shown: bool) -> None:
        """Make room for the line over the titles, or none."""
        self.open = shown
        self._view.filter.setVisible(shown)
        self.setFixedHeight(self._titles() + (self._above() if shown else 0))
        self._place()

    def show_lines(self, lines: int) -> None:
        """Make room for titles of so many lines."""
        if lines != self._lines:
            self._lines = lines
            self.setFixedHeight(self._titles() + (self._above() if self.open else 0))

    def _titles(self) -> int:
        return scaled(_TITLES) + (self._lines - 1) * QFontMetrics(font(SMALL)).lineSpacing()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self.open:
            self._place()

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        column, title = self._view.rows_model.columns[section], self._view.title_of(section)
        wide, high, titles = rect.width(), rect.height(), self._titles()
        x, align = (wide - _GAP, RIGHT) if column.right else (_GAP, LEFT)
        marks: list[Mark] = [
            BoxMark((0, wide), (0, high), "paper"),
            BoxMark((0, wide), (high - 1, high), "hairline"),
            TextMark(x, high - titles / 2, title, align=align),
        ]
        clip = QRectF(0, 0, wide, high)
        draw_scene(painter, Scene(marks, clip=clip), colours_of(self), QPointF(rect.topLeft()))

    def _above(self) -> int:
        return self._view.filter.sizeHint().height() + 2 * STEP

    def _place(self) -> None:
        self._view.filter.setGeometry(_GAP, 0, self.width() - 2 * _GAP, self._above() - 2 * STEP)
        self._view.filter.raise_()
