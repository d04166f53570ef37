"""The part of panel tests: which page is shown, and what becomes of what is typed."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from journal.desk.form.suggest import Suggestion
from journal.desk.labels import Label
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.scrollbars import scrolled
from journal.desk.tastings.blind.key import KeyPage
from journal.desk.tastings.blind.servings import (
    GIVEN,
    NOW,
    TO_COME,
    AssessorRow,
    ServingBox,
    Servings,
)
from journal.desk.tastings.cheeses import as_entries, cheeses_like
from journal.desk.tastings.half_typed import BOARDS, UnsavedTexts
from journal.desk.tastings.panel_tests.pages import AnswerPage, TestCupsPage, TestList
from journal.desk.tastings.panel_tests.planning import Planning, is_difference, reckon
from journal.desk.tastings.panel_tests.setting_up import PanelTestForm
from journal.desk.tastings.panel_tests.share import BesideAnswer
from journal.desk.tastings.part import TastingPart
from journal.desk.tastings.session_days import people_like
from journal.desk.theme import STEP
from journal.findings import FindingError
from journal.findings.setting_up import set_up_sets
from journal.keeping import Change, KeepingError
from journal.keeping.blind import SampleIdentity
from journal.keeping.panel_sets import HiddenSet, TestRow
from journal.records import RecordError, id_of
from journal.records.panel_tests import PAIRED, RANKING, PanelTest
from journal.reports.panel_test import read
from journal.wording import text_of
from journal.wording.panel import fitting_words
from journal.wording.panel_tests import key_rows, question, read_answer, title

_SHOWN = frozenset(("panel_test", "panel_item", "panel_set", "assessor", "wheel"))
_BOARD = "test"
_HIDDEN = (
    "What is in the cups, and how many were right, stays hidden until you reveal it. Ctrl H "
    "shows the helper what to put in each cup; Ctrl P prints the sets."
)


class TestsPart(TastingPart):
    """The list, the laying out, the set at hand, the answer: one page at a time."""

    __test__ = False

    def __init__(
        self, desk: Desk, messages: MessageBar, half: UnsavedTexts, parent: QObject
    ) -> None:
        super().__init__(desk, messages, parent)
        self.draw_seed: Callable[[], int] = partial(secrets.randbits, 63)  # of codes and orders
        self.half = half
        self.test: PanelTest | None = None
        self._at = 0  # the number of the set at hand
        self._asked_reveal = False
        self._build_right()
        self._build_left()
        self.lay.recall(half.of(BOARDS).get(_BOARD))

    def _build_right(self) -> None:
        self.planning = Planning()
        self.planning.changed.connect(self._plan)
        self.servings = Servings()
        self.servings.picked.connect(self._on_picked)
        self.going = QWidget()
        column = QVBoxLayout(self.going)
        column.setContentsMargins(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(4 * STEP)
        column.addWidget(Label("How this test is going", role="quiet"))
        column.addWidget(scrolled(self.servings, sideways=True), 1)
        column.addWidget(Label(_HIDDEN, role="quiet", wrap=True))
        self.beside = BesideAnswer()
        self.right = self.right_pages = QStackedWidget()
        for page in (self.planning, self.going, self.beside):
            self.right_pages.addWidget(page)

    def _build_left(self) -> None:
        self.list = TestList()
        self.list.opened.connect(self._on_opened)
        self.list.asked.connect(self.other)
        self.lay = PanelTestForm(self._cheeses_like, self._people_like)
        self.lay.changed.connect(self._plan)
        self.lay.asked.connect(self.main)
        self.lay.left.connect(self._show_list)
        self.set = TestCupsPage()
        self.set.asked.connect(self.main)
        self.set.reveal_asked.connect(self.reveal)
        self.answer = AnswerPage()
        self.answer.back.connect(self._show_list)
        self.lay.edited.connect(self.typed)
        self.set.line.textEdited.connect(self.typed)
        self.key = KeyPage()
        self.key.away.connect(self._on_away)
        self.left = self.pages = QStackedWidget()
        for page in (self.list, self.lay, self.set, self.answer, self.key):
            self.pages.addWidget(page)

    # What the place hands on

    def hold(self) -> None:
        self.half.put(BOARDS, _BOARD, self.lay.half_typed())
        if self.is_hidden is not None and self.set.number >= 0:
            text = self.set.line.text()
            half = None if text == self.set.saved else text
            self.half.put(self.is_hidden.uuid, str(self.set.number), half)

    def entered(self) -> None:
        if self.pages.currentWidget() is self.key:
            self.key.cover(())
            self._on_away()
        elif self.test is None and self.pages.currentWidget() is self.list:
            self._show_list()

    def heard(self, change: Change) -> None:
        if not change.kinds & _SHOWN:
            return
        known = {row.test.id: row for row in self.journal.tests.rows()}
        if self.pages.currentWidget() is self.list:
            self.list.table.show_rows(list(known.values()))
        elif self.test is not None:
            row = known.get(self.test.id)
            if row is None:
                self._show_list()
            elif (row.test.lifted_ms is None) != (self.test.lifted_ms is None):
                self._open(row)
            elif row.test.lifted_ms is None:
                self._show_sets(self.test)

    def main(self) -> None:
        """What Ctrl+Enter does on the page that is shown."""
        page = self.pages.currentWidget()
        if page is self.list:
            self.list.open_current()
        elif page is self.lay:
            self._arrange()
        elif page is self.set and self.is_hidden is not None:
            self._save(self.is_hidden)
        self.typed.emit()  # what is kept now is half typed no longer

    def other(self) -> None:
        """From the list to a new test, from anywhere else to the list."""
        if self.pages.currentWidget() is self.list or not self.journal.tests.rows():
            self.test = None
            self.pages.setCurrentWidget(self.lay)
            self.right_pages.setCurrentWidget(self.planning)
            self.lay.away.setVisible(bool(self.journal.tests.rows()))
            self._plan()
            self.lay.setFocus()
        else:
            self._show_list()

    @property
    def is_hidden(self) -> PanelTest | None:
        """The test at hand while it is hidden."""
        at_hand = self.test
        return at_hand if at_hand is not None and at_hand.lifted_ms is None else None

    def can_reveal(self) -> bool:
        return self.is_hidden is not None and self.pages.currentWidget() is self.set

    def reveal(self) -> None:
        """Lift the cloth; asked twice while a set is not answered."""
        test = self.is_hidden
        if test is None or not self.can_reveal():
            return
        sets = self._sets(test)
        left = sum(not one.answer for one in sets)
        if 0 < left < len(sets) and not self._asked_reveal:
            self._asked_reveal = True
            count = "One set is" if left == 1 else f"{left} sets are"
            message = f"{count} not answered. Press F9 again to reveal anyway."
            self.set.message.say_if_any(message, wrong=True)
            return
        try:
            self.journal.tests.reveal(id_of(test), max(self.now(), test.at_ms), self)
        except KeepingError as error:
            self.set.message.say_if_any(text_of(error), wrong=True)

    def can_print(self) -> bool:
        return self.can_reveal()

    def print_out(self) -> None:
        """Print the sets for assessors without a screen."""
        from journal.desk.tastings.panel_tests.printing import print_sets

        if self.is_hidden is not None and self.can_print():
            print_sets(self.left, self.messages, self.journal, self.is_hidden)

    def has_key(self) -> bool:
        return self.pages.currentWidget() in (self.set, self.key)

    def show_key(self) -> None:
        """Show the helper's page, still covered; or put it away."""
        if self.is_hidden is None or not self.has_key():
            return
        if self.pages.currentWidget() is self.key:
            self.key.cover(())
            self._on_away()
            return
        self.pages.setCurrentWidget(self.key)
        self.key.cover(key_rows(self.journal, self.is_hidden))

    # Steps

    def _show_list(self) -> None:
        self.hold()
        self.test = None
        rows = self.journal.tests.rows()
        if not rows:
            self.other()
            return
        self.pages.setCurrentWidget(self.list)
        self.right_pages.setCurrentWidget(self.planning)
        self.list.table.show_rows(rows)
        self._plan()
        self.list.setFocus()

    def _plan(self) -> None:
        """Reckon anew how many answers it takes."""
        self.lay.message.say_if_any("")
        people = len(self.lay.people.entries())
        self.planning.fitting.setText(fitting_words(people) if people else fitting_words(3))
        kind = self.lay.kind.chosen()
        if not is_difference(kind):
            self.planning.show_none(
                "A ranking needs about 12 to 15 trained assessors, or 60 people for liking "
                "(ISO 8587). With fewer, the answer is still exact, but holds only for those "
                "who tasted."
            )
            return
        share, wanted = self.planning.asked()
        two = kind == PAIRED and self.lay.expected() is None
        task = self.desk.work.start(
            "panel size", reckon, kind, share, wanted, self.lay.answers(), two
        )
        task.finished.connect(self.planning.show_plan)

    def _arrange(self) -> None:
        kind = self.lay.kind.chosen()
        cheeses = self.lay.cheeses.meant(SampleIdentity)
        people = self.lay.people.names() * int(self.lay.times.chosen())
        try:
            sets = set_up_sets(kind, len(people), self.draw_seed(), len(cheeses))
            saved = self.journal.tests.set_up(
                PanelTest(
                    self.now(), self.journal.zone, kind, self.lay.asked_for.text().strip()
                    if kind in (PAIRED, RANKING) else "", self.lay.expected(),
                ),
                cheeses, people, [(s.cups, s.codes) for s in sets], initiator=self,
            )  # fmt: skip
        except (FindingError, KeepingError, RecordError) as error:
            self.lay.message.say_if_any(text_of(error), wrong=True)
            return
        self.lay.clear()
        self._open(next(r for r in self.journal.tests.rows() if r.test.id == saved.id))
        self.set.message.say_if_any(
            "The test is set up. Ctrl H shows the helper what to put in each cup."
        )

    def _open(self, row: TestRow) -> None:
        self.hold()
        self.test = row.test
        self.set.number = -1
        self._asked_reveal = False
        if row.test.lifted_ms is not None:
            self.pages.setCurrentWidget(self.answer)
            self.right_pages.setCurrentWidget(self.beside)
            found = read(self.journal, row)
            self.answer.show_answer(title(row.test), found.of, found.sentence, found.verdict,
                                    found.facts)  # fmt: skip
            self.beside.show_dots(found.picture, found.dots, found.ends, found.percent,
                                  found.under)  # fmt: skip
            self.beside.show_sets(self.journal.tests.opened(id_of(row.test)))
            self.answer.setFocus()
            return
        sets = self._sets(row.test)
        half = [int(key) for key in self.half.of(row.test.uuid) if key.isdecimal()]
        left = [one.number for one in sets if not one.answer]
        self._at = next((n for n in (*half, *left) if n < len(sets)), 0)
        self.pages.setCurrentWidget(self.set)
        self.right_pages.setCurrentWidget(self.going)
        self._show_sets(row.test)
        self.set.setFocus()

    def select(self, number: int) -> None:
        """Have this set at hand."""
        test = self.is_hidden
        if test is None:
            return
        self.hold()
        self._at = number
        self.set.message.say_if_any("")
        self._show_sets(test)
        self.set.setFocus()

    def _sets(self, test: PanelTest) -> list[HiddenSet]:
        return self.journal.tests.sets(id_of(test))

    def _show_sets(self, test: PanelTest) -> None:
        sets = self._sets(test)
        one = sets[self._at]
        if one.number == self.set.number:
            self.hold()  # shown anew
        half = self.half.of(test.uuid).get(str(one.number))
        where = f"{title(test)}, hidden · set {self._at + 1} of {len(sets)}"
        self.set.show_set(where, one, question(test), None if half is None else str(half))
        self.servings.show_rows([_row(s, s.number == self._at) for s in sets])

    def _save(self, test: PanelTest) -> None:
        one = self._sets(test)[self._at]
        try:
            places = read_answer(self.set.line.text(), test.kind, one.codes)
            self.journal.tests.answer(one.id, places, initiator=self)
        except (KeepingError, RecordError) as error:
            self.set.message.say_if_any(text_of(error), wrong=True)
            self.set.line.selectAll()
            return
        self.half.put(test.uuid, str(one.number), None)
        self.set.number = -1
        left = [s.number for s in self._sets(test) if not s.answer]
        after = next((n for n in left if n > one.number), left[0] if left else None)
        self._at = one.number if after is None else after
        self._asked_reveal = False
        self._show_sets(test)
        if after is None:
            self.set.message.say_if_any("All have answered. F9 reveals the answer.")
            self.set.reveal.setFocus()
            return
        self.set.message.say_if_any(f"Saved set {one.number + 1}.")
        self.set.setFocus()

    # Handlers

    def _cheeses_like(self, text: str) -> list[Suggestion]:
        return cheeses_like(text, self.journal.sessions.wheels(), self.now())

    def _people_like(self, text: str) -> list[Suggestion]:
        return as_entries(people_like(text, self.journal.sessions.people()))

    def _on_opened(self, row: TestRow) -> None:
        self._open(row)

    def _on_picked(self, set_id: int) -> None:
        if self.is_hidden is not None:
            self.select(next(s.number for s in self._sets(self.is_hidden) if s.id == set_id))

    def _on_away(self) -> None:
        self.pages.setCurrentWidget(self.set)
        self.right_pages.setCurrentWidget(self.going)
        self.set.setFocus()


def _row(one: HiddenSet, here: bool) -> AssessorRow:
    """A set as a row: the cups that were named filled."""
    boxes = tuple(
        ServingBox(
            one.id, code or "ref.", NOW if k in one.answer else (GIVEN if one.answer else TO_COME)
        )
        for k, code in enumerate(one.codes)
    )
    return AssessorRow(one.assessor, boxes, here)
