"""The day a plan is wished for: what is typed in its field, on the clock, with the night."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject

from journal.desk.form.line_field import LineField
from journal.keeping import Journal
from journal.records import RecordError
from journal.records.day_typed import day_typed
from journal.records.instants import MINUTE_MS
from journal.records.plan_day import PlanSchedule, day_of
from journal.records.plans import Plan
from journal.wording import text_of
from journal.wording.nights import night_words, schedule_words

_ROUND_MS = 5 * MINUTE_MS


class StartDay(QObject):
    """Reads the field for a plan; without a wish the day begins now."""

    def __init__(
        self, field: LineField, journal: Journal, now: Callable[[], int], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._field = field
        self._journal = journal
        self._now = now

    def day_for(self, plan: Plan) -> PlanSchedule:
        """The plan on the clock as wished; what was not understood is said under the field."""
        zone, text = self._journal.zone, self._field.text()
        if text:
            try:
                day = day_typed(text, plan, zone, self._now())
            except RecordError as error:
                self._field.say(text_of(error), wrong=True)
            else:
                self._field.say(schedule_words(day, self._now()))
                return day
        else:
            self._field.say("")
        return day_of(plan, zone, start_ms=-(-self._now() // _ROUND_MS) * _ROUND_MS)

    def start_ms(self, plan: Plan | None) -> int | None:
        """When the wished day begins, None without a wish that is understood."""
        if plan is None or not self._field.text():
            return None
        try:
            return day_typed(self._field.text(), plan, self._journal.zone, self._now()).start_ms
        except RecordError:
            return None

    def sentences(self, day: PlanSchedule) -> list[tuple[bool, str]]:
        """What falls in the night."""
        words = night_words(day, self._now())
        return [(True, words)] if words else []
