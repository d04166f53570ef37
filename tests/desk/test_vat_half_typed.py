"""What is typed at the vat and not kept is there again after the window, and is no reading."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time

import pytest
from PySide6.QtCore import QSettings, Qt

from journal.desk.vat.half_typed import UnsavedEntry, half_typed_of, write_half_typed
from journal.desk.watch import BUSY_S
from journal.desk.window import Window
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from tests.desk.hands import Hands

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ENTER, ESC, F3, F6, F7 = (
    Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_F3, Qt.Key.Key_F6, Qt.Key.Key_F7,
)  # fmt: skip


@pytest.fixture
def opened(qtbot, kitchen, window_on):
    """Opens the vat in a window of its own, as after a start of the program."""
    kitchen.to_stage(4)
    kitchen.after(120)

    def again(place: str = "vat") -> tuple[Window, Hands]:
        window = window_on(kitchen.journal, clock=kitchen.clock, place=place)
        qtbot.waitUntil(window.settled)
        return window, Hands(window)

    return again


def fields(window) -> tuple[str, str]:
    return window.current.page.entry.texts()


def test_digits_stand_there_again_and_are_no_reading(kitchen, opened):
    window, hands = opened()
    hands.type("31").press(Qt.Key.Key_Tab).type("6.4")
    window.close()
    assert kitchen.journal.readings.count(kitchen.make.id) == 0
    window, hands = opened()
    assert fields(window) == ("31", "6.4")
    assert "not saved yet" in window.current.page.entry.temp.message.text()
    assert kitchen.journal.readings.count(kitchen.make.id) == 0
    hands.type(".4").press(ENTER)
    assert kitchen.journal.readings.last(kitchen.make.id, 1)[0].value == 31.4
    window.close()
    window, _ = opened()
    assert fields(window) == ("", "6.4")


def test_what_was_kept_or_erased_does_not_come_back(kitchen, opened, saved):
    window, hands = opened()
    hands.type("31.4").press(ENTER).type("3").press(Qt.Key.Key_Backspace)
    window.close()
    assert half_typed_of(saved, kitchen.make.uuid) == UnsavedEntry()
    window, _ = opened()
    assert fields(window) == ("", "")


def test_it_is_written_on_a_pause_and_gone_once_it_is_kept(qtbot, kitchen, opened, saved):
    _window, hands = opened()
    hands.type("31.4")
    on_disk = QSettings(saved.fileName(), QSettings.Format.IniFormat)

    def there() -> str:
        on_disk.sync()
        return half_typed_of(on_disk, kitchen.make.uuid).temp

    qtbot.waitUntil(lambda: there() == "31.4")
    hands.press(ENTER)
    assert there() == ""


def test_another_acidity_and_a_late_time_come_back_with_the_value(kitchen, opened):
    window, hands = opened()
    hands.press(F6)
    window.current.page.entry.acid.line.setFocus()
    hands.type("6.4").press(Qt.Key.Key_T, CTRL).type("10:40")
    kind = window.current.page.entry.acid_kind
    window.close()
    window, hands = opened()
    entry = window.current.page.entry
    assert (entry.acid_kind, entry.at_text) == (kind, "10:40")
    entry.acid.line.setFocus()
    hands.press(ENTER)
    saved = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (saved.kind, saved.value) == (kind, 6.4)
    assert saved.at_ms == kitchen.start_ms + 100 * 60_000


def test_a_half_typed_correction_goes_on_where_it_was(kitchen, opened):
    window, hands = opened()
    hands.type("31.4").press(ENTER).press(Qt.Key.Key_F2).type("31.")
    window.close()
    window, hands = opened()
    assert "Replaces 31.4" in window.current.page.entry.temp.message.text()
    window.current.page.entry.temp.line.end(False)
    hands.type("6").press(ENTER)
    sound = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp").sound()
    assert sound.value.tolist() == [31.6]


def test_a_correction_not_touched_yet_is_no_value_to_come_back(kitchen, opened):
    window, hands = opened()
    hands.type("31.4").press(ENTER).press(Qt.Key.Key_F2)
    window.close()
    window, _ = opened()
    assert fields(window) == ("", "")


def test_an_open_note_is_open_again(kitchen, opened):
    window, hands = opened()
    hands.press(F7).type("soft")
    window.close()
    window, hands = opened()
    ask = window.current.page.ask
    assert ask.isVisible()
    assert ask.lines[0].text() == "soft"
    assert kitchen.journal.notes.where(make_id=kitchen.make.id) == []
    ask.lines[0].setFocus()
    hands.press(ENTER)
    assert [n.text for n in kitchen.journal.notes.where(make_id=kitchen.make.id)] == ["soft"]
    window.close()
    window, _ = opened()
    assert not window.current.page.ask.isVisible()


def test_a_question_about_the_stage_is_open_again_with_both_answers(opened):
    window, hands = opened()
    hands.press(Qt.Key.Key_L, CTRL | SHIFT).type("15").press(Qt.Key.Key_Tab).type("soft")
    window.close()
    window, hands = opened()
    ask = window.current.page.ask
    assert "cook" in ask.title.text()
    assert ask.texts == ("15", "soft")
    ask.lines[0].setFocus()
    hands.press(ESC)
    window.close()
    window, _ = opened()
    assert not window.current.page.ask.asking


def test_a_question_written_down_by_an_earlier_release_is_asked_again(kitchen, opened, saved):
    half = UnsavedEntry(act="_on_note", answers=("soft",), waiting={"_on_timer": ("5 min", "")})
    write_half_typed(saved, kitchen.make.uuid, half)
    window, hands = opened()
    assert window.current.page.ask.texts == ("soft",)
    hands.press(Qt.Key.Key_F9)
    assert window.current.page.ask.texts == ("5 min", "")


def test_words_to_one_question_wait_while_another_is_asked(kitchen, opened):
    window, hands = opened()
    hands.press(F7).type("soft").press(F7)
    assert window.current.page.ask.texts == ("soft",)
    hands.press(Qt.Key.Key_F9).type("5 min")
    window.close()
    window, hands = opened()
    ask = window.current.page.ask
    assert "timer" in ask.title.text()
    assert ask.texts == ("5 min", "")
    hands.press(F7)
    assert ask.texts == ("soft",)
    hands.press(ENTER)
    assert [n.text for n in kitchen.journal.notes.all()] == ["soft"]
    hands.press(F7)
    assert ask.texts == ("",)


def test_what_cannot_be_asked_any_more_is_said(kitchen, opened):
    window, hands = opened()
    hands.press(Qt.Key.Key_L, CTRL | SHIFT).type("15").press(Qt.Key.Key_Tab).type("soft")
    window.close()
    for minutes in (140, 160, 180):
        kitchen.journal.makes.end_stage(kitchen.make.id, kitchen.after(minutes))
    window, _ = opened()
    assert "15, soft" in window.current.messages.text("half typed")


def test_weights_half_typed_are_asked_for_again(kitchen, opened):
    window, hands = opened()
    for minutes in (140, 160, 180):
        kitchen.journal.makes.end_stage(kitchen.make.id, kitchen.after(minutes))
    hands.press(ENTER, CTRL).type("1.18 kg, 1")
    window.close()
    window, _ = opened()
    finish = window.current.page.finish
    assert finish.asking
    assert finish.line.text() == "1.18 kg, 1"


def test_each_make_has_its_own(kitchen, opened):
    window, hands = opened()
    plan = Plan("second", (Stage("ripen", 45, target_c=30.0), Stage("drain", 60)))
    other = kitchen.journal.makes.begin(plan, Milk(6.0), kitchen.after(122))
    hands.type("32").press(F7).type("soft")
    window.current.makes.turn_to(other.id)
    assert fields(window) == ("", "")
    assert not window.current.page.ask.asking
    hands.type("30")
    window.close()
    window, _ = opened()
    window.current.makes.turn_to(other.id)
    assert fields(window) == ("30", "")
    window.current.makes.turn_to(kitchen.make.id)
    assert fields(window) == ("32", "")
    assert window.current.page.ask.lines[0].text() == "soft"
    assert kitchen.journal.notes.all() == []


def test_another_journal_and_back(kitchen, opened, tmp_path):
    from journal.keeping import Journal

    window, hands = opened()
    hands.type("31")
    with Journal.create(tmp_path / "b.vatside", letters="HL", zone="Europe/London") as second:
        window.take(second, place="vat")
        window.take(kitchen.journal, place="vat")
        assert fields(window) == ("31", "")


@pytest.mark.parametrize("text", ["", "no json", "[]", '{"temp": 1, "other": 2}'])
def test_what_another_wrote_there_is_let_be(saved, text):
    saved.setValue("vat/half typed/x", text)
    assert half_typed_of(saved, "x") == UnsavedEntry()


def test_nothing_typed_leaves_no_trace(saved):
    write_half_typed(saved, "x", UnsavedEntry(temp="3"))
    write_half_typed(saved, "x", UnsavedEntry())
    assert saved.allKeys() == []


_KILLED = """
import sys
from PySide6.QtCore import QSettings
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from journal.desk.vat.half_typed import half_typed_of
from journal.desk.window import Window
from journal.keeping import Journal
app = QApplication([])
journal = Journal.open(sys.argv[1])
settings = QSettings(sys.argv[2], QSettings.Format.IniFormat)
window = Window(journal, clock=lambda: int(sys.argv[3]), settings=settings, place="vat")
window.show()
QTest.keyClicks(window.current.page.entry.temp.line, "31.4")
uuid = window.current.makes.day.whole.make.uuid
while not half_typed_of(settings, uuid).temp:
    QTest.qWait(20)
