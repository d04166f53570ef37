"""A journal that may not be written to is shown to be read: it is said, nobody is locked out."""

from __future__ import annotations

import os
import shutil
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
    output,
    path,  # noqa: F401 - what `protected` is made of
    shared,  # noqa: F401
)

pytestmark = pytest.mark.skipif(os.name == "nt", reason="no other users to become there")

_WINDOW = """
import os, pkgutil, sys
from importlib import import_module
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
import journal.desk
from journal.desk import dialogs, window as desk_window
from tests.desk.hands import Hands

app = QApplication([])
for each in pkgutil.walk_packages(journal.desk.__path__, "journal.desk."):
    import_module(each.name)

def until(is_so):
    for _ in range(6000):
        if is_so():
            return
        QTest.qWait(10)
    raise AssertionError

def seen(path, copy):
    settings = QSettings(copy + ".ini", QSettings.Format.IniFormat)
    shown = desk_window.Window(None, settings=settings)
    shown.show()
    shown.files.open_path(path)
    until(lambda: shown.journal is not None and shown.settled())
    yield shown.current.messages.text("keeping.only-read-here")
    for place in "makes room tastings vat".split():
        shown.go(place)
        until(shown.settled)
    shown.current.page.entry.temp.line.setFocus()
    Hands(shown).type("37.5").press(Qt.Key.Key_Return)
    until(shown.settled)
    yield shown.current.page.entry.temp.line.text()
    yield " ".join(one.text() for one in shown.findChildren(QLabel) if one.isVisible())
    dialogs.ask_save = lambda *_: copy
    shown.run("copy")
    until(lambda: shown.settled() and os.path.exists(copy))
    shown.files.back_up_daily()
    until(shown.settled)
    shown.close()
    shown.journal.close()

own, path, copy = sys.argv[1:4]
list(seen(own, own + "-copy"))  # all is loaded that the other user may not read
os.setgroups([])
os.setgid(int(sys.argv[4]))
os.setuid(int(sys.argv[4]))
for each in seen(path, copy):
    print(each.replace("\\n", " "), flush=True)
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
    own = Path(shutil.copy(protected, tmp_path / "own.vatside"))
    before, there = protected.read_bytes(), names(protected)
    copy = to / "copy.vatside"
    done = subprocess.run(
        [sys.executable, "-c", _WINDOW, str(own), str(protected), str(copy), str(GUEST)],
        capture_output=True, text=True, timeout=240, check=False,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "HOME": str(to)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    told, typed, refused = done.stdout.splitlines()
    assert "read only" in told
    assert typed == "37.5"
    assert "cannot be written to here" in refused
    assert names(protected) == there
    assert protected.read_bytes() == before
    assert output(protected, OWNER, "log(Journal.open(path), 31.6); print('kept')") == "kept"
    with Journal.open(copy) as journal:
        assert journal.check() == []
