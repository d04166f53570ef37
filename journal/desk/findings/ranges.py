"""The table of findings: variable, step, a dot with its two ranges, the word of evidence."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from journal.desk.cells import cell_text
from journal.desk.charts.marks import (
    MIDDLE,
    BoxMark,
    DotMark,
    LineMark,
    Mark,
    MarkScale,
    Scene,
    TextMark,
)
from journal.desk.drawn import PaintedWidget
from journal.desk.scrollbars import quieten
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, font, scaled
from journal.findings import AGE_KEY, CLEAR, LEANING, Finding
from journal.wording.effects import effect_range_words, typical_change
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
            Column("if it changes by", _variable, marks=self._variable_marks),
            Column("", typical_change, right=True, marks=_step_marks),
            Column("points", effect_range_words, stretch=True, marks=self._range_marks),
            Column("evidence", _evidence, marks=self._evidence_marks),
        )
        super().__init__("Findings", columns, parent, row_height=ROW)
        self.axis = PaintedWidget(None, self._axis_scene, scaled(5 * STEP))
        self._rest = PaintedWidget(self, self._rest_scene, 1)
        self._rest.setAutoFillBackground(True)
        quieten(self)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.horizontalHeader().sectionResized.connect(self._on_resized)

    def show_findings(
        self, findings: Sequence[Finding], measure: str = "points", picked: str = ""
    ) -> None:
        """Show these; picked is that variable, else the first that a maker can choose, which the
        headline speaks of. `measure` is the unit of effects."""
        self.span = span_of(findings)
        self.ranged = any(math.isfinite(f.effect) for f in findings)
        title = measure if self.ranged else ""
        self.rows_model.columns[DOTS] = replace(self.rows_model.columns[DOTS], title=title)
        self.blockSignals(True)  # each selected row is drawn, and one of them is enough
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
        self._fit_axis()

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
            title = heads.horizontalAdvance(self.rows_model.columns[column].shown)
            width = min(self.columnWidth(column) - 2 * STEP, room)
            self.setColumnWidth(column, max(width, title + 6 * STEP))

    def scale(self, left: float, wide: float) -> MarkScale:
        """Where points of score stand in a cell."""
        return MarkScale((-self.span, self.span), (left + _INSET, left + wide - _INSET))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(event.key())
        if step is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        self.stepped.emit(step)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit()
        self._fit_axis()

    def _on_resized(self, _section: int, _before: int, _after: int) -> None:
        self._fit_axis()

    def _fit_axis(self) -> None:
        """The axis follows the columns; a row that has room for half of itself only is covered."""
        view = self.viewport().geometry()
        over = view.height() % ROW
        self._rest.setVisible(over > 0 and len(self.rows_model.rows) * ROW > view.height())
        self._rest.setFixedHeight(over)
        self._rest.setGeometry(view.adjusted(0, view.height() - over, 0, 0))
        self._rest.show_scene(self._rest_scene)
        self.axis.show_scene(self._axis_scene)

    # Drawing

    def _variable_marks(self, finding: Finding, wide: float, high: float) -> list[Mark]:
        return [self._voiced(finding, finding.variable, wide, high, STEP)]

    def _evidence_marks(self, finding: Finding, wide: float, high: float) -> list[Mark]:
        return [self._voiced(finding, _evidence(finding), wide, high, 0)]

    def _voiced(
        self, finding: Finding, text: str, wide: float, high: float, edge: float
    ) -> TextMark:
        known = finding.evidence in (CLEAR, LEANING) or finding is self.current()
        bold = finding.evidence == CLEAR
        return cell_text(text, wide, high, "ink" if known else "quiet", bold=bold, edge=edge)

    def _range_marks(self, finding: Finding, wide: float, high: float) -> list[Mark]:
        out = self._rules(0, wide, high)
        if not math.isfinite(finding.effect):
            return out
        role = "ink" if finding.evidence in (CLEAR, LEANING) else "past_line"
        fill = "chosen" if finding is self.current() else "paper"
        scale = self.scale(0, wide)
        return [*out, *effect_marks(finding, scale, high / 2, role, fill, scaled(9))]

    def _rules(self, left: float, wide: float, high: float) -> list[Mark]:
        scale = self.scale(left, wide)
        places = [(points, round(scale.at(points))) for points in self.ticks()]
        return [BoxMark((x, x + 1), (0, high), "hairline" if points else "quiet")
                for points, x in places] if self.ranged else []  # fmt: skip

    def ticks(self) -> list[float]:
        """Points of score that are named: zero and a round number either side."""
        half = max((n for n in _NICE if n <= self.span * 0.98), default=self.span)
        return [-half, 0.0, half]

    def _rest_scene(self, _wide: float, high: float) -> Scene:
        return Scene(self._rules(self.columnViewportPosition(DOTS), self.columnWidth(DOTS), high))

    def _axis_scene(self, _wide: float, high: float) -> Scene:
        """The names of the lines under the dots."""
        scale = self.scale(self.columnViewportPosition(DOTS), self.columnWidth(DOTS))
        names = [(points, signed(points, 1) if points else "0") for points in self.ticks()]
        marks = [TextMark(points, high / 2, name, align=MIDDLE) for points, name in names]
        return Scene(marks if self.ranged else (), scale)


def effect_marks(
    finding: Finding, scale: MarkScale, y: float, role: str, fill: str, dot: float
) -> Iterator[Mark]:
    """An effect with its two ranges about a height, on a scale that ends where the picture does; a
    range that goes on beyond it ends in an arrowhead. On the screen and on paper."""
    low, high = scale.values
    for first, last, width in (
        (finding.low95, finding.high95, 1.4), (finding.low80, finding.high80, 4.0),
    ):  # fmt: skip
        ends = [scale.at(max(min(value, high), low)) for value in (first, last)]
        yield LineMark(ends, (y, y), role, width, flat=True)
    for way, end, beyond in ((1, high, finding.high95 > high), (-1, low, finding.low95 < low)):
        if beyond:
            x = scale.at(end)
            yield LineMark([x + way, x + 5 * way, x + way], (y - 4, y, y + 4), role, 1.6)
    if low <= finding.effect <= high:
        yield DotMark(scale.at(finding.effect), y, dot, fill, role, 1.6)


def _step_marks(finding: Finding, wide: float, high: float) -> list[Mark]:
    return [cell_text(typical_change(finding), wide, high, "quiet", size=SMALL, right=True, left=0)]


def span_of(findings: Sequence[Finding]) -> float:
    """Points either side of zero that hold the clear findings and most of the rest."""
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
