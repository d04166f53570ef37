"""The place of findings: what goes with a score, worked out beside the screen, and its picture."""

from __future__ import annotations

from PySide6.QtGui import QAction, QHideEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.buttons import MAIN, PLAIN, Button
from journal.desk.calendarline import CHOSEN, DOT, CalendarLine, Day
from journal.desk.commands import Command
from journal.desk.empty import EmptyPage
from journal.desk.findings.answer import Answer
from journal.desk.findings.offered import menu_of, offered
from journal.desk.findings.pages import BusyPage, TablePage
from journal.desk.findings.picture_page import PicturePage
from journal.desk.findings.printing import print_answer
from journal.desk.findings.series_acts import SeriesActs
from journal.desk.findings.studying import Studying
from journal.desk.place import Desk, Place, PlanChange
from journal.findings import Finding
from journal.findings.next_make import Proposal
from journal.keeping import Change
from journal.quantities.counts import counted
from journal.records.dates import day_words

# A change in these makes every answer old; in the others only when a make of the answer changed.
_ALWAYS = frozenset(
    ("score", "defect_mark", "sample", "tasting", "assessor", "wheel", "make", "entered",
     "air_reading", "plan")
)  # fmt: skip
SERIES_KINDS = frozenset(("series", "series_make", "make"))
_WITHIN = frozenset(("reading", "stage_run", "addition"))


