"""A wheel's scores over its months: slim bars beside each other, a mark for each assessor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QMouseEvent,
    QPainter,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.theme import SMALL, Colours, font
from journal.keeping.sessions import GivenRow
from journal.records.dates import MONTH_DAYS, age_days
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import SCORE_TOP
from journal.wording.ages import age_words

_LEFT, _TOP, _BOTTOM = 32.0, 34.0, 46.0
_BAR, _PITCH = 9.0, 19.0


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


class MonthBars(DrawnWidget):
    """Draws bars; hover reads them. With `own_ages` each group has ages of its own."""

    def __init__(self, parent: QWidget | None = None, *, own_ages: bool = False) -> None:
        super().__init__(parent)
        self._own_ages = own_ages
        self._bars: list[AgeBar] = []
        self._places: list[tuple[QRectF, AgeBar]] = []
        self.setMinimumHeight(150)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMouseTracking(True)
        self.setAccessibleName("Scores over the months")

    def show_bars(self, bars: Sequence[AgeBar]) -> None:
        """Draw these."""
        self._bars = list(bars)
        self.setAccessibleDescription("; ".join(_words(bar) for bar in bars[:40]))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(560, 300)

    def draw(self, painter: QPainter, c: Colours) -> None:
        self._places = []
        if self._bars:
            people = _people(self._bars)
            self._draw_rules(painter, c)
            _draw_people(painter, c, people, self.width())
            self._draw_groups(painter, c, people)
        painter.end()

    def _draw_rules(self, painter: QPainter, c: Colours) -> None:
        painter.setFont(font(SMALL))
        for value in (0, 5, 10):
            y = self._y(value)
            painter.setPen(QPen(c.hairline, 1))
            painter.drawLine(QPointF(_LEFT, y), QPointF(self.width(), y))
            painter.setPen(c.quiet)
            right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(QRectF(0, y - 8, _LEFT - 10, 16), right, str(value))

    def _draw_groups(self, painter: QPainter, c: Colours, people: list[str]) -> None:
        names = list(dict.fromkeys(bar.attribute for bar in self._bars))
        width = (self.width() - _LEFT) / len(names)
        for k, name in enumerate(names):
            own = [bar for bar in self._bars if bar.attribute == name]
            ages = sorted({round(bar.days) for bar in (own if self._own_ages else self._bars)})
            pitch = min(_PITCH, (width - 10) / max(len(ages), 1))
            left = _LEFT + k * width + (width - pitch * len(ages)) / 2
            for bar in own:
                x = left + (ages.index(round(bar.days)) + 0.5) * pitch
                self._draw_bar(painter, c, bar, x, pitch, round(bar.days) == ages[-1])
                self._draw_marks(painter, c, bar, x, people)
            painter.setFont(font(SMALL, bold=name == "overall"))
            painter.setPen(c.ink)
            words = painter.fontMetrics().elidedText(
                name, Qt.TextElideMode.ElideRight, round(width - 4)
            )
            box = QRectF(_LEFT + k * width, self.height() - 20, width, 18)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)

    def _draw_bar(
        self, painter: QPainter, c: Colours, bar: AgeBar, x: float, pitch: float, newest: bool
    ) -> None:
        wide = min(_BAR, pitch - 2)
        top, low = self._y(bar.mean), self._y(0)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(c.done if newest else c.past)
        painter.drawRect(QRectF(x - wide / 2, top, wide, max(low - top, 1)))
        painter.setBrush(c.ink)
        painter.drawRect(QRectF(x - wide / 2, top - 1, wide, 2))
        self._places.append((QRectF(x - pitch / 2, _TOP, pitch, low - _TOP), bar))
        if pitch >= 15:
            painter.setFont(font(SMALL))
            painter.setPen(c.ink if newest else c.quiet)
            box = QRectF(x - 14, low + 4, 28, 16)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, _short_age(bar.days))

    def _draw_marks(
        self, painter: QPainter, c: Colours, bar: AgeBar, x: float, people: list[str]
    ) -> None:
        for who, value in bar.given:
            at = people.index(who)
            spread = (at - (len(people) - 1) / 2) * (4.5 if len(people) < 4 else 2.5)
            draw_person(painter, c, QPointF(x + spread, self._y(value)), at)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        here = next((bar for box, bar in self._places if box.contains(event.position())), None)
        words = _words(here) if here else ""
        QToolTip.showText(event.globalPosition().toPoint(), words, self)

    def _y(self, value: float) -> float:
        return self.height() - _BOTTOM - value / SCORE_TOP * (self.height() - _TOP - _BOTTOM)


def draw_person(painter: QPainter, c: Colours, at: QPointF, number: int) -> None:
    """The mark of an assessor: each has a shape, filled and open in turn."""
    filled = number % 2 == 0
    painter.setPen(QPen(c.paper if filled else c.ink, 1.2))
    painter.setBrush(QColor(c.ink) if filled else QColor(c.paper))
    shape = number % 4
    if shape < 2:
        painter.drawEllipse(at, 3.6, 3.6)
        return
    size = 4.6
    corners = [(0, -size), (size, 0), (0, size), (-size, 0)]
    painter.drawPolygon(QPolygonF([QPointF(at.x() + a, at.y() + b) for a, b in corners]))


def _draw_people(painter: QPainter, c: Colours, people: list[str], width: float) -> None:
    """Who is who, at the right above the bars."""
    painter.setFont(font(SMALL))
    metrics = QFontMetricsF(painter.font())
    x = width - sum(metrics.horizontalAdvance(name) + 30 for name in people) + 14
    for number, name in enumerate(people):
        draw_person(painter, c, QPointF(x, 12), number)
        painter.setPen(c.quiet)
        painter.drawText(QPointF(x + 9, 16), name)
        x += metrics.horizontalAdvance(name) + 30


def _people(bars: Sequence[AgeBar]) -> list[str]:
    return sorted({who for bar in bars for who, _ in bar.given})


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
