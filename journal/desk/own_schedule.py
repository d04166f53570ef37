"""A schedule of a make's or a wheel's own, asked for in one line: as it is now, to be changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from journal.desk.form.ask import AskRow
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, Field, FormValues
from journal.message import Message
from journal.records import RecordError
from journal.records.care_typed import CareRead, Ending, read_schedule
from journal.records.care_written import CareLine, schedule_text
from journal.wording import text_of
from journal.wording.care import understood_lines

SCHEDULE = "schedule"  # the key of the question
_TITLE = "Schedule of {}, such as turn weekly from 2 weeks; eat from 6 months. Empty: by its plan."


class ScheduleAsk:
    """Asks in an AskRow; what is typed is said back at each key, what is saved goes to `give`."""

    def __init__(self, row: AskRow) -> None:
        self._row = row
        self._begin = Ending(1.0, 1.0)
        self._give: Callable[[Sequence[CareLine]], object] = tuple
        row.edited.connect(self._on_edited)

    def ask(
        self,
        whose: str,
        lines: Sequence[CareLine],
        from_day: float,
        give: Callable[[Sequence[CareLine]], object],
    ) -> None:
        """Ask for the schedule of `whose`; care without a day begins on `from_day`."""
        self._begin, self._give = Ending(from_day, from_day), give
        field = Field(SCHEDULE, "Schedule", AS_TYPED, text=schedule_text(lines), name="Schedule")
        key = f"{SCHEDULE} {whose}"
        self._row.ask(FormSpec(_TITLE.format(whose), (field,), self._on_saved, key))

    def _on_saved(self, filled: FormValues) -> None:
        read = self._read(filled.text(SCHEDULE))
        if read.why is not None:
            raise RecordError(read.why)
        self._give(read.lines)

    def _read(self, text: str) -> CareRead:
        return read_schedule(text, self._begin)

    def _on_edited(self, text: str) -> None:
        if not self._row.key.startswith(SCHEDULE) or not text.strip():
            return
        read = self._read(text)
        understood = understood_lines(read.lines)
        why: Message | None = read.why
        self._row.message.setText(
            f"{understood} · ▲ {text_of(why)}" if why is not None else understood
        )
