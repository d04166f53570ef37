"""How long work on a file ends when it is not wanted any more, in the midst of a statement too;
and how it says how far it is."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread

Stop = Callable[[], bool]
Progress = Callable[[float], None]  # how far it is, 0 to 1
_ASK_EVERY_S = 0.1


def never() -> bool:
    """What goes on to its end."""
    return False


def unseen(_share: float) -> None:
    """What nobody looks at."""


def part_of(progress: Progress, first: float, last: float) -> Progress:
    """How far one part of the work is, which takes it from one share to another."""
    return lambda share: progress(first + (last - first) * share)


@contextmanager
def stopping(stop: Stop, *files: sqlite3.Connection) -> Iterator[None]:
    """Breaks off what these connections do once `stop` says so: sqlite3.OperationalError then.

    By another thread: one statement that looks at every page of a file asks nobody on its way.
    """

    def ask() -> None:
        if stop():
            for each in files:
                each.interrupt()

    if stop is never:
        yield
        return
    with now_and_then(ask, _ASK_EVERY_S, "stop"):
        yield


@contextmanager
def now_and_then(act: Callable[[], None], every_s: float, name: str) -> Iterator[None]:
    """Do something every so many seconds meanwhile, in a thread of that name."""
    over = Event()

    def run() -> None:
        while not over.wait(every_s):
            act()

    beside = Thread(target=run, name=name, daemon=True)
    beside.start()
    try:
        yield
    finally:
        over.set()
        beside.join()
