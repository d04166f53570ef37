"""The head of the page: the make, its step and the clock; it turns over when something is due."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPalette
from PySide6.QtWidgets import (
    QApplication,
    QGridLayout,
    QHBoxLayout,
    QSizePolicy,
    QSpacerItem,
    QWidget,
)

from journal.desk.buttons import LEAST_TARGET, Button
from journal.desk.charts.marks import Scene, TextMark
from journal.desk.drawn import PaintedWidget
from journal.desk.labels import Label
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import HUGE, LEAD, SMALL, STEP, TITLE, font, scaled, turned
from journal.desk.vat.running import ClockRows

_LEAST_CLOCK = 44  # px; smaller than that the words beside the figures give way


class ClockFigures(PaintedWidget):
    """The figures of the clock, as large as the room beside them lets them be: "23:45" fills the
    line, "1:23:45" stands a little smaller, and neither loses its seconds."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text = ""
        self.setFixedHeight(scaled(18 * STEP))
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def text(self) -> str:
        """What is shown."""
        return self._text

    def setText(self, text: str) -> None:
        """Show these figures."""
        if text == self._text:
            return
        wider = len(text) != len(self._text)
        self._text = text
        self.setAccessibleName(text)
        if wider:
            self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        wide = QFontMetricsF(font(HUGE)).horizontalAdvance(self._text)
        return QSize(round(wide * min(1.0, self.height() / scaled(18 * STEP))) + 2, self.height())

    def minimumSizeHint(self) -> QSize:
        wide = QFontMetricsF(font(_LEAST_CLOCK)).horizontalAdvance(self._text)
        return QSize(round(wide) + 2, self.height())

    def scene(self) -> Scene:
        wide = QFontMetricsF(font(HUGE)).horizontalAdvance(self._text)
        share = min(1.0, self.width() / max(wide, 1.0), self.height() / scaled(18 * STEP))
        size = max(int(HUGE * share), TITLE)
        return Scene([TextMark(0, self.height() / 2, self._text, "ink", size=size)])


class VatHead(QWidget):
    """Shows what `page` puts into it. Turned over it stands in the colours of the other side,
    paper on ink, so that it is seen from across the room."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.turned = False
        self.gaps = (QSpacerItem(0, 0), QSpacerItem(0, 0))  # the page gives them what room it has
        self.code = Label("", role="quiet")
        self.delay = Label("", SMALL, role="quiet", wrap=True)
        self.stage = Label("", TITLE, bold=True)
        self.target = Label("", LEAD, wrap=True)
        self.doing = Label("", wrap=True)
        self.clock = ClockFigures()
        self.to_go = Label("", role="quiet")
        self.ends = Label("")
        self.due = Label("", bold=True, wrap=True)
        self.answer = Button("", key="Esc")
        self.answer.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # what is typed goes to the fields
        self.answer.setFont(font(SMALL))
        self.answer.setMaximumHeight(scaled(LEAST_TARGET))
        self.others = ClockRows("The other makes")
        self.beside = ClockRows("Other clocks")
        self._build()
        for part in (self.due, self.answer):
            part.hide()

    def _build(self) -> None:
        self.column = column = in_column(
            self.others,
            self.code,
            self._heading(),
            self.doing,
            of=self,
            margins=(8 * STEP, 4 * STEP, 6 * STEP, 2 * STEP),
            gap=STEP,
        )
        column.addSpacerItem(self.gaps[0])
        column.addWidget(self._clock_row())
        column.addSpacerItem(self.gaps[1])
        column.addLayout(self._due_row())
        column.addWidget(self.beside)
        column.addWidget(self.delay)

    def tighten(self, on: bool, *, named: bool = False) -> None:
        """Take less height, where the page lacks it: for the clock, and for the make's name where
        it is `named` over its chart too."""
        self.clock.setFixedHeight(scaled((12 if on else 18) * STEP))
        self._clock_grid.invalidate()  # else it tells its former height until later
        self.clock_box.updateGeometry()
        self.code.setVisible(not (on and named))
        self.column.setSpacing(STEP // 2 if on else STEP)
        self.column.setContentsMargins(8 * STEP, (1 if on else 4) * STEP, 6 * STEP, 2 * STEP)

    def _heading(self) -> QHBoxLayout:
        return in_row(
            (self.stage, 0, Qt.AlignmentFlag.AlignBaseline),
            (self.target, 1, Qt.AlignmentFlag.AlignBaseline),
            gap=4 * STEP,
        )

    def _clock_row(self) -> QWidget:
        self.clock_box = QWidget()
        self._clock_grid = grid = QGridLayout(self.clock_box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(5 * STEP)
        grid.setVerticalSpacing(STEP)
        grid.addWidget(self.clock, 0, 0, 2, 1, Qt.AlignmentFlag.AlignVCenter)
        grid.addWidget(self.to_go, 0, 1, Qt.AlignmentFlag.AlignBottom)
        grid.addWidget(self.ends, 1, 1, Qt.AlignmentFlag.AlignTop)
        grid.setColumnStretch(1, 1)
        return self.clock_box

    def _due_row(self) -> QHBoxLayout:
        return in_row((self.due, 1), (self.answer, 0, Qt.AlignmentFlag.AlignVCenter), gap=3 * STEP)

    def turn(self, on: bool, words: str = "", answer: str = "") -> bool:
        """Turn over, saying what is due and on its button what answers it, or back: what was
        silenced and not dealt with stays as a line. True where that takes another height."""
        changed = words != self.due.text() or bool(words) == self.due.isHidden()
        self.due.setText(words)
        self.due.set_role("ink" if on else "attention")
        self.answer.set_label(answer, "Esc")
        self.due.setVisible(bool(words))
        self.answer.setVisible(bool(on and words))
        if on != self.turned:
            self.turned = on
            self.take_colours()
        return changed

    def take_colours(self) -> None:
        """The page's colours, or while turned over the opposite ones. A widget with a palette of
        its own is not told when the page's changes, so the page says it."""
        self.setAutoFillBackground(self.turned)
        if self.turned:
            self.setPalette(turned(QApplication.palette()))
        else:
            self.setPalette(QPalette())
