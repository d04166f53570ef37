"""Backups in the window: one a day by itself, a copy where one wants it, the way back."""

from __future__ import annotations

from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk import dialogs
from journal.desk.backups import BackupsDialog
from journal.desk.tastings.half_typed import SETTING
from journal.keeping import Journal, copies
from journal.keeping.backups import folder_of, is_sound
from tests.desk.hands import Hands
from tests.endless import endless

DAY_MS = 86_400_000


@pytest.fixture
def window(kitchen, journal, window_on):
    return window_on(journal, clock=kitchen.clock, place="today", daily_backup=True)


def due(qtbot, window) -> None:
    """What the timer does once nobody waits."""
    window._daily.timeout.emit()
    qtbot.waitUntil(window.settled)


def test_one_is_made_a_day_and_today_says_when(qtbot, window, window_on, kitchen, journal, saved):
    assert window._daily.isActive(), "it comes by itself"
    due(qtbot, window)
    due(qtbot, window)
    assert len(journal.backups()) == 1
    window.current.entered()
    assert window.current.backup.text() == "Last backup: today"
    kitchen.now_ms += DAY_MS
    window.current.entered()
    assert window.current.backup.text() == "Last backup: yesterday"
    window.close()
    again = window_on(journal, clock=kitchen.clock, place="today", daily_backup=True)
    due(qtbot, again)
    assert len(journal.backups()) == 2


def test_a_window_that_stays_open_makes_one_each_day(qtbot, window, kitchen, journal):
    window._daily.start(0)
    qtbot.waitUntil(lambda: len(journal.backups()) == 1)
    kitchen.now_ms += DAY_MS
    assert window._daily.isActive()
    assert window._daily.interval() <= 60 * 60 * 1000
    window._daily.start(0)
    qtbot.waitUntil(lambda: len(journal.backups()) == 2)
    window.take(None)
    assert not window._daily.isActive()


def test_closing_the_window_does_not_wait_for_a_backup(qtbot, window, journal, monkeypatch):
    begun = Event()
    monkeypatch.setattr(copies, "unsound_rows", endless(begun))
    window._daily.timeout.emit()
    qtbot.waitUntil(begun.is_set)
    window.close()
    qtbot.waitUntil(lambda: not window.work.busy)
    assert list(folder_of(journal.path).iterdir()) == []


def test_they_go_into_a_second_folder_too(qtbot, window, kitchen, journal, monkeypatch, tmp_path):
    """Chosen by the mouse; once its disk is not there that is said, and the day has its own."""
    stick = tmp_path / "stick"
    stick.mkdir()
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(stick))
    shown = opened(qtbot, window)
    QTest.mouseClick(shown.choose, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(window.settled)
    assert len(journal.backups()) == len(journal.backups(stick)) == 1
    assert is_sound(journal.backups(stick)[0].path)
    assert shown.table.model().rowCount() == 2
    assert str(stick) in shown.second.text()
    shown.accept()
    kitchen.now_ms += DAY_MS
    due(qtbot, window)
    due(qtbot, window)
    assert len(journal.backups()) == len(journal.backups(stick)) == 2
    stick.rename(tmp_path / "away")
    kitchen.now_ms += DAY_MS
    due(qtbot, window)
    assert str(stick) in window.current.messages.text("file")
    assert len(journal.backups()) == 3
    shown = opened(qtbot, window)
    QTest.mouseClick(shown.leave, Qt.MouseButton.LeftButton)
    assert shown.second.text() == ""
    assert not shown.leave.isVisible()


def test_an_empty_journal_and_a_backup_itself_get_none(qtbot, journal, window_on, tmp_path):
    due(
        qtbot, window_on(journal, clock=lambda: 1_800_000_000_000, place="today", daily_backup=True)
    )
    assert not folder_of(journal.path).exists()
    path = journal.back_up(1_800_000_000_000).path
    with Journal.open(path) as opened:
        assert not opened.backup_due(1_900_000_000_000)


def test_a_copy_is_saved_where_one_wants_it(qtbot, window, kitchen, journal, monkeypatch, tmp_path):
    target = tmp_path / "stick" / "of mine"
    target.parent.mkdir()
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(target))
    journal.readings.log(kitchen.make.id, "milk-temp", 31.5, kitchen.start_ms + 1000)
    window.run("copy")
    qtbot.waitUntil(window.settled)
    with Journal.open(target.with_suffix(".vatside"), read_only=True) as copy:
        assert copy.readings.trace(kitchen.make.id, "milk-temp").value.tolist() == [31.5]
    assert window.current.messages.text("file") == f"A copy was saved as {target}.vatside."


