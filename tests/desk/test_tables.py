"""The quiet table: rows as they are given, sorted by a title, opened by Enter."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from journal.desk.tables import Column, RowsModel, RowsView


@dataclass(frozen=True)
class Cheese:
    name: str
    kg: float


COLUMNS = (
    Column("name", lambda row: row.name, sort=lambda row: row.name, stretch=True),
    Column("kg", lambda row: f"{row.kg:.2f}", right=True, sort=lambda row: row.kg),
)
ROWS = [Cheese("b", 2.0), Cheese("a", 3.0), Cheese("c", 1.0)]


@pytest.fixture
def view(qtbot) -> RowsView:
    made = RowsView("Cheeses", COLUMNS)
    qtbot.addWidget(made)
    made.resize(400, 300)
    made.show_rows(ROWS)
    made.show()
    qtbot.waitExposed(made)
    return made


def names(view: RowsView) -> list[str]:
    return [row.name for row in view.rows_model.rows]


def test_the_model_keeps_qts_promises(qapp):
    model = RowsModel(COLUMNS)
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    model.show_rows(ROWS)
    model.sort(1)
    assert model.rowCount() == 3
    assert model.rowCount(model.index(0, 0)) == 0


def test_rows_stand_in_their_order_and_the_first_is_current(view):
    assert names(view) == ["b", "a", "c"]
    assert view.current() == ROWS[0]


def test_a_title_sorts_and_sorts_back(qtbot, view):
    header = view.horizontalHeader()
    header.sectionClicked.emit(1)
    assert names(view) == ["c", "b", "a"]
    header.sectionClicked.emit(1)
    assert names(view) == ["a", "b", "c"]
    header.sectionClicked.emit(0)
    assert names(view) == ["a", "b", "c"]


def test_arrows_pick_and_enter_opens(qtbot, view):
    with qtbot.waitSignal(view.picked) as heard:
        qtbot.keyClick(view, Qt.Key.Key_Down)
    assert heard.args == [ROWS[1]]
    with qtbot.waitSignal(view.opened) as heard:
        qtbot.keyClick(view, Qt.Key.Key_Return)
    assert heard.args == [ROWS[1]]


def test_new_rows_leave_one_where_one_stood(view):
    view.select(2)
    view.show_rows(ROWS[:2])
    assert view.current() == ROWS[1]
    view.show_rows([])
    assert view.current() is None


def test_a_spare_column_makes_room_for_the_one_that_says_most(qtbot):
    view = RowsView("wheels", [
        Column("age", lambda row: f"{row} months", spare=True),
        Column("needs", lambda row: f"turn {row}", stretch=True),
    ])  # fmt: skip
    qtbot.addWidget(view)
    view.show_rows([8, 9])
    view.show()
    for width, hidden in ((600, False), (130, True), (600, False)):
        view.resize(width, 200)
        assert view.isColumnHidden(0) is hidden
    assert view.columnWidth(1) > 96
