"""The photos of all wheels as a wall, ages across and makes down; two of them beside each other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.charts.marks import BoxMark, Mark, PhotoMark, Scene, TextMark
from journal.desk.drawn import DrawnWidget
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.room.pair import PAIR, PairView, PathOf
from journal.desk.scrollbars import scrolled
from journal.desk.theme import STEP
from journal.desk.thumbnails import Thumbnails
from journal.reports.rinds import PhotoWall, Rim, WheelPhoto
from journal.wording import worded
from journal.wording.languages import translated

_NAMES, _WIDE, _HIGH, _GAP = 34 * STEP, 26 * STEP, 20 * STEP, 2 * STEP
_HEAD, _BELOW = 6 * STEP, 5 * STEP
_ALONG: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (0, -1), Qt.Key.Key_Right: (0, 1), Qt.Key.Key_Up: (-1, 0),
    Qt.Key.Key_Down: (1, 0),
}  # fmt: skip
SaveRim = Callable[[WheelPhoto, Rim], None]


class PhotoWallView(DrawnWidget):
    """Draws a PhotoWall. One photo is selected; `chosen` are those marked, two at most."""

    compare_asked = Signal()
    selected = Signal()

    def __init__(self, wall: PhotoWall, path_of: PathOf) -> None:
        super().__init__()
        self._wall, self._path_of = wall, path_of
        self._thumbs = Thumbnails(self)
        self._thumbs.came.connect(self.update)
        self.here = (0, min(wall.rows[0].photos)) if wall.rows else (0, 0)
        self.chosen: list[WheelPhoto] = []
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(translated("Photos of all wheels"))
        size = QSize(_NAMES + len(wall.ages) * (_WIDE + _GAP),
                     _HEAD + len(wall.rows) * (_HIGH + _BELOW + _GAP))  # fmt: skip
        self.setMinimumSize(size)

    @property
    def settled(self) -> bool:
        """Every photo that is seen was read."""
        return not self._thumbs.pending

    def current(self) -> WheelPhoto | None:
        """The selected photo, the last of its place."""
        row, column = self.here
        found = self._wall.rows[row].photos.get(column) if row < len(self._wall.rows) else None
        return found[-1] if found else None

    def select(self, photo: WheelPhoto) -> None:
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
        """Choose the selected photo, or choose it no more; a third takes the first's place."""
        photo = self.current()
        if photo is None:
            return
        if photo in self.chosen:
            self.chosen.remove(photo)
        else:
            self.chosen = [*self.chosen[-(PAIR - 1) :], photo]
        self.setAccessibleDescription(
            worded("desk.photos-chosen", photos=[p.title for p in self.chosen])
        )
        self.selected.emit()
        self.update()

    def scene(self) -> Scene:
        seen = QRectF(self.visibleRegion().boundingRect())
        marks: list[Mark] = [
            TextMark(self.box(0, column).left(), 4 * STEP, age, base=True)
            for column, age in enumerate(self._wall.ages)
        ]
        for number, row in enumerate(self._wall.rows):
            top = self.box(number, 0).top()
            if not seen.intersects(QRectF(seen.left(), top, 1, _HIGH + _BELOW)):
                continue
            room = _NAMES - 3 * STEP
            marks.append(TextMark(0, top + 4 * STEP, row.code, "ink", bold=True, base=True))
            marks.append(TextMark(0, top + 8 * STEP, row.name, wide=room, base=True))
            for column, photos in row.photos.items():
                marks += self._place_marks((number, column), photos)
        return Scene(marks)

    def _place_marks(self, at: tuple[int, int], photos: tuple[WheelPhoto, ...]) -> list[Mark]:
        box, photo, marks = self.box(*at), photos[-1], list[Mark]()
        x, y = (box.left(), box.right()), (box.top(), box.bottom())
        picture = self._thumbs.of(self._path_of(photo.photo), _WIDE)
        if picture is not None:
            marks.append(PhotoMark(x, y, picture))
        here, marked = at == self.here, any(p in self.chosen for p in photos)
        edge, width = "ink" if here or marked else "hairline", 3 if marked else 1 + here
        inner = (x[0] + 1, x[1] - 1), (y[0] + 1, y[1] - 1)
        letter = photo.code.rpartition("-")[2]
        more = worded("desk.photos-more", more=len(photos) - 1) if len(photos) > 1 else ""
        which = "desk.photo-letter" if photo.note_id is not None else "desk.photo-letter-cut"
        role = "ink" if here else "quiet"
        words = worded(which, letter=letter, more=more)
        below = TextMark(x[0], y[1] + 4 * STEP, words, role, base=True)
        return [*marks, BoxMark(*inner, edge=edge, width=width), below]

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
        self.selected.emit()
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus()
        for number, row in enumerate(self._wall.rows):
            for column in row.photos:
                if self.box(number, column).contains(event.position()):
                    self.here = (number, column)
                    self.mark()


