"""The table of findings: variable, step, a dot with its two ranges, the word of evidence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.scrollbars import quieten
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TEXT, colours_of, font, scaled
from journal.findings import AGE_KEY, CLEAR, LEANING, Finding
from journal.wording.effects import range_words, step_words
from journal.wording.evidence import evidence_words
from journal.wording.numbers import signed

ROW = 8 * STEP  # px; what a finger can hit
DOTS = 2  # which column
_INSET = 14
_STEPS: dict[int, int] = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}
_NICE = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)


class Ranges(RowsView[Finding]):
    """Findings as rows. Up and down pick one (`picked`), left and right step along its points
    (`stepped`), Enter opens (`opened`)."""

    stepped = Signal(int)
    shares = (0.33, 0.2)  # of the width, that the names and the steps take at most

    def __init__(self, parent: QWidget | None = None) -> None:
        self.span = 1.0
        self.ranged = False  # whether any row has a range
        columns = (
            Column("if it changes by", _variable, draw=self._draw_variable),
            Column("", step_words, right=True, draw=self._draw_step),
            Column("points", range_words, stretch=True, draw=self._draw_range),
            Column("evidence", _evidence, draw=self._draw_evidence),
        )
        super().__init__("Findings", columns, parent, row_height=ROW)
        self.axis = _Axis(self)
        quieten(self)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.horizontalHeader().sectionResized.connect(self._on_resized)

    def show_findings(
        self, findings: Sequence[Finding], measure: str = "points", picked: str = ""
    ) -> None:
        """Show these; picked is that variable, else the first that a maker can choose, which the
        headline speaks of. `measure` is what an effect is told in."""
        self.span = span_of(findings)
        self.ranged = any(math.isfinite(f.effect) for f in findings)
        title = measure if self.ranged else ""
        self.rows_model.columns[DOTS] = replace(self.rows_model.columns[DOTS], title=title)
        self.blockSignals(True)  # each row stood on is drawn, and one of them is enough
        self.select(-1)
        self.show_rows(findings)
        choosable = (i for i, f in enumerate(findings) if f.key != AGE_KEY or f.moved_with)
        self.select(next(choosable, 0))
        self.select_variable(picked)
        self.blockSignals(False)
        if self.current() is not None:
            self.picked.emit(self.current())
        high = self.horizontalHeader().height() + ROW * len(findings) + 2
        self.setMaximumHeight(max(high, 3 * ROW))
        self.axis.update()

    def select_variable(self, variable: str) -> None:
        """Go to a variable, when it is there."""
        names = [finding.variable for finding in self.rows_model.rows]
        if variable in names:
            self.select(names.index(variable))

    def fit(self) -> None:
        super().fit()
        wide, (names, steps) = self.viewport().width(), self.shares
        most = (max(round(names * wide), 40 * STEP), max(round(steps * wide), 24 * STEP))
        heads = QFontMetrics(font(SMALL))
        for column, room in enumerate(most):
            title = heads.horizontalAdvance(self.rows_model.columns[column].title)
            width = min(self.columnWidth(column) - 2 * STEP, room)
            self.setColumnWidth(column, max(width, title + 6 * STEP))

    def x_of(self, points: float, rect: QRect | QRectF) -> float:
        """Where so many points of score stand in a cell."""
        wide = rect.width() - 2 * _INSET
        return rect.x() + _INSET + (points / self.span + 1) / 2 * wide

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(event.key())
        if step is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        self.stepped.emit(step)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The rows, but none that has room for half of itself only."""
        super().paintEvent(event)
        view = self.viewport().rect()
        over = view.height() % ROW
        if over and len(self.rows_model.rows) * ROW > view.height():
            painter = QPainter(self.viewport())
            strip, c = view.adjusted(0, view.height() - over, 0, 0), colours_of(self)
            painter.fillRect(strip, c.paper)
            left, wide = self.columnViewportPosition(DOTS), self.columnWidth(DOTS)
            for points in self.ticks() if self.ranged else ():
                x = round(self.x_of(points, QRect(left, strip.y(), wide, over)))
                painter.fillRect(QRect(x, strip.y(), 1, over), c.hairline if points else c.quiet)
            painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit()
        self.axis.update()

    def _on_resized(self, _section: int, _before: int, _after: int) -> None:
        self.axis.update()

    # Drawing

    def _voice(self, painter: QPainter, finding: Finding) -> None:
        c = colours_of(self)
        decided = finding.evidence in (CLEAR, LEANING)
        painter.setFont(font(TEXT, bold=finding.evidence == CLEAR))
        painter.setPen(c.ink if decided or finding is self.current() else c.quiet)

    def _draw_variable(self, painter: QPainter, rect: QRect, finding: Finding) -> None:
        self._voice(painter, finding)
        box = rect.adjusted(3 * STEP, 0, -STEP, 0)
        words = painter.fontMetrics().elidedText(
            finding.variable, Qt.TextElideMode.ElideRight, box.width()
        )
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, words)

    def _draw_step(self, painter: QPainter, rect: QRect, finding: Finding) -> None:
        painter.setFont(font(SMALL))
        painter.setPen(colours_of(self).quiet)
        side = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
        box = rect.adjusted(0, 0, -3 * STEP, 0)
        words = painter.fontMetrics().elidedText(
            step_words(finding), Qt.TextElideMode.ElideRight, box.width()
        )
        painter.drawText(box, side, words)

    def _draw_evidence(self, painter: QPainter, rect: QRect, finding: Finding) -> None:
        self._voice(painter, finding)
        box = rect.adjusted(3 * STEP, 0, 0, 0)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, _evidence(finding))

    def _draw_range(self, painter: QPainter, rect: QRect, finding: Finding) -> None:
        c = colours_of(self)
        for points in self.ticks() if self.ranged else ():
            colour = c.quiet if points == 0 else c.hairline
            painter.fillRect(
                QRect(round(self.x_of(points, rect)), rect.y(), 1, rect.height()), colour
            )
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if not math.isfinite(finding.effect):
            return
        decided = finding.evidence in (CLEAR, LEANING)
        colour = c.ink if decided else c.past_line
        middle = rect.center().y() + 0.5
        for low, high, width in (
            (finding.low95, finding.high95, 1.4),
            (finding.low80, finding.high80, 4.0),
        ):
            pen = QPen(colour, width)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            a, b = (self.x_of(max(min(v, self.span), -self.span), rect) for v in (low, high))
            painter.drawLine(QPointF(a, middle), QPointF(b, middle))
        painter.setPen(QPen(colour, 1.6))
        self._draw_beyond(painter, rect, finding, middle)
        if abs(finding.effect) <= self.span:
            painter.setBrush(c.chosen if finding is self.current() else c.paper)
            painter.drawEllipse(
                QPointF(self.x_of(finding.effect, rect), middle), scaled(9) / 2, scaled(9) / 2
            )

    def _draw_beyond(self, painter: QPainter, rect: QRect, finding: Finding, y: float) -> None:
        """An arrowhead where a range goes on beyond the page."""
        for edge, there, way in (
            (self.span, finding.high95 > self.span, 1),
            (-self.span, finding.low95 < -self.span, -1),
        ):
            if there:
                x = self.x_of(edge, rect)
                for side in (-4, 4):
                    painter.drawLine(QPointF(x + 5 * way, y), QPointF(x + way, y + side))

    def ticks(self) -> list[float]:
        """Points of score that are named: zero and a round number either side."""
        half = max((n for n in _NICE if n <= self.span * 0.98), default=self.span)
        return [-half, 0.0, half]


