"""The left pages of panel tests: the list, the laying out, the set at hand, the answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.frame import acts_row, arrange_page
from journal.desk.form.suggest import Suggestion
from journal.desk.labels import Hairline, Label
from journal.desk.tables import Column, RowsView
from journal.desk.tastings.blind.setting_up import named
from journal.desk.tastings.chip_line import HIGH
from journal.desk.tastings.chips import ChipsField
from journal.desk.tastings.choice import ChoiceList
from journal.desk.tastings.marks import boxed
from journal.desk.theme import LEAD, STEP, TEXT, TITLE
from journal.keeping.panel_sets import HiddenSet, TestRow
from journal.records.panel_tests import PAIRED, RANKING, TRIANGLE
from journal.wording.dates import short_day
from journal.wording.letters import capital
from journal.wording.panel_tests import MEANT, SHORT, far

Look = Callable[[str], list[Suggestion]]
EITHER, FIRST, SECOND = "either", "first", "second"


def _day(row: TestRow) -> str:
    return short_day(row.test.at_ms, row.test.zone)


def _at(row: TestRow) -> int:
    return row.test.at_ms


def _of(row: TestRow) -> str:
    asked = f", {row.test.attribute}" if row.test.attribute else ""
    return f"{' · '.join(row.cheeses)}{asked}"


def _kind(row: TestRow) -> str:
    return dict(SHORT)[row.test.kind]


class TestList(QWidget):
    """Every test; `opened` carries the TestRow that is wanted, `asked` wants a new one."""

    __test__ = False
    opened = Signal(object)
    asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.table = RowsView(
            "Panel tests",
            (Column("day", _day, sort=_at), Column("test", _kind), Column("of", _of, quiet=True,
             stretch=True), Column("right", far, right=True, quiet=True)),
        )  # fmt: skip
        self.begin = Button("New test", MAIN, "Ctrl L")
        head = QVBoxLayout()
        head.setContentsMargins(3 * STEP, 0, 3 * STEP, 3 * STEP)
        head.addWidget(Label("Panel tests", TITLE, bold=True))
        self.whole = Label("", role="quiet", wrap=True)  # long names are cut in the table
        buttons = QHBoxLayout()
        buttons.addWidget(self.begin)
        buttons.addStretch(1)
        foot = QVBoxLayout()
        foot.setContentsMargins(3 * STEP, 3 * STEP, 3 * STEP, 0)
        foot.setSpacing(3 * STEP)
        foot.addWidget(self.whole)
        foot.addLayout(buttons)
        column = QVBoxLayout(self)
        column.setContentsMargins(5 * STEP, 5 * STEP, 5 * STEP, 4 * STEP)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.table, 1)
        column.addLayout(foot)
        self.begin.clicked.connect(self.asked)
        self.table.opened.connect(self.opened)
        self.table.picked.connect(self._on_picked)
        self.setFocusProxy(self.table)

    def open_current(self) -> None:
        """Open the test one stands on."""
        if self.table.current() is not None:
            self.opened.emit(self.table.current())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.open_current()
        else:
            super().keyPressEvent(event)

    def _on_picked(self, row: TestRow) -> None:
        self.whole.setText(f"{capital(row.test.kind)}: {_of(row)}")


class LayTest(QWidget):
    """Which test, of what, with whom. `changed` says that something is different now."""

    changed = Signal()
    edited = Signal()
    asked = Signal()
    back = Signal()

    def __init__(self, cheeses: Look, people: Look) -> None:
        super().__init__()
        self.kind = ChoiceList("Which test", SHORT)
        self.meant = Label(MEANT[TRIANGLE], role="quiet", wrap=True)
        self.cheeses = ChipsField("Of what", "a wheel, or a name", self, cheeses)
        self.asked_for, asked_box = boxed("For what", TEXT)
        self.asked_for.setPlaceholderText("bitter, salt, …")
        asked_box.setFixedHeight(HIGH)
        self.foreseen = ChoiceList(
            "Expected",
            ((EITHER, "either may be"), (FIRST, "the first is"), (SECOND, "the second is")),
        )
        self.people = ChipsField("Assessors", "a name", self, people)
        self.times = ChoiceList("Times each", [(str(n), str(n)) for n in (1, 2, 3, 4, 6)])
        self.message = Label("", role="quiet", wrap=True)
        self.begin = Button("Set up", MAIN, "Ctrl ⏎")
        self.all = Button("All tests", FAINT, "Ctrl L")
        self._asked_row = _row("For what", asked_box)
        self._foreseen_row = _row("More of it", self.foreseen)
        self._build()
        self.kind.changed.connect(self._on_kind)
        for field in (self.cheeses, self.people):
            field.changed.connect(self.changed)
        self.times.changed.connect(self.changed)
        self.foreseen.changed.connect(self.changed)
        self.kind.done.connect(self.cheeses.setFocus)
        self.cheeses.done.connect(self._after_cheeses)
        self.asked_for.returnPressed.connect(self._after_asked)
        self.foreseen.done.connect(self.people.setFocus)
        self.people.done.connect(self.times.setFocus)
        self.times.done.connect(self.begin.setFocus)
        self.begin.clicked.connect(self.asked)
        self.all.clicked.connect(self.back)
        self.setFocusProxy(self.kind)
        self._on_kind(TRIANGLE)
        for line in (self.cheeses.line, self.people.line, self.asked_for):
            line.textEdited.connect(self.edited)
        self.changed.connect(self.edited)

    def _build(self) -> None:
        parts = (
            Label("New test", TITLE, bold=True),
            self.kind,
            self.meant,
            Hairline(),
            named("Of what", self.cheeses),
            self._asked_row,
            self._foreseen_row,
            named("Assessors", self.people),
            named("Times each", self.times),
        )
        arrange_page(self, parts, self.message, (self.begin, self.all))

    def half_typed(self) -> dict[str, Any] | None:
        """What stands on the page, None when nothing does yet."""
        if not (self.cheeses.entries() or self.cheeses.line.text() or self.people.line.text()):
            return None
        return {
            "kind": self.kind.chosen(), "cheeses": self.cheeses.half_typed(),
            "asked for": self.asked_for.text(), "foreseen": self.foreseen.chosen(),
            "people": self.people.half_typed(), "times": self.times.chosen(),
        }  # fmt: skip

    def recall(self, half: dict[str, Any] | None) -> None:
        """What `half_typed` said before."""
        if half is None:
            return
        try:
            self.cheeses.recall(half["cheeses"])
            self.people.recall(half["people"])
            self.asked_for.setText(str(half["asked for"]))
            self.kind.choose(half["kind"])
            self.foreseen.choose(half["foreseen"])
            self.times.choose(half["times"])
        except (ValueError, TypeError, KeyError):
            self.cheeses.show_entries([])  # of another program's making

    def expected(self) -> int | None:
        """The number of the cheese foreseen to have more."""
        if self.kind.chosen() != PAIRED:
            return None
        return {EITHER: None, FIRST: 0, SECOND: 1}[self.foreseen.chosen()]

    def answers(self) -> int:
        """How many answers it will have."""
        return len(self.people.entries()) * int(self.times.chosen())

    def _after_cheeses(self) -> None:
        (self.asked_for if self._asked_row.isVisible() else self.people).setFocus()
        self.asked_for.selectAll()  # the last test's word is typed over

    def _after_asked(self) -> None:
        (self.foreseen if self._foreseen_row.isVisible() else self.people).setFocus()

    def _on_kind(self, kind: str) -> None:
        self.meant.setText(MEANT[kind])
        self._asked_row.setVisible(kind in (PAIRED, RANKING))
        self._foreseen_row.setVisible(kind == PAIRED)
        self.changed.emit()


class TestCupsPage(QWidget):
    """The set at hand: its cups' codes, the question, a line for the answer."""

    asked = Signal()
    reveal_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.where = Label("", role="quiet", wrap=True)
        self.who = Label("", LEAD)
        self.codes = Label("", TITLE, bold=True, wrap=True)
        self.question = Label("", wrap=True)
        self.line, self._box = boxed("The answer", LEAD)
        self.number, self.saved = -1, ""  # of the set shown, and what was answered
        self.message = Label("", role="quiet", wrap=True)
        self.save = Button("Save and next", MAIN, "Ctrl ⏎")
        self.reveal = Button("Reveal", FAINT, "F9")
        self._box.setFixedHeight(12 * STEP)
        self._box.setMaximumWidth(90 * STEP)
        column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 5 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(3 * STEP)
        column.addWidget(self.where)
        column.addWidget(self.codes)
        column.addWidget(self.who)
        column.addWidget(Hairline())
        column.addWidget(self.question)
        column.addWidget(self._box)
        column.addStretch(1)
        column.addWidget(self.message)
        column.addLayout(acts_row(self.save, self.reveal))
        self.setFocusProxy(self.line)
        self.line.returnPressed.connect(self.asked)
        self.save.clicked.connect(self.asked)
        self.reveal.clicked.connect(self.reveal_asked)

    def show_set(self, where: str, one: HiddenSet, question: str, half: str | None) -> None:
        """Show a set; what was answered stands in the line, or what is half typed."""
        self.where.setText(where)
        self.who.setText(f"{one.assessor} is tasting")
        self.codes.setText("   ".join(code or "reference" for code in one.codes))
        self.question.setText(question)
        self.number = one.number
        self.saved = " ".join(one.codes[index] for index in one.answer)
        self.line.setText(self.saved if half is None else half)
        if half is None:
            self.line.selectAll()


