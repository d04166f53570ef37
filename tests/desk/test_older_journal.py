"""A journal of an earlier format is updated beside a window that says how far it is, and stops."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

from journal.desk import app, settings, under_way
from journal.desk.closing import KEEP
from journal.desk.window import Window
from journal.keeping import moving_on
from tests.desk.held import Held, until
from tests.desk.test_long_work import answer

RELEASED = Path(__file__).parents[1] / "keeping" / "released"


@pytest.fixture
def older(tmp_path) -> Path:
    return Path(shutil.copy(RELEASED / "format_3.vatside", tmp_path / "old.vatside"))


def dumped(path: Path) -> list[str]:
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)) as db:
        return list(db.iterdump())


@pytest.fixture
def begun(window_on, journal, older, monkeypatch, qtbot):
    """The window on a journal of today while an older one is updated, and what holds that up."""
    held = Held(monkeypatch, moving_on, "apply")
    monkeypatch.setattr(under_way, "SHOWN_AFTER_MS", 0)
    window = window_on(journal)
    window.files.open_path(str(older))
    until(qtbot, held.here.is_set)
    until(qtbot, window.files.under_way.isVisible)
    return window, held


def test_meanwhile_one_goes_on_in_the_other_and_then_it_is_shown(begun, journal, older, qtbot):
    window, held = begun
    assert window.journal is journal
    (line,) = window.files.under_way.lines.values()
    until(qtbot, lambda: "%" in line.label.text())
    journal.set_setting("written", "meanwhile")
    window.files.open_path(str(older))  # asked for again
    assert "is being updated" in window.current.messages.text("file")
    held.go_on()
    until(qtbot, lambda: window.journal.path == older and window.settled())
    assert window.journal.check() == []
    assert older.with_name("old.format-3.vatside").exists()
    window.close()
    window.journal.close()


def test_stopped_it_is_as_it_was(begun, journal, older, qtbot):
    window, held = begun
    before = dumped(RELEASED / "format_3.vatside")
    (line,) = window.files.under_way.lines.values()
    QTest.mouseClick(line.stop, Qt.MouseButton.LeftButton)
    held.go_on()
    until(qtbot, window.settled)
    assert "The file is as it was" in window.current.messages.text("file")
    assert window.journal is journal
    assert dumped(older) == before
    assert sorted(one.name for one in older.parent.glob("old*")) == ["old.vatside"]


def test_closing_asks_and_it_is_finished_before_the_window_closes(begun, older, qtbot):
    window, held = begun
    window.close()
    answer(qtbot, window, KEEP)
    held.go_on()
    until(qtbot, lambda: not window.isVisible())
    window.journal.close()
    assert older.read_bytes()[60:64] == moving_on.SCHEMA.to_bytes(4, "big")


def test_the_program_begins_with_its_window_and_updates_the_last_journal_in_it(
    older, saved, qapp, qtbot, monkeypatch
):
    settings.remember(saved, str(older))
    saved.setValue("window/place", "plans")
    held = Held(monkeypatch, moving_on, "apply")
    monkeypatch.setattr(under_way, "SHOWN_AFTER_MS", 0)
    monkeypatch.setattr(settings, "settings", lambda: saved)
    monkeypatch.setattr(app, "SERVER", f"vatside-test-{older.parent.name}")
    seen: list[Window] = []

    def lived() -> int:
        (window,) = [one for one in QApplication.topLevelWidgets() if isinstance(one, Window)
                     and one.isVisible()]  # fmt: skip
        seen.append(window)
        until(qtbot, held.here.is_set)
        assert window.journal is None
        assert any("updated once" in one.text() for one in window.findChildren(QLabel))
        held.go_on()
        until(qtbot, lambda: window.journal is not None and window.settled())
        assert window.journal.path == older
        assert window.current.key == "plans"
        window.close()
        return 0

    monkeypatch.setattr(qapp, "exec", lived)
    assert app.run() == 0
    assert seen[0].journal.closed


def test_one_that_may_only_be_read_is_shown_as_it_is(window_on, journal, older, monkeypatch, qtbot):
    before = dumped(older)
    monkeypatch.setattr("journal.keeping.file.os.access", lambda path, _mode: path != older)
    window = window_on(journal)
    window.files.open_path(str(older))
    until(qtbot, lambda: window.journal.path == older and window.settled())
    assert window.journal.read_only
    assert "read" in window.current.messages.text("keeping.only-read-here")
    monkeypatch.undo()
    assert dumped(older) == before
