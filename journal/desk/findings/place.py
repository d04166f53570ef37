"""The place of findings: what goes with a score, calculated in the background, and its picture."""

from __future__ import annotations

from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.buttons import MAIN, PLAIN, Button
from journal.desk.calendarline import CHOSEN, DOT, CalendarLine, CalendarMark
from journal.desk.commands import Command
from journal.desk.empty import EmptyPage
from journal.desk.findings.further import FurtherController
from journal.desk.findings.offered import score_options
from journal.desk.findings.pages import BusyPage, TablePage
from journal.desk.findings.picture_page import PicturePage
from journal.desk.findings.printing import print_answer
from journal.desk.findings.series import SeriesController
from journal.desk.findings.series_setup import SUBJECT
from journal.desk.findings.studying import StudyController
from journal.desk.findings.table_page import ask_table
from journal.desk.form.choice import ask_menu
from journal.desk.pages import PageWidths
from journal.desk.place import Desk, Place, PlanChange, Undoing
from journal.findings import Finding
from journal.findings.answer import StudyAnswer
from journal.findings.next_make import Proposal
from journal.keeping import Change
from journal.reports.study import A_YEAR, MANNER
from journal.wording import text_of, worded
from journal.wording.dates import day_words
from journal.wording.findings import score_named
from journal.wording.next_make import proposal_kind, year_words

A_YEAR_OFFERED = (2, 4, 6, 9, 12, 18, 26, 40, 52, 100)
SERIES_KINDS = frozenset(("series", "series_make", "make"))


