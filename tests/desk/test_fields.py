"""Typed fields: what they understand, what they refuse, and that nothing typed is lost."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication

from journal.desk.form.line_field import TypedField


@pytest.fixture
def milk(qtbot) -> TypedField:
    field = TypedField("Milk", "temperature", "degC")
    qtbot.addWidget(field)
    field.show()
    qtbot.waitExposed(field)
    return field


@pytest.mark.parametrize(
    ("typed", "saved"), [("31.4", 31.4), ("31,4", 31.4), ("88 F", 31.11), ("31.4 °C", 31.4)]
)
def test_enter_carries_the_value(qtbot, milk, typed, saved):
    qtbot.keyClicks(milk.line, typed)
    with qtbot.waitSignal(milk.entered) as heard:
        qtbot.keyClick(milk.line, Qt.Key.Key_Return)
    assert heard.args[0].stored == pytest.approx(saved, abs=0.01)
    assert milk.line.text() == typed


def test_another_unit_is_said_under_the_line(qtbot, milk):
    qtbot.keyClicks(milk.line, "88 F")
    assert "31.1 °C" in milk.message.text()
    milk.clear_text()
    qtbot.keyClicks(milk.line, "31")
    assert milk.message.text() == ""


def test_what_is_wrong_stays_and_is_explained(qtbot, milk):
    qtbot.keyClicks(milk.line, "warm")
    with qtbot.assertNotEmitted(milk.entered):
        qtbot.keyClick(milk.line, Qt.Key.Key_Return)
    assert milk.line.text() == "warm"
    assert milk.message.text().startswith("▲")
    assert milk.line.accessibleDescription()
    qtbot.keyClick(milk.line, Qt.Key.Key_Backspace)
    assert not milk.message.text()


def test_the_wheel_changes_nothing(qtbot, milk):
    qtbot.keyClicks(milk.line, "31")
    at = QPointF(milk.rect().center())
    turn = QWheelEvent(
        at,
        at,
        QPoint(),
        QPoint(0, 120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(milk, turn)
    assert milk.line.text() == "31"
    assert not turn.isAccepted()


def test_it_has_a_name(milk):
    assert milk.line.accessibleName() == "Milk"


def test_nothing_is_shown_before_it_has_its_place(qapp, qtbot):
    before = {w for w in qapp.topLevelWidgets() if w.isVisible()}
    field = TypedField("Salt", "mass_g", "g")
    qtbot.addWidget(field)
    assert {w for w in qapp.topLevelWidgets() if w.isVisible()} == before
