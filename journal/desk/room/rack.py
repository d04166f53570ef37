"""The shelves drawn: wheels as discs by weight and age, due ones raised; moved by drag."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QFontMetrics, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QToolTip, QWidget

from journal.desk.charts.marks import (
    MIDDLE,
    BoxMark,
    DotMark,
    LineMark,
    Mark,
    PhotoMark,
    Scene,
    TextMark,
    TriangleMark,
    wash,
)
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import LEAD, RADIUS, SMALL, STEP, font, scaled
from journal.desk.thumbnails import Thumbnails
from journal.records.instants import DAY_MS
from journal.reports.shelves import Shelf
from journal.reports.wheels import ShelfRow
from journal.wording import worded
from journal.wording.ages import age_words, relative_day
from journal.wording.care import care_name
from journal.wording.languages import translated
from journal.wording.shown import write
from journal.wording.wheels import wheel_need_words

_ROOMY, _CLOSE = (24 * STEP, 17 * STEP), (24 * STEP, 10 * STEP)  # px of a wheel's place, its disc
_MANY = 40  # wheels from which on they lie closer
_HEAD, _RAISED, _LINE = 9 * STEP, 6, 4 * STEP
_LEAST_SHARE = 0.55  # of the largest disc
_OLD_DAYS = 365.0  # a wheel's tone goes no further
_WEEK_DAYS = 7.0  # a turn so long ago points straight down
_PLAIN = Qt.KeyboardModifier.KeypadModifier
_ALONG: dict[int, int] = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_ACROSS: dict[int, int] = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
_ENDS: dict[int, int] = {Qt.Key.Key_Home: 0, Qt.Key.Key_End: -1}


@dataclass(frozen=True)
class WheelSpot:
    """Where a wheel lies: its shelf's and its own number, and its place on the page, px."""

    shelf: int
    row: ShelfRow
    box: QRectF


