"""What is dropped onto the window, in any place: a journal, a plan, a table, a photo."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication

from journal.desk.bring_in import BringInMakes
from journal.exchange.plan_files import write_plan_file
from journal.keeping import Journal
from tests import present
from tests.desk.conftest import cheddar_like


def drop(window, path: Path) -> bool:
    """Drag a file over the middle of the window and let it fall; whether it was taken."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    copy, left, none = (
        Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier,
    )  # fmt: skip
    middle = QPoint(window.width() // 2, 10)
    over = QDragEnterEvent(middle, copy, data, left, none)
    QApplication.sendEvent(window, over)
    if over.isAccepted():
        QApplication.sendEvent(window, QDropEvent(QPointF(middle), copy, data, left, none))
    return over.isAccepted()


@pytest.fixture
def window(journal, window_on, qtbot):
    shown = window_on(journal, clock=present.now, place="today")
    qtbot.waitUntil(shown.settled)
    return shown


def test_a_journal_is_opened(window, tmp_path, qtbot):
    other = tmp_path / "other kitchen.vatside"
    Journal.create(other, letters="OK", zone="UTC").close()
    assert drop(window, other)
    assert window.journal.path == other
    window.journal.close()


def test_a_plan_is_imported_and_shown(window, tmp_path, journal):
    file = tmp_path / "mine.toml"
    write_plan_file(cheddar_like(), file)
    assert drop(window, file)
    assert window.current.key == "plans"
    assert journal.plans.by_name("dry-salted hard").version == 1
    assert window.current.sheet.plan.name == "dry-salted hard"


def test_a_table_of_makes_shows_what_it_would_bring(window, tmp_path):
    file = tmp_path / "makes.csv"
    file.write_text("date,plan,milk L\n2025-03-01,tomme,10\n2025-04-01,tomme,12\n")
    assert drop(window, file)
    assert window.findChild(BringInMakes).isVisible()
    window.findChild(BringInMakes).close()


def test_a_photo_is_told_where_it_belongs_and_others_are_not_taken(window, tmp_path):
    (tmp_path / "rind.jpg").write_bytes(b"")
    assert drop(window, tmp_path / "rind.jpg")
    assert "Ageing" in window.current.messages.text("file")
    assert not drop(window, tmp_path / "song.mp3")
