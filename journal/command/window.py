"""Opening the window: loads nothing of the command line."""

from __future__ import annotations

import gc
import os
import sys

from journal.command.error import CommandError

JOURNAL_FILES = (".vatside", ".zip")  # a journal, or a bundle of one


def open_window(path: str | None) -> int:
    """Open the window on a journal; returns its exit code."""
    shown = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    if sys.platform.startswith("linux") and not any(os.environ.get(name) for name in shown):
        raise CommandError("command.no-display")
    gc.disable()  # all that is loaded now stays; the window looks for rubbish once it stands
    try:
        from journal.desk.qt_imports import load_qt

        load_qt()
        from journal.desk.app import run

        return int(run(path))
    finally:
        gc.enable()
