"""The window beside other programs on one journal: nothing acknowledged is missing, and no lock
is lost ("How to corrupt an SQLite database file", section 2.2), also by a kill."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QFileDialog

from journal.desk import dialogs
from journal.desk.bring_in import BringIn
from journal.exchange import ExchangeError
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import understand
from journal.exchange.plan_files import read_plan_file
from journal.exchange.sensors.tail import Tail
from journal.exchange.spreadsheet import read_foreign
from journal.keeping import Journal, KeepingError
from journal.records.instants import from_iso
from journal.records.makes import Note
from journal.records.sources import FILE, Source
from journal.sample import write_sample
from journal.wording import text_of
from tests.desk.conftest import Kitchen

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads /proc")

LOGGED = [29.31, 29.32, 29.33]  # by a logger's file, watched from beside
ENV = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}

_WINDOW = """
import sys
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from journal.desk.window import Window
from journal.keeping import Journal
app = QApplication([])
journal = Journal.open(sys.argv[1])
settings = QSettings(sys.argv[2], QSettings.Format.IniFormat)
now = [int(sys.argv[3])]
window = Window(journal, clock=lambda: now[0], settings=settings, place="vat")
window.show()
print("shown", flush=True)
for line in sys.stdin:
    now[0] += 60_000
    word = line.strip()
    if word == "close":
        window.close()
        journal.close()
        break
    if word in ("makes", "compare", "vat"):
        window.go(word)
    else:
        QTest.keyClicks(window.current.page.entry.temp.line, word)
        QTest.keyClick(window.current.page.entry.temp.line, Qt.Key.Key_Return)
        assert journal.readings.last(1, 1)[0].value == float(word)
    while not window.settled():
        QTest.qWait(5)
    print(word, flush=True)
"""


class Beside:
    """A window in a process of its own, told what to do a line at a time."""

    def __init__(self, kitchen: Kitchen, settings: str) -> None:
        self.kitchen = kitchen
        self.path = kitchen.journal.path
        kitchen.journal.close()
        words = [sys.executable, "-c", _WINDOW, str(self.path), settings, str(kitchen.now_ms)]
        self.process = subprocess.Popen(
            words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=ENV
        )
        self.saved: list[float] = []
        assert self.process.stdout.readline() == "shown\n"

    def do(self, word: str) -> None:
        self.process.stdin.write(f"{word}\n")
        self.process.stdin.flush()
        assert self.process.stdout.readline() == f"{word}\n"
        with suppress(ValueError):
            self.saved.append(float(word))

    def commands(self, *many: tuple[str, ...]) -> None:
        """Run commands on the same journal, all at once."""
        started = [
            subprocess.Popen(
                [sys.executable, "-m", "journal.command", words[0], str(self.path), *words[1:]],
                stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            )
            for words in many
        ]  # fmt: skip
        for words, process in zip(many, started, strict=True):
            out, err = process.communicate(timeout=60)
            assert process.returncode == 0, (words, out, err)
            if words[0] == "log":
                assert out.startswith("Saved")
                self.saved.append(float(words[3]))

    def deleted(self) -> list[str]:
        """What the window still writes to though it is gone from the folder."""
        folder = Path(f"/proc/{self.process.pid}/fd")
        found = [os.readlink(entry) for entry in folder.iterdir() if entry.is_symlink()]
        return [name for name in found if name.endswith("(deleted)") and self.path.name in name]

    def missing(self) -> list[float]:
        """What was acknowledged and is not in the file."""
        with Journal.open(self.path, read_only=True) as journal:
            there = journal.readings.trace(1, "milk-temp").value.round(3).tolist()
            assert journal.check() == []
        return [value for value in self.saved if value not in there]

    def a_day(self) -> None:
        """Readings by key and by command in turn, background work, several commands at once, one of
        them watching a logger's file."""
        self.do("30.1")
        self.commands(("makes",))
        self.do("30.2")
        self.do("compare")
        self.commands(("log", "latest", "milk-temp", "30.3", "--at", "2026-03-14T10:04"))
        self.do("vat")
        self.do("30.4")
        self.commands(
            ("makes",),
            ("watch", "latest", "--sensor", "probe", "--for", "1s"),
            *(
                ("log", "latest", "milk-temp", f"30.{n}", "--at", f"2026-03-14T10:{n:02}")
                for n in (51, 52)
            ),
        )
        self.saved += LOGGED
        self.do("30.5")


