"""What a screen reader finds in every place, by Qt's own tree, and what it is told unasked."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLineEdit,
    QWidget,
)

from journal.desk import dialogs, under_way
from journal.desk.charts.chart import Chart
from journal.desk.compare.ribbons import RibbonsView
from journal.desk.drawn import DrawnWidget
from journal.desk.new_journal import NewJournalDialog
from journal.desk.pages import Divider
from journal.desk.places import PLACES
from journal.desk.settings_page import SettingsDialog
from tests import present
from tests.desk.hands import Hands

Role, Text = QAccessible.Role, QAccessible.Text
PICTURES = {Role.Chart, Role.Graphic}
WHOLE = {Role.List, Role.Table, Role.Tree}  # their rows are theirs to tell
WORDS = {Role.StaticText, Role.EditableText, Role.Button, *WHOLE}
ROLES: tuple[tuple[type[QWidget] | tuple[type[QWidget], ...], set[Role]], ...] = (
    (QAbstractButton, {Role.Button, Role.CheckBox, Role.RadioButton}),
    (QLineEdit, {Role.EditableText}),
    (QComboBox, {Role.ComboBox}),
    (QAbstractItemView, WHOLE),
    ((Chart, RibbonsView), {Role.Chart}),
    (DrawnWidget, {Role.Graphic}),
)


def announced(one) -> Iterator:
    """All that is seen, in the order in which a screen reader walks it."""
    if one.state().invisible:
        return
    yield one
    if one.role() not in WHOLE:
        for index in range(one.childCount()):
            child = one.child(index)
            if child is not None and child.isValid():
                yield from announced(child)


def name_of(one) -> str:
    """What it is called; a list to choose from on Linux by the label beside it."""
    if one.role() != Role.ComboBox:
        return one.text(Text.Name)
    label = QAccessible.RelationFlag.Label
    return " ".join(other.text(Text.Name) for other, kind in one.relations() if kind == label)


def faults(window: QWidget) -> list[str]:
    found = []
    for one in announced(QAccessible.queryAccessibleInterface(window)):
        widget, name = one.object(), name_of(one).strip()
        kind = f"{type(widget).__name__} ({one.role()}) “{name[:40]}”"
        expected = next((roles for known, roles in ROLES if isinstance(widget, known)), None)
        if expected is not None and one.role() not in expected:
            found.append(f"{kind}: not the role")
        control = expected is not None or one.state().focusable or one.role() == Role.MenuItem
        if control and not name:
            found.append(f"{kind}: no name")
        if one.role() in PICTURES and not one.text(Text.Description).strip():
            found.append(f"{kind}: no description")
    return found


def words_come_first(window: QWidget) -> bool:
    """In each pair of pages the left one is read first, and words come before any picture."""
    for pair in window.findChildren(Divider):
        if not pair.isVisible():
            continue
        heard = QAccessible.queryAccessibleInterface(pair)
        if heard.child(0).object() is not pair.widget(0):
            return False
        roles = [one.role() for one in announced(heard) if one.role() in WORDS | PICTURES]
        if roles and roles[0] in PICTURES:
            return False
    return True


def walk(window, qtbot) -> dict[str, list[str]]:
    out = {}
    for entry in PLACES:
        window.go(entry.key)
        qtbot.waitUntil(window.settled, timeout=60_000)
        QApplication.processEvents()
        out[entry.key] = faults(window) + ([] if words_come_first(window) else ["picture first"])
    return out


def test_every_place_of_the_sample_is_told_whole(qtbot, sample, window_on):
    window = window_on(sample, clock=present.now)
    window.resize(1440, 900)
    assert walk(window, qtbot) == {entry.key: [] for entry in PLACES}


def test_every_place_of_an_empty_journal_is_told_whole(qtbot, journal, window_on):
    window = window_on(journal, clock=present.now)
    window.resize(1440, 900)
    assert walk(window, qtbot) == {entry.key: [] for entry in PLACES}


def test_the_first_page_the_new_journal_and_the_settings_are_told_whole(qtbot, window_on):
    window = window_on(None)
    assert faults(window) == []
    window.files.new_journal()
    window.looks.show_settings()
    for kind in (NewJournalDialog, SettingsDialog):
        shown = window.findChild(kind)
        qtbot.waitUntil(shown.isVisible)
        assert faults(shown) == []
        shown.reject()


# What is said without being asked for


def test_saved_refused_and_doubted_at_the_vat(vat, hands, heard):
    hands.type("36.5").press(Qt.Key.Key_Return)
    assert heard == [("Saved 36.5 °C.", False)]
    heard.clear()
    hands.type("warm").press(Qt.Key.Key_Return)
    assert len(heard) == 1
    assert heard[0][1]
    assert "warm" in heard[0][0]
    heard.clear()
    line = QApplication.focusWidget()
    line.selectAll()
    hands.type("13.5").press(Qt.Key.Key_Return)
    assert len(heard) == 1
    assert heard[0][1]
    assert heard[0][0].endswith("Enter saves it, marked as doubtful.")


@pytest.mark.parametrize("place", ["vat", "today"])
def test_an_alarm_is_said_at_once_wherever_one_is(qtbot, kitchen, window_on, heard, place):
    window = window_on(kitchen.journal, clock=kitchen.clock, place=place)
    qtbot.waitUntil(window.settled)
    heard.clear()
    kitchen.after(30.1)
    window.desk.alarm.tick()
    assert [one for one in heard if "was due to end" in one[0]] == [
        ("HL-0001: warming was due to end at 09:30.", True)
    ]


def test_work_that_is_done_is_said(qtbot, journal, window_on, heard, tmp_path, monkeypatch):
    where = tmp_path / "copies" / "kept.vatside"
    where.parent.mkdir()
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(where))
    monkeypatch.setattr(under_way, "SHOWN_AFTER_MS", 600_000)  # soon done: no word on the way
    window = window_on(journal)
    window.files.save_copy()
    qtbot.waitUntil(window.settled)
    assert where.exists()
    assert heard == [(f"A copy was saved as {where}.", False)]


def test_nothing_found_is_said_and_seen(qtbot, sample, window_on, heard):
    window = window_on(sample, clock=present.now, place="makes")
    qtbot.waitUntil(window.settled, timeout=60_000)
    window.run("filter")
    hands = Hands(window)
    hands.type("qqq")
    assert heard[-1][0].endswith("matches “qqq”. Esc shows all.")
    window.open_finder()
    hands.type("xyzzy")
    assert heard[-1] == ("Nothing matches “xyzzy”.", False)
    assert window._finder.finder.none.isVisible()
    hands.press(Qt.Key.Key_Backspace)
    assert heard[-1] == ("Nothing matches “xyzz”.", False)
    hands.press(Qt.Key.Key_Escape)


def test_how_far_work_is_is_said_at_its_quarters(qtbot, sample, window_on, heard):
    window = window_on(sample, clock=present.now, place="findings")
    busy = window.current.busy
    qtbot.waitUntil(window.settled, timeout=60_000)
    heard.clear()
    for share in (0.0, 0.1, 0.3, 0.4, 0.6, 0.9, 1.0):
        busy.show_progress(share, "Reading the makes")
    assert [words for words, _ in heard] == [
        f"Reading the makes, {percent} %" for percent in (25, 50, 75)
    ]
