"""The first ten minutes of a newcomer: from the sample to a make of one's own that runs, by keys
alone, each of them counted."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk import dialogs
from tests import present
from tests.desk.test_new_journal import Answers, enter, form

K, M = Qt.Key, Qt.KeyboardModifier
CTRL, SHIFT = M.ControlModifier, M.ShiftModifier
# Kind as far as it has to be typed, °C, minutes, what goes in or is aimed at.
STAGES = (
    ("w", "31", "30", ""),
    ("r", "31", "60", "culture 0.2 g"),
    ("s", "31", "45", "rennet 2.4 ml"),
    ("cu", "31", "12", "10 mm"),
    ("h", "31", "5", ""),
    ("co", "38", "45", ""),
    ("pi", "38", "20", ""),
    ("d", "38", "14", "curd pH 6.1 to 6.3"),
    ("che", "36", "90", "curd pH 5.3 to 5.5"),
    ("mi", "", "10", ""),
    ("sa", "", "15", "salt 2.5 %"),
    ("mo", "", "15", ""),
    ("pr", "", "14 h", "25 kg"),
)
KINDS = ["warm", "ripen", "set", "cut", "heal", "cook", "pitch", "drain", "cheddar", "mill",
         "salt", "mould", "press"]  # fmt: skip


class Newcomer:
    """Presses keys, one after the other, where the focus is; counts each."""

    def __init__(self, window) -> None:
        self.window, self.keys = window, 0

    def type(self, text: str) -> None:
        for letter in text:
            QTest.keyClicks(QApplication.focusWidget() or self.window, letter)
            self.keys += 1

    def press(self, key: Qt.Key, mods=M.NoModifier) -> None:
        QTest.keyClick(QApplication.focusWidget() or self.window, key, mods)
        self.keys += 1


@pytest.fixture
def newcomer(sample, window_on, qtbot, tmp_path: Path, monkeypatch):
    """Stands before the sample and begins a journal of their own: the form and where it lies are
    answered by Enter."""
    monkeypatch.setattr(dialogs.QStandardPaths, "writableLocation", lambda _: str(tmp_path))
    window = window_on(sample, clock=present.now)
    qtbot.waitUntil(window.settled, timeout=60_000)
    someone = Newcomer(window)
    answers = Answers(window, enter)
    someone.press(K.Key_N, CTRL)
    form(qtbot, window)
    someone.press(K.Key_Return)
    someone.keys += 1  # Enter in the dialog for files
    qtbot.waitUntil(lambda: window.journal.path != sample.path)
    window.activateWindow()
    qtbot.waitUntil(lambda: window.isActiveWindow() and window.settled(), timeout=20_000)
    assert not answers.left
    yield someone
    window.close()
    window.journal.close()


def running(newcomer, qtbot):
    """The make that runs once one is in the vat."""
    window = newcomer.window
    qtbot.waitUntil(lambda: window.current.key == "vat" and window.settled())
    made = window.journal.makes.running()
    assert len(made) == 1
    return window.journal.plans.get(made[0].plan_id), made[0]


def test_thirteen_stages_typed_from_nothing_run_in_under_three_hundred_keys(newcomer, qtbot):
    newcomer.press(K.Key_2, CTRL)
    newcomer.press(K.Key_N, CTRL | SHIFT)
    newcomer.type("my cheddar")
    newcomer.press(K.Key_Return)
    newcomer.press(K.Key_M, CTRL)
    newcomer.type("12")
    newcomer.press(K.Key_Tab)
    newcomer.press(K.Key_Tab)
    newcomer.type("150")
    newcomer.press(K.Key_Return)
    newcomer.press(K.Key_Return)
    for number, cells in enumerate(STAGES):
        for place, cell in enumerate(cells):
            newcomer.type(cell)
            if (number, place) != (len(STAGES) - 1, 3):
                newcomer.press(K.Key_Tab)
    newcomer.press(K.Key_Return, CTRL)
    plan, make = running(newcomer, qtbot)
    assert [stage.kind for stage in plan.stages] == KINDS
    assert plan.name == "my cheddar"
    assert make.milk.litres == 12
    assert plan.stages[1].doses[0].for_milk(12) == pytest.approx(0.2)
    assert plan.stages[12].minutes == 840
    assert newcomer.keys < 300, newcomer.keys


def test_a_plan_brought_along_runs_in_under_sixty_keys(newcomer, qtbot):
    newcomer.press(K.Key_2, CTRL)
    newcomer.type("tomme")
    newcomer.press(K.Key_Return)
    newcomer.press(K.Key_M, CTRL)
    newcomer.type("14")
    newcomer.press(K.Key_Return)
    newcomer.press(K.Key_Return, CTRL)
    plan, make = running(newcomer, qtbot)
    assert plan.name == "tomme"
    assert make.milk.litres == 14
    assert newcomer.keys < 60, newcomer.keys


@pytest.mark.parametrize("place", ["today", "makes", "vat"])
def test_in_a_journal_just_made_enter_goes_to_the_plans(journal, window_on, qtbot, place):
    window = window_on(journal, clock=present.now, place=place)
    window.resize(1280, 720)
    qtbot.waitUntil(window.settled, timeout=60_000)
    Newcomer(window).press(K.Key_Return)
    qtbot.waitUntil(lambda: window.current.key == "plans")


def test_in_a_journal_just_made_a_click_does_too(journal, window_on, qtbot):
    window = window_on(journal, clock=present.now, place="today")
    window.resize(1280, 720)
    qtbot.waitUntil(window.settled, timeout=60_000)
    main = window.focusWidget()
    assert main.text() == "Choose a plan"
    QTest.mouseClick(main, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.current.key == "plans")