class _Axis(QWidget):
    """Names the lines under the dots."""

    def __init__(self, table: Ranges) -> None:
        super().__init__()
        self._table = table
        self.setFixedHeight(scaled(5 * STEP))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(200, scaled(5 * STEP))

    def paintEvent(self, _event: QPaintEvent) -> None:
        table = self._table
        if not table.ranged:
            return
        painter = QPainter(self)
        painter.setFont(font(SMALL))
        painter.setPen(colours_of(self).quiet)
        left = table.columnViewportPosition(DOTS)
        rect = QRectF(left, 0, table.columnWidth(DOTS), self.height())
        for points in table.ticks():
            x = table.x_of(points, rect)
            box = QRectF(x - scaled(40), 0, scaled(80), self.height())
            painter.drawText(
                box, Qt.AlignmentFlag.AlignCenter, signed(points, 1) if points else "0"
            )
        painter.end()


def span_of(findings: Sequence[Finding]) -> float:
    """Points either side of zero that hold what is told and most of the rest."""
    reach = [max(abs(f.low95), abs(f.high95)) for f in findings if math.isfinite(f.effect)]
    decided = [
        max(abs(f.low95), abs(f.high95))
        for f in findings
        if math.isfinite(f.effect) and f.evidence in (CLEAR, LEANING)
    ]
    if not reach:
        return 1.0
    return 1.08 * max([float(np.quantile(reach, 0.8)), *decided, 0.1])


def _variable(finding: Finding) -> str:
    return finding.variable


def _evidence(finding: Finding) -> str:
    return evidence_words(finding.evidence)
