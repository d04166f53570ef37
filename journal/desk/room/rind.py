"""A wheel's photos in a row over its months."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QToolTip, QWidget

from journal.desk.charts.marks import BoxMark, Mark, PhotoMark, Scene, TextMark
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import STEP
from journal.desk.thumbnails import Thumbnails
from journal.reports.rinds import WheelPhoto, spread
from journal.wording import worded
from journal.wording.ages import age_words
from journal.wording.keys import with_keys

_WIDE, _HIGH, _GAP = 22 * STEP, 17 * STEP, 3 * STEP
_TITLE, _BELOW = 5 * STEP, 5 * STEP
_EMPTY = "Rind: drop or paste a photo here, or press {key:wheel_note} for a note"


class RindRow(DrawnWidget):
    """Draws photos; `opened` carries the one that was clicked. `path_of` finds the file of a
    photo's name."""

    opened = Signal(object)

    def __init__(self, thumbs: Thumbnails, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._photos: list[WheelPhoto] = []
        self._thumbs = thumbs
        self.path_of: Callable[[str], Path | None] = _nowhere
        thumbs.came.connect(self.update)
        self.setAccessibleName("Rind")
        self.setMouseTracking(True)
        self.show_photos([])

    def show_photos(self, photos: Sequence[WheelPhoto]) -> None:
        """Draw these, oldest first."""
        self._photos = list(photos)
        captions = "; ".join(f"{p.title}{f': {p.text}' if p.text else ''}" for p in photos)
        self.setAccessibleDescription(captions or with_keys(_EMPTY))
        self.setFixedHeight(_TITLE + (_HIGH + _BELOW if photos else 0))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(400, self.height())

    def shown(self) -> list[tuple[WheelPhoto, QRectF]]:
        """Those there is room for, with their places."""
        most = max(1, (self.width() + _GAP) // (_WIDE + _GAP))
        return [
            (photo, QRectF(number * (_WIDE + _GAP), _TITLE, _WIDE, _HIGH))
            for number, photo in enumerate(spread(self._photos, most))
        ]

    def scene(self) -> Scene:
        hidden = len(self._photos) - len(self.shown())
        title = worded("desk.rind-and-more", hidden=hidden) if hidden else "Rind"
        title = title if self._photos else with_keys(_EMPTY)
        marks: list[Mark] = [TextMark(0, 3 * STEP, title, base=True)]
        for photo, box in self.shown():
            x, y = (box.left(), box.right()), (box.top(), box.bottom())
            picture = self._thumbs.of(self.path_of(photo.photo), _WIDE)
            if picture is not None:
                marks.append(PhotoMark(x, y, picture))
            age = age_words(photo.age_days)
            marks.append(BoxMark(x, y, edge="hairline"))
            marks.append(TextMark(x[0], y[1] + 4 * STEP, age, base=True))
        return Scene(marks)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        photo = self._at(event.position())
        if photo is not None and event.button() == Qt.MouseButton.LeftButton:
            self.opened.emit(photo)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        photo = self._at(event.position())
        shape = Qt.CursorShape.ArrowCursor if photo is None else Qt.CursorShape.PointingHandCursor
        self.setCursor(shape)
        words = "" if photo is None else f"{photo.title}. {photo.text}".strip()
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)

    def _at(self, spot: QPointF) -> WheelPhoto | None:
        return next((photo for photo, box in self.shown() if box.contains(spot)), None)


def _nowhere(_name: str) -> Path | None:
    return None
