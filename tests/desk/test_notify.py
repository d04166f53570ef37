"""An alarm reaches the desktop: on a private bus, with a service that writes down what it shows."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from journal.desk import background_alarms
from journal.desk.background_alarms_token import end_background_alarms, token_of, write_token
from journal.desk.notify import notify
from journal.keeping import Journal
from journal.records.instants import DAY_MS, MINUTE_MS, now_ms
from journal.records.makes import Milk
from journal.records.wheels import AirReading, Room
from journal.wording.dates import clock
from tests.desk.conftest import cheddar_like

ROOT = Path(__file__).resolve().parents[2]
_needs_bus = pytest.mark.skipif(not shutil.which("dbus-daemon"), reason="no bus on this machine")
_WINDOW = """
import sys
from pathlib import Path
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from journal.desk.theme import Look
from journal.desk.window import Window
from journal.keeping import Journal
app = QApplication([])
journal = Journal.open(sys.argv[1])
window = Window(journal, look=Look(app, "light"), daily_backup=False,
                settings=QSettings(sys.argv[2], QSettings.Format.IniFormat))
window.show()
window.hide()
window.desk.alarm.tick()
print([one.words for one in window.desk.alarm.ringing])
window.close()
journal.close()
"""

_PROGRAM = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from journal.desk import app as program, settings as remembered
from journal.desk.preferences import choose
from journal.desk.window import Window
program.SERVER = "vatside-test-" + sys.argv[2]
choose(remembered.settings(), "minding", "yes")
app = QApplication([])
def close():
    for one in app.topLevelWidgets():
        if isinstance(one, Window):
            one.close()
QTimer.singleShot(0, close)
raise SystemExit(program.run(sys.argv[1]))
"""


class Desktop:
    """A private bus with a notification service on it."""

    def __init__(self, folder: Path, qtbot, which: str) -> None:
        self._qtbot, self.log = qtbot, folder / f"shown-{which}.jsonl"
        self._bus = subprocess.Popen(
            ["dbus-daemon", "--session", "--nofork", "--print-address"],
            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
        )  # fmt: skip
        assert self._bus.stdout is not None
        self.env = {
            **os.environ, "DBUS_SESSION_BUS_ADDRESS": self._bus.stdout.readline().strip(),
            "XDG_CONFIG_HOME": str(folder / "config"), "XDG_DATA_HOME": str(folder / "data"),
            "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT),
        }  # fmt: skip
        self._service = subprocess.Popen(
            [sys.executable, "-m", "tests.desk.fake_desktop", str(self.log), which],
            env=self.env, cwd=ROOT,
        )  # fmt: skip
        self.wait_for(lambda lines: bool(lines))

    def lines(self) -> list:
        text = self.log.read_text(encoding="utf-8") if self.log.exists() else ""
        return [json.loads(line) for line in text.splitlines()]

    def shown(self) -> list[str]:
        """The words of every notification."""
        return [line["body"] for line in self.lines()[1:]]

    def wait_for(self, there: Callable[[list], bool], timeout: int = 60_000) -> None:
        self._qtbot.waitUntil(lambda: there(self.lines()), timeout=timeout)

    def close(self) -> None:
        for one in (self._service, self._bus):
            one.kill()
            one.wait()
        assert self._bus.stdout is not None
        self._bus.stdout.close()


@pytest.fixture
def desktop(tmp_path: Path, qtbot) -> Iterator[Desktop]:
    made = Desktop(tmp_path, qtbot, "direct")
    yield made
    made.close()


@pytest.fixture
def kitchen_file(tmp_path: Path) -> Path:
    """A journal whose first stage should have ended five minutes ago."""
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path, letters="HL", zone="Europe/London") as journal:
        journal.makes.begin(cheddar_like(), Milk(12.0), now_ms() - 35 * 60_000)
    return path


@_needs_bus
@pytest.mark.parametrize("which", ["direct", "portal"])
def test_it_is_shown_by_the_desktop_or_by_its_portal(tmp_path, qtbot, which, monkeypatch):
    desktop = Desktop(tmp_path, qtbot, which)
    try:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", desktop.env["DBUS_SESSION_BUS_ADDRESS"])
        assert notify("Vatside", "The <curd> & whey")
    finally:
        desktop.close()
    line = desktop.lines()[1]
    assert line["method"] == {"direct": "Notify", "portal": "AddNotification"}[which]
    plain = "The &lt;curd&gt; &amp; whey" if which == "direct" else "The <curd> & whey"
    assert (line["title"], line["body"]) == ("Vatside", plain)