@pytest.fixture
def beside(kitchen, saved) -> Iterator[Beside]:
    kitchen.to_stage(4)
    kitchen.after(120)
    logger = kitchen.journal.path.with_name("logger.csv")
    rows = [f"2026-03-14 10:30:{k:02},{value}" for k, value in enumerate(LOGGED)]
    logger.write_text("\n".join(["Time,Probe (°C)", *rows, ""]), encoding="utf-8")
    mapping = understand(read_table(logger)).mapping.to_dict()
    settings = json.dumps({"path": str(logger), "mapping": mapping})
    kitchen.journal.sources.save(Source("probe", FILE, "milk-temp", "", settings))
    made = Beside(kitchen, saved.fileName())
    yield made
    made.process.kill()
    made.process.wait()
    made.process.stdin.close()
    made.process.stdout.close()


def test_nothing_kept_is_missing_when_the_window_is_killed(beside):
    beside.a_day()
    assert beside.deleted() == []
    beside.process.send_signal(signal.SIGKILL)
    assert beside.process.wait() == -signal.SIGKILL
    assert len(beside.saved) == 7 + len(LOGGED)
    assert beside.missing() == []


def test_nothing_that_a_command_kept_is_missing_when_the_window_closes(beside):
    beside.a_day()
    beside.do("30.6")
    beside.process.stdin.write("close\n")
    beside.process.stdin.flush()
    assert beside.process.wait() == 0
    assert beside.missing() == []
    names = [entry.name for entry in beside.path.parent.iterdir()]
    assert f"{beside.path.name}-wal" not in names


def test_files_are_chosen_in_one_way_alone():
    """Another dialog would look into the journal to find its icon."""
    desk = Path(dialogs.__file__).parent
    named = [path for path in desk.rglob("*.py") if "QFileDialog" in path.read_text("utf-8")]
    assert named == [desk / "dialogs.py"]


# No lock is lost, whatever the window does with files

_HOLDER = """
import fcntl, struct, sys
FIRST, SIZE = 0x40000002, 510  # the bytes that a connection of SQLite shares while it is open
for path in sys.stdin:
    with open(path.rstrip("\\n"), "rb+") as file:
        asked = struct.pack("@hhqqi4x", fcntl.F_WRLCK, 0, FIRST, SIZE, 0)
        kind, _, _, _, pid = struct.unpack("@hhqqi4x", fcntl.fcntl(file, fcntl.F_GETLK, asked))
    print(0 if kind == fcntl.F_UNLCK else pid, flush=True)
"""


@pytest.fixture
def holder() -> Iterator[Callable[[Path], int]]:
    """The process that holds the shared lock of a file, as another process sees it; else 0."""
    with subprocess.Popen(
        [sys.executable, "-c", _HOLDER], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as other:

        def asked(path: Path) -> int:
            other.stdin.write(f"{path}\n")
            other.stdin.flush()
            return int(other.stdout.readline())

        yield asked
        other.stdin.close()


@pytest.fixture
def sample(tmp_path: Path) -> Iterator[Journal]:
    """A small sample journal."""
    path = tmp_path / "sample.vatside"
    write_sample(path, makes=3, readings_per_make=30, now_ms=from_iso("2026-03-14T12:00", "UTC"))
    with Journal.open(path) as journal:
        yield journal


def test_background_work_and_every_place_leave_the_lock(qtbot, sample, window_on, holder):
    window = window_on(sample)
    for key in ("today", "plans", "vat", "compare", "makes", "room", "tastings", "findings"):
        window.go(key)
        qtbot.waitUntil(window.settled, timeout=20_000)
        assert holder(sample.path) == os.getpid(), key
    assert sample.check() == []
    with Journal.open(sample.path) as second:
        assert second.makes.all()
    assert holder(sample.path) == os.getpid()


def test_an_export_leaves_the_lock(qtbot, sample, window_on, holder, tmp_path, monkeypatch):
    window = window_on(sample)
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(tmp_path / "out"))
    window.files.export()
    qtbot.waitUntil(window.settled, timeout=20_000)
    assert (tmp_path / "out" / "journal.json").exists()
    assert holder(sample.path) == os.getpid()


@pytest.mark.parametrize(
    "ask",
    [
        lambda folder: dialogs.ask_open(None, "Open", dialogs.READINGS, folder),
        lambda folder: dialogs.ask_folder(None, "Where", folder),
    ],
    ids=["file", "folder"],
)
def test_a_file_dialog_leaves_the_lock(qtbot, kitchen, holder, ask, monkeypatch):
    """It lists the journal with its size and kind, and does not look into it."""
    path = kitchen.journal.path
    listed = []

    def look(dialog: QFileDialog) -> bool:
        dialog.setNameFilter("All files (*)")
        dialog.setOption(QFileDialog.Option.ShowDirsOnly, False)
        dialog.show()
        model = dialog.findChild(type(dialog.findChild(object, "qt_filesystem_model")))
        at = model.index(str(path))
        qtbot.waitUntil(lambda: model.type(at) != "" and model.size(at) > 0)
        qtbot.waitUntil(lambda: not model.fileIcon(at).isNull())
        listed.append(model.type(at))
        return False

    monkeypatch.setattr(QFileDialog, "exec", look)
    assert ask(str(path.parent)) == ""
    QApplication.sendPostedEvents(None, 0)
    assert listed == ["File"]
    assert holder(path) == os.getpid()


