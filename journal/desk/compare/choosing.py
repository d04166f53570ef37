"""The choice of a make's comparison: read from the journal and kept in it, with the make."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

from journal.keeping import Journal, KeepingError
from journal.reports.comparison_choice import HAND, ComparisonChoice, choice_of, keep_choice


class ChoiceKeeper:
    """Keeps the choice of the make that is open; each change is an act of the journal's."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._make_id = 0
        self.choice = ComparisonChoice()

    def open(self, make_id: int) -> None:
        """Take up the choice of a make as the journal has it."""
        self._make_id, self.choice = make_id, choice_of(self._journal, make_id)

    def change(self, part: str, value: str, shown: tuple[str, ...]) -> bool:
        """Change a part of the choice; makes chosen by hand begin with those that are `shown`.
        False where it was so already."""
        if part == "makes":
            new = replace(self.choice, by=HAND, makes=tuple(_codes(value)))
        elif part == "by" and value == HAND:
            new = replace(self.choice, by=HAND, makes=shown)
        else:
            new = ComparisonChoice(**{**vars(self.choice), part: value})
        if new == self.choice:
            return False
        self.choice = new
        with suppress(KeepingError):  # a file that is read only shows it all the same
            keep_choice(self._journal, self._make_id, new, part)
        return True


def _codes(typed: str) -> list[str]:
    return list(dict.fromkeys(word.upper() for word in typed.replace(",", " ").split()))
