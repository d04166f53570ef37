"""The file is renamed, deleted or replaced under the window: it is said, nothing typed is lost."""

from __future__ import annotations

import os
import sqlite3

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from journal.desk import dialogs, under_way
from journal.desk.buttons import WordButton
from journal.keeping import Journal, backups
from journal.keeping import journal as journals
from journal.keeping.file import Connection
from tests.desk.hands import Hands
from tests.desk.held import Held, until
from tests.desk.test_sensors import Logger, switch_on

pytestmark = pytest.mark.skipif(os.name == "nt", reason="what is open cannot be renamed there")


def press(window, words: str) -> None:
    """Press what a sentence offers."""
    found = [one for one in window.current.messages.findChildren(WordButton) if one.text() == words]
    QTest.mouseClick(found[-1], Qt.MouseButton.LeftButton)


def shown(window) -> str:
    return window.current.messages.text("gone")


def readings(path) -> list[float]:
    with Journal.open(path, read_only=True) as journal:
        assert journal.check() == []
        return [
            value
            for make in journal.makes.all()
            for value in journal.readings.trace(make.id, "milk-temp").value.round(3).tolist()
        ]


def test_after_a_renaming_what_is_typed_stays_and_is_saved_in_the_file_as_it_is_called_now(
    vat, hands: Hands, kitchen, qtbot
):
    window, path = vat.window(), kitchen.journal.path
    hands.type("37.5").press(Qt.Key.Key_Return)
    now = path.rename(path.with_name("dairy.vatside"))
    kitchen.after(121)
    hands.type("38.1").press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: str(now) in shown(window))
    assert vat.page.entry.temp.line.text() == "38.1"
    press(window, "Open it there")
    qtbot.waitUntil(window.settled)
    assert window.journal.path == now
    assert not path.exists()
    window.go("vat")
    qtbot.waitUntil(window.settled)
    entry = window.current.page.entry.temp.line
    assert entry.text() == "38.1"
    entry.setFocus()
    hands.press(Qt.Key.Key_Return)
    assert shown(window) == ""
    window.close()
    window.journal.close()
    assert readings(now) == [37.5, 38.1]
    assert [entry.name for entry in now.parent.glob("*.vatside*")] == [now.name]


def test_it_is_noticed_before_anything_is_typed_and_forgotten_when_all_is_well_again(
    vat, kitchen, qtbot
):
    window, path = vat.window(), kitchen.journal.path
    window._upkeep.timer.setInterval(0)
    now = path.rename(path.with_name("dairy.vatside"))
    qtbot.waitUntil(lambda: str(now) in shown(window))
    now.rename(path)
    qtbot.waitUntil(lambda: shown(window) == "")


def test_what_is_seen_of_a_deleted_journal_is_saved_as_a_copy(
    vat, hands: Hands, kitchen, qtbot, monkeypatch
):
    window, path = vat.window(), kitchen.journal.path
    hands.type("37.5").press(Qt.Key.Key_Return)
    path.unlink()
    hands.type("38.1").press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "was deleted" in shown(window))
    copy = path.with_name("again.vatside")
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(copy))
    press(window, "Save a copy…")
    qtbot.waitUntil(window.settled)
    assert window.journal.path == copy
    window.go("vat")
    qtbot.waitUntil(window.settled)
    assert window.current.page.entry.temp.line.text() == "38.1"
    window.close()
    window.journal.close()
    assert readings(copy) == [37.5]


