"""Opening the history of a record, or of the journal, from where it is shown."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget

from journal.desk.commands import Command
from journal.desk.place import CurrentRecord, Desk
from journal.wording.sentences import word_of


def history_command(
    place: QWidget, desk: Desk, current_record: Callable[[], CurrentRecord | None], what: str
) -> Command:
    """The command that shows the history of the selected record, in the menu of its list."""
    return Command(
        "record_history", word_of("desk.history-of-", what),
        partial(_show, place, desk, current_record),
        enabled=partial(_any, current_record),
    )  # fmt: skip


class HistoryController:
    """What a window shows of its journal's past. `desk` gives what its places share."""

    def __init__(self, window: QWidget, desk: Callable[[], Desk | None]) -> None:
        self._window, self._desk = window, desk

    def commands(self) -> tuple[Command, ...]:
        """The history of the whole journal, and the bin."""
        return (
            Command("history", "History…", self.show_history, (),
                    self.has_journal, "edit"),
            Command("bin", "Bin…", self.show_bin, (), self.has_journal, "edit"),
        )  # fmt: skip

    def has_journal(self) -> bool:
        """A journal is open."""
        return self._desk() is not None

    def show_history(self) -> None:
        """What was done in the journal, and the way back."""
        desk = self._desk()
        if desk is not None:
            _show(self._window, desk, lambda: None)

    def show_bin(self) -> None:
        """What was deleted."""
        desk = self._desk()
        if desk is not None:
            from journal.desk.bin import BinDialog

            BinDialog(desk, self._window).open()


def _show(place: QWidget, desk: Desk, current_record: Callable[[], CurrentRecord | None]) -> None:
    from journal.desk.history import HistoryDialog

    HistoryDialog(desk, place.window(), current_record()).open()


def _any(current_record: Callable[[], CurrentRecord | None]) -> bool:
    return current_record() is not None
