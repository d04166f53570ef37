"""Quiet tables: rows of records under named columns, hairlines between, the row at hand tinted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from journal.desk.scrollbars import quieten
from journal.desk.theme import SMALL, STEP, TEXT, colours_of, font

Index = QModelIndex | QPersistentModelIndex

ROW = 8 * STEP
_GAP = 3 * STEP


@dataclass(frozen=True)
class Column:
    """A column: its title, how a row's text is read, and how it stands.

    `right` sets numbers right (unit once in the title); `quiet` writes it back; `sort` gives the
    key a click on the title sorts by; `stretch` takes the room that is left; `draw` paints the
    cell itself: draw(painter, rect, row).
    """

    title: str
    text: Callable[[Any], str]
    right: bool = False
    quiet: bool = False
    bold: bool = False
    sort: Callable[[Any], Any] | None = None
    stretch: bool = False
    width: int = 0
    draw: Callable[[QPainter, QRect, Any], None] | None = None


class RowsModel(QAbstractTableModel):
    """Rows of any record; the text of a cell is made when it is painted."""

    def __init__(self, columns: Sequence[Column], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.columns = list(columns)
        self.rows: list[Any] = []

    def show_rows(self, rows: Sequence[Any]) -> None:
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
            return self.columns[section].title
        return None

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Sort the rows themselves; a column without a key stays as it is."""
        if not 0 <= column < len(self.columns) or self.columns[column].sort is None:
            return
        down = order == Qt.SortOrder.DescendingOrder
        self.beginResetModel()
        self.rows.sort(key=self.columns[column].sort, reverse=down)
        self.endResetModel()


class RowsView(QTableView):
    """A table of RowsModel. `picked` carries the row one stands on, `opened` the one entered."""

    picked = Signal(object)
    opened = Signal(object)

    def __init__(
        self,
        name: str,
        columns: Sequence[Column],
        parent: QWidget | None = None,
        *,
        row_height: int = ROW,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.rows_model = RowsModel(columns, self)
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
        self.verticalHeader().setDefaultSectionSize(row_height)
        self.verticalHeader().setMinimumSectionSize(row_height)
        self.setHorizontalHeader(_Header(self))
        self._set_widths()
        palette = self.palette()
        palette.setColor(palette.ColorRole.Base, Qt.GlobalColor.transparent)
        self.setPalette(palette)
        self.selectionModel().currentRowChanged.connect(self._on_current)
        self.doubleClicked.connect(self._on_double)

    def show_rows(self, rows: Sequence[Any]) -> None:
        """Show these rows and stay on the row one stood on, as far as that goes."""
        row = self.currentIndex().row()
        self.rows_model.show_rows(rows)
        self.fit()
        if rows:
            self.select(min(max(row, 0), len(rows) - 1))

    def current(self) -> Any | None:
        """The row one stands on."""
        row = self.currentIndex().row()
        return self.rows_model.rows[row] if 0 <= row < len(self.rows_model.rows) else None

    def select(self, row: int) -> None:
        """Go to a row."""
        self.setCurrentIndex(self.rows_model.index(row, 0))

    def fit(self) -> None:
        """Give each column what its widest text among the first rows needs."""
        metrics, heads = QFontMetrics(font(TEXT, bold=True)), QFontMetrics(font(SMALL))
        for i, column in enumerate(self.rows_model.columns):
            if column.stretch:
                continue
            texts = [column.text(row) for row in self.rows_model.rows[:100]]
            widest = max((metrics.horizontalAdvance(t) for t in texts), default=0)
            need = max(widest, heads.horizontalAdvance(column.title), column.width)
            self.setColumnWidth(i, need + 2 * _GAP + 2)  # rounding must not cut a letter

    def keyPressEvent(self, event: QKeyEvent) -> None:
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            if self.current() is not None:
                self.opened.emit(self.current())
            return
        super().keyPressEvent(event)

    def _set_widths(self) -> None:
        header = self.horizontalHeader()
        for i, column in enumerate(self.rows_model.columns):
            if column.stretch:
                header.setSectionResizeMode(i, QHeaderView.ResizeMode.Stretch)
        if any(column.sort for column in self.rows_model.columns):
            header.setSectionsClickable(True)
            header.setSortIndicatorShown(False)
            header.sectionClicked.connect(self._on_title)
        self._sorted: tuple[int, Qt.SortOrder] | None = None

    def _on_title(self, column: int) -> None:
        up, down = Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder
        order = down if self._sorted == (column, up) else up
        self._sorted = (column, order)
        self.rows_model.sort(column, order)

    def _on_current(self, index: QModelIndex, _before: QModelIndex) -> None:
        if index.isValid():
            self.picked.emit(self.rows_model.rows[index.row()])

    def _on_double(self, index: QModelIndex) -> None:
        self.opened.emit(self.rows_model.rows[index.row()])


class _Cell(QStyledItemDelegate):
    def __init__(self, view: RowsView) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        return QSize(40, ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        view = self._view
        c = colours_of(view)
        column = view.rows_model.columns[index.column()]
        here = index.row() == view.currentIndex().row()
        if here:
            painter.fillRect(option.rect, c.chosen)
        if column.draw is not None:
            painter.save()
            column.draw(painter, option.rect, view.rows_model.rows[index.row()])
            painter.restore()
            return
        painter.setFont(font(TEXT, bold=column.bold or (here and index.column() == 0)))
        painter.setPen(c.quiet if column.quiet and not here else c.ink)
        box = option.rect.adjusted(_GAP, 0, -_GAP, 0)
        side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
        text = painter.fontMetrics().elidedText(
            column.text(view.rows_model.rows[index.row()]),
            Qt.TextElideMode.ElideRight,
            box.width(),
        )
        painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter, text)


class _Header(QHeaderView):
    def __init__(self, view: RowsView) -> None:
        super().__init__(Qt.Orientation.Horizontal, view)
        self._view = view
        self.setFixedHeight(7 * STEP)
        self.setMinimumSectionSize(24)
        self.setHighlightSections(False)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        c = colours_of(self)
        column = self._view.rows_model.columns[section]
        painter.fillRect(rect, c.paper)
        painter.fillRect(rect.x(), rect.bottom(), rect.width(), 1, c.hairline)
        painter.setFont(font(SMALL))
        painter.setPen(c.quiet)
        side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
        box = rect.adjusted(_GAP, 0, -_GAP, 0)
        painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter, column.title)
