"""The commands of designed series: set one up, continue it, read its results, delete it."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from journal.background import State
from journal.desk.asking import agreed
from journal.desk.commands import Command
from journal.desk.findings.saved_series import SeriesBeside, SeriesPage
from journal.desk.findings.series_setup import SUBJECT, SeriesSetupController
from journal.desk.findings.studying import StudyController
from journal.desk.late import OnDemand
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.series_change import series_change
from journal.findings import FindingError
from journal.findings.series import Design
from journal.findings.series_answer import SeriesAnswer, answer_series
from journal.findings.series_plans import design_of
from journal.findings.study import Study
from journal.findings.table import ScoreTable
from journal.keeping import KeepingError
from journal.keeping.series import SeriesMakeState, SeriesWithMakes
from journal.records import id_of
from journal.wording import text_of, worded
from journal.wording.findings import score_named
from journal.wording.series_answer import SeriesMakeRow

FORM, STANDING = "form", "standing"
READ = "series answer"


class SeriesController(QObject):
    """The pages of series and their commands; `shown` is FORM, STANDING, or "" for the findings.

    `turned` comes when another page is to be seen, `named` carries what the findings call the
    newest series, `goes` asks for another place.
    """

    turned = Signal()
    named = Signal(str)
    goes = Signal(str, object)
    score_asked = Signal()

    def __init__(
        self, desk: Desk, study: StudyController, messages: MessageBar, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._desk, self._designs = desk, desk.journal.designs
        self._study, self._messages = study, messages
        self.shown = ""
        self.current: SeriesWithMakes | None = None
        self._current_record: int | None = None  # the series that is to be seen
        self._gone: int | None = None  # the series that was to be seen when it was undone
        self.setting_up = OnDemand(self._made_setting_up)
        self.saved_page = OnDemand(self._made_saved)
        self.beside = OnDemand(self._made_beside)  # what the scores of a series say

    def _made_setting_up(self) -> SeriesSetupController:
        made = SeriesSetupController(self._desk, self._study, self._messages, self)
        made.saved.connect(self._on_saved)
        made.form.back.clicked.connect(self.leave)
        return made

    def _made_saved(self) -> SeriesPage:
        made = SeriesPage()
        made.back.clicked.connect(self.leave)
        made.fresh.clicked.connect(self.begin)
        made.other.clicked.connect(self.show_other)
        made.away.clicked.connect(self.delete)
        made.plan_next.clicked.connect(self.plan_next)
        made.table.opened.connect(self._on_made)
        return made

    def _made_beside(self) -> SeriesBeside:
        made = SeriesBeside()
        made.score.clicked.connect(self.score_asked)
        return made

    @property
    def pages(self) -> tuple[QWidget, QWidget] | None:
        """The page to be seen and the one beside it; None: those of the findings."""
        if self.shown == FORM:
            return self.setting_up.made().form, self.setting_up.made().set_page
        if self.shown == STANDING:
            return self.saved_page.made(), self.beside.made()
        return None

    def commands(self) -> tuple[Command, ...]:
        """What can be done about series."""
        return (
            Command("show_series", "Set up a series of makes, or show the current one",
                    self.show),
            Command("new_series", "Set up a new series of makes", self.begin, ("new_here",)),
            Command("delete_series", "Delete the series", self.delete, ("delete_line",),
                    self.is_standing),
        )  # fmt: skip

    # Commands

    def is_standing(self) -> bool:
        """A series that stands is to be seen."""
        return self.shown == STANDING

    def show(self) -> None:
        """Show the newest series that stands, or begin to lay one out."""
        found = self._designs.all()
        if not found:
            self.begin()
            return
        known = [one.series.id for one in found]
        self._current_record = self._current_record if self._current_record in known else known[0]
        self._turn(STANDING)

    def begin(self) -> None:
        """Show the form to set up a series."""
        self.setting_up.made().begin()
        self._turn(FORM)

    def leave(self) -> None:
        """Back to the findings."""
        if self.setting_up.part is not None:
            self.setting_up.part.stop()
        self._turn("")
        self._messages.clear(SUBJECT)

    def show_other(self) -> None:
        """The next of the series that stand."""
        known = [one.series.id for one in self._designs.all()]
        if self._current_record in known and len(known) > 1:
            self._current_record = known[(known.index(self._current_record) + 1) % len(known)]
            self.refresh()

    def delete(self) -> None:
        """Delete the current series; undo restores it."""
        if self.current is None or not self.is_standing():
            return
        series = self.current.series
        if not agreed(
            self.saved_page.made(),
            self._desk.settings,
            worded("desk.delete-series", name=series.name),
        ):
            return
        try:
            self._designs.put_away(id_of(series))
        except KeepingError as error:
            self._messages.show_message(SUBJECT, text_of(error))
            return
        words = worded("desk.series-deleted", name=series.name)
        self._messages.show_message(SUBJECT, words, attention=False)

    def act(self) -> None:
        """The main act of the page: lay it out, or plan its next make."""
        if self.shown == FORM:
            self.setting_up.made().set_up()
        else:
            self.plan_next()

    def plan_next(self) -> None:
        """Open the plan of the next make in Plans, with what is changed in it marked."""
        if self.current is not None and self.current.next is not None:
            self._plan(self.current, self.current.next)

    # The pages

    def _turn(self, to: str) -> None:
        self.shown = to
        self.turned.emit()
        if to == FORM:
            self.setting_up.made().ask()
            self.setting_up.made().form.setFocus()
        elif to == STANDING:
            self.refresh()
            self.saved_page.made().table.setFocus()

    def refresh(self) -> None:
        """Read the series again, and its scores; leave it where it is there no more."""
        found = self._designs.all()
        words = "New series"
        if found:
            words = worded("desk.series-so-far", made=found[0].made, makes=len(found[0].makes))
        self.named.emit(words)
        if self.shown == FORM and any(one.series.id == self._gone for one in found):
            self._current_record, self._gone = self._gone, None
            self._turn(STANDING)  # done again: it stands as before
            return
        if not self.is_standing():
            return
        self.current = next((one for one in found if one.series.id == self._current_record), None)
        if self.current is not None:
            self._gone = None
            self._show_series(None)
            self.read()
        elif found:
            self._current_record = found[0].series.id
            self.refresh()
        else:
            self._gone = self._current_record
            self.begin()

    def read(self) -> None:
        """Read the scores of the series to be seen beside the screen, once there are any."""
        design, answer = self.current, self._study.answer
        if design is None or not self.is_standing():
            return
        self.beside.made().score.set_label(score_named(self._study.score), "choose")
        if answer is not None and answer.is_defect:
            self.beside.made().show_waiting(worded("desk.series-needs-score"))
            return
        if answer is None and self._study.working:
            self.beside.made().show_waiting("Reading the scores…")
            return
        task = self._desk.work.start(
            READ,
            _answer,
            design_of(design.series, design.ones),
            design.series.variables,
            design.codes,
            answer.table if answer is not None else None,
            answer.study if answer is not None else None,
        )
        task.finished.connect(self._show_series)
        task.failed.connect(self._on_unread)

    def _show_series(self, answer: SeriesAnswer | None) -> None:
        design = self.current
        if design is None or not self.is_standing():
            return
        planned = design_of(design.series, design.ones)
        plan = self._desk.journal.plans.get(design.series.plan_id or 0).name
        others = len(self._designs.all()) > 1
        self.saved_page.made().show_series(design, planned, answer, plan, others)
        if answer is not None:
            self.beside.made().show_answer(design, planned, answer, self._study.score)

    def _plan(self, current: SeriesWithMakes, made: SeriesMakeState) -> None:
        try:
            self._desk.change = series_change(self._desk.journal, current, made)
        except KeepingError as error:
            self._messages.show_message(SUBJECT, text_of(error))
            return
        self.goes.emit("plans", None)

    # Handlers

    def _on_saved(self, series_id: int) -> None:
        self._current_record = series_id
        self._turn(STANDING)

    def _on_unread(self, error: Exception) -> None:
        if not isinstance(error, FindingError):
            raise error
        self.beside.made().show_waiting(text_of(error))

    def _on_made(self, row: SeriesMakeRow) -> None:
        """A make that was made is opened, one that is to be is planned."""
        if self.current is None:
            return
        made = self.current.makes[row.position]
        if made.to_make:
            self._plan(self.current, made)
        else:
            self.goes.emit("makes", row.make_id)


def _answer(
    planned: Design,
    keys: tuple[str, ...],
    codes: list[str],
    table: ScoreTable | None,
    study: Study | None,
    _state: State,
) -> SeriesAnswer:
    return answer_series(planned, keys, codes, table, study)
