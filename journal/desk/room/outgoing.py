"""What leaves Ageing as a file: labels of wheels and the calendar of their care; and days away."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from journal.desk import dialogs
from journal.desk.commands import Command
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, DAY, Field, FormValues
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.exchange import ExchangeError
from journal.exchange.calendar_file import remember_calendar, write_calendar
from journal.keeping import KeepingError
from journal.records.instants import local
from journal.records.wheels import Absence, Wheel
from journal.reports.label import labels_of
from journal.wording import text_of, worded
from journal.wording.labels import no_room_words

_ICS = "Calendar (*.ics)"
_SUBJECT = "outgoing"  # the name of what is said in the place


class OutgoingController(QObject):
    """Writes files for the wheels that `shelf` names, those of the current shelf."""

    def __init__(
        self, desk: Desk, messages: MessageBar, shelf: Callable[[], Sequence[Wheel]],
        ask: Callable[[FormSpec], None], place: QWidget,
    ) -> None:  # fmt: skip
        super().__init__(place)
        self._desk, self._messages, self._place = desk, messages, place
        self._shelf, self._ask = shelf, ask

    def commands(self) -> tuple[Command, ...]:
        """What can be done."""
        return (
            Command("labels", "Labels of the shelf…", self.write_labels, ("print",),
                    self._has_wheels),
            Command("calendar_file", "Calendar file of the care to come…", self.write_calendar,
                    enabled=self._has_wheels),
            Command("away", "Days when nobody is there…", self.ask_away),
        )  # fmt: skip

    def _has_wheels(self) -> bool:
        return bool(self._shelf())

    def write_labels(self) -> None:
        """Show the labels of all wheels of the shelf, to be printed or saved."""
        from journal.desk.printing import Printout, PrintPreview
        from journal.desk.sheets.label_sheet import write_labels

        wheels = self._shelf()
        labels = labels_of(self._desk.journal, wheels, self._desk.clock())

        left_out: dict[str, tuple[str, ...]] = {}

        def write(where: Path, paper: str) -> int:
            nonlocal left_out
            written = write_labels(labels, where, paper=paper)
            left_out = written.left_out
            return written.pages

        def missing() -> str:
            return no_room_words(left_out)

        def saved(path: Path, pages: int) -> str:
            text = worded("desk.labels-saved", labels=len(wheels), pages=pages, file=path.name)
            return f"{text} {missing()}".rstrip()

        def report(sentence: str, attention: bool) -> None:
            self._say(sentence, wrong=attention)

        what = Printout("Labels of the shelf", "labels.pdf", write, missing=missing)
        PrintPreview(what, saved, report, self._place).open()

    def write_calendar(self) -> None:
        """Ask where, and write what is due; the file follows from then on."""
        path = dialogs.ask_save(self._place, "Calendar of the care", _ICS, "care.ics")
        if not path:
            return
        journal = self._desk.journal
        path = path if path.lower().endswith(".ics") else f"{path}.ics"
        try:
            report = write_calendar(journal, path, self._desk.clock())
            remember_calendar(journal, path)
        except (ExchangeError, KeepingError, OSError) as error:
            self._say(text_of(error), wrong=True)
        else:
            self._say(worded("desk.calendar-saved", events=report.events, file=Path(path).name))

    def ask_away(self) -> None:
        """Ask for days on which nobody can care for the wheels."""
        fields = (
            Field("first", "First day", DAY, needed=True),
            Field("last", "Last day", DAY, needed=True),
            Field("note", "Note", AS_TYPED, hint="optional"),
        )
        instants = (self._desk.journal.zone, self._desk.clock())
        title = "Days when nobody is there; care moves to before or after them"
        self._ask(FormSpec(title, fields, self._on_away, instants=instants))

    def _on_away(self, filled: FormValues) -> None:
        first, last = (self._day(filled, key) for key in ("first", "last"))
        away = Absence(first.isoformat(), last.isoformat(), filled.text("note"))
        self._desk.journal.shelves.be_away(away)

    def _day(self, filled: FormValues, key: str) -> date:
        noon = filled.instant(key)
        return local(self._desk.clock() if noon is None else noon, self._desk.journal.zone).date()

    def _say(self, sentence: str, *, wrong: bool = False) -> None:
        self._messages.show_message(_SUBJECT, sentence, attention=wrong)
