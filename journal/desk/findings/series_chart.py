"""The picture of a series: each variable's makes from low to high, and the line with its range."""

from __future__ import annotations

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.findings.series_set import SIDE_BY_SIDE, heads
from journal.findings import CLEAR, LEANING
from journal.findings.series import Design
from journal.findings.series_answer import SeriesAnswer
from journal.wording.scales import round_values
from journal.wording.series_answer import series_scatter_words
from journal.wording.variable_values import figure_words

_LOWER = 0.12  # of the height, every other name where they would stand in each other's way
_SYMBOLS = ("o", "s", "t", "d")  # a season each


class SeriesChart(Chart):
    """Draws the scores of a series, a variable beside the other on one scale of scores."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Scores of the series", "nothing to show yet", parent)
        self._shown: tuple[Design, SeriesAnswer] | None = None
        self._codes: list[str] = []
        self.bottom = NumberAxis("bottom")
        self.plot = self.add_plot(bottom=self.bottom)

    def show_series(self, planned: Design, answer: SeriesAnswer, codes: list[str]) -> None:
        """Draw these scores; `codes` names the makes."""
        self._shown, self._codes = (planned, answer), codes
        self.about(tuple(codes))
        self.describe(series_scatter_words(planned, answer))
        self.refresh()

    def draw(self) -> None:
        self.plot.wipe()
        shown = self._shown
        self.plot.setVisible(shown is not None and shown[1].scored > 0)
        if shown is None or not shown[1].scored:
            return
        planned, answer = shown
        many = len(planned.factors)
        y = self._range(answer, 0.3 if many <= SIDE_BY_SIDE else 0.5)
        apart = _apart(many)
        x = self.seen((-1.6, apart * (many - 1) + 1.6))
        self.plot.show_range(x, y)
        step = 0.5 if y[1] - y[0] < 3 else 1.0 if y[1] - y[0] < 7 else 2.0
        self.plot.rules(
            round_values(*y, (step,), above=0.16 if many <= SIDE_BY_SIDE else 0.28),
            x,
            digits=0 if step >= 1 else 1,
        )
        ticks = []
        titles = heads(planned.factors) if many <= SIDE_BY_SIDE else _names(planned)
        for j, (factor, head) in enumerate(zip(planned.factors, titles, strict=True)):
            middle = apart * j
            for at, end in ((middle - 1, factor.low), (middle + 1, factor.high)):
                ticks.append((at, figure_words(end, factor.unit)))
            self._write_head(head, j, many, middle, y)
            self._draw_line(answer, j, middle)
            self._draw_points(planned, answer, j, middle)
        self.bottom.setTicks([ticks])

    def _write_head(
        self, head: str, j: int, many: int, middle: float, y: tuple[float, float]
    ) -> None:
        """A variable's name above it; of many every other one lower, at the edges turned in."""
        if many <= SIDE_BY_SIDE:
            self.plot.words(middle, y[1], head, "ink", anchor=(0.5, 0))
            return
        at, side = {0: (middle - 1.6, 0.0), many - 1: (middle + 1.6, 1.0)}.get(j, (middle, 0.5))
        self.plot.words(at, y[1] - _LOWER * (y[1] - y[0]) * (j % 2), head, "ink", anchor=(side, 0))

    def table(self) -> ValueTable:
        """Each make's score beside what each variable was in it."""
        if self._shown is None:
            return ValueTable()
        planned, answer = self._shown
        rows = []
        for j, factor in enumerate(planned.factors):
            at = _at(planned, answer, j, _apart(len(planned.factors)) * j)
            for i in np.flatnonzero(np.isfinite(answer.score)).tolist():
                score = f"{answer.score[i]:.1f}"
                was = figure_words(float(answer.real[i, j]), factor.unit)
                cells = (factor.name, self._codes[i], was, score)
                words = f"{self._codes[i]}: {score}"
                rows.append(ValueRow(cells, float(at[i]), float(answer.score[i]), words=words))
        return table_of_rows(("variable", "make", "was", "score"), rows)

    def _range(self, answer: SeriesAnswer, above: float) -> tuple[float, float]:
        known = answer.score[np.isfinite(answer.score)]
        low, high = float(known.min()), float(known.max())
        for effect in answer.effects:
            reach = max(abs(effect.low80), abs(effect.high80)) / 2
            low, high = min(low, known.mean() - reach), max(high, known.mean() + reach)
        room = max(high - low, 1.0)
        return low - 0.12 * room, high + above * room

    def _draw_line(self, answer: SeriesAnswer, j: int, middle: float) -> None:
        """The effect about the mean of all, with its 80 % range at both ends."""
        if not answer.effects:
            return
        effect = answer.effects[j]
        level = float(np.nanmean(answer.score))
        x = np.array([middle - 1, middle, middle + 1])
        ends = np.array([[-effect.low80, 0, effect.low80], [-effect.high80, 0, effect.high80]]) / 2
        decided = effect.evidence in (CLEAR, LEANING)
        self.plot.band(x, level + ends.min(axis=0), level + ends.max(axis=0), "past", 0.55)
        y = np.array([level - effect.effect / 2, level + effect.effect / 2])
        self.plot.line(x[[0, 2]], y, "ink" if decided else "past_line", width=1.6, level=2)

    def _draw_points(self, planned: Design, answer: SeriesAnswer, j: int, middle: float) -> None:
        at, score = _at(planned, answer, j, middle), answer.score
        for part in planned.parts:
            own = (planned.block == part) & np.isfinite(score)
            if own.any():
                self.plot.points(
                    at[own], score[own], "ink", size=8, hollow=part % 2 == 1,
                    symbol=_SYMBOLS[part // 2 % len(_SYMBOLS)],
                )  # fmt: skip


def _apart(many: int) -> float:
    """From the middle of one variable to that of the next; low and high lie at ±1."""
    return 3.0 if many <= SIDE_BY_SIDE else 4.0


def _at(planned: Design, answer: SeriesAnswer, j: int, middle: float) -> np.ndarray:
    """Where the makes stand along a variable."""
    factor = planned.factors[j]
    at = middle + np.array([factor.coded(float(v)) for v in answer.real[:, j]])
    aside = np.zeros(len(at))  # so that marks of the same score do not hide each other
    taken: dict[tuple[float, float], int] = {}
    for i in np.flatnonzero(np.isfinite(answer.score)).tolist():
        spot = (round(float(at[i]), 1), round(float(answer.score[i]), 1))
        n = taken[spot] = taken.get(spot, -1) + 1
        aside[i] = 0.09 * ((n + 1) // 2) * (1 if n % 2 else -1)
    placed: np.ndarray = at + aside
    return placed


def _names(planned: Design) -> tuple[str, ...]:
    return tuple(factor.name for factor in planned.factors)