@pytest.mark.parametrize("name", ["", "-shm"])
def test_the_journal_itself_is_no_file_to_bring_in(kitchen, holder, name):
    journal, path = kitchen.journal, Path(f"{kitchen.journal.path}{name}")
    for read in (read_table, read_foreign, read_plan_file, journal.photos.bring):
        with pytest.raises((ExchangeError, KeepingError)) as caught:
            read(path)
        assert "the journal that is open" in text_of(caught.value)
        assert holder(journal.path) == os.getpid()


def test_a_journal_dropped_on_the_vat_is_refused(qtbot, vat, kitchen, holder):
    vat.bring_in(str(kitchen.journal.path))
    shown = vat.window().findChild(BringIn)
    qtbot.waitUntil(lambda: "the journal that is open" in shown.fault.text())
    shown.reject()
    qtbot.waitUntil(vat.window().settled)
    assert holder(kitchen.journal.path) == os.getpid()


def test_a_logger_that_begins_anew_beside_the_journal_leaves_the_lock(kitchen, holder):
    """What was renamed is looked for among the other files of the folder: one is the journal."""
    path = kitchen.journal.path.with_name("logger.csv")
    path.write_text("a\nb\n")
    tail = Tail(path)
    assert [part.data for part in tail.read()] == [b"a\nb\n"]
    path.unlink()
    tail.close()
    assert [part.data for part in tail.read()] == []
    assert holder(kitchen.journal.path) == os.getpid()


def test_a_link_to_the_journal_is_the_journal(kitchen, holder, tmp_path):
    """Its photos and its changes lie beside the file, not beside the link."""
    path = kitchen.journal.path
    link = tmp_path / "desktop" / "cheese.vatside"
    link.parent.mkdir()
    link.symlink_to(path)
    with Journal.open(link) as second:
        second.notes.save(Note(kitchen.now_ms, "by the link", kitchen.make.id))
        assert second.photos.folder == kitchen.journal.photos.folder
        with pytest.raises(ExchangeError, match=r"keeping.is-open-here") as caught:
            read_table(link)
        assert "the journal that is open" in text_of(caught.value)
    assert [entry.name for entry in link.parent.iterdir()] == ["cheese.vatside"]
    assert [note.text for note in kitchen.journal.notes.all()] == ["by the link"]
    assert holder(path) == os.getpid()


def test_a_name_without_its_ending_replaces_nothing_unasked(monkeypatch, tmp_path):
    """The dialog asks about what is there by the name as it was typed."""
    (tmp_path / "list.csv").write_text("kept", encoding="utf-8")
    answers, titles = ["list", "list.2026", "list.csv"], []

    def answered(_parent, title, *_rest) -> str:
        titles.append(title)
        return str(tmp_path / answers.pop(0))

    monkeypatch.setattr(dialogs, "_ask", answered)
    assert dialogs.ask_save(None, "Save the list", dialogs.CSV) == str(tmp_path / "list.2026.csv")
    assert titles[1].startswith("list.csv is there already")
    assert dialogs.ask_save(None, "Save", dialogs.CSV) == str(tmp_path / "list.csv")
    with Journal.create(tmp_path / "open.vatside", letters="HL", zone="UTC"):
        answers += ["open", "other"]
        found = dialogs.ask_save(None, "Save a copy", dialogs.JOURNALS)
    assert found == str(tmp_path / "other.vatside")


def test_a_chart_or_sheet_is_not_written_over_the_journal(kitchen, monkeypatch, qtbot):
    path, titles = str(kitchen.journal.path), []
    answers = iter([[path], []])

    def choose(dialog: QFileDialog) -> bool:
        titles.append(dialog.windowTitle())
        return True

    monkeypatch.setattr(QFileDialog, "exec", choose)
    monkeypatch.setattr(QFileDialog, "selectedFiles", lambda _: next(answers))
    assert dialogs.ask_save(None, "Save the chart", dialogs.PDF, "chart.pdf") == ""
    assert titles[0] == "Save the chart"
    assert "is the journal that is open" in titles[1]
