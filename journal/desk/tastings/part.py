"""The base of a part of Tastings: its pages, its commands, and `on_change` for changes."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.form.suggest import Suggestion
from journal.desk.messages import MessageBar
from journal.desk.place import CurrentRecord, Desk
from journal.desk.tastings.cheeses import attributes_like
from journal.desk.tastings.session_days import people_like
from journal.keeping import Change, Journal


class TastingPart(QObject):
    """A part puts its pages of words into `pages`, those beside them into `right_pages`, and
    answers what the place hands on to it. `kinds` are the changes that concern it; `messages` are
    the place's.
    """

    kinds: frozenset[str]

    typed = Signal()  # something was typed, to be written down on a pause

    def __init__(self, desk: Desk, messages: MessageBar, parent: QObject) -> None:
        super().__init__(parent)
        self.desk = desk
        self.messages = messages
        self.pages, self.right_pages = QStackedWidget(), QStackedWidget()

    @property
    def journal(self) -> Journal:
        """The open journal."""
        return self.desk.journal

    def now(self) -> int:
        """The present instant."""
        return self.desk.clock()

    def entered(self) -> None:
        """The part is shown."""

    def notice(self, change: Change) -> None:
        """Something was kept: whether it concerns the part is seen here."""
        if change.kinds & self.kinds:
            self.on_change(change)

    def on_change(self, change: Change) -> None:
        """Something was kept that concerns it."""

    def hold(self) -> None:
        """Remember what is typed and not kept, to be written down."""

    def main(self) -> None:
        """The page's main act."""

    def can_main(self) -> bool:
        """There is something to keep."""
        return True

    def other(self) -> None:
        """Another one of what it is about."""

    def reveal(self) -> None:
        """Reveal what is hidden."""

    def can_reveal(self) -> bool:
        """Whether there is something to reveal."""
        return False

    def join(self) -> None:
        """Ask who joins."""

    def can_join(self) -> bool:
        """There is something to join."""
        return False

    def print_out(self) -> None:
        """Print what can be printed."""

    def can_print(self) -> bool:
        """There is something to print."""
        return False

    def show_key(self) -> None:
        """Show the helper what each code is, or put it away."""

    def has_key(self) -> bool:
        """There is something for a helper to know."""
        return False

    def current_record(self) -> CurrentRecord | None:
        """The session whose history can be shown."""
        return None

    def type_in(self) -> None:
        """Type in sheets of paper."""

    def write_pages(self) -> None:
        """Write pages for assessors who are elsewhere."""

    def can_take(self) -> bool:
        """There is something that answers could be taken for."""
        return False

    def paste_answer(self) -> None:
        """Take an answer that was copied."""

    def can_type_in(self) -> bool:
        """There are sheets that could be typed in."""
        return False

    # For the parts

    def show_pages(self, left: QWidget, right: QWidget) -> None:
        """Show two pages."""
        self.pages.setCurrentWidget(left)
        self.right_pages.setCurrentWidget(right)

    def on(self, page: QWidget) -> bool:
        """That page of words is shown."""
        return self.pages.currentWidget() is page

    def names_like(self, text: str) -> list[Suggestion]:
        """Assessors that could be meant."""
        return people_like(text, self.journal.sessions.people())

    def attributes_like(self, text: str) -> list[Suggestion]:
        """Attributes that could be meant."""
        return attributes_like(text, [name for name, _ in self.journal.sessions.attributes()])


def stands_in(page: QWidget) -> bool:
    """Whether the keyboard is somewhere in a page already."""
    focus = page.window().focusWidget()
    return focus is not None and page.isAncestorOf(focus)
