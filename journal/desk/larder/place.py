"""Plans with the shelf behind them: one key turns from what is planned to what there is for it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from journal.desk.buttons import Button
from journal.desk.calendarline import CHOSEN, RING, CalendarLine, Day
from journal.desk.commands import Command, action_for
from journal.desk.labels import Hairline
from journal.desk.larder.page import LarderPage
from journal.desk.place import Divider, Undoing, framed
from journal.desk.plans.place import PlansPlace
from journal.desk.theme import STEP
from journal.desk.today.agenda import SHELF
from journal.keeping import Change
from journal.records.dates import short_day

_TURN = "shelf"


class PlansAndShelf(PlansPlace):
    """The place of plans. Going to it shows the plans; the shelf is one key further, and only one
    of the two has the keys."""

    # Build

    def lay_out(self) -> None:
        super().lay_out()
        plans = QWidget()
        inside = QVBoxLayout(plans)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(0)
        outside = self.layout()
        while outside.count() > 1:  # all below the messages
            inside.addWidget(outside.takeAt(1).widget())
        inside.setStretch(inside.indexOf(self._divider), 1)
        self.larder = LarderPage(self)
        self.larder.left_by_key.connect(self.back_to_plans)
        self.shelf_dates = CalendarLine("Dates")
        self.shelf_dates.picked.connect(self._on_shelf_date)
        self.sides = QStackedWidget()
        self.sides.addWidget(plans)
        self.sides.addWidget(self._shelf_side())
        outside.addWidget(self.sides, 1)

    def _shelf_side(self) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(Divider(self, self.larder, self.larder.right_page), 1)
        column.addWidget(Hairline())
        column.addWidget(framed(self._strip_with_turn(self.shelf_dates, "Plans", "Esc")))
        self._shelf_actions = [action_for(command, self) for command in self._shelf_commands()]
        for action in self._shelf_actions:
            action.setEnabled(False)
        return page

    def strip(self) -> QWidget:
        return self._strip_with_turn(super().strip(), "Shelf", "Ctrl ⇧ L")

    def _strip_with_turn(self, strip: QWidget, words: str, key: str) -> QWidget:
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6 * STEP)
        row.addWidget(strip, 1)
        button = Button(words, key=key)
        button.clicked.connect(self.turn_shelf)
        row.addWidget(button, 0, Qt.AlignmentFlag.AlignVCenter)
        return holder

    def commands(self) -> tuple[Command, ...]:
        if self.shelf_shown:
            return (*self._shelf_commands(), self._turn_command())
        return (*super().commands(), self._turn_command())

    # What the frame says

    def entered(self) -> None:
        wants, self.desk.wants = self.desk.wants, ""
        super().entered()
        if wants == SHELF:
            self.show_shelf()
        else:
            self._turn_side(False)

    def show_plan(self, name: str) -> None:
        self._turn_side(False)
        super().show_plan(name)

    def heard(self, change: Change) -> None:
        super().heard(change)
        if self.shelf_shown:
            self.larder.heard(change)
            self._show_shelf_dates()

    def own_undo(self) -> Undoing | None:
        return None if self.shelf_shown else super().own_undo()

    # Commands

    @property
    def shelf_shown(self) -> bool:
        """The shelf is to be seen, not the plans."""
        return hasattr(self, "sides") and self.sides.currentIndex() == 1

    def turn_shelf(self) -> None:
        """Show the shelf, or the plans again."""
        if self.shelf_shown:
            self.back_to_plans()
        else:
            self.show_shelf()

    def show_shelf(self) -> None:
        """Show the shelf."""
        self._turn_side(True)
        self._show_shelf_dates()
        self.larder.entered()

    def back_to_plans(self) -> None:
        """Show the plans again."""
        self._turn_side(False)
        self.page.list.setFocus()

    def _turn_command(self) -> Command:
        title = "The shelf, or the plans again"
        return Command(_TURN, title, self.turn_shelf, ("Ctrl+Shift+L",))

    def _shelf_commands(self) -> tuple[Command, ...]:
        """What can be done on the shelf."""
        return (
            Command("shelf_act", "Add to this part of the shelf, or keep what was typed",
                    self.shelf_act,
                    ("Ctrl+Return", "Ctrl+Enter")),
            Command("shelf_next", "The next part of the shelf", self.shelf_next, ("Ctrl+L",)),
        )  # fmt: skip

    def shelf_act(self) -> None:
        """The main act of the section shown."""
        self.larder.act()

    def shelf_next(self) -> None:
        """The next section."""
        self.larder.next_section()

    def _turn_side(self, shelf: bool) -> None:
        """Show one of the two, and give it the keys."""
        self.sides.setCurrentIndex(int(shelf))
        for action in self.findChildren(QAction, options=Qt.FindChildOption.FindDirectChildrenOnly):
            if action.objectName() != _TURN:
                action.setEnabled((action in self._shelf_actions) == shelf)

    def _show_shelf_dates(self) -> None:
        zone, days = self.journal.zone, []
        for item in self.journal.ingredients.all():
            if item.expires_ms is not None and item.amount_left != 0:
                words = f"{item.name}, lot {item.lot}" if item.lot else item.name
                days.append(_mark(item.expires_ms, words, item.name, zone))
        for one in self.journal.generations.where(gone_ms=None):
            if one.keep_until_ms is not None:
                words = f"{one.name}, generation {one.number}"
                days.append(_mark(one.keep_until_ms, words, one.name, zone))
        if days:
            days.append(Day(self.desk.clock(), "today", "", CHOSEN, "today"))
        self.shelf_dates.show_days("Dates", days, zone)

    def _on_shelf_date(self, _name: object) -> None:
        self.larder.take_focus()


def _mark(at_ms: int, words: str, name: str, zone: str) -> Day:
    return Day(at_ms, f"{words}: {short_day(at_ms, zone)}", name, RING, name)
