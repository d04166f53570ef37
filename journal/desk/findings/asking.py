"""Two questions typed under the picture: what if a value were chosen, and before and after."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.form.line_field import UNTITLED
from journal.desk.form.readers import AsTypedField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Label
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import SMALL, STEP
from journal.findings import Finding, FindingError
from journal.findings.answer import StudyAnswer
from journal.findings.before_after import compare_change
from journal.quantities import QuantityError
from journal.quantities.typed import parse
from journal.records import RecordError
from journal.records.dates import read_day
from journal.records.instants import local
from journal.wording import text_of, worded
from journal.wording.dates import day_words
from journal.wording.effects import prediction_text
from journal.wording.findings import compared_words
from journal.wording.variable_values import in_unit_stored, label_shown

_WAYS: dict[int, int] = {
    Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1, Qt.Key.Key_PageUp: 10, Qt.Key.Key_PageDown: -10,
}  # fmt: skip


class PredictionLine(QWidget):
    """A line to type on, and what comes of it."""

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._about: tuple[StudyAnswer, Finding] | None = None
        self.title = Label(title, role="quiet", wrap=True)
        field = AsTypedField(Field("value", title), FieldContext(self, style=UNTITLED))
        field.setFixedWidth(45 * STEP)
        self.line, self.box = field.line, field.box
        self.message = Label("", wrap=True)
        self.more = Label("", SMALL, role="quiet", wrap=True)
        field.text_changed.connect(self._on_text)
        row = in_row((self.title, 1), field, gap=3 * STEP)
        in_column(row, self.message, self.more, None, of=self, margins=0, gap=2 * STEP)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.setFocusProxy(self.line)

    def show_finding(self, answer: StudyAnswer, finding: Finding) -> None:
        """Ask about a variable of an answer."""
        self._about = answer, finding
        self._ask(finding)
        self._on_text(self.line.text())

    def tell(self, message: str, more: str = "", *, wrong: bool = False) -> None:
        """Say what came of it."""
        self.box.mark(wrong)
        self.message.say(message, wrong=wrong, role="ink")
        self.more.setText(more)
        self.more.setVisible(bool(more))
        self.line.setAccessibleDescription(f"{message} {more}".strip())

    def _ask(self, finding: Finding) -> None:
        """Put the question into words; a subclass gives it."""
        raise NotImplementedError  # each question gives its own

    def _on_text(self, text: str) -> None:
        if self._about is None:
            return
        try:
            self._tell(*self._about, text.strip())
        except (FindingError, RecordError) as error:
            self.tell(text_of(error), wrong=bool(text.strip()))

    def _tell(self, answer: StudyAnswer, finding: Finding, text: str) -> None:
        """Answer what was typed; a subclass gives it. FindingError or RecordError says why not."""
        raise NotImplementedError  # each question gives its own


class WhatIf(PredictionLine):
    """A value typed for the picked variable: the score it would give (or in how many samples a
    defect would be named), and its range."""

    asked = Signal(float)
    """The value that was typed."""
    stepped = Signal(int)
    """The mark on the curve is to be moved by so many of its steps."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("What if it were", parent)
        self._by_handle = ""

    def take(self, value: float) -> None:
        """Ask about the value the handle in the picture was moved to."""
        self._by_handle = f"{value:g}"
        self.line.setText(self._by_handle)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        way = _WAYS.get(event.key())
        if way is None:
            super().keyPressEvent(event)
        else:
            self.stepped.emit(way)

    def show_finding(self, answer: StudyAnswer, finding: Finding) -> None:
        if self._about is not None and self._about[1].key != finding.key:
            self._forget()
        super().show_finding(answer, finding)

    def _forget(self) -> None:
        """What the handle asked of one variable is not asked of another."""
        if self._by_handle and self.line.text() == self._by_handle:
            self._about = None
            self.line.clear()
        self._by_handle = ""

    def _ask(self, finding: Finding) -> None:
        named = finding.unit in ("", "pH")  # a pH stands in the name already
        unit = "" if named else f", {label_shown(finding.unit)}"
        self.title.setText(worded("desk.what-if-were", variable=finding.variable, unit=unit))

    def _tell(self, answer: StudyAnswer, finding: Finding, text: str) -> None:
        value = _number(text) if text else None
        if value is None:
            which = "desk.type-a-number" if text else "desk.what-if-hint"
            self.tell(worded(which, defect=answer.is_defect), wrong=bool(text))
            return
        self.asked.emit(value)
        message, more = prediction_text(answer, finding, in_unit_stored(value, finding.unit))
        self.tell(message, more)


class BeforeAfterLine(PredictionLine):
    """A day, or a value of the picked variable: the makes on either side compared."""

    def __init__(self, zone: str, now_ms: int, parent: QWidget | None = None) -> None:
        super().__init__("Before and after I changed", parent)
        self.zone, self.now_ms = zone, now_ms

    def _ask(self, finding: Finding) -> None:
        self.title.setText(worded("desk.before-after-hint", variable=finding.variable))

    def _tell(self, answer: StudyAnswer, finding: Finding, text: str) -> None:
        if not text:
            self.tell("Type a day or a value to compare the makes before it with those after.")
            return
        table, makes = answer.table, answer.makes
        value = _number(text)
        if value is not None:
            column = table.x[:, table.position(finding.variable)]
            last = in_unit_stored(value, finding.unit)
            after = [v > last for v in column.tolist()]
            split = finding.variable
            label = worded("desk.variable-above", variable=split, value=text)
        else:
            day = read_day(text, self.zone, self.now_ms)
            after = [makes[m].started_ms >= day for m in table.make]
            label, split = worded("desk.from-day", day=day_words(day, self.zone)), ""
        months = [local(makes[m].started_ms, self.zone).month for m in table.make]
        found = compare_change(table, answer.study, after, months, split_by=split)
        self.tell(
            worded("desk.makes-compared", label=label, after=found.after, before=found.before,
                   said=compared_words(found)),
            "\n".join(map(text_of, found.beside)),
        )  # fmt: skip


def _number(text: str) -> float | None:
    """A number as typed, None where it is none."""
    try:
        return parse(text, "number").stored
    except QuantityError:
        return None
