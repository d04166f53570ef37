"""The left page of Ageing: the shelves, drawn or as a list, and below them what can be done to the
selected wheel, or to its whole shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button, WordButton
from journal.desk.cells import EDGE, cell_text
from journal.desk.charts.marks import Mark, TriangleMark
from journal.desk.form.ask import AskRow
from journal.desk.form.form import Form, FormSpec
from journal.desk.form.line_field import TextLine
from journal.desk.form.readers import QuantityField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import WrappedRow
from journal.desk.room.rack import Rack
from journal.desk.scrollbars import scrolled
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TITLE, scaled
from journal.desk.week import WeekStrip
from journal.reports.shelves import Shelf
from journal.reports.wheels import ShelfRow
from journal.wording import worded
from journal.wording.ages import age_words, relative_day
from journal.wording.care import care_act_words, care_name
from journal.wording.key_uses import CARE_LETTERS
from journal.wording.keys import key_of
from journal.wording.languages import translated
from journal.wording.shown import shown_figure, shown_unit, unit_label
from journal.wording.wheels import wheel_need_words

_OTHERS = ("move", "gone", "record", "air")  # beside the cares
_NUMERIC = "0123456789½¼¾.,"
_TALL = 150 * STEP  # px; a lower page does without the coming week


class ShelfPage(QWidget):
    """Shows the rows; what is asked for leaves as signals."""

    picked = Signal(object)
    opened = Signal(object)
    weighed = Signal(object)
    cared = Signal(str)
    act_asked = Signal()
    shelf_act_asked = Signal()
    move_asked = Signal()
    gone_asked = Signal()
    record_asked = Signal()
    air_asked = Signal()
    list_asked = Signal()

    def __init__(self, sensors: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sensors = sensors
        self._shelves: list[Shelf] = []
        self._now_ms = 0
        self.count = Label("", role="quiet")
        self.table = RowsView(
            "Wheels",
            (
                Column("room", _room, quiet=True),
                Column("wheel", _code, bold=True),
                Column("age", _age, right=True, quiet=True, sort=_days, spare=True),
                Column(unit_label("mass"), _weight, right=True),
                Column("needs", _needs, stretch=True, marks=_needs_marks),
                Column("when", _when, right=True, marks=_when_marks, sort=_due),
            ),
            takes=_NUMERIC.__contains__,
            findable=_found_by,
        )
        self.rack = Rack(_NUMERIC.__contains__)
        weight = Field("weight", "Weight", "mass", "kg")
        self.field = QuantityField(weight, FieldContext(self))
        self.act = Button("", MAIN, "main")
        self.shelf_act = Button("", key="larger_act")
        self.acts = WrappedRow(2 * STEP, STEP)
        self.turn_list = WordButton(_with_key("list", "list"), size=SMALL)
        self.week = WeekStrip()
        self.mover = AskRow()
        self.form = Form(self)
        self.words: list[WordButton] = []
        self._connect()
        self._build()

    def _connect(self) -> None:
        self.table.picked.connect(self._on_picked)
        self.table.opened.connect(self.opened)
        self.table.typed_over.connect(self._on_typed)
        self.field.entered.connect(self.weighed)
        self.field.line.installEventFilter(self)
        self.act.clicked.connect(self.act_asked)
        self.shelf_act.clicked.connect(self.shelf_act_asked)
        self.turn_list.clicked.connect(self.list_asked)
        self.mover.closed.connect(self.focus_wheels)
        self.form.closed.connect(self._on_form_closed)
        self.rack.selected.connect(self.select)
        self.rack.opened.connect(self._on_rack_opened)
        self.rack.typed.connect(self._on_typed)
        self.rack.menu_asked.connect(self._on_menu)
        self.table.narrowed.connect(self._show_rack)

    def _build(self) -> None:
        head = QHBoxLayout()
        head.addWidget(Label(translated("Ageing"), TITLE, bold=True))
        head.addStretch(1)
        head.addWidget(self.count, 0, Qt.AlignmentFlag.AlignVCenter)
        head.addSpacing(3 * STEP)
        head.addWidget(self.turn_list, 0, Qt.AlignmentFlag.AlignVCenter)
        column = QVBoxLayout(self)
        column.setContentsMargins(5 * STEP, 5 * STEP, 4 * STEP, 4 * STEP)
        column.setSpacing(2 * STEP)
        column.addLayout(_inset(head))
        column.addWidget(self._sensors)
        self.views = QStackedWidget()
        self.racks = scrolled(self.rack)
        self.racks.viewport().installEventFilter(self)
        self.views.addWidget(self.racks)
        self.views.addWidget(self.table)
        column.addWidget(self.views, 1)
        column.addWidget(Hairline())
        self.foot = QWidget()
        foot = QVBoxLayout(self.foot)
        foot.setContentsMargins(0, 0, 0, 0)
        foot.setSpacing(2 * STEP)
        foot.addLayout(_inset(self._foot()))
        cares = QHBoxLayout()
        cares.addWidget(self._cares())
        foot.addLayout(_inset(cares))
        foot.addWidget(self.week)
        column.addWidget(self.foot)
        column.addWidget(self.form)
        below = QHBoxLayout()
        below.addWidget(self.mover)
        column.addLayout(_inset(below))

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(3 * STEP)
        self.field.setFixedWidth(scaled(44 * STEP))
        row.addWidget(self.field, 0, Qt.AlignmentFlag.AlignTop)
        beside = QVBoxLayout()
        beside.setSpacing(STEP)
        beside.addWidget(Label(" "))  # as high as the field's title
        beside.addWidget(self.acts)
        beside.addStretch(1)
        row.addLayout(beside, 1)
        return row

    def _cares(self) -> WrappedRow:
        row = WrappedRow(3 * STEP)
        cares = [self._word(kind, f"care_{kind}") for kind in CARE_LETTERS]
        row.show_row([*cares, *(self._word(kind, kind) for kind in _OTHERS)])
        return row

    def _word(self, kind: str, use: str) -> WordButton:
        word = WordButton(_with_key(use, care_name(kind)), size=SMALL)
        name, key = care_name(kind), key_of(use)
        word.setAccessibleName(worded("desk.with-key", words=name, key=key) if key else name)
        word.setProperty("kind", kind)
        word.clicked.connect(self._on_word)
        self.words.append(word)
        return word

    @property
    def line(self) -> TextLine:
        """The line in which the room is typed that a wheel is moved to."""
        return self.mover.lines[0]

    # Fill

    @property
    def listed(self) -> bool:
        """The wheels are shown as a list, not as shelves."""
        return self.views.currentIndex() == 1

    def show_list(self, listed: bool) -> None:
        """Show the wheels as a list, or on their shelves."""
        self.views.setCurrentIndex(int(listed))
        self.turn_list.setText(_with_key("list", "shelves" if listed else "list"))
        self.focus_wheels()

    def focus_wheels(self) -> None:
        """Give the wheels the keys."""
        (self.table if self.listed else self.rack).setFocus()

    def show_rows(
        self, rows: Sequence[ShelfRow], wheel_id: int | None, shelves: Sequence[Shelf], now_ms: int
    ) -> None:
        """Show these wheels and shelves, standing on the one of that id where it is among them."""
        self._shelves, self._now_ms = list(shelves), now_ms
        self.table.blockSignals(True)
        self.table.show_rows(rows)
        self.table.select_where(lambda row: row.wheel_id == wheel_id)
        self.table.blockSignals(False)
        wanting = sum(row.wants for row in rows)
        which = "desk.wheels-to-do" if wanting else "wording.many-wheel"
        self.count.setText(worded(which, number=len(rows), wanting=wanting))
        self._show_rack()
        self._on_picked(self.current())

    def current_shelf(self) -> Shelf | None:
        """The shelf of the selected wheel."""
        row = self.current()
        return next((s for s in self._shelves if row is not None and row in s.rows), None)

    def _show_rack(self) -> None:
        shown = set(map(id, self.rows()))
        shelves = [
            replace(shelf, rows=tuple(row for row in shelf.rows if id(row) in shown))
            for shelf in self._shelves
        ]
        row = self.current()
        self.rack.show_shelves(shelves, None if row is None else row.wheel_id, self._now_ms)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.week.setVisible(event.size().height() >= _TALL)

    def current(self) -> ShelfRow | None:
        """The selected wheel."""
        return self.table.current()

    def rows(self) -> list[ShelfRow]:
        """The wheels shown."""
        return self.table.rows_model.rows

    def select(self, wheel_id: int) -> None:
        """Go to a wheel."""
        self.table.go_to(lambda row: row.wheel_id == wheel_id)

    # Handlers

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and watched is self.racks.viewport():
            self._bring_in_sight()  # what stands above or below it took or gave room
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return False
        if watched is self.field.line:
            if event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
                self.table.keyPressEvent(event)
                return True
            if event.key() == Qt.Key.Key_Escape:
                self.field.clear_text()
                self.focus_wheels()
                return True
        return False

    def _on_picked(self, row: ShelfRow | None) -> None:
        self.picked.emit(row)
        if row is None:
            return
        self.field.set_kind(worded("desk.weight-of", code=row.code), "mass", shown_unit("mass").key)
        due = row.next
        self.act.setEnabled(due is not None)
        self.act.set_label(
            worded("wording.no-care") if due is None else care_act_words(due.kind),
            "" if due is None else "main",
        )
        self.rack.select_wheel(row.wheel_id)
        self._say_shelf(row)
        self._bring_in_sight()

    def _bring_in_sight(self) -> None:
        """Scroll to the selected wheel, with the words under it."""
        row = self.current()
        seat = None if row is None else self.rack.slot_of(row.wheel_id)
        if seat is not None:
            spot, half = seat.box.center(), round(seat.box.height() / 2)
            self.racks.ensureVisible(round(spot.x()), round(spot.y()), 0, half)

    def _say_shelf(self, row: ShelfRow) -> None:
        """What can be done to the whole shelf: its own button, where that is more than one."""
        shelf = self.current_shelf()
        kind = "" if shelf is None else shelf.errand(row)
        wanting = shelf.wanting(kind) if shelf is not None else []
        several = len(wanting) > 1
        if several and shelf is not None:
            which = "desk.care-in-room" if shelf.room_id is not None else "desk.care-without-room"
            self.shelf_act.set_label(
                worded(which, care=care_name(kind), wheels=len(wanting), room=shelf.name),
                "larger_act",
            )
        self.shelf_act.hide()
        self.acts.show_row([self.act, self.shelf_act] if several else [self.act])

    def _on_rack_opened(self) -> None:
        row = self.current()
        if row is not None:
            self.opened.emit(row)

    def _on_menu(self, spot: QPoint) -> None:
        menu = self.table.menu()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(spot)

    def _on_form_closed(self) -> None:
        self.foot.show()
        self.focus_wheels()

    def ask(self, spec: FormSpec) -> None:
        """Ask in the form, which stands where the acts are."""
        self.foot.hide()
        self.form.show_form(spec)

    def _on_typed(self, text: str) -> None:
        self.field.line.setFocus()
        self.field.line.insert(text)

    def _on_word(self) -> None:
        kind = self.sender().property("kind")
        if kind == "move":
            self.move_asked.emit()
        elif kind == "gone":
            self.gone_asked.emit()
        elif kind == "record":
            self.record_asked.emit()
        elif kind == "air":
            self.air_asked.emit()
        else:
            self.cared.emit(kind)


def _with_key(use: str, words: str) -> str:
    return f"{key_of(use)} {translated(words)}".lstrip()


def _needs_marks(row: ShelfRow, wide: float, high: float) -> list[Mark]:
    role = "ink" if row.wants else "quiet"
    left = EDGE + 5 * STEP
    words = cell_text(_needs(row), wide, high, role, bold=row.wants, left=left, edge=STEP)
    late = row.late_days > 0 or row.life.verdict
    return [words, TriangleMark(EDGE, high / 2 - 6, 12)] if late else [words]


def _when_marks(row: ShelfRow, wide: float, high: float) -> list[Mark]:
    role = "attention" if row.late_days > 0 else "ink" if row.wants else "quiet"
    return [cell_text(_when(row), wide, high, role, right=True, left=STEP)]


def _inset(row: QHBoxLayout) -> QHBoxLayout:
    row.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
    return row


def _room(row: ShelfRow) -> str:
    return row.room if row.first else ""


def _found_by(row: ShelfRow) -> str:
    return " ".join((row.room, row.code, age_words(row.age_days), _needs(row), _when(row)))


def _code(row: ShelfRow) -> str:
    return row.code


def _age(row: ShelfRow) -> str:
    return age_words(row.age_days)


def _days(row: ShelfRow) -> float:
    return row.age_days


def _due(row: ShelfRow) -> date:
    return date.max if row.next is None else row.next.on


def _weight(row: ShelfRow) -> str:
    kg = row.life.weight_kg
    return "" if kg is None else shown_figure(kg, "mass", 2)


def _needs(row: ShelfRow) -> str:
    if row.life.verdict:
        return worded("wording.make-do-not-eat")
    return "" if row.next is None else wheel_need_words(row.next)


def _when(row: ShelfRow) -> str:
    return "" if row.next is None else relative_day(row.next.on, row.today)