class FindingsPlace(Studying, SeriesActs, Place):
    """Left the table of dots and ranges, right the picture of the one picked; below the wheels."""

    key = "findings"
    title = "Findings"
    left_share = 0.54
    left_least = 520

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.score = "overall"
        self._chosen = False  # by the person; until then the score that was given most
        self.answers: dict[str, Answer] = {}
        self._row: int | None = None  # of the answer's table, ringed
        self._picked = ""
        self._wheel = ""
        self._working = False

    # Build

    def right(self) -> QWidget:
        self.build_series()
        self.beside = PicturePage(self.journal.zone, self.desk.clock())
        self.beside.card.planned.connect(self._on_planned)
        self.beside.picture.opened.connect(self._on_point)
        self.beside.open.clicked.connect(self.open_make)
        self.rights = QStackedWidget()
        for page in (self.beside, self.set_page, self.series_beside):
            self.rights.addWidget(page)
        return self.rights

    def left(self) -> QWidget:
        begin = Button("Score a wheel", MAIN, "Ctrl 7")
        begin.clicked.connect(self._on_begin)
        lay = Button("Lay out a series of makes", PLAIN, "Ctrl D")
        lay.clicked.connect(self.show_series)
        self.empty = EmptyPage(
            "Nothing has been scored yet.",
            "When wheels have scores, each make variable stands here with its effect on the score, "
            "a range, and how sure that is. Ranges begin at five makes. Score a wheel, or bring in "
            "a table of past makes with Ctrl Shift I.",
            (begin, lay),
        )
        self.again = Button("Look again", MAIN, "Ctrl ⏎")
        self.again.clicked.connect(self.look_again)
        self.refused = EmptyPage("", "", (self.again,))
        self.busy = BusyPage()
        self.busy.stop.clicked.connect(self.stop)
        self.told = TablePage()
        self.told.score.clicked.connect(self.choose_score)
        self.told.series.clicked.connect(self.show_series)
        self.told.table.picked.connect(self._on_picked)
        self.told.table.opened.connect(self._on_opened)
        self.told.table.stepped.connect(self._on_stepped)
        self.pages = QStackedWidget()
        self.under: QWidget = self.empty  # what is shown where no series is
        for page in (self.empty, self.refused, self.busy, self.told, self.form, self.standing):
            self.pages.addWidget(page)
        return self.pages

    def strip(self) -> QWidget:
        self.line = CalendarLine("Wheels")
        self.line.picked.connect(self._on_wheel)
        return self.line

    def commands(self) -> tuple[Command, ...]:
        return (
            Command("open_make", "Open the make; go on with a series", self.main_act,
                    ("Ctrl+Return", "Ctrl+Enter")),
            Command(
                "as_last_time",
                "Make the ringed one again, with a change",
                self.as_last_time,
                ("Ctrl+R",),
                self.is_told,
            ),
            Command("plan_next", "Plan the next make as the card says", self.plan_next, ("Ctrl+L",),
                    self.is_told),
            Command("turn_card", "Turn the card: to learn, or to improve", self.turn_card,
                    ("Ctrl+Shift+L",), self.is_told),
            Command("choose_score", "Choose a score or a defect", self.choose_score, ("Ctrl+J",),
                    self.has_scores),
            Command("next_part", "Numbers, what if, before and after; another series",
                    self.next_part, ("F6",), self.has_parts),
            Command("print_findings", "Print these findings…", self.print_findings, ("Ctrl+P",),
                    self.is_told),
            *self.series_commands(),
            Command("stop_findings", "Stop; leave the series", self.stop, ("Esc",), self.can_leave),
        )  # fmt: skip

    # What the frame says

    def entered(self) -> None:
        self.clear("series")
        self._show()
        self._refresh_series()
        self.focus_page()

    def focus_page(self) -> None:
        """Put the focus where the page is read."""
        page = self.pages.currentWidget()
        (self.told.table if page is self.told else page).setFocus()

    def heard(self, change: Change) -> None:
        touched = change.kinds & _ALWAYS
        if change.kinds & _WITHIN and not touched:
            for score, answer in list(self.answers.items()):
                inside = {known.make_id for known in answer.makes.values()}
                if not change.makes or change.makes & inside:
                    del self.answers[score]
        if touched:
            self.answers.clear()
            if self._working:
                self._begin()
        if self.isVisible():
            self._show()
            if change.kinds & SERIES_KINDS or touched:
                self._refresh_series()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self._end()

    # Acts

    def is_told(self) -> bool:
        """A study is to be seen."""
        return self.pages.currentWidget() is self.told

    def is_working(self) -> bool:
        """A study is under way."""
        return self._working

    def has_scores(self) -> bool:
        """A score can be chosen."""
        return self.is_told() or (self.has_series() and bool(offered(self.journal)))

    def has_parts(self) -> bool:
        """There is another part to turn to."""
        return self.is_told() or self.has_series()

    def can_leave(self) -> bool:
        """There is a study to stop, or a series or a question to leave."""
        asking = self.is_told() and self.beside.is_asking()
        return self._working or bool(self.in_series) or asking

    def main_act(self) -> None:
        """Open the ringed make; look again where the study was stopped; go on with a series."""
        if self.in_series:
            self.series_act()
        elif self.pages.currentWidget() is self.refused:
            self.look_again()
        elif self.is_told():
            self.open_make()

    def open_make(self) -> None:
        """Go to the make of the ringed point."""
        answer = self.answers.get(self.score)
        if answer is not None and self._row is not None:
            self.goes.emit("makes", answer.makes[answer.table.make[self._row]].make_id)

    def as_last_time(self) -> None:
        """Take the plan of the ringed make, as it was, to Plans as a draft."""
        answer = self.answers.get(self.score)
        if answer is not None and self._row is not None:
            self.goes.emit("plans", answer.makes[answer.table.make[self._row]].make_id)

    def plan_next(self) -> None:
        """Open the plan with the card's change marked; with none, show why there is none."""
        if self.beside.card.proposal is None:
            self.beside.turn_to(0)
            self._hold_focus()
        self.beside.card.plan_it()

    def turn_card(self) -> None:
        """Show the card's other change."""
        self.beside.turn_to(0)
        self.beside.card.turn()
        self._hold_focus()

    def next_part(self) -> None:
        """Turn to the next part under the picture, or to another series."""
        if self.has_series():
            self.other_series()
        else:
            self.beside.next_part()
            self._hold_focus()

    def _hold_focus(self) -> None:
        """A part that asks nothing leaves the keys to the table."""
        if not self.beside.is_asking():
            self.told.table.setFocus()

    def print_findings(self) -> None:
        """Write what is told as a PDF."""
        if self.score in self.answers:
            print_answer(self, self.answers[self.score])

    def choose_score(self) -> None:
        """Offer the scores and the defects there are."""
        menu = menu_of(self.journal, self.score, self)
        menu.triggered.connect(self._on_score)
        menu.aboutToHide.connect(menu.deleteLater)
        button = self.series_beside.score if self.has_series() else self.told.score
        menu.popup(button.mapToGlobal(button.rect().bottomLeft()))

    def stop(self) -> None:
        """End the study under way, and say so; or leave the series, or the question typed."""
        if self.in_series:
            self.leave_series()
        elif self._working:
            self._end()
            self._refuse("The findings were stopped.", "Nothing was changed; look again any time.")
        else:
            self.told.table.setFocus()

    def look_again(self) -> None:
        """Begin the study again."""
        self._show()

    # The one picked

    def _on_picked(self, finding: Finding) -> None:
        answer = self.answers.get(self.score)
        if answer is None:
            return
        self._picked = finding.variable
        rows = answer.rows_of(finding.variable)
        if self._row not in rows.tolist():
            self._row = int(rows[-1])
        self.beside.show_finding(answer, finding, self._row)
        self._name_row(answer)

    def _choose(self, row: int | None) -> None:
        answer = self.answers.get(self.score)
        if answer is not None and row is not None:
            self._row = row
            self.beside.picture.choose(row)
            self._name_row(answer)

    def _name_row(self, answer: Answer) -> None:
        self.beside.open.set_words(f"Open {answer.table.make[self._row]}", "Ctrl ⏎")
        zone, chosen = self.journal.zone, answer.table.wheel[self._row]
        self._wheel = chosen
        days, seen = [], set()
        for make, wheel in zip(answer.table.make, answer.table.wheel, strict=True):
            if wheel not in seen:
                seen.add(wheel)
                at = answer.makes[make].started_ms
                look = CHOSEN if wheel == chosen else DOT
                days.append(Day(at, f"{wheel}, {day_words(at, zone)}", wheel, look))
        count = counted(len(days), "wheel")
        self.line.show_days(count, days, zone)

    def _on_stepped(self, step: int) -> None:
        self._choose(self.beside.picture.step(self._row, step))

    def _on_point(self, row: int) -> None:
        self._choose(row)
        self.open_make()

    def _on_planned(self, proposal: Proposal) -> None:
        answer = self.answers.get(self.score)
        if answer is None:
            return
        make_id = answer.makes[answer.newest].make_id
        words = proposal.title.removesuffix(".") + f", to {proposal.kind}."
        self.desk.change = PlanChange(make_id, proposal.plan, proposal.stage, words)
        self.goes.emit("plans", make_id)

    def _on_wheel(self, wheel: str) -> None:
        answer, finding = self.answers.get(self.score), self.told.table.current()
        if answer is not None and finding is not None:
            rows = [r for r in answer.rows_of(finding.variable) if answer.table.wheel[r] == wheel]
            self._choose(int(rows[-1]) if rows else None)

    def _on_opened(self, _finding: Finding) -> None:
        self.open_make()

    def _on_score(self, action: QAction) -> None:
        if action.data() != self.score:
            self._end()
            self._chosen = True
            self.score = action.data()
            self._show()
            answer = self.answers.get(self.score)
            if answer is not None:
                self._on_finished(answer)

    def _on_begin(self) -> None:
        self.goes.emit("tastings", None)
