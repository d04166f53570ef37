"""A picture made of marks on the screen: read by the pointer, and clicked."""

from __future__ import annotations

from math import hypot, isnan

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QMouseEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.desk.charts.marks import ScenePoint
from journal.desk.drawn import Build, DrawnWidget
from journal.desk.labels import plain_tip

REACH = 8.0  # px about the pointer


class SceneView(DrawnWidget):
    """Shows what `build` makes for a width and a height, px. `went` carries the key of a point that
    was clicked; `asked` of one whose menu is wanted, and where."""

    went = Signal(object)
    asked = Signal(object, object)

    def __init__(
        self, name: str, build: Build | None = None, *, high: int = 0,
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent, build, high)
        self.setAccessibleName(name)
        self.setMouseTracking(True)
        if not high:
            self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def tell(self, build: Build, described: str) -> None:
        """Show another, and say what it shows."""
        self.setAccessibleDescription(described)
        self.show_scene(build)

    def sizeHint(self) -> QSize:
        fixed = self.minimumHeight() == self.maximumHeight()
        return QSize(240 if fixed else 600, self.height() if fixed else 72)

    def point_at(self, spot: QPointF) -> ScenePoint | None:
        """What is near a place, the nearest of it."""
        near: ScenePoint | None = None
        reach = REACH
        for one in self.scene().px_points():
            apart = hypot(one.x - spot.x(), 0.0 if isnan(one.y) else one.y - spot.y())
            if apart <= reach:
                near, reach = one, apart
        return near

    def spot_of(self, key: object) -> QPointF:
        """Where the point of a key stands."""
        found = next(one for one in self.scene().px_points() if one.key == key)
        return QPointF(found.x, self.height() / 2 if isnan(found.y) else found.y)

    def key_at(self, spot: QPointF) -> object:
        """What a click there hands out, None for nothing."""
        near = self.point_at(spot)
        return None if near is None else near.key

    def clicked_at(self, spot: QPointF) -> None:
        """A click: it goes where the point leads that is near."""
        key = self.key_at(spot)
        if key is not None:
            self.went.emit(key)

    def words_at(self, spot: QPointF) -> str:
        """What is said where the pointer is."""
        near = self.point_at(spot)
        return "" if near is None else near.words

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self.clicked_at(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        shape, at = Qt.CursorShape, event.position()
        leads = self.key_at(at) is not None
        self.setCursor(shape.PointingHandCursor if leads else shape.ArrowCursor)
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(self.words_at(at)), self)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        near = self.point_at(QPointF(event.pos()))
        if near is not None and near.key is not None:
            self.asked.emit(near.key, event.globalPos())
