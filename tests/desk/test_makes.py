"""Makes: the list narrowed by typing, the make stood on drawn beside it, and where keys lead."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt

from journal.curves.deviation import deviation
from journal.desk import dialogs
from journal.message import Message
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.wording.makes import strayed_words

DAY_MS = 86_400_000
CTRL = Qt.KeyboardModifier.ControlModifier
BEGUN = 1_770_000_000_000
PLAN = Plan(
    "kitchen hard",
    (
        Stage("warm", 30.0, target_c=31.0),
        Stage("set", 45.0, target_c=31.0, ramp_min=0.0),
        Stage("cook", 40.0, target_c=39.0),
    ),
)


def add_make(journal, number, *, finish=True, name="", offset=0.0):
    """A make of 115 min with a reading a minute, `offset` °C above its plan."""
    at = BEGUN + number * 30 * DAY_MS
    make = journal.makes.begin(PLAN, Milk(12), at, name=name)
    minutes = np.arange(0, 116)
    values = PLAN.temperature_at(minutes) + offset
    journal.readings.add_many(make.id, "milk-temp", at + minutes * 60_000, values)
    if finish:
        journal.makes.finish(make.id, [1.2], at + 115 * 60_000)
    return make


@pytest.fixture
def makes(journal, window_on, qtbot):
    """A window at Makes on three makes, the last one running."""
    add_make(journal, 0)
    add_make(journal, 1, name="with goats milk", offset=1.5)
    add_make(journal, 2, finish=False)
    window = window_on(journal, place="makes", clock=lambda: BEGUN + 70 * DAY_MS)
    qtbot.waitUntil(window.settled)
    return window


def codes(place):
    return [row.code for row in place.list.table.rows_model.rows]


def key(qtbot, widget, which, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(widget, which, modifier)


def test_the_newest_make_comes_first_and_stands_on_the_right(makes):
    place = makes.current
    assert codes(place) == ["HL-0003", "HL-0002", "HL-0001"]
    assert place.page.code.text() == "HL-0003"
    assert place.page.state.text() == "running"


def test_typing_over_the_list_narrows_it_and_enter_opens(makes, qtbot):
    place = makes.current
    qtbot.keyClicks(place.list.table, "g")
    qtbot.keyClicks(place.list.line, "oats")
    assert place.list.line.text() == "goats"
    assert codes(place) == ["HL-0002"]
    assert place.list.count.text() == "1 of 3 makes"
    key(qtbot, place.list.line, Qt.Key.Key_Return)
    assert place.page.code.text() == "HL-0002"
    assert makes.desk.make_id == place.list.current().id
    key(qtbot, place.list.line, Qt.Key.Key_Escape)
    assert len(codes(place)) == 3
    assert place.list.current().code == "HL-0002"


def test_going_down_opens_the_next_make_everywhere(makes, qtbot):
    place = makes.current
    key(qtbot, place.list.table, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: place.page.code.text() == "HL-0002")
    assert makes.desk.make_id == place.list.current().id
    key(qtbot, place.list.table, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: place.page.code.text() == "HL-0001")


def test_the_sentence_says_what_the_deviation_says(makes, journal, qtbot):
    place = makes.current
    key(qtbot, place.list.table, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: place.page.code.text() == "HL-0002")
    whole = journal.whole(place.list.current().id)
    found = deviation(whole)
    assert found.rms_c == pytest.approx(1.5)
    assert place.page.strayed.text() == strayed_words(whole, found)
    assert "1.5 °C off the plan" in place.page.strayed.text()
    assert "1 h 55 min outside" in place.page.strayed.text()


def test_a_make_begins_and_is_undone_in_the_list(makes, journal):
    place = makes.current
    add_make(journal, 4)
    assert codes(place)[0] == "HL-0004"
    while journal.undo_name != Message("keeping.act-begin-make"):
        journal.undo()
    journal.undo()
    assert codes(place)[0] == "HL-0003"


def test_a_new_reading_redraws_the_small_curve(makes, journal):
    place = makes.current
    make_id = place.list.current().id
    before = place.curves._outline(make_id)[0]
    journal.readings.log(make_id, "milk-temp", 39.5, BEGUN + 60 * DAY_MS + 125 * 60_000)
    after = place.curves._outline(make_id)
    assert len(after[0]) == len(before) + 1
    assert after[1][-1] == pytest.approx(39.5)


def test_control_enter_goes_on_to_the_vat_while_the_make_runs(makes, qtbot):
    place = makes.current
    assert place.list.next.text() == "Go to the vat"
    with qtbot.waitSignal(place.goes) as gone:
        key(qtbot, place.list.table, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert gone.args[0] == "vat"


def test_an_empty_journal_says_how_to_begin(journal, window_on, qtbot):
    window = window_on(journal, place="makes")
    place = window.current
    assert place.pages.currentIndex() == 1
    with qtbot.waitSignal(place.goes) as gone:
        place.pages.currentWidget().findChild(type(place.list.next)).click()
    assert gone.args == ["plans", None]


def test_a_filter_finds_by_code_plan_year_month_and_state(journal, window_on):
    add_make(journal, 0)
    add_make(journal, 2, finish=False)
    place = window_on(journal, place="makes").current

    def of(text):
        place.list.line.setText(text)
        return codes(place)

    assert of("") == ["HL-0002", "HL-0001"]
    assert of("0001") == ["HL-0001"]
    assert of("hard 2026") == ["HL-0002", "HL-0001"]
    assert of("april") == ["HL-0002"]
    assert of("2026-02") == ["HL-0001"]
    assert of("running") == ["HL-0002"]
    assert of("camembert") == []


def test_a_make_about_to_be_drawn_is_let_go_when_the_window_closes(makes, qtbot):
    place = makes.current
    key(qtbot, place.list.table, Qt.Key.Key_Down)
    assert place._pause.isActive()
    makes.close()
    assert not place._pause.isActive()


def test_a_make_is_saved_as_a_page_to_send(makes, tmp_path, monkeypatch, qtbot):
    place = makes.current
    page = tmp_path / "make.html"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(page))
    key(qtbot, place.list.table, Qt.Key.Key_E, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert page.read_text("utf-8").startswith("<!DOCTYPE html>")
    assert "HL-0003 was saved as" in place.messages.text("record")
