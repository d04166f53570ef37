"""The window: places by key, the finder, undo, another journal, and what it loads to be up."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from journal.desk import app, dialogs
from journal.desk import settings as remembered
from journal.desk.find import Findable, matching
from journal.desk.new_journal import NewJournalDialog
from journal.desk.pages import Divider
from journal.desk.places import PLACES, first_place
from journal.keeping import Journal
from journal.message import Message
from journal.records import own_files
from journal.records.makes import Milk, Note
from journal.wording import text_of
from tests.desk.conftest import cheddar_like

CTRL = Qt.KeyboardModifier.ControlModifier


def test_loading_the_window_leaves_the_heavy_parts_alone():
    code = (
        "import sys, journal.desk.window, journal.desk.app\n"
        "print(sorted(m for m in ('scipy', 'pint', 'sqlite_utils', 'pyqtgraph', 'openpyxl') "
        "if m in sys.modules))"
    )
    output = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert output.stdout.strip() == "[]"


def test_staying_where_one_is(qtbot, kitchen, window_on):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    first = window.current
    assert window.top._group.checkedButton().text() == "Vat"
    QTest.keyClick(window, Qt.Key.Key_4, CTRL)
    assert window.current is first


def test_the_finder_runs_a_command(qtbot, kitchen, window_on):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    QTest.keyClick(window, Qt.Key.Key_K, CTRL)
    finder = window._finder.finder
    assert finder.isVisible()
    qtbot.keyClicks(finder.line, "late read")
    assert finder.list.current().words == "Add a late reading"
    qtbot.keyClick(finder.line, Qt.Key.Key_Return)
    assert not finder.isVisible()
    assert not window.current.page.entry.late.isHidden()


def test_the_finder_finds_makes_plans_and_places(qtbot, kitchen, window_on):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    window.open_finder()
    for typed, kind in (
        ("0001", "make"),
        ("dry-s", "make"),
        ("findi", "place"),
        ("salted", "plan"),
    ):
        window._finder.finder.line.setText(typed)
        rows = window._finder.finder.list.rows_model.rows
        assert any(row.beside.startswith(kind) for row in rows), typed
    qtbot.keyClick(window._finder.finder.line, Qt.Key.Key_Escape)
    assert not window._finder.finder.isVisible()


def test_a_beginning_is_found_before_a_middle():
    things = [Findable(w, "plan", ("plan", w)) for w in ("blue cheese", "see blue", "unblued")]
    assert [t.words for t in matching(things, "blue", 3)] == ["blue cheese", "see blue", "unblued"]
    assert matching(things, "nothing", 3) == []


def test_undo_says_what_and_is_off_when_there_is_nothing(qtbot, journal, window_on):
    window = window_on(journal, place="vat")
    assert not window.can_undo()
    journal.set_setting("x", "y")
    assert not window.can_undo()


def test_every_command_has_its_handler_and_no_key_twice(kitchen, window_on):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    table = (*window.commands(), *window.current.commands())
    keys = [key for command in table for key in command.keys]
    assert len(keys) == len(set(keys))
    for command in table:
        assert callable(command.run)
        assert isinstance(command.is_enabled(), bool)


def test_the_menu_names_what_undo_would_undo(qtbot, kitchen, window_on):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    kitchen.journal.makes.end_stage(kitchen.make.id, kitchen.after(30))
    menu = window.menus.menu_named("Edit")
    menu.aboutToShow.emit()
    assert "Undo: finish warm\tCtrl+Z" in [entry.text() for entry in menu.actions()]


def test_the_key_sheet_lists_the_place_too(qtbot, kitchen, window_on):
    from journal.desk.keysheet import KeySheet
    from journal.desk.labels import Label

    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    QTest.keyClick(window, Qt.Key.Key_F1, Qt.KeyboardModifier.ShiftModifier)
    sheet = window.findChild(KeySheet)
    words = {label.text() for label in sheet.findChildren(Label)}
    assert {"Add a late reading", "F6", "Find", "Go to Findings"} <= words
    sheet.close()


def test_the_divider_moves_and_remembers(qtbot, kitchen, window_on, saved):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    window.resize(QSize(1400, 800))
    divider = window.current.findChild(Divider)
    divider.moveSplitter(600, 1)
    assert saved.value("divider/vat", type=float) == pytest.approx(600 / 1400, abs=0.02)
    again = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    again.resize(QSize(1400, 800))
    assert again.current.findChild(Divider).sizes()[0] == pytest.approx(600, abs=12)


def test_a_message_is_shown_and_put_away(qtbot, journal, window_on):
    place = window_on(journal, place="vat").current
    place.say("disk", "The disk is full. Make room and try again.")
    assert place.messages.isVisible()
    assert place.messages.text("disk").startswith("The disk is full")
    place.say("disk", "Kept.", attention=False)
    assert place.messages.text("disk") == "Kept."
    place.clear("disk")
    assert not place.messages.isVisible()
    assert place.messages.text("disk") == ""


def test_another_journal_is_opened_by_key(qtbot, kitchen, window_on, tmp_path, monkeypatch):
    other = tmp_path / "other.vatside"
    Journal.create(other, letters="OT", zone="UTC").close()
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    monkeypatch.setattr(dialogs, "ask_open", lambda *_args: str(other))
    QTest.keyClick(window, Qt.Key.Key_O, CTRL)
    assert window.journal.letters == "OT"
    assert remembered.recent(window.settings)[0] == str(other)
    window.journal.close()


def test_a_file_that_is_no_journal_leaves_the_one_open(kitchen, window_on, tmp_path, monkeypatch):
    wrong = tmp_path / "milk.vatside"
    wrong.write_text("not a journal at all, only some words about milk and rennet " * 40)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    window.files.open_path(str(wrong))
    assert window.journal is kitchen.journal
    assert window.current.messages.text("file")
    assert wrong.read_text().startswith("not a journal")


def test_without_a_journal_it_says_how_to_begin(qtbot, window_on, tmp_path, saved):
    journal, sentence = app.first_journal(str(tmp_path / "missing.vatside"), saved)
    assert journal is None
    assert "Choose another journal" in sentence
    window = window_on(None, sentence=sentence)
    assert window.current is None
    assert not window.has_journal()
    for command in window.commands():
        if command.enabled:
            assert not command.is_enabled()
    window.findChild(QAction, "undo").trigger()


def test_it_opens_where_it_was_left_and_on_the_make_that_runs(kitchen, window_on, saved):
    """A journal that was open before: at its running make, else in the place it was left in."""
    assert first_place(kitchen.journal, saved) == "today"
    window = window_on(kitchen.journal, clock=kitchen.clock, place="plans")
    window.resize(QSize(900, 650))  # the screen of the tests is 800 px high
    window.close()
    assert first_place(kitchen.journal, saved) == "vat"
    empty = window_on(None, as_left=True)  # as while an older one is updated at the start
    empty.files.open_path(str(kitchen.journal.path))
    assert empty.current.key == "vat"
    empty.go("plans")
    empty.close()
    empty.journal.close()
    kitchen.journal.makes.finish(kitchen.make.id, [], kitchen.after(60))
    assert first_place(kitchen.journal, saved) == "plans"
    again = window_on(kitchen.journal, clock=kitchen.clock, as_left=True)
    assert again.size() == QSize(900, 650)


def test_a_window_stays_on_the_screen_there_is(qapp, qtbot, saved):
    """Left on a larger screen beside; or that screen is unplugged while it stands there."""
    room = QGuiApplication.primaryScreen().availableGeometry()
    before, again = QWidget(), QWidget()
    for window in (before, again):
        qtbot.addWidget(window)
    before.setGeometry(room.right() + 900, room.bottom() + 700, 3000, 2000)
    remembered.remember_window(before, saved, "")
    remembered.put_back(again, saved, QSize(600, 400))
    assert room.contains(again.geometry())
    again.setGeometry(-2000, room.bottom() + 300, 500, 400)
    qapp.screenRemoved.emit(QGuiApplication.primaryScreen())
    qtbot.waitUntil(lambda: room.contains(again.geometry()))
    assert again.size() == QSize(500, 400)  # as large as it was, since there is room


def test_the_last_journal_is_opened_again(kitchen, saved):
    remembered.remember(saved, str(kitchen.journal.path))
    journal, sentence = app.first_journal(None, saved)
    assert sentence == ""
    assert journal.path.resolve() == kitchen.journal.path.resolve()
    journal.close()


def test_a_new_journal_and_an_export_are_proposed_among_the_documents(
    qtbot, kitchen, window_on, tmp_path, monkeypatch
):
    """Never where the program was started: there a clean-up takes them away."""
    documents, asked = tmp_path / "Documents", []
    documents.mkdir()
    monkeypatch.setattr(dialogs.QStandardPaths, "writableLocation", lambda _: str(documents))
    monkeypatch.chdir(tmp_path)

    def look(dialog) -> bool:
        chosen = dialog.selectedFiles()
        asked.append((dialog.directory().path(), [Path(one).name for one in chosen]))
        return False

    monkeypatch.setattr(dialogs.QFileDialog, "exec", look)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    window.files.new_journal()
    window.findChild(NewJournalDialog).ask_where()
    window.files.export()
    window.current.chart._pictures.ask(".png")
    where = str(documents)
    assert asked[0] == (where, ["journal.vatside"])
    assert asked[1][0] == where
    assert asked[2] == (where, ["chart.png"])


def test_a_journal_in_the_programs_own_folder_is_said_to_be(
    qtbot, window_on, tmp_path, monkeypatch, journal
):
    own = tmp_path / "vatside"
    text_of(Message("records.in-own-folder", name="", folder=""))  # its file is read by then
    monkeypatch.setattr(own_files, "__file__", str(own / "journal" / "records" / "own_files.py"))
    (own / "resources").mkdir(parents=True)
    path = own / "mine.vatside"
    with Journal.create(path) as inside:
        window = window_on(inside, place="makes")
        output = window.current.messages.text("folder")
        assert output.startswith(f"mine.vatside is in the folder of the program itself, {own}")
        assert "move it, with its folder of photos, to your documents" in output
        window.take(journal)
        assert window.current.messages.text("folder") == ""
        window.close()


def test_the_sample_is_made_whole_and_beside_no_program(tmp_path):
    with app.sample_journal(tmp_path / "data") as made:
        assert [entry.name for entry in (tmp_path / "data").glob("*.vatside")] == [made.path.name]
        with app.sample_journal(tmp_path / "data") as again:
            assert again.makes.all() == made.makes.all()


def test_what_changed_while_a_place_was_hidden_comes_whole(kitchen, window_on, monkeypatch):
    """Of several changes every make and every kind is heard of, not those of the last alone."""
    window = window_on(kitchen.journal, clock=kitchen.clock, place="makes")
    hidden, heard = window.current, []
    window.go("today")
    other = kitchen.journal.makes.begin(cheddar_like(), Milk(9.0), kitchen.now_ms)
    kitchen.journal.readings.log(kitchen.make.id, "milk-temp", 30.0, kitchen.now_ms)
    kitchen.journal.notes.save(Note(kitchen.now_ms, "foam", other.id))
    monkeypatch.setattr(hidden, "on_change", heard.append)
    window.go("makes")
    (change,) = heard
    assert {kitchen.make.id, other.id} <= change.makes
    assert {"make", "reading", "note"} <= change.kinds


def test_every_place_is_one_key_away(qtbot, sample, window_on):
    window = window_on(sample, place="vat")
    for number, entry in enumerate(PLACES):
        QTest.keyClick(window, Qt.Key(Qt.Key.Key_1 + number), CTRL)
        qtbot.waitUntil(window.settled, timeout=20_000)
        assert window.current.key == entry.key
        assert window.current.title == entry.title
        assert window.top._group.checkedButton().text() == entry.title


class Windows(QObject):
    """Notes what is shown as a window of its own."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.shown.append(type(watched).__name__)
        return False


def test_no_place_opens_a_window_of_its_own_and_takes_the_keyboard(qtbot, qapp, kitchen, window_on):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    noted = Windows()
    qapp.installEventFilter(noted)
    try:
        for entry in PLACES:
            window.go(entry.key)
            qtbot.waitUntil(window.settled)
    finally:
        qapp.removeEventFilter(noted)
    assert noted.shown == []
    assert window.isActiveWindow()
