"""Qt where nothing is shown: for pictures and for what is printed from the command line."""

from __future__ import annotations

import os
import sys

from PySide6.QtWidgets import QApplication


def application(*, never_shown: bool = False) -> QApplication:
    """The application there is, else a new one; off the screen where there is none, or always on
    Linux with `never_shown`. To be held while something is drawn."""
    there = QApplication.instance()
    if isinstance(there, QApplication):
        return there
    displays = bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    if (never_shown and sys.platform.startswith("linux")) or not (never_shown or displays):
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    return QApplication(["vatside"])
