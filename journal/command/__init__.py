"""The command line: the same rooms as the window, for scripts and tests."""

from __future__ import annotations

from journal.command.entry import main

__all__ = ["main"]
