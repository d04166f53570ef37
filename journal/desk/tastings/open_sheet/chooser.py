"""Choosing the wheel to taste: every wheel, narrowed by typing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.form.filter_line import FilterLine
from journal.desk.form.frame import arrange_list
from journal.desk.labels import Label
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, TITLE
from journal.keeping.session_rows import WheelRow
from journal.records.dates import age_days
from journal.records.instants import local
from journal.wording import worded
from journal.wording.ages import age_words
from journal.wording.dates import month_name


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
    """A line and a list. `selected` carries the selected WheelRow, `chosen` the one entered;
    `left` asks to go back to the sheet."""

    selected = Signal(object)
    chosen = Signal(object)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        hint = "type a code, a plan or a month"
        self.filter = FilterLine("Which wheel", hint, "No wheel", 10 * STEP)
        self.line, self.none = self.filter.line, self.filter.none
        self.table = RowsView("Wheels", COLUMNS, findable=_found_by, filter_line=self.filter)
        self.setFocusProxy(self.line)
        head = Label("Choose a wheel", TITLE, bold=True, wrap=True), self.filter
        arrange_list(self, head, self.table)
        self.filter.left.connect(self.left)
        self.table.picked.connect(self._on_picked)
        self.table.opened.connect(self._on_opened)

    def show_choices(self, found: Sequence[WheelChoice]) -> None:
        """List these wheels."""
        self.table.show_rows(found)

    def select(self, wheel_id: int) -> None:
        """Go to a wheel, when it is listed."""
        self.table.select_where(lambda choice: choice.row.id == wheel_id)

    def current(self) -> WheelRow | None:
        """The selected wheel."""
        choice = self.table.current()
        return choice.row if choice is not None else None

    def take(self) -> None:
        """Choose the selected wheel."""
        row = self.current()
        if row is not None:
            self.chosen.emit(row)

    def _on_picked(self, choice: WheelChoice) -> None:
        self.selected.emit(choice.row)

    def _on_opened(self, choice: WheelChoice) -> None:
        self.chosen.emit(choice.row)


def _choice(row: WheelRow, now_ms: int) -> WheelChoice:
    made = local(row.started_ms, row.zone)
    words = f"{row.code} {row.plan} {month_name(made)} {made.year}"
    return WheelChoice(row, age_days(row.started_ms, now_ms), words.lower())


def _found_by(choice: WheelChoice) -> str:
    return choice.found_by


def _code(choice: WheelChoice) -> str:
    return choice.row.code


def _plan(choice: WheelChoice) -> str:
    return choice.row.plan


def _age(choice: WheelChoice) -> str:
    return worded("wording.gone") if choice.row.gone else age_words(choice.days)


def _days(choice: WheelChoice) -> float:
    return choice.days


def _tasted(choice: WheelChoice) -> str:
    if choice.row.verdict or choice.row.failed:
        return worded("desk.marked-do-not-eat" if choice.row.verdict else "desk.marked-failed")
    count = choice.row.tasted
    if count < 2:
        return worded("desk.tasted-once" if count else "desk.tasted-not-yet")
    return worded("desk.tasted-times", times=count)


COLUMNS = (
    Column("wheel", _code),
    Column("plan", _plan, quiet=True, stretch=True),
    Column("age", _age, right=True, sort=_days),
    Column("tasted", _tasted, right=True, quiet=True),
)
