"""A sum's answer beside its form: values, caution, picture, and how it was calculated."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from journal.desk.calculate.chart import SumChart
from journal.desk.labels import Label, Marked
from journal.desk.layouts import in_column
from journal.desk.theme import LEAD, SMALL, STEP, TEXT, font
from journal.topics.answer import SumAnswer
from journal.topics.topic import SumPicture, Topic
from journal.topics.written import AnswerLine, answer_lines, by_title, with_titles
from journal.wording import worded

_NAMES = 40 * STEP
_SHORT = 46


class AnswerView(QWidget):
    """What a topic answers; before it can, what it needs."""

    def __init__(self) -> None:
        super().__init__()
        self.sentence = Label("", wrap=True)
        self.values = QGridLayout()
        self.values.setHorizontalSpacing(4 * STEP)
        self.values.setVerticalSpacing(2 * STEP)
        self.values.setColumnStretch(1, 1)
        self.warnings = QVBoxLayout()
        self.warnings.setSpacing(2 * STEP)
        self.notes = Label("", SMALL, role="quiet", wrap=True)
        self._rows: list[tuple[Label, Label]] = []  # used again with each letter
        self._marks: list[Marked] = []
        self.chart = SumChart()
        in_column(
            self.sentence,
            self.values,
            self.warnings,
            self.chart,
            self.notes,
            None,
            of=self,
            margins=(0, 0, 4 * STEP, 0),
            gap=4 * STEP,
        )
        self.lines: list[AnswerLine] = []

    def say(self, sentence: str, *, wrong: bool = False) -> None:
        """Say what is needed, or what cannot be; no answer stands meanwhile."""
        self._clear()
        self.sentence.say_if_any(sentence, wrong=wrong)

    def show_answer(
        self, topic: Topic, found: SumAnswer, notes: Iterable[str], units: Collection[str]
    ) -> None:
        """Show an answer, the first of its values large."""
        self._clear()
        self.sentence.hide()
        self.lines = answer_lines(topic, found, units)
        for row, line in enumerate(by_title(self.lines)):
            self._put(row, line)
        warned = [with_titles(topic, words) for words in (*found.warnings, *found.cautions)]
        while len(self._marks) < len(warned):
            self._marks.append(Marked())
            self.warnings.addWidget(self._marks[-1])
        for mark, words in zip(self._marks, warned, strict=False):
            mark.say(words)
        assumed = dict.fromkeys((*notes, *found.assumed))
        sentences = [worded("desk.sum-assumed", assumed=with_titles(topic, one)) for one in assumed]
        sentences += [
            worded("desk.sum-formula", formula=found.formula),
            f"{worded('desk.source-is', source=found.source)}.",
        ]
        self.notes.say_if_any("\n".join(sentences))

    def show_picture(self, picture: SumPicture | None) -> None:
        """Draw it under the values; None draws none."""
        self.chart.show_picture(picture)

    def _put(self, row: int, line: AnswerLine) -> None:
        if row == len(self._rows):
            self._rows.append((Label("", role="quiet", wrap=True), Label("", wrap=True)))
            self._rows[-1][0].setFixedWidth(_NAMES)
            self._rows[-1][1].setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        name, text = self._rows[row]
        first, long = row == 0 and len(line.text) <= _SHORT, len(line.text) > _SHORT
        text.setFont(font(LEAD if first else TEXT, bold=first))
        name.setContentsMargins(0, STEP if first else 0, 0, 0)
        name.setText(line.title)
        text.setText(line.text)
        text.setAccessibleName(f"{line.title}: {line.text}")
        top = Qt.AlignmentFlag.AlignTop
        self.values.addWidget(name, 2 * row, 0, 1, 2 if long else 1, top)
        if long:  # it has the whole width below its name
            self.values.addWidget(text, 2 * row + 1, 0, 1, 2)
        else:
            self.values.addWidget(text, 2 * row, 1)
        name.show()
        text.show()

    def _clear(self) -> None:
        self.lines = []
        for row in self._rows:
            for label in row:
                self.values.removeWidget(label)
                label.hide()
        for mark in self._marks:
            mark.say("")
        self.notes.hide()
        self.chart.show_picture(None)
