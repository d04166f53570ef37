"""Panel tests: which page is shown, and what becomes of what is typed."""

from __future__ import annotations

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.labels import Label
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.tables import Column
from journal.desk.tastings.coded import CodedPages, CodedPart
from journal.desk.tastings.half_typed import UnsavedTexts
from journal.desk.tastings.panel_tests.pages import AnswerPage, TestCupsPage
from journal.desk.tastings.panel_tests.planning import Planning, is_difference, reckon
from journal.desk.tastings.panel_tests.setting_up import PanelTestForm
from journal.desk.tastings.panel_tests.share import BesideAnswer
from journal.desk.tastings.progress import ProgressTable
from journal.desk.tastings.session_list import SessionList
from journal.desk.theme import STEP
from journal.findings import FindingError
from journal.findings.setting_up import set_up_sets
from journal.keeping import Change, KeepingError
from journal.keeping.panel_sets import HiddenSet, TestRow
from journal.keeping.session_rows import KeyRow, SampleIdentity
from journal.records import RecordError, id_of
from journal.records.panel_tests import PAIRED, RANKING, PanelTest
from journal.reports.panel_test import read
from journal.wording import text_of, worded
from journal.wording.dates import short_day
from journal.wording.keys import with_keys
from journal.wording.letters import capital
from journal.wording.panel import fitting_words
from journal.wording.panel_tests import how_far, key_rows, question, read_answer, short_kinds, title
from journal.wording.session_progress import DONE, NAMED, TO_COME, ProgressBox, ProgressRow

_HIDDEN = (
    "What is in the cups, and how many were right, stays hidden until you reveal it. {key:key} "
    "shows the helper what to put in each cup; {key:print} prints the sets."
)


def _day(row: TestRow) -> str:
    return short_day(row.test.at_ms, row.test.zone)


def _at(row: TestRow) -> int:
    return row.test.at_ms


def _of(row: TestRow) -> str:
    asked = f", {row.test.attribute}" if row.test.attribute else ""
    return f"{' · '.join(row.cheeses)}{asked}"


def _kind(row: TestRow) -> str:
    return dict(short_kinds())[row.test.kind]


def _is_hidden(row: TestRow) -> bool:
    return row.test.lifted_ms is None


def _whole(row: TestRow) -> str:
    """What a row says, whole: long names are cut in the table."""
    return f"{capital(row.test.kind)}: {_of(row)}"


_COLUMNS = (
    Column("day", _day, sort=_at), Column("test", _kind),
    Column("of", _of, quiet=True, stretch=True), Column("right", how_far, right=True, quiet=True),
)  # fmt: skip


