"""Each act at the vat by its line of the menu, with what it does; and the large
display under a finger.

Those of a usual day are done one after another in `test_by_hand.py`, by mouse alone and by keys
alone: the list before the start, the check in ice water, a reading, silence, the stage's end,
a timer and its stop, a note, longer with a reason, again, a turn, skip the next, undo, a late
reading, across the room, when a stage began (of all stages by mouse), what happened, what was used.
"""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QMenu

from journal.desk import dialogs
from journal.desk.stock.used import UsedSection
from journal.desk.vat.across import AcrossTheRoom
from journal.desk.vat.checks import InstrumentCheck
from journal.desk.vat.make_facts import MakeFacts
from journal.desk.vat.paper_day import PaperDayDialog
from journal.desk.vat.times import StageTimes
from tests.desk.hands import Hands
from tests.desk.test_by_hand import Mouse, close_dialog, day, dialog_of  # noqa: F401

ENTER, ESC = Qt.Key.Key_Return, Qt.Key.Key_Escape
TITLES = ("File", "Edit", "Make", "View", "Help")


def path_to(window, name: str) -> tuple[str, ...]:
    """The menu, its submenus and the line of a command."""

    def below(menu: QMenu) -> tuple[str, ...]:
        menu.aboutToShow.emit()
        for line in menu.actions():
            if line.objectName() == name:
                return (name,)
            found = below(line.menu()) if line.menu() is not None else ()
            if found:
                return (line.text(), *found)
        return ()

    ways = ((title, *below(window.menus.menu_named(title))) for title in TITLES)
    return next(way for way in ways if len(way) > 1)


class Way:
    """Runs a command of the vat by its line of a menu, with the mouse."""

    def __init__(self, window, qtbot) -> None:
        self.window, self._mouse = window, Mouse(window, qtbot)

    def __call__(self, name: str) -> None:
        self._mouse.menu(*path_to(self.window, name))


@pytest.fixture
def way(qtbot, day) -> Way:  # noqa: F811
    return Way(day, qtbot)


def test_every_act_that_a_day_may_need(way, qtbot, kitchen, monkeypatch, tmp_path) -> None:
    from PySide6.QtGui import QColor, QImage

    window, journal, make_id = way.window, kitchen.journal, kitchen.make.id
    place, hands = window.current, Hands(way.window)
    page = place.page

    def dialog(name: str, kind: type[QDialog]) -> None:
        way(name)
        assert dialog_of(window, kind).isVisible()
        close_dialog(qtbot, window, kind)

    for name, kind in (
        ("bath_ice", InstrumentCheck), ("buffers", InstrumentCheck), ("paper", PaperDayDialog),
        ("milk", MakeFacts), ("plan", MakeFacts), ("times", StageTimes),
    ):  # fmt: skip
        dialog(name, kind)
    way("bath")
    hands.type("44").press(ENTER)
    assert journal.readings.last(make_id)[0].kind == "bath-temp"
    was = page.entry.acid_kind
    way("kind")
    assert page.entry.acid_kind != was
    image = QImage(64, 48, QImage.Format.Format_RGB32)
    image.fill(QColor("#caa15a"))
    assert image.save(str(tmp_path / "curd.png"))
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: str(tmp_path / "curd.png"))
    way("photo")
    hands.type("the curd").press(ENTER)
    assert [note.text for note in journal.notes.where(make_id=make_id)] == ["the curd"]
    way("flecks")
    assert any(timer.running for timer in journal.whole(make_id).timers)
    kitchen.after(12)
    way("flecks")
    assert not any(timer.running for timer in journal.whole(make_id).timers)
    way("next_hours")
    assert place.chart.lens.window is not None
    way("skip")
    assert sum(run.skipped for run in journal.runs.where(make_id=make_id)) == 1
    way("longer")  # nothing says how much, so it is asked
    assert page.ask.isVisible()
    hands.press(ESC)
    way("used")
    assert isinstance(window.current.stock.made().section, UsedSection)


# Across the room, by a finger


def touch(device, widget, at: QPoint) -> None:
    """A finger that touches a widget and goes."""
    for down in (True, False):
        finger = QTest.touchEvent(widget, device, False)
        (finger.press if down else finger.release)(0, at, widget)
        finger.commit()


def test_a_finger_finishes_silences_and_leaves(qtbot, kitchen, vat) -> None:
    device = QTest.createTouchDevice()
    window, make_id = vat.window(), kitchen.make.id
    screen = window.screen().geometry()  # a finger reaches no further than the screen
    window.move(screen.width() - window.width(), screen.height() - window.height())
    window.run("across")
    across = window.findChild(AcrossTheRoom)
    qtbot.waitUntil(across.isVisible)
    before = kitchen.journal.whole(make_id).running_index
    touch(device, across.end, across.end.rect().center())
    qtbot.waitUntil(lambda: kitchen.journal.whole(make_id).running_index == before + 1)
    assert across.isVisible()  # the display stays: only a touch beside its buttons leaves it
    kitchen.after(170)
    window.desk.alarm.tick()
    qtbot.waitUntil(across.answer.isVisible)
    for button in (across.end, across.answer, across.back):
        assert min(button.width(), button.height()) >= 44
    touch(device, across.answer, across.answer.rect().center())
    qtbot.waitUntil(lambda: not across.answer.isVisible())
    touch(device, across, QPoint(across.width() - 60, across.height() // 2))
    qtbot.waitUntil(lambda: not across.isVisible())
    assert QApplication.focusWidget() is vat.page.entry.temp.line
