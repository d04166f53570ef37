"""The photos of all wheels as a wall, ages across and makes down; two of them beside each other."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QImage, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.drawn import DrawnWidget
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.photo_file import read_photo
from journal.desk.scrollbars import scrolled
from journal.desk.theme import SMALL, STEP, Colours, font
from journal.desk.thumbnails import Thumbnails, draw_covering
from journal.reports.rinds import Wall, WheelPhoto
from journal.wording.dates import short_day

_NAMES, _WIDE, _HIGH, _GAP = 34 * STEP, 26 * STEP, 20 * STEP, 2 * STEP
_HEAD, _BELOW = 6 * STEP, 5 * STEP
_READ = QSize(1600, 1600)
_PAIR = 2
_ALONG: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (0, -1), Qt.Key.Key_Right: (0, 1), Qt.Key.Key_Up: (-1, 0),
    Qt.Key.Key_Down: (1, 0),
}  # fmt: skip
PathOf = Callable[[str], Path | None]


class WallView(DrawnWidget):
    """Draws a Wall. One stands on a photo; `chosen` are those marked, two at most."""

    compare_asked = Signal()
    stood = Signal()

    def __init__(self, wall: Wall, path_of: PathOf) -> None:
        super().__init__()
        self._wall, self._path_of = wall, path_of
        self._thumbs = Thumbnails(self)
        self._thumbs.came.connect(self.update)
        self.here = (0, min(wall.rows[0].photos)) if wall.rows else (0, 0)
        self.chosen: list[WheelPhoto] = []
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Photos of all wheels")
        size = QSize(_NAMES + len(wall.ages) * (_WIDE + _GAP),
                     _HEAD + len(wall.rows) * (_HIGH + _BELOW + _GAP))  # fmt: skip
        self.setMinimumSize(size)

    @property
    def settled(self) -> bool:
        """Every photo that is seen was read."""
        return not self._thumbs.pending

    def current(self) -> WheelPhoto | None:
        """The photo one stands on, the last of its place."""
        row, column = self.here
        found = self._wall.rows[row].photos.get(column) if row < len(self._wall.rows) else None
        return found[-1] if found else None

    def stand_on(self, photo: WheelPhoto) -> None:
        """Go to where that photo is."""
        for number, row in enumerate(self._wall.rows):
            for column, found in row.photos.items():
                if photo in found:
                    self.here = (number, column)
                    self.update()

    def box(self, row: int, column: int) -> QRectF:
        """Where a place of the wall is, px."""
        left = _NAMES + column * (_WIDE + _GAP)
        return QRectF(left, _HEAD + row * (_HIGH + _BELOW + _GAP), _WIDE, _HIGH)

    def mark(self) -> None:
        """Choose the photo one stands on, or choose it no more; a third takes the first's place."""
        photo = self.current()
        if photo is None:
            return
        if photo in self.chosen:
            self.chosen.remove(photo)
        else:
            self.chosen = [*self.chosen[-(_PAIR - 1) :], photo]
        self.setAccessibleDescription("Chosen: " + ", ".join(p.title for p in self.chosen))
        self.stood.emit()
        self.update()

    def draw(self, painter: QPainter, c: Colours) -> None:
        seen = QRectF(self.visibleRegion().boundingRect())
        painter.setPen(c.quiet)
        for column, age in enumerate(self._wall.ages):
            painter.drawText(QPointF(self.box(0, column).left(), 4 * STEP), age)
        for number, row in enumerate(self._wall.rows):
            top = self.box(number, 0).top()
            if not seen.intersects(QRectF(seen.left(), top, 1, _HIGH + _BELOW)):
                continue
            painter.setPen(c.ink)
            painter.setFont(font(SMALL, bold=True))
            painter.drawText(QPointF(0, top + 4 * STEP), row.code)
            painter.setFont(font(SMALL))
            painter.setPen(c.quiet)
            name = QFontMetricsF(painter.font()).elidedText(
                row.name, Qt.TextElideMode.ElideRight, _NAMES - 3 * STEP
            )
            painter.drawText(QPointF(0, top + 8 * STEP), name)
            for column, photos in row.photos.items():
                self._draw_place(painter, c, (number, column), photos)
        painter.end()

    def _draw_place(
        self, painter: QPainter, c: Colours, at: tuple[int, int], photos: tuple[WheelPhoto, ...]
    ) -> None:
        box, photo = self.box(*at), photos[-1]
        picture = self._thumbs.of(self._path_of(photo.photo), _WIDE)
        if picture is not None:
            draw_covering(painter, picture, box)
        here, marked = at == self.here, any(p in self.chosen for p in photos)
        painter.setPen(QPen(c.ink if here or marked else c.hairline, 3 if marked else 1 + here))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box.adjusted(1, 1, -1, -1))
        painter.setPen(c.ink if here else c.quiet)
        letter = photo.code.rpartition("-")[2]
        more = f", {len(photos) - 1} more" if len(photos) > 1 else ""
        what = "" if photo.note_id is not None else ", cut"
        words = f"{letter}{what}{more}"
        painter.drawText(QPointF(box.left(), box.bottom() + 4 * STEP), words)

    # Keys and the mouse

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _ALONG:
            self._go(*_ALONG[event.key()])
        elif event.key() == Qt.Key.Key_Space:
            self.mark()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.compare_asked.emit()
        else:
            super().keyPressEvent(event)

    def _go(self, rows: int, columns: int) -> None:
        """To the next photo in that way."""
        row, column = self.here
        wall = self._wall.rows
        if columns and wall:
            found = [n for n in wall[row].photos if (n - column) * columns > 0]
            column = min(found, key=lambda n: abs(n - column), default=column)
        elif wall:
            row = min(max(row + rows, 0), len(wall) - 1)
            column = min(wall[row].photos, key=lambda n: abs(n - column))
        self.here = (row, column)
        self.stood.emit()
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus()
        for number, row in enumerate(self._wall.rows):
            for column in row.photos:
                if self.box(number, column).contains(event.position()):
                    self.here = (number, column)
                    self.mark()