@pytest.mark.parametrize("stops", [True, False])
def test_meanwhile_the_window_lives_and_the_copy_can_be_stopped(
    vat, hands: Hands, kitchen, qtbot, monkeypatch, tmp_path, stops
):
    """It is read by another thread, after all was folded into it; nobody types meanwhile."""
    window, path = vat.window(), kitchen.journal.path
    hands.type("37.5").press(Qt.Key.Key_Return)
    other = tmp_path / "another.vatside"
    Journal.create(other).close()
    other.replace(path)
    window._upkeep.work()
    held, copy = Held(monkeypatch, backups, "copy_whole"), tmp_path / "again.vatside"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(copy))
    monkeypatch.setattr(under_way, "SHOWN_AFTER_MS", 0)
    press(window, "Save a copy…")
    until(qtbot, lambda: held.here.is_set() and window.files.under_way.isVisible())
    assert not window.stack.isEnabled()
    if stops:
        (line,) = window.files.under_way.lines.values()
        QTest.mouseClick(line.stop, Qt.MouseButton.LeftButton)
    held.go_on()
    until(qtbot, window.settled)
    assert window.stack.isEnabled()
    assert copy.exists() != stops
    assert window.journal.path == (path if stops else copy)
    if stops:
        assert "Stopped before the copy was whole" in window.current.messages.text("file")
        assert window.current.page.entry.temp.line.hasFocus()
    window.close()
    window.journal.close()
    assert readings(path) == []
    if not stops:
        assert readings(copy) == [37.5]
    assert not list(tmp_path.rglob("*.half*"))


def test_the_file_in_its_place_can_be_opened(vat, hands: Hands, kitchen, qtbot, tmp_path):
    window, path = vat.window(), kitchen.journal.path
    older = tmp_path / "older copy"
    kitchen.journal.save_copy(older)
    hands.type("37.5").press(Qt.Key.Key_Return)
    older.replace(path)
    window._upkeep.work()
    assert "in the place of kitchen.vatside" in shown(window)
    press(window, "Open the other file")
    qtbot.waitUntil(window.settled)
    assert shown(window) == ""
    assert "were not used" in window.current.messages.text("keeping.other-changes-set-aside")
    window.close()
    window.journal.close()
    assert readings(path) == []


def test_what_a_sensor_sends_meanwhile_is_in_the_copy_though_it_was_stopped_once(
    vat, kitchen, qtbot, monkeypatch, tmp_path
):
    window, path, copy = vat.window(), kitchen.journal.path, tmp_path / "again.vatside"
    kitchen.after(1)
    logger = Logger(tmp_path / "logger.csv", kitchen.start_ms)
    switch_on(window, logger.source(kitchen.make.id))
    logger.write(2)
    until(qtbot, lambda: len(readings(path)) == 2)
    path.unlink()
    logger.write(2)
    until(qtbot, lambda: window.desk.sensors.bridge._waiting)
    window._upkeep.work()
    held = Held(monkeypatch, backups, "copy_whole")
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(copy))
    press(window, "Save a copy…")
    until(qtbot, held.here.is_set)
    assert window.desk.sensors.bridge is None
    logger.write(2)
    (line,) = window.files.under_way.lines.values()
    line.stop.click()
    held.go_on()
    sensors = window.desk.sensors
    until(qtbot, lambda: sensors.bridge is not None and sensors.bridge._waiting)
    press(window, "Save a copy…")
    until(qtbot, lambda: window.journal.path == copy and window.settled())
    logger.write(2)
    until(qtbot, lambda: len(readings(copy)) == 8)
    window.stop_sensors()


def test_a_journal_that_cannot_be_read_for_its_copy_is_said_and_typing_goes_on(
    vat, hands: Hands, kitchen, qtbot, monkeypatch, tmp_path
):
    window, path, copy = vat.window(), kitchen.journal.path, tmp_path / "again.vatside"
    path.unlink()
    window._upkeep.work()
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(copy))
    monkeypatch.setattr(journals, "fold_whole", lambda _db: False)
    for error, why in ((MemoryError, "memory"), (sqlite3.OperationalError, "unable to serialize")):

        def refuses(_db, error=error, why=why):
            raise error(*([] if error is MemoryError else [why]))

        monkeypatch.setattr(Connection, "serialize", refuses)
        press(window, "Save a copy…")
        assert why in window.current.messages.text("file")
        assert window.stack.isEnabled()
    monkeypatch.undo()
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(copy))
    press(window, "Save a copy…")
    until(qtbot, lambda: window.journal.path == copy and window.settled())
