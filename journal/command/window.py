"""Opening the window: loads nothing of the command line."""

from __future__ import annotations

import builtins
import gc
import os
import sys

from journal.command.error import CommandError

JOURNAL_FILES = (".vatside", ".zip")  # a journal, or a bundle of one


def open_window(path: str | None) -> int:
    """Open the window on a journal; returns its exit code."""
    shown = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    if sys.platform.startswith("linux") and not any(os.environ.get(name) for name in shown):
        raise CommandError(
            "There is no display here to open the window on. “vatside tour OUTDIR” draws the "
            "sample journal instead."
        )
    gc.disable()  # all that is loaded now stays; the window looks for rubbish once it stands
    try:
        load_qt()
        from journal.desk.app import run

        return int(run(path))
    finally:
        gc.enable()


def load_qt() -> None:
    """Load Qt's binding, and go on importing as Python does by itself.

    The binding has imports go by a function that reads the source of every module, for it could
    choose features of the binding (`from __feature__ import …`). None does here, and to read some
    hundred files took a fifth of the start. The binding does without on PyPy too.
    """
    plain = builtins.__import__
    import PySide6.QtCore  # noqa: F401

    builtins.__import__ = plain
