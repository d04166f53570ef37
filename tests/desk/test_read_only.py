"""A journal that may not be written to is shown to be read: it is said, nobody is locked out."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from journal.keeping import Journal
from tests.keeping.test_reading import (
    GUEST,
    OWNER,
    names,
    other_users,
    path,  # noqa: F401 - what `protected` is made of
    said,
    shared,  # noqa: F401
)

pytestmark = pytest.mark.skipif(os.name == "nt", reason="no other users to become there")

_WINDOW = """
import os, pkgutil, sys
from importlib import import_module
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
import journal.desk
from journal.desk import dialogs, window as desk_window
from journal.keeping import Journal
from tests.desk.hands import Hands

app = QApplication([])
for each in pkgutil.walk_packages(journal.desk.__path__, "journal.desk."):
    import_module(each.name)
os.setgroups([])
os.setgid(int(sys.argv[2]))
os.setuid(int(sys.argv[2]))
path, copy = sys.argv[1], sys.argv[3]

def until(is_so):
    assert QTest.qWaitFor(is_so, 60_000)

settings = QSettings(copy + ".ini", QSettings.Format.IniFormat)
shown = desk_window.Window(None, settings=settings)
shown.show()
shown.files.open_path(path)
until(lambda: shown.journal is not None and shown.settled())
sentence = lambda name: shown.current.messages.text(name)
print(sentence("keeping.only-read-here"), flush=True)
for place in ("plans", "makes", "vat", "compare", "room", "tastings", "findings", "today", "vat"):
    shown.go(place)
    until(shown.settled)
shown.current.page.entry.temp.line.setFocus()
hands = Hands(shown)
hands.type("37.5").press(Qt.Key.Key_Return)
until(shown.settled)
print(shown.current.page.entry.temp.line.text(), flush=True)
said = [line.label.text() for line in shown.current.messages._shown.values()]
print(any("annot be written" in one for one in said), flush=True)
dialogs.ask_save = lambda *_: copy
shown.run("copy")
until(lambda: shown.settled() and os.path.exists(copy))
shown.files.back_up_daily()
until(shown.settled)
shown.close()
shown.journal.close()
"""


@pytest.fixture
def protected(request: pytest.FixtureRequest) -> Path:
    """A journal of an owner who lets nobody else write, in a folder of the owner's."""
    found: Path = request.getfixturevalue("path")
    os.chown(found.parent, OWNER, OWNER)
    found.parent.chmod(0o755)
    return found


@other_users
@pytest.mark.parametrize("theirs", ["file", "folder"])
def test_a_window_of_another_user_shows_it_to_be_read(protected: Path, theirs: str, tmp_path):
    if theirs == "folder":  # all may write to the file, but not beside it
        protected.chmod(0o666)
    to = protected.parent.parent / "guest"
    to.mkdir()
    to.chmod(0o777)
    before, there = protected.read_bytes(), names(protected)
    copy = to / "copy.vatside"
    done = subprocess.run(
        [sys.executable, "-c", _WINDOW, str(protected), str(GUEST), str(copy)],
        capture_output=True, text=True, timeout=120, check=False,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "HOME": str(to)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    told, typed, refused = done.stdout.splitlines()
    assert "read only" in told
    assert (typed, refused) == ("37.5", "True")
    assert names(protected) == there
    assert protected.read_bytes() == before
    assert said(protected, OWNER, "log(Journal.open(path), 31.6); print('kept')") == "kept"
    with Journal.open(copy) as journal:
        assert journal.check() == []
