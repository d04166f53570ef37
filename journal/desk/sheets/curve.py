"""The curve on paper: a day's scene over its hours, and room for the pencil."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from journal.curves.day_scene import (
    DayScene,
)
from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.plot import SMALL, HoursPlot, PaperBox
from journal.wording.day_panels import draw_acid, draw_warmth
from journal.wording.hours import Hours
from journal.wording.plan_sheet import target_on_paper

TEMP_HIGH, ACID_HIGH, BAND_HIGH = 46.0, 34.0, 6.0  # mm
LEFT = 11.0  # mm, for the scales
_TITLE, _CLOCK = 9.5, 6.0  # mm


@dataclass(frozen=True)
class CurvePicture:
    """All the picture shows. `floor` (°C): what lies below is not shown."""

    title: str
    hours: Hours
    scene: DayScene
    remarks: tuple[str, ...] = ()
    with_acid: bool = True
    floor: float | None = None


def curve_block(paper: Paper, curve: CurvePicture, share: float = 1.0) -> Block:
    """The whole picture over the width of the page, its panels a share of their usual height."""
    return _CurveDrawing(paper, curve, share).block()


class _CurveDrawing:
    """Draws one picture from an upper edge down."""

    def __init__(self, paper: Paper, curve: CurvePicture, share: float) -> None:
        self.paper, self.curve = paper, curve
        self.temp_high, self.acid_high = TEMP_HIGH * share, ACID_HIGH * share
        self.remarks = [
            line for text in curve.remarks for line in paper.wrapped(text, paper.across, SMALL)
        ]

    def block(self) -> Block:
        remarks = len(self.remarks) * self.paper.line_height(SMALL) + 1.5
        high = _TITLE + self.temp_high + BAND_HIGH + _CLOCK + remarks
        high += self.acid_high + 2.5 if self.curve.with_acid else 0.0
        return Block(high, self.draw)

    def draw(self, y: float, _height: float) -> None:
        paper = self.paper
        paper.words(paper.left, y + 3.0, self.curve.title, 9.5, bold=True)
        y += _TITLE
        scene, last = self.curve.scene, self.curve.hours.stretches[-1].last
        draw_warmth(self._plot(y, self.temp_high), scene, last, self.curve.floor)
        y += self.temp_high
        band = self._plot(y, BAND_HIGH)
        band.stages(scene.stages)
        y += BAND_HIGH
        self._draw_clock(band, y)
        y += _CLOCK
        if self.curve.with_acid:
            plot = self._plot(y, self.acid_high)
            draw_acid(plot, scene.acid, scene.ph_targets(last), last, target_on_paper)
            y += self.acid_high + 2.5
        paper.lines(paper.left, y, self.remarks, SMALL, colour=paper.ink.quiet)

    def _plot(self, y: float, high: float) -> HoursPlot:
        box = PaperBox(self.paper.left + LEFT, y, self.paper.across - LEFT, high)
        return HoursPlot(self.paper, self.curve.hours, box)

    def _draw_clock(self, band: HoursPlot, y: float) -> None:
        """The times under the stages, and two strokes where the scale breaks."""
        paper = self.paper
        free = paper.left
        for part in band.parts:
            for tick in band.ticks(part):
                x = band.x_mm(tick.minute, part)
                paper.rule(x, y - 0.4, x, y + 0.9, colour=paper.ink.quiet)
                half = paper.text_width(tick.words, SMALL, tick.day) / 2
                if x - half < free or x + half > paper.right + 2:
                    continue
                free = x + half + 1.0
                paper.words(x, y + 1.2, tick.words, SMALL, centre=True, bold=tick.day)
        for before, _after in itertools.pairwise(band.parts):
            x = before.right + 0.01 * band.box_mm.wide
            for shift in (-0.5, 0.5):
                paper.rule(x + shift - 0.5, y - 0.6, x + shift + 0.5, y - BAND_HIGH + 0.6,
                           colour=paper.ink.quiet, wide=0.2)  # fmt: skip