class Rack(DrawnWidget):
    """Draws shelves. `selected` carries the wheel one goes to, `opened` comes with Enter, `moved` a
    wheel, the shelf it was dragged to and its number there, `head_picked` the room whose name was
    pressed, `typed` a digit, `menu_asked` where a menu is wanted. `photo_of` finds a wheel's rind,
    None where there is no photo of it."""

    selected = Signal(int)
    opened = Signal()
    moved = Signal(int, object, int)
    head_picked = Signal(object)
    typed = Signal(str)
    menu_asked = Signal(QPoint)

    def __init__(self, takes: Callable[[str], bool], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._takes = takes
        self._shelves: list[Shelf] = []
        self._slots: list[WheelSpot] = []
        self._heads: list[QRectF] = []  # the whole of each shelf, with its name
        self._here: int | None = None
        self._now_ms = 0
        self._pressed: QPointF | None = None
        self._dragged: QPointF | None = None
        self.thumbs = Thumbnails(self)
        self.thumbs.came.connect(self.update)
        self.photo_of: Callable[[int], Path | None] = _no_photo
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAccessibleName(translated("Shelves"))

    # Fill

    def show_shelves(self, shelves: Sequence[Shelf], wheel_id: int | None, now_ms: int) -> None:
        """Draw these, standing on a wheel."""
        self._shelves, self._now_ms, self._here = list(shelves), now_ms, wheel_id
        self._place()
        self._describe()
        self.update()

    def select_wheel(self, wheel_id: int | None) -> None:
        """Mark that wheel as selected."""
        self._here = wheel_id
        self._describe()
        self.update()

    def slot_of(self, wheel_id: int | None) -> WheelSpot | None:
        """Where a wheel lies."""
        return next((slot for slot in self._slots if slot.row.wheel_id == wheel_id), None)

    def code_shown(self, slot: WheelSpot) -> str:
        """The code under a wheel as far as there is room for it."""
        code, _, bold = self._lines_under(slot.row)[0]
        return _shown(code, slot.row, QFontMetrics(font(SMALL, bold=bold)), slot.box.width())

    def shelf_box(self, number: int) -> QRectF:
        """The whole of a shelf, where a wheel can be put down."""
        return self._heads[number]

    def _describe(self) -> None:
        parts = []
        for shelf in self._shelves:
            wanting = sum(row.wants for row in shelf.rows)
            which = "desk.shelf-wants" if wanting else "desk.shelf-holds"
            wheels = len(shelf.rows)
            parts.append(worded(which, shelf=shelf.name, wheels=wheels, wanting=wanting))
        slot = self.slot_of(self._here)
        here = [_tip(slot.row, self._now_ms)] if slot is not None else []
        self.setAccessibleDescription("; ".join([*parts, *here]))

    def sizeHint(self) -> QSize:
        return QSize(480, max(round(self._heads[-1].bottom()), 60) if self._heads else 60)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def _sizes(self) -> tuple[int, int]:
        """How wide a wheel's place is, and its disc, px."""
        wide, disc = _CLOSE if self._close else _ROOMY
        return scaled(wide), scaled(disc)

    @property
    def _close(self) -> bool:
        """So many wheels that they lie close."""
        return sum(len(s.rows) for s in self._shelves) > _MANY

    def _place(self) -> None:
        """Give each wheel its place, for the width there is."""
        wide, disc = self._sizes()
        across = max(1, (self.width() - 3 * STEP) // wide)
        # Nothing moves when what was due is done: what a wheel wants keeps its line.
        lines = 2 if self._close else 3
        high = disc + scaled(_RAISED) + 3 * STEP + lines * scaled(_LINE) + STEP
        self._slots, self._heads, top = [], [], 0.0
        for number, shelf in enumerate(self._shelves):
            begin = top
            top += scaled(_HEAD) if shelf.rows else scaled(_HEAD + 8 * STEP)
            for first in range(0, len(shelf.rows), across):
                rows = shelf.rows[first : first + across]
                for index, row in enumerate(rows):
                    box = QRectF(3 * STEP + index * wide, top, wide, high)
                    self._slots.append(WheelSpot(number, row, box))
                top += high
            self._heads.append(QRectF(0, begin, self.width(), top - begin))
        self.setMinimumHeight(round(top) + STEP)

    def _lines_under(self, row: ShelfRow) -> list[tuple[str, str, bool]]:
        """What stands under a wheel, line by line: the words, their role, whether they are bold."""
        need, role = _need(row, short=self._close)
        lines = [(row.code, "ink", row.wants), (age_words(row.age_days), "quiet", False)]
        if need and self._close:
            del lines[1]  # where they lie close, what it wants says more than its age
        return [*lines, (need, role, row.wants)] if need else lines

    # Drawing

    def scene(self) -> Scene:
        marks: list[Mark] = []
        for number, shelf in enumerate(self._shelves):
            marks += self._shelf_marks(number, shelf)
        heaviest = max((_kg(slot.row) for slot in self._slots), default=1.0)
        for slot in self._slots:
            marks += self._wheel_marks(slot, heaviest)
        here = self.slot_of(self._here)
        if self._dragged is not None and here is not None:
            marks += self._disc_marks(here.row, self._dragged, self._sizes()[1] / 2)
        return Scene(marks)

    def _shelf_marks(self, number: int, shelf: Shelf) -> list[Mark]:
        box, marks = self._heads[number], list[Mark]()
        if self._dragged is not None and box.contains(self._dragged):
            area = (box.left(), box.right()), (box.top(), box.bottom())
            marks.append(BoxMark(*area, wash("past", 0.5)))
        base, left = box.top() + scaled(6 * STEP), 3 * STEP
        wide = QFontMetrics(font(LEAD, bold=True)).horizontalAdvance(shelf.name)
        beside = left + wide + 3 * STEP
        words = shelf.air or ("" if shelf.rows else worded("desk.no-wheels-here"))
        role = "attention" if shelf.outside else "quiet"
        marks += [
            TextMark(left, base, shelf.name, "ink", bold=True, size=LEAD, base=True),
            TextMark(beside, base, words, role, base=True),
        ]
        if shelf.outside:
            at = beside + QFontMetrics(font(SMALL)).horizontalAdvance(words) + STEP
            marks.append(TriangleMark(at, base - 10, 12))
        disc = self._sizes()[1]
        tops = {slot.box.top() for slot in self._slots if slot.shelf == number}
        for top in tops or {box.top() + scaled(_HEAD) - disc}:
            plank = top + scaled(_RAISED) + disc + 2
            marks.append(BoxMark((left, self.width() - 2 * STEP), (plank, plank + 2), "ink"))
        return marks

    def _wheel_marks(self, slot: WheelSpot, heaviest: float) -> list[Mark]:
        row, box, disc, marks = slot.row, slot.box, self._sizes()[1], list[Mark]()
        here, across = row.wheel_id == self._here, (box.left(), box.right())
        foot = box.top() + scaled(_RAISED) + disc
        if here:
            below = foot + 6, box.bottom() - STEP
            marks.append(BoxMark(across, below, "chosen", rounded=RADIUS))
        radius = max(_LEAST_SHARE, math.sqrt(_kg(row) / heaviest)) * disc / 2
        lift = scaled(_RAISED) if row.wants else 0
        middle = QPointF(box.center().x(), foot - radius - lift)
        if not (here and self._dragged is not None):
            marks += self._disc_marks(row, middle, radius)
        if here:
            ring, dash = 2 * radius + 6, "" if self.hasFocus() else "dots"
            marks.append(DotMark(middle.x(), middle.y(), ring, edge="ink", width=2, dash=dash))
        top = foot + 2 * STEP
        if row.wants:
            line = across[0] + STEP, across[1] - STEP
            marks.append(BoxMark(line, (top - 3, top), "attention"))
        return [*marks, *self._word_marks(row, box, top + scaled(_LINE) / 2)]

    def _word_marks(self, row: ShelfRow, box: QRectF, y: float) -> Iterator[Mark]:
        for number, (words, role, bold) in enumerate(self._lines_under(row)):
            yield TextMark(
                box.center().x(), y + number * scaled(_LINE), words, role, MIDDLE, bold=bold,
                wide=int(box.width()) - 2, cut_left=words == row.code,
            )  # fmt: skip

    def _disc_marks(self, row: ShelfRow, middle: QPointF, radius: float) -> list[Mark]:
        old, x, y = min(row.age_days / _OLD_DAYS, 1.0), middle.x(), middle.y()
        fill, edge = ("curd", "rind", 0.05 + 0.6 * old), ("past_line", "rind", old)
        marks: list[Mark] = [DotMark(x, y, 2 * radius - 3, fill, edge, 3)]
        rind = self.thumbs.of(self.photo_of(row.wheel_id), self._sizes()[1])
        if rind is not None:
            inner = radius - 3
            ends = (x - inner, x + inner), (y - inner, y + inner)
            marks.append(PhotoMark(*ends, rind, round_off=True))
        turned = row.life.done.get("turn")
        if turned is not None:
            days = (self._now_ms - turned) / DAY_MS
            angle = math.pi / 2 * min(max(days, 0.0) / _WEEK_DAYS, 1.0)
            long, role = radius - 8, "paper" if rind is not None else "ink"
            across = x, x + long * math.cos(angle)
            marks.append(LineMark(across, (y, y + long * math.sin(angle)), role, 1.4))
        return marks

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, plain = event.key(), not event.modifiers() & ~_PLAIN
        if not plain:
            super().keyPressEvent(event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.opened.emit()
        elif key in _ALONG:
            self._go(self._number() + _ALONG[key])
        elif key in _ENDS:
            self._go(_ENDS[key] % max(len(self._slots), 1))
        elif key in _ACROSS:
            self._go_across(_ACROSS[key])
        elif event.text() and self._takes(event.text()):
            self.typed.emit(event.text())
        else:
            super().keyPressEvent(event)

    def _number(self) -> int:
        return next((i for i, s in enumerate(self._slots) if s.row.wheel_id == self._here), -1)

    def _go(self, number: int) -> None:
        if self._slots:
            slot = self._slots[min(max(number, 0), len(self._slots) - 1)]
            self.selected.emit(slot.row.wheel_id)

    def _go_across(self, step: int) -> None:
        """To the nearest wheel of the row above or below."""
        here = self.slot_of(self._here)
        if here is None:
            self._go(0)
            return
        tops = sorted({slot.box.top() for slot in self._slots})
        to = tops.index(here.box.top()) + step
        if 0 <= to < len(tops):
            row = [slot for slot in self._slots if slot.box.top() == tops[to]]
            near = min(row, key=lambda slot: abs(slot.box.left() - here.box.left()))
            self.selected.emit(near.row.wheel_id)

    # The mouse

    def wheel_at(self, spot: QPointF) -> int | None:
        """The wheel that lies there."""
        slot = self._slot_at(spot)
        return None if slot is None else slot.row.wheel_id

    def _slot_at(self, spot: QPointF) -> WheelSpot | None:
        return next((slot for slot in self._slots if slot.box.contains(spot)), None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus()
        slot = self._slot_at(event.position())
        self._pressed = None
        if slot is not None:
            self.selected.emit(slot.row.wheel_id)
            if event.button() == Qt.MouseButton.LeftButton:
                self._pressed = event.position()
            return
        for box, shelf in zip(self._heads, self._shelves, strict=True):
            if box.contains(event.position()) and event.position().y() < box.top() + scaled(_HEAD):
                self.head_picked.emit(shelf.room_id)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if self._slot_at(event.position()) is not None:
            self._pressed = None
            self.opened.emit()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        spot = event.position()
        if self._pressed is not None and event.buttons() & Qt.MouseButton.LeftButton:
            far = (spot - self._pressed).manhattanLength() >= QApplication.startDragDistance()
            if far or self._dragged is not None:
                self._dragged = spot
                self.update()
            return
        slot = self._slot_at(spot)
        words = "" if slot is None else _tip(slot.row, self._now_ms)
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        dragged, self._dragged, self._pressed = self._dragged, None, None
        self.update()
        slot = self.slot_of(self._here)
        if dragged is None or slot is None:
            return
        over = self._slot_at(event.position())
        if over is not None and over.row.wheel_id == slot.row.wheel_id:
            return
        for number, box in enumerate(self._heads):
            if box.contains(event.position()) and (number != slot.shelf or over is not None):
                shelf = self._shelves[number]
                before = len(shelf.rows) if over is None else shelf.rows.index(over.row)
                self.moved.emit(slot.row.wheel_id, shelf, before)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if self._slots:
            self.menu_asked.emit(event.globalPos())


def _shown(words: str, row: ShelfRow, metrics: QFontMetrics, width: float) -> str:
    """Words cut to a width: a code at its begin, since its end says which wheel it is."""
    cut = Qt.TextElideMode.ElideLeft if words == row.code else Qt.TextElideMode.ElideRight
    return metrics.elidedText(words, cut, int(width) - 2)


def _kg(row: ShelfRow) -> float:
    return row.life.weight_kg or row.life.wheel.green_weight_kg or 0.5


def _need(row: ShelfRow, *, short: bool) -> tuple[str, str]:
    """The text under a wheel, and its colour: what is due, not what is to come; without the
    age to taste at where it is to be short."""
    if row.life.verdict:
        return worded("desk.marked-do-not-eat"), "attention"
    if not row.wants or row.next is None:
        return "", "quiet"
    words = care_name(row.next.kind) if short else wheel_need_words(row.next)
    return f"{words}{' ▲' * (row.late_days > 0)}", "attention"


def _tip(row: ShelfRow, now_ms: int) -> str:
    """The tip of a wheel under the pointer."""
    parts = [row.code, row.life.plan, age_words(row.age_days)]
    if row.life.weight_kg is not None:
        parts.append(write(row.life.weight_kg, "mass", digits=2))
    turned = row.life.done.get("turn")
    if turned is not None:
        days = int((now_ms - turned) // DAY_MS)
        parts.append(worded("desk.turned-ago" if days >= 1 else "desk.turned-today", days=days))
    parts += [f"{wheel_need_words(due)} {relative_day(due.on, row.today)}" for due in row.dues]
    return ", ".join(parts)


def _no_photo(_wheel_id: int) -> Path | None:
    return None
