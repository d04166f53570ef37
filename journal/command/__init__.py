"""The command line: the same rooms as the window, for scripts and tests.

Here: one file a group of commands, how arguments are read, and how an answer is written for a
person or, with `--json`, for a program. A command is declared once, by `@command` above its
function: its name, what it does, its places and options. The function asks a room and hands back
an `Answer` of values that each know their text and their JSON, as columns (`Table`) or in
sentences (`answer`); errors of the rooms go out as one sentence with exit code 2. Not here: any
reckoning, any SQL, any reading of foreign files. Rooms are imported when a command needs them,
so that a short command starts quickly.
"""

from __future__ import annotations

from journal.command.entry import main

__all__ = ["main"]
