"""The left page of Room: the shelves, and below them what can be done to the wheel at hand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import QEvent, QObject, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button, WordButton
from journal.desk.fields import TextLine, TypedField
from journal.desk.form.ask import AskRow
from journal.desk.labels import Hairline, Label, draw_triangle
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TEXT, TITLE, colours_of, font
from journal.reports.wheels import ShelfRow, need_words
from journal.wording.ages import age_words
from journal.wording.care import care_name
from journal.wording.dates import relative_day
from journal.wording.letters import capital

# A letter for each care; weighing has its field, moving its line.
CARE_KEYS = (
    ("turn", "T"), ("rub", "R"), ("brush", "B"), ("oil", "O"), ("bandage", "D"), ("wax", "W"),
    ("pierce", "P"), ("wrap", "F"),
)  # fmt: skip
MOVE_KEY, GONE_KEY = "V", "G"
_NUMERIC = "0123456789½¼¾.,"


class ShelfPage(QWidget):
    """Shows the rows; what is asked for leaves as signals."""

    picked = Signal(object)
    opened = Signal(object)
    weighed = Signal(object)
    cared = Signal(str)
    act_asked = Signal()
    move_asked = Signal()
    gone_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.count = Label("", role="quiet")
        self.table = RowsView(
            "Wheels",
            (
                Column("room", _room, quiet=True),
                Column("wheel", _code, bold=True),
                Column("age", _age, right=True, quiet=True, sort=_days, spare=True),
                Column("kg", _weight, right=True),
                Column("needs", _needs, stretch=True, draw=self._draw_needs),
                Column("when", _when, right=True, draw=self._draw_when, sort=_due),
            ),
            takes=_NUMERIC.__contains__,
            findable=_found_by,
        )
        self.field = TypedField("Weight", "mass", "kg")
        self.act = Button("", MAIN, "Ctrl ⏎")
        self.mover = AskRow()
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
        self.mover.closed.connect(self.table.setFocus)

    def _build(self) -> None:
        head = QHBoxLayout()
        head.addWidget(Label("Ageing", TITLE, bold=True))
        head.addStretch(1)
        head.addWidget(self.count, 0, Qt.AlignmentFlag.AlignBottom)
        column = QVBoxLayout(self)
        column.setContentsMargins(5 * STEP, 5 * STEP, 4 * STEP, 4 * STEP)
        column.setSpacing(2 * STEP)
        column.addLayout(_inset(head))
        column.addWidget(self.table, 1)
        column.addWidget(Hairline())
        column.addLayout(_inset(self._foot()))
        column.addLayout(_inset(self._cares()))
        below = QHBoxLayout()
        below.addWidget(self.mover)
        column.addLayout(_inset(below))

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(4 * STEP)
        self.field.setFixedWidth(46 * STEP)
        row.addWidget(self.field, 0, Qt.AlignmentFlag.AlignTop)
        beside = QVBoxLayout()
        beside.setSpacing(STEP)
        beside.addWidget(Label(" "))  # as high as the field's title
        beside.addWidget(self.act, 0, Qt.AlignmentFlag.AlignLeft)
        beside.addStretch(1)
        row.addLayout(beside)
        row.addStretch(1)
        for kind, key in (("move", MOVE_KEY), ("gone", GONE_KEY)):
            row.addWidget(self._word(kind, key), 0, Qt.AlignmentFlag.AlignBottom)
        return row

    def _cares(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(3 * STEP)
        for kind, key in CARE_KEYS:
            row.addWidget(self._word(kind, key))
        row.addStretch(1)
        return row

    def _word(self, kind: str, key: str) -> WordButton:
        word = WordButton(f"{key} {kind}", size=SMALL)
        word.setAccessibleName(f"{kind}, key {key}")
        word.setProperty("kind", kind)
        word.clicked.connect(self._on_word)
        self.words.append(word)
        return word

    @property
    def line(self) -> TextLine:
        """The line in which the room is typed that a wheel is moved to."""
        return self.mover.lines[0]

    # Fill

    def show_rows(self, rows: Sequence[ShelfRow], wheel_id: int | None) -> None:
        """Show these wheels, standing on the one of that id where it is among them."""
        self.table.blockSignals(True)
        self.table.show_rows(rows)
        self.table.stand_on(lambda row: row.wheel_id == wheel_id)
        self.table.blockSignals(False)
        wanting = sum(row.wants for row in rows)
        wants = f", {wanting} to do today" if wanting else ""
        self.count.setText(f"{len(rows)} wheel{'s' * (len(rows) != 1)}{wants}")
        self._on_picked(self.current())

    def current(self) -> ShelfRow | None:
        """The wheel one stands on."""
        return self.table.current()

    def rows(self) -> list[ShelfRow]:
        """The wheels shown."""
        return self.table.rows_model.rows

    def select(self, wheel_id: int) -> None:
        """Go to a wheel."""
        self.table.go_to(lambda row: row.wheel_id == wheel_id)

    # Handlers

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return False
        if watched is self.field.line:
            if event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
                self.table.keyPressEvent(event)
                return True
            if event.key() == Qt.Key.Key_Escape:
                self.field.clear_text()
                self.table.setFocus()
                return True
        return False

    def _on_picked(self, row: ShelfRow | None) -> None:
        self.picked.emit(row)
        if row is None:
            return
        self.field.set_kind(f"Weight of {row.code}", "mass", "kg")
        due = row.next
        self.act.setEnabled(due is not None)
        self.act.set_words(
            "No care scheduled" if due is None else act_words(due.kind),
            "" if due is None else "Ctrl ⏎",
        )

    def _on_typed(self, text: str) -> None:
        self.field.line.setFocus()
        self.field.line.insert(text)

    def _on_word(self) -> None:
        kind = self.sender().property("kind")
        if kind == "move":
            self.move_asked.emit()
        elif kind == "gone":
            self.gone_asked.emit()
        else:
            self.cared.emit(kind)

    def _draw_needs(self, painter: QPainter, rect: QRect, row: ShelfRow) -> None:
        c = colours_of(self)
        box = rect.adjusted(3 * STEP, 0, -STEP, 0)
        if row.late_days > 0 or row.life.verdict:
            draw_triangle(painter, box.left(), box.center().y() - 5, 12, c.attention)
        box.setLeft(box.left() + 5 * STEP)
        painter.setFont(font(TEXT, bold=row.wants))
        painter.setPen(c.ink if row.wants else c.quiet)
        _draw(painter, box, _needs(row), Qt.AlignmentFlag.AlignLeft)

    def _draw_when(self, painter: QPainter, rect: QRect, row: ShelfRow) -> None:
        c = colours_of(self)
        painter.setFont(font(TEXT))
        painter.setPen(c.attention if row.late_days > 0 else (c.ink if row.wants else c.quiet))
        box = rect.adjusted(STEP, 0, -3 * STEP, 0)
        _draw(painter, box, _when(row), Qt.AlignmentFlag.AlignRight)


def act_words(kind: str) -> str:
    """What the main button says for a thing a wheel needs."""
    if kind == "weigh":
        return "Weigh it"
    return "Taste it" if kind == "taste" else f"{capital(care_name(kind))}: done"


def _draw(painter: QPainter, box: QRect, text: str, side: Qt.AlignmentFlag) -> None:
    shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, box.width())
    painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter, shown)


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
    return "" if row.life.weight_kg is None else f"{row.life.weight_kg:.2f}"


def _needs(row: ShelfRow) -> str:
    if row.life.verdict:
        return "do not eat"
    return "" if row.next is None else need_words(row.next)


def _when(row: ShelfRow) -> str:
    return "" if row.next is None else relative_day(row.next.on, row.today)