@pytest.fixture(autouse=True)
def _put_away():
    """A dialog that stays open would keep the pointer from the windows of later tests."""
    yield
    for one in QApplication.topLevelWidgets():
        if isinstance(one, BackupsDialog):
            one.accept()


def opened(qtbot, window) -> BackupsDialog:
    window.run("backups")
    shown = window.findChild(BackupsDialog)
    qtbot.waitUntil(window.settled)
    return shown


def test_by_keys_alone_a_journal_is_made_what_it_was(qtbot, window, kitchen, journal):
    make, path = kitchen.make.id, journal.path
    journal.readings.log(make, "milk-temp", 31.5, kitchen.start_ms + 1000)
    journal.back_up(kitchen.after(10))
    journal.readings.log(make, "milk-temp", 77.0, kitchen.start_ms + 2000)
    shown = opened(qtbot, window)
    assert shown.holds.text() == "It is sound and holds 1 make with 1 reading."
    shown.back.setFocus()
    hands = Hands(window)
    hands.press(Qt.Key.Key_Space)
    assert "backed up first" in shown.asking.label.text()
    kitchen.after(20)
    hands.press(Qt.Key.Key_Return)
    qtbot.waitUntil(window.settled)
    now = window.journal
    assert now.path == path
    assert now.readings.trace(make, "milk-temp").value.tolist() == [31.5]
    assert now.undo_name is None, "what was undone belongs to what is no more"
    now.readings.log(make, "milk-temp", 31.6, kitchen.start_ms + 3000)
    before = now.backups()[0]
    window.close()
    now.close()
    with Journal.open(before.path, read_only=True) as was:
        assert was.readings.trace(make, "milk-temp").value.tolist() == [31.5, 77.0]
    with Journal.open(path, read_only=True) as again:
        assert again.readings.trace(make, "milk-temp").value.tolist() == [31.5, 31.6]
        assert again.check() == []


def test_what_is_half_typed_goes_with_what_was_there(qtbot, window, kitchen, journal):
    """And what was half typed in the backup is there again."""
    journal.set_setting(SETTING, '{"boards": {"sitting": {"of": "then"}}}')
    journal.back_up(kitchen.after(10))
    journal.set_setting(SETTING, "")
    window.go("tastings")
    window.current.show_part("blind")
    Hands(window).type("Abbey of")
    shown = opened(qtbot, window)
    kitchen.after(20)
    shown._on_agreed(shown.table.current())
    qtbot.waitUntil(lambda: window.journal is not journal)
    assert "then" in window.journal.setting(SETTING)
    with Journal.open(window.journal.backups()[0].path, read_only=True) as was:
        assert "Abbey of" in was.setting(SETTING)


def test_by_the_mouse_alone_one_is_made_and_a_damaged_one_is_not_put_back(
    qtbot, window, kitchen, journal
):
    shown = opened(qtbot, window)
    assert shown.holds.text() == "There is no backup yet."
    assert not shown.back.isEnabled()
    QTest.mouseClick(shown.make, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(window.settled)
    assert shown.back.isEnabled()
    assert shown.table.model().rowCount() == 1
    path = journal.backups()[0].path
    path.write_bytes(path.read_bytes()[:3000])
    QTest.mouseClick(shown.away, Qt.MouseButton.LeftButton)
    QApplication.processEvents()
    shown = opened(qtbot, window)
    assert "damaged" in shown.holds.text()
    assert not shown.back.isEnabled()
