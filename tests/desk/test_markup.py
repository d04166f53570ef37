"""What was typed is shown as it was typed, never as markup; and the program connects nowhere."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QTextDocument

from journal.desk.labels import Label, plain_tip

ROOT = Path(__file__).parents[2]
TYPED = ["<b>Tomme</b>", "<img src='http://x/y.png'>", "a < b & c > d", "<!-- x", "R&D", "plain",
         "two\nlines <i>"]  # fmt: skip


@pytest.mark.parametrize("typed", TYPED)
def test_a_label_and_a_tip_show_what_was_typed(qapp, typed: str) -> None:
    assert Label(typed).textFormat() == Qt.TextFormat.PlainText
    tip, shown = plain_tip(typed), QTextDocument()
    if "<" not in typed:  # what Qt takes for plain text
        assert tip == typed
        return
    shown.setHtml(tip)
    assert shown.toPlainText().split() == typed.split()


def test_every_tip_and_label_of_the_desk_goes_that_way() -> None:
    for path in (ROOT / "journal" / "desk").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            name = node.func if isinstance(node, ast.Call) else None
            called = getattr(name, "attr", getattr(name, "id", ""))
            words = ast.unparse(node) if called in ("setToolTip", "showText", "QLabel") else ""
            literal = called == "setToolTip" and isinstance(
                node.args[0], ast.Constant | ast.JoinedStr
            )
            quiet = literal or "plain_tip(" in words or "toPoint(), words" in words
            assert not words or quiet or "if face.is_current" in words, f"{path.name}: {words}"


WALK = """
import os, re, sys
heard = []
def hear(event, args):
    if event in ("socket.connect", "socket.bind", "socket.getaddrinfo", "socket.sendto"):
        heard.append((event, str(args[1:])))
sys.addaudithook(hear)
from pathlib import Path
from PySide6.QtWidgets import QApplication
from journal.desk.places import PLACES
from journal.desk.window import Window
from journal.keeping import Journal
def sockets():
    own = {os.readlink(f"/proc/self/fd/{fd}") for fd in os.listdir("/proc/self/fd")
           if os.path.lexists(f"/proc/self/fd/{fd}")}
    inodes = {found[1] for each in own if (found := re.fullmatch(r"socket:.(\\d+).", each))}
    lines = [line.split() for kind in ("tcp", "tcp6", "udp", "udp6")
             for line in Path(f"/proc/self/net/{kind}").read_text().splitlines()[1:]]
    return [line[1:4] for line in lines if line[9] in inodes]
app = QApplication([])
with Journal.open(sys.argv[1]) as journal:
    window = Window(journal)
    window.show()
    for place in PLACES:
        window.go(place.key)
        for _ in range(5):
            app.processEvents()
        assert not sockets(), (place.key, sockets())
    window.show_sensors()
    app.processEvents()
    window.close()
    app.processEvents()
assert not sockets(), sockets()
assert not heard, heard
print("silent")
"""


@pytest.mark.skipif(not Path("/proc/self/net/tcp").exists(), reason="the system does not tell")
def test_through_all_places_and_closing_nothing_is_connected_and_nobody_listens(
    sample_file: Path, tmp_path: Path
) -> None:
    path = tmp_path / "kitchen.vatside"
    path.write_bytes(sample_file.read_bytes())
    done = subprocess.run(
        [sys.executable, "-c", WALK, path], check=False,
        capture_output=True, text=True, timeout=200,
        env={**os.environ, "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "offscreen"},
    )  # fmt: skip
    assert done.stdout.split() == ["silent"], done.stderr[-1500:]