class AnswerPage(QWidget):
    """What a revealed test says."""

    back = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.title = Label("", role="quiet")
        self.of = Label("", role="quiet", wrap=True)
        self.sentence = Label("", TITLE, bold=True, wrap=True)
        self.verdict = Label("", wrap=True)
        self.facts = Label("", role="quiet", wrap=True)
        self.all = Button("All tests", FAINT, "Ctrl L")
        column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 5 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(4 * STEP)
        for widget in (self.title, self.of, self.sentence, self.verdict, Hairline(), self.facts):
            column.addWidget(widget)
        column.addStretch(1)
        column.addWidget(self.all, 0, Qt.AlignmentFlag.AlignLeft)
        self.all.clicked.connect(self.back)
        self.setFocusProxy(self.all)

    def show_answer(self, title: str, of: str, sentence: str, verdict: str,
                    facts: Sequence[str]) -> None:  # fmt: skip
        """Say it."""
        self.title.setText(title)
        self.of.setText(of)
        self.sentence.setText(sentence)
        self.verdict.setText(verdict)
        self.facts.setText("\n".join(facts))


def _row(name: str, widget: QWidget) -> QWidget:
    holder = QWidget()
    line = named(name, widget)
    line.setContentsMargins(0, 0, 0, 0)
    holder.setLayout(line)
    return holder