def test_without_a_desktop_nothing_is_shown_and_nobody_waits(monkeypatch, tmp_path):
    for address in ("", f"unix:path={tmp_path / 'none'}", "nonsense"):
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        assert not notify("Vatside", "The stage was due to end.")


@_needs_bus
def test_a_hidden_window_still_tells_the_desktop(desktop, kitchen_file, tmp_path):
    output = subprocess.run(
        [sys.executable, "-c", _WINDOW, str(kitchen_file), str(tmp_path / "s.ini")],
        env=desktop.env, cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert output.stdout.split() == ["['warm']"]
    desktop.wait_for(lambda lines: len(lines) == 2)
    assert "HL-0001" in desktop.shown()[0]


class Minding:
    """The process that keeps the alarms, as the window starts it."""

    def __init__(self, desktop: Desktop, path: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "journal.desk.background_alarms", str(path)],
            env=desktop.env,
            cwd=ROOT,
        )

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()


@_needs_bus
def test_a_small_process_keeps_the_alarms_until_the_make_ends(
    desktop, kitchen_file, qtbot, monkeypatch
):
    minding = Minding(desktop, kitchen_file)
    try:
        desktop.wait_for(lambda lines: len(lines) == 2)
        assert "HL-0001" in desktop.shown()[0]
        minding.kill()  # killed, it can be started again
        minding = Minding(desktop, kitchen_file)
        desktop.wait_for(lambda lines: len(lines) == 3)
        with Journal.open(kitchen_file) as journal:  # it holds no lock: others write as ever
            make = journal.makes.by_code("latest")
            journal.day.start_timer(make.id, "kettle", now_ms() - 120_000, 1)
            journal._db.execute("pragma locking_mode = exclusive")
            journal._db.execute("begin exclusive")
            journal._db.execute("rollback")
        desktop.wait_for(lambda lines: "kettle" in json.dumps(lines))
        with Journal.open(kitchen_file) as journal:
            journal.makes.finish(make.id, [], now_ms())
        assert minding.process.wait(60) == 0
    finally:
        minding.kill()