class PairView(DrawnWidget):
    """Draws two photos at one scale: their shorter sides are as long, turned as their cameras say.
    The pointer moves both, its wheel and + and − make both larger or smaller."""

    def __init__(self, path_of: PathOf, zone: str) -> None:
        super().__init__()
        self._path_of, self._zone = path_of, zone
        self._pair: list[tuple[WheelPhoto, QImage | None]] = []
        self.zoom, self.middle = 1.0, QPointF(0.5, 0.5)
        self._held: QPointF | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Two photos beside each other")

    def show_pair(self, photos: list[WheelPhoto]) -> None:
        """Show these two."""
        self._pair = []
        for photo in photos[:_PAIR]:
            path = self._path_of(photo.photo)
            self._pair.append((photo, None if path is None else read_photo(path, _READ)))
        self.zoom, self.middle = 1.0, QPointF(0.5, 0.5)
        self.setAccessibleDescription(" and ".join(photo.title for photo in photos))
        self.update()

    def scales(self) -> list[float]:
        """Pixels of the screen for the shorter side of each photo."""
        wide = (self.width() - 4 * STEP) / _PAIR
        high = self.height() - 12 * STEP
        shapes = [(i.width(), i.height()) for _, i in self._pair if i is not None]
        fits = [min(wide * min(s) / s[0], high * min(s) / s[1]) for s in shapes]
        return [min(fits) * self.zoom for _ in shapes]

    def draw(self, painter: QPainter, c: Colours) -> None:
        wide = (self.width() - 4 * STEP) / _PAIR
        side = min(self.scales(), default=0.0)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        for number, (photo, image) in enumerate(self._pair):
            frame = QRectF(number * (wide + 4 * STEP), 0, wide, self.height() - 12 * STEP)
            if image is not None:
                share = side / min(image.width(), image.height())
                size = QPointF(image.width(), image.height()) * share
                left = frame.center().x() - size.x() * self.middle.x()
                top = frame.center().y() - size.y() * self.middle.y()
                painter.save()
                painter.setClipRect(frame)
                painter.drawImage(QRectF(left, top, size.x(), size.y()), image)
                painter.restore()
            painter.setPen(QPen(c.hairline, 1))
            painter.drawRect(frame)
            painter.setPen(c.ink)
            below = frame.bottom() + 5 * STEP
            day = short_day(photo.at_ms, self._zone)
            painter.drawText(QPointF(frame.left(), below), f"{photo.title}, {day}")
            painter.setPen(c.quiet)
            words = photo.text if image is not None else "The photo cannot be read."
            painter.drawText(QPointF(frame.left(), below + 5 * STEP), words)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self._to(self.zoom * 1.25)
        elif event.key() == Qt.Key.Key_Minus:
            self._to(self.zoom / 1.25)
        elif event.key() in _ALONG:
            down, along = _ALONG[event.key()]
            self._shift(QPointF(along, down) * 0.05)
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: object) -> None:
        turned = event.angleDelta().y()  # type: ignore[attr-defined]
        self._to(self.zoom * (1.25 if turned > 0 else 0.8))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._held = event.position()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._held is not None:
            moved, self._held = event.position() - self._held, event.position()
            side = max(min(self.scales(), default=1.0), 1.0)
            self._shift(QPointF(-moved.x() / side, -moved.y() / side))

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        self._held = None

    def _to(self, zoom: float) -> None:
        self.zoom = min(max(zoom, 1.0), 12.0)
        self.update()

    def _shift(self, by: QPointF) -> None:
        to = self.middle + by
        self.middle = QPointF(min(max(to.x(), 0.0), 1.0), min(max(to.y(), 0.0), 1.0))
        self.update()


