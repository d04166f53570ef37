"""Two photos of wheels beside each other at one scale, by the rims that were marked on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QImage, QKeyEvent, QMouseEvent

from journal.desk.charts.marks import BoxMark, DotMark, Mark, PhotoMark, Scene, TextMark
from journal.desk.commands import is_key
from journal.desk.drawn import DrawnWidget
from journal.desk.photo_file import read_photo
from journal.desk.theme import STEP
from journal.reports.rinds import Rim, WheelPhoto
from journal.wording.dates import short_day
from journal.wording.languages import translated
from journal.wording.sentences import listed

_READ = QSize(1600, 1600)
PAIR = 2
_BETWEEN, _BELOW = 4 * STEP, 12 * STEP  # px between the two, and for the words below
_STEPS: dict[int, QPointF] = {
    Qt.Key.Key_Left: QPointF(-1, 0), Qt.Key.Key_Right: QPointF(1, 0), Qt.Key.Key_Up: QPointF(0, -1),
    Qt.Key.Key_Down: QPointF(0, 1),
}  # fmt: skip
_LARGER, _SMALLER = (Qt.Key.Key_Plus, Qt.Key.Key_Equal), (Qt.Key.Key_Minus,)
_FIRST_RIM = 0.35  # of a photo's shorter side: where nobody marked it yet
_LEAST_RIM = 0.02  # of its width
_ABOUT_RIM = 1.15  # the room for a wheel, times its width
_LEAST_ZOOM, _MOST_ZOOM = 0.25, 12.0
PathOf = Callable[[str], Path | None]


@dataclass(frozen=True)
class _Shown:
    """A photo with its picture, None where it cannot be read, and the rim as it stands."""

    photo: WheelPhoto
    image: QImage | None
    rim: Rim | None

    def unit(self, by_rim: bool) -> float:
        """Pixels of the picture that are as long as the same of the other: its rim's radius, for
        every mm of the wheel's where that is known, or its shorter side."""
        if self.image is None:
            return 1.0
        if by_rim and self.rim is not None:
            return self.rim.radius * self.image.width()
        return float(min(self.image.width(), self.image.height()))

    def origin(self, by_rim: bool) -> QPointF:
        """The middle of its rim, or of the picture, pixels of it."""
        if self.image is None:
            return QPointF()
        if by_rim and self.rim is not None:
            return QPointF(self.rim.x, self.rim.y) * self.image.width()
        return QPointF(self.image.width(), self.image.height()) * 0.5


