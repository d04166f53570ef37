"""What the hand and the reading of a chart need of it."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QPoint, QPointF
from PySide6.QtWidgets import QWidget

from journal.desk.charts.lens import Lens
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueTable


class Grip(Protocol):
    """Something drawn that can be dragged elsewhere: how the pointer looks over it, by the shapes
    of Qt, and what it does."""

    @property
    def shape(self) -> object:
        """The shape of the pointer over it."""

    def move(self, x: float, y: float) -> None:
        """It is held there, in the units of the plot it was taken in."""

    def drop(self) -> None:
        """It is let go where it was held last."""


class HeldChart(Protocol):
    """A chart as its hand and its reading know it."""

    plots: list[ChartPlot]
    lens: Lens
    values: ValueTable

    @property
    def widget(self) -> QWidget:
        """The chart, as Qt knows it."""

    def is_closed(self) -> bool:
        """It draws nothing any more."""

    def to_scene(self, at: QPoint) -> QPointF:
        """A point of the widget in the scene."""

    def refresh(self) -> None:
        """Draw again."""

    def show_all(self) -> None:
        """Show all again."""

    def show_values(self) -> None:
        """The values as a table."""

    def hover_words(self, plot: ChartPlot, x: float, y: float) -> str:
        """What to say where the pointer is."""

    def clicked_at(self, plot: ChartPlot, x: float, y: float) -> None:
        """A click in a plot."""

    def go_to(self, key: object) -> None:
        """Go where a line of the table leads."""

    def grip_at(self, plot: ChartPlot, at: QPointF) -> Grip | None:
        """What can be dragged there."""

    def plot_at(self, scene: QPointF) -> ChartPlot | None:
        """The plot under a point of the scene."""
