"""Strips and other scenes by keys alone: from mark to mark, what is read drawn and said, there by
Enter, away by Esc."""

from __future__ import annotations

from PySide6.QtCore import Qt

from journal.desk.charts.values_dialog import ValuesDialog
from journal.desk.charts.view import SceneView
from tests import present
from tests.desk.hands import Hands

Key, SHIFT = Qt.Key, Qt.KeyboardModifier.ShiftModifier


def tab_to(qtbot, window, scene: SceneView) -> Hands:
    """Tab until a scene has the keys."""
    qtbot.waitUntil(window.settled, timeout=30_000)
    qtbot.waitUntil(lambda: bool(scene.focusPolicy() & Qt.FocusPolicy.TabFocus))
    hands = Hands(window)
    for _ in range(100):
        if scene.hasFocus():
            return hands
        hands.press(Key.Key_Tab)
    raise AssertionError("Tab does not come to it")


def test_the_strip_of_scores_is_walked_read_and_entered(qtbot, sample, window_on, heard):
    window = window_on(sample, clock=present.now, place="compare")
    place = window.current
    strip = place.scores
    hands = tab_to(qtbot, window, strip)
    bare = strip.grab().toImage()
    hands.press(Key.Key_End)
    last = max(strip.points(), key=lambda point: point.x)
    assert (strip.stop, heard[-1]) == (last, (last.words, False))
    assert strip.grab().toImage() != bare, "what is read is drawn"
    hands.press(Key.Key_Right)
    assert strip.stop == last, "there is nothing beyond the last"
    hands.press(Key.Key_Left)
    assert strip.stop.x <= last.x
    assert strip.stop != last
    hands.press(Key.Key_Up).press(Key.Key_Up)
    assert strip.stop.y <= last.y
    read, went = strip.stop, []
    strip.went.connect(went.append)
    hands.press(Key.Key_Return)
    assert went == [read.key]
    qtbot.waitUntil(window.settled, timeout=30_000)
    assert strip.stop.key == read.key, "another make is open; one stands where one stood"
    hands.press(Key.Key_Return, SHIFT)
    [table] = [one for one in window.findChildren(ValuesDialog) if one.isVisible()]
    assert len(table.table.rows) == len(strip.points())
    table.table.select(0)
    table.table.opened.emit(0)
    assert heard[-1][0] == min(strip.points(), key=lambda point: point.x).words
    strip.setFocus()
    hands.press(Key.Key_Escape)
    assert strip.stop is None
    assert strip.hasFocus()


def test_the_week_is_walked_read_and_entered(qtbot, sample, window_on, heard):
    window = window_on(sample, clock=present.now, place="today")
    week = window.current.week
    hands = tab_to(qtbot, window, week)
    days = {item.on for item in window.current.coming.rows_model.rows}
    while week.stop is None or week.stop.key not in days:
        hands.press(Key.Key_Right)
    read = week.stop
    assert heard[-1] == (read.words, False)
    hands.press(Key.Key_Return)
    assert window.current.coming.current().on == read.key
    assert week.stop is None, "it is left"
