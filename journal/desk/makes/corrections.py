"""What was can be edited in Makes too: milk, the plan that was meant, times, what was used."""

from __future__ import annotations

from journal.desk.commands import Command
from journal.desk.place import Place
from journal.desk.stock.page import USED


class CorrectionActs:
    """Puts right what a make was begun with and how its day went, with the dialogs of the vat."""

    def __init__(self, place: Place) -> None:
        self._place = place

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
            whole = self._place.journal.whole(make_id)
            MakeFacts(self._place.journal, whole, self._place.window(), first).open()

    def correct_times(self) -> None:
        """When each stage began and the last one ended, to be typed otherwise."""
        from journal.desk.vat.times import StageTimes

        make_id = self._make_id()
        if make_id is not None and self._has_begun():
            journal, clock = self._place.journal, self._place.desk.clock
            StageTimes(journal, journal.whole(make_id), clock, self._place.window()).open()

    def show_used(self) -> None:
        """What was really used, in the stock: amounts and lots to change."""
        make_id = self._make_id()
        if make_id is not None:
            self._place.desk.make_id, self._place.desk.wants = make_id, USED
            self._place.goes.emit("plans", None)

    def _make_id(self) -> int | None:
        current_record = self._place.current_record()
        return None if current_record is None else current_record.key

    def _has_make(self) -> bool:
        return self._make_id() is not None

    def _has_begun(self) -> bool:
        make_id = self._make_id()
        runs = [] if make_id is None else self._place.journal.runs.where(make_id=make_id)
        return any(run.began_ms is not None for run in runs)
