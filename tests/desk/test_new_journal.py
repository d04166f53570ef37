"""A new journal and the makes of before, from nothing: by keys alone and by mouse alone."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale, QObject, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QDialogButtonBox,
    QFileDialog,
    QLineEdit,
    QWidget,
)

from journal.desk import dialogs
from journal.desk import settings as remembered
from journal.desk.bring_in import BringInMakes
from journal.desk.new_journal import AS_SET, METRIC, US, NewJournalDialog, units_now
from journal.desk.preferences import choose, chosen
from journal.keeping import Journal
from journal.records.instants import system_zone
from tests import present
from tests.desk.hands import Hands

ENTER, TAB, LEFT = Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.MouseButton.LeftButton
TABLE = "day;plan;milk L\n2025-03-01;washed curd;12\n2025-04-02;washed curd;10\n"


@pytest.fixture(autouse=True)
def documents(tmp_path: Path, monkeypatch) -> Path:
    folder = tmp_path / "Documents"
    folder.mkdir()
    (folder / "old.csv").write_text(TABLE, encoding="utf-8")
    monkeypatch.setattr(dialogs.QStandardPaths, "writableLocation", lambda _: str(folder))
    return folder


@pytest.fixture
def metric(monkeypatch) -> None:
    monkeypatch.setattr(QLocale, "system", lambda: QLocale("de_DE"))


class Answers(QObject):
    """Answers the dialogs for files that come, one after the other, as a person does there."""

    def __init__(self, parent: QWidget, *acts: Callable[[QFileDialog], object]) -> None:
        super().__init__(parent)
        self.left = list(acts)
        self.timer = QTimer(self)
        self.timer.timeout.connect(self.look)
        self.timer.start(20)

    def look(self) -> None:
        asked = QApplication.activeModalWidget()
        there = isinstance(asked, QFileDialog) and asked.isVisible()
        if there and self.left and self.left[0](asked) is not False:
            self.left.pop(0)


def name_of(asked: QFileDialog) -> QLineEdit:
    return next(one for one in asked.findChildren(QLineEdit) if one.isVisible())


def enter(asked: QFileDialog) -> None:
    QTest.keyClick(name_of(asked), ENTER)


def type_old(asked: QFileDialog) -> None:
    QTest.keyClicks(name_of(asked), "old.csv")
    QTest.keyClick(name_of(asked), ENTER)


def press_first(asked: QFileDialog) -> None:
    box = asked.findChild(QDialogButtonBox)
    standard = QDialogButtonBox.StandardButton
    button = box.button(standard.Save) or box.button(standard.Open)
    QTest.mouseClick(button, LEFT)


def click_old(asked: QFileDialog) -> bool:
    views = [asked.findChild(QAbstractItemView, name) for name in ("listView", "treeView")]
    shown = next(one for one in views if one.isVisible())
    rows = shown.model()
    root = shown.rootIndex()
    listed = [rows.index(row, 0, root) for row in range(rows.rowCount(root))]
    for at in listed:
        if at.data() == "old.csv":
            QTest.mouseClick(shown.viewport(), LEFT, pos=shown.visualRect(at).center())
            press_first(asked)
            return True
    return False  # the folder is still read


def form(qtbot, window) -> NewJournalDialog:
    qtbot.waitUntil(lambda: any(d.isVisible() for d in window.findChildren(NewJournalDialog)))
    shown = next(d for d in window.findChildren(NewJournalDialog) if d.isVisible())
    qtbot.waitUntil(shown.isActiveWindow)
    return shown


def click(parent: QWidget, words: str) -> None:
    button = next(
        one
        for one in parent.findChildren(QAbstractButton)
        if one.isVisible() and words == one.text()
    )
    QTest.mouseClick(button, LEFT)


def imported(qtbot, window) -> BringInMakes:
    qtbot.waitUntil(lambda: any(d.isVisible() for d in window.findChildren(BringInMakes)))
    shown = next(d for d in window.findChildren(BringInMakes) if d.isVisible())
    qtbot.waitUntil(lambda: not shown.work.busy)
    return shown


def close(window) -> None:
    window.close()
    window.journal.close()


def test_enter_enter_is_enough(qtbot, metric, window_on, documents):
    window = window_on(None)
    hands = Hands(window)
    hands.press(Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    shown = form(qtbot, window)
    assert QApplication.focusWidget() is shown.rows.lines["letters"]
    answers = Answers(window, enter)
    hands.press(ENTER)
    qtbot.waitUntil(lambda: window.journal is not None)
    assert not answers.left
    assert window.journal.path == documents / "journal.vatside"
    assert (window.journal.letters, window.journal.zone) == ("VS", system_zone())
    assert chosen(window.settings, "temperature") == "C"
    close(window)


def test_old_makes_by_keys_alone_from_the_first_page(qtbot, metric, window_on):
    window = window_on(None)
    hands = Hands(window)
    for _ in range(20):
        focused = QApplication.focusWidget()
        if isinstance(focused, QAbstractButton) and focused.text() == "I have old makes":
            break
        hands.press(TAB)
    hands.press(Qt.Key.Key_Space)
    form(qtbot, window)
    hands.type("QK").press(TAB).press(Qt.Key.Key_Right)
    Answers(window, enter, type_old)
    hands.press(ENTER)
    shown = imported(qtbot, window)
    assert window.journal.letters == "QK"
    units = {key: chosen(window.settings, key) for key in ("temperature", "mass", "volume")}
    assert units == {"temperature": "F", "mass": "lb", "volume": "gal"}
    shown.close()
    close(window)


def test_old_makes_by_mouse_alone_from_the_sample(
    qtbot, metric, sample_file, window_on, tmp_path, monkeypatch, documents
):
    monkeypatch.setattr(remembered, "data_folder", lambda: tmp_path)
    path = tmp_path / remembered.SAMPLE_NAME
    shutil.copy(sample_file, path)
    window = window_on(Journal.open(path), clock=present.now)
    click(window, "I have old makes")
    shown = form(qtbot, window)
    click(shown, "°F, lb, US gal, in")
    Answers(window, press_first, click_old)
    click(shown, "Choose where…")
    table = imported(qtbot, window)
    assert window.journal.path == documents / "journal.vatside"
    assert chosen(window.settings, "length") == "in"
    assert window.current.messages.text("sample") == ""
    table.close()
    close(window)


def test_what_cannot_be_is_said_and_the_form_stays(qtbot, metric, journal, window_on, documents):
    (documents / "journal.vatside").write_bytes(b"kept")
    window = window_on(journal)
    window.files.new_journal()
    shown = form(qtbot, window)
    hands = Hands(window)
    hands.type("H").press(ENTER)
    assert shown.fault.text().startswith("▲")
    hands.type("L")
    Answers(window, lambda asked: asked.reject())
    hands.press(ENTER)
    assert shown.isVisible()
    assert shown.fault.text() == ""
    hands.press(Qt.Key.Key_Escape)
    assert window.journal is journal
    assert (documents / "journal.vatside").read_bytes() == b"kept"


@pytest.mark.parametrize(("system", "units"), [("de_DE", METRIC), ("en_US", US), ("en_GB", METRIC)])
def test_the_units_at_first_are_those_of_the_system(saved, monkeypatch, system, units):
    monkeypatch.setattr(QLocale, "system", lambda: QLocale(system))
    assert units_now(saved) == units
    choose(saved, "temperature", "F")
    assert units_now(saved) == AS_SET
