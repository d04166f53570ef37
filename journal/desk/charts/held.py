"""The interface of a chart that `hand.py` and `reading.py` use."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QPoint, QPointF

from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueTable
from journal.desk.charts.zooming import ZoomPicture


class Grip(Protocol):
    """Something drawn that can be dragged elsewhere: how the pointer looks over it, by the shapes
    of Qt, and what it does."""

    @property
    def shape(self) -> object:
        """The shape of the pointer over it."""

    def move(self, x: float, y: float) -> None:
        """It is held there, in the units of the plot it was taken in."""

    def drop(self) -> None:
        """Release it where it was held last."""


class HeldChart(ZoomPicture, Protocol):
    """A chart as its hand and its reading know it."""

    plots: list[ChartPlot]
    values: ValueTable

    def is_closed(self) -> bool:
        """It draws nothing any more."""

    def to_scene(self, at: QPoint) -> QPointF:
        """A point of the widget in the scene."""

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        """What to say where the pointer is."""

    def clicked_at(self, plot: ChartPlot, x: float, y: float) -> None:
        """A click in a plot."""

    def go_to(self, key: object) -> None:
        """Go where a line of the table leads."""

    def grip_at(self, plot: ChartPlot, at: QPointF) -> Grip | None:
        """What can be dragged there."""

    def plot_at(self, scene: QPointF) -> ChartPlot | None:
        """The plot under a point of the scene."""
