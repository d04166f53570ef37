"""The base of every place: two pages, a strip below, its commands, and `on_change` for changes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

from PySide6.QtCore import QSettings, Signal
from PySide6.QtWidgets import QWidget

from journal.desk.alarm import Alarm
from journal.desk.commands import Command, action_for
from journal.desk.labels import Hairline
from journal.desk.layouts import in_column, in_row
from journal.desk.messages import Actions, MessageBar
from journal.desk.pages import PagePair, PageWidths
from journal.desk.sensors.holder import SensorHolder
from journal.desk.tables import RowsView
from journal.desk.theme import STEP, scaled
from journal.desk.work import Work
from journal.keeping import Change, Journal, KeepingError
from journal.message import Message
from journal.records.plans import Plan

STRIP_HEIGHT = 88
USED = "used"  # what a place asks Plans for, to see what the open make used


class Undoing(Protocol):
    """Steps that can be taken back, as a journal's changes can."""

    @property
    def undo_name(self) -> str | Message | None:
        """What undo would take back."""

    @property
    def redo_name(self) -> str | Message | None:
        """What redo would do again."""

    def undo(self) -> str | Message | None:
        """Take the last step back; returns its name."""

    def redo(self) -> str | Message | None:
        """Take it again; returns its name."""


@dataclass(frozen=True)
class PlanChange:
    """A change of a make's plan proposed elsewhere, for Plans to open as a draft: the plan with
    it, the place of the stage that changes (-1: none), and the change in words.

    A make of a series (no `make_id`) brings what its plan was changed from, `base`, the `key` its
    draft is kept under, and what it is `called`: "make 3 of 8".
    """

    make_id: int | None
    plan: Plan
    stage: int
    words: str
    base: Plan | None = None
    key: str = ""
    called: str = ""


@dataclass(frozen=True)
class CurrentRecord:
    """The record whose history is asked for: its table, its id, and what it is called."""

    noun: str
    key: int
    called: str


@dataclass
class Desk:
    """What every place is given: the journal, the clock, the worker, the remembered settings, and
    what it asks of the window.

    `alarm` looks after the makes that run; `make_id` is the make that is open, whichever place
    opened it; `change` waits for Plans to open it; `sensors` has those that are
    switched on.
    """

    journal: Journal
    clock: Callable[[], int]
    work: Work
    settings: QSettings
    alarm: Alarm
    show_sensors: Callable[[], None]
    bring_makes: Callable[[], None]
    sensors: SensorHolder
    make_id: int | None = None
    wants: str = ""
    change: PlanChange | None = None


