"""A day is described once: the screen and the paper draw the same of it."""

from __future__ import annotations

import os
import re
from html import unescape

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtWidgets import QGraphicsRectItem

from journal.curves.day_scene import Readings, draw_acid_targets, draw_acidity, plan_scene
from journal.curves.surface import PlotSurface
from journal.desk.charts.plot import ChartPlot
from journal.desk.findings.scatter import draw_scatter, scatter_ranges
from journal.desk.plans.chart import PlanChart, PlanScene
from journal.desk.sheets import make_sheet
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.plot import HoursPlot, PaperBox, PaperPlot
from journal.exchange.svg_plot import SvgPlot
from journal.findings import Scatter
from journal.records.plan_text import builtin_plan
from journal.wording.hours import Stretch, hours_for
from journal.wording.plan_sheet import target_on_paper, vat_minutes
from journal.wording.scales import even_scale, finite_runs, nearest, round_values, value_range

PLANS = ("tomme", "cheddar type", "alpine type", "camembert type")


class Noted(HoursPlot):
    """Writes down where words and boxes are put, mm: left, right, top, bottom."""

    def __init__(self, plan) -> None:
        self.sheet = Paper("A4", "a plot")
        hours = hours_for(vat_minutes(plan), plan.minutes, None, "UTC")
        super().__init__(self.sheet, hours, PaperBox(23.0, 30.0, 170.0, 34.0))
        self.named: dict[str, tuple[float, float, float, float]] = {}
        self.boxes: list[tuple[float, float]] = []

    def words(self, x, y, text, role="quiet", *, anchor=(0, 1), bold=False, on_paper=False):
        wide, high = self.measure(text)
        left = self.x_mm(x, self._part(x)) - anchor[0] * wide
        top = self.y_mm(y) - anchor[1] * high
        self.named[text.strip()] = (left, left + wide, top, top + high)
        super().words(x, y, text, role, anchor=anchor, bold=bold, on_paper=on_paper)

    def box(self, x, y, role, *, fill=""):
        self.boxes.append((*x, *y))
        super().box(x, y, role, fill=fill)


def on_paper(plan) -> Noted:
    plot = Noted(plan)
    plot.sheet.begin()
    drawn_on(plot, plan)
    plot.sheet.write(os.devnull)
    return plot


def drawn_on(plot: PlotSurface, plan) -> None:
    plot.show_range((0.0, plan.minutes), (4.4, 6.9))
    targets = plan_scene(plan).ph_targets()
    draw_acid_targets(plot, targets, target_on_paper, [])
    draw_acidity(plot, [Readings("whey-ph", np.array([30.0]), np.array([6.5]))])


@pytest.mark.parametrize("name", PLANS)
def test_paper_and_screen_draw_the_same_acid_targets_with_the_same_words(qapp, name):
    plan = builtin_plan(name)
    screen, paper, page = ChartPlot(), on_paper(plan), SvgPlot(296, 450, plan.minutes)
    for plot in (screen, page):
        drawn_on(plot, plan)
    words = [i.toPlainText().strip() for i in screen.items if isinstance(i, pg.TextItem)]
    boxes = [i.rect() for i in screen.items if isinstance(i, QGraphicsRectItem)]
    assert words == list(paper.named) != []
    assert words == [unescape(one) for one in re.findall(r">([^<]+)</text>", "".join(page.parts))]
    assert np.array([(b.left(), b.right(), b.top(), b.bottom()) for b in boxes]) == pytest.approx(
        np.array(paper.boxes)
    )


@pytest.mark.parametrize("name", PLANS)
def test_words_on_paper_stand_clear_of_each_other_and_inside(qapp, name):
    paper = on_paper(builtin_plan(name))
    placed = list(paper.named.values())
    for k, (left, right, top, bottom) in enumerate(placed):
        assert min(left - 23.0, 193.0 - right, top - 30.0, 64.0 - bottom) >= 0, paper.named
        for other in placed[k + 1 :]:
            apart = other[1] <= left or other[0] >= right or other[3] <= top or other[2] >= bottom
            assert apart, paper.named


def test_the_chart_of_a_plan_and_its_sheet_name_the_same_targets(qtbot, tmp_path):
    plan = builtin_plan("cheddar type")
    chart = PlanChart()
    qtbot.addWidget(chart)
    chart.resize(800, 500)
    chart.show()
    chart.show_planned(PlanScene(plan, 0, "UTC", whole=True))
    shown = [i.toPlainText().strip() for i in chart.acid.items if isinstance(i, pg.TextItem)]
    targets = plan_scene(plan).ph_targets()
    assert [t.label for t in targets] == [words for words in shown if words in plan_labels(plan)]
    make_sheet(plan, tmp_path / "sheet.pdf")
    text = pdf_text(tmp_path / "sheet.pdf")
    assert all(target_on_paper(target) in text for target in targets)


