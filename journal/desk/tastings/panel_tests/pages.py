"""The left pages of panel tests: the list, the current set, the answer."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.frame import arrange_page
from journal.desk.form.line_field import FieldStyle
from journal.desk.form.readers import AsTypedField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Hairline, Label
from journal.desk.theme import LEAD, STEP, TITLE
from journal.keeping.panel_sets import HiddenSet
from journal.wording import worded


class TestCupsPage(QWidget):
    """The current set: its cups' codes, the question, a line for the answer."""

    asked = Signal()
    reveal_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.where = Label("", role="quiet", wrap=True)
        self.who = Label("", LEAD)
        self.codes = Label("", TITLE, bold=True, wrap=True)
        self.question = Label("", wrap=True)
        style = FieldStyle(size=LEAD, height=12 * STEP, titled=False)
        answer = AsTypedField(Field("answer", "The answer"), FieldContext(self, style=style))
        answer.setMaximumWidth(90 * STEP)
        self.line = answer.line
        self.number, self.saved = -1, ""  # of the set shown, and what was answered
        self.message = Label("", role="quiet", wrap=True)
        self.save = Button("Save and next", MAIN, "main")
        self.reveal = Button("Reveal", FAINT, "lift")
        parts = (self.where, self.codes, self.who, Hairline(), self.question, answer)
        arrange_page(self, parts, self.message, (self.save, self.reveal), gap=3 * STEP)
        self.setFocusProxy(self.line)
        self.line.returnPressed.connect(self.asked)
        self.save.clicked.connect(self.asked)
        self.reveal.clicked.connect(self.reveal_asked)

    def show_set(self, where: str, one: HiddenSet, question: str, half: str | None) -> None:
        """Show a set; what was answered stands in the line, or what is half typed."""
        self.where.setText(where)
        self.who.setText(worded("desk.is-tasting", who=one.assessor))
        reference = worded("wording.test-reference")
        self.codes.setText("   ".join(code or reference for code in one.codes))
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
        self.all = Button("All tests", FAINT, "choose")
        parts = (self.title, self.of, self.sentence, self.verdict, Hairline(), self.facts)
        arrange_page(self, parts, Label(""), (self.all,))
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
