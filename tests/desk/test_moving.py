"""The journal goes to another computer, and what was written there comes back."""

from __future__ import annotations

import pytest

from journal.desk import dialogs
from journal.exchange.bundle import write_bundle
from journal.keeping import Journal
from journal.records.makes import Note

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
    assert f"They were in {folder}." in again.current.messages.text("photos")
    (tmp_path / "away").rename(folder)
    assert window_on(journal).current.messages.text("photos") == ""
    with Journal.open(journal.path, read_only=True) as other:
        assert other.photos.file(photo).read_bytes() == PNG
