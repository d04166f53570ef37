"""Undo and redo of the window: which step is next, and the message once it is taken."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from journal.desk.place import Undoing
from journal.keeping import KeepingError
from journal.message import Message
from journal.wording import text_of

Step = tuple[str, Callable[[], object]]


class ShowMessage(Protocol):
    """Says a sentence in a place."""

    def __call__(self, sentence: str, *, attention: bool = True) -> None: ...


def step_of(way: str, *owners: Undoing | None) -> Step | None:
    """The step to be taken back ("undo") or taken again, of the first that has one: its name, and
    what does it."""
    for one in owners:
        if one is None:
            continue
        name, act = (one.undo_name, one.undo) if way == "undo" else (one.redo_name, one.redo)
        if name is not None:
            return text_of(name) if isinstance(name, Message) else name, act
    return None


def take(step: Step, words: str, say: ShowMessage) -> None:
    """Take a step and say which it was, or why it was not taken."""
    try:
        step[1]()
    except KeepingError as error:
        say(text_of(error))
    else:
        say(f"{words}{step[0]}.", attention=False)