print("typed", flush=True)
app.exec()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is Unix's")
def test_it_is_there_after_a_kill(kitchen, opened, saved):
    args = [sys.executable, "-c", _KILLED, str(kitchen.journal.path), saved.fileName()]
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    with subprocess.Popen(
        [*args, str(kitchen.now_ms)], stdout=subprocess.PIPE, text=True, env=env
    ) as other:
        assert other.stdout.readline().strip() == "typed"
        other.send_signal(signal.SIGKILL)
        assert other.wait() == -signal.SIGKILL
    saved.sync()
    window, _ = opened()
    assert fields(window) == ("31.4", "")
    assert kitchen.journal.readings.count(kitchen.make.id) == 0


def waited(path, seconds: float) -> float:
    """How long a bare connection waits in vain that is told to wait so long."""
    bare = sqlite3.connect(path, timeout=seconds, isolation_level=None)
    began = time.monotonic()
    with pytest.raises(sqlite3.OperationalError):
        bare.execute("begin immediate")
    took = time.monotonic() - began
    bare.close()
    return took


def test_another_program_that_writes_holds_a_key_up_for_a_second_only(kitchen, opened):
    window, hands = opened()
    hands.type("31.4")
    other = sqlite3.connect(kitchen.journal.path, isolation_level=None)
    other.execute("begin immediate")
    began = time.monotonic()
    hands.press(ENTER)
    took = time.monotonic() - began
    bare = waited(kitchen.journal.path, BUSY_S)
    other.execute("rollback")
    other.close()
    assert took < 2 * bare
    entry = window.current.page.entry
    assert "Another program is writing" in entry.temp.message.text()
    assert entry.temp.line.text() == "31.4"
    hands.press(ENTER)
    assert kitchen.journal.readings.last(kitchen.make.id, 1)[0].value == 31.4
