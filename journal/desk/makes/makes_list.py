"""The left page of Makes: a line to type into and the list it narrows, sorted and grouped."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, replace
from functools import partial

from PySide6.QtCore import QSettings, Qt, Signal
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from journal.desk.buttons import MAIN, Button, WordButton
from journal.desk.charts.marks import LineMark
from journal.desk.form.filter_line import FilterLine
from journal.desk.form.frame import arrange_list
from journal.desk.labels import Label
from journal.desk.layouts import in_row
from journal.desk.makes.columns import (
    BY_PLAN,
    FIXED,
    GROUPS,
    ListLayout,
    group_key,
    group_of,
    make_columns,
    name_of,
)
from journal.desk.makes.small_curve import SmallCurves
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TITLE
from journal.keeping import MakeRow
from journal.reports.make_filter import filter_of
from journal.wording import worded
from journal.wording.languages import translated

_SETTING = "makes/layout"
_UP, _DOWN = Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder


class MakesList(QWidget):
    """All makes, newest first until one sorts them. `picked` carries the selected row,
    `opened` the one entered, `shown_anew` comes when other makes are shown."""

    picked = Signal(object)
    opened = Signal(object)
    go_on = Signal()
    shown_anew = Signal()

    def __init__(
        self, curves: SmallCurves, settings: QSettings, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._curves, self._settings = curves, settings
        self._groups: Counter[str] = Counter()
        self._of: int | None = None
        self.layout_now = _read_layout(settings)
        self.count = Label("", role="quiet")
        self._filter = FilterLine("Filter the makes", "goat >7 2026 #gift", "No make")
        self.line = self._filter.line
        group: Column[MakeRow] = Column("group", self._group_text, bold=True, once=True)
        self.columns = (group, *make_columns(self._curve_marks))
        self.table = RowsView("Makes", self.columns, question=filter_of, filter_line=self._filter)
        self.table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.view = WordButton("Columns, order", size=SMALL)
        self.view.setAccessibleName(translated("Columns, order, groups"))
        self.view.clicked.connect(self.show_menu)
        self.all = WordButton("All on a timeline", size=SMALL)
        self.all.setCheckable(True)
        self.next = Button("Compare", MAIN, "main")
        self.next.clicked.connect(self.go_on)
        self.table.narrowed.connect(self._on_narrowed)
        self.table.sorted_anew.connect(self._on_sorted)
        self.table.picked.connect(self.picked)
        self.table.opened.connect(self.opened)
        self._build()
        self._lay_out()

    def _build(self) -> None:
        heading = Label(translated("Makes"), TITLE, bold=True)
        head = in_row(heading, None, (self.count, 0, Qt.AlignmentFlag.AlignBottom))
        foot = in_row(
            self.next,
            None,
            (self.all, 0, Qt.AlignmentFlag.AlignBottom),
            4 * STEP,
            (self.view, 0, Qt.AlignmentFlag.AlignBottom),
        )
        margins = (5 * STEP, 5 * STEP, 4 * STEP, 5 * STEP)
        arrange_list(self, (head, self._filter), self.table, [foot], margins=margins)

    # Fill

    def show_rows(
        self, rows: Sequence[MakeRow], make_id: int | None, of: int | None = None
    ) -> None:
        """Show these makes, standing on the one of that id where it is among them; `of` how many,
        while the others are being read."""
        self._of = of
        self.table.blockSignals(True)
        if self.table.rows != rows:
            self._count_groups(rows)
            self.table.show_rows(rows)
        if not self.table.select_where(lambda row: row.id == make_id):
            self.table.select(0)
        self.table.blockSignals(False)
        self._say_count()
        self.picked.emit(self.current())

    def select(self, make_id: int) -> None:
        """Stand on a make; the filter gives way when it hides it."""
        self.table.go_to(lambda row: row.id == make_id)

    def current(self) -> MakeRow | None:
        """The selected make."""
        return self.table.current()

    @property
    def shown(self) -> list[MakeRow]:
        """The makes that are shown, in their order."""
        return self.table.rows_model.rows

    # Layout

    def menu(self) -> QMenu:
        """Which columns are shown, what the list is sorted by, and its groups."""
        menu = QMenu(self)
        now = self.layout_now
        menu.addSection(translated("Columns"))
        for column in self.columns[1:]:
            action = _tick(menu, column.shown, name_of(column) in now.columns)
            action.setEnabled(name_of(column) not in FIXED)
            action.triggered.connect(partial(self.turn_column, name_of(column)))
        sort = menu.addMenu(translated("Sort by"))
        orders = QActionGroup(sort)
        known = [(name_of(c), c.shown) for c in self.columns[1:] if c.marks is None]
        for name, title in (("", "newest first"), *known):
            action = _tick(sort, title, name == now.sort)
            orders.addAction(action)
            action.triggered.connect(partial(self.sort_by, name))
        down = _tick(menu, "From the greatest down", now.down)
        down.setEnabled(bool(now.sort))
        down.triggered.connect(self.turn_down)
        groups = menu.addMenu(translated("Group"))
        kinds = QActionGroup(groups)
        for key, words in GROUPS:
            action = _tick(groups, words, key == now.group)
            kinds.addAction(action)
            action.triggered.connect(partial(self.group_by, key))
        return menu

    def show_menu(self) -> None:
        """Open that menu."""
        menu = self.menu()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.view.mapToGlobal(self.view.rect().topLeft()))

    def turn_column(self, name: str, *_on: object) -> None:
        """Show a column, or hide it."""
        now = self.layout_now.columns
        columns = tuple(c for c in now if c != name) if name in now else (*now, name)
        self._keep(replace(self.layout_now, columns=columns))

    def sort_by(self, name: str, *_on: object) -> None:
        """Sort by a column; "" is the newest first."""
        self._keep(replace(self.layout_now, sort=name))

    def turn_down(self, *_on: object) -> None:
        """Sort the other way round."""
        self._keep(replace(self.layout_now, down=not self.layout_now.down))

    def group_by(self, key: str, *_on: object) -> None:
        """Group by plan, tag or year, or not at all."""
        self._keep(replace(self.layout_now, group=key))

    def _keep(self, layout: ListLayout) -> None:
        self.layout_now = layout
        self._settings.setValue(_SETTING, json.dumps(asdict(layout)))
        self._lay_out()

    def _lay_out(self) -> None:
        now = self.layout_now
        names = [name_of(column) for column in self.columns]
        self._count_groups(self.table.rows)
        in_headings = {"plan"} if now.group == BY_PLAN else set()
        shown = {*now.columns, *(("group",) if now.group else ())} - in_headings
        self.table.hide_columns(n for n, name in enumerate(names) if name not in shown)
        column = names.index(now.sort) if now.sort in names else None
        self.table.sort_rows(column, _DOWN if now.down else _UP, group_key(now.group))
        self.shown_anew.emit()

    def _count_groups(self, rows: Sequence[MakeRow]) -> None:
        group = self.layout_now.group
        self._groups = Counter(group_of(row, group) for row in rows) if group else Counter()

    def _group_text(self, row: MakeRow) -> str:
        name = group_of(row, self.layout_now.group)
        return f"{name} ({self._groups[name]})" if name else ""

    def _say_count(self) -> None:
        found, total = len(self.table.rows_model.rows), len(self.table.rows)
        every = total if self._of is None else self._of
        which = "desk.makes-of" if found != every else "desk.makes-all"
        self.count.setText(worded(which, found=found, makes=every, whole=total >= every))
        self.shown_anew.emit()

    # Handlers

    def _on_narrowed(self) -> None:
        self._say_count()
        if self.current() is None:
            self.picked.emit(None)

    def _on_sorted(self) -> None:
        column, order = self.table.sorted_by or (None, _UP)
        name = "" if column is None else name_of(self.columns[column])
        now = replace(self.layout_now, sort=name, down=order == _DOWN)
        self.layout_now = now
        self._settings.setValue(_SETTING, json.dumps(asdict(now)))

    def _curve_marks(self, row: MakeRow, wide: float, high: float) -> Sequence[LineMark]:
        role = "past_line" if row.failed else "temperature"
        return self._curves.marks(row.id, wide, high, role)


def _tick(menu: QMenu, words: str, on: bool) -> QAction:
    action = menu.addAction(words)
    action.setCheckable(True)
    action.setChecked(on)
    return action


def _read_layout(settings: QSettings) -> ListLayout:
    """The layout as it was kept, else the usual one."""
    try:
        found = ListLayout(**json.loads(str(settings.value(_SETTING, "{}"))))
        return replace(found, columns=tuple(map(str, found.columns)))
    except (TypeError, ValueError):
        return ListLayout()
