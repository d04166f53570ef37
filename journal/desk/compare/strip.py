"""Below Compare: what the marks mean, and all makes of the journal by their score."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QFontMetricsF, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import STEP, Colours, scaled
from journal.keeping import MakeRow
from journal.records.traces import Floats
from journal.wording import worded
from journal.wording.dates import short_day

_LEFT = 38 * STEP
_REACH = 8  # px about the pointer
_MANY = 400  # dots from which on they are small
_LEGEND = 5 * STEP
_FLOOR = 3 * STEP  # px below the scores, for makes that have none
_LONG = (
    "above a ribbon: warmer or colder than planned",
    "below it: acidity, ● target met, ○ missed",
    "+13: minutes longer than planned",
)
_SHORT = ("above: warmer or colder", "below: acidity, ● met, ○ missed", "+13: minutes longer")


class ScoresStrip(DrawnWidget):
    """Draws every scored make as a dot, one without a score as a stroke on the floor, the open one
    as a ring; `went` carries the id of one that was clicked, `asked` of one whose menu is wanted,
    and where."""

    went = Signal(object)
    asked = Signal(object, object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[MakeRow] = []
        self._mine: int | None = None
        self._beside: frozenset[int] = frozenset()
        self._along, self._up = _shares(())
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMouseTracking(True)
        self.setAccessibleName("All makes by score")

    def show_makes(self, rows: Sequence[MakeRow], mine: int | None, beside: Sequence[int]) -> None:
        """Draw these; `beside` are those that are compared."""
        self._rows = sorted((r for r in rows if _is_shown(r) or r.id == mine), key=_began)
        self._mine, self._beside = mine, frozenset(beside)
        scored = sum(row.best_score is not None for row in self._rows)
        self._along, self._up = _shares(self._rows)
        rest = len(self._rows) - scored
        key = "desk.makes-with-a-score-and-without" if rest else "desk.makes-with-a-score"
        self.setAccessibleDescription(worded(key, scored=scored, rest=rest))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, 72)

    def spots(self) -> tuple[Floats, Floats]:
        """Where the makes stand, px: their day along, their score up."""
        top, bottom = scaled(_LEGEND) + 12.0, self.height() - 8.0
        wide = self.width() - scaled(_LEFT) - 4 * STEP
        scored = np.isfinite(self._up)
        floor = bottom if scored.all() else bottom - scaled(_FLOOR)
        up = np.where(scored, floor - self._up * (floor - top), bottom)
        return scaled(_LEFT) + self._along * wide, up

    def spot(self, row: MakeRow) -> QPointF:
        """Where a make stands."""
        x, y = self.spots()
        number = self._rows.index(row)
        return QPointF(float(x[number]), float(y[number]))

    def draw(self, painter: QPainter, c: Colours) -> None:
        self._draw_legend(painter, c)
        painter.setPen(c.quiet)
        middle = (scaled(_LEGEND) + self.height()) / 2 + 6
        painter.drawText(QPointF(0, middle), "All makes, by score")
        size = 4.0 if len(self._rows) <= _MANY else 2.0
        dots = zip(self._rows, *map(np.ndarray.tolist, self.spots()), strict=True)
        for row, x, y in sorted(dots, key=self._depth):
            compared = row.id in self._beside
            painter.setPen(QPen(c.ink, 1.6) if compared else QPen(c.past_line, 1))
            painter.setBrush(c.ink if compared else c.past)
            reach = max(size, 3.0) if compared else size
            if row.id == self._mine:
                painter.setPen(QPen(c.ink, 1.8))
                painter.setBrush(c.paper)
                reach = 5.5
            if row.best_score is None and row.id != self._mine:
                painter.drawLine(QPointF(x, y - reach), QPointF(x, y + reach))
            else:
                painter.drawEllipse(QPointF(x, y), reach, reach)
        painter.end()

    def _depth(self, dot: tuple[MakeRow, float, float]) -> int:
        """What is compared lies over all others, the open make over that."""
        return 2 if dot[0].id == self._mine else int(dot[0].id in self._beside)

    def _draw_legend(self, painter: QPainter, c: Colours) -> None:
        left, middle = 0.0, float(scaled(11))
        metrics = QFontMetricsF(painter.font())
        legend = _LONG
        if sum(metrics.horizontalAdvance(w) + 6 * STEP for w in _LONG) > self.width():
            legend = _SHORT
        for words, colour in zip(legend, (c.temperature, c.acidity, c.ink), strict=True):
            painter.setPen(colour)
            painter.drawText(QPointF(left, middle), words)
            left += metrics.horizontalAdvance(words) + 6 * STEP

    def mousePressEvent(self, event: QMouseEvent) -> None:
        near = self._near(event.position())
        if near is not None and event.button() == Qt.MouseButton.LeftButton:
            self.went.emit(near.id)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        near = self._near(QPointF(event.pos()))
        if near is not None:
            self.asked.emit(near.id, event.globalPos())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        near = self._near(event.position())
        words = ""
        if near is not None:
            score = "not scored" if near.best_score is None else f"{near.best_score:.1f}"
            words = f"{near.code}, {short_day(near.started_ms, near.zone)}: {score}"
        self.setCursor(Qt.CursorShape.PointingHandCursor if near else Qt.CursorShape.ArrowCursor)
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)

    def _near(self, at: QPointF) -> MakeRow | None:
        x, y = self.spots()
        far = np.abs(x - at.x()) + np.abs(y - at.y())
        best = int(far.argmin()) if len(far) else 0
        return self._rows[best] if len(far) and far[best] <= _REACH else None


def _shares(rows: Sequence[MakeRow]) -> tuple[Floats, Floats]:
    """How far each make stands along and up, shares of the strip; NaN up for one without a
    score."""
    began = np.array([row.started_ms for row in rows], float)
    score = np.array([np.nan if r.best_score is None else r.best_score for r in rows])
    known = score[np.isfinite(score)]
    low, high = (float(known.min()), float(known.max())) if len(known) else (0.0, 10.0)
    along = (began - began.min(initial=np.inf)) / max(np.ptp(began), 1.0) if len(rows) else began
    return along, (score - low) / max(high - low, 0.5)


def _is_shown(row: MakeRow) -> bool:
    """What was scored, or can be compared by its readings."""
    return row.best_score is not None or row.readings > 0


def _began(row: MakeRow) -> tuple[int, int]:
    return row.started_ms, row.id
