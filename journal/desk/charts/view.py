"""A picture made of marks on the screen: read by the pointer and by keys, and clicked."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot, isnan

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPaintEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import BoxMark, DotMark, LineMark, Mark, Scene, ScenePoint, TextMark
from journal.desk.charts.values import ValueRow, table_of_rows
from journal.desk.commands import is_key
from journal.desk.drawn import Build, DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.spoken import announce
from journal.desk.theme import SMALL, STEP, colours_of, font

REACH = 8.0  # px about the pointer
_FAR = 10**6  # from any point to the last
_Order = Callable[[ScenePoint], tuple[float, float]]
_KEEPS = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)


class SceneView(DrawnWidget):
    """Shows what `build` makes for a width and a height, px. `went` carries the key of a point that
    was clicked, or entered by keys; `asked` of one whose menu is wanted, and where. Arrow keys go
    from point to point, along or down; the selected one is drawn and announced."""

    went = Signal(object)
    asked = Signal(object, object)
    framed = True

    def __init__(
        self, name: str, build: Build | None = None, *, high: int = 0,
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent, build, high)
        self._of: Scene | None = None
        self._points: list[ScenePoint] = []
        self.stop: ScenePoint | None = None  # the point that keys stand on
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

    def points(self) -> list[ScenePoint]:
        """What can be pointed at, px; where there is something, Tab comes to the picture."""
        scene = self.scene()
        if scene is not self._of:
            self._of, self._points = scene, list(scene.px_points())
            policy = Qt.FocusPolicy
            self.setFocusPolicy(policy.TabFocus if self._points else policy.NoFocus)
            if self.stop is not None:
                here = self.stop.words, self.stop.key
                self.stop = next((p for p in self.stops() if (p.words, p.key) == here), None)
        return self._points

    def point_at(self, spot: QPointF) -> ScenePoint | None:
        """What is near a place, the nearest of it."""
        near: ScenePoint | None = None
        reach = REACH
        for one in self.points():
            down = 0.0 if isnan(one.y) else max(abs(one.y - spot.y()) - one.high / 2, 0.0)
            apart = hypot(max(abs(one.x - spot.x()) - one.wide / 2, 0.0), down)
            if apart <= reach:
                near, reach = one, apart
        return near

    def spot_of(self, key: object) -> QPointF:
        """Where the point of a key stands."""
        return self._spot(next(one for one in self.points() if one.key == key))

    def _spot(self, point: ScenePoint) -> QPointF:
        return QPointF(point.x, self.height() / 2 if isnan(point.y) else point.y)

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

    # Keys

    def stops(self) -> list[ScenePoint]:
        """What keys go to."""
        return self.points()

    def select_point(self, point: ScenePoint | None) -> None:
        """Stand on a point: it is drawn and said; None: on none."""
        self.stop = point
        self.update()
        if point is not None:
            announce(self, point.words)

    def step(self, by: int, order: _Order) -> None:
        """Stand so many points further on; from none on the first, or the last."""
        points = sorted(self.stops(), key=order)
        here = self.stop
        at = next(
            (i for i, one in enumerate(points) if _same(one, here)), -1 if by > 0 else len(points)
        )
        self.select_point(points[min(max(at + by, 0), len(points) - 1)])

    def show_values(self) -> None:
        """All that can be pointed at as a list, in a window of its own."""
        from journal.desk.charts.values_dialog import ValuesDialog

        points, name = sorted(self.stops(), key=_along), self.accessibleName()
        at = next((i for i, one in enumerate(points) if _same(one, self.stop)), None)
        table = table_of_rows((name,), [ValueRow((one.words,), one.x) for one in points])
        shown = ValuesDialog(name, table, at, self.window())
        shown.picked.connect(lambda row: self.select_point(points[row]))
        shown.open()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, way = event.key(), _WAYS.get(event.key())
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if way is not None and plain and self.points():
            self.step(*way)
        elif key in _ENTER and plain and self.stop is not None and self.stop.key is not None:
            self.went.emit(self.stop.key)
        elif is_key(event, "values") and self.points():
            self.show_values()
        elif is_key(event, "leave") and self.stop is not None:
            self.select_point(None)
        else:
            event.ignore()  # the page's own keys

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() not in _KEEPS:
            self.select_point(None)

    # Drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        self.points()
        if self.stop is not None:
            paint_scene(self, Scene(self._reading(self.stop)), colours_of(self))

    def _reading(self, stop: ScenePoint) -> list[Mark]:
        """A line through what is read, and its words beside it."""
        metrics, pad = QFontMetricsF(font(SMALL)), float(STEP)
        wide = min(metrics.horizontalAdvance(stop.words) + 2 * pad + 2, self.width() - 1.0)
        high = metrics.height() + pad
        left = stop.x - wide if stop.x > self.width() / 2 else stop.x
        left = min(max(left, 0.5), self.width() - wide - 0.5)
        above = self._spot(stop).y() - stop.high / 2 - high - 2 * pad
        top = 0.5 if isnan(stop.y) or above < 0 else above
        box = (left, left + wide), (top, top + high)
        if stop.wide:
            across, down = stop.wide / 2 + 2, stop.high / 2 + 2
            found: Mark = BoxMark((stop.x - across, stop.x + across),
                                  (stop.y - down, stop.y + down), edge="ink", width=2)  # fmt: skip
        else:
            found = LineMark((stop.x, stop.x), (0.0, float(self.height())), "quiet")
        ring = [] if isnan(stop.y) or stop.wide else [DotMark(stop.x, stop.y, 14, edge="ink")]
        words = TextMark(left + pad, top + high / 2, stop.words, "ink", wide=wide - 2 * pad)
        return [found, *ring, BoxMark(*box, "field", "hairline"), words]

    # The mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self.clicked_at(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        shape, at = Qt.CursorShape, event.position()
        leads = self.key_at(at) is not None
        self.setCursor(shape.PointingHandCursor if leads else shape.ArrowCursor)
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(self.words_at(at)), self)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        by_key = event.reason() == QContextMenuEvent.Reason.Keyboard
        near = self.stop if by_key else self.point_at(QPointF(event.pos()))
        if near is not None and near.key is not None:
            spot = self._spot(near).toPoint()
            self.asked.emit(near.key, self.mapToGlobal(spot) if by_key else event.globalPos())


def _same(one: ScenePoint, two: ScenePoint | None) -> bool:
    """Whether it is the point that was selected, though the scene was made anew."""
    return two is not None and (one.x, one.words, one.key) == (two.x, two.words, two.key)


def _along(point: ScenePoint) -> tuple[float, float]:
    return point.x, 0.0 if isnan(point.y) else point.y


def _down(point: ScenePoint) -> tuple[float, float]:
    return _along(point)[::-1]


_WAYS: dict[int, tuple[int, _Order]] = {
    Qt.Key.Key_Left: (-1, _along), Qt.Key.Key_Right: (1, _along),
    Qt.Key.Key_Up: (-1, _down), Qt.Key.Key_Down: (1, _down),
    Qt.Key.Key_Home: (-_FAR, _along), Qt.Key.Key_End: (_FAR, _along),
}  # fmt: skip
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
