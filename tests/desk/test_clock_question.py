"""A window opened in the midst of a make, on a computer whose clock is wrong, asks for the time."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from journal.desk.clock_question import ClockQuestion
from journal.desk.window import Window
from journal.records.instants import local
from tests.desk.hands import Hands
from tests.records.test_clocks import HOUR, Machine

MINUTE = 60_000


@pytest.fixture
def machine(kitchen) -> Machine:
    made = Machine()
    made.wall = made.true = kitchen.start_ms
    return made


@pytest.fixture
def window_of(kitchen, machine, saved, qtbot):
    """A window on the kitchen's journal by the machine's clocks, after a new start of it."""

    def opened(boot: str) -> Window:
        window = Window(
            kitchen.journal, clocks=machine.clocks(boot), settings=saved, daily_backup=False,
            place="vat", tick_ms=86_400_000,
        )  # fmt: skip
        qtbot.addWidget(window)
        window.show()
        qtbot.waitExposed(window)
        return window

    return opened


def left_at_0942(kitchen, machine: Machine, window_of, qtbot) -> None:
    """A reading is typed at 09:42, and the machine is switched off."""
    window = window_of("one")
    machine.run(42 * MINUTE)
    window.desk.alarm.tick()
    kitchen.journal.readings.log(kitchen.make.id, "milk-temp", 31.0, window.desk.clock())
    window.desk.alarm.save_clock()
    window.take(None)
    machine.sleep(13 * MINUTE)
    machine.steady = machine.awake = 0


def asked(window: Window, qtbot) -> ClockQuestion:
    qtbot.waitUntil(lambda: window.findChild(ClockQuestion) is not None)
    found = window.findChild(ClockQuestion)
    qtbot.waitUntil(found.isVisible)
    return found


def clock_of(window: Window) -> str:
    return local(window.desk.clock(), "Europe/London").strftime("%H:%M")


def test_a_clock_before_the_last_reading_is_asked_about_and_the_right_time_typed(
    kitchen, machine, window_of, qtbot
):
    left_at_0942(kitchen, machine, window_of, qtbot)
    machine.set_clock(-6 * HOUR - 45 * MINUTE)
    window = window_of("two")
    question = asked(window, qtbot)
    assert question.message.text() == (
        "The computer’s clock says 03:10, but the last entry of the running make is from 09:42 on "
        "14 March."
    )
    question.line.setFocus()
    hands = Hands(question).type("09:30").press(Qt.Key.Key_Return)
    assert question.isVisible(), "before the last entry it cannot be"
    assert "▲" in question.fault.text()
    question.line.selectAll()
    hands.type("09:55").press(Qt.Key.Key_Return)
    assert clock_of(window) == "09:55"
    machine.run(5 * MINUTE)
    machine.set_clock(6 * HOUR)  # the machine's clock is set right meanwhile, or nearly
    assert clock_of(window) == "10:00"
    window.desk.alarm.tick()
    window.take(None)
    again = window_of("two")
    assert again._watch.timekeeper.doubt is None, "it is not asked twice"
    assert clock_of(again) == "10:00"


def test_the_computers_own_time_may_be_chosen(kitchen, machine, window_of, qtbot):
    left_at_0942(kitchen, machine, window_of, qtbot)
    machine.set_clock(-HOUR)
    window = window_of("two")
    (choice,) = asked(window, qtbot).choices
    assert choice.text() == "It is 08:55"
    qtbot.mouseClick(choice, Qt.MouseButton.LeftButton)
    assert clock_of(window) == "08:55"


def test_a_clock_that_was_set_before_offers_both_times(kitchen, machine, window_of, qtbot):
    window = window_of("one")
    machine.run(MINUTE)
    machine.set_clock(HOUR)
    window.desk.alarm.tick()
    window.take(None)
    machine.sleep(10 * MINUTE)
    machine.steady = machine.awake = 0
    again = window_of("two")
    question = asked(again, qtbot)
    assert "it was set during the make" in question.message.text()
    assert [one.text() for one in question.choices] == ["It is 09:11", "It is 10:11"]
    question.reject()
    assert "Until you say which time is right" in again.current.messages.text("clock")


def test_a_sound_clock_is_not_asked_about(kitchen, machine, window_of, qtbot):
    left_at_0942(kitchen, machine, window_of, qtbot)
    window = window_of("two")
    qtbot.waitUntil(lambda: window.isVisible())
    assert window._watch.timekeeper.doubt is None
    assert window.findChild(ClockQuestion) is None
    assert clock_of(window) == "09:55"
