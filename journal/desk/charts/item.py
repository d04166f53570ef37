"""An item of a plot that is drawn in px of the screen."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtGui import QPainter, QTransform

from journal.desk.charts.drawing import draw_scene
from journal.desk.charts.marks import Scene
from journal.desk.theme import Colours


class SceneItem(pg.GraphicsObject):  # type: ignore[misc] # pyqtgraph brings no types
    """A subclass says what it shows, and within which of the axes' own units."""

    def __init__(self, c: Colours) -> None:
        super().__init__()
        self._colours = c

    def scene_on(self, to_screen: QTransform) -> Scene:
        """What is drawn, in px; `to_screen` maps units of the axes to them."""
        raise NotImplementedError  # each item has its own

    def paint(self, painter: QPainter, *_args: object) -> None:
        to_screen = painter.transform()
        painter.resetTransform()
        draw_scene(painter, self.scene_on(to_screen), self._colours)
