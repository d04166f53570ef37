"""A comparison as a document: its heading, what was different, the ribbons page by page, and under
them the curves that are open."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QRectF

from journal.desk.charts.axes import natural_step
from journal.desk.charts.marks import Scene
from journal.desk.compare.chart import CurvesChart
from journal.desk.compare.lanes import RIGHT
from journal.desk.compare.ribbons import LEGEND, RibbonsView
from journal.desk.sheets.boxes import title_block
from journal.desk.sheets.flow import Block, paginate, print_pages
from journal.desk.sheets.paper import LEAST, POINT_MM, Paper
from journal.desk.sheets.plot import PaperBox, PaperPlot
from journal.desk.sheets.table import heading, paragraph
from journal.desk.theme import SMALL, STEP, colours, scaled
from journal.findings.different import standing_out
from journal.reports.compared_words import CompareHead
from journal.reports.comparison import Compared
from journal.reports.ribbons import time_text
from journal.wording import worded
from journal.wording.compare import different_text
from journal.wording.durations import from_start
from journal.wording.hours import Stretch
from journal.wording.languages import translated
from journal.wording.readings import unit_text

POINTS = 9.5
_TEMP, _ACID, _TICK = 52.0, 40.0, 5.0  # mm
_LANE, _MINE = 15 * STEP, 19 * STEP  # px of a ribbon
_PX_A_TICK = 70


def comparison_document(
    head: CompareHead, compared: Compared, ribbons: RibbonsView, chart: CurvesChart,
    path: str | Path, *, paper: str,
) -> int:  # fmt: skip
    """Write what is shown in Compare as a PDF, in light colours; returns how many pages it has."""
    sheet = Paper(paper, worded("desk.compared-with-others", code=compared.mine.row.code))
    blocks = _Document(sheet, head, compared, ribbons, chart).blocks()
    pages = paginate(blocks, sheet.top, sheet.bottom)
    return print_pages(
        sheet, pages, path, worded("desk.comparison-pdf-title", code=compared.mine.row.code)
    )


class _Document:
    """The blocks of one comparison."""

    def __init__(
        self, paper: Paper, head: CompareHead, compared: Compared, ribbons: RibbonsView,
        chart: CurvesChart,
    ) -> None:  # fmt: skip
        self.paper, self.head, self.compared, self.chart = paper, head, compared, chart
        self.scene, self.c = ribbons.scene, colours(dark=False)
        self.px_mm = LEAST * POINT_MM / scaled(SMALL)  # so that no letter is under 9 points
        self.wide = round(paper.across / self.px_mm)
        self.lanes = ribbons.lanes_at(self.wide)

    def blocks(self) -> list[Block]:
        """Everything, in the order it stands."""
        paper, head = self.paper, self.head
        others, time = len(self.scene.lanes) - 1, time_text(self.scene)
        facts = [head.about, worded("desk.beside-others", makes=others, time=time)]
        title = self.compared.mine.row.code
        out = [title_block(paper, "Comparison", title, facts, POINTS, failed=bool(head.failed))]
        lines = [head.title, head.failed, head.how_many, *head.left]
        out += [paragraph(paper, line, POINTS) for line in lines if line and line != title]
        rows = standing_out(self.compared.rows)
        out += [paragraph(paper, different_text(row), POINTS, mark=True) for row in rows]
        return [*out, *self._ribbons(), *self._curves()]

    def _ribbons(self) -> list[Block]:
        paper = self.paper
        head = Block(_TICK, self._draw_head, keep_with_next=True)
        lanes = [self._lane(number, head) for number in range(len(self.scene.lanes))]
        if len(lanes) > 1:
            # the times are never alone overleaf
            lanes[-1] = replace(lanes[-1], keep_with_next=True)
        times = Block(_TICK, self._draw_times)
        legend = paragraph(paper, LEGEND, POINTS, quiet=True)
        return [heading(paper, "The ribbons", POINTS + 1, before=2.5), head, *lanes, times, legend]

    def _lane(self, number: int, head: Block) -> Block:
        lane, px = self.scene.lanes[number], scaled(_LANE if number else _MINE)

        def draw(y: float, _height: float) -> None:
            scene = Scene(self.lanes.marks(lane, QRectF(0, 0, self.wide, px)))
            self.paper.scene(scene, self.paper.left, y, self.px_mm)

        return Block(px * self.px_mm, draw, head=head)

    def _draw_head(self, y: float, _height: float) -> None:
        paper, quiet = self.paper, self.c.quiet
        paper.words(paper.left + 4 * STEP * self.px_mm, y, translated("make"), LEAST, colour=quiet)
        right = paper.left + (self.lanes.right + scaled(RIGHT) - 6) * self.px_mm
        paper.words(right, y, translated("score"), LEAST, right=True, colour=quiet)

    def _draw_times(self, y: float, _height: float) -> None:
        low, high = self.lanes.shown
        left, right = (edge * self.px_mm for edge in (self.lanes.left, self.lanes.right))
        for position, words in _times(low, high, right - left, self.px_mm):
            x = self.paper.left + left + (position - low) / (high - low) * (right - left)
            self.paper.rule(x, y, x, y + 1.0, colour=self.c.quiet)
            self.paper.words(x, y + 1.0, words, LEAST, centre=True, colour=self.c.quiet)

    def _curves(self) -> list[Block]:
        """The opened makes, under their ribbons: temperature above acidity."""
        opened = self.chart.opened
        if not opened:
            return []
        kind = opened[0].course.acid.kind
        codes = ", ".join(lane.ribbon.row.code for lane in opened)
        head = worded(
            "desk.curves-of", codes=codes, unit=unit_text("milk-temp"), other_unit=unit_text(kind)
        )

        def draw(y: float, _height: float) -> None:
            self._draw_panel(y, _TEMP, "milk-temp")
            self._draw_panel(y + _TEMP + 2.0, _ACID, kind)
            self._draw_times(y + _TEMP + _ACID + 2.5, _TICK)

        return [
            heading(self.paper, head, POINTS + 1),
            Block(_TEMP + _ACID + 2.0 + 1.5 * _TICK, draw),
        ]

    def _draw_panel(self, y: float, high: float, kind: str) -> None:
        left, right = (edge * self.px_mm for edge in (self.lanes.left, self.lanes.right))
        low, last = self.lanes.shown
        box = PaperBox(self.paper.left + left, y, right - left, high)
        plot = PaperPlot(self.paper, [Stretch(low, last, 0.0, 1.0)], box)
        self.chart.draw_panel(plot, kind, (low, last))


def _times(low: float, high: float, wide: float, px_mm: float) -> list[tuple[float, str]]:
    step = natural_step(high - low, wide / px_mm / scaled(_PX_A_TICK))
    numbers = range(math.ceil(low / step), math.floor(high / step) + 1)
    return [(number * step, from_start(number * step)) for number in numbers]
