"""The base of widgets that are drawn: what they show is a scene of marks."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import Scene
from journal.desk.theme import colours_of, scaled

Build = Callable[[float, float], Scene]


class PaintedWidget(QWidget):
    """Shows the scene that `build` makes for a width and a height, px, once for each; a subclass
    may say in `scene` what it shows. To a screen reader it is nothing by itself."""

    def __init__(
        self, parent: QWidget | None = None, build: Build | None = None, high: int = 0
    ) -> None:
        super().__init__(parent)
        self._build: Build = build or _nothing
        self._made: tuple[tuple[int, int, int], Scene] | None = None
        if high:
            self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            self.setFixedHeight(high)

    def show_scene(self, build: Build) -> None:
        """Show another."""
        self._build, self._made = build, None
        self.update()

    def scene(self) -> Scene:
        """What is drawn at the size it has."""
        size = self.width(), self.height(), scaled(100)
        if self._made is None or self._made[0] != size:
            self._made = size, self._build(self.width(), self.height())
        return self._made[1]

    def paintEvent(self, _event: QPaintEvent) -> None:
        paint_scene(self, self.scene(), colours_of(self))


class DrawnWidget(PaintedWidget):
    """A picture, which a screen reader knows as one, with a name and a description; one that is
    `framed` has a frame laid over it while it has the keys."""

    framed = False


def _nothing(_wide: float, _high: float) -> Scene:
    return Scene()
