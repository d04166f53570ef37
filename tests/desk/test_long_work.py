"""What takes minutes on a large journal: the window lives on, it says how far it is, and stops."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from zipfile import ZipFile

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMessageBox

from journal.desk import dialogs, under_way
from journal.desk.backups import BackupsDialog
from journal.desk.closing import KEEP, STAY, STOP
from journal.desk.damage import RescueDialog
from journal.exchange import bundle, export
from journal.keeping import Journal, KeepingError, backups, rescue
from tests.desk.hands import Hands
from tests.desk.held import Held, until


@pytest.fixture
def window(kitchen, journal, window_on):
    return window_on(journal, clock=kitchen.clock, place="today")


def files_in(folder) -> list[str]:
    return sorted(one.name for one in folder.rglob("*"))


def sizes_in(folder) -> dict[str, int]:
    """Of a zip the sizes of what is in it: packed, they hang on the second of the day."""
    sizes = {}
    for one in (one for one in folder.rglob("*") if one.is_file()):
        name = one.relative_to(folder).as_posix()
        sizes[name] = one.stat().st_size
        if one.suffix == ".zip":
            del sizes[name]
            with ZipFile(one) as held:
                sizes |= {f"{name} {part.filename}": part.file_size for part in held.infolist()}
    return sizes


@pytest.mark.parametrize(
    ("command", "module", "inside", "words"),
    [
        ("export", export._ExportWriter, "_write_plans", "The export was stopped"),
        ("bundle", bundle, "write_plan_file", "Stopped before it was whole"),
        ("copy", backups, "copy_whole", "Stopped before the copy was whole"),
    ],
)
def test_what_is_written_elsewhere_holds_no_view_up_and_can_be_stopped(
    qtbot, window, journal, monkeypatch, tmp_path, command, module, inside, words
):
    monkeypatch.setattr(under_way, "SHOWN_AFTER_MS", 0)
    to = tmp_path / "out"
    to.mkdir()
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(to / "all"))
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(to / "one"))
    held = Held(monkeypatch, module, inside)
    window.run(command)
    until(qtbot, held.here.is_set)
    shown = window.files.under_way
    until(qtbot, shown.isVisible)
    (line,) = shown.lines.values()
    read = []
    task = window.work.start_file("view", str(journal.path), lambda own, _state: own.letters)
    task.finished.connect(read.append)
    until(qtbot, lambda: read == [journal.letters])
    QTest.mouseClick(line.stop, Qt.MouseButton.LeftButton)
    assert "stopping" in line.label.text()
    held.go_on()
    until(qtbot, window.settled)
    assert window.current.messages.text("file").startswith(words)
    assert files_in(to) == [], "nothing of it is left"
    assert not shown.isVisible()
    window.run(command)
    until(qtbot, window.settled)
    assert files_in(to)


def answer(qtbot, window, words: str) -> None:
    """What the question at closing is answered with."""
    box = window.findChild(QMessageBox)
    found = [one for one in box.buttons() if one.text() == words]
    QTest.mouseClick(found[0], Qt.MouseButton.LeftButton)
    until(qtbot, lambda: window.findChild(QMessageBox) is None)


@pytest.mark.parametrize(
    ("command", "module", "inside"),
    [
        ("export", export._ExportWriter, "_write_plans"),
        ("bundle", bundle, "write_plan_file"),
        ("copy", backups, "copy_whole"),
    ],
)
@pytest.mark.parametrize("words", [KEEP, STOP, STAY])
def test_closing_the_window_asks_what_becomes_of_what_is_under_way(
    qtbot, window, journal, monkeypatch, tmp_path, command, module, inside, words
):
    to, whole = tmp_path / "out", tmp_path / "whole"
    for folder in (whole, to):  # what it writes where nobody disturbs it, and where one closes
        folder.mkdir()
        monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(folder / "all"))  # noqa: B023
        monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(folder / "one"))  # noqa: B023
        if folder == to:
            held = Held(monkeypatch, module, inside)
        window.run(command)
        until(qtbot, held.here.is_set if folder == to else window.settled)
    whole_files = sizes_in(whole)
    assert whole_files
    window.close()
    assert window.isVisible()
    if words == STOP:  # it ends where it is, once it is asked to
        stop = window.work.stop
        monkeypatch.setattr(
            window.work, "stop", lambda name: (stop(name), window.work.waited_for() or held.go_on())
        )
    answer(qtbot, window, words)
    held.go_on()
    until(qtbot, lambda: not window.work.busy)
    until(qtbot, lambda: window.isVisible() == (words == STAY))
    assert sizes_in(to) == (whole_files if words != STOP else {}), "all of it or nothing"
    if words == STAY:
        window.close()
    assert not window.isVisible()


@pytest.mark.parametrize("words", [KEEP, STOP])
def test_closing_asks_too_while_a_dialog_restores(
    qtbot, kitchen, window, journal, monkeypatch, words
):
    make, path = kitchen.make.id, journal.path
    journal.readings.log(make, "milk-temp", 31.5, kitchen.start_ms + 1000)
    journal.back_up(kitchen.after(10))
    journal.readings.log(make, "milk-temp", 32.5, kitchen.start_ms + 2000)
    held = Held(monkeypatch, backups, "_write_over")
    monkeypatch.setattr(backups, "PAGES", 16)  # so that there is a midst
    window.run("backups")
    shown = window.findChild(BackupsDialog)
    until(qtbot, window.settled)
    shown.asking.agreed.emit(shown.table.current())
    until(qtbot, held.here.is_set)
    window.close()
    if words == STOP:
        stop = window.work.stop
        monkeypatch.setattr(
            window.work, "stop", lambda name: (stop(name), window.work.waited_for() or held.go_on())
        )
    answer(qtbot, window, words)
    held.go_on()
    until(qtbot, lambda: not window.isVisible() and not window.work.busy)
    window.journal.close()
    with Journal.open(path, read_only=True) as again:
        assert again.check() == []
        found = again.readings.trace(make, "milk-temp").value.tolist()
    assert found == ([31.5] if words == KEEP else [31.5, 32.5])
    assert not list(path.parent.rglob("*.half*"))


def test_what_fails_meanwhile_is_said_in_a_window_that_stays(qtbot, window, monkeypatch, tmp_path):
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(tmp_path / "all"))
    held = Held(monkeypatch, export._ExportWriter, "_write_plans")
    window.run("export")
    until(qtbot, held.here.is_set)
    window.close()
    answer(qtbot, window, KEEP)
    (tmp_path / "all").write_text("a file of that name")
    held.go_on()
    until(qtbot, lambda: not window.work.busy)
    until(qtbot, lambda: window.current.messages.text("file") != "")
    assert window.isVisible()
    window.close()
    assert not window.isVisible()


def test_where_it_is_done_before_anybody_answers_the_window_closes(
    qtbot, window, monkeypatch, tmp_path
):
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(tmp_path / "all"))
    held = Held(monkeypatch, export._ExportWriter, "_write_plans")
    window.run("export")
    until(qtbot, held.here.is_set)
    window.close()
    assert window.findChild(QMessageBox) is not None
    held.go_on()
    until(qtbot, lambda: not window.isVisible())
    assert files_in(tmp_path / "all")


def test_another_journal_ends_an_export_with_a_word(qtbot, window, journal, monkeypatch, tmp_path):
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(tmp_path / "all"))
    held = Held(monkeypatch, export._ExportWriter, "_write_plans")
    window.run("export")
    until(qtbot, held.here.is_set)
    stop = window.work.stop

    def stops(name: str) -> None:
        stop(name)
        if not window.work.waited_for():
            held.go_on()

    monkeypatch.setattr(window.work, "stop", stops)
    window.take(journal)
    until(qtbot, lambda: "Exporting everything: stopped" in window.current.messages.text("file"))
    assert not (tmp_path / "all").exists()


def test_while_it_restores_the_window_lives_and_it_can_be_stopped(
    qtbot, kitchen, window, journal, monkeypatch
):
    make, path = kitchen.make.id, journal.path
    journal.readings.log(make, "milk-temp", 31.5, kitchen.start_ms + 1000)
    journal.back_up(kitchen.after(10))
    journal.readings.log(make, "milk-temp", 32.5, kitchen.start_ms + 2000)
    held = Held(monkeypatch, backups, "_write_over")
    monkeypatch.setattr(backups, "PAGES", 16)  # so that there is a midst
    for stops in (True, False):
        held.here.clear()
        held._go_on.clear()
        kitchen.after(20)
        window.run("backups")
        shown = window.findChild(BackupsDialog)
        until(qtbot, window.settled)
        shown.table.select(len(shown.table.rows) - 1)
        until(qtbot, window.settled)
        shown._on_restore()
        shown.asking.agreed.emit(shown.table.current())
        until(qtbot, held.here.is_set)
        until(qtbot, lambda: "Restoring, 90 %" in shown.holds.text())  # noqa: B023
        assert (shown.away.text(), shown.back.isEnabled()) == ("Stop", False)
        assert journal.readings.trace(make, "milk-temp").value.tolist() == [31.5, 32.5]
        if stops:
            QTest.keyClick(shown, Qt.Key.Key_Escape)
            held.go_on()
            until(qtbot, lambda: "The journal is as it was" in shown.holds.text())  # noqa: B023
            assert (shown.away.text(), shown.isVisible()) == ("Close", True)
            assert journal.readings.trace(make, "milk-temp").value.tolist() == [31.5, 32.5]
            assert journal.check() == []
            QTest.keyClick(shown, Qt.Key.Key_Escape)
            until(qtbot, lambda: window.findChild(BackupsDialog) is None)
        else:
            held.go_on()
            until(qtbot, lambda: "Restored" in window.current.messages.text("file"))
    assert window.journal.readings.trace(make, "milk-temp").value.tolist() == [31.5]
    window.close()
    window.journal.close()
    with Journal.open(path, read_only=True) as again:
        assert again.check() == []


def test_a_rescue_says_how_far_it_is_and_can_be_stopped(
    qtbot, sample_file, window_on, monkeypatch, tmp_path
):
    path, out = tmp_path / "old.vatside", tmp_path / "out" / "saved.vatside"
    out.parent.mkdir()
    path.write_bytes(sample_file.read_bytes())
    window = window_on(None)
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(out))
    held = Held(monkeypatch, rescue, "_drop_what_hangs")
    window.damage.rescue(path)
    shown = window.findChild(RescueDialog)
    until(qtbot, held.here.is_set)
    until(qtbot, lambda: "%" in shown.says.text())
    QTest.keyClick(shown, Qt.Key.Key_Escape)
    assert shown.isVisible()
    held.go_on()
    until(qtbot, lambda: "Nothing was saved" in shown.says.text())
    assert files_in(out.parent) == []
    assert not shown.show_it.isEnabled()
    assert shown.away.text() == "Close"
    Hands(shown).press(Qt.Key.Key_Escape)
    until(qtbot, lambda: window.findChild(RescueDialog) is None)


def test_a_restore_that_is_stopped_in_its_last_piece_leaves_what_was(journal, kitchen, monkeypatch):
    """It is written in pieces within one transaction: none of them counts before the last."""
    journal.readings.log(kitchen.make.id, "milk-temp", 31.5, kitchen.start_ms + 1000)
    made = journal.back_up(kitchen.after(10))
    journal.readings.log(kitchen.make.id, "milk-temp", 32.5, kitchen.start_ms + 2000)
    monkeypatch.setattr(backups, "PAGES", 16)
    shares: list[float] = []
    with pytest.raises(KeepingError) as refused:
        backups.restore(
            journal.path, made.path, kitchen.after(20),
            lambda: bool(shares) and shares[-1] > 0.95, shares.append,
        )  # fmt: skip
    assert refused.value.id == "keeping.restore-stopped"
    assert shares == sorted(shares)
    assert len(journal.readings.trace(kitchen.make.id, "milk-temp")) == 2
    path = journal.path
    journal.close()
    with closing(sqlite3.connect(path)) as plain:
        assert plain.execute("pragma integrity_check").fetchone() == ("ok",)
        assert plain.execute("select count(*) from reading_log").fetchone() == (2,)


@pytest.fixture
def exported(qtbot, window, monkeypatch, tmp_path):
    """An export that is held in its midst, to a folder of that name."""
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(tmp_path / "all"))
    held = Held(monkeypatch, export._ExportWriter, "_write_plans")
    window.run("export")
    until(qtbot, held.here.is_set)
    yield held
    held.go_on()


def asked(window) -> QMessageBox | None:
    return window.findChild(QMessageBox)


def turn(qtbot) -> None:
    """Until what was put off to the next turn is done: it would close the window."""
    done: list[bool] = []
    QTimer.singleShot(0, lambda: done.append(True))
    until(qtbot, lambda: done == [True])


def test_the_question_closed_by_its_title_bar_leaves_the_window_open_and_is_asked_again(
    qtbot, window, exported, tmp_path
):
    for _ in range(2):
        window.close()
        asked(window).close()
        until(qtbot, lambda: asked(window) is None)
        assert window.isVisible()
    exported.go_on()
    until(qtbot, lambda: not window.work.busy)
    assert "exported" in window.current.messages.text("file").lower()
    assert window.isVisible()
    window.close()
    assert not window.isVisible()


def test_what_fails_while_the_question_stands_closes_the_question_alone(
    qtbot, window, exported, tmp_path
):
    (tmp_path / "all").write_text("a file of that name")
    window.close()
    exported.go_on()
    until(qtbot, lambda: asked(window) is None and not window.work.busy)
    turn(qtbot)
    assert window.isVisible()
    assert window.current.messages.text("file") != ""
    window.close()
    assert not window.isVisible()


def test_what_was_begun_after_the_answer_and_failed_is_said_too(
    qtbot, window, exported, monkeypatch, tmp_path
):
    (tmp_path / "no folder").write_text("")
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(tmp_path / "no folder" / "one"))
    window.close()
    answer(qtbot, window, KEEP)
    window.run("copy")
    until(qtbot, lambda: "could not be written" in window.current.messages.text("file"))
    exported.go_on()
    until(qtbot, lambda: not window.work.busy)
    turn(qtbot)
    assert window.isVisible()
    assert files_in(tmp_path / "all")
