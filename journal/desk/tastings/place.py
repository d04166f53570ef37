"""The place of tastings: a wheel scored openly, blind sessions, panel tests, and the panel."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.buttons import WordButton
from journal.desk.commands import Command
from journal.desk.labels import plain_tip
from journal.desk.late import OnDemand
from journal.desk.layouts import in_column, in_row
from journal.desk.pages import PageWidths
from journal.desk.past import history_command
from journal.desk.place import CurrentRecord, Desk, Place
from journal.desk.tastings.half_typed import UnsavedTexts
from journal.desk.tastings.open_sheet.part import OpenPart
from journal.desk.tastings.part import TastingPart
from journal.desk.theme import STEP
from journal.desk.why.command import show_why, why_command
from journal.keeping import Change
from journal.records import id_of
from journal.records.instants import same_day
from journal.wording import worded

if TYPE_CHECKING:
    from journal.desk.tastings.blind.part import BlindPart
    from journal.desk.tastings.panel.part import PanelPart
    from journal.desk.tastings.panel_tests.part import TestsPart

P = TypeVar("P", bound=TastingPart)

OPEN, BLIND, TESTS, PANEL = "open", "blind", "tests", "panel"
PAUSE_MS = 250  # after a key, until what is typed is written down; leaving writes at once
_WORDS = {
    OPEN: ("Score", "part_1"),
    BLIND: ("Blind session", "part_2"),
    TESTS: ("Panel tests", "part_3"),
    PANEL: ("Panel", "part_4"),
}


class TastingsPlace(Place):
    """Four parts, named in a row above the pages; the strip below has the sessions of all."""

    key = "tastings"
    title = "Tastings"
    fold = PageWidths(0.46, 500, 1000, 420, 360)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.setAcceptDrops(True)
        self.half = UnsavedTexts(self.journal)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(PAUSE_MS)
        self._rest.timeout.connect(self.save_state)
        self.left_pages, self.right_pages = QStackedWidget(), QStackedWidget()
        self._built: list[TastingPart] = []
        self.blind = OnDemand(self._made_blind)
        self.tests = OnDemand(self._made_tests)
        self.panel = OnDemand(self._made_panel)
        self.part = OPEN
        self.open = self._built_one(OpenPart(desk, self.messages, self))
        self.open.makes_asked.connect(self._on_makes)
        self.open.beside.why.clicked.connect(partial(show_why, self, self.current_wheel))
        self.open.line.went.connect(self.show_session)
        self.names = {key: self._name(key) for key in _WORDS}
        self.names[OPEN].setChecked(True)
        self.arrange(self._named_pages(), self.right_pages, self.open.line)
        begun = [*self.open.begun(), *self.half.begun()]
        if begun:
            self.say("begun", worded("desk.typed-not-saved", begun=begun), attention=False)

    def _name(self, key: str) -> WordButton:
        words, keys = _WORDS[key]
        name = WordButton(words)
        name.setObjectName(key)
        name.setCheckable(True)
        name.setAutoExclusive(True)
        name.setToolTip(plain_tip(keys))
        name.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        name.clicked.connect(self._on_name)
        return name

    def _named_pages(self) -> QWidget:
        """The pages of words, the names of the parts above them."""
        row = in_row(
            *self.names.values(), None, margins=(8 * STEP, 4 * STEP, 8 * STEP, 0), gap=6 * STEP
        )
        whole = QWidget()
        in_column(row, (self.left_pages, 1), of=whole, margins=0, gap=0)
        return whole

    def commands(self) -> tuple[Command, ...]:
        tasting, has_wheels, shown = self.open.tasting, self.open.has_wheels, self.shown_part
        go = self.show_part
        return (
            Command("save_and_next", "Save and next", lambda: shown().main(), ("main",),
                    lambda: shown().can_main()),
            Command("choose_wheel", "Choose another", lambda: shown().other(), ("choose",),
                    has_wheels),
            Command("score_open", "Score a wheel", partial(go, OPEN), ("part_1",), has_wheels),
            Command("blind_session", "Set up or continue a blind session", partial(go, BLIND),
                    ("part_2",)),
            Command("panel_tests", "Panel tests", partial(go, TESTS), ("part_3",)),
            Command("panel", "How good is the panel", partial(go, PANEL), ("part_4",)),
            Command("lift", "Reveal the samples", lambda: shown().reveal(), (),
                    lambda: shown().can_reveal()),
            Command("type_in", "Type in paper sheets", lambda: shown().type_in(),
                    ("from_paper",), lambda: shown().can_type_in()),
            Command("print_sheets", "Print sheets for assessors…", lambda: shown().print_out(),
                    ("print",), lambda: shown().can_print()),
            Command("pages_elsewhere", "Pages for those elsewhere…",
                    lambda: shown().write_pages(), ("to_send",),
                    lambda: self.part == BLIND and shown().can_print()),
            Command("paste_answer", "Paste an answer from elsewhere",
                    lambda: shown().paste_answer(), (), self.can_take),
            Command("join", "Add an assessor to the session", lambda: shown().join(), (),
                    lambda: shown().can_join()),
            Command("own_attribute", "An attribute of your own", self.open.ask_attribute,
                    (), tasting),
            Command("key", "The helper's key", lambda: shown().show_key(), (),
                    lambda: shown().has_key()),
            why_command(self, self.current_wheel),
            history_command(self, self.desk, lambda: shown().current_record(), "session"),
        )  # fmt: skip

    # The parts; all but the open sheet are loaded and built when they are first shown

    def _made_blind(self) -> BlindPart:
        from journal.desk.tastings.blind.part import BlindPart

        return self._built_one(BlindPart(self.desk, self.messages, self.half, self))

    def _made_tests(self) -> TestsPart:
        from journal.desk.tastings.panel_tests.part import TestsPart

        return self._built_one(TestsPart(self.desk, self.messages, self.half, self))

    def _made_panel(self) -> PanelPart:
        from journal.desk.tastings.panel.part import PanelPart

        return self._built_one(PanelPart(self.desk, self.messages, self))

    def _built_one(self, part: P) -> P:
        part.typed.connect(self._rest.start)
        self._built.append(part)
        self.left_pages.addWidget(part.pages)
        self.right_pages.addWidget(part.right_pages)
        for page in (part.pages, part.right_pages):
            self.offer_commands(page)
        return part

    def shown_part(self) -> TastingPart:
        """The part shown."""
        if self.part == BLIND:
            return self.blind.made()
        if self.part == TESTS:
            return self.tests.made()
        return self.panel.made() if self.part == PANEL else self.open

    def show_part(self, key: str) -> None:
        """Show one of the parts."""
        if key == self.part:
            return
        if self.part == OPEN:
            self.open.hold()
        self.part = key
        self.names[key].setChecked(True)
        one = self.shown_part()
        self.left_pages.setCurrentWidget(one.pages)
        self.right_pages.setCurrentWidget(one.right_pages)
        one.entered()

    # What the frame says

    def entered(self) -> None:
        if self.part != OPEN:
            self.open.refresh_line()
        self.shown_part().entered()

    def save_state(self) -> None:
        self._rest.stop()
        for one in self._built:
            one.hold()
        refused = self.open.drafts.write() or self.half.write()
        if refused:
            self.say("draft", refused)
        else:
            self.clear("draft")

    def on_change(self, change: Change) -> None:
        self.open.notice(change)  # the line below is the open sheet's, whichever part is shown
        if self.part != OPEN:
            self.shown_part().notice(change)

    def show_make(self, make_id: int) -> None:
        self.show_part(OPEN)
        self.open.show_make(self.journal.makes.get(make_id).code)

    def show_session(self, at_ms: int) -> None:
        """The session of that day: what it revealed, else its open sheet."""
        revealed = [
            t
            for t in self.journal.sessions.revealed()
            if same_day(t.at_ms, at_ms, self.journal.zone)
        ]
        if revealed and (self.part != OPEN or not self.journal.sessions.on_day(at_ms)):
            self.show_part(BLIND)
            self.blind.made().show_revealed(id_of(revealed[-1]))
            return
        self.show_part(OPEN)
        self.open.turn_to(at_ms)

    def can_take(self) -> bool:
        """Answers from elsewhere can be taken."""
        return self.shown_part().can_take()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if self.can_take() and self.blind.made().elsewhere.holds(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        if self.can_take() and self.blind.made().elsewhere.holds(event.mimeData()):
            event.acceptProposedAction()
            self.blind.made().elsewhere.take(event.mimeData())

    def current_wheel(self) -> CurrentRecord | None:
        """The wheel whose scores the open sheet shows."""
        wheel = self.open.revealed_wheel if self.part == OPEN else None
        return None if wheel is None else CurrentRecord("wheel", wheel.id, wheel.code)

    # Handlers

    def _on_name(self) -> None:
        self.show_part(self.sender().objectName())

    def _on_makes(self) -> None:
        self.goes.emit("makes", None)
