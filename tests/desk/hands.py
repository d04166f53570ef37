"""Keys as a person presses them: each goes to whatever has the focus at that moment."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.printing import PrintPreview
from journal.wording.keys import keys_of


class Hands:
    """Types like a person: each key goes to whatever has the focus at that moment."""

    def __init__(self, window) -> None:
        self.window = window

    def type(self, text: str) -> Hands:
        for letter in text:
            if letter == " ":
                self.press(Qt.Key.Key_Space)
            else:
                QTest.keyClick(self._target(), letter)
        return self

    def press(self, key: Qt.Key, with_key=Qt.KeyboardModifier.NoModifier) -> Hands:
        QTest.keyClick(self._target(), key, with_key)
        return self

    def _target(self):
        return QApplication.focusWidget() or self.window


def read_beside(path: Path) -> bytes:
    """The bytes of an open journal's file, read by another process, so that no lock is lost."""
    code = "import sys; sys.stdout.buffer.write(open(sys.argv[1], 'rb').read())"
    return subprocess.run(
        [sys.executable, "-c", code, path], capture_output=True, check=True
    ).stdout


def save_printed() -> None:
    """Press Save in what is shown before it is printed."""
    shown = [
        one for one in QApplication.topLevelWidgets()
        if isinstance(one, PrintPreview) and one.isVisible()
    ]  # fmt: skip
    assert len(shown) == 1
    QTest.mouseClick(shown[0].save, Qt.MouseButton.LeftButton)


def key_for(use: str) -> tuple[Qt.Key, Qt.KeyboardModifier]:
    """The key that means something now, with what is held, as the program's own table has it."""
    pressed = QKeySequence(keys_of(use)[0])[0]
    return pressed.key(), pressed.keyboardModifiers()
