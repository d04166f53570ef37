"""Plans as files through the window: written, brought in by file and by drop, and printed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk import dialogs
from journal.exchange.plan_files import read_plan_file, write_plan_file
from journal.keeping import Journal
from journal.records.plan_text import builtin_plan
from tests.desk.hands import save_printed

NOW = 1_773_480_300_000  # 2026-03-14T09:25 in London
CTRL = Qt.KeyboardModifier.ControlModifier


def _clock() -> int:
    return NOW


def drop(widget, *paths: Path) -> bool:
    """Drop files on a widget as the system would; True when they were taken."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    middle = widget.rect().center()
    how = (data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    enter = QDragEnterEvent(middle, Qt.DropAction.CopyAction, *how)
    QApplication.sendEvent(widget, enter)
    if not enter.isAccepted():
        return False
    event = QDropEvent(QPointF(middle), Qt.DropAction.CopyAction, *how)
    QApplication.sendEvent(widget, event)
    return event.isAccepted()


@pytest.fixture
def place(window_on, journal: Journal, qtbot):
    window = window_on(journal, place="plans", clock=_clock)
    window.current.show_plan("tomme")
    return window.current


@pytest.fixture
def changed(tmp_path: Path) -> Path:
    path = tmp_path / "tomme.toml"
    write_plan_file(replace(builtin_plan("tomme"), milk_l=14.0), path)
    return path


def test_a_new_plan_dropped_is_kept_and_shown(place, journal: Journal, tmp_path, qtbot) -> None:
    path = tmp_path / "ours.toml"
    write_plan_file(replace(builtin_plan("tomme"), name="our tomme"), path)
    assert drop(place, path)
    assert journal.plans.names() == ["our tomme"]
    assert place.page.title.text().startswith("Our tomme")
    assert place.messages.text("plan file") == "our tomme was saved as version 2."
    assert journal.undo() is not None
    assert journal.plans.names() == []


def test_a_known_name_is_asked_about_in_place(place, journal: Journal, changed, qtbot) -> None:
    assert drop(place, changed)
    assert place.files.asking.isVisible()
    assert "There is already a plan called “tomme”, version 2." in place.files.asking.label.text()
    assert place.files.asking.yes.text() == "Save as version 3"
    assert journal.plans.names() == []
    QTest.keyClick(place.files.asking.yes, Qt.Key.Key_Return)
    assert not place.files.asking.isVisible()
    assert journal.plans.by_name("tomme").version == 3
    assert journal.plans.by_name("tomme").milk_l == 14.0


def test_escape_leaves_what_was_asked(place, journal: Journal, changed, qtbot) -> None:
    drop(place, changed)
    QTest.keyClick(place.files.asking.yes, Qt.Key.Key_Escape)
    assert not place.files.asking.isVisible()
    assert journal.plans.names() == []
    drop(place, changed)
    QTest.mouseClick(place.files.asking.no, Qt.MouseButton.LeftButton)
    assert not place.files.asking.isVisible()
    assert journal.plans.names() == []


def test_a_plan_that_says_the_same_is_not_asked_about(place, journal, tmp_path, qtbot) -> None:
    path = tmp_path / "tomme.toml"
    write_plan_file(builtin_plan("tomme"), path)
    drop(place, path)
    assert not place.files.asking.isVisible()
    assert "is the same" in place.messages.text("plan file")
    assert journal.plans.names() == []


def test_a_broken_file_names_line_and_reason(place, journal: Journal, changed, qtbot) -> None:
    text = changed.read_text(encoding="utf-8")
    line = next(i for i, one in enumerate(text.split("\n"), 1) if one.startswith("target ="))
    changed.write_text(text.replace("target = ", "target = 3 # ", 1), encoding="utf-8")
    assert drop(place, changed)
    output = place.messages.text("plan file")
    assert output.startswith(
        f"“tomme.toml”, line {line}: stage 1 (warm), key “target”: “3” cannot be read as"
    )
    assert journal.plans.names() == []
    # The sentence goes once a sound file comes.
    write_plan_file(builtin_plan("tomme"), changed)
    drop(place, changed)
    assert "line" not in place.messages.text("plan file")


def test_other_files_are_not_taken(place, tmp_path, qtbot) -> None:
    other = tmp_path / "letter.odt"
    other.write_text("a,b\n")
    assert not drop(place, other)


def test_a_plan_is_brought_in_and_written_by_command(
    place, journal: Journal, changed, tmp_path, qtbot, monkeypatch
) -> None:
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: str(changed))
    place.files.import_plan()
    place.files.asking.yes.click()
    assert journal.plans.by_name("tomme").version == 3
    out = tmp_path / "written"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(out))
    place.files.export_plan()
    assert read_plan_file(tmp_path / "written.toml").milk_l == 14.0
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(tmp_path / "none" / "p.toml"))
    place.files.export_plan()
    assert "cannot be written" in place.messages.text("plan file")
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: "")
    place.files.import_plan()


def test_the_sheet_is_printed_for_the_milk_there_is(
    place, tmp_path, qtbot, monkeypatch
) -> None:  # fmt: skip
    path = tmp_path / "sheet.pdf"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(path))
    QTest.keyClicks(place.page.milk.line, "")
    place.page.milk.line.selectAll()
    QTest.keyClicks(place.page.milk.line, "20 l")
    QTest.keyClick(place, Qt.Key.Key_P, CTRL)
    save_printed()
    qtbot.waitUntil(path.exists)
    text = "".join(page.extract_text() for page in PdfReader(path).pages)
    assert "20 L" in text
    assert str(path) in place.messages.text("plan file")
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(tmp_path / "none" / "s.pdf"))
    place.files.print_sheet()
    save_printed()
    assert "cannot be written" in place.messages.text("plan file")


def test_the_record_of_the_make_stood_on_is_printed(
    window_on, kitchen, tmp_path, qtbot, monkeypatch
) -> None:
    window = window_on(kitchen.journal, place="makes", clock=kitchen.clock)
    qtbot.waitUntil(window.settled)
    path = tmp_path / "record"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(path))
    QTest.keyClick(window.current, Qt.Key.Key_P, CTRL)
    save_printed()
    made = tmp_path / "record.pdf"
    qtbot.waitUntil(made.exists)
    assert "HL-0001" in PdfReader(made).pages[0].extract_text()
    assert "HL-0001" in window.current.messages.text("record")
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(tmp_path / "none" / "r.pdf"))
    window.current.print_record()
    save_printed()
    assert "cannot be written" in window.current.messages.text("record")