class Place(QWidget):
    """One place of the window. A place is a subclass that gives `key` and `title`, builds its
    parts in `__init__` and hands them to `arrange`; the frame calls `entered` on each visit.

    `goes` asks the window for another place: its key and a make (or None); `asks` for a command of
    the window, by its name. A place hands records
    to the journal and hears of them like everyone else, through `on_change`.
    """

    key = ""
    title = ""
    typing_keys = ""  # for the sheet of keys: what those do that are no commands
    fold = PageWidths()

    goes = Signal(str, object)
    asks = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.messages = MessageBar(self)
        self._missed: list[Change] = []
        self.setAccessibleName(self.title)

    @property
    def journal(self) -> Journal:
        """The open journal."""
        return self.desk.journal

    # What a place gives

    def commands(self) -> tuple[Command, ...]:
        """The place's own commands."""
        return ()

    def add_actions(self) -> None:
        """Have the keys of its commands work while the place is to be seen."""
        for command in self.commands():
            action_for(command, self)

    def entered(self) -> None:
        """The place is shown: refresh what may have changed, set the focus."""

    def on_change(self, change: Change) -> None:
        """Something was kept: `change.kinds` names tables, `change.makes` makes. Only comes while
        the place is shown; what was missed comes merged, before `entered`."""

    def show_make(self, make_id: int) -> None:
        """A make was opened from elsewhere; the place is about to be shown with it."""

    def show_plan(self, name: str) -> None:
        """A plan was picked elsewhere; the place is shown, and is that of plans."""

    def take_plan_file(self, path: str) -> None:
        """The file of a plan was dropped on the window; the place is shown, and is that of
        plans."""

    def show_stock(self, noun: str, key: int) -> None:
        """A part of the stock was picked elsewhere; the place is shown, and is that of plans."""

    def show_session(self, at_ms: int) -> None:
        """A session was picked elsewhere; the place is shown, and is that of tastings."""

    def rang(self, words: str) -> None:
        """A stage, a turn or a timer has fallen due while the place is shown."""
        self.say("timer", words)

    def list_to_filter(self) -> RowsView[Any] | None:
        """The list one stands in, else the first that is seen and long enough to be narrowed."""
        found = self.findChildren(RowsView)
        can = [table for table in found if table.isVisible() and table.can_filter()]
        return next((t for t in can if t.hasFocus()), can[0] if can else None)

    def leaves_to_undo(self) -> frozenset[str]:
        """The kinds of records whose acts Ctrl+Z takes back only where they are done: how makes
        are compared is a view, and would lie over what was done at the vat."""
        return frozenset({"comparison"})

    def own_undo(self) -> Undoing | None:
        """What takes undo and redo before the journal does, such as a draft; None: nothing."""
        return None

    def current_record(self) -> CurrentRecord | None:
        """The selected record, which a sum is filled from; by default the open make."""
        if self.desk.make_id is None:
            return None
        try:
            make = self.journal.makes.get(self.desk.make_id)
        except KeepingError:
            return None
        return CurrentRecord("make", self.desk.make_id, make.code)

    def settled(self) -> bool:
        """True when nothing more is about to change by itself."""
        return not self.desk.work.busy

    def save_state(self) -> None:
        """The window closes, or shows another journal: write down what is typed and not kept."""

    # What a place can do

    def say(self, name: str, sentence: str, *, attention: bool = True, acts: Actions = ()) -> None:
        """Show a sentence in the place under a name, with words that do something about it."""
        self.messages.show_message(name, sentence, attention=attention, acts=acts)

    def clear(self, name: str) -> None:
        """Put the sentence of that name away."""
        self.messages.clear(name)

    def open_used(self, make_id: int) -> None:
        """Go to what a make really used, in the stock."""
        self.desk.make_id, self.desk.wants = make_id, USED
        self.goes.emit("plans", None)

    def open_change(self, change: PlanChange) -> None:
        """Open a proposed change as a draft in Plans."""
        self.desk.change = change
        self.goes.emit("plans", change.make_id)

    def arrange(
        self,
        left: QWidget,
        right: QWidget | None = None,
        strip: QWidget | None = None,
    ) -> None:
        """Put the page of words, the picture beside it and what runs below in their places. No
        picture: the left page has the whole width. Every list offers the screen's commands."""
        column = in_column(self.messages, of=self, margins=0, gap=0)
        if right is None:
            column.addWidget(left, 1)
        else:
            column.addWidget(self.pages_of(left, right), 1)
        if strip is not None:
            column.addWidget(Hairline())
            column.addWidget(framed(strip))
        self.offer_commands(self)

    def offer_commands(self, page: QWidget) -> None:
        """Put the commands of the place into the menus of the lists on a page, which may have been
        built late."""
        for table in page.findChildren(RowsView):
            table.offer(self.commands)

    def pages_of(self, left: QWidget, right: QWidget) -> PagePair:
        """The page of words and the picture, beside each other or folded."""
        return PagePair(left, right, self.fold, self.desk.settings, self.key)

    # What the frame does

    def enter(self) -> None:
        """The window shows the place."""
        try:
            if self._missed:
                missed, self._missed = self._missed, []
                self.on_change(_merged(missed))
            self.entered()
        finally:
            self.setUpdatesEnabled(True)

    def notice(self, change: Change) -> None:
        """The journal changed: refresh now when shown, later when not."""
        if self.isVisible():
            self.on_change(change)
        else:
            self._missed.append(change)


def framed(strip: QWidget) -> QWidget:
    """A strip in its margins, as high as every strip is."""
    holder = QWidget()
    holder.setFixedHeight(scaled(STRIP_HEIGHT))
    in_row(strip, of=holder, margins=(8 * STEP, 2 * STEP, 8 * STEP, 2 * STEP))
    return holder


def _merged(changes: list[Change]) -> Change:
    """Several changes as one."""
    kinds = frozenset().union(*(c.kinds for c in changes))
    makes = frozenset().union(*(c.makes for c in changes))
    return Change(kinds=kinds, makes=makes, name=changes[-1].name, initiator=None)


def make_to_begin_with(journal: Journal) -> int | None:
    """The running make, else the newest, else none."""
    running = journal.makes.running()
    if running:
        return running[0].id
    try:
        return journal.makes.by_code("latest").id
    except KeepingError:
        return None
