"""The journal goes to another computer, and what was written there comes back."""

from __future__ import annotations

from dataclasses import replace
from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from journal.desk import dialogs
from journal.desk.merging import MergeDialog
from journal.exchange.bundle import write_bundle
from journal.keeping import Journal, KeepingError
from journal.keeping.changes import Changes
from journal.keeping.merging import Merging
from journal.records.makes import Milk, Note
from journal.wording import Style, written_in
from tests.desk.hands import Hands

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(200))


@pytest.fixture
def window(kitchen, journal, window_on):
    return window_on(journal, clock=kitchen.clock)


@pytest.fixture
def photo(kitchen, journal, tmp_path):
    (tmp_path / "cut.png").write_bytes(PNG)
    note = Note(kitchen.start_ms, "curd", kitchen.make.id)
    return journal.photos.save(note, tmp_path / "cut.png").photo


def test_a_bundle_is_written_and_opened_elsewhere(qtbot, window, photo, monkeypatch, tmp_path):
    target, house = tmp_path / "stick", tmp_path / "house"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(target))
    window.run("bundle")
    qtbot.waitUntil(window.settled)
    assert window.current.messages.text("file").startswith(
        f"{target}.vatside.zip holds the journal, 1 photo and 1 plan."
    )
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: f"{target}.vatside.zip")
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(house))
    window.run("open")
    qtbot.waitUntil(lambda: window.journal.path == house / "kitchen.vatside")
    assert window.journal.photos.file(photo).read_bytes() == PNG
    assert window.current.messages.text("file").startswith(f"The journal is {house}/kitchen")
    window.run("open")  # a second time into the same folder
    qtbot.waitUntil(window.settled)
    assert "already" in window.current.messages.text("file")
    window.journal.close()


def test_without_a_journal_a_bundle_is_the_beginning(
    qtbot, journal, window_on, monkeypatch, tmp_path
):
    bundle = write_bundle(journal, tmp_path / "a.vatside.zip").path
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: str(bundle))
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(tmp_path / "house"))
    window = window_on(None)
    window.files.open_journal()
    qtbot.waitUntil(lambda: window.journal is not None)
    assert window.journal.path == tmp_path / "house" / "kitchen.vatside"
    window.journal.close()


def test_where_the_photos_were_is_said_at_opening(
    qtbot, window, window_on, journal, photo, tmp_path
):
    folder = journal.photos.folder
    folder.rename(tmp_path / "away")
    again = window_on(journal)
    assert f"It was in {folder}." in again.current.messages.text("photos")
    (tmp_path / "away").rename(folder)
    assert window_on(journal).current.messages.text("photos") == ""
    with Journal.open(journal.path, read_only=True) as other:
        assert other.photos.file(photo).read_bytes() == PNG


@pytest.fixture
def other(kitchen, journal, tmp_path):
    """Another copy, in which a note and a make came and a note was changed, before that here."""
    note = journal.notes.save(Note(kitchen.start_ms, "curd", kitchen.make.id))
    path = tmp_path / "stick.vatside"
    journal.save_copy(path)
    with Journal.open(path) as copy:
        copy.notes.save(Note(kitchen.start_ms, "whey", kitchen.make.id))
        copy.notes.save(replace(note, text="soft curd"))
        copy.makes.begin(copy.plans.all()[0], Milk(9.0), kitchen.start_ms)
    journal.notes.save(replace(note, text="firm curd"))
    journal.makes.begin(journal.plans.all()[0], Milk(8.0), kitchen.start_ms)
    return path


def shown_for(qtbot, window, monkeypatch, path) -> MergeDialog:
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: str(path))
    window.run("merge")
    shown = window.findChild(MergeDialog)
    qtbot.waitUntil(window.settled)
    return shown


