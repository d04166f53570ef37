"""The keys: one meaning each in every place, one way to write them, and all of them changed."""

from __future__ import annotations

import re
import tokenize
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAction, QKeySequence, QShortcut
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from journal.desk.commands import Command
from journal.desk.help.dialog import HelpDialog
from journal.desk.keys_page import KeysDialog
from journal.desk.keysheet import KeySheet
from journal.desk.labels import Label
from journal.desk.places import PLACES
from journal.desk.preferences import changed_keys, choose, choose_keys
from journal.desk.sheets.keys import write_keys
from journal.wording.help import help_pages
from journal.wording.key_uses import KEY_USES
from journal.wording.keys import is_single, key_of, key_words, keys_of, spelled, use_keys
from tests import present
from tests.desk.hands import Hands

ROOT = Path(__file__).resolve().parents[2]
OLD_SPELLING = re.compile(r"(Ctrl|Alt|Shift) [A-Z0-9⇧⏎←⌫,+−]|⇧|⌫|⏎")
COPY = {"Ctrl+C", "Ctrl+Ins"}  # as every program has it: what is selected


@pytest.fixture(autouse=True)
def _usual_keys() -> Iterator[None]:
    yield
    use_keys({})


def everywhere(window) -> dict[str, list[Command]]:
    """The commands of every place, of both halves of Plans, and of the window."""
    found = {"": list(window._everywhere())}
    for entry in PLACES:
        window.go(entry.key)
        found[entry.key] = list(window.current.commands())
    plans = window.place("plans")
    plans.open_stock()
    found["stock"] = list(plans.commands())
    plans.back_to_plans()
    return found


def bound(window: QWidget) -> Iterator[tuple[str, str]]:
    """Every key that is bound to anything in the window, with the name of what it is bound to."""
    for action in window.findChildren(QAction):
        for key in action.shortcuts():
            yield key.toString(QKeySequence.SequenceFormat.PortableText), action.objectName()
    for shortcut in window.findChildren(QShortcut):
        yield shortcut.key().toString(QKeySequence.SequenceFormat.PortableText), ""


def test_no_key_has_two_kinds_of_meaning_in_any_place(qtbot, sample, window_on):
    window = window_on(sample, clock=present.now)
    known = {use.name for use in KEY_USES}
    meanings: dict[str, set[str]] = defaultdict(set)
    for place, commands in everywhere(window).items():
        taken: dict[str, str] = {}
        for command in commands:
            uses = command.means or (command.name,)
            if not command.shown:
                assert set(uses) <= known, (place, command.name)
            for use in uses:
                for key in keys_of(use):
                    meanings[key].add(use)
                    assert taken.setdefault(key, command.name) == command.name, (place, key)
    assert {key: uses for key, uses in meanings.items() if len(uses) > 1} == {}
    assert len(meanings) > 120
    # and nothing is bound beside the table
    table = {QKeySequence(key).toString() for use in KEY_USES for key in keys_of(use.name)}
    assert {key for key, _ in bound(window)} - table - COPY == set()


def test_each_use_of_the_table_has_its_own_key_and_is_met():
    keys = [key for use in KEY_USES for key in use.keys]
    assert len(keys) == len(set(keys))
    assert len({use.name for use in KEY_USES}) == len(KEY_USES)
    assert [use.name for use in KEY_USES if "Enter" in " ".join(use.keys)] == []


@pytest.mark.parametrize(
    ("key", "written"),
    [("Ctrl+Return", "Ctrl+Enter"), ("Shift+F1", "Shift+F1"), ("Ctrl++", "Ctrl++"),
     ("Alt+Left", "Alt+←"), ("Ctrl+Shift+L", "Ctrl+Shift+L"), ("Del", "Del"), ("Ctrl+,", "Ctrl+,")],
)  # fmt: skip
def test_a_key_is_written_one_way(key, written):
    assert spelled(key) == written


