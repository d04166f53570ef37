"""How many answers a test takes: the curve of its power, and a sentence."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.background import State
from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.form.fields import Fields
from journal.desk.form.page import LINE_STYLE, NamedRow
from journal.desk.form.spec import ROW, Field, FieldContext
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.theme import STEP
from journal.findings import FindingError
from journal.findings.panel_tests import (
    CHANCE,
    chance_of,
    least_right,
    panel_size,
    powers,
    share_at,
)
from journal.wording import text_of, worded
from journal.wording.numbers import percent
from journal.wording.panel import meant_difference_words, size_words

_SHARES, _WANTED = (20, 30, 40, 50), (80, 90, 95)
_APART = ("1", "2")  # a d′ instead: a tetrad and a triangle need the same answers for one share
_FIELDS = (
    Field("share", "Can tell", ROW, text="50", name="How many people can tell", options=[
        *((str(s), f"{s} %") for s in _SHARES), *((f"d′ {d}", f"d′ {d}") for d in _APART)]),
    Field("wanted", "Found", ROW, name="Chance of finding it",
          options=[(str(s), f"{s} %") for s in _WANTED]),
)  # fmt: skip
_LEFT, _RULES = 52, (0.0, 0.5, 1.0)


@dataclass(frozen=True)
class WantedDifference:
    """How large a difference is to be found, as a share of people who can tell or as a d′, and how
    surely."""

    wanted: float
    share: float = 0.5
    d: float | None = None


@dataclass(frozen=True)
class TestSize:
    """What was calculated: the power with 1, 2, 3, … answers, and the text about it."""

    power: np.ndarray
    wanted: float
    answers: int
    sentence: str
    now: str


def reckon(
    kind: str, asked: WantedDifference, answers: int, two_sided: bool, _state: State
) -> TestSize:
    """Reckon how many answers it takes; runs away from the screen."""
    wanted = asked.wanted
    try:
        share = asked.share if asked.d is None else share_at(kind, asked.d)
    except FindingError as error:
        return TestSize(np.empty(0), wanted, answers, text_of(error), "")
    curve = powers(kind, share, two_sided=two_sided)
    try:
        size = panel_size(kind, share, wanted, two_sided=two_sided)
        sentence, most = size_words(kind, share, wanted, size, asked.d), size.stays
    except FindingError as error:
        sentence, most = text_of(error), 200
    shown = max(24, round(1.25 * most), answers + 4)
    return TestSize(curve[: min(shown, 400)], wanted, answers, sentence,
                _now(kind, asked, answers, two_sided, curve))  # fmt: skip


def _now(
    kind: str, asked: WantedDifference, answers: int, two_sided: bool, curve: np.ndarray
) -> str:
    if not answers:
        return ""
    least = least_right(answers, chance_of(kind), two_sided=two_sided)
    if least is None:
        return worded("desk.too-few-answers", answers=answers)
    found = curve[min(answers, curve.size) - 1]
    difference = meant_difference_words(asked.share, asked.d)
    values = {"answers": answers, "least": least, "often": percent(found)}
    return worded("desk.right-needed", difference=difference, **values)


class Planning(QWidget):
    """`changed` says that another share or certainty was chosen."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        fields = Fields(_FIELDS, FieldContext(self, style=LINE_STYLE), self)
        self.share, self.wanted = fields.rows.values()
        self.curve = PowerCurve()
        self.sentence = Label("", wrap=True)
        self.now = Label("", role="quiet", wrap=True)
        self.fitting = Label("", role="quiet", wrap=True)
        fields.chosen.connect(self.changed)
        in_column(
            Label("How many answers it takes", role="quiet"),
            *(NamedRow(made.field.title, made) for made in fields.made.values()),
            (self.curve, 100),
            self.sentence,
            self.now,
            Hairline(),
            self.fitting,
            None,
            of=self,
            margins=(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP),
            gap=3 * STEP,
        )

    def asked(self) -> WantedDifference:
        """What is chosen."""
        chosen, wanted = self.share.chosen(), int(self.wanted.chosen()) / 100
        if chosen.startswith("d′"):
            return WantedDifference(wanted, d=float(chosen.removeprefix("d′")))
        return WantedDifference(wanted, share=int(chosen) / 100)

    def show_plan(self, plan: TestSize) -> None:
        """Show what was calculated."""
        self.curve.show_plan(plan if plan.power.size else None)
        self.sentence.setText(plan.sentence)
        self.now.setText(plan.now)
        self.now.setVisible(bool(plan.now))

    def show_none(self, sentence: str) -> None:
        """Say why there is nothing to reckon."""
        self.curve.show_plan(None)
        self.sentence.setText(sentence)
        self.now.hide()


class PowerCurve(Chart):
    """The power over the number of answers, the wanted one as a dashed line."""

    def __init__(self) -> None:
        super().__init__("How often a difference is found, by number of answers")
        self._plan: TestSize | None = None
        self.ci.layout.setContentsMargins(0, 12, 12, 0)
        self.bottom = NumberAxis("bottom")
        self.bottom.setStyle(tickLength=-4, tickTextOffset=6)
        self.plot = self.add_plot(bottom=self.bottom)
        self.plot.left_axis.setWidth(_LEFT)
        self.setMinimumHeight(120)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_plan(self, plan: TestSize | None) -> None:
        """Draw this."""
        self._plan = plan
        self.setVisible(plan is not None)
        if plan is not None:
            self.describe(f"{plan.sentence} {plan.now}")
        self.refresh()

    def sizeHint(self) -> QSize:
        return QSize(520, 260)

    def draw(self) -> None:
        plot, plan = self.plot, self._plan
        plot.wipe()
        if plan is None:
            return
        most = plan.power.size
        x = self.seen((0.0, most * 1.01))
        plot.show_range(x, (-0.04, 1.06))
        plot.rules(_RULES, x)
        plot.left_axis.setTicks([[(share, percent(share)) for share in _RULES]])
        step = next(s for s in (1, 2, 5, 10, 20, 50, 100) if (x[1] - x[0]) / s <= 9)
        marks = [(float(n), str(n)) for n in range(step, most + 1, step)]
        last, asked = marks.pop()
        self.bottom.setTicks([[*marks, (last, worded("desk.answers-asked", answers=asked))]])
        plot.line(np.arange(1, most + 1), plan.power, "ink", width=1.4)
        plot.line(np.array(x), np.full(2, plan.wanted), "planned", width=1.4, dash="planned")
        if 0 < plan.answers <= most:
            at = np.array([plan.answers])
            plot.points(at, plan.power[at - 1], "ink", size=12)

    def table(self) -> ValueTable:
        """How often a difference is found with each number of answers."""
        power = () if self._plan is None else self._plan.power.tolist()
        rows = [
            ValueRow((str(answers), percent(found)), float(answers), found)
            for answers, found in enumerate(power, start=1)
        ]
        return table_of_rows(("answers", "found"), rows)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        answers = round(x)
        if self._plan is None or not 1 <= answers <= self._plan.power.size:
            return ""
        found = percent(self._plan.power[answers - 1])
        return worded("desk.found-this-often", answers=answers, often=found)


def is_difference(kind: str) -> bool:
    """Whether a test of that kind has a chance of guessing right."""
    return kind in CHANCE
