"""Below Compare: what the marks mean, and all makes of the journal by their score."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import STEP, Colours, scaled
from journal.keeping import MakeRow
from journal.wording.dates import short_day

_LEFT = 34 * STEP
_REACH = 8  # px about the pointer
_LEGEND = 5 * STEP
_LONG = (
    "above a ribbon: warmer or colder than planned",
    "below it: acidity, ● target met, ○ missed",
    "+13: minutes longer than planned",
)
_SHORT = ("above: warmer or colder", "below: acidity, ● met, ○ missed", "+13: minutes longer")


class ScoresStrip(DrawnWidget):
    """Draws every scored make as a dot, the open one as a ring; `went` carries a make's id."""

    went = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[MakeRow] = []
        self._mine: int | None = None
        self._beside: frozenset[int] = frozenset()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMouseTracking(True)
        self.setAccessibleName("All makes by score")

    def show_makes(self, rows: Sequence[MakeRow], mine: int | None, beside: Sequence[int]) -> None:
        """Draw these; `beside` are those that are compared."""
        self._rows = sorted(
            (r for r in rows if r.best_score is not None or r.id == mine), key=_began
        )
        self._mine, self._beside = mine, frozenset(beside)
        scored = sum(row.best_score is not None for row in self._rows)
        self.setAccessibleDescription(f"{scored} makes with a score")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, 72)

    def spot(self, row: MakeRow) -> QPointF:
        """Where a make stands: its day along, its score up."""
        first, last = self._rows[0].started_ms, self._rows[-1].started_ms
        share = (row.started_ms - first) / max(last - first, 1)
        scores = [r.best_score for r in self._rows if r.best_score is not None]
        low, high = min(scores, default=0.0), max(scores, default=10.0)
        score = row.best_score if row.best_score is not None else (low + high) / 2
        up = (score - low) / max(high - low, 0.5)
        top, bottom = scaled(_LEGEND) + 12.0, self.height() - 8.0
        wide = self.width() - scaled(_LEFT) - 4 * STEP
        return QPointF(scaled(_LEFT) + share * wide, bottom - up * (bottom - top))

    def draw(self, painter: QPainter, c: Colours) -> None:
        self._draw_legend(painter, c)
        painter.setPen(c.quiet)
        middle = (scaled(_LEGEND) + self.height()) / 2 + 6
        painter.drawText(QPointF(0, middle), "All makes, by score")
        for row in self._rows:
            mine = row.id == self._mine
            painter.setPen(QPen(c.ink, 1.6))
            painter.setBrush(c.ink if row.id in self._beside else c.past)
            if row.id not in self._beside:
                painter.setPen(QPen(c.past_line, 1))
            if mine:
                painter.setPen(QPen(c.ink, 1.8))
                painter.setBrush(c.paper)
            painter.drawEllipse(self.spot(row), *((5.5, 5.5) if mine else (4.0, 4.0)))
        painter.end()

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

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        near = self._near(event.position())
        words = ""
        if near is not None:
            score = "not scored" if near.best_score is None else f"{near.best_score:.1f}"
            words = f"{near.code}, {short_day(near.started_ms, near.zone)}: {score}"
        self.setCursor(Qt.CursorShape.PointingHandCursor if near else Qt.CursorShape.ArrowCursor)
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)

    def _near(self, at: QPointF) -> MakeRow | None:
        found = [((self.spot(row) - at).manhattanLength(), row.started_ms, row)
                 for row in self._rows]  # fmt: skip
        best = min(found, key=lambda one: one[:2], default=None)
        return best[2] if best is not None and best[0] <= _REACH else None


def _began(row: MakeRow) -> tuple[int, int]:
    return row.started_ms, row.id
