"""A real window on a file to which other processes write: it shows it within a second, keeps what
is being typed, and never undoes what is theirs."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from PySide6.QtCore import Qt

from journal.desk.watch import OTHERS_MS
from journal.keeping import Journal

ENV = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
_WINDOW = """
import sys
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from journal.desk.window import Window
from journal.desk.watch import OTHERS_MS
from journal.keeping import Journal
app = QApplication([])
journal = Journal.open(sys.argv[1])
settings = QSettings(sys.argv[2], QSettings.Format.IniFormat)
window = Window(journal, clock=lambda: int(sys.argv[3]), settings=settings, place="vat",
                daily_backup=False)
window.show()
window.activateWindow()
QTest.qWaitForWindowActive(window)
print("shown", flush=True)
for line in sys.stdin:
    word = line.strip()
    if word == "undo":
        line = window.current.page.entry.temp.line
        QTest.keyClick(line, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    else:
        QTest.keyClicks(window.current.page.entry.temp.line, word)
        QTest.keyClick(window.current.page.entry.temp.line, Qt.Key.Key_Return)
    print(word, flush=True)
"""


def command(kitchen, *words: str) -> None:
    path = str(kitchen.journal.path)
    subprocess.run(
        [sys.executable, "-m", "journal.command", words[0], path, *words[1:]],
        check=True, capture_output=True, env=ENV,
    )  # fmt: skip


def values(kitchen) -> list[float]:
    return sorted(kitchen.journal.readings.trace(kitchen.make.id, "milk-temp").value.tolist())


def test_a_command_is_seen_within_a_second_and_is_not_undone(qtbot, vat, hands, kitchen):
    heard: list[object] = []
    kitchen.journal.listen(heard.append)
    hands.type("31.4").press(Qt.Key.Key_Return)
    hands.type("31.6")  # and not entered yet
    typed = vat.page.entry.temp.line.text()
    del heard[:]
    command(kitchen, "log", "latest", "milk-temp", "33.3", "--at", "2026-03-14T10:30")
    looks: list[bool] = []  # half a second apart: whether there was anything to hear
    vat.window()._watch._others.timeout.connect(lambda: looks.append(bool(heard)))
    qtbot.waitUntil(lambda: bool(looks), timeout=5000)
    assert looks[0], "the first look hears it"
    assert OTHERS_MS <= 500
    assert vat.page.entry.temp.line.text() == typed == "31.6"
    assert values(kitchen) == [31.4, 33.3]
    vat.page.entry.temp.line.clear()
    vat.window().run("undo")
    assert values(kitchen) == [33.3]
    before = kitchen.journal.undo_name
    assert before is None or before.values.get("kind") != "milk-temp"
    vat.window().run("redo")
    assert values(kitchen) == [31.4, 33.3]


@pytest.mark.skipif(sys.platform == "win32", reason="pipes of text to a window")
def test_two_windows_on_one_file_each_undo_their_own(qtbot, vat, hands, kitchen, tmp_path):
    other = subprocess.Popen(
        [sys.executable, "-c", _WINDOW, str(kitchen.journal.path), str(tmp_path / "other.ini"),
         str(kitchen.now_ms + 60_000)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=ENV,
    )  # fmt: skip

    def tell(word: str) -> None:
        other.stdin.write(f"{word}\n")
        other.stdin.flush()
        assert other.stdout.readline() == f"{word}\n"

    try:
        assert other.stdout.readline() == "shown\n"
        heard: list[object] = []
        kitchen.journal.listen(heard.append)
        tell("30.5")
        qtbot.waitUntil(lambda: bool(heard), timeout=5000)
        assert values(kitchen) == [30.5]
        hands.type("31.4").press(Qt.Key.Key_Return)
        tell("undo")
        assert values(kitchen) == [31.4], "each takes back its own"
        vat.window().run("undo")
        assert values(kitchen) == []
    finally:
        other.communicate(timeout=30)
    with Journal.open(kitchen.journal.path) as again:
        assert again.check() == []