def test_another_copy_is_looked_at_chosen_from_and_merged_by_keys(
    qtbot, window, journal, other, monkeypatch
):
    shown = shown_for(qtbot, window, monkeypatch, other)
    assert "1 make" in shown.comes.text()
    assert "1 note" in shown.comes.text()
    assert shown.more.text() == "Both had make HL-0002. The later one is HL-0003 now."
    [row] = shown.table.rows_model.rows
    columns = shown.table.rows_model.columns
    assert [column.text(row) for column in columns] == [
        "Note of HL-0001", "text", "“firm curd”", "“soft curd”", "this journal",
    ]  # fmt: skip
    assert shown.one.text() == (
        "Note of HL-0001: text is “firm curd” in this journal and “soft curd” in the other copy."
    )
    hands = Hands(window)
    hands.press(Qt.Key.Key_Return)  # the other value is to stand
    assert columns[-1].text(row) == "the other copy"
    shown.merge.setFocus()
    hands.press(Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: window.findChild(MergeDialog) is None)
    assert {note.text for note in journal.notes.all()} == {"soft curd", "whey"}
    codes = {make.milk.litres: make.code for make in journal.makes.all()}
    assert codes == {12.0: "HL-0001", 9.0: "HL-0002", 8.0: "HL-0003"}
    assert window.current.messages.text("file").startswith("Merged stick.vatside. New: 1 make")
    window.undo()
    window.undo()
    assert [note.text for note in journal.notes.all()] == ["firm curd"]


def test_while_it_merges_the_window_lives_and_it_can_be_stopped(
    qtbot, kitchen, window, journal, other, monkeypatch
):
    """The last look whether to go on comes when all is written, before it counts."""
    here, go_on = Event(), Event()

    def waits(merging: Merging, changes: Changes) -> None:
        write(merging, changes)
        here.set()
        assert go_on.wait(20)

    write = Merging.write
    monkeypatch.setattr(Merging, "write", waits)
    for stops in (True, False):
        here.clear()
        go_on.clear()
        before = [note.text for note in journal.notes.all()]
        shown = shown_for(qtbot, window, monkeypatch, other)
        shown.merge.click()
        qtbot.waitUntil(here.is_set)
        assert not shown.merge.isEnabled()
        assert window.isVisible()
        with pytest.raises(KeepingError):  # as a sensor's reading, which comes again
            journal.readings.log(1, "milk-temp", 31.0, kitchen.now_ms)
        assert [note.text for note in journal.notes.all()] == before, "it is not there by halves"
        if stops:
            QTest.keyClick(shown, Qt.Key.Key_Escape)
        go_on.set()
        if stops:
            qtbot.waitUntil(lambda: "Stopped" in shown.comes.text())  # noqa: B023 - waited for here
            assert [note.text for note in journal.notes.all()] == before
            assert shown.merge.isEnabled()
            shown.reject()
        qtbot.waitUntil(lambda: window.findChild(MergeDialog) is None)
    assert {note.text for note in journal.notes.all()} == {"firm curd", "whey"}
    journal.readings.log(1, "milk-temp", 31.0, kitchen.now_ms)
    path = journal.path
    window.close()
    journal.close()
    with Journal.open(path) as later:
        assert later.check() == []
        later.undo()
        later.undo()  # the next window's, too
        assert [note.text for note in later.notes.all()] == ["firm curd"]


def test_a_copy_with_nothing_new_and_a_stranger_are_said(
    qtbot, window, journal, other, monkeypatch, tmp_path
):
    Journal.create(tmp_path / "strange.vatside").close()
    for path, words in ((tmp_path / "strange.vatside", "not copies of one journal"),
                        (journal.path, "journal itself")):  # fmt: skip
        shown = shown_for(qtbot, window, monkeypatch, path)
        assert words in shown.comes.text()
        assert not shown.merge.isEnabled()
        shown.reject()
        qtbot.waitUntil(lambda: window.findChild(MergeDialog) is None)
    journal.save_copy(tmp_path / "same.vatside")
    shown = shown_for(qtbot, window, monkeypatch, tmp_path / "same.vatside")
    assert shown.comes.text() == "There is nothing new in this copy."
    shown.reject()


def test_the_values_both_wrote_are_in_the_units_that_were_chosen(
    qtbot, kitchen, window, journal, monkeypatch, tmp_path
):
    """A US gallon is 3.785 411 784 L (NIST SP 811)."""
    path = tmp_path / "stick.vatside"
    journal.save_copy(path)
    make = journal.makes.get(kitchen.make.id)
    with Journal.open(path) as copy:
        copy.makes.save(replace(make, milk=replace(make.milk, litres=2 * 3.785411784)))
    journal.makes.save(replace(make, milk=replace(make.milk, litres=4 * 3.785411784)))
    with written_in(Style(volume="gal")):
        shown = shown_for(qtbot, window, monkeypatch, path)
        [row] = shown.table.rows_model.rows
        texts = [column.text(row) for column in shown.table.rows_model.columns]
    assert texts[1:4] == ["milk", "4 US gal", "2 US gal"]
