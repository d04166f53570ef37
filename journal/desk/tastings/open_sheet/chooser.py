"""Choosing the wheel to taste: every wheel, narrowed by typing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.fields import FieldFrame, TextLine
from journal.desk.labels import Label
from journal.desk.scrollbars import quieten
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, TITLE
from journal.keeping.sessions import WheelRow
from journal.records.dates import age_days
from journal.records.instants import local
from journal.wording.ages import age_words
from journal.wording.dates import month_name

_STEPS: dict[int, int] = {
    Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: 10, Qt.Key.Key_PageUp: -10,
}  # fmt: skip


@dataclass(frozen=True)
class WheelChoice:
    """A wheel as it is listed: its row, its age now, and the words it is found by."""

    row: WheelRow
    days: float
    found_by: str


def choices(rows: Sequence[WheelRow], now_ms: int) -> list[WheelChoice]:
    """The list: wheels that are there, newest make first, then those that are gone."""
    made = [_choice(row, now_ms) for row in rows]
    return [c for c in made if not c.row.gone] + [c for c in made if c.row.gone]


class Chooser(QWidget):
    """A line and a list. `stood` carries the WheelRow one stands on, `chosen` the one entered;
    `left` asks to go back to the sheet."""

    stood = Signal(object)
    chosen = Signal(object)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._all: list[WheelChoice] = []
        self.line = TextLine(name="Which wheel", hint="type a code, a plan or a month")
        self.table = RowsView("Wheels", COLUMNS)
        quieten(self.table)
        self.setFocusProxy(self.line)
        self._build()
        self.line.textChanged.connect(self._on_text)
        self.line.installEventFilter(self)
        self.table.picked.connect(self._on_picked)
        self.table.opened.connect(self._on_opened)

    def show_choices(self, found: Sequence[WheelChoice]) -> None:
        """List these wheels."""
        self._all = list(found)
        self._on_text(self.line.text())

    def select(self, wheel_id: int) -> None:
        """Go to a wheel, when it is listed."""
        rows = self.table.rows_model.rows
        at = next((i for i, choice in enumerate(rows) if choice.row.id == wheel_id), None)
        if at is not None:
            self.table.select(at)

    def current(self) -> WheelRow | None:
        """The wheel one stands on."""
        choice = self.table.current()
        return choice.row if choice is not None else None

    def _build(self) -> None:
        self.none = Label("", role="quiet", wrap=True)
        self.none.hide()
        head = QVBoxLayout()
        head.setContentsMargins(3 * STEP, 0, 3 * STEP, 3 * STEP)
        head.setSpacing(3 * STEP)
        head.addWidget(Label("Choose a wheel", TITLE, bold=True, wrap=True))
        head.addWidget(FieldFrame(self.line, 10 * STEP))
        head.addWidget(self.none)
        column = QVBoxLayout(self)  # the tint of a row reaches past the margin, its words do not
        column.setContentsMargins(5 * STEP, 5 * STEP, 5 * STEP, 6 * STEP)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.table, 1000)
        column.addStretch(1)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return False
        row, last = self.table.currentIndex().row(), len(self.table.rows_model.rows) - 1
        key = event.key()
        step = _STEPS.get(key)
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if step is not None and last >= 0:
            self.table.select(min(max(row + step, 0), last))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            self.take()
        elif key == Qt.Key.Key_Escape and self.line.text():
            self.line.clear()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            return False
        return True

    def take(self) -> None:
        """Choose the wheel one stands on."""
        row = self.current()
        if row is not None:
            self.chosen.emit(row)

    def _on_text(self, text: str) -> None:
        wanted = text.lower().split()
        found = [c for c in self._all if all(word in c.found_by for word in wanted)]
        self.table.show_rows(found)
        self.table.setVisible(bool(found))
        self.none.setVisible(not found)
        self.none.setText(f"No wheel matches “{text}”. Esc shows all." if text else "")

    def _on_picked(self, choice: WheelChoice) -> None:
        self.stood.emit(choice.row)

    def _on_opened(self, choice: WheelChoice) -> None:
        self.chosen.emit(choice.row)


def _choice(row: WheelRow, now_ms: int) -> WheelChoice:
    made = local(row.started_ms, row.zone)
    words = f"{row.code} {row.plan} {month_name(made)} {made.year}"
    return WheelChoice(row, age_days(row.started_ms, now_ms), words.lower())


def _code(choice: WheelChoice) -> str:
    return choice.row.code


def _plan(choice: WheelChoice) -> str:
    return choice.row.plan


def _age(choice: WheelChoice) -> str:
    return "gone" if choice.row.gone else age_words(choice.days)


def _days(choice: WheelChoice) -> float:
    return choice.days


def _tasted(choice: WheelChoice) -> str:
    if choice.row.verdict or choice.row.failed:
        return "▲ do not eat" if choice.row.verdict else "▲ failed"
    count = choice.row.tasted
    return "not yet" if count == 0 else ("once" if count == 1 else f"{count} times")


COLUMNS = (
    Column("wheel", _code),
    Column("plan", _plan, quiet=True, stretch=True),
    Column("age", _age, right=True, sort=_days),
    Column("tasted", _tasted, right=True, quiet=True),
)
