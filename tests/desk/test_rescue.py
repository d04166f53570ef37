"""A damaged journal in the window: said once, with backups and rescue at hand."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QLabel

from journal.desk import app, dialogs
from journal.desk import settings as remembered
from journal.desk.backups import BackupsDialog
from journal.desk.damage import RescueDialog
from journal.desk.window import Window
from journal.keeping import Journal


@pytest.fixture
def path(sample_file, tmp_path: Path) -> Path:
    where = tmp_path / "kitchen.vatside"
    shutil.copy(sample_file, where)
    return where


def spoil(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as db, db:
        db.execute(statement)


def overwrite(path: Path, table: str) -> None:
    with closing(sqlite3.connect(path)) as db:
        asked = "select rootpage from sqlite_master where name = ?"
        (page,) = db.execute(asked, (table,)).fetchone()
    whole = bytearray(path.read_bytes())
    whole[(page - 1) * 4096 : page * 4096] = b"\xa5" * 4096
    path.write_bytes(whole)


def button(widget, words):
    found = [b for b in widget.findChildren(QAbstractButton) if b.text().startswith(words)]
    return next(b for b in found if b.isVisible())


def opened(qtbot, window):
    qtbot.addWidget(window)
    window.show()
    qtbot.waitExposed(window)
    return window


def test_a_damaged_row_is_found_quietly_and_said_once(path, saved, qapp, qtbot):
    spoil(path, "update weighing set weight_kg = weight_kg + 0.5 where id = 1")
    with Journal.open(path) as journal:
        look = qapp.property("vatside-look")
        window = opened(qtbot, Window(journal, settings=saved, look=look, daily_backup=False))
        qtbot.waitUntil(window.settled, timeout=20_000)
        window.damage.check()
        qtbot.waitUntil(
            lambda: "weighing" in window.current.messages.text("damage"), timeout=20_000
        )
        assert window.current.messages.text("damage") == (
            "This journal is damaged. Row 1 of weighing is damaged and is left out."
        )
        shown = window.current.messages._shown["damage"]  # a timer may have rung above it
        qtbot.mouseClick(button(shown, "Dismiss"), Qt.MouseButton.LeftButton)
        window.damage.check()
        qtbot.waitUntil(window.settled, timeout=20_000)
        assert window.current.messages.text("damage") == ""


def test_a_list_that_goes_without_a_make_says_so(path, saved, qapp, qtbot):
    spoil(path, "update make set milk_litres = 1 where id = 2")
    with Journal.open(path) as journal:
        look = qapp.property("vatside-look")
        window = opened(qtbot, Window(journal, settings=saved, look=look, place="makes"))
        qtbot.waitUntil(
            lambda: "Row 2 of make" in window.current.messages.text("damage"), timeout=20_000
        )
        qtbot.waitUntil(window.settled, timeout=20_000)
        button(window, "Rescue…")
        qtbot.mouseClick(button(window, "Backups…"), Qt.MouseButton.LeftButton)
        shown = window.findChild(BackupsDialog)
        shown.close()
        qtbot.waitUntil(window.settled, timeout=20_000)


def test_a_journal_that_does_not_open_is_rescued_from_the_first_page(
    path, saved, qapp, qtbot, monkeypatch
):
    overwrite(path, "setting")
    remembered.remember(saved, str(path))
    journal, sentence = app.first_journal(None, saved)
    assert journal is None
    assert "damaged" in sentence
    look = qapp.property("vatside-look")
    window = opened(qtbot, Window(None, settings=saved, look=look, sentence=sentence, failed=path))
    assert any("damaged" in label.text() for label in window.findChildren(QLabel))
    for words in ("New journal", "Open a journal", "Backups…"):
        button(window, words)
    out = path.with_name("saved.vatside")
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(out))
    qtbot.mouseClick(button(window, "Rescue…"), Qt.MouseButton.LeftButton)
    shown = window.findChild(RescueDialog)
    qtbot.waitUntil(shown.show_it.isEnabled, timeout=60_000)
    assert "saved.vatside has" in shown.says.text()
    qtbot.mouseClick(shown.show_it, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.journal is not None, timeout=20_000)
    qtbot.waitUntil(window.settled, timeout=20_000)
    assert window.journal.path == out
    assert window.journal.makes.rows()
    assert window.journal.check() == []
    window.journal.close()


def test_what_cannot_be_rescued_is_said(path, saved, qapp, qtbot, monkeypatch):
    path.write_bytes(bytes(8192))
    look = qapp.property("vatside-look")
    window = opened(qtbot, Window(None, settings=saved, look=look, failed=path))
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(path.with_name("out.vatside")))
    qtbot.mouseClick(button(window, "Rescue…"), Qt.MouseButton.LeftButton)
    shown = window.findChild(RescueDialog)
    qtbot.waitUntil(lambda: "Nothing in kitchen" in shown.says.text(), timeout=20_000)
    assert not shown.show_it.isEnabled()
    shown.close()
