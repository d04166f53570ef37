"""Every list of the window: sorted by its titles, copied as rows, with the screen's commands."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtTest import QTest

from journal.desk.places import PLACES
from journal.desk.tables import Column, RowsView, natural

CODES = ("HL-10", "HL-9", "hl-2")


@pytest.fixture
def table(qtbot) -> RowsView[tuple[str, float]]:
    made: RowsView[tuple[str, float]] = RowsView(
        "Makes",
        (
            Column("make", lambda row: row[0]),
            Column("kg", lambda row: f"{row[1]:.2f}"),
            Column("", lambda _row: ""),
        ),
        takes=str.isdigit,
    )
    qtbot.addWidget(made)
    made.show_rows([(code, kg) for code, kg in zip(CODES, (1.2, 0.95, 11.0), strict=True)])
    made.show()
    qtbot.waitExposed(made)
    return made


def click_title(table: RowsView, column: int) -> None:
    header = table.horizontalHeader()
    where = QPoint(header.sectionViewportPosition(column) + 12, 8)
    QTest.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=where)


def shown(table: RowsView) -> list[str]:
    return [row[0] for row in table.rows_model.rows]


def test_a_title_sorts_numbers_by_size_and_once_more_turns_them(table):
    table.select(1)
    click_title(table, 0)
    assert shown(table) == ["hl-2", "HL-9", "HL-10"]
    assert table.current() == ("HL-9", 0.95)  # the row one stood on
    click_title(table, 1)
    assert shown(table) == ["HL-9", "HL-10", "hl-2"]
    click_title(table, 1)
    assert shown(table) == ["hl-2", "HL-10", "HL-9"]


def test_rows_shown_anew_stay_sorted(table):
    click_title(table, 0)
    table.show_rows([("HL-3", 1.0), ("HL-1", 2.0)])
    assert shown(table) == ["HL-1", "HL-3"]


def test_a_list_whose_order_means_something_is_not_sorted(qtbot):
    table = RowsView("Stages", (Column("stage", str),), in_order=True)
    qtbot.addWidget(table)
    table.show_rows(["warm", "add", "set"])
    click_title(table, 0)
    assert table.rows_model.rows == ["warm", "add", "set"]


def test_rows_are_copied_as_a_spreadsheet_takes_them(table):
    table.select(0)
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text() == "make\tkg\nHL-10\t1.20"
    next(one for one in table.menu().actions() if one.text() == "Copy all rows").trigger()
    assert QGuiApplication.clipboard().text() == "make\tkg\nHL-10\t1.20\nHL-9\t0.95\nhl-2\t11.00"


def test_what_belongs_elsewhere_is_handed_on(table, qtbot):
    with qtbot.waitSignal(table.typed_over) as handed:
        QTest.keyClick(table, Qt.Key.Key_7)
    assert handed.args == ["7"]


@pytest.mark.parametrize(
    ("lesser", "greater"),
    [("−1.5", "0.2"), ("9 kg", "10 kg"), ("a", "B"), ("HL-0009-A", "HL-0009-B"), ("3", "x")],
)
def test_texts_sort_as_they_are_read(lesser, greater):
    assert natural(lesser) < natural(greater)


LINES = {"Copy the row", "Copy all rows", "Save the list as CSV…", "Save the list as XLSX…"}


def titles(table: RowsView) -> dict[str, QAction]:
    """The lines of a list's menu by their words, without the key beside them."""
    return {one.text().split("\t")[0]: one for one in table.menu().actions() if one.text()}


def test_every_list_of_every_screen_offers_what_the_screen_can_do(window_on, sample):
    window = window_on(sample)
    seen = 0
    for entry in PLACES:
        window.go(entry.key)
        place = window.place(entry.key)
        if entry.key == "plans":
            place.open_stock()
        elif entry.key == "findings":
            place.series.show()
        can = {command.title for command in place.commands() if command.is_enabled()}
        for table in place.findChildren(RowsView):
            offered = set(titles(table))
            assert offered == can | LINES, table.accessibleName()
            seen += 1
    assert seen > 13


def test_a_command_of_the_menu_acts_on_the_row_one_stands_on(window_on, sample):
    window = window_on(sample)
    window.go("makes")
    table = window.current.findChild(RowsView)
    table.select(2)
    code = table.current().code
    [delete] = [one for one in window.current.commands() if one.name == "delete"]
    titles(table)[delete.title].trigger()
    assert code not in [make.code for make in sample.makes.rows()]
