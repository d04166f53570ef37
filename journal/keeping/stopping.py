"""How long work on a file ends when it is not wanted any more, in the midst of a statement too."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread

Stop = Callable[[], bool]
_ASK_EVERY_S = 0.1


def never() -> bool:
    """What goes on to its end."""
    return False


@contextmanager
def stopping(stop: Stop, *files: sqlite3.Connection) -> Iterator[None]:
    """Breaks off what these connections do once `stop` says so: sqlite3.OperationalError then.

    By another thread: one statement that looks at every page of a file asks nobody on its way.
    """
    if stop is never:
        yield
        return
    over = Event()

    def ask_now_and_then() -> None:
        while not over.wait(_ASK_EVERY_S):
            if stop():
                for each in files:
                    each.interrupt()

    beside = Thread(target=ask_now_and_then, name="stop", daemon=True)
    beside.start()
    try:
        yield
    finally:
        over.set()
        beside.join()
