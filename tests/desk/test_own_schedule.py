"""A make that was begun without a schedule gets one later, and a wheel one of its own; undone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.keeping import Journal
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.reports.agenda import agenda_of

BEGUN = from_iso("2026-03-02T09:00", "Europe/London")
PLAN = Plan("bare", (Stage("warm", 30.0, target_c=31.0),))
K, CTRL = Qt.Key, Qt.KeyboardModifier.ControlModifier


def type_on(text: str) -> None:
    for letter in text:
        QTest.keyClicks(QApplication.focusWidget(), letter)


def press(key: Qt.Key, mods: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    QTest.keyClick(QApplication.focusWidget(), key, mods)


@pytest.fixture
def bare(journal: Journal) -> Journal:
    make = journal.makes.begin(PLAN, Milk(12), BEGUN)
    journal.readings.log(make.id, "milk-temp", 12.0, BEGUN + MINUTE_MS)
    journal.makes.finish(make.id, [1.2, 1.1], BEGUN + 75 * MINUTE_MS)
    return journal


def asked(journal: Journal, day: float) -> list[str]:
    return [item.title for item in agenda_of(journal, BEGUN + round(day * DAY_MS)).now]


def test_a_make_and_then_a_wheel_get_their_schedule_in_ageing(
    bare: Journal, window_on, qtbot
) -> None:
    window = window_on(bare, place="room", clock=lambda: BEGUN + DAY_MS)
    qtbot.waitUntil(window.settled)
    page = window.current.page
    page.table.setFocus()
    assert asked(bare, 8) == []
    press(K.Key_S, Qt.KeyboardModifier.ShiftModifier)
    type_on("turn weekly from 1 week; wibble")
    assert page.mover.message.text().startswith("turn from day 7 on, weekly · ▲ “wibble” names no")
    press(K.Key_Return)
    assert "wibble" in page.mover.message.text()  # what is not understood stays, and is said
    for _ in "; wibble":
        press(K.Key_Backspace)
    press(K.Key_Return)
    assert not page.mover.isVisible()
    assert asked(bare, 8) == ["Turn 2 wheels"]
    code = page.current().code
    press(K.Key_S)
    assert page.mover.lines[0].text() == "turn from day 7, weekly"
    page.mover.lines[0].selectAll()
    type_on("wax at 8 days")
    press(K.Key_Return)
    other = next(w.code for w in bare.wheels.all() if w.code != code)
    assert asked(bare, 8) == [f"Turn {other}", f"Wax {code}"]
    make = bare.makes.all()[0]
    assert bare.plans.get(make.plan_id).says_as(PLAN)
    press(K.Key_Z, CTRL)
    press(K.Key_Z, CTRL)
    assert asked(bare, 8) == []
    assert bare.readings.traces(make.id)["milk-temp"].value.tolist() == [12.0]


def test_a_make_gets_one_in_makes(bare: Journal, window_on, qtbot) -> None:
    window = window_on(bare, place="makes", clock=lambda: BEGUN + DAY_MS)
    qtbot.waitUntil(window.settled)
    window.run("schedule")
    type_on("taste at 7 days")
    press(K.Key_Return)
    assert asked(bare, 8) == ["Taste HL-0001 at 7 days"]
