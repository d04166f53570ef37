"""A wheel's scores over its months: slim bars beside each other, a mark for each assessor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.theme import SMALL, font
from journal.keeping.sessions import GivenRow
from journal.records.dates import MONTH_DAYS, age_days
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import SCORE_TOP
from journal.wording.ages import age_words

_LEFT, _TOP, _BOTTOM = 32, 34, 46  # px about the scores
_BAR, _PITCH = 9.0, 19.0
_SHAPES = (("o", 7), ("o", 7), ("d", 9), ("d", 9))  # of assessors, filled and open in turn


@dataclass(frozen=True)
class AgeBar:
    """An attribute at one age: who gave what. The age is below zero where there is none."""

    attribute: str
    days: float
    given: tuple[tuple[str, float], ...]

    @property
    def mean(self) -> float:
        """The plain mean of what was given."""
        return sum(value for _, value in self.given) / len(self.given)


@dataclass(frozen=True)
class _Place:
    """Where a bar stands, px from the left, and what of it: `newest` is the last of its group."""

    bar: AgeBar
    x: float
    pitch: float
    newest: bool


def bars_of(given: Sequence[GivenRow], started_ms: int) -> list[AgeBar]:
    """The bars of a wheel: the usual attributes in order, then own ones, each by age."""
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
            out.append(AgeBar(name, age_days(started_ms, rows[0].at_ms), who))
    return out


class MonthBars(Chart):
    """Draws bars, in px across and points of score upwards. With `own_ages` each group has ages of
    its own."""

    def __init__(self, parent: QWidget | None = None, *, own_ages: bool = False) -> None:
        super().__init__("Scores over the months", "", parent)
        self._bars: list[AgeBar] = []
        self._places: list[_Place] = []
        self._own_ages = own_ages
        self.ci.layout.setContentsMargins(0, 0, 0, 0)
        self.plot = self.add_plot()
        self.plot.left_axis.setWidth(_LEFT)
        self.setMinimumHeight(150)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_bars(self, bars: Sequence[AgeBar]) -> None:
        """Draw these."""
        self._bars = list(bars)
        self.describe("; ".join(_words(bar) for bar in bars[:40]))
        self.refresh()

    def sizeHint(self) -> QSize:
        return QSize(560, 300)

    def draw(self) -> None:
        plot, wide = self.plot, max(self.width() - _LEFT, 1)
        plot.wipe()
        self._places = self._placed(wide)
        if not self._places:
            return
        point = max(self.height() - _TOP - _BOTTOM, 1) / SCORE_TOP  # px of a point
        plot.show_range((0.0, wide), (-_BOTTOM / point, SCORE_TOP + _TOP / point))
        plot.rules([0.0, 5.0, 10.0], (0.0, wide))
        for newest in (False, True):
            self._draw_bars([p for p in self._places if p.newest == newest], newest)
        self._name_groups(wide)
        self._draw_people(wide, SCORE_TOP + (_TOP - 12) / point)

    def hover_words(self, plot: ChartPlot, x: float, y: float) -> str:
        here = [p.bar for p in self._places if abs(x - p.x) < p.pitch / 2]
        return _words(here[0]) if here and y >= 0 else ""

    # Places

    def _placed(self, wide: float) -> list[_Place]:
        """The bars in their groups, each group in the middle of its share of the width."""
        names, out = self._names(), []
        share = wide / max(len(names), 1)
        for k, name in enumerate(names):
            own = [bar for bar in self._bars if bar.attribute == name]
            ages = sorted({round(bar.days) for bar in (own if self._own_ages else self._bars)})
            pitch = min(_PITCH, (share - 10) / len(ages))
            left = k * share + (share - pitch * len(ages)) / 2
            for bar in own:
                at = ages.index(round(bar.days))
                newest = at == len(ages) - 1
                out.append(_Place(bar, left + (at + 0.5) * pitch, pitch, newest))
        return out

    def _names(self) -> list[str]:
        return list(dict.fromkeys(bar.attribute for bar in self._bars))

    # Drawing

    def _draw_bars(self, places: list[_Place], newest: bool) -> None:
        if not places:
            return
        plot, pitch = self.plot, min(p.pitch for p in places)
        x, mean = np.array([p.x for p in places]), np.array([p.bar.mean for p in places])
        wide = min(_BAR, pitch - 2)
        plot.bars(x, np.zeros(len(x)), mean, "done" if newest else "past", width=wide)
        caps = np.column_stack([x - wide / 2, x + wide / 2, x]).ravel()
        tops = np.column_stack([mean, mean, np.full(len(x), np.nan)]).ravel()
        plot.line(caps, tops, "ink", width=2, level=2)
        for place in places if pitch >= 15 else ():
            age = _short_age(place.bar.days)
            plot.words(place.x, 0.0, age, "ink" if newest else "quiet", anchor=(0.5, 0))

    def _name_groups(self, wide: float) -> None:
        names = self._names()
        share, bottom = wide / len(names), self.plot.viewRange()[1][0]
        for k, name in enumerate(names):
            bold = name == "overall"
            metrics = QFontMetricsF(font(SMALL, bold=bold))
            words = metrics.elidedText(name, Qt.TextElideMode.ElideRight, share - 4)
            self.plot.words((k + 0.5) * share, bottom, words, "ink", anchor=(0.5, 1), bold=bold)

    def _draw_people(self, wide: float, top: float) -> None:
        """Each assessor's marks, and who is who at the right above the bars."""
        people = sorted({who for bar in self._bars for who, _ in bar.given})
        apart = 4.5 if len(people) < 4 else 2.5
        x = wide - sum(self.plot.measure(name)[0] + 24 for name in people) + 8
        for number, name in enumerate(people):
            aside = (number - (len(people) - 1) / 2) * apart
            marks = [(x, top)]
            marks += [
                (p.x + aside, v) for p in self._places for who, v in p.bar.given if who == name
            ]
            shape, size = _SHAPES[number % 4]
            at, value = np.array(marks).T
            self.plot.points(at, value, "ink", symbol=shape, size=size, hollow=number % 2 == 1)
            self.plot.words(x + 6, top, name, anchor=(0, 0.5))
            x += self.plot.measure(name)[0] + 24


def _short_age(days: float) -> str:
    """The age in months, in days below one."""
    if days < 0:
        return "now"
    months = days / MONTH_DAYS
    return f"{days:.0f}d" if months < 0.95 else f"{months:.0f}"


def _words(bar: AgeBar) -> str:
    given = ", ".join(f"{who} {value:g}" for who, value in bar.given)
    age = f" at {age_words(bar.days)}" if bar.days >= 0 else ""
    return f"{bar.attribute}{age}: {bar.mean:.1f} ({given})"