class PairView(DrawnWidget):
    """Draws two photos, turned as their cameras say. Where both have their rim marked the rims are
    at one scale, by the wheels' widths where both are known; else their shorter sides are as long.
    The pointer moves both, its wheel and + and − make both larger or smaller.

    While a rim is marked (`marking` has the number of the photo) the pointer draws it from one side
    to the other; arrows move it, + and − size it, Enter keeps it. `marked` carries the photo and
    the rim, `turned` comes when what is marked is another."""

    marked = Signal(object, object)
    turned = Signal()

    def __init__(self, path_of: PathOf, zone: str) -> None:
        super().__init__()
        self._path_of, self._zone = path_of, zone
        self._pair: list[_Shown] = []
        self.zoom, self.middle = 1.0, QPointF()
        self._held: QPointF | None = None
        self.marking: int | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(translated("Two photos beside each other"))

    # Fill

    def show_pair(self, photos: list[WheelPhoto]) -> None:
        """Show these two."""
        self._pair = []
        for photo in photos[:PAIR]:
            path = self._path_of(photo.photo)
            image = None if path is None else read_photo(path, _READ)
            self._pair.append(_Shown(photo, image, photo.rim))
        self.zoom, self.middle, self.marking = 1.0, QPointF(), None
        self.setAccessibleDescription(listed([photo.title for photo in photos]))
        self.update()

    @property
    def by_rims(self) -> bool:
        """Both have their rim marked, and none is being marked: that moves nothing."""
        return (
            self.marking is None
            and len(self._pair) == PAIR
            and all(one.rim is not None and one.image is not None for one in self._pair)
        )

    @property
    def by_widths(self) -> bool:
        """The rims are as large as the wheels are wide."""
        return self.by_rims and all(one.photo.diameter_mm for one in self._pair)

    @property
    def can_mark(self) -> bool:
        """There is a photo of a rind among them."""
        return any(one.photo.note_id is not None and one.image is not None for one in self._pair)

    @property
    def unmarked(self) -> list[WheelPhoto]:
        """Those without a rim that could be marked."""
        return [
            one.photo
            for one in self._pair
            if one.rim is None and one.photo.note_id is not None and one.image is not None
        ]

    def scales(self) -> list[float]:
        """Pixels of the screen for the same length on each photo: a mm of the wheels' radius, their
        radius, or the shorter sides."""
        there = [(one, one.image) for one in self._pair if one.image is not None]
        frame = self._frame(0)
        fits = []
        for one, image in there:
            unit = self._unit(one)
            if self.by_rims:  # the wheels fill their frames, whatever lies about them
                across = 2 * one.unit(True) * _ABOUT_RIM
                fits.append(min(frame.width(), frame.height()) * unit / across)
            else:
                fits += [frame.width() * unit / image.width(),
                         frame.height() * unit / image.height()]  # fmt: skip
        return [min(fits) * self.zoom for _ in there] if fits else []

    def rim_box(self, number: int) -> QRectF:
        """Where the rim of a photo is on the screen, px; empty where it has none."""
        one = self._pair[number]
        if one.rim is None or one.image is None:
            return QRectF()
        image, share = self._box(number), self._box(number).width()
        middle = image.topLeft() + QPointF(one.rim.x, one.rim.y) * share
        half = QPointF(one.rim.radius, one.rim.radius) * share
        return QRectF(middle - half, middle + half)

    def _unit(self, one: _Shown) -> float:
        width = one.photo.diameter_mm if self.by_widths else None
        return one.unit(self.by_rims) / ((width or 2.0) / 2)

    def _frame(self, number: int) -> QRectF:
        wide = (self.width() - _BETWEEN) / PAIR
        return QRectF(number * (wide + _BETWEEN), 0, wide, self.height() - _BELOW)

    def _box(self, number: int) -> QRectF:
        """Where the whole picture lies, px; parts of it may lie outside its frame."""
        one, frame = self._pair[number], self._frame(number)
        if one.image is None:
            return frame
        side = min(self.scales(), default=0.0)
        share = side / self._unit(one)
        origin = one.origin(self.by_rims) * share + self.middle * side * self._length()
        size = QPointF(one.image.width(), one.image.height()) * share
        top = frame.center() - origin
        return QRectF(top, top + size)

    def _length(self) -> float:
        """How many of the scale's lengths a photo's side is, about: for moving both."""
        widths = [one.photo.diameter_mm or 0.0 for one in self._pair]
        return max(widths) if self.by_widths else (2.0 if self.by_rims else 1.0)

    # Draw

    def scene(self) -> Scene:
        marks: list[Mark] = []
        for number, one in enumerate(self._pair):
            frame = self._frame(number)
            x, y = (frame.left(), frame.right()), (frame.top(), frame.bottom())
            if one.image is not None:
                box = self._box(number)
                picture = PhotoMark((box.left(), box.right()), (box.top(), box.bottom()), one.image)
                rim = self._rim_marks(number) if self.marking == number else []
                marks.append(Scene([picture, *rim], clip=frame))
            marks.append(BoxMark(x, y, edge="ink" if self.marking == number else "hairline"))
            day = short_day(one.photo.at_ms, self._zone)
            words = one.photo.text
            if one.image is None:
                words = translated("The photo cannot be read.")
            below = frame.bottom() + 5 * STEP
            marks += [
                TextMark(frame.left(), below, f"{one.photo.title}, {day}", "ink", base=True),
                TextMark(frame.left(), below + 5 * STEP, words, base=True),
            ]
        return Scene(marks)

    def _rim_marks(self, number: int) -> list[Mark]:
        rim = self.rim_box(number)
        at = rim.center().x(), rim.center().y(), rim.width()
        return [
            DotMark(*at, edge="paper", width=4), DotMark(*at, edge="attention", width=2),
        ]  # fmt: skip

    # Marking

    def mark(self) -> None:
        """Mark the rim of the first photo, of the other, of none."""
        can = [
            number
            for number, one in enumerate(self._pair)
            if one.photo.note_id is not None and one.image is not None
        ]
        later = [n for n in can if self.marking is None or n > self.marking]
        self._mark(later[0] if later else None)

    def leave(self) -> None:
        """Mark nothing; what was not kept is as it was."""
        if self.marking is not None:
            one = self._pair[self.marking]
            self._pair[self.marking] = replace(one, rim=one.photo.rim)
        self._mark(None)

    def _mark(self, number: int | None) -> None:
        if self.marking is not None and self._pair[self.marking].rim is not None:
            one = self._pair[self.marking]
            self._pair[self.marking] = replace(one, rim=one.photo.rim)
        self.marking = number
        self.zoom, self.middle = 1.0, QPointF()
        if number is not None and self._pair[number].rim is None:
            self._put(_middle_rim(self._pair[number].image))
        self.turned.emit()
        self.update()

    def _keep(self) -> None:
        number = self.marking
        if number is None:
            return
        one = self._pair[number]
        self._pair[number] = replace(one, photo=replace(one.photo, rim=one.rim))
        self.marked.emit(one.photo, one.rim)
        self.mark()

    def _put(self, rim: Rim) -> None:
        if self.marking is not None:
            self._pair[self.marking] = replace(self._pair[self.marking], rim=rim)
            self.update()

    # Keys and the mouse

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        fine = 0.2 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1.0
        if self.marking is not None and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._keep()
        elif is_key(event, "mark_rim"):
            self.mark()
        elif key in (*_LARGER, *_SMALLER):
            self._size(1 if key in _LARGER else -1, fine)
        elif key in _STEPS:
            self._step(_STEPS[Qt.Key(key)], fine)
        else:
            super().keyPressEvent(event)

    def _size(self, way: int, fine: float) -> None:
        rim = None if self.marking is None else self._pair[self.marking].rim
        if rim is None:
            self._to(self.zoom * 1.25**way)
        else:
            radius = max(rim.radius * (1 + 0.05 * fine) ** way, _LEAST_RIM)
            self._put(rim._replace(radius=radius))

    def _step(self, way: QPointF, fine: float) -> None:
        rim = None if self.marking is None else self._pair[self.marking].rim
        if rim is None:
            self._shift(way * 0.05)
        else:
            step = way * 0.02 * fine
            self._put(rim._replace(x=rim.x + step.x(), y=rim.y + step.y()))

    def wheelEvent(self, event: object) -> None:
        turned = event.angleDelta().y()  # type: ignore[attr-defined]
        self._size(1 if turned > 0 else -1, 1.0)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._held = event.position()
        spot, count = event.position(), len(self._pair)
        over = next((n for n in range(count) if self._frame(n).contains(spot)), None)
        if self.marking is not None and over not in (None, self.marking):
            self._mark(over)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._held is None:
            return
        if self.marking is not None:
            self._span(self._held, event.position())
            return
        moved, self._held = event.position() - self._held, event.position()
        side = max(min(self.scales(), default=1.0) * self._length(), 1.0)
        self._shift(moved * (-1 / side))

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        self._held = None

    def _span(self, first: QPointF, last: QPointF) -> None:
        """The rim from one side to the other."""
        number = self.marking
        if number is None or self._pair[number].image is None:
            return
        box = self._box(number)
        one, other = ((spot - box.topLeft()) * (1 / box.width()) for spot in (first, last))
        middle, across = (one + other) * 0.5, one - other
        radius = (across.x() ** 2 + across.y() ** 2) ** 0.5 / 2
        if radius >= _LEAST_RIM:
            self._put(Rim(middle.x(), middle.y(), radius))

    def _to(self, zoom: float) -> None:
        self.zoom = min(max(zoom, _LEAST_ZOOM), _MOST_ZOOM)
        self.update()

    def _shift(self, by: QPointF) -> None:
        to = self.middle + by
        self.middle = QPointF(min(max(to.x(), -0.5), 0.5), min(max(to.y(), -0.5), 0.5))
        self.update()


def _middle_rim(image: QImage | None) -> Rim:
    """A rim to begin with, in the middle of the picture."""
    if image is None:
        return Rim(0.5, 0.5, _FIRST_RIM)
    high = image.height() / image.width()
    return Rim(0.5, high / 2, _FIRST_RIM * min(1.0, high))
