"""What a make was begun with is put right where it is seen, with undo and history."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.stock.ingredients import plans_known
from journal.desk.stock.used import UsedSection
from journal.desk.vat.make_facts import MakeFacts
from journal.desk.vat.times import StageTimes
from journal.keeping import Journal
from tests.desk.hands import Hands

CTRL = Qt.KeyboardModifier.ControlModifier
ENTER = Qt.Key.Key_Return


@pytest.fixture
def offered(vat, qtbot):
    """Opens one of the lines of the menu on the make's name, as a right click does."""

    def opened(name: str, kind):
        vat.page.code.customContextMenuRequested.emit(QPoint(4, 4))
        menu = QApplication.activePopupWidget()
        line = next(one for one in menu.actions() if one.objectName() == name)
        QTest.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(line).center())
        shown = next(one for one in vat.window().findChildren(kind) if one.isVisible())
        shown.activateWindow()
        qtbot.waitUntil(shown.isActiveWindow)
        return shown

    return opened


def test_the_milk_is_changed_on_the_makes_name_and_undone(offered, vat, kitchen, qtbot):
    shown = offered("milk", MakeFacts)
    Hands(shown).type("14.5 l")
    shown.submit()
    assert not shown.isVisible(), shown.fault.text()
    journal, make_id = kitchen.journal, kitchen.make.id
    assert journal.makes.get(make_id).milk.litres == 14.5
    qtbot.waitUntil(lambda: "14.5 L" in vat.page.code.text())
    vat.window().activateWindow()
    qtbot.waitUntil(vat.window().isActiveWindow)
    Hands(vat.window()).press(Qt.Key.Key_Z, CTRL)
    assert journal.makes.get(make_id).milk.litres == 12.0
    with Journal.open(journal.path) as other:
        assert other.makes.get(make_id).milk.litres == 12.0


def test_an_impossible_amount_is_refused_and_stays_typed(offered, kitchen):
    shown = offered("milk", MakeFacts)
    Hands(shown).type("0 l")
    shown.submit()
    assert shown.isVisible()
    assert shown.fault.text().startswith("▲")
    assert kitchen.journal.makes.get(kitchen.make.id).milk.litres == 12.0


def test_the_plan_that_was_meant_takes_the_readings_along(offered, vat, kitchen, qtbot):
    journal, make_id = kitchen.journal, kitchen.make.id
    journal.readings.log(make_id, "milk-temp", 31.0, kitchen.clock())
    kinds = {"warm", "set", "cut"}
    fits = [one for one in plans_known(journal) if kinds <= {stage.kind for stage in one.stages}]
    other = next(one for one in fits if one.name != "dry-salted hard")
    shown = offered("plan", MakeFacts)
    shown.rows.fields.made["plan"].set_text(other.name)
    shown.submit()
    assert not shown.isVisible(), shown.fault.text()
    whole = journal.whole(make_id)
    assert whole.plan.name == other.name
    assert whole.trace("milk-temp").value.tolist() == [31.0]
    assert whole.running_index is not None
    journal.undo()
    assert journal.whole(make_id).plan.name == "dry-salted hard"


def test_the_make_itself_began_at_another_time(offered, kitchen):
    shown = offered("times", StageTimes)
    line = shown.rows.lines["0"]
    line.setFocus()
    line.selectAll()
    Hands(shown).type("08:50")
    shown._save.click()
    assert not shown.isVisible(), shown.fault.text()
    make = kitchen.journal.makes.get(kitchen.make.id)
    assert make.started_ms == kitchen.start_ms - 10 * 60_000


def test_the_same_is_put_right_in_makes(qtbot, kitchen, window_on):
    """Milk, plan, times and what was used, of any make of the list, as at the vat."""
    window = window_on(kitchen.journal, clock=kitchen.clock, place="makes")
    qtbot.waitUntil(window.settled, timeout=60_000)
    journal, make_id = kitchen.journal, kitchen.make.id

    def shown(name: str, kind):
        window.run(name)
        found = next(one for one in window.findChildren(kind) if one.isVisible())
        found.activateWindow()
        qtbot.waitUntil(found.isActiveWindow)
        return found

    milk = shown("milk", MakeFacts)
    Hands(milk).type("14.5 l")
    milk.submit()
    assert journal.makes.get(make_id).milk.litres == 14.5
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    times = shown("times", StageTimes)
    line = times.rows.lines["0"]
    line.setFocus()
    line.selectAll()
    Hands(times).type("08:50")
    times._save.click()
    assert journal.makes.get(make_id).started_ms == kitchen.start_ms - 10 * 60_000
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    plan = shown("plan", MakeFacts)
    assert plan.rows.fields.made["plan"].isVisible()
    plan.reject()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.run("used")
    assert isinstance(window.current.stock.made().section, UsedSection)