class PhotosDialog(FramedDialog):
    """Shows the wall; Space chooses, Enter puts two beside each other, Esc goes back."""

    def __init__(
        self, wall: Wall, path_of: PathOf, zone: str, parent: QWidget | None,
        first: WheelPhoto | None = None,
    ) -> None:  # fmt: skip
        super().__init__("Photos of all wheels", parent)
        self.wall, self.pair = WallView(wall, path_of), PairView(path_of, zone)
        self._all = wall
        self.pages = QStackedWidget()
        self.pages.addWidget(scrolled(self.wall, sideways=True))
        self.pages.addWidget(self.pair)
        self.said = Label("", role="quiet", wrap=True)
        self.beside = Button("Beside each other", MAIN, "⏎")
        self.close_button = Button("Close", key="Esc")
        self.beside.clicked.connect(self.turn)
        self.close_button.clicked.connect(self.reject)
        self.wall.compare_asked.connect(self.turn)
        self.wall.stood.connect(self._on_stood)
        self.arrange(self.pages, acts=(self.beside, self.close_button), message=self.said)
        self.resize(1100, 760)
        if first is not None:
            self.wall.stand_on(first)
            self.wall.mark()
        self._on_stood()
        self.wall.setFocus()

    def turn(self) -> None:
        """Two beside each other: those chosen, else the one at hand and the one before it of the
        same wheel; or the wall again."""
        if self.pages.currentIndex() == 1:
            self._to_wall()
            return
        pair = self.two()
        if pair:
            self.pair.show_pair(pair)
            self.pages.setCurrentIndex(1)
            self.pair.setFocus()
            self.beside.set_words("All photos", "Esc")
            self.close_button.hide()
            self.said.setText("+ and − make both larger or smaller, arrows move both.")

    def two(self) -> list[WheelPhoto]:
        """The two that would be shown, the younger first; none where there are no two."""
        found, here = list(self.wall.chosen), self.wall.current()
        if here is not None and here not in found:
            found.append(here)
        if len(found) == 1:
            every = [p for row in self._all.rows for ps in row.photos.values() for p in ps]
            own = [p for p in every if p.wheel_id == found[0].wheel_id and p != found[0]]
            own.sort(key=lambda p: abs(p.at_ms - found[0].at_ms))
            found += own[:1]
        two = found[-_PAIR:]
        return sorted(two, key=lambda p: p.age_days) if len(two) == _PAIR else []

    def reject(self) -> None:
        if self.pages.currentIndex() == 1:
            self._to_wall()
        else:
            super().reject()

    def _to_wall(self) -> None:
        self.pages.setCurrentIndex(0)
        self.beside.set_words("Beside each other", "⏎")
        self.close_button.show()
        self._on_stood()
        self.wall.setFocus()

    def _on_stood(self) -> None:
        here, chosen = self.wall.current(), self.wall.chosen
        if here is None:
            self.said.setText("No photos yet. Drop one on a wheel in Ageing.")
        else:
            marked = ", ".join(photo.title for photo in chosen)
            self.said.setText(f"Chosen: {marked}" if marked else f"{here.title}. Space chooses it.")
        self.beside.setEnabled(bool(self.two()))
