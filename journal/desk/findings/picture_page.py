"""The page of the picture: the variable picked, and under it what to ask of it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from journal.desk.buttons import PLAIN, Button, WordButton
from journal.desk.findings.asking import BeforeAfterLine, WhatIf
from journal.desk.findings.card import NextCard
from journal.desk.findings.numbers import NumberTable
from journal.desk.findings.picture import Picture
from journal.desk.findings.residual_chart import ResidualChart
from journal.desk.labels import Label, plain_tip
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import SMALL, STEP, scaled
from journal.findings import Finding
from journal.findings.answer import StudyAnswer
from journal.wording.effects import number_notes, residual_words
from journal.wording.keys import key_of
from journal.wording.why import books_words, dispute_words, rows_words

_WHAT_IF = 2
_LOW = 600  # px of text of the usual size: below, the parts leave the picture more
PARTS = ("Next make", "In numbers", "What if", "Before and after", "Make by make")


class PicturePage(QWidget):
    """The picture of the variable picked, and one of five parts under it."""

    def __init__(self, zone: str, now_ms: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.picture = Picture()
        self.picture.setMinimumHeight(scaled(32 * STEP))
        self.card = NextCard()
        self.numbers = NumberTable()
        self.what_if = WhatIf()
        self.before_after = BeforeAfterLine(zone, now_ms)
        self.picture.moved.connect(self._on_moved)
        self.what_if.asked.connect(self.picture.ask_at)
        self.what_if.stepped.connect(self.picture.step_mark)
        self.by_make = ByMake()
        self.open = Button("Open the make", PLAIN, "main")
        self.keys = Label("← → next point   ↑ ↓ next variable", SMALL, role="quiet")
        self.known = LiteratureLine()
        self.stack = _OnePage()
        parts = (self.card, self._with_acts(), self.what_if, self.before_after, self.by_make)
        for part in parts:
            self.stack.addWidget(part)
        inner = in_column(
            self.known,
            self._heads(),
            self.stack,
            margins=(8 * STEP, 0, 8 * STEP, 0),
            gap=2 * STEP,
        )
        in_column(
            (self.picture, 1), inner, of=self, margins=(0, 2 * STEP, 0, 4 * STEP), gap=2 * STEP
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.card.be_low(self.height() < scaled(_LOW))

    def _with_acts(self) -> QWidget:
        page = QWidget()
        acts = in_row(self.open, self.keys, None, gap=4 * STEP)
        in_column(self.numbers, acts, None, of=page, margins=0, gap=3 * STEP)
        return page

    def _heads(self) -> QHBoxLayout:
        self.heads = QButtonGroup(self)
        row = QHBoxLayout()
        row.setSpacing(5 * STEP)
        for index, words in enumerate(PARTS):
            head = WordButton(words, size=SMALL)
            head.setCheckable(True)
            head.setAutoExclusive(True)
            self.heads.addButton(head, index)
            row.addWidget(head)
        row.addStretch(1)
        row.addWidget(Label(key_of("next"), SMALL, role="quiet"))
        self.heads.button(0).setChecked(True)
        self.heads.idClicked.connect(self.turn_to)
        return row

    def turn_to(self, index: int) -> None:
        """Show one of the parts."""
        self.heads.button(index).setChecked(True)
        self.stack.setCurrentIndex(index)
        part = self.stack.currentWidget()
        if part in (self.what_if, self.before_after):
            part.setFocus()

    def _on_moved(self, value: float) -> None:
        """The handle asks: its part is shown, the keys stay where they are."""
        self.heads.button(_WHAT_IF).setChecked(True)
        self.stack.setCurrentIndex(_WHAT_IF)
        self.what_if.take(value)

    def is_asking(self) -> bool:
        """The part shown has a line to type on."""
        return self.stack.currentWidget() in (self.what_if, self.before_after)

    def next_part(self) -> None:
        """Show the part after this one."""
        self.turn_to((self.stack.currentIndex() + 1) % len(PARTS))

    def show_finding(self, answer: StudyAnswer, finding: Finding, row: int) -> None:
        """Show a variable of an answer, one table row ringed."""
        self.picture.show_variable(answer, finding.variable, row)
        published = answer.literature(finding)
        rows = (rows_words(published), dispute_words(finding.key))
        self.known.show_rows(books_words(published, finding.key), "\n".join(filter(None, rows)))
        self.numbers.show_finding(finding, number_notes(answer, finding))
        self.what_if.show_finding(answer, finding)
        self.before_after.show_finding(answer, finding)
        self.by_make.show_answer(answer)


class ByMake(QWidget):
    """The makes beside what their variables say, and which of them weigh much."""

    def __init__(self) -> None:
        super().__init__()
        self.chart = ResidualChart()
        self.chart.setFixedHeight(45 * STEP)
        self.words = Label("", SMALL, wrap=True)
        in_column(self.chart, self.words, of=self, margins=0, gap=2 * STEP)

    def show_answer(self, answer: StudyAnswer) -> None:
        """Show the makes of an answer."""
        self.chart.show_answer(answer)
        self.chart.setVisible(bool(self.chart.shown))
        self.words.setText(residual_words(answer))


class LiteratureLine(Label):
    """What the books expect, on one line; on hover, and for a reader, what each row says."""

    def __init__(self) -> None:
        super().__init__("", SMALL, role="planned")
        self.words = ""
        self.setMinimumWidth(1)

    def show_rows(self, words: str, rows: str) -> None:
        """Show it, with the rows behind it."""
        self.words = words
        self.setAccessibleName(words)
        self.setAccessibleDescription(rows)
        self.setToolTip(plain_tip("\n".join(filter(None, (words, rows)))))
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        side = Qt.TextElideMode.ElideRight
        self.setText(self.fontMetrics().elidedText(self.words, side, max(self.width(), 1)))


class _OnePage(QWidget):
    """One of its pages is shown, and only that one asks for room: the picture has the rest."""

    def __init__(self) -> None:
        super().__init__()
        self._pages: list[QWidget] = []
        self._current = 0
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)

    def addWidget(self, page: QWidget) -> None:
        page.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        self._column.addWidget(page)  # first of all: what is shown without a parent is a window
        page.setVisible(not self._pages)
        self._pages.append(page)

    def currentIndex(self) -> int:
        return self._current

    def currentWidget(self) -> QWidget:
        return self._pages[self._current]

    def setCurrentIndex(self, index: int) -> None:
        if index != self._current:
            self.currentWidget().hide()
            self._current = index
            self.currentWidget().show()
