"""What was can be edited in Makes too: milk, the plan that was meant, times, what was used."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from journal.desk.commands import Command
from journal.desk.place import CurrentRecord
from journal.keeping import Journal


class CorrectionActs:
    """Puts right what a make was begun with and how its day went, with the dialogs of the vat.
    `show_used` goes to what was used, in the stock."""

    def __init__(
        self, journal: Journal, clock: Callable[[], int],
        current_record: Callable[[], CurrentRecord | None], show_used: Callable[[int], None],
        window: Callable[[], QWidget],
    ) -> None:  # fmt: skip
        self._journal, self._clock, self._current_record = journal, clock, current_record
        self._show_used, self._window = show_used, window

    def commands(self) -> tuple[Command, ...]:
        """What can be put right of the selected make."""
        has = self._has_make
        return (
            Command("milk", "Change the milk amount…", self.correct_milk, ("amount",), has),
            Command("plan", "Another plan was meant…", self.correct_plan, (), has),
            Command("times", "Times of all stages…", self.correct_times, (),
                    self._has_begun),
            Command("used", "What was really used…", self.show_used, (), has),
        )  # fmt: skip

    def correct_milk(self) -> None:
        """Put right how much milk there was."""
        self._correct("milk")

    def correct_plan(self) -> None:
        """Put right by which plan it was run; the readings stay."""
        self._correct("plan")

    def _correct(self, first: str) -> None:
        from journal.desk.vat.make_facts import MakeFacts

        make_id = self._make_id()
        if make_id is not None:
            whole = self._journal.whole(make_id)
            MakeFacts(self._journal, whole, self._window(), first).open()

    def correct_times(self) -> None:
        """When each stage began and the last one ended, to be typed otherwise."""
        from journal.desk.vat.times import StageTimes

        make_id = self._make_id()
        if make_id is not None and self._has_begun():
            whole = self._journal.whole(make_id)
            StageTimes(self._journal, whole, self._clock, self._window()).open()

    def show_used(self) -> None:
        """What was really used, in the stock: amounts and lots to change."""
        make_id = self._make_id()
        if make_id is not None:
            self._show_used(make_id)

    def _make_id(self) -> int | None:
        here = self._current_record()
        return None if here is None else here.key

    def _has_make(self) -> bool:
        return self._make_id() is not None

    def _has_begun(self) -> bool:
        make_id = self._make_id()
        runs = [] if make_id is None else self._journal.runs.where(make_id=make_id)
        return any(run.began_ms is not None for run in runs)
