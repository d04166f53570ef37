"""Help asked for in a dialog: it opens over the dialog, on what the dialog is about."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget

from journal.desk.commands import bind


class _Helper:
    show: Callable[[QWidget, str], None] | None = None


def use_help(show: Callable[[QWidget, str], None]) -> None:
    """Set what opens the help over a dialog, on a topic: a page, or "page/part" ("" for that of
    the place shown)."""
    _Helper.show = show


def bind_help(dialog: QWidget, topic: str) -> None:
    """Bind the help key of a dialog."""
    bind("help", dialog, partial(_ask, dialog, topic))


def _ask(dialog: QWidget, topic: str) -> None:
    if _Helper.show is not None:
        _Helper.show(dialog, topic)
