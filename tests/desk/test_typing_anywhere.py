"""From anywhere in Vat a reading is its digits and Enter, nothing else: whatever was clicked,
opened, closed or left before."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QDialog, QMenu, QWidget

from journal.desk.pages import Divider
from journal.desk.vat.place import VatPlace
from journal.desk.window import Window
from tests.desk.hands import Hands

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ENTER, ESC = Qt.Key.Key_Return, Qt.Key.Key_Escape
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def window(qtbot, kitchen, window_on) -> Window:
    kitchen.to_stage(4)
    kitchen.after(122)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    window.resize(1440, 900)
    qtbot.waitUntil(window.settled)
    Hands(window).type("31.2").press(ENTER)
    kitchen.after(123)
    return window


def click(widget: QWidget, at: QPoint | None = None) -> None:
    """A real click, of the mouse, in the middle or at a point."""
    QTest.mouseClick(widget, LEFT, Qt.KeyboardModifier.NoModifier, at or widget.rect().center())


def active(widget: QWidget) -> QWidget:
    """Wait until it has the keys, as it has for a person who sees it."""
    widget.activateWindow()
    assert QTest.qWaitForWindowActive(widget, 5000)
    return widget


def dialog() -> QDialog:
    found = [d for d in QApplication.topLevelWidgets() if isinstance(d, QDialog) and d.isVisible()]
    return active(found[-1])


def closed_by_esc(window: Window, *keys) -> None:
    """Open a dialog by its keys, and leave it by Esc."""
    Hands(window).press(*keys)
    QTest.keyClick(QApplication.focusWidget() or dialog(), ESC)
    active(window)


# Each of these leaves the window as a person might; the name says what was done.


def clicked_the_chart(window: Window, vat: VatPlace) -> None:
    view = vat.chart.findChildren(QWidget)[0]
    for share in (0.2, 0.5, 0.8):
        click(view, QPoint(view.width() // 2, round(view.height() * share)))


def clicked_the_ribbon(window: Window, vat: VatPlace) -> None:
    """The plan and the day lie under the chart, so every point down its height is tried."""
    view = vat.chart.findChildren(QWidget)[0]
    for y in range(10, view.height(), 40):
        click(view, QPoint(round(view.width() * 0.3), y))


def clicked_every_word_of_the_page(window: Window, vat: VatPlace) -> None:
    """But for the one that ends the stage."""
    for button in vat.page.findChildren(QAbstractButton):
        if button.isVisible() and button.isEnabled() and button is not vat.page.end:
            click(button)
            if QApplication.activeModalWidget() is not None:
                QTest.keyClick(dialog(), ESC)
                active(window)
            if not vat.page.entry.late.isHidden():
                QTest.keyClick(vat.page.entry.at_line, ESC)
    vat.page.entry.temp.line.setFocus()
    click(vat.page.readings)


def clicked_a_reading(window: Window, vat: VatPlace) -> None:
    click(vat.page.readings.viewport(), QPoint(20, 8))


def clicked_the_words_of_the_step(window: Window, vat: VatPlace) -> None:
    click(vat.page.stage)
    click(vat.page)


def ended_the_stage_with_the_mouse(window: Window, vat: VatPlace) -> None:
    click(vat.page.end)


def across_the_room_and_back(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_F11)
    across = next(w for w in (vat._across,) if w is not None)
    assert across.isVisible()
    QTest.keyClick(QApplication.focusWidget() or across, Qt.Key.Key_F11)
    active(window)


def while_across_the_room(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_F11)
    assert vat._across.isVisible()


def pressed_esc(window: Window, vat: VatPlace) -> None:
    Hands(window).press(ESC).press(ESC)


def left_a_late_reading(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_T, CTRL).type("11:01").press(ESC)


def left_a_note(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_F7).type("abc").press(ESC)


def kept_a_note(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_F7).type("abc").press(ENTER)


def started_a_timer(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_F9).type("5").press(ENTER).type("stir").press(ENTER)


def gave_minutes_with_a_reason(window: Window, vat: VatPlace) -> None:
    hands = Hands(window).press(Qt.Key.Key_L, CTRL | SHIFT)
    hands.type("5").press(ENTER).type("soft").press(ENTER)


def closed_the_list_before_the_start(window: Window, vat: VatPlace) -> None:
    closed_by_esc(window, Qt.Key.Key_B, CTRL)


def closed_the_check_of_the_thermometer(window: Window, vat: VatPlace) -> None:
    closed_by_esc(window, Qt.Key.Key_F4)


def closed_the_probes(window: Window, vat: VatPlace) -> None:
    window.show_sensors()
    QTest.keyClick(dialog(), ESC)
    active(window)


def closed_the_sheet_of_keys(window: Window, vat: VatPlace) -> None:
    closed_by_esc(window, Qt.Key.Key_F1)


def left_the_finder(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_K, CTRL)
    Hands(window).press(ESC)
    active(window)


def stood_on_the_bar(window: Window, vat: VatPlace) -> None:
    """Every word of the bar at the top can have the focus by Tab."""
    for word in window.top.findChildren(QAbstractButton):
        word.setFocus(Qt.FocusReason.TabFocusReason)
    assert not vat.isAncestorOf(QApplication.focusWidget())


def left_the_menu(window: Window, vat: VatPlace) -> None:
    window.open_menu()
    QTest.keyClick(window.findChild(QMenu), ESC)
    active(window)


def went_away_and_back(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_3, CTRL)
    Hands(window).press(Qt.Key.Key_4, CTRL)


def undid_and_redid(window: Window, vat: VatPlace) -> None:
    Hands(window).press(Qt.Key.Key_Z, CTRL).press(Qt.Key.Key_Y, CTRL)


def put_a_message_away(window: Window, vat: VatPlace) -> None:
    vat.say("vat", "The sentence of a test.")
    bar = next(b for b in vat.messages.findChildren(QAbstractButton) if b.isVisible())
    click(bar)


def left_a_doubted_value(window: Window, vat: VatPlace) -> None:
    Hands(window).type("82.1").press(ENTER).press(ESC)


def moved_the_divider(window: Window, vat: VatPlace) -> None:
    divider = vat.findChild(Divider)
    click(divider, QPoint(divider.width() // 2, 5))


def tabbed_on(window: Window, vat: VatPlace) -> None:
    """Down into the readings and up again."""
    Hands(window).press(Qt.Key.Key_Down).press(Qt.Key.Key_Up)


WAYS: tuple[Callable[[Window, VatPlace], None], ...] = (
    clicked_the_chart, clicked_the_ribbon, clicked_every_word_of_the_page, clicked_a_reading,
    clicked_the_words_of_the_step, ended_the_stage_with_the_mouse, across_the_room_and_back,
    while_across_the_room, pressed_esc, left_a_late_reading, left_a_note, kept_a_note,
    started_a_timer, gave_minutes_with_a_reason, closed_the_list_before_the_start,
    closed_the_check_of_the_thermometer, closed_the_probes, closed_the_sheet_of_keys,
    left_the_finder, stood_on_the_bar, left_the_menu, went_away_and_back, undid_and_redid,
    put_a_message_away, left_a_doubted_value, moved_the_divider, tabbed_on,
)  # fmt: skip


@pytest.mark.parametrize("way", WAYS, ids=[way.__name__ for way in WAYS])
def test_digits_and_enter_keep_a_reading(qtbot, kitchen, window, way):
    vat = window.current
    way(window, vat)
    qtbot.waitUntil(window.settled)
    assert window.current is vat
    kitchen.after(124)
    hands = Hands(QApplication.activeWindow() or window)
    hands.type("31.4").press(ENTER)
    newest = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (newest.kind, newest.value, newest.at_ms) == ("milk-temp", 31.4, kitchen.now_ms)
    assert newest.flags == 0
