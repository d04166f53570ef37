"""The interface of a plot: what it can draw, on the screen and on paper alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

COLUMNS = 900  # a line is reduced to the least and greatest of so many columns
Span = tuple[float, float]


@dataclass(frozen=True)
class Pane:
    """A stretch of a plot on one scale: what it shows of both axes, and how wide and high that is
    in the plot's own measure (px on the screen, mm on paper)."""

    x: Span
    y: Span
    wide: float
    high: float


@dataclass(frozen=True)
class StageBar:
    """A stage on a band across the plot; minutes from the start. `hands` tells where one is
    needed, `chosen` is the current one."""

    number: int
    label: str
    first: float
    last: float
    hands: bool
    chosen: bool = False


class PlotSurface(Protocol):
    """A plot in the axes' own units. Roles are the theme's, widths and sizes are px of a screen;
    paper draws them in mm. What is drawn later lies above, but for what says its `level`."""

    def show_range(self, x: Span | None, y: Span | None) -> None:
        """Show exactly this much of either axis; on paper the hours say what is shown of x."""

    def pane(self, x: float) -> Pane:
        """The stretch in which `x` lies."""

    def measure(self, text: str) -> tuple[float, float]:
        """Width and height of words, in the measure of `pane`."""

    def rules(self, values: Sequence[float], x: Span, digits: int = 0, unit: str = "") -> None:
        """Hairlines across the plot at `values`, each named at the left; the unit above them."""

    def line(
        self,
        x: np.ndarray,
        y: np.ndarray,
        role: str,
        *,
        width: float = 1.5,
        dash: str = "",
        level: int = 0,
    ) -> object:
        """A line through points ascending in x; NaN breaks it."""

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
    ) -> object:
        """Marks; hollow ones are filled with paper."""

    def box(self, x: Span, y: Span, role: str, *, fill: str = "") -> object:
        """A rectangle of the axes' own units: an acid target."""

    def stages(self, bars: Sequence[StageBar]) -> None:
        """Stages beside each other across the middle of a plot, named where there is room."""

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
    ) -> object:
        """A label; `anchor` (0, 0) puts its upper left corner at (x, y). `on_paper` keeps lines
        from running through it."""


class BandSurface(PlotSurface, Protocol):
    """A plot that has washes as well: the screen, and paper."""

    def band(
        self, x: np.ndarray, low: np.ndarray, high: np.ndarray, role: str, share: float = 1.0
    ) -> None:
        """A wash between two lines; NaN in either breaks it."""
