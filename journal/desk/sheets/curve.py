"""The curve on paper: the planned line in its allowed range, the acid targets, and room for the
pencil."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.day import AllowedRange
from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import DASHED, DOTTED, FINE, Paper
from journal.records.traces import Floats
from journal.wording.hours import AxisTick, Hours, Stretch

TEMP_HIGH, ACID_HIGH, BAND_HIGH = 46.0, 34.0, 5.0  # mm
LEFT = 9.0  # mm, for the scales
SMALL = 7.0  # points
_USUAL_PH = (5.2, 6.7)
_TITLE = 9.5  # mm


@dataclass(frozen=True)
class StageBar:
    """A stage on the band between the panels; minutes from the start."""

    number: int
    label: str
    first: float
    last: float
    hands: bool


@dataclass(frozen=True)
class AcidWindow:
    """A pH acid target: minutes, pH, and its words."""

    first: float
    last: float
    low: float
    high: float
    label: str


@dataclass(frozen=True)
class Points:
    """Readings: `minutes` and `value` (n,); `hollow` tells a second kind from the first."""

    label: str
    minutes: Floats
    value: Floats
    hollow: bool = False


@dataclass(frozen=True)
class CurvePicture:
    """All the picture shows. `log` is the temperature as read, `acid` pH by kind."""

    title: str
    hours: Hours
    plan: AllowedRange
    bars: tuple[StageBar, ...]
    acid_targets: tuple[AcidWindow, ...] = ()
    log: Points | None = None
    acid: tuple[Points, ...] = ()
    remarks: tuple[str, ...] = ()
    with_acid: bool = True
    floor: float | None = None  # °C, what lies below is not shown


def curve_block(paper: Paper, curve: CurvePicture, share: float = 1.0) -> Block:
    """The whole picture over the width of the page, its panels a share of their usual height."""
    return _Drawing(paper, curve, share).block()


class _Drawing:
    """Draws one Curve from an upper edge down."""

    def __init__(self, paper: Paper, curve: CurvePicture, share: float) -> None:
        self.paper, self.curve = paper, curve
        self.temp_high, self.acid_high = TEMP_HIGH * share, ACID_HIGH * share
        # The words of acid targets: left, right, top.
        self._placed: list[tuple[float, float, float]] = []
        self.wide = paper.across - LEFT
        self.x0 = paper.left + LEFT
        self.step = paper.line_height(SMALL)
        self.remarks = [
            line for text in curve.remarks for line in paper.wrapped(text, paper.across, SMALL)
        ]

    def block(self) -> Block:
        high = _TITLE + self.temp_high + BAND_HIGH + 5.5 + len(self.remarks) * self.step + 1.5
        high += self.acid_high + 2.5 if self.curve.with_acid else 0.0
        return Block(high, self.draw)

    def draw(self, y: float, _height: float) -> None:
        paper = self.paper
        paper.words(paper.left, y + 3.0, self.curve.title, 9.5, bold=True)
        y += _TITLE
        temps = _scale(self._temperatures(), 6.0, (1, 2, 5, 10, 20), 11)
        self._plot(y, self.temp_high, temps, "°C", 0)
        self._draw_temperature(y, temps)
        y += self.temp_high
        self._draw_band(y)
        y += BAND_HIGH
        self._draw_clock(y)
        y += 5.5
        if self.curve.with_acid:
            scale = _scale(self._acidities(), 1.0, (0.1, 0.2, 0.5, 1.0), 8)
            self._plot(y, self.acid_high, scale, "pH", 1)
            self._draw_acid(y, scale)
            y += self.acid_high + 2.5
        paper.lines(paper.left, y, self.remarks, SMALL, colour=paper.ink.quiet)

    # Places

    def x_of(self, stretch: Stretch, minute: float) -> float:
        return self.x0 + stretch.place(minute) * self.wide

    def _edges(self, stretch: Stretch) -> tuple[float, float]:
        return self.x0 + stretch.left * self.wide, self.x0 + stretch.right * self.wide

    def _ticks(self, stretch: Stretch) -> list[AxisTick]:
        left, right = self._edges(stretch)
        return self.curve.hours.ticks(stretch, right - left)

    # Panels

    def _plot(
        self, y: float, high: float, scale: tuple[float, float, list[float]], unit: str, digits: int
    ) -> None:
        """The grid: hairlines at round values and natural times, open where the scale breaks."""
        paper = self.paper
        low, top, values = scale
        paper.words(self.x0 - 1.2, y, unit, SMALL, right=True, colour=paper.ink.quiet)
        for stretch in self.curve.hours.stretches:
            left, right = self._edges(stretch)
            paper.box(left, y, right - left, high, colour=paper.ink.past_line, line=0.15)
            for value in values:
                at = y + high - (value - low) / (top - low) * high
                paper.rule(left, at, right, at)
            for tick in self._ticks(stretch):
                at = self.x_of(stretch, tick.minute)
                colour = paper.ink.past_line if tick.day else None
                paper.rule(at, y, at, y + high, colour=colour)
        for value in values:
            at = y + high - (value - low) / (top - low) * high
            if at > y + 3.5:
                paper.words(self.x0 - 1.2, at - 1.3, f"{value:.{digits}f}", SMALL, right=True,
                            colour=paper.ink.quiet)  # fmt: skip

    def _draw_temperature(self, y: float, scale: tuple[float, float, list[float]]) -> None:
        paper, plan = self.paper, self.curve.plan
        low, top, _ = scale
        for stretch in self.curve.hours.stretches:
            left, right = self._edges(stretch)
            paper.inside(left, y, right - left, self.temp_high)
            to = _Map(self, stretch, y, self.temp_high, low, top)
            for run in _runs(plan.low):
                for edge in (plan.low[run], plan.high[run]):
                    paper.path(to.points(plan.minutes[run], edge), colour=paper.ink.planned,
                               wide=0.2, dash=DOTTED)  # fmt: skip
            for run in _runs(plan.mid):
                paper.path(to.points(plan.minutes[run], plan.mid[run]), colour=paper.ink.planned,
                           wide=0.4, dash=DASHED)  # fmt: skip
            if self.curve.log is not None:
                for run in _runs(self.curve.log.value):
                    path = to.points(self.curve.log.minutes[run], self.curve.log.value[run])
                    paper.path(path, colour=paper.ink.temperature, wide=0.4)
                    if len(path) == 1:
                        paper.dot(*path[0], 1.0, paper.ink.temperature, hollow=False)
            paper.everywhere()

    def _draw_acid(self, y: float, scale: tuple[float, float, list[float]]) -> None:
        low, top, _ = scale
        for stretch in self.curve.hours.stretches:
            left, right = self._edges(stretch)
            self.paper.inside(left - 1, y, right - left + 2, self.acid_high)
            to = _Map(self, stretch, y, self.acid_high, low, top)
            for acid_target in self.curve.acid_targets:
                self._draw_acid_target(to, acid_target)
            for points in self.curve.acid:
                for x, at in to.points(points.minutes, points.value):
                    if left - 0.5 <= x <= right + 0.5:
                        self.paper.dot(x, at, 1.5, self.paper.ink.acidity, hollow=points.hollow)
            self.paper.everywhere()

    def _draw_acid_target(self, to: _Map, acid_target: AcidWindow) -> None:
        """A box that is at least wide enough to be seen, its words beside it."""
        paper = self.paper
        left, right = self._edges(to.stretch)
        if acid_target.last <= to.stretch.first or acid_target.first >= to.stretch.last:
            return
        (x0, y1), (x1, y0) = to.points(np.array([acid_target.first, acid_target.last]),
                                       np.array([acid_target.low, acid_target.high]))  # fmt: skip
        x0, x1 = max(x0, left + 0.3), min(max(x1, x0 + 1.2), right - 0.3)
        paper.box(x0, y0, x1 - x0, max(0.8, y1 - y0), colour=paper.ink.planned, line=0.35,
                  dash=FINE)  # fmt: skip
        at, top = self._beside(to, (x0, y0, x1, y1), paper.text_width(acid_target.label, SMALL))
        wide = paper.text_width(acid_target.label, SMALL)
        under = [(at - 0.3, top), (at + wide + 0.3, top), (at + wide + 0.3, top + 2.8),
                 (at - 0.3, top + 2.8)]  # fmt: skip
        paper.area(under, paper.ink.field)
        paper.words(at, top, acid_target.label, SMALL, colour=paper.ink.planned)

    def _beside(
        self, to: _Map, box: tuple[float, float, float, float], wide: float
    ) -> tuple[float, float]:
        """Where the words of a box hide the least: at its side, above or below it."""
        x0, y0, x1, y1 = box
        left, right = self._edges(to.stretch)
        middle, along = (y0 + y1) / 2 - 1.4, min(max(left + 1, x0), right - wide - 1)
        places = [(x0 - wide - 1.2, middle), (x1 + 1.2, middle), (along, y0 - 3.2),
                  (along, y1 + 0.6)]  # fmt: skip
        dots = [dot for p in self.curve.acid for dot in to.points(p.minutes, p.value)]

        def hidden(place: tuple[float, float]) -> int:
            x, y = place
            if not (left < x and x + wide < right and to.y < y < to.y + to.high - 2.8):
                return 1000
            covered = sum(x < b and a < x + wide and abs(y - c) < 2.8 for a, b, c in self._placed)
            return 10 * covered + sum(
                x - 1 < a < x + wide + 1 and y - 1 < b < y + 3.8 for a, b in dots
            )

        best = min(places, key=hidden)
        self._placed.append((best[0], best[0] + wide, best[1]))
        return best

    # Between the panels

    def _draw_band(self, y: float) -> None:
        """The stages: grey where hands are needed, open where one may leave."""
        paper = self.paper
        for stretch in self.curve.hours.stretches:
            for bar in self.curve.bars:
                first, last = max(bar.first, stretch.first), min(bar.last, stretch.last)
                if last <= first:
                    continue
                x0, x1 = self.x_of(stretch, first), self.x_of(stretch, last)
                fill = paper.ink.wash("past", 0.7) if bar.hands else None
                paper.box(x0, y + 0.6, x1 - x0, BAND_HIGH - 1.2, colour=paper.ink.quiet, line=0.15,
                          fill=fill)  # fmt: skip
                words = self._fitting(bar, x1 - x0)
                paper.words((x0 + x1) / 2, y + 1.3, words, SMALL, centre=True)

    def _fitting(self, bar: StageBar, wide: float) -> str:
        """The number and name of a stage, the number alone, or nothing, as there is room."""
        for words in (f"{bar.number} {bar.label}", str(bar.number)):
            if self.paper.text_width(words, SMALL) <= wide - 0.6:
                return words
        return ""

    def _draw_clock(self, y: float) -> None:
        paper = self.paper
        free = paper.left
        for stretch in self.curve.hours.stretches:
            for tick in self._ticks(stretch):
                x = self.x_of(stretch, tick.minute)
                paper.rule(x, y - 0.4, x, y + 0.9, colour=paper.ink.quiet)
                half = paper.text_width(tick.words, SMALL, tick.day) / 2
                if x - half < free or x + half > paper.right + 2:
                    continue
                free = x + half + 1.0
                paper.words(x, y + 1.2, tick.words, SMALL, centre=True, bold=tick.day)
        for before, _after in itertools.pairwise(self.curve.hours.stretches):
            x = self._edges(before)[1] + 0.01 * self.wide
            for shift in (-0.5, 0.5):
                paper.rule(x + shift - 0.5, y - 0.6, x + shift + 0.5, y - BAND_HIGH + 0.6,
                           colour=paper.ink.quiet, wide=0.2)  # fmt: skip

    # What is shown

    def _temperatures(self) -> list[Floats]:
        plan = self.curve.plan
        logged = [] if self.curve.log is None else [self._seen(self.curve.log)]
        floor = self.curve.floor
        parts = [plan.low, plan.high, *logged]
        return parts if floor is None else [np.maximum(part, floor) for part in parts]

    def _acidities(self) -> list[Floats]:
        acid_targets = [
            np.array([acid_target.low, acid_target.high]) for acid_target in self.curve.acid_targets
        ]
        return [
            np.array(_USUAL_PH),
            *acid_targets,
            *(self._seen(points) for points in self.curve.acid),
        ]

    def _seen(self, points: Points) -> Floats:
        return points.value[points.minutes <= self.curve.hours.stretches[-1].last]


@dataclass(frozen=True)
class _Map:
    """From minutes and values to the page, within one stretch of a panel."""

    drawing: _Drawing
    stretch: Stretch
    y: float
    high: float
    low: float
    top: float

    def points(self, minutes: Floats, values: Floats) -> list[tuple[float, float]]:
        return [
            (
                self.drawing.x_of(self.stretch, float(minute)),
                self.y + self.high - (float(value) - self.low) / (self.top - self.low) * self.high,
            )
            for minute, value in zip(minutes, values, strict=True)
        ]


def _runs(values: Floats) -> Iterable[slice]:
    """The unbroken stretches of values, as slices."""
    edges = np.flatnonzero(np.diff(np.r_[False, np.isfinite(values), False].astype(int)))
    return [slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _scale(
    parts: Sequence[Floats], least: float, steps: Sequence[float], most: int
) -> tuple[float, float, list[float]]:
    """The lowest and highest value of a panel and its round values, about `most` of them."""
    values = np.concatenate([np.asarray(part, float) for part in parts])
    values = values[np.isfinite(values)]
    low, high = (float(values.min()), float(values.max())) if len(values) else (0.0, 40.0)
    if high - low < least:
        low, high = (low + high - least) / 2, (low + high + least) / 2
    step = next((s for s in steps if (high - low) / s <= most), steps[-1])
    low, high = np.floor(low / step - 0.3) * step, np.ceil(high / step + 0.3) * step
    count = round((high - low) / step)
    return float(low), float(high), [float(low + i * step) for i in range(count + 1)]
