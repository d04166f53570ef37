"""Opening Calculate: the command, and each of the trade's sums by its name."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from journal.desk.commands import Command
from journal.desk.find import Findable
from journal.desk.place import CurrentRecord, Desk


class SumController:
    """Opens Calculate over a window. `desk` gives what its places share, `current_record` the
    selected record, from which a sum is filled."""

    def __init__(
        self, window: QWidget, desk: Callable[[], Desk | None],
        current_record: Callable[[], CurrentRecord | None],
    ) -> None:  # fmt: skip
        self._window, self._desk, self._current_record = window, desk, current_record

    def commands(self) -> tuple[Command, ...]:
        """The list of sums."""
        return (
            Command("calculate", "Calculate…", self.show, (), self.has_journal,
                    "sums"),
        )  # fmt: skip

    def has_journal(self) -> bool:
        """A journal is open."""
        return self._desk() is not None

    def things(self) -> list[Findable]:
        """Each sum, to be found by its name or what it is for."""
        from journal.topics.registry import topics
        from journal.topics.written import topic_title

        return [
            Findable(f"{topic_title(topic)}: {topic.summary}", "calculate", ("sum", topic.name))
            for topic in topics().values()
        ]

    def show(self, name: object = "") -> None:
        """Open the list; `name` is the current sum."""
        desk = self._desk()
        if desk is not None:
            from journal.desk.calculate.dialog import CalculateDialog

            wanted = name if isinstance(name, str) else ""
            CalculateDialog(desk, self._window, wanted, self._current_record()).open()
