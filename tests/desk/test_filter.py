"""A long list is narrowed by typing: in a line of the page's own, or in one over the titles."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from journal.desk.tables import MANY, Column, RowsView
from journal.findings.setting_up import set_up_session
from journal.keeping.session_rows import SampleIdentity
from journal.records.tastings import BY_SAMPLE, Tasting
from tests.desk.hands import Hands, key_for

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ENTER, ESC, DOWN, F = Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Down, Qt.Key.Key_F
ROWS = [(f"HL-{n}", "gouda" if n % 2 else "tomme") for n in range(1, MANY + 9)]


def listed(table: RowsView) -> list:
    return table.rows_model.rows


@pytest.fixture
def table(qtbot) -> RowsView[tuple[str, str]]:
    made: RowsView[tuple[str, str]] = RowsView(
        "Makes", (Column("make", lambda row: row[0]), Column("plan", lambda row: row[1]))
    )
    qtbot.addWidget(made)
    made.resize(500, 400)
    made.show_rows(ROWS)
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    made.setFocus()
    return made


def test_typing_on_a_long_list_opens_the_line_and_narrows_by_every_column(table):
    table.select(4)
    titles = table.horizontalHeader().height()
    QTest.keyClicks(table, "g")
    assert table.filter.line.hasFocus()
    assert table.horizontalHeader().height() > titles
    QTest.keyClicks(table.filter.line, "ouda hl-1")
    assert [code for code, _ in listed(table)] == [
        f"HL-{n}" for n in (1, 11, 13, 15, 17, 19)
    ]  # fmt: skip
    QTest.keyClick(table.filter.line, DOWN)
    assert table.hasFocus()
    assert table.current() == ("HL-11", "gouda")
    QTest.keyClick(table, ESC)
    assert listed(table) == ROWS
    assert table.current() == ("HL-11", "gouda")  # where one stood among the few
    assert table.horizontalHeader().height() == titles
    assert not table.filter.isVisible()


def test_enter_goes_to_the_list_and_what_comes_anew_is_narrowed_too(table):
    table.ask_filter("tomme")
    QTest.keyClick(table.filter.line, ENTER)
    assert table.hasFocus()
    table.show_rows([("HL-90", "tomme"), ("HL-91", "gouda")])
    assert listed(table) == [("HL-90", "tomme")]
    table.go_to(lambda row: row[0] == "HL-91")  # asked for from elsewhere
    assert table.current() == ("HL-91", "gouda")
    assert table.filter.line.text() == ""


def test_nothing_found_is_said_in_one_sentence(table):
    table.ask_filter("blue")
    assert listed(table) == []
    assert table.filter.none.isVisible()
    assert table.filter.none.text() == "Nothing matches “blue”. Esc shows all."
    below = table.filter.mapTo(table, table.filter.rect().bottomLeft()).y()
    assert below < table.horizontalHeader().height()  # the titles stand under it
    QTest.keyClick(table.filter.line, ESC)
    assert listed(table) == ROWS
    assert not table.filter.none.isVisible()


def test_a_list_seen_whole_has_no_line(table):
    table.show_rows(ROWS[: MANY - 1])
    QTest.keyClicks(table, "g")
    assert not table.can_filter()
    assert not table.filter.isVisible()


def test_ctrl_f_narrows_the_makes_in_the_window(window_on, sample, qtbot):
    window = window_on(sample, place="makes")
    place, hands = window.current, Hands(window)
    every = len(listed(place.list.table))
    hands.press(F, CTRL)
    assert place.list.line.hasFocus()
    code = listed(place.list.table)[3].code
    hands.type(code)
    assert [row.code for row in listed(place.list.table)] == [code]
    assert place.list.count.text() == f"1 of {every} makes"
    qtbot.waitUntil(lambda: place.page.code.text() == code)
    hands.type("zz")
    assert place.list.table.filter.none.text() == f"No make matches “{code}zz”. Esc shows all."
    hands.press(ESC)
    assert len(listed(place.list.table)) == every


def test_ctrl_f_narrows_the_wheels_and_letters_still_act(window_on, sample):
    window = window_on(sample, place="room")
    table, hands = window.current.page.table, Hands(window)
    wheel = table.rows[-1]
    assert len(table.rows) >= MANY
    hands.press(F, CTRL)
    assert table.filter.line.hasFocus()
    hands.type(f"{wheel.room} {wheel.code}")
    assert listed(table) == [wheel]  # by its room, which stands only at the first of them
    hands.press(ENTER)
    assert table.hasFocus()
    hands.type("4")
    assert window.current.page.field.line.text() == "4"  # a digit is a weight
    hands.press(ESC)
    table.setFocus()
    hands.press(ESC)
    assert len(listed(table)) == len(table.rows)


def test_the_list_of_stock_keeps_its_letters(window_on, sample):
    window = window_on(sample, place="plans")
    tables = window.current.findChildren(RowsView)
    plans = [table for table in tables if table.filter is window.current.page.filter]
    assert len(plans) == 1  # this list alone has a line that is always there
    tables.remove(plans[0])
    assert not any(table.filter.isVisible() for table in tables)
    for table in tables:
        table.setFocus()
        QTest.keyClicks(table, "7")
        assert not table.filter.isVisible(), table.accessibleName()


def test_the_wheel_to_score_is_found_by_its_month_and_esc_goes_back(window_on, sample, qtbot):
    window = window_on(sample, place="tastings")
    part, hands = window.current.open, Hands(window)
    chooser = part.chooser
    hands.press(Qt.Key.Key_L, CTRL)
    wheel = chooser.table.rows[-1]
    hands.type(wheel.found_by)
    assert wheel in listed(chooser.table)
    hands.press(DOWN)
    assert chooser.table.hasFocus()
    hands.type(" no")
    assert chooser.line.hasFocus()
    assert chooser.none.text().startswith("No wheel matches ")


def test_a_sorted_and_narrowed_list_stands_on_the_row_asked_for(table):
    table.ask_filter("tomme")
    table.rows_model.sort(0, Qt.SortOrder.DescendingOrder)
    assert table.select_where(lambda row: row[0] == "HL-4")
    assert table.current() == ("HL-4", "tomme")
    assert not table.select_where(lambda row: row[0] == "HL-3")  # hidden
    assert table.current() == ("HL-4", "tomme")


def test_many_blind_sessions_are_narrowed_by_who_tasted(window_on, sample):
    window = window_on(sample, place="tastings")
    hands = Hands(window)
    hands.press(*key_for("part_2"))
    part = window.current.shown_part()
    for number in range(MANY):
        name = "Ada" if number == 3 else "Ben"
        cheeses = [SampleIdentity(None, "Abbey"), SampleIdentity(None, "Shop cheddar")]
        set_up = set_up_session(cheeses, 1, BY_SAMPLE, number)
        sample.sessions.set_up(
            Tasting(sample.makes.rows()[0].started_ms + number, sample.zone, coding=BY_SAMPLE),
            cheeses, [name], set_up.orders, set_up.codes, set_up.labels,
        )  # fmt: skip
    part.other()
    table = part.list.table
    assert len(table.rows) >= MANY
    hands.type("ada")
    assert table.filter.line.hasFocus()
    assert len(listed(table)) == 1
    hands.press(ENTER).press(ENTER)
    assert part.pages.currentWidget() is part.sheet  # the one found is open
