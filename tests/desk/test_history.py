"""History and the bin in the window, by keys."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu

from journal.desk.bin import BinDialog
from journal.desk.history import HistoryDialog
from journal.keeping import Journal
from journal.records.makes import Milk
from journal.records.wheels import Weighing
from tests.desk.conftest import Kitchen, cheddar_like
from tests.desk.hands import Hands

KEY, CTRL = Qt.Key, Qt.KeyboardModifier.ControlModifier
CTRL_SHIFT = CTRL | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def window(kitchen: Kitchen, window_on):
    """Ageing, with a wheel that was weighed wrong and corrected, and a second make."""
    journal = kitchen.journal
    journal.makes.finish(kitchen.make.id, [1.2], kitchen.after(1000))
    wheel = journal.wheels.all()[0].id
    heavy = journal.weighings.save(Weighing(wheel, kitchen.after(1100), 11.0))
    journal.weighings.save(replace(heavy, weight_kg=1.1))
    journal.makes.begin(cheddar_like(), Milk(9.0), kitchen.after(1200))
    return window_on(journal, clock=kitchen.clock, place="room")


def shown(qtbot, window, kind):
    found = window.findChild(kind)
    qtbot.waitUntil(found.isActiveWindow)
    qtbot.waitUntil(window.settled)
    return found


def weights(journal: Journal) -> list[float]:
    return [one.weight_kg for one in journal.weighings.all()]


def test_a_weight_is_found_and_taken_back_by_keys(qtbot, window, kitchen):
    hands, journal = Hands(window), kitchen.journal
    hands.press(KEY.Key_H, CTRL_SHIFT)
    dialog = shown(qtbot, window, HistoryDialog)
    hands.type("weight")
    row = dialog.table.current()
    assert "11 kg → 1.1 kg" in dialog.changes.text()
    dialog.back.setFocus()
    hands.press(KEY.Key_Space)
    qtbot.waitUntil(window.settled)
    assert weights(journal)[-1] == 11.0
    assert "Ctrl+Shift+Z" in dialog.message.text()
    assert dialog.table.select_where(lambda past: past.act.id == row.act.id)
    assert not dialog.back.isEnabled()
    hands.press(KEY.Key_Escape).press(KEY.Key_Escape)  # the filter, the dialog
    qtbot.waitUntil(lambda: not dialog.isVisible())
    window.run("redo")
    assert weights(journal)[-1] == 1.1


def test_the_history_of_a_wheel_is_its_own_and_says_why_not(qtbot, window, kitchen):
    journal = kitchen.journal
    menu: QMenu = window.current.page.table.menu()
    (entry,) = [one for one in menu.actions() if "History" in one.text()]
    entry.trigger()
    dialog = shown(qtbot, window, HistoryDialog)
    assert dialog.heading.text() == f"History of {journal.wheels.all()[0].code}"
    assert "HL-0002" not in " ".join(dialog._findable(past) for past in dialog.table.rows)
    assert dialog.table.select_where(lambda past: bool(past.rows) and past.rows[0].came
                                 and past.rows[0].called.noun == "weighing")  # fmt: skip
    dialog.back.click()
    assert "changed since by a window" in dialog.message.text()
    assert weights(journal)[-1] == 1.1


@pytest.mark.parametrize("place", ["makes", "plans"])
def test_it_is_in_the_menu_of_other_lists(qtbot, window, place):
    window.go(place)
    qtbot.waitUntil(window.settled)
    window.run("record_history")
    assert shown(qtbot, window, HistoryDialog).table.rows


def test_the_bin_gives_back_and_is_emptied_only_when_asked_twice(qtbot, window, kitchen):
    hands, journal = Hands(window), kitchen.journal
    journal.outcomes.delete(kitchen.make.id)
    window.run("bin")
    dialog = shown(qtbot, window, BinDialog)
    assert [one.id for one in dialog.table.rows] == ["make-1"]
    dialog.restore.setFocus()
    hands.press(KEY.Key_Space)
    assert dialog.message.text() == "Restored: make HL-0001."
    assert dialog.table.rows == []
    assert len(journal.makes.all()) == 2
    journal.outcomes.delete(kitchen.make.id)
    dialog.clear.setFocus()
    hands.press(KEY.Key_Space)
    assert "1 record for good" in dialog.asking.label.text()
    hands.press(KEY.Key_Escape)
    assert [one.id for one in dialog.table.rows] == ["make-1"]
    dialog.clear.setFocus()
    hands.press(KEY.Key_Space).press(KEY.Key_Return)
    assert dialog.table.rows == []
    assert journal._db.execute("select count(*) from make").fetchone() == (1,)
    assert not dialog.clear.isEnabled()
