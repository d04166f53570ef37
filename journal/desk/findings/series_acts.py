"""What can be done about designed series: laid out, gone on with, read, put away."""

from __future__ import annotations

from journal.desk.commands import Command
from journal.desk.findings.series_asked import Worked
from journal.desk.findings.series_form import SeriesForm
from journal.desk.findings.series_laying import FORM, SAID, STANDING, WORK, SeriesLaying
from journal.desk.findings.series_set import SetPage, SetRow
from journal.desk.findings.series_standing import SeriesBeside, StandingPage
from journal.desk.series_change import series_change
from journal.desk.work import State
from journal.findings import FindingError
from journal.findings.series import Design
from journal.findings.series_answer import SeriesAnswer, answer_series
from journal.findings.series_plans import design_of
from journal.findings.table import ScoreTable
from journal.keeping import KeepingError
from journal.keeping.series import Laid, LaidMake

READ = "series answer"


class SeriesActs(SeriesLaying):
    """Mixed into the place of findings before Place: the pages of series and their commands."""

    def build_series(self) -> None:
        """The pages; in no stack yet."""
        self.in_series = ""  # FORM, STANDING, or "" for the findings
        self.series_id: int | None = None
        self.laid: Laid | None = None
        self.worked: Worked | None = None
        self._seed = 0
        self._gone: int | None = None  # the series that was to be seen when it was undone
        self._lay_wanted = False
        self.form, self.standing = SeriesForm(), StandingPage()
        self.set_page, self.series_beside = SetPage(), SeriesBeside()
        self.form.changed.connect(self._on_asked)
        self.form.plan_chosen.connect(self._on_plan_of_series)
        self.form.lay.clicked.connect(self.lay_series_out)
        self.form.back.clicked.connect(self.leave_series)
        self.standing.back.clicked.connect(self.leave_series)
        self.standing.fresh.clicked.connect(self.new_series)
        self.standing.other.clicked.connect(self.other_series)
        self.standing.away.clicked.connect(self.put_series_away)
        self.standing.plan_next.clicked.connect(self.plan_next_of_series)
        self.standing.table.opened.connect(self._on_made)
        self.series_beside.score.clicked.connect(self.choose_score)

    def series_commands(self) -> tuple[Command, ...]:
        """What can be done about series."""
        return (
            Command("show_series", "Lay out a series of makes, or see the one that stands",
                    self.show_series,
                    ("Ctrl+D",)),
            Command("new_series", "Lay out a new series of makes", self.new_series,
                    ("Ctrl+Shift+D",)),
            Command("put_series_away", "Put the series away", self.put_series_away, ("Ctrl+Del",),
                    self.has_series),
        )  # fmt: skip

    # Commands

    def has_series(self) -> bool:
        """A series is to be seen."""
        return self.in_series == STANDING

    def show_series(self) -> None:
        """Show the newest series that stands, or begin to lay one out."""
        found = self.journal.designs.all()
        if not found:
            self.new_series()
            return
        known = [one.series.id for one in found]
        self.series_id = self.series_id if self.series_id in known else known[0]
        self._turn_series(STANDING)

    def leave_series(self) -> None:
        """Back to the findings."""
        self.desk.work.stop(WORK)
        self._turn_series("")
        self.clear(SAID)

    def other_series(self) -> None:
        """The next of the series that stand."""
        known = [one.series.id for one in self.journal.designs.all()]
        if self.series_id in known and len(known) > 1:
            self.series_id = known[(known.index(self.series_id) + 1) % len(known)]
            self._refresh_series()

    def put_series_away(self) -> None:
        """Put the series at hand away; undo brings it back."""
        if self.laid is None or not self.has_series():
            return
        name = self.laid.series.name
        try:
            self.journal.designs.put_away(self.laid.series.id)
        except KeepingError as error:
            self.say(SAID, str(error))
            return
        words = f"The series of {name} is put away; its makes stay. Ctrl Z brings it back."
        self.say(SAID, words, attention=False)

    def series_act(self) -> None:
        """The main act of the page: lay it out, or plan its next make."""
        if self.in_series == FORM:
            self.lay_series_out()
        else:
            self.plan_next_of_series()

    def plan_next_of_series(self) -> None:
        """Open the plan of the next make in Plans, with what is changed in it marked."""
        if self.laid is not None and self.laid.next is not None:
            self._plan_made(self.laid.next)

    # The pages

    def _turn_series(self, to: str) -> None:
        self.in_series = to
        if to == FORM:
            self.pages.setCurrentWidget(self.form)
            self._show_right(self.set_page)
            self._on_asked()
            self.form.setFocus()
        elif to == STANDING:
            self.pages.setCurrentWidget(self.standing)
            self._show_right(self.series_beside)
            self._refresh_series()
            self.standing.table.setFocus()
        else:
            self._turn_to(self.under)
            self.focus_page()

    def _refresh_series(self) -> None:
        """Read the series again, and its scores; leave it where it is there no more."""
        found = self.journal.designs.all()
        self._name_series(found)
        if self.in_series == FORM and any(one.series.id == self._gone for one in found):
            self.series_id, self._gone = self._gone, None
            self._turn_series(STANDING)  # done again: it stands as before
            return
        if self.in_series != STANDING:
            return
        laid = next((one for one in found if one.series.id == self.series_id), None)
        if laid is None:
            self.laid = None
            if found:
                self.series_id = found[0].series.id
                self._refresh_series()
            else:
                self._gone = self.series_id
                self.new_series()
            return
        self.laid, self._gone = laid, None
        self._show_laid(None)
        self._read_series()

    def _read_series(self) -> None:
        """Read the scores of the series beside the screen, once there are any."""
        words = "the overall score" if self.score == "overall" else self.score
        self.series_beside.score.set_words(words, "Ctrl J")
        answer = self.answers.get(self.score)
        if answer is not None and answer.is_defect:
            self.series_beside.show_waiting("A series is read by scores: choose one with Ctrl J.")
            return
        if answer is None and self.is_working():
            self.series_beside.show_waiting("Reading the scores…")
            return
        table = answer.table if answer is not None else None
        laid = self.laid
        task = self.desk.work.start(
            READ,
            _answer,
            design_of(laid.series, laid.ones),
            laid.series.variables,
            laid.codes,
            table,
        )
        task.finished.connect(self._show_laid)
        task.failed.connect(self._on_unread)

    def _show_laid(self, answer: SeriesAnswer | None) -> None:
        laid = self.laid
        if laid is None or not self.has_series():
            return
        planned = design_of(laid.series, laid.ones)
        plan = self.journal.plans.get(laid.series.plan_id or 0).name
        others = len(self.journal.designs.all()) > 1
        self.standing.show_laid(laid, planned, answer, plan, others)
        if answer is not None:
            self.series_beside.show_answer(laid, planned, answer, self.score)

    def _on_unread(self, error: Exception) -> None:
        if not isinstance(error, FindingError):
            raise error
        self.series_beside.show_waiting(str(error))

    def _name_series(self, found: list[Laid]) -> None:
        """The button in the findings says how far the newest series is."""
        words = "Lay out a series"
        if found:
            words = f"The series: {found[0].made} of {len(found[0].makes)} made"
        self.told.series.set_words(words, "Ctrl D")

    # Handlers

    def _plan_made(self, made: LaidMake) -> None:
        try:
            self.desk.change = series_change(self.journal, self.laid, made)
        except KeepingError as error:
            self.say(SAID, str(error))
            return
        self.goes.emit("plans", None)

    def _on_made(self, row: SetRow) -> None:
        """A make that was made is opened, one that is to be is planned."""
        made = self.laid.makes[row.position]
        if made.to_make:
            self._plan_made(made)
        else:
            self.goes.emit("makes", made.make.id)


def _answer(
    planned: Design, keys: tuple[str, ...], codes: list[str], table: ScoreTable | None, _s: State
) -> SeriesAnswer:
    return answer_series(planned, keys, codes, table)
