"""What no slot caught: a sentence in the window, nothing typed lost, the program stays."""

from __future__ import annotations

import signal
import sqlite3
import sys
import threading
from contextlib import contextmanager
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from journal.desk.buttons import Button
from journal.desk.uncaught import STAYS, UncaughtErrors, fault_text
from journal.keeping import KeepingError
from tests.desk.hands import Hands

resource = pytest.importorskip("resource", reason="limits of a process are Unix's")
pytestmark = pytest.mark.qt_no_exception_capture
ENTER, CTRL = Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def uncaught(vat, tmp_path: Path):
    made = UncaughtErrors(vat.window().say_fault, tmp_path / "log" / "vatside.log")
    made.install()
    yield made
    made.uninstall()


@contextmanager
def unwritable(path: Path):
    """No file of this process grows by a byte: the disk refuses every write to the journal."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, before)


@contextmanager
def locked(path: Path):
    """Another program is in the middle of writing to the journal."""
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("begin immediate")
    try:
        yield
    finally:
        other.execute("rollback")
        other.close()


def pressed(window, act) -> None:
    """A button of the window whose slot catches nothing."""
    button = Button("Do it", parent=window)
    button.clicked.connect(act)
    button.show()
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    button.hide()


def test_a_journal_that_cannot_be_written_to_is_said_where_it_was_typed(kitchen, vat, uncaught):
    hands = Hands(vat.window())
    with unwritable(kitchen.journal.path):
        hands.type("32.4").press(ENTER)
        assert vat.page.entry.temp.line.text() == "32.4"
        assert "Nothing was changed" in vat.page.entry.temp.message.text()
    hands.press(ENTER)
    assert kitchen.journal.readings.last(kitchen.make.id, 1)[0].value == 32.4
    assert vat.page.entry.temp.line.text() == ""


@pytest.mark.parametrize("fault", [unwritable, locked])
def test_what_a_slot_let_through_is_said_and_what_is_typed_stays(
    kitchen, vat, uncaught, fault, capsys
):
    hands = Hands(vat.window())
    hands.type("32.4")

    def act() -> None:
        kitchen.journal.set_setting("a wish", "x" * 10_000)

    with fault(kitchen.journal.path):
        pressed(vat.window(), act)
    output = vat.messages.text("fault")
    assert output.endswith(STAYS)
    assert "Nothing was changed" in output
    assert "KeepingError" in capsys.readouterr().err
    assert vat.page.entry.temp.line.text() == "32.4"
    vat.page.entry.focus_last()
    hands.press(ENTER)
    assert kitchen.journal.readings.last(kitchen.make.id, 1)[0].value == 32.4


def test_any_other_fault_is_named_and_written_down(vat, uncaught, capsys):
    def act() -> None:
        [][1]

    pressed(vat.window(), act)
    output = vat.messages.text("fault")
    assert output.startswith("Something went wrong in the program (IndexError: list index")
    assert str(uncaught.log) in output
    assert "IndexError" in uncaught.log.read_text(encoding="utf-8")
    assert "[][1]" in capsys.readouterr().err
    assert vat.isVisible()


def test_the_same_fault_again_is_not_said_again_at_once(vat, uncaught, capsys):
    def act() -> None:
        raise KeepingError("No.")

    for _ in range(3):
        pressed(vat.window(), act)
    assert uncaught.log.read_text(encoding="utf-8").count("KeepingError: No.") == 1
    assert vat.messages.text("fault") == f"No. {STAYS}"


def test_a_fault_in_a_thread_is_said_in_the_window(qtbot, vat, uncaught, capsys):
    def work() -> None:
        raise RuntimeError("the pump stands still")

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    qtbot.waitUntil(lambda: "the pump stands still" in vat.messages.text("fault"))


def test_without_a_journal_the_first_page_says_it(window_on, tmp_path, capsys):
    window = window_on(None)
    uncaught = UncaughtErrors(window.say_fault)
    uncaught.install()
    try:

        def act() -> None:
            raise KeepingError("The disk is gone.")

        pressed(window, act)
    finally:
        uncaught.uninstall()
    from journal.desk.labels import Label

    words = [label.text() for label in window.findChildren(Label) if label.isVisible()]
    assert any("The disk is gone." in text for text in words)


def test_a_log_that_cannot_be_written_to_is_no_second_fault(vat, tmp_path, capsys):
    (tmp_path / "file").write_text("in the way")
    uncaught = UncaughtErrors(vat.window().say_fault, tmp_path / "file" / "vatside.log")
    uncaught.install()
    try:

        def act() -> None:
            raise KeepingError("No.")

        pressed(vat.window(), act)
    finally:
        uncaught.uninstall()
    assert vat.messages.text("fault") == f"No. {STAYS}"


def test_ctrl_c_ends_the_program_as_ever(uncaught):
    heard = []
    uncaught.uninstall()
    before, sys.excepthook = sys.excepthook, lambda *args: heard.append(args[0])
    try:
        uncaught.install()
        sys.excepthook(KeyboardInterrupt, KeyboardInterrupt(), None)
        uncaught.uninstall()
    finally:
        sys.excepthook = before
        uncaught.install()
    assert heard == [KeyboardInterrupt]


def test_our_own_errors_speak_for_themselves():
    assert fault_text(KeepingError("The disk is full.")) == f"The disk is full. {STAYS}"
    assert "ZeroDivisionError" in fault_text(ZeroDivisionError())