def test_no_text_of_the_program_writes_a_key_another_way():
    found = []
    for path in sorted((ROOT / "journal").rglob("*.py")):
        with path.open("rb") as file:
            for token in tokenize.tokenize(file.readline):
                if token.type == tokenize.STRING and not token.string.startswith('"""'):
                    found += [f"{path.name}: {token.string}"] * bool(
                        OLD_SPELLING.search(token.string)
                    )
    for path in (ROOT / "README.md", *(ROOT / "resources" / "help").glob("*.md")):
        text = path.read_text(encoding="utf-8")
        found += [f"{path.name}: {hit.group(0)}" for hit in OLD_SPELLING.finditer(text)]
    assert found == []


def test_a_key_is_changed_by_keys_alone_and_all_follow_at_once(qtbot, sample, window_on, saved):
    window, other = window_on(sample, clock=present.now), window_on(sample, clock=present.now)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    hands = Hands(window)
    window.looks.show_keys()
    page = window.findChild(KeysDialog)
    qtbot.waitUntil(page.isActiveWindow)
    page.table.select_where(lambda row: row.use.name == "undo")
    page.table.setFocus()
    hands.press(Qt.Key.Key_Return)
    assert QApplication.focusWidget() is page.line
    hands.press(Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier)
    assert "Let the stage run longer" in page.message.text()
    assert "Vat" in page.message.text()
    hands.press(Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is not page.line  # no trap
    page.line.setFocus()
    hands.press(Qt.Key.Key_F2, Qt.KeyboardModifier.ControlModifier)
    assert page.message.text() == "Ctrl+F2: Undo."
    page.table.setFocus()
    hands.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)  # saves
    assert changed_keys(saved) == {"undo": "Ctrl+F2"}
    assert key_of("undo") == "Ctrl+F2"
    for one in (window, other):
        qtbot.waitUntil(
            lambda one=one: [k.toString() for k in one._actions["undo"].shortcuts()] == ["Ctrl+F2"]
        )
        lines = [f"{line.title}" for part in one.menu_parts() for line in part.commands]
        assert any(line.startswith("Undo") for line in lines)
    assert "Ctrl+F2 undoes one change" in str(help_pages())
    window.help.show_keys()
    sheet = window.findChild(KeySheet)
    assert "Ctrl+F2" in [label.text() for label in sheet.findChildren(Label)]
    sheet.reject()


def test_a_key_that_is_taken_over_leaves_the_other_without_and_goes_back(saved, qtbot):
    parent = QWidget()
    qtbot.addWidget(parent)
    page = KeysDialog(saved, parent)
    page.table.select_where(lambda row: row.use.name == "undo")
    page.take("Ctrl+L")
    page.take("Ctrl+L")  # again: taken from there
    assert "“Let the stage run longer” has no key now" in page.message.text()
    page.table.select_where(lambda row: row.use.name == "longer")
    page.put_back()
    assert "Change that first" in page.message.text()
    for key, word in (("Tab", "everywhere"), ("K", "Ctrl or Alt"), ("Ctrl+C", "copies")):
        page.take(key)
        assert word in page.message.text()
    page.take("Esc")
    page.save()
    assert changed_keys(saved) == {"undo": "Ctrl+L", "longer": "none"}
    use_keys(changed_keys(saved))
    assert keys_of("longer") == ()
    assert key_words("longer") == "“Let the stage run longer”"
    again = KeysDialog(saved, parent)
    again.put_all_back()
    again.save()
    assert changed_keys(saved) == {}


def test_keys_of_a_letter_or_figure_are_switched_off_in_every_place(
    qtbot, sample, window_on, saved
):
    choose(saved, "single_keys", "off")
    window = window_on(sample, clock=present.now)
    commands = everywhere(window)
    keys = [key for ones in commands.values() for one in ones for key in one.keys]
    assert keys
    assert [key for key in keys if is_single(key)] == []
    assert [key for key, _ in bound(window) if is_single(key)] == []
    assert keys_of("act_1") == ()