class PhotosDialog(FramedDialog):
    """Shows the wall; Space chooses, Enter puts two beside each other, Esc goes back."""

    help_topic = "room/Paper and phone"

    def __init__(
        self, wall: PhotoWall, path_of: PathOf, zone: str, parent: QWidget | None,
        first: WheelPhoto | None, save_rim: SaveRim,
    ) -> None:  # fmt: skip
        super().__init__("Photos of all wheels", parent)
        self._save_rim = save_rim
        self._rims: dict[int | None, Rim] = {}  # those marked here, by their notes
        self.wall, self.pair = PhotoWallView(wall, path_of), PairView(path_of, zone)
        self._all = wall
        self.pages = QStackedWidget()
        self.pages.addWidget(scrolled(self.wall, sideways=True))
        self.pages.addWidget(self.pair)
        self.message = Label("", role="quiet", wrap=True)
        self.beside = Button("Beside each other", MAIN, "Enter")
        self.mark = Button("Mark the rims", key="mark_rim")
        self.mark.clicked.connect(self.pair.mark)
        self.mark.hide()
        self.close_button = Button("Close", key="Esc")
        self.beside.clicked.connect(self.turn)
        self.close_button.clicked.connect(self.reject)
        self.wall.compare_asked.connect(self.turn)
        self.wall.selected.connect(self._on_selected)
        self.pair.marked.connect(self._on_marked)
        self.pair.turned.connect(self._say_scale)
        acts = (self.beside, self.mark, self.close_button)
        self.arrange(self.pages, acts=acts, message=self.message)
        self.resize(1100, 760)
        if first is not None:
            self.wall.select(first)
            self.wall.mark()
        self._on_selected()
        self.wall.setFocus()

    def turn(self) -> None:
        """Two beside each other: those chosen, else the current one and the one before it of the
        same wheel; or the wall again."""
        if self.pages.currentIndex() == 1:
            self._to_wall()
            return
        pair = self.two()
        if pair:
            rims = self._rims
            self.pair.show_pair([replace(p, rim=rims.get(p.note_id, p.rim)) for p in pair])
            self.pages.setCurrentIndex(1)
            self.pair.setFocus()
            self.beside.set_label("All photos", "Esc")
            self.close_button.hide()
            self.mark.show()
            self._say_scale()

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
        two = found[-PAIR:]
        return sorted(two, key=lambda p: p.age_days) if len(two) == PAIR else []

    def reject(self) -> None:
        if self.pages.currentIndex() == 1 and self.pair.marking is not None:
            self.pair.leave()
        elif self.pages.currentIndex() == 1:
            self._to_wall()
        else:
            super().reject()

    def _say_scale(self) -> None:
        """By what the two are at one scale, or what would bring them there."""
        pair = self.pair
        self.mark.setEnabled(pair.can_mark)
        if pair.marking is not None:
            which = "desk.rim-being-drawn"
        elif pair.by_widths:
            which = "desk.pair-by-widths"
        elif pair.by_rims:
            which = "desk.pair-by-rims"
        else:
            which = "desk.pair-unmarked" if pair.unmarked else "desk.pair-without-rims"
        self.message.setText(worded(which, names=[photo.title for photo in pair.unmarked]))

    def _on_marked(self, photo: WheelPhoto, rim: Rim) -> None:
        self._rims[photo.note_id] = rim
        self._save_rim(photo, rim)

    def _to_wall(self) -> None:
        self.mark.hide()
        self.pages.setCurrentIndex(0)
        self.beside.set_label("Beside each other", "Enter")
        self.close_button.show()
        self._on_selected()
        self.wall.setFocus()

    def _on_selected(self) -> None:
        here, chosen = self.wall.current(), self.wall.chosen
        if here is None:
            self.message.setText("No photos yet. Drop one on a wheel in Ageing.")
        else:
            marked = ", ".join(photo.title for photo in chosen)
            which = "desk.chosen-photos" if marked else "desk.space-chooses"
            self.message.setText(worded(which, chosen=marked, photo=here.title))
        self.beside.setEnabled(bool(self.two()))
