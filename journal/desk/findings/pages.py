"""The pages of words: the table with its sentences, and how far the work is."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, Button
from journal.desk.charts.marks import BoxMark, Scene
from journal.desk.drawn import PaintedWidget
from journal.desk.findings.ranges import Ranges
from journal.desk.labels import Label, plain_tip
from journal.desk.layouts import in_column, in_row
from journal.desk.scrollbars import scrolled
from journal.desk.spoken import SpokenProgress
from journal.desk.theme import LEAD, SMALL, STEP, TITLE, scaled
from journal.findings.answer import StudyAnswer
from journal.wording import worded
from journal.wording.effects import footnotes, looked_words
from journal.wording.findings import doubt, study_headline
from journal.wording.keys import key_of
from journal.wording.languages import translated

_TALL = 160 * STEP
_FEW_LINES = 13 * STEP  # of notes in a low window; the others are scrolled to


class TablePage(QWidget):
    """What is known in a sentence, what was looked at, and the table."""

    def __init__(self, further: tuple[str, str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.further = Button(further[0], FAINT, further[1])
        self.score = Button("the overall score", FAINT)
        self.score.setToolTip(plain_tip(key_of("choose")))
        self.series = Button("New series", FAINT, "show_series")
        self.headline = Label("", TITLE, bold=True, wrap=True)
        self.looked = Label("", role="quiet", wrap=True)
        self.doubt = Label("", wrap=True)
        self.table = Ranges()
        self.notes = Label("", SMALL, role="quiet", wrap=True)
        self._footnotes: list[str] = []
        column = QVBoxLayout(self)  # the tint of a row reaches past the margin, its words do not
        column.setContentsMargins(5 * STEP, 4 * STEP, 5 * STEP, 4 * STEP)
        column.setSpacing(0)
        column.addLayout(self._head())
        column.addWidget(self.table, 1000)
        column.addWidget(self.table.axis)
        self._all_notes = scrolled(self.notes, by_keys=True)
        self._all_notes.setAccessibleName(translated("Notes on the table"))
        foot = in_column(self._all_notes, margins=(3 * STEP, 2 * STEP, 3 * STEP, 0))
        column.addLayout(foot)
        column.addStretch(1)

    def _head(self) -> QVBoxLayout:
        ask = in_row(Label("What goes with", role="quiet"), self.score, None, self.series, gap=STEP)
        looked = in_row(
            (self.looked, 1), (self.further, 0, Qt.AlignmentFlag.AlignTop), gap=2 * STEP
        )
        return in_column(
            ask,
            self.headline,
            looked,
            self.doubt,
            margins=(3 * STEP, 0, 3 * STEP, 2 * STEP),
            gap=2 * STEP,
        )

    def show_answer(self, answer: StudyAnswer, picked: str = "") -> None:
        """Show a study, standing on that variable where it is there."""
        self.headline.setText(study_headline(answer.study))
        self.looked.setText(looked_words(answer))
        self.doubt.setText(doubt(answer.study))
        self._footnotes = footnotes(answer)
        self._write_notes()
        measure = worded("desk.effect-in", defect=answer.is_defect)
        self.table.show_findings(answer.study.findings, measure, picked)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._write_notes()

    def _write_notes(self) -> None:
        """A note a line, where there is height for all; else the first lines, and a bar."""
        self.notes.setText("\n".join(self._footnotes))
        wide = self.width() - 16 * STEP
        high = self.notes.heightForWidth(wide) if self._footnotes else 0
        low = min(high, scaled(_FEW_LINES))
        self._all_notes.setFixedHeight(high if self.height() >= _TALL else low)


class BusyPage(QWidget):
    """How far the work is, and a way to stop it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = Label("", LEAD, bold=True, wrap=True)
        self.words = Label("", role="quiet", wrap=True)
        self.bar = _Bar()
        self._spoken = SpokenProgress()
        self.stop = Button("Stop", FAINT, "Esc")
        in_column(
            self.heading,
            self.words,
            self.bar,
            STEP,
            (self.stop, 0, Qt.AlignmentFlag.AlignLeft),
            None,
            of=self,
            margins=8 * STEP,
            gap=3 * STEP,
        )
        self.setMaximumWidth(150 * STEP)

    def show_progress(self, share: float, words: str) -> None:
        """Say how far it is, 0 to 1; what would look the same is not drawn again."""
        message = f"{words}, {100 * share:.0f} %"
        if message != self.words.text():
            self.words.setText(message)
            self.bar.show_share(share)
        self._spoken.tell(self.words, share, words)


class _Bar(PaintedWidget):
    """A rule that fills."""

    def __init__(self) -> None:
        super().__init__()
        self._share = 0.0
        self.setFixedHeight(STEP)
        self.setAccessibleName(translated("Progress"))

    def show_share(self, share: float) -> None:
        self._share = share
        self.setAccessibleDescription(f"{100 * share:.0f} %")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(200, STEP)

    def scene(self) -> Scene:
        ends = (0, self.width()), (0, self.width() * self._share)
        return Scene(
            [BoxMark(x, (1, 3), role) for x, role in zip(ends, ("hairline", "ink"), strict=True)]
        )
