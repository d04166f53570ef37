"""The window in light, dark and high contrast of either: words that can be read, the focus that is
seen, and a switch that holds at once."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPalette
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from journal.desk.form.line_field import FieldFrame
from journal.desk.places import PLACES
from journal.desk.shots import grab, leave, settle
from tests import present
from tests.desk.comparing import tiles_that_differ
from tests.desk.test_tab_walk import reachable
from tests.desk.test_theme import TO_XYZ, contrast

MODES = ("light", "dark", "contrast-light", "contrast-dark")
SEEN_PX = 40  # pixels that change by 3:1 where the focus comes


@pytest.fixture
def look(qapp):
    known = qapp.property("vatside-look")
    yield known
    known.set_mode("light")


@pytest.fixture
def window(qtbot, sample, window_on):
    shown = window_on(sample, clock=present.now)
    shown.resize(1280, 720)
    return shown


def ground(widget: QWidget) -> QColor:
    """What a label's words stand on: the nearest that fills itself, else the page."""
    while not (widget.autoFillBackground() or widget.isWindow()):
        widget = widget.parentWidget()
    return widget.palette().color(QPalette.ColorRole.Window)


def faint_words(place: QWidget, least: float) -> tuple[int, list[tuple[str, float]]]:
    """How many labels it has, and those with less contrast."""
    seen, faint = 0, []
    for label in place.findChildren(QLabel):
        if label.isVisible() and label.text() and label.isEnabled():
            seen += 1
            ratio = contrast(label.palette().color(label.foregroundRole()), ground(label))
            if ratio < least:
                faint.append((label.text()[:30], round(ratio, 1)))
    return seen, faint


@pytest.mark.parametrize("place", [entry.key for entry in PLACES])
def test_a_switch_holds_at_once_in_what_is_built(qapp, window, look, place):
    """What was built in one state and switched looks as what is built in the other."""
    window.go(place)
    settle(qapp, window)
    for mode in (*MODES[1:], MODES[0]):
        look.set_mode(mode)
        switched = picture(qapp, window)
        window.take(window.journal, place=place)
        assert tiles_that_differ(switched, picture(qapp, window)) == 0, mode


def picture(app, window) -> QImage:
    settle(app, window)
    focus = QApplication.focusWidget()
    if focus is not None:
        focus.clearFocus()  # a caret blinks
    leave(window)
    return grab(window, 1.0).toImage().convertToFormat(QImage.Format.Format_RGB888)


def luminance(image: QImage) -> np.ndarray:
    image = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    part = rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3) / 255
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4) @ TO_XYZ[1]


def change(before: QImage, after: QImage) -> int:
    """How many pixels changed by a contrast of 3:1 and more (WCAG 2.4.13)."""
    one, other = luminance(before) + 0.05, luminance(after) + 0.05
    return int((np.maximum(one, other) / np.minimum(one, other) >= 3.0).sum())


def unseen_focus(window: QWidget, button: QWidget) -> tuple[int, list[tuple[str, str]]]:
    """To how many widgets of the place Tab leads, and those where that is not seen."""
    met, unseen = 0, []
    for one in sorted(reachable(window), key=id):
        if not window.current.isAncestorOf(one):
            continue
        beside = one.parentWidget()
        about = beside if isinstance(beside, FieldFrame) else one
        button.setFocus(Qt.FocusReason.TabFocusReason)
        before = grab(about, 1.0).toImage()
        one.setFocus(Qt.FocusReason.TabFocusReason)
        if not one.hasFocus():
            continue
        met += 1
        if change(before, grab(about, 1.0).toImage()) < SEEN_PX:
            unseen.append((type(one).__name__, one.accessibleName()))
    return met, unseen


@pytest.mark.parametrize("mode", MODES)
def test_words_can_be_read_and_the_focus_is_seen_in_every_place(qapp, window, look, mode):
    look.set_mode(mode)
    least = 7.0 if mode.startswith("contrast") else 4.5
    seen, met, faults = 0, 0, {}
    for entry in PLACES:
        window.go(entry.key)
        settle(qapp, window)
        words, faint = faint_words(window.current, least)
        led, unseen = unseen_focus(window, window.top.place_button(entry.key))
        seen, met = seen + words, met + led
        if faint or unseen:
            faults[entry.key] = faint, unseen
    assert seen > 50
    assert met > 40
    assert not faults