@pytest.mark.parametrize("read_before", [True, False])
def test_a_journal_that_cannot_be_read_is_looked_at_ever_more_rarely(
    kitchen_file, qtbot, tmp_path, monkeypatch, read_before
):
    """It is said once, and it ends: an hour after the last that it knew of, or after a day."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    output: list[str] = []
    monkeypatch.setattr(background_alarms, "notify", lambda _title, words: output.append(words))
    at, sound = [now_ms()], kitchen_file.read_bytes()
    minder = background_alarms.BackgroundAlarms(kitchen_file, clock=lambda: at[0])
    if read_before:
        minder.look()
    kitchen_file.write_bytes(b"no journal" * 1000)
    over: list[None] = []
    minder.done.connect(lambda: over.append(None))
    waits = []
    begun = at[0]
    while not over and len(waits) < 1000:
        minder.look()
        waits.append(minder._looks.interval())
        at[0] += waits[-1]
    steps = [10_000, 20_000, 40_000, 80_000, 160_000, 300_000, 300_000]
    assert waits[:7] == steps
    last = begun + DAY_MS
    if read_before:
        last = max(begun, *(one.at_ms for one in minder._alarm.coming)) + 60 * MINUTE_MS
    assert last <= at[0] - waits[-1] < last + background_alarms.LOOK_MOST_MS
    assert end_background_alarms(kitchen_file) == begun, "the window that takes it up says so"
    assert not token_of(kitchen_file).exists()
    unread = [one for one in output if one.startswith("Its alarms may not ring: ")]
    assert len(unread) == 1
    assert "kitchen.vatside" in unread[0]
    kitchen_file.write_bytes(sound)


def test_the_window_says_that_alarms_were_not_kept(vat, kitchen, qtbot):
    unread_ms = kitchen.start_ms + 30 * MINUTE_MS
    token_of(kitchen.journal.path).parent.mkdir(parents=True, exist_ok=True)
    write_token(kitchen.journal.path, 0, unread_ms)
    window = vat.window()
    for words in (clock(unread_ms, kitchen.journal.zone), ""):  # once
        window.take(kitchen.journal)
        qtbot.waitUntil(window.settled)
        qtbot.waitUntil(lambda: words in window.current.messages.text("clock"))  # noqa: B023
        assert bool(words) == ("what is due" in window.current.messages.text("clock"))


def test_once_it_can_be_read_again_it_is_looked_at_as_before(
    kitchen_file, qtbot, tmp_path, monkeypatch
):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr(background_alarms, "notify", lambda *_: None)
    minder, sound = background_alarms.BackgroundAlarms(kitchen_file), kitchen_file.read_bytes()
    kitchen_file.write_bytes(b"no journal" * 1000)
    minder.look()
    minder.look()
    assert minder._looks.interval() == 4 * background_alarms.LOOK_MS
    kitchen_file.write_bytes(sound)
    minder.look()
    assert minder._looks.interval() == background_alarms.LOOK_MS
    assert minder._alarm is not None


@_needs_bus
def test_it_ends_when_a_window_takes_the_journal_up(desktop, kitchen_file, monkeypatch):
    minding = Minding(desktop, kitchen_file)
    try:
        desktop.wait_for(lambda lines: len(lines) == 2)
        monkeypatch.setenv("XDG_DATA_HOME", desktop.env["XDG_DATA_HOME"])
        token = next((Path(desktop.env["XDG_DATA_HOME"])).rglob("alarms/*"))
        assert token.read_text() == str(minding.process.pid)
        token.unlink()
        assert minding.process.wait(60) == 0
        assert not token.exists()
    finally:
        minding.kill()


@_needs_bus
def test_a_room_that_is_out_of_its_range_is_told_too(desktop, kitchen_file):
    with Journal.open(kitchen_file) as journal:
        room = journal.shelves.set_room(Room("Cellar", 12.0, 85.0))
        day_ms = 86_400_000
        make = journal.makes.begin(cheddar_like(), Milk(12.0), now_ms() - 60 * day_ms)
        wheels = journal.makes.finish(make.id, [1.1], now_ms() - 59 * day_ms)
        journal.shelves.move(wheels, room, now_ms() - 58 * day_ms)
        for hours in range(4, -1, -1):
            journal.air.note(AirReading(room.id, now_ms() - hours * 3_600_000, 12.0, 71.0))
    minding = Minding(desktop, kitchen_file)
    try:
        desktop.wait_for(lambda lines: "Cellar" in json.dumps(lines))
        assert any("too dry" in words for words in desktop.shown())
    finally:
        minding.kill()


@_needs_bus
def test_the_window_hands_its_alarms_on_as_it_closes_and_takes_them_back(
    desktop, kitchen_file, qtbot, tmp_path
):
    def token() -> int:
        """The process that minds the journal now, 0 for none."""
        found = list(Path(desktop.env["XDG_DATA_HOME"]).rglob("alarms/*"))
        text = found[0].read_text() if found else ""
        return int(text or 0)

    def run() -> None:
        subprocess.run(
            [sys.executable, "-c", _PROGRAM, str(kitchen_file), tmp_path.name],
            env=desktop.env, cwd=ROOT, check=True, capture_output=True,
        )  # fmt: skip

    def gone(process: int) -> bool:
        """It has ended, whether or not its parent has asked how."""
        try:
            return ") Z " in Path(f"/proc/{process}/stat").read_text()
        except OSError:
            return True

    run()
    qtbot.waitUntil(lambda: token() > 0, timeout=60_000)
    first = token()
    desktop.wait_for(lambda lines: len(lines) >= 2)
    run()
    qtbot.waitUntil(lambda: gone(first), timeout=60_000)
    qtbot.waitUntil(lambda: token() not in (0, first), timeout=60_000)
    second = token()
    with Journal.open(kitchen_file) as journal:
        journal.makes.finish(journal.makes.by_code("latest").id, [], now_ms())
    qtbot.waitUntil(lambda: gone(second), timeout=60_000)
    assert token() == 0
