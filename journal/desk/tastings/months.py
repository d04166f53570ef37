"""A wheel's scores over its months: dots with their ranges, beside each other by attribute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.theme import SMALL, font
from journal.keeping.session_rows import GivenRow
from journal.records.dates import MONTH_DAYS, age_days
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import SCORE_TOP
from journal.wording import worded
from journal.wording.ages import age_words

_LEFT, _TOP, _BOTTOM = 32, 34, 62  # px about the scores
_BOLD = "overall"
_PITCH = 19.0
_DOT = 9
_LEGEND = "dot: mean, line: lowest to highest"


@dataclass(frozen=True)
class AgeScore:
    """An attribute at one age: who gave what. The age is below zero where there is none."""

    attribute: str
    days: float
    given: tuple[tuple[str, float], ...]

    @property
    def mean(self) -> float:
        """The plain mean of what was given."""
        return sum(value for _, value in self.given) / len(self.given)

    @property
    def span(self) -> tuple[float, float]:
        """The least and the most that was given."""
        values = [value for _, value in self.given]
        return min(values), max(values)

    @property
    def who(self) -> str:
        """Who gave what, in words."""
        return ", ".join(f"{who} {value:g}" for who, value in self.given)


@dataclass(frozen=True)
class _Dot:
    """Where a dot lies, px from the left, and what of it: `newest` is the last of its group."""

    score: AgeScore
    x: float
    pitch: float
    newest: bool


def age_scores(given: Sequence[GivenRow], started_ms: int) -> list[AgeScore]:
    """The scores of a wheel: the usual attributes in order, then own ones, each by age."""
    names = [name for name in ATTRIBUTES if any(g.attribute == name for g in given)]
    names += sorted({g.attribute for g in given} - set(ATTRIBUTES))
    out = []
    for name in names:
        sessions: dict[int, list[GivenRow]] = {}
        for one in given:
            if one.attribute == name:
                sessions.setdefault(one.tasting_id, []).append(one)
        for rows in sessions.values():
            who = tuple((row.assessor, row.value) for row in rows)
            out.append(AgeScore(name, age_days(started_ms, rows[0].at_ms), who))
    return out


class MonthDots(Chart):
    """Draws them, in px across and points of score upwards. With `own_ages` each group has ages of
    its own."""

    def __init__(self, parent: QWidget | None = None, *, own_ages: bool = False) -> None:
        super().__init__("Scores over the months", "", parent)
        self._scores: list[AgeScore] = []
        self._dots: list[_Dot] = []
        self._own_ages = own_ages
        self.ci.layout.setContentsMargins(0, 0, 0, 0)
        self.plot = self.add_plot()
        self.plot.left_axis.setWidth(_LEFT)
        self.setMinimumHeight(150)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_scores(self, scores: Sequence[AgeScore]) -> None:
        """Draw these."""
        self.about(tuple(dict.fromkeys(one.attribute for one in scores)))
        self._scores = list(scores)
        self.describe("; ".join(_read_out(one) for one in scores[:40]))
        self.refresh()

    def sizeHint(self) -> QSize:
        return QSize(560, 300)

    def draw(self) -> None:
        plot, wide = self.plot, max(self.width() - _LEFT, 1)
        plot.wipe()
        self._dots = self._dots_at(wide)
        if not self._dots:
            return
        point = max(self.height() - _TOP - _BOTTOM, 1) / SCORE_TOP  # px of a point
        shown = self.seen((0.0, wide))
        plot.show_range(shown, (-_BOTTOM / point, SCORE_TOP + _TOP / point))
        plot.rules([0.0, 5.0, 10.0], shown)
        closer = wide / (shown[1] - shown[0])
        for name in self._names():
            self._draw_group([p for p in self._dots if p.score.attribute == name], closer)
        self._name_groups(wide, closer)
        if self._ranged():
            plot.words(shown[1], SCORE_TOP + 0.6 * _TOP / point, _LEGEND, anchor=(1, 0.5))

    def table(self) -> ValueTable:
        """Each attribute at each age: the mean, who gave what."""
        rows = [
            ValueRow(
                (p.score.attribute,
                 age_words(p.score.days) if p.score.days >= 0 else worded("reports.now"),
                 f"{p.score.mean:.1f}", p.score.who),
                p.x, p.score.mean, words=_read_out(p.score),
            )
            for p in self._dots
        ]  # fmt: skip
        return table_of_rows(("attribute", "age", "mean", "given"), rows)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        here = [p.score for p in self._dots if abs(x - p.x) < p.pitch / 2]
        return _read_out(here[0]) if here and y >= 0 else ""

    # Places

    def _dots_at(self, wide: float) -> list[_Dot]:
        """The dots in their groups, each group in the middle of its share of the width."""
        names, out = self._names(), []
        share = wide / max(len(names), 1)
        for k, name in enumerate(names):
            own = [one for one in self._scores if one.attribute == name]
            ages = sorted({round(one.days) for one in (own if self._own_ages else self._scores)})
            pitch = min(_PITCH, (share - 10) / len(ages))
            left = k * share + (share - pitch * len(ages)) / 2
            for one in own:
                at = ages.index(round(one.days))
                newest = at == len(ages) - 1
                out.append(_Dot(one, left + (at + 0.5) * pitch, pitch, newest))
        return out

    def _names(self) -> list[str]:
        return list(dict.fromkeys(one.attribute for one in self._scores))

    def _ranged(self) -> bool:
        return any(len(one.given) > 1 for one in self._scores)

    # Drawing

    def _draw_group(self, dots: list[_Dot], closer: float) -> None:
        """An attribute: its means joined, each with the range of what was given."""
        plot = self.plot
        x, mean = np.array([p.x for p in dots]), np.array([p.score.mean for p in dots])
        plot.line(x, mean, "past_line", width=1.2, level=1)
        for one in dots:
            role = "ink" if one.newest else "quiet"
            plot.line(np.full(2, one.x), np.array(one.score.span), role, width=1.6, level=2)
            dot = np.array([one.x]), np.array([one.score.mean])
            plot.points(*dot, role, size=_DOT, hollow=not one.newest)
            if one.pitch * closer >= 15:
                age = _short_age(one.score.days)
                plot.words(one.x, 0.0, age, role, anchor=(0.5, 0))

    def _name_groups(self, wide: float, closer: float) -> None:
        """Each group's name below it: where one is wider than its group, by turns on two lines."""
        names, (low, high) = self._names(), self.plot.viewRange()[1]
        share, line = wide / len(names), self.plot.measure("")[1] / self.plot.pane(0.0).high
        wider = any(_width(name) > share * closer - 4 for name in names)
        room = (2 if wider else 1) * share * closer - 4
        for k, name in enumerate(names):
            metrics = QFontMetricsF(font(SMALL, bold=name == _BOLD))
            words = metrics.elidedText(name, Qt.TextElideMode.ElideRight, room)
            up = low + (line * (high - low) if wider and k % 2 == 0 else 0.0)
            self.plot.words(
                (k + 0.5) * share, up, words, "ink", anchor=(0.5, 1), bold=name == _BOLD
            )


def _width(name: str) -> float:
    return QFontMetricsF(font(SMALL, bold=name == _BOLD)).horizontalAdvance(name)


def _short_age(days: float) -> str:
    """The age in months, in days below one."""
    if days < 0:
        return worded("reports.now")
    months = days / MONTH_DAYS
    return f"{days:.0f}d" if months < 0.95 else f"{months:.0f}"


def _read_out(one: AgeScore) -> str:
    which = "desk.score-at-age" if one.days >= 0 else "desk.score-now"
    age = age_words(one.days)
    return worded(which, attribute=one.attribute, age=age, mean=one.mean, who=one.who)
