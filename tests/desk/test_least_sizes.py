"""Nothing is written smaller than 14 px at the usual size of the text, and what can be pressed is
large enough for a finger: 32 px, across the room 44."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QGraphicsTextItem,
    QGraphicsView,
    QLineEdit,
    QListView,
    QTableView,
    QWidget,
)

from journal.desk.buttons import LEAST_TARGET, Button
from journal.desk.form.line_field import FieldFrame
from journal.desk.places import PLACES
from journal.desk.shots import grab, settle
from journal.desk.vat.across import AcrossTheRoom
from tests import present

LEAST_PX, ACROSS_PX = 14, 44


@pytest.fixture
def window(sample, window_on):
    shown = window_on(sample, clock=present.now)
    shown.resize(1440, 900)
    return shown


@pytest.mark.parametrize("place", [entry.key for entry in PLACES])
def test_no_letter_is_smaller_than_14_px_and_what_can_be_pressed_than_32(
    qapp, window, monkeypatch, place
):
    window.go(place)
    settle(qapp, window)
    check_letters(window, monkeypatch)
    check_targets(window)


def check_letters(window: QWidget, monkeypatch) -> None:
    small: set[str] = set()
    drawn: list[int] = []
    really = QPainter.setFont

    def set_font(self, face) -> None:
        drawn.append(face.pixelSize())
        really(self, face)

    with monkeypatch.context() as patch:
        patch.setattr(QPainter, "setFont", set_font)
        grab(window, 1.0)
    assert len(drawn) > 5
    small |= {f"drawn at {px} px" for px in drawn if px < LEAST_PX}
    for widget in window.findChildren(QWidget):
        if widget.isVisible() and widget.font().pixelSize() < LEAST_PX:
            small.add(f"{type(widget).__name__} at {widget.font().pixelSize()} px")
    for view in window.findChildren(QGraphicsView):
        for item in view.scene().items() if view.isVisible() else ():
            words = item.toPlainText().strip() if isinstance(item, QGraphicsTextItem) else ""
            if words and item.isVisible() and item.font().pixelSize() < LEAST_PX:
                small.add(f"“{words}” at {item.font().pixelSize()} px")
    assert not small


def target(one: QWidget) -> QWidget:
    """What is pressed: of a line its frame."""
    beside = one.parentWidget()
    return beside if isinstance(beside, FieldFrame) else one


def check_targets(window: QWidget) -> None:
    small, met = [], 0
    for one in window.findChildren(QWidget):
        if not one.isVisible():
            continue
        if isinstance(one, QAbstractButton | QLineEdit | QComboBox):
            met += 1
            if target(one).height() < LEAST_TARGET:
                small.append((type(one).__name__, one.accessibleName(), target(one).height()))
        if isinstance(one, QTableView | QListView) and one.model().rowCount():
            table = isinstance(one, QTableView)
            high = one.rowHeight(0) if table else one.sizeHintForRow(0)
            met += 1
            if high < LEAST_TARGET:
                small.append((type(one).__name__, one.accessibleName(), high))
    assert met > 9
    assert not small


def test_across_the_room_buttons_are_44_px(qapp, window):
    window.go("vat")
    settle(qapp, window)
    window.run("across")
    settle(qapp, window)
    across = window.findChild(AcrossTheRoom)
    buttons = [one for one in across.findChildren(Button) if one.isVisible()]
    assert buttons
    assert all(one.height() >= ACROSS_PX and one.width() >= ACROSS_PX for one in buttons)
