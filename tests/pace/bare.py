"""Bare pyqtgraph beside the program's own charts: the same panels, the same points."""

from __future__ import annotations

import time
from dataclasses import dataclass

import numpy as np
import pyqtgraph as pg
from PySide6.QtWidgets import QWidget

from journal.desk.charts.chart import Chart
from tests.pace.desk import SIZE, application

Curve = tuple[np.ndarray, np.ndarray]


@dataclass(frozen=True)
class Sketch:
    """What a chart draws: its size, and the curves of each panel."""

    size: tuple[int, int]
    panels: list[list[Curve]]


PLAIN = Sketch(SIZE, [[(np.arange(600.0), np.arange(600.0) % 40)]])


def sketches(page: QWidget) -> list[Sketch]:
    """The charts that are seen on a page; one panel with one curve where none is."""
    seen = [chart for chart in page.findChildren(Chart) if chart.isVisible()]
    return [_sketch(chart) for chart in seen] or [PLAIN]


def _sketch(chart: Chart) -> Sketch:
    panels = []
    for plot in chart.plots:
        given = [item.getData() for item in plot.listDataItems() if hasattr(item, "getData")]
        panels.append([(x, y) for x, y in given if x is not None and len(x)])
    return Sketch((chart.width(), chart.height()), panels)


class BareCharts:
    """Those charts as pyqtgraph draws them by itself."""

    def __init__(self, drawn: list[Sketch]) -> None:
        self._app = application()
        self.charts = []
        for sketch in drawn:
            chart = pg.GraphicsLayoutWidget()
            chart.resize(*sketch.size)
            for row, curves in enumerate(sketch.panels):
                plot = chart.addPlot(row, 0)
                for x, y in curves:
                    plot.plot(x, y)
            self.charts.append(chart)

    def show(self) -> None:
        """Their first frame."""
        for chart in self.charts:
            chart.show()
            while not chart.windowHandle().isExposed():
                self._app.processEvents()
            chart.grab()
        self._app.processEvents()

    def close(self) -> None:
        """Take them away."""
        for chart in self.charts:
            chart.close()
            chart.deleteLater()
        self._app.processEvents()


def first_frame(drawn: list[Sketch]) -> float:
    """Build them and draw their first frame, ms of work of the window's thread."""
    begun = time.thread_time_ns()
    charts = BareCharts(drawn)
    charts.show()
    took = (time.thread_time_ns() - begun) / 1e6
    charts.close()
    return took
