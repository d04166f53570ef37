"""How many answers a test takes: the curve of its power, and a sentence."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from journal.background import State
from journal.desk.form.choice import ChoiceList
from journal.desk.form.page import NamedRow
from journal.desk.labels import Hairline, Label
from journal.desk.theme import SMALL, STEP, Colours, colours_of, font
from journal.findings import FindingError
from journal.findings.panel_tests import CHANCE, chance_of, least_right, panel_size, powers
from journal.wording import text_of
from journal.wording.numbers import percent
from journal.wording.panel import size_words

_SHARES, _WANTED = (20, 30, 40, 50), (80, 90, 95)
_LEFT, _TOP, _BOTTOM = 46.0, 16.0, 30.0


@dataclass(frozen=True)
class TestSize:
    """What was reckoned: the power with 1, 2, 3, … answers, and what is said of it."""

    power: np.ndarray
    wanted: float
    answers: int
    sentence: str
    now: str


def reckon(
    kind: str, share: float, wanted: float, answers: int, two_sided: bool, _state: State
) -> TestSize:
    """Reckon how many answers it takes; runs away from the screen."""
    curve = powers(kind, share, two_sided=two_sided)
    try:
        size = panel_size(kind, share, wanted, two_sided=two_sided)
        sentence, most = size_words(kind, share, wanted, size), size.stays
    except FindingError as error:
        sentence, most = text_of(error), 200
    shown = max(24, round(1.25 * most), answers + 4)
    return TestSize(curve[: min(shown, 400)], wanted, answers, sentence,
                _now(kind, share, answers, two_sided, curve))  # fmt: skip


def _now(kind: str, share: float, answers: int, two_sided: bool, curve: np.ndarray) -> str:
    if not answers:
        return ""
    least = least_right(answers, chance_of(kind), two_sided=two_sided)
    count = "one answer" if answers == 1 else f"{answers} answers"
    if least is None:
        return f"With {count}, even all of them right would not show a difference at 5 %."
    found = curve[min(answers, curve.size) - 1]
    return (
        f"With {count}, {least} right would show a difference at 5 %; if {percent(share)} of "
        f"people can tell, that happens about {percent(found)} of the time."
    )


class Planning(QWidget):
    """`changed` says that another share or certainty was chosen."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.share = ChoiceList("How many people can tell", [(str(s), f"{s} %") for s in _SHARES])
        self.share.choose("50")
        self.wanted = ChoiceList("Chance of finding it", [(str(s), f"{s} %") for s in _WANTED])
        self.curve = PowerCurve()
        self.sentence = Label("", wrap=True)
        self.now = Label("", role="quiet", wrap=True)
        self.fitting = Label("", role="quiet", wrap=True)
        self.share.changed.connect(self.changed)
        self.wanted.changed.connect(self.changed)
        column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(3 * STEP)
        column.addWidget(Label("How many answers it takes", role="quiet"))
        column.addWidget(NamedRow("Can tell", self.share))
        column.addWidget(NamedRow("Found", self.wanted))
        column.addWidget(self.curve, 100)
        column.addWidget(self.sentence)
        column.addWidget(self.now)
        column.addWidget(Hairline())
        column.addWidget(self.fitting)
        column.addStretch(1)

    def asked(self) -> tuple[float, float]:
        """The share of people and the certainty that are chosen."""
        return int(self.share.chosen()) / 100, int(self.wanted.chosen()) / 100

    def show_plan(self, plan: TestSize) -> None:
        """Show what was reckoned."""
        self.curve.show_plan(plan)
        self.sentence.setText(plan.sentence)
        self.now.setText(plan.now)
        self.now.setVisible(bool(plan.now))

    def show_none(self, sentence: str) -> None:
        """Say why there is nothing to reckon."""
        self.curve.show_plan(None)
        self.sentence.setText(sentence)
        self.now.hide()


class PowerCurve(QWidget):
    """The power over the number of answers, the wanted one as a dashed line."""

    def __init__(self) -> None:
        super().__init__()
        self._plan: TestSize | None = None
        self.setMinimumHeight(120)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("How often a difference is found, by number of answers")

    def show_plan(self, plan: TestSize | None) -> None:
        """Draw this."""
        self._plan = plan
        self.setVisible(plan is not None)
        if plan is not None:
            self.setAccessibleDescription(f"{plan.sentence} {plan.now}")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(520, 260)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._plan is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c = colours_of(self)
        self._draw_rules(painter, c, self._plan)
        points = [QPointF(self._x(n), self._y(p)) for n, p in enumerate(self._plan.power, 1)]
        painter.setPen(QPen(c.ink, 1.4))
        painter.drawPolyline(QPolygonF(points))
        y = self._y(self._plan.wanted)
        painter.setPen(QPen(c.planned, 1.4, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(_LEFT, y), QPointF(self.width() - 8, y))
        at = self._plan.answers
        if 0 < at <= self._plan.power.size:
            painter.setPen(QPen(c.paper, 1.4))
            painter.setBrush(c.ink)
            painter.drawEllipse(QPointF(self._x(at), self._y(self._plan.power[at - 1])), 5.5, 5.5)
        painter.end()

    def _draw_rules(self, painter: QPainter, c: Colours, plan: TestSize) -> None:
        painter.setFont(font(SMALL))
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for share in (0.0, 0.5, 1.0):
            y = self._y(share)
            painter.setPen(QPen(c.hairline, 1))
            painter.drawLine(QPointF(_LEFT, y), QPointF(self.width() - 8, y))
            painter.setPen(c.quiet)
            painter.drawText(QRectF(0, y - 8, _LEFT - 8, 16), right, percent(share))
        painter.setPen(c.quiet)
        step = next(s for s in (5, 10, 20, 50, 100) if plan.power.size / s <= 9)
        for n in range(step, plan.power.size + 1, step):
            box = QRectF(self._x(n) - 20, self.height() - _BOTTOM + 6, 40, 16)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(n))
        words = QRectF(_LEFT, self.height() - 14, self.width() - _LEFT - 8, 14)
        painter.drawText(words, right, "answers")

    def _x(self, answers: float) -> float:
        most = self._plan.power.size if self._plan else 1
        return _LEFT + answers / most * (self.width() - _LEFT - 12)

    def _y(self, share: float) -> float:
        return self.height() - _BOTTOM - float(share) * (self.height() - _TOP - _BOTTOM)


def is_difference(kind: str) -> bool:
    """Whether a test of that kind has a chance of guessing right."""
    return kind in CHANCE
