"""What blind sessions and panel tests have in common: set up, tasted under codes, revealed."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Generic, TypeVar

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from journal.desk.form.page import FormPage
from journal.desk.form.suggest import Suggestion
from journal.desk.labels import Label
from journal.desk.messages import MessageBar
from journal.desk.place import CurrentRecord, Desk
from journal.desk.tastings.blind.key import KeyPage
from journal.desk.tastings.cheeses import as_entries, cheeses_like
from journal.desk.tastings.half_typed import BOARDS, UnsavedTexts
from journal.desk.tastings.part import TastingPart
from journal.desk.tastings.session_list import SessionList
from journal.keeping import Change
from journal.keeping.session_rows import KeyRow
from journal.records.panel_tests import PanelTest
from journal.records.tastings import Tasting
from journal.wording import worded
from journal.wording.dates import short_day

S = TypeVar("S", Tasting, PanelTest)
R = TypeVar("R")


@dataclass(frozen=True)
class CodedPages(Generic[R]):
    """The pages of a kind of session; on `tasting` samples are scored or answered."""

    form: FormPage
    list: SessionList[R]
    tasting: Sequence[QWidget]
    beside_form: QWidget


class CodedPart(TastingPart, Generic[S, R]):
    """The list, the setting up, the tasting, the helper's key, the results: one page at a time.

    A kind of session builds its pages, calls `arrange` with them, and says what is asked below.
    """

    board: str  # the key of what is half set up

    def __init__(
        self, desk: Desk, messages: MessageBar, half: UnsavedTexts, parent: QObject
    ) -> None:
        super().__init__(desk, messages, parent)
        self.draw_seed: Callable[[], int] = partial(secrets.randbits, 63)  # of codes and orders
        self.half = half
        self.session: S | None = None
        self._gone: int | None = None  # the session that was open when it was undone
        self.key = KeyPage()
        self.key.away.connect(self.go_on)

    def arrange(
        self, pages: CodedPages[R], acts: dict[QWidget, Callable[[], None] | None],
        right: Sequence[QWidget], first: QWidget,
    ) -> None:  # fmt: skip
        """Take the pages: what Ctrl+Enter does on each of the left ones, those of the right, and
        the one that is shown first."""
        self._pages, self._acts = pages, acts
        for page in (*acts, self.key):
            self.pages.addWidget(page)
        for page in right:
            self.right_pages.addWidget(page)
        self.pages.setCurrentWidget(first)
        pages.list.opened.connect(self._on_opened)
        pages.list.asked.connect(self.other)
        pages.form.changed.connect(self.plan)
        pages.form.edited.connect(self.typed)
        pages.form.asked.connect(self.main)
        pages.form.left.connect(self.other)
        pages.form.recall(self.half.of(BOARDS).get(self.board))

    def current_record(self) -> CurrentRecord | None:
        row = self._pages.list.table.current()
        if self.pages.currentWidget() is not self._pages.list:
            session = self.session
        else:
            session = self.session_of(row) if row is not None else None
        if session is None or session.id is None:
            return None
        noun = "tasting" if isinstance(session, Tasting) else "panel_test"
        day = short_day(session.at_ms, self.journal.zone)
        return CurrentRecord(noun, session.id, worded("desk.the-record-of", noun=noun, day=day))

    # What a kind of session says

    def sessions(self) -> list[S]:
        """Every session of this kind."""
        raise NotImplementedError  # each kind has a keeper of its own

    def rows(self) -> list[R]:
        """The rows of the list."""
        raise NotImplementedError  # each kind has rows of its own

    def session_of(self, row: R) -> S:
        """The session of a row."""
        raise NotImplementedError  # each kind has rows of its own

    def key_of(self, session: S) -> list[KeyRow]:
        """What each code is, for the helper."""
        raise NotImplementedError  # each kind has a keeper of its own

    def open(self, session: S) -> None:
        """Show a session: to go on with, or its results."""
        raise NotImplementedError  # each kind has pages of its own

    def go_on(self) -> None:
        """Show the tasting of the current session."""
        raise NotImplementedError  # each kind has pages of its own

    def plan(self) -> None:
        """Show beside the setting up what will become of it."""

    def refresh(self, session: S, change: Change) -> None:
        """Show what the journal says now of the current session."""

    # What the place hands on

    def on_change(self, change: Change) -> None:
        if self.on(self._pages.list):
            self.list_anew()
            return
        known = {one.id: one for one in self.sessions()}
        session = self.session
        if session is None:
            if self._gone in known and self._pages.form.half_typed() is None:
                self.open(known[self._gone])  # done again: it is gone on with
            return
        after = known.get(session.id)
        if after is None:
            self.set_up_another()
            self._gone = session.id
        elif (after.lifted_ms is None) != (session.lifted_ms is None):
            self.open(after)
        else:
            self.refresh(after, change)

    def main(self) -> None:
        """What Ctrl+Enter does on the page that is shown."""
        act = self._acts.get(self.pages.currentWidget())
        if act is not None:
            act()
        self.typed.emit()  # what is saved now is half typed no longer

    def other(self) -> None:
        """From the list to setting another up, from anywhere else to the list."""
        if self.on(self._pages.list) or not self.sessions():
            self.set_up_another()
        else:
            self.show_list()

    def show_list(self) -> None:
        """Show every session; what is typed stays."""
        self.hold()
        self.session = None
        self.show_pages(self._pages.list, self._pages.beside_form)
        self._pages.list.show_sessions(self.rows())
        self.plan()
        self._pages.list.setFocus()

    def list_anew(self) -> None:
        """List what there is now, with the same session selected."""
        table = self._pages.list.table
        here = table.current()
        table.show_rows(self.rows())
        if here is not None:
            selected = self.session_of(here).id
            table.select_where(lambda row: self.session_of(row).id == selected)

    def set_up_another(self) -> None:
        """Show the page on which a session is set up; what is typed stays."""
        self.hold()
        self.session = self._gone = None
        self.show_pages(self._pages.form, self._pages.beside_form)
        self._pages.form.away.setVisible(bool(self.sessions()))
        self.plan()
        self._pages.form.setFocus()

    @property
    def hidden(self) -> S | None:
        """The current session while it is hidden."""
        session = self.session
        return session if session is not None and session.lifted_ms is None else None

    def can_reveal(self) -> bool:
        return self.hidden is not None and any(map(self.on, self._pages.tasting))

    def confirmed(self, message: Label, sentence: str) -> bool:
        """Whether something is asked for a second time, while the sentence that was said the
        first time still stands there."""
        if message.text().endswith(sentence):
            return True
        message.say_if_any(sentence, wrong=True)
        return False

    def can_print(self) -> bool:
        return self.hidden is not None

    def has_key(self) -> bool:
        return self.hidden is not None

    def show_key(self) -> None:
        """Show the helper's page, still covered; or put it away."""
        session = self.hidden
        if session is None:
            return
        if self.on(self.key):
            self.put_key_away()
            return
        self.hold()
        self.pages.setCurrentWidget(self.key)
        self.key.cover(self.key_of(session))

    def put_key_away(self) -> None:
        """Cover the key, and go on."""
        self.key.cover(())
        self.go_on()

    # For the kinds

    def hold_set_up(self) -> None:
        """Remember what is half set up."""
        self.half.put(BOARDS, self.board, self._pages.form.half_typed())

    def cheeses_like(self, text: str) -> list[Suggestion]:
        """Wheels and names that could be meant."""
        return cheeses_like(text, self.journal.sessions.wheels(), self.now())

    def people_like(self, text: str) -> list[Suggestion]:
        """Assessors that could be meant, as entries of a field."""
        return as_entries(self.names_like(text))

    def _on_opened(self, row: R) -> None:
        self.open(self.session_of(row))