class Dotted(PaperPlot):
    """Writes down the points it is told to draw."""

    def points(self, x, y, role, *, symbol="o", size=8, hollow=False, level=5):
        self.output = np.asarray(x), np.asarray(y)
        super().points(x, y, role, symbol=symbol, size=size, hollow=hollow, level=level)


def test_the_points_of_a_variable_are_the_same_on_paper_and_on_the_screen(qapp):
    x, line = np.array([30.0, 31.0, 32.5]), np.linspace(30.0, 32.5, 9)
    y, none = np.array([5.0, 6.5, 7.0]), np.array([0.4, np.nan, 0.3])
    mid = np.linspace(5.2, 6.9, 9)
    seen = Scatter("set at", "°C", "overall", ["A"] * 3, ["A"] * 3, x, y, none, line, mid,
                   mid - 0.3, mid + 0.3, mid - 0.5, mid + 0.5)  # fmt: skip
    (low, high), values = scatter_ranges(seen)
    assert low < 30.0
    assert high > 32.5
    assert values[0] < 4.6
    screen, sheet = ChartPlot(), Paper("A4", "points")
    paper = Dotted(sheet, (Stretch(low, high, 0.0, 1.0),), PaperBox(23.0, 30.0, 80.0, 40.0))
    sheet.begin()
    for plot in (screen, paper):
        draw_scatter(plot, seen)
    sheet.write(os.devnull)
    marks = next(i for i in screen.items if isinstance(i, pg.ScatterPlotItem))
    assert np.array_equal(marks.getData(), paper.output)
    assert np.array_equal(paper.output, (x, y))
    assert paper.pane(31.0).y == pytest.approx(screen.pane(31.0).y)


def plan_labels(plan) -> set[str]:
    return {stage.label for stage in plan.stages}


def pdf_text(path) -> str:
    from PySide6.QtPdf import QPdfDocument

    document = QPdfDocument()
    document.load(str(path))
    pages = [document.getAllText(k).text() for k in range(document.pageCount())]
    document.close()
    return " ".join(" ".join(pages).split())


# Scales


def test_round_values_leave_the_ends_free_that_are_asked_for():
    assert round_values(0.0, 40.0, (2, 5, 10, 20)) == [0.0, 10.0, 20.0, 30.0, 40.0]
    assert round_values(0.0, 40.0, (2, 5, 10, 20), above=0.1) == [0.0, 10.0, 20.0, 30.0]
    assert round_values(-0.2, 0.2, (0.1,), below=0.3) == [0.0, 0.1, 0.2]


def test_a_range_holds_what_is_finite_with_room_about_it():
    parts = [np.array([np.nan, 10.0]), (20.0,), []]
    assert value_range(parts, least=5.0, below=0.1, above=0.2) == pytest.approx((9.0, 22.0))
    assert value_range([[np.nan]], least=5.0, below=0.1, above=0.2, empty=(0.0, 1.0)) == (0.0, 1.0)
    shown, marks = even_scale([[12.0, 31.0]], 6.0, (1, 2, 5, 10), 11)
    assert shown == (marks[0], marks[-1]) == (10.0, 32.0)


def test_runs_without_gaps_and_the_nearest_point():
    values = np.array([np.nan, 1.0, 2.0, np.nan, 3.0])
    assert finite_runs(values) == [slice(1, 3), slice(4, 5)]
    assert finite_runs(values, 2) == [slice(1, 3)]
    at = np.arange(5.0)
    assert nearest(at, values, 3.2) == (4.0, 3.0)
    assert nearest(at, values, 9.0, within=2.0) is None
    assert nearest(at[:0], values[:0], 1.0) is None


def test_words_are_placed_anew_when_the_chart_becomes_larger_or_smaller(qtbot):
    plan = builtin_plan("cheddar type")
    chart = PlanChart()
    qtbot.addWidget(chart)
    chart.show()

    def placed():
        items = [i for i in chart.acid.items if isinstance(i, pg.TextItem)]
        return [(i.toPlainText(), i.pos().x(), i.pos().y()) for i in items]

    chart.resize(900, 700)
    chart.show_planned(PlanScene(plan, 0, "UTC"))
    large = placed()
    chart.resize(330, 260)
    qtbot.waitUntil(lambda: placed() != large)
    chart.resize(900, 700)
    qtbot.waitUntil(lambda: placed() == large)
