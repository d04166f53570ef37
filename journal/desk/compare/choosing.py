"""The choice of a make's comparison: kept with the make, taken back step by step."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace

from journal.keeping import Journal, KeepingError
from journal.message import Message
from journal.reports.comparison_choice import (
    HAND,
    ComparisonChoice,
    choice_key,
    read_choice,
)

_NAMES = {
    "by": "compare with other makes", "text": "compare with other makes",
    "makes": "compare with other makes", "order": "sort the ribbons", "time": "lay by time",
    "moment": "line up",
}  # fmt: skip


class ChoiceKeeper:
    """Keeps the choice of the make that is open. It is `Undoing` while there is a step."""

    def __init__(self, journal: Journal, changed: Callable[[], None]) -> None:
        self._journal, self._changed = journal, changed
        self._uuid = ""
        self.choice = ComparisonChoice()
        self._done: list[tuple[str, ComparisonChoice]] = []
        self._undone: list[tuple[str, ComparisonChoice]] = []

    def open(self, uuid: str) -> None:
        """Take up the choice of a make."""
        kept = read_choice(self._journal.setting(choice_key(uuid)))
        if uuid != self._uuid:
            self._done, self._undone = [], []
        self._uuid, self.choice = uuid, kept

    def change(self, part: str, value: str, shown: tuple[str, ...]) -> None:
        """Change a part of the choice; makes chosen by hand begin with those that are `shown`."""
        if part == "makes":
            new = replace(self.choice, by=HAND, makes=tuple(_codes(value)))
        elif part == "by" and value == HAND:
            new = replace(self.choice, by=HAND, makes=shown)
        else:
            new = ComparisonChoice(**{**vars(self.choice), part: value})
        if new != self.choice:
            self._done.append((_NAMES[part], self.choice))
            self._undone = []
            self._keep(new)

    def forget(self) -> None:
        """Something else was changed since: undo is the journal's again."""
        self._done, self._undone = [], []

    @property
    def is_step(self) -> bool:
        """There is something to take back, or to do again."""
        return bool(self._done or self._undone)

    @property
    def undo_name(self) -> str | Message | None:
        """What undo would take back."""
        return self._done[-1][0] if self._done else None

    @property
    def redo_name(self) -> str | Message | None:
        """What redo would do again."""
        return self._undone[-1][0] if self._undone else None

    def undo(self) -> str | Message | None:
        """Take the last change of the choice back."""
        return self._step(self._done, self._undone)

    def redo(self) -> str | Message | None:
        """Do it again."""
        return self._step(self._undone, self._done)

    def _step(
        self, out: list[tuple[str, ComparisonChoice]], back: list[tuple[str, ComparisonChoice]]
    ) -> str | None:
        if not out:
            return None
        name, choice = out.pop()
        back.append((name, self.choice))
        self._keep(choice)
        self._changed()
        return name

    def _keep(self, choice: ComparisonChoice) -> None:
        self.choice = choice
        with suppress(KeepingError):  # a file that is read only shows it all the same
            self._journal.set_setting(choice_key(self._uuid), choice.written())


def _codes(typed: str) -> list[str]:
    return list(dict.fromkeys(word.upper() for word in typed.replace(",", " ").split()))
