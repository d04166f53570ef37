"""A frame about whatever has the keys and does not show it itself, such as a chart."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QApplication, QGraphicsView, QScrollArea, QWidget

from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import BoxMark, Scene
from journal.desk.drawn import DrawnWidget
from journal.desk.theme import RADIUS, colours_of

_WIDE = 2  # px
_FRAMED = (QGraphicsView, QScrollArea)  # the others draw that they have the keys


class FocusFrame(QWidget):
    """Lies over the widget that has the focus; neither the pointer nor a reader meets it."""

    def __init__(self, about: QWidget) -> None:
        super().__init__(about)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        about.installEventFilter(self)
        self.setGeometry(about.rect())
        self.show()
        self.raise_()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and isinstance(watched, QWidget):
            self.setGeometry(watched.rect())
        return False

    def paintEvent(self, _event: QPaintEvent) -> None:
        box = (_WIDE, self.width() - _WIDE), (_WIDE, self.height() - _WIDE)
        frame = BoxMark(*box, edge="ink", width=_WIDE, rounded=RADIUS)
        paint_scene(self, Scene([frame]), colours_of(self))


class FocusFrames(QObject):
    """Has the frame follow the focus, in each window of the program."""

    def __init__(self, app: QApplication, parent: QObject) -> None:
        super().__init__(parent)
        self._frame: FocusFrame | None = None
        app.focusChanged.connect(self._on_focus)

    def _on_focus(self, _before: QWidget | None, now: QWidget | None) -> None:
        if self._frame is not None:
            self._frame.setParent(None)
            self._frame.deleteLater()
            self._frame = None
        if isinstance(now, _FRAMED) or (isinstance(now, DrawnWidget) and now.framed):
            self._frame = FocusFrame(now)
            self._frame.destroyed.connect(self._on_gone)

    def _on_gone(self) -> None:
        self._frame = None