class TestsPart(CodedPart[PanelTest, TestRow]):
    """Sets of cups, each with a question and one answer."""

    __test__ = False
    kinds = frozenset(("panel_test", "panel_item", "panel_set", "assessor", "wheel"))
    board = "test"

    def __init__(
        self, desk: Desk, messages: MessageBar, half: UnsavedTexts, parent: QObject
    ) -> None:
        super().__init__(desk, messages, half, parent)
        self._at = 0  # the number of the current set
        self.list = SessionList("Panel tests", "New test", _COLUMNS, _is_hidden, _whole)
        self.form = PanelTestForm(self.cheeses_like, self.people_like)
        self.set, self.answer = TestCupsPage(), AnswerPage()
        self.planning, self.beside = Planning(), BesideAnswer()
        self.servings = ProgressTable()
        self.going = QWidget()
        column = QVBoxLayout(self.going)
        column.setContentsMargins(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(4 * STEP)
        column.addWidget(Label("How this test is going", role="quiet"))
        column.addWidget(self.servings, 100)
        column.addStretch(1)
        column.addWidget(Label(with_keys(_HIDDEN), role="quiet", wrap=True))
        self.arrange(
            CodedPages(self.form, self.list, (self.set,), self.planning),
            {self.list: self.list.open_current, self.form: self._set_up, self.set: self._save,
             self.answer: None},
            (self.planning, self.going, self.beside), self.list,
        )  # fmt: skip
        self.planning.changed.connect(self.plan)
        self.servings.box_picked.connect(self._on_picked)
        self.set.asked.connect(self.main)
        self.set.reveal_asked.connect(self.reveal)
        self.set.line.textEdited.connect(self.typed)
        self.answer.back.connect(self.show_list)

    # What this kind says

    def sessions(self) -> list[PanelTest]:
        return self.journal.panel_tests.all()

    def rows(self) -> list[TestRow]:
        return self.journal.tests.rows()

    def session_of(self, row: TestRow) -> PanelTest:
        return row.test

    def key_of(self, session: PanelTest) -> list[KeyRow]:
        return key_rows(self.journal, session)

    def go_on(self) -> None:
        self.show_pages(self.set, self.going)
        self.set.setFocus()

    def refresh(self, session: PanelTest, change: Change) -> None:
        if session.lifted_ms is None:
            self._show_sets(session)

    # What the place hands on

    def entered(self) -> None:
        if self.on(self.key):
            self.put_key_away()
        elif self.session is None and self.on(self.list):
            if self.sessions():
                self.show_list()
            else:
                self.set_up_another()

    def hold(self) -> None:
        self.hold_set_up()
        if self.hidden is not None and self.set.number >= 0:
            text = self.set.line.text()
            half = None if text == self.set.saved else text
            self.half.put(self.hidden.uuid, str(self.set.number), half)

    def reveal(self) -> None:
        """Reveal the result; asked twice while a set is not answered."""
        test = self.hidden
        if test is None or not self.can_reveal():
            return
        sets = self._sets(test)
        left = sum(not one.answer for one in sets)
        if 0 < left < len(sets) and not self.confirmed(
            self.set.message,
            worded("desk.sets-not-answered", sets=left),
        ):
            return
        try:
            self.journal.tests.reveal(id_of(test), max(self.now(), test.at_ms), self)
        except KeepingError as error:
            self.set.message.say_if_any(text_of(error), wrong=True)

    def print_out(self) -> None:
        """Print the sets for assessors without a screen."""
        from journal.desk.tastings.panel_tests.printing import print_sets

        if self.hidden is not None:
            print_sets(self.pages, self.messages, self.journal, self.hidden)

    # Steps

    def plan(self) -> None:
        """Reckon anew how many answers it takes."""
        self.form.message.say_if_any("")
        people = len(self.form.people.entries())
        self.planning.fitting.setText(fitting_words(people) if people else fitting_words(3))
        kind = self.form.kind.chosen()
        if not is_difference(kind):
            self.desk.work.stop("panel size")  # of the kind chosen before
            self.planning.show_none(
                "A ranking needs about 12 to 15 trained assessors, or 60 people for liking "
                "(ISO 8587). With fewer, the answer is still exact, but holds only for those "
                "who tasted."
            )
            return
        two = kind == PAIRED and self.form.expected() is None
        task = self.desk.work.start(
            "panel size", reckon, kind, self.planning.asked(), self.form.answers(), two
        )
        task.finished.connect(self.planning.show_plan)

    def _set_up(self) -> None:
        """Draw orders and codes, and save the test."""
        kind = self.form.kind.chosen()
        cheeses = self.form.cheeses.meant(SampleIdentity)
        people = self.form.people.names() * int(self.form.times.chosen())
        try:
            sets = set_up_sets(kind, len(people), self.draw_seed(), len(cheeses))
            saved = self.journal.tests.set_up(
                PanelTest(
                    self.now(), self.journal.zone, kind, self.form.asked_for.text().strip()
                    if kind in (PAIRED, RANKING) else "", self.form.expected(),
                ),
                cheeses, people, [(s.cups, s.codes) for s in sets], initiator=self,
            )  # fmt: skip
        except (FindingError, KeepingError, RecordError) as error:
            self.form.message.say_if_any(text_of(error), wrong=True)
            return
        self.form.clear()
        self.open(saved)
        self.set.message.say_if_any(worded("desk.test-set-up"))

    def open(self, session: PanelTest) -> None:
        self.hold()
        self.session = session
        self.set.number = -1
        self.set.message.say_if_any("")
        if session.lifted_ms is not None:
            self.show_pages(self.answer, self.beside)
            found = read(self.journal, next(r for r in self.rows() if r.test.id == session.id))
            self.answer.show_answer(title(session), found.of, found.sentence, found.verdict,
                                    found.facts)  # fmt: skip
            self.beside.show_dots(found.picture, found.dots, found.ends, found.percent,
                                  found.under)  # fmt: skip
            self.beside.show_sets(self.journal.tests.opened(id_of(session)))
            self.answer.setFocus()
            return
        sets = self._sets(session)
        half = [int(key) for key in self.half.of(session.uuid) if key.isdecimal()]
        left = [one.number for one in sets if not one.answer]
        self._at = next((n for n in (*half, *left) if n < len(sets)), 0)
        self._show_sets(session)
        self.go_on()

    def select(self, number: int) -> None:
        """Make this set the current one."""
        test = self.hidden
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
        where = worded("desk.test-hidden", title=title(test), number=self._at + 1, sets=len(sets))
        self.set.show_set(where, one, question(test), None if half is None else str(half))
        self.servings.show_rows([_row(s, s.number == self._at) for s in sets])

    def _save(self) -> None:
        test = self.hidden
        if test is None:
            return
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
        self._show_sets(test)
        if after is None:
            self.set.message.say_if_any(worded("desk.all-answered"))
            self.set.reveal.setFocus()
            return
        self.set.message.say_if_any(worded("desk.set-saved", number=one.number + 1))
        self.set.setFocus()

    # Handlers

    def _on_picked(self, set_id: int) -> None:
        if self.hidden is not None:
            self.select(next(s.number for s in self._sets(self.hidden) if s.id == set_id))


def _row(one: HiddenSet, here: bool) -> ProgressRow:
    """A set as a row: the cups that were named filled."""
    look, reference = DONE if one.answer else TO_COME, worded("desk.reference-short")
    boxes = tuple(
        ProgressBox(code or reference, NAMED if k in one.answer else look, one.id)
        for k, code in enumerate(one.codes)
    )
    return ProgressRow(one.assessor, boxes, here)
