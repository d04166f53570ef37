"""A plot on paper: a `PlotSurface` that draws in millimetres, over a scale that may break."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from PySide6.QtGui import QColor

from journal.curves.surface import Pane, Span, StageBar
from journal.desk.sheets.paper import DASHED, DOTTED, FINE, SOLID, Paper
from journal.wording.hours import AxisTick, Hours, Stretch
from journal.wording.numbers import number
from journal.wording.scales import UNITS_SHOWN, finite_runs, ruled

SMALL = 9.0  # points
LINE_MM, MARK_MM = 0.22, 0.19  # of paper for a px of the screen
_WORDS_HIGH = 3.5  # mm
_DASHES = {"": SOLID, "planned": DASHED, "fine": DOTTED, "dots": DOTTED, "unknown": FINE}


@dataclass(frozen=True)
class PaperBox:
    """Where a plot is on the page, mm."""

    left: float
    top: float
    wide: float
    high: float

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return self.top + self.high


@dataclass(frozen=True)
class _Stretch:
    """A stretch on the page: its left and right edge, mm."""

    stretch: Stretch
    left: float
    right: float


class PaperPlot:
    """Draws what is drawn on a `PlotSurface`, in light colours, over stretches of x beside each
    other."""

    def __init__(self, paper: Paper, stretches: Sequence[Stretch], box: PaperBox) -> None:
        self.paper, self.box_mm = paper, box
        self._y: Span = (0.0, 1.0)
        self.parts = [
            _Stretch(one, box.left + one.left * box.wide, box.left + one.right * box.wide)
            for one in stretches
        ]

    # Where things are

    def show_range(self, x: Span | None, y: Span | None) -> None:
        """Show so much of the values; the stretches say what is shown of x."""
        self._y = y or self._y

    def pane(self, x: float) -> Pane:
        """The stretch in which `x` lies."""
        part = self._part(x)
        shown = (part.stretch.first, part.stretch.last)
        return Pane(shown, self._y, part.right - part.left, self.box_mm.high)

    def _part(self, x: float) -> _Stretch:
        return next((part for part in self.parts if x < part.stretch.last), self.parts[-1])

    def measure(self, text: str) -> tuple[float, float]:
        """Width and height of words, mm."""
        return self.paper.text_width(text, SMALL), _WORDS_HIGH

    def ticks(self, part: _Stretch) -> list[AxisTick]:
        """The uprights of a stretch's grid: none but where x is a time."""
        return []

    def x_mm(self, x: float, part: _Stretch) -> float:
        """Where `x` is on the page, on the scale of a stretch."""
        return self.box_mm.left + part.stretch.place(x) * self.box_mm.wide

    def y_mm(self, value: float) -> float:
        """Where a value is on the page."""
        low, high = self._y
        return self.box_mm.bottom - (value - low) / (high - low) * self.box_mm.high

    def _points(self, x: np.ndarray, y: np.ndarray, part: _Stretch) -> list[tuple[float, float]]:
        return [(self.x_mm(float(a), part), self.y_mm(float(b))) for a, b in zip(x, y, strict=True)]

    def _inside(self) -> Iterator[_Stretch]:
        """Each stretch in turn, with nothing drawn beyond it."""
        for part in self.parts:
            self.paper.inside(part.left, self.box_mm.top, part.right - part.left, self.box_mm.high)
            yield part
            self.paper.everywhere()

    def _ink(self, role: str) -> QColor:
        colour: QColor = getattr(self.paper.ink, role)
        return colour

    # What is drawn

    def rules(self, values: Sequence[float], x: Span, digits: int = 0, unit: str = "") -> None:
        """The grid: hairlines at round values and at ticks, open where the scale breaks."""
        paper, box = self.paper, self.box_mm
        quiet = paper.ink.quiet
        names = [(value, number(value, digits)) for value in values]
        if unit in UNITS_SHOWN:
            span = (min(values, default=0.0), max(values, default=0.0))
            values, names, unit = ruled(values, span, digits, unit)
        paper.words(box.left - 1.2, box.top, unit, SMALL, right=True, colour=quiet)
        for part in self.parts:
            wide = part.right - part.left
            paper.box(part.left, box.top, wide, box.high, colour=paper.ink.past_line, line=0.15)
            for value in values:
                paper.rule(part.left, self.y_mm(value), part.right, self.y_mm(value))
            for tick in self.ticks(part):
                at = self.x_mm(tick.minute, part)
                colour = paper.ink.past_line if tick.day else None
                paper.rule(at, box.top, at, box.bottom, colour=colour)
        free = float("inf")
        for value, words in sorted(names):
            at = self.y_mm(value)
            if box.top + 3.5 < at <= free:
                free = at - paper.line_height(SMALL)
                paper.words(box.left - 1.2, at - 1.3, words, SMALL, right=True, colour=quiet)

    def line(
        self,
        x: np.ndarray,
        y: np.ndarray,
        role: str,
        *,
        width: float = 1.5,
        dash: str = "",
        level: int = 0,
    ) -> None:
        """A line; a point alone is a small dot."""
        wide, mark = width * LINE_MM, 2 * width * LINE_MM
        for part in self._inside():
            for run in finite_runs(y):
                path = self._points(x[run], y[run], part)
                self.paper.path(path, colour=self._ink(role), wide=wide, dash=_DASHES[dash])
                if len(path) == 1:
                    self.paper.dot(*path[0], mark, self._ink(role), hollow=False)

    def band(
        self, x: np.ndarray, low: np.ndarray, high: np.ndarray, role: str, share: float = 1.0
    ) -> None:
        """A wash between two lines."""
        for part in self._inside():
            for run in finite_runs(low + high, 2):
                over, under = (self._points(x[run], edge[run], part) for edge in (high, low))
                self.paper.area([*over, *under[::-1]], self.paper.ink.wash(role, share))

    def points(
        self,
        x: np.ndarray,
        y: np.ndarray,
        role: str,
        *,
        symbol: str = "o",
        size: float = 8,
        hollow: bool = False,
        level: int = 5,
    ) -> None:
        """Marks, round ones and diamonds; those at an edge are whole."""
        shown = (y >= self._y[0]) & (y <= self._y[1])
        for part in self.parts:
            inside = shown & (x >= part.stretch.first) & (x <= part.stretch.last)
            for at in self._points(x[inside], y[inside], part):
                if symbol == "d":
                    self._diamond(*at, size * MARK_MM / 2, self._ink(role))
                else:
                    self.paper.dot(*at, size * MARK_MM, self._ink(role), hollow=hollow)

    def _diamond(self, x: float, y: float, half: float, colour: QColor) -> None:
        corners = [(x - half, y), (x, y - half), (x + half, y), (x, y + half), (x - half, y)]
        self.paper.path(corners, colour=colour, wide=0.3)

    def box(self, x: Span, y: Span, role: str, *, fill: str = "") -> None:
        """A rectangle, at least so large that it is seen."""
        for part in self.parts:
            if x[1] <= part.stretch.first or x[0] >= part.stretch.last:
                continue
            (x0, y1), (x1, y0) = self._points(np.array(x), np.array(y), part)
            x0 = max(x0, part.left + 0.3)
            x1 = min(max(x1, x0 + 1.2), part.right - 0.3)
            self.paper.box(
                x0, y0, x1 - x0, max(0.8, y1 - y0), colour=self._ink(role), line=0.35, dash=FINE,
                fill=self._ink(fill) if fill else None,
            )  # fmt: skip

    def stages(self, bars: Sequence[StageBar]) -> None:
        """Stages: grey where hands are needed, open where one may leave."""
        paper, box = self.paper, self.box_mm
        for part in self.parts:
            for bar in bars:
                first = max(bar.first, part.stretch.first)
                last = min(bar.last, part.stretch.last)
                if last <= first:
                    continue
                x0, x1 = self.x_mm(first, part), self.x_mm(last, part)
                fill = paper.ink.wash("past", 0.7) if bar.hands else None
                paper.box(x0, box.top + 0.6, x1 - x0, box.high - 1.2, colour=paper.ink.quiet,
                          line=0.15, fill=fill)  # fmt: skip
                words = self._fitting(bar, x1 - x0)
                paper.words((x0 + x1) / 2, box.top + 1.3, words, SMALL, centre=True)

    def _fitting(self, bar: StageBar, wide: float) -> str:
        """The number and name of a stage, the number alone, or nothing, as there is room."""
        names = (f"{bar.number} {bar.label}", str(bar.number))
        return next((n for n in names if self.measure(n)[0] <= wide - 0.6), "")

    def words(
        self,
        x: float,
        y: float,
        text: str,
        role: str = "quiet",
        *,
        anchor: tuple[float, float] = (0, 1),
        bold: bool = False,
        on_paper: bool = False,
    ) -> None:
        """A label with no line of the grid running through it."""
        wide, high = self.paper.text_width(text, SMALL, bold), _WORDS_HIGH
        left = self.x_mm(x, self._part(x)) - anchor[0] * wide
        left = max(
            min(left, self.box_mm.left + self.box_mm.wide - wide - 0.6), self.box_mm.left + 0.6
        )
        top = self.y_mm(y) - anchor[1] * high
        under = [(left - 0.3, top), (left + wide + 0.3, top)]
        under += [(left + wide + 0.3, top + high), (left - 0.3, top + high)]
        self.paper.area(under, self.paper.ink.field)
        self.paper.words(left, top, text, SMALL, bold=bold, colour=self._ink(role))


class HoursPlot(PaperPlot):
    """A plot over hours, ticking at natural times."""

    def __init__(self, paper: Paper, hours: Hours, box: PaperBox) -> None:
        super().__init__(paper, hours.stretches, box)
        self.hours = hours

    def ticks(self, part: _Stretch) -> list[AxisTick]:
        """The natural times of a stretch."""
        return self.hours.ticks(part.stretch, part.right - part.left)