class FindingsPlace(Place):
    """Left the table of dots and ranges, right the picture of the one picked; below the wheels.
    Both give way to the pages of a series while one is to be seen."""

    key = "findings"
    title = "Findings"
    fold = PageWidths(0.54, 560, 1200, 620, 600)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._row = 0  # of the answer's table, ringed
        self._picked = ""
        self._wheel = ""
        self.study = StudyController(desk, self)
        self.study.began.connect(self._on_began)
        self.study.answered.connect(self._on_answered)
        self.study.refused.connect(self._on_refused)
        self.series = SeriesController(desk, self.study, self.messages, self)
        self.series.turned.connect(self._on_turned)
        self.series.named.connect(self._on_series_named)
        self.series.goes.connect(self.goes)
        self.series.score_asked.connect(self.choose_score)
        self.again = Button("Start again", MAIN, "main")
        self.again.clicked.connect(self.look_again)
        self.empty, self.refused = self._empty(), EmptyPage("", "", (self.again,))
        self.busy = BusyPage()
        self.busy.stop.clicked.connect(self.stop)
        self.study.progressed.connect(self.busy.show_progress)
        self.further = FurtherController(desk, self.study, self)
        self.results = TablePage(self.further.button_words)
        self.results.further.clicked.connect(self.further.ask)
        self.results.score.clicked.connect(self.choose_score)
        self.results.series.clicked.connect(self.series.show)
        self.results.table.picked.connect(self._on_picked)
        self.results.table.opened.connect(self._on_opened)
        self.results.table.stepped.connect(self._on_stepped)
        self.beside = PicturePage(self.journal.zone, self.desk.clock())
        self.beside.card.planned.connect(self._on_planned)
        self.beside.card.asked.connect(self.ask_a_year)
        self.beside.card.kind_chosen.connect(self._on_kind)
        self.beside.picture.went.connect(self._on_point)
        self.beside.open.clicked.connect(self.open_make)
        self.under: QWidget = self.empty  # what is shown where no series is
        self.line = CalendarLine("Wheels")
        self.line.went.connect(self._on_wheel)
        self.pages = QStackedWidget()
        for page in (self.empty, self.refused, self.busy, self.results):
            self.pages.addWidget(page)
        self.rights = QStackedWidget()
        self.rights.addWidget(self.beside)
        self.arrange(self.pages, self.rights, self.line)
        desk.alarm.ticked.connect(self._on_tick)

    def _empty(self) -> EmptyPage:
        begin = Button("Score a wheel", MAIN, "place_7")
        begin.clicked.connect(self._on_begin)
        set_up = Button("Set up a series of makes", PLAIN, "show_series")
        set_up.clicked.connect(self.series.show)
        return EmptyPage(
            "Nothing has been scored yet.",
            worded("desk.no-findings-yet"),
            (begin, set_up),
        )

    def commands(self) -> tuple[Command, ...]:
        return (
            Command("open_make", "Open the make, or continue a series", self.main_act,
                    ("main",)),
            Command(
                "as_last_time",
                "Repeat the selected make with a change",
                self.as_last_time,
                (),
                self.shows_results,
            ),
            Command("plan_next", "Plan the suggested next make", self.plan_next, ("larger_act",),
                    self.shows_results),
            Command("turn_card", "Next make: careful, bold, one change, best known plan",
                    self.turn_card, (), self.shows_results),
            Command("best_known", "Best known plan", self.show_best, (),
                    self.shows_results),
            Command("makes_a_year", "Set how many makes a year…", self.ask_a_year, (),
                    self.shows_results),
            Command("choose_score", "Choose a score or a defect", self.choose_score, ("choose",),
                    self.has_scores),
            self.further.command,
            Command("next_part", "Next part: numbers, what if, before and after; next series",
                    self.next_part, ("next",), self.has_parts),
            Command("print_findings", "Print these findings…", self.print_findings, ("print",),
                    self.shows_results),
            Command("table_findings", "Findings of a table, on a page of its own…",
                    self.ask_table),
            *self.series.commands(),
            Command("stop_findings", "Stop, or leave the series", self.stop, ("leave",),
                    self.can_leave),
        )  # fmt: skip

    # What the frame says

    def entered(self) -> None:
        self.clear(SUBJECT)
        self._show()
        self.series.refresh()
        self._focus_page()

    def on_change(self, change: Change) -> None:
        self.further.forget_steps()
        touched = self.study.forget(change)
        if self.isVisible():
            self._show()
            if change.kinds & SERIES_KINDS or touched:
                self.series.refresh()

    def settled(self) -> bool:
        return not self.study.working and super().settled()

    def own_undo(self) -> Undoing:
        return self.further

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self.study.stop()

    # Acts

    def shows_results(self) -> bool:
        """A study is to be seen."""
        return self.pages.currentWidget() is self.results

    def has_scores(self) -> bool:
        """A score can be chosen."""
        return self.shows_results() or (self.series.is_standing() and self.study.any_scored())

    def has_parts(self) -> bool:
        """There is another part to turn to."""
        return self.shows_results() or self.series.is_standing()

    def can_leave(self) -> bool:
        """There is a study to stop, or a series or a question to leave."""
        asking = self.shows_results() and self.beside.is_asking()
        return self.study.working or bool(self.series.shown) or asking

    def main_act(self) -> None:
        """Open the ringed make; look again where the study was stopped; go on with a series."""
        if self.series.shown:
            self.series.act()
        elif self.pages.currentWidget() is self.refused:
            self.look_again()
        elif self.shows_results():
            self.open_make()

    def open_make(self) -> None:
        """Go to the make of the ringed point."""
        self._take_ringed("makes")

    def as_last_time(self) -> None:
        """Take the plan of the ringed make, as it was, to Plans as a draft."""
        self._take_ringed("plans")

    def _take_ringed(self, place: str) -> None:
        answer = self.study.answer
        if answer is not None:
            self.goes.emit(place, answer.makes[answer.table.make[self._row]].make_id)

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

    def show_best(self) -> None:
        """Show the best known plan on the card."""
        self.beside.turn_to(0)
        self.beside.card.turn_to("best")
        self._hold_focus()

    def ask_a_year(self) -> None:
        """Ask how many makes a year there are; what learning is worth hangs on it."""
        answer = self.study.answer
        if answer is not None:
            now = str(round(answer.next_make.a_year))
            options = [(str(n), year_words(n)) for n in sorted({*A_YEAR_OFFERED, int(now)})]
            ask_menu(self.beside.card.year, "Makes a year", options, now, self._on_a_year)

    def _on_a_year(self, number: str) -> None:
        self.journal.set_setting(A_YEAR, number)
        self.study.again()

    def _on_kind(self, kind: str) -> None:
        if kind != "best":  # what is asked for is remembered, what is only looked at is not
            self.journal.set_setting(MANNER, kind)

    def next_part(self) -> None:
        """Turn to the next part under the picture, or to another series."""
        if self.series.is_standing():
            self.series.show_other()
        else:
            self.beside.next_part()
            self._hold_focus()

    def _hold_focus(self) -> None:
        """A part that asks nothing leaves the keys to the table."""
        if not self.beside.is_asking():
            self.results.table.setFocus()

    def print_findings(self) -> None:
        """Write the findings as a PDF."""
        answer = self.study.answer
        if answer is not None:
            print_answer(self, answer)

    def choose_score(self) -> None:
        """Offer the scores and the defects there are."""
        button = (
            self.series.beside.made().score if self.series.is_standing() else self.results.score
        )
        options = score_options(self.study.offered())
        ask_menu(button, "Scores and defects", options, self.study.score, self._on_score)

    def stop(self) -> None:
        """End the study under way, and say so; or leave the series, or the question typed."""
        if self.series.shown:
            self.series.leave()
        elif self.study.working:
            self.study.stop()
            self._refuse(
                "The findings were stopped.", ("Nothing was changed. Start them again at any time.")
            )
        else:
            self.results.table.setFocus()

    def ask_table(self) -> None:
        """Open a table that is no journal on a page of its own."""
        ask_table(self.window(), self.desk)

    def look_again(self) -> None:
        """Begin the study again."""
        self._show()

    # The pages

    def _on_tick(self) -> None:
        """Another window may have ticked further variables."""
        if self.isVisible() and not self.journal.closed and self.study.forget_if_ticked():
            self.further.forget_steps()
            self._show()

    def _show(self) -> None:
        """Show the answer there is; begin to make one where there is none."""
        self.study.forget_if_ticked()
        if not self.study.any_scored():
            self.study.stop()
            self._turn_to(self.empty)
            return
        if self.study.answer is not None:
            self.results.score.set_label(score_named(self.study.score))
            self._turn_to(self.results)
        elif not self.study.working:
            self.study.begin()

    def _refuse(self, heading: str, sentence: str) -> None:
        self.refused.heading.setText(heading)
        self.refused.sentence.setText(sentence)
        self._turn_to(self.refused)
        if not self.series.shown:
            self.again.setFocus()

    def _turn_to(self, page: QWidget) -> None:
        """Show a page of the findings; while a series is shown it waits under it."""
        self.under = page
        if page is not self.results:
            self.line.show_days("Wheels", (), self.journal.zone)
        self._show_pages()
        self.series.read()

    def _show_pages(self) -> None:
        page, right = self.series.pages or (self.under, self.beside)
        for stack, shown in ((self.pages, page), (self.rights, right)):
            if stack.indexOf(shown) < 0:  # of a series, seen for the first time
                stack.addWidget(shown)
                self.offer_commands(shown)
        self.pages.setCurrentWidget(page)
        self.rights.setCurrentWidget(right)
        self.rights.setVisible(right is not self.beside or page is self.results)

    def _focus_page(self) -> None:
        """Put the focus where the page is read."""
        page = self.pages.currentWidget()
        (self.results.table if page is self.results else page).setFocus()

    def _on_turned(self) -> None:
        self._show_pages()
        if not self.series.shown:
            self._focus_page()

    def _on_series_named(self, words: str) -> None:
        self.results.series.set_label(words, "show_series")

    # The study

    def _on_began(self) -> None:
        self.busy.heading.setText(worded("desk.looking-for", subject=self.study.subject))
        self.busy.show_progress(0.0, "Reading the makes")
        self._turn_to(self.busy)

    def _on_answered(self, answer: StudyAnswer) -> None:
        self._row = _row_of(answer, self._wheel)
        self.beside.card.turn_to(self.journal.setting(MANNER) or "")
        known = self.journal.setting(A_YEAR) is not None
        self.beside.card.show_next(answer.next_make, year_known=known)
        self.results.score.set_label(score_named(self.study.score))
        self.results.show_answer(answer, self._picked)
        self._turn_to(self.results)
        if not self.series.shown:
            self.results.table.setFocus()

    def _on_refused(self, sentence: str) -> None:
        self._refuse("Nothing can be said yet.", sentence)

    def _on_score(self, name: str) -> None:
        if name != self.study.score:
            self.study.choose(name)
            self._show()
            if self.study.answer is not None:
                self._on_answered(self.study.answer)

    # The one picked

    def _on_picked(self, finding: Finding) -> None:
        answer = self.study.answer
        if answer is None:
            return
        self._picked = finding.variable
        rows = answer.rows_of(finding.variable).tolist()
        if self._row not in rows:
            self._row = rows[-1]
        self.beside.show_finding(answer, finding, self._row)
        self._name_row(answer)

    def _choose(self, row: int | None) -> None:
        answer = self.study.answer
        if answer is not None and row is not None:
            self._row = row
            self.beside.picture.choose(row)
            self._name_row(answer)

    def _name_row(self, answer: StudyAnswer) -> None:
        self.beside.open.set_label(worded("desk.open", name=answer.table.make[self._row]), "main")
        zone, chosen = self.journal.zone, answer.table.wheel[self._row]
        self._wheel = chosen
        days, seen = [], set()
        for make, wheel in zip(answer.table.make, answer.table.wheel, strict=True):
            if wheel not in seen:
                seen.add(wheel)
                at = answer.makes[make].started_ms
                look = CHOSEN if wheel == chosen else DOT
                days.append(CalendarMark(at, f"{wheel}, {day_words(at, zone)}", wheel, look))
        count = worded("wording.many-wheel", number=len(days))
        self.line.show_days(count, days, zone)

    def _on_stepped(self, step: int) -> None:
        self._choose(self.beside.picture.step(self._row, step))

    def _on_point(self, row: int) -> None:
        self._choose(row)
        self.open_make()

    def _on_planned(self, proposal: Proposal) -> None:
        answer = self.study.answer
        if answer is None or answer.next_make.start is None:
            return
        make_id = answer.next_make.start.make_id
        words = f"{proposal_kind(proposal.kind)}: {text_of(proposal.title)}"
        self.open_change(PlanChange(make_id, proposal.plan, proposal.stage, words))

    def _on_wheel(self, wheel: str) -> None:
        answer, finding = self.study.answer, self.results.table.current()
        if answer is not None and finding is not None:
            rows = [r for r in answer.rows_of(finding.variable) if answer.table.wheel[r] == wheel]
            self._choose(int(rows[-1]) if rows else None)

    def _on_opened(self, _finding: Finding) -> None:
        self.open_make()

    def _on_begin(self) -> None:
        self.goes.emit("tastings", None)


def _row_of(answer: StudyAnswer, wheel: str) -> int:
    """The row of a wheel at its oldest age; of the newest make where there is none such."""
    if wheel in answer.table.wheel:
        return len(answer.table.wheel) - 1 - answer.table.wheel[::-1].index(wheel)
    started = [answer.makes[make].started_ms for make in answer.table.make]
    newest = max(started)
    return max(row for row, at in enumerate(started) if at == newest)
