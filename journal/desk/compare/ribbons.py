"""The ribbons under each other: a pointer reads every make at one moment."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QFrame, QWidget

from journal.curves.reduce import Reduced
from journal.curves.surface import Span
from journal.desk.buttons import Button
from journal.desk.charts.axes import natural_step
from journal.desk.charts.drawing import paint_scene, painter_of
from journal.desk.charts.lens import Lens
from journal.desk.charts.marks import MIDDLE, BoxMark, LineMark, Mark, Scene, TextMark
from journal.desk.charts.marks import RIGHT as RIGHT_ALIGNED
from journal.desk.charts.saving import PictureActions, PictureSheet, source_of
from journal.desk.charts.zooming import CTRL, ZoomHand
from journal.desk.commands import Command
from journal.desk.compare.lanes import RIGHT, LaneMarks
from journal.desk.compare.values import ribbon_values
from journal.desk.scrollbars import quieten
from journal.desk.theme import RADIUS, SMALL, STEP, colours_of, font, scaled
from journal.desk.thumbnails import Thumbnails
from journal.reports.ribbons import (
    Lane,
    RibbonScene,
    position_text,
    scene_text,
    time_text,
    values_text,
)
from journal.wording import worded
from journal.wording.durations import from_start
from journal.wording.languages import translated
from journal.wording.readings import unit_text

HEAD, AXIS = 9 * STEP, 9 * STEP
_ROOMY, _CLOSE, _MINE = 19 * STEP, 15 * STEP, 25 * STEP  # px of a lane
_MANY = 8  # lanes from which on they lie closer
_PX_A_TICK = 70
LEGEND = (
    "Above a ribbon: warmer or colder than planned. Below: acidity, its targets met (filled) or "
    "missed (open). Numbers: minutes longer than planned."
)
_ACROSS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1, Qt.Key.Key_Home: -(10**6), Qt.Key.Key_End: 10**6}
_ALONG = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_STAGES = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}


class RibbonsView(QAbstractScrollArea):
    """Shows a RibbonScene; only lanes that are seen are drawn. `picked` carries the make of the
    selected lane, `opened` one whose curves are wanted, `removed` one to be taken out, `went`
    one whose code was clicked. `zoomed` says that another stretch is shown, `moved` that the
    pointer was pulled, `laid_out` that the lanes are as wide as they are."""

    picked = Signal(object)
    opened = Signal(object)
    removed = Signal(object)
    went = Signal(object)
    zoomed = Signal()
    moved = Signal()
    laid_out = Signal()

    _built = False  # Qt sends events while the base is made
    _dragged = False

    def __init__(
        self, file_of: Callable[[str], Path | None], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.scene = RibbonScene()
        self.lens = Lens()
        self.current = 0  # the number of the selected lane
        self.position: float | None = None
        self.open_ids: tuple[int, ...] = ()
        self._commands: Callable[[], Sequence[Command]] = tuple
        self._known: dict[tuple[int, str], Reduced] = {}
        self._file_of = file_of
        self._photos = Thumbnails(self)
        self._photos.came.connect(self.viewport().update)
        quieten(self)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(translated("Makes as ribbons"))
        self.pictures = PictureActions(self, "picture", self.sheet)
        self.viewport().setMouseTracking(True)
        self.hand = ZoomHand(self, self.viewport())
        self._built = True
        self._pressed: QPoint | None = None
        self._whole = Button("Show all", parent=self)
        self._whole.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # by keys it is Backspace
        self._whole.clicked.connect(self.show_all)
        self._whole.hide()
        palette = self.palette()
        palette.setColor(palette.ColorRole.Base, Qt.GlobalColor.transparent)
        self.setPalette(palette)
        self.setMinimumSize(
            QSize(110 * STEP, scaled(HEAD) + scaled(AXIS) + scaled(_MINE) + scaled(_CLOSE))
        )

    # Fill

    def show_scene(self, scene: RibbonScene) -> None:
        """Draw these ribbons; stays on the selected make."""
        here, before = self.lane(), self.scene
        self.scene = scene
        if scene.choice != before.choice or scene.zero != before.zero:
            self.lens.show_all()
        self.lens.set_range(scene.positions)
        ids = [lane.make_id for lane in scene.lanes]
        self.current = ids.index(here.make_id) if here and here.make_id in ids else 0
        if self.position is not None:
            self.position = min(max(self.position, scene.positions[0]), scene.positions[1])
        self.refresh()
        self._arrange()
        self._say()

    def refresh(self) -> None:
        """Draw what is shown of the axis now."""
        self._known.clear()
        self._whole.setVisible(self.lens.window is not None)
        size = self._whole.sizeHint()
        self._whole.setGeometry(
            self.viewport().width() - size.width() - 2 * STEP,
            self.height() - size.height(), size.width(), size.height(),
        )  # fmt: skip
        self.viewport().update()

    def show_all(self) -> None:
        """Show the whole day again."""
        self.lens.show_all()
        self.refresh()
        self.zoomed.emit()

    def show_values(self) -> None:
        """The stages of all makes as a table; a line that is entered is gone to."""
        from journal.desk.charts.values_dialog import ValuesDialog

        if self.scene.lanes:
            table = ribbon_values(self.scene)
            mine = (i for i, row in enumerate(table.rows) if row.key == self.current)
            shown = ValuesDialog(self.accessibleName(), table, next(mine, None), self.window())
            shown.picked.connect(self._on_row_picked)
            shown.open()

    @property
    def widget(self) -> QWidget:
        """The ribbons themselves."""
        return self

    def along(self, at: QPoint) -> float | None:
        """The position under a point."""
        return self.lanes_at().position(at.x()) if self.scene.lanes else None

    def shown_at(self) -> float | None:
        """The position the pointer stands at."""
        return self.position

    def stretch(self) -> tuple[Span, float]:
        """What is drawn of the axis, and over how many px."""
        left, right = self.edges()
        return self.lens.shown, right - left

    def edges(self) -> tuple[float, float]:
        """Between which px the lanes lie."""
        lanes = self.lanes_at()
        return lanes.left, lanes.right

    def has_values(self) -> bool:
        """There are ribbons."""
        return bool(self.scene.lanes)

    def show_open(self, ids: tuple[int, ...]) -> None:
        """Which makes are opened to their curves."""
        self.open_ids = ids
        self._arrange()

    def lane(self) -> Lane | None:
        """The selected lane."""
        lanes = self.scene.lanes
        return lanes[self.current] if self.current < len(lanes) else None

    def move_to(self, position: float | None) -> None:
        """Pull the pointer to a position; None takes it away."""
        low, high = self.scene.positions
        self.position = None if position is None else min(max(position, low), high)
        first, last = self.lens.shown
        if self.position is not None and not first <= self.position <= last:
            self.lens.pan(self.position - (first + last) / 2)
            self.refresh()
            self.zoomed.emit()
        self._say()
        self.moved.emit()

    @property
    def settled(self) -> bool:
        """All photos are there."""
        return not self._photos.pending

    def sheet(self) -> PictureSheet:
        """All ribbons as they are saved, those out of sight too."""
        whole = RibbonsView(self._file_of)
        whole.setPalette(self.palette())
        whole._photos = self._photos
        lanes = len(self.scene.lanes)
        whole.resize(
            self.width(),
            scaled(HEAD) + scaled(_MINE) + STEP + max(lanes - 1, 0) * self._high + scaled(AXIS),
        )
        whole.viewport().resize(whole.size())  # one that is never shown is not laid out
        whole.show_scene(self.scene)
        whole.lens.window = self.lens.window
        whole.move_to(self.position)

        kind = self.scene.lanes[0].course.acid.kind if lanes else "curd-ph"
        codes = [lane.ribbon.row.code for lane in self.scene.lanes[:1]]
        title = worded(
            "desk.ribbons-sheet", codes=codes, others=lanes - 1, lined_up=time_text(self.scene)
        )
        return PictureSheet(
            title, LEGEND, source_of(self, ("h:min", unit_text("milk-temp"), unit_text(kind))),
            whole.size(), painter_of(whole.drawn(), colours_of(self)), colours_of(self),
        )  # fmt: skip

    # Places on the page

    def lanes_at(self, wide: int | None = None) -> LaneMarks:
        """The lanes at this width, or another."""
        return LaneMarks(
            self.scene, self.lens.shown, wide or self.viewport().width(), self._photos,
            self._file_of, self._known,
        )  # fmt: skip

    @property
    def _mine_high(self) -> int:
        return scaled(_ROOMY) if self.open_ids else scaled(_MINE)

    @property
    def _high(self) -> int:
        return scaled(_CLOSE) if len(self.scene.lanes) > _MANY else scaled(_ROOMY)

    def lane_box(self, number: int) -> QRectF:
        """Where a lane lies; the make's own stays at the top."""
        wide = self.viewport().width()
        if number == 0:
            return QRectF(0, scaled(HEAD), wide, self._mine_high)
        top = (
            scaled(HEAD)
            + self._mine_high
            + STEP
            + (number - 1) * self._high
            - self.verticalScrollBar().value()
        )
        return QRectF(0, top, wide, self._high)

    def _others_box(self) -> QRect:
        top = scaled(HEAD) + self._mine_high + STEP
        return QRect(0, top, self.viewport().width(), self.viewport().height() - top - scaled(AXIS))

    def _arrange(self) -> None:
        room = max(self._others_box().height(), 1)
        whole = (len(self.scene.lanes) - 1) * self._high
        bar = self.verticalScrollBar()
        bar.setPageStep(room)
        bar.setSingleStep(self._high)
        bar.setRange(0, max(0, whole - room))
        self.viewport().update()
        self.laid_out.emit()

    def _number_at(self, y: float) -> int | None:
        if scaled(HEAD) <= y < scaled(HEAD) + self._mine_high:
            return 0
        if not self._others_box().contains(1, int(y)):
            return None
        past = y - scaled(HEAD) - self._mine_high - STEP + self.verticalScrollBar().value()
        number = 1 + int(past // self._high)
        return number if number < len(self.scene.lanes) else None

    # Drawing

    def paintEvent(self, _event: QPaintEvent) -> None:
        paint_scene(self.viewport(), self.drawn(), colours_of(self))

    def drawn(self) -> Scene:
        """The lanes that are to be seen, over the axis."""
        if not self.scene.lanes:
            return Scene()
        lanes, others = self.lanes_at(), self._others_box()
        first = max(1, 1 + self.verticalScrollBar().value() // self._high)
        last = min(first + others.height() // self._high + 2, len(self.scene.lanes))
        seen, clip = range(first, last), QRectF(others)
        lower = [mark for number in seen for mark in self._lane_marks(lanes, number)]
        marks = [*self._axis_marks(lanes), *self._lane_marks(lanes, 0), Scene(lower, clip=clip)]
        low, high = self.lens.shown
        if self.position is not None and low <= self.position <= high:
            marks += self._pointer_marks(lanes)
            marks.append(Scene([one for n in seen for one in self._values(lanes, n)], clip=clip))
        return Scene(marks)

    def _lane_marks(self, lanes: LaneMarks, number: int) -> list[Mark]:
        lane, box = self.scene.lanes[number], self.lane_box(number)
        left, right, top, foot = box.left(), box.right(), box.top(), box.bottom()
        marks: list[Mark] = []
        if number == 0:
            marks.append(BoxMark((left + 4, right - 4), (top, foot), "chosen", rounded=RADIUS))
        if number == self.current and self.hasFocus():
            marks.append(BoxMark((4, 7), (top + 8, foot - 8), "ink"))
        if lane.make_id in self.open_ids:
            across, down = (left + 4.5, right - 4.5), (top + 1.5, foot - 1.5)
            marks.append(BoxMark(across, down, edge="ink", rounded=RADIUS))
        return [*marks, *lanes.marks(lane, box)]

    def _axis_marks(self, lanes: LaneMarks) -> list[Mark]:
        low, high = self.lens.shown
        bottom, head = self.viewport().height() - scaled(AXIS), scaled(HEAD) / 2
        edge = lanes.right + scaled(RIGHT)
        marks: list[Mark] = [
            TextMark(4 * STEP, head, translated("make")),
            TextMark(edge - 6, head, translated("score"), align=RIGHT_ALIGNED),
        ]  # fmt: skip
        if lanes.has_cut:
            marks.append(TextMark(edge + 4, head, "cut"))
        step = natural_step(high - low, (lanes.right - lanes.left) / scaled(_PX_A_TICK))
        for number in range(math.ceil(low / step), math.floor(high / step) + 1):
            x = lanes.x.at(number * step)
            box = QRectF(x - scaled(40), bottom + 4, scaled(80), scaled(AXIS) - 8)
            if not (self._whole.isVisible() and box.intersects(QRectF(self._whole.geometry()))):
                marks.append(TextMark(x, box.center().y(), from_start(number * step), align=MIDDLE))
        if low <= 0 <= high:
            x = lanes.x.at(0.0)
            words = self.scene.zero or time_text(self.scene)
            if self.position is None:
                marks.append(_at_head(lanes, x, words, "planned"))
            if self.scene.zero:
                marks.append(LineMark((x, x), (scaled(HEAD) - 4, bottom), "planned", 1.2, "fine"))
        return marks

    def _pointer_marks(self, lanes: LaneMarks) -> list[Mark]:
        """The line of the pointer, and beside it what was read of the make's own lane there."""
        position = self.position or 0.0
        x, bottom = lanes.x.at(position), self.viewport().height() - scaled(AXIS)
        line = LineMark((x, x), (scaled(HEAD) - 6, bottom), "ink")
        words = _at_head(lanes, x, position_text(self.scene, position), "ink", bold=True)
        return [line, words, *self._values(lanes, 0)]

    def _values(self, lanes: LaneMarks, number: int) -> list[Mark]:
        position = self.position or 0.0
        words, x = values_text(self.scene.lanes[number], position), lanes.x.at(position)
        if not words:
            return []
        bold = number == 0
        metrics = QFontMetricsF(font(SMALL, bold=bold))
        wide, high = metrics.horizontalAdvance(words) + 10, metrics.height() + 2
        left = x - wide - 5 if x > (lanes.left + lanes.right) / 2 else x + 5
        top = self.lane_box(number).top() + 2
        box = BoxMark((left, left + wide), (top, top + high), "field", "hairline", rounded=RADIUS)
        return [box, TextMark(left + wide / 2, top + high / 2, words, "ink", MIDDLE, bold=bold)]

    # Handlers

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done with the ribbon under the pointer, or the one that the keys are on."""
        at = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Mouse:
            number = self._number_at(event.pos().y())
            if number is not None:
                self._select(number)
        else:
            box = self.lane_box(self.current)
            at = self.viewport().mapToGlobal(QPointF(self.width() / 3, box.center().y()).toPoint())
        on_it = self._commands() if self.lane() is not None else ()
        self.pictures.show_menu(at, [*on_it, *self.hand.commands()])

    def offer(self, commands: Callable[[], Sequence[Command]]) -> None:
        """Put these into the menu of a ribbon; they act on the selected ribbon."""
        self._commands = commands

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        lane = self.lane()
        fine = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if self._zooms(key, fine=fine) and self.hand.key(event):
            return
        if event.modifiers() & ~(Qt.KeyboardModifier.KeypadModifier
                                 | Qt.KeyboardModifier.ShiftModifier):  # fmt: skip
            super().keyPressEvent(event)
        elif key in _ACROSS:
            self._select(self.current + _ACROSS[Qt.Key(key)])
        elif key in _ALONG:
            self._move(_ALONG[Qt.Key(key)] * (1.0 if fine else self._step()))
        elif key in _STAGES:
            self._to_stage(_STAGES[Qt.Key(key)])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and lane is not None:
            self.opened.emit(lane.make_id)
        elif key == Qt.Key.Key_Delete and lane is not None:
            if not lane.mine:
                self.removed.emit(lane.make_id)
        elif key == Qt.Key.Key_Escape and self.position is not None:
            self.move_to(None)
        else:
            super().keyPressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        here = event.position().toPoint()
        if self._pressed is not None:
            away = here - self._pressed
            if self._dragged or away.manhattanLength() >= QApplication.startDragDistance():
                self._dragged = self.hand.drag(away.x())
                if self._dragged:
                    return
        lanes = self.lanes_at()
        if self.scene.lanes and lanes.left - 4 <= here.x() <= lanes.right + 4:
            self.move_to(lanes.position(here.x()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus()
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed, self._dragged = event.position().toPoint(), False
            self.hand.hold()
        number = self._number_at(event.position().y())
        if number is not None:
            self._select(number)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        pressed, self._pressed = self._pressed, None
        self.viewport().unsetCursor()
        number = self._number_at(event.position().y())
        on_code = event.position().x() < self.edges()[0] - STEP
        if pressed is not None and not self._dragged and on_code and number is not None:
            self.went.emit(self.scene.lanes[number].make_id)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """With Ctrl, or where all lanes are in sight, the wheel zooms; else the lanes scroll."""
        if event.modifiers() & CTRL or self.verticalScrollBar().maximum() == 0:
            self.hand.wheel(event)
        else:
            super().wheelEvent(event)

    def viewportEvent(self, event: QEvent) -> bool:
        return (self._built and self.hand.gesture(event)) or super().viewportEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        number = self._number_at(event.position().y())
        if number is not None:
            self.opened.emit(self.scene.lanes[number].make_id)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.refresh()
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        self.viewport().update()

    def _zooms(self, key: int, *, fine: bool) -> bool:
        """The key zooms or moves; Shift with an arrow is the pointer's while all is shown."""
        if key in _STAGES or (key in _ALONG and not (fine and self.hand.is_zoomed())):
            return False
        return key not in (Qt.Key.Key_Return, Qt.Key.Key_Enter) or fine

    def _step(self) -> float:
        """How far one key press moves the pointer."""
        low, high = self.lens.shown
        return 5.0 if high - low > 120 else 1.0

    def _on_row_picked(self, row: int) -> None:
        picked = ribbon_values(self.scene).rows[row]
        self.setFocus()
        self._select(int(str(picked.key)))
        self.move_to(picked.x)

    def _select(self, number: int) -> None:
        if not self.scene.lanes:
            return
        self.current = min(max(number, 0), len(self.scene.lanes) - 1)
        self._show_current()
        self._say()
        self.picked.emit(self.scene.lanes[self.current].make_id)

    def _show_current(self) -> None:
        if self.current == 0:
            return
        bar, room = self.verticalScrollBar(), self._others_box().height()
        top = (self.current - 1) * self._high
        bar.setValue(min(max(bar.value(), top + self._high - room), top))

    def _move(self, minutes: float) -> None:
        low, high = self.scene.positions
        start = self.position if self.position is not None else max(low, min(0.0, high))
        self.move_to(start + minutes if self.position is not None else start)

    def _to_stage(self, way: int) -> None:
        """Pull the pointer to the begin of the next stage of the selected lane."""
        lane = self.lane()
        if lane is None:
            return
        here = self.position if self.position is not None else self.scene.positions[0] - 1
        begins = sorted(float(lane.axis.to_position(s.begin)) for s in lane.course.stages)
        ahead = [b for b in begins if (b - here) * way > 1e-6]
        if ahead:
            self.move_to(ahead[0] if way > 0 else ahead[-1])

    def _say(self) -> None:
        self.setAccessibleDescription(scene_text(self.scene, self.position))
        self.viewport().update()


def _at_head(lanes: LaneMarks, x: float, words: str, role: str, *, bold: bool = False) -> TextMark:
    """Words over the lanes about a px, as near as they fit."""
    wide = QFontMetricsF(font(SMALL, bold=bold)).horizontalAdvance(words)
    left = min(max(x - wide / 2, lanes.left), lanes.right - wide)
    return TextMark(left, scaled(HEAD) / 2, words, role, bold=bold)