def test_a_changed_key_does_what_it_means_at_the_vat(qtbot, kitchen, window_on, saved):
    choose_keys(saved, {"longer": "Ctrl+F7", "undo": "Ctrl+F8"})
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(window.settled)
    hands = Hands(window)
    hands.type("31.5").press(Qt.Key.Key_Return)
    assert len(kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")) == 1
    hands.press(Qt.Key.Key_F8, Qt.KeyboardModifier.ControlModifier)
    assert len(kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")) == 0
    hands.press(Qt.Key.Key_F7, Qt.KeyboardModifier.ControlModifier)
    assert isinstance(QApplication.focusWidget(), QLineEdit)
    hands.type("7").press(Qt.Key.Key_Return).type("cold milk").press(Qt.Key.Key_Return)
    runs = kitchen.journal.runs.where(make_id=kitchen.make.id)
    assert sum(run.extra_min for run in runs) == 7


def test_the_list_of_keys_is_printed(tmp_path):
    where = tmp_path / "keys.pdf"
    pages = write_keys([("Everywhere", [("Ctrl+Z", "Undo")] * 80)], where, paper="A4")
    assert pages in (2, 3)
    assert where.read_bytes().startswith(b"%PDF")


# Help within dialogs


def test_help_opens_over_a_dialog_on_what_it_is_about(qtbot, sample, window_on):
    window = window_on(sample, clock=present.now)
    titles = {(page.key, part.title) for page in help_pages() for part in page.parts}
    for asked, page in (
        (window.looks.show_settings, "Settings"), (window.past.show_bin, "Files"),
        (window.help.show_keys, "Settings"), (window.sums.show, "Calculate"),
    ):  # fmt: skip
        asked()
        dialog = QApplication.activeModalWidget() or QApplication.activeWindow()
        qtbot.waitUntil(lambda: QApplication.activeWindow() is not window)
        dialog = QApplication.activeWindow()
        QTest.keyClick(dialog, Qt.Key.Key_F1)
        qtbot.waitUntil(lambda dialog=dialog: dialog.findChild(HelpDialog) is not None)
        shown = dialog.findChild(HelpDialog)
        qtbot.waitUntil(shown.isActiveWindow)
        assert page in shown.windowTitle()
        QTest.keyClick(shown.line, Qt.Key.Key_Escape)
        qtbot.waitUntil(lambda shown=shown: not shown.isVisible())
        dialog.close()
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
    assert ("settings", "Keys") in titles


def test_help_opens_over_a_question_too(qtbot, kitchen, window_on, saved):
    choose(saved, "confirm", "yes")
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    seen = []

    def ask_for_help() -> None:
        box = QApplication.activeModalWidget()
        try:
            qtbot.waitUntil(box.isActiveWindow)
            QTest.keyClick(box, Qt.Key.Key_F1)
            shown = box.findChild(HelpDialog)
            qtbot.waitUntil(shown.isActiveWindow)
            seen.append(shown.windowTitle())
            QTest.keyClick(shown.line, Qt.Key.Key_Escape)
            qtbot.waitUntil(lambda: not shown.isVisible())
        finally:
            box.reject()

    QTimer.singleShot(0, ask_for_help)
    window.current.acts.delete_make()
    assert len(seen) == 1
    assert "Vat" in seen[0]
    assert kitchen.journal.makes.newest(1)  # it was left without an answer


def test_every_topic_of_a_dialog_is_a_page_and_a_part_of_the_help():
    pages = {page.key: [part.title for part in page.parts] for page in help_pages()}
    topics = []
    for path in (ROOT / "journal" / "desk").rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        topics += re.findall(r'^    help_topic = "([^"]+)"', text, re.MULTILINE)
        topics += re.findall(r'bind_help\(self, "([^"]+)"\)', text)
    assert len(topics) > 20
    for topic in topics:
        key, _, part = topic.partition("/")
        assert key in pages, key
        assert not part or part in pages[key], (key, part)
