"""The part of blind sessions: which page is shown, and what becomes of what is typed."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QStackedWidget

from journal.desk.form.suggest import Suggestion
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.tastings.blind.board import ServingBoard
from journal.desk.tastings.blind.going import RunningSession
from journal.desk.tastings.blind.key import CupsPage, KeyPage
from journal.desk.tastings.blind.paper_entry import PaperEntry
from journal.desk.tastings.blind.revealed import BesideLifted, Lifted
from journal.desk.tastings.blind.revealing import Revealing
from journal.desk.tastings.blind.scoring import Scoring
from journal.desk.tastings.blind.sessions import SittingList
from journal.desk.tastings.blind.setting_up import SessionForm
from journal.desk.tastings.blind.sheet import BlindSheet
from journal.desk.tastings.bringing import bring_photo
from journal.desk.tastings.cheeses import as_entries, attributes_like, cheeses_like
from journal.desk.tastings.half_typed import BOARDS, UnsavedTexts
from journal.desk.tastings.part import TastingPart, stands_in
from journal.desk.tastings.session_days import people_like
from journal.findings import FindingError
from journal.findings.setting_up import create_joiner, set_up_session
from journal.keeping import Change, KeepingError
from journal.keeping.blind import SampleIdentity, SittingFar
from journal.records import RecordError, id_of
from journal.records.dates import read_day
from journal.records.tastings import SHUFFLED, Tasting
from journal.wording import text_of

_SHOWN = frozenset(("tasting", "sample", "serving", "score", "defect_mark", "sample_note",
                    "scale_word", "assessor", "wheel", "make"))  # fmt: skip

_BOARD, _CUPS = "sitting", "cups"


class BlindPart(TastingPart):
    """Laying out, scoring, typing in, the helper's key, lifting, lifted: one page at a time."""

    def __init__(
        self, desk: Desk, messages: MessageBar, half: UnsavedTexts, parent: QObject
    ) -> None:
        super().__init__(desk, messages, parent)
        self.draw_seed: Callable[[], int] = partial(secrets.randbits, 63)  # of codes and orders
        self.half = half
        self.tasting: Tasting | None = None
        self._gone: int | None = None  # the session that was at hand when it was undone
        self._own: list[str] = []
        self._build_right()
        self._build_left()
        self.scoring = Scoring(self.journal, half, self.sheet, self.paper, self.going, self)
        self.revealing = Revealing(self.journal, self.shown, self.beside, self)
        self.lay.recall(half.of(BOARDS).get(_BOARD))

    def _build_right(self) -> None:
        self.board = ServingBoard()
        self.going = RunningSession(self._names_like)
        self.beside = BesideLifted(self.journal.photos.file)
        self.right = self.right_pages = QStackedWidget()
        for page in (self.board, self.going, self.beside):
            self.right_pages.addWidget(page)
        self.going.type_in.clicked.connect(self.type_in)
        self.going.prints.clicked.connect(self.print_out)
        self.going.key.clicked.connect(self.show_key)
        self.going.joined.connect(self._on_joined)
        self.going.left.connect(self._on_back)

    def _build_left(self) -> None:
        self.list = SittingList()
        self.list.opened.connect(self._on_opened)
        self.list.asked.connect(self.other)
        self.lay = SessionForm(self._cheeses_like, self._people_like, self._attributes_like)
        self.lay.changed.connect(self._on_changed)
        self.lay.asked.connect(self.main)
        self.lay.left.connect(self.other)
        self.sheet = BlindSheet()
        self.sheet.photo.where = self.journal.photos.file
        self.sheet.photo_asked.connect(self._on_photo)
        self.sheet.save_asked.connect(self.main)
        self.sheet.other_asked.connect(self.reveal)
        self.paper = PaperEntry()
        self.paper.save_asked.connect(self.main)
        self.paper.back_asked.connect(self._on_back)
        self.key = KeyPage()
        self.key.away.connect(self._on_back)
        self.cups = CupsPage()
        self.cups.reveal_asked.connect(self.main)
        self.cups.back_asked.connect(self._on_back)
        self.cups.edited.connect(self.typed)
        self.shown = Lifted()
        self.shown.back.connect(self.other)
        self.sheet.typed.connect(self.typed)
        self.paper.edited.connect(self.typed)
        self.lay.edited.connect(self.typed)
        self.left = self.pages = QStackedWidget()
        for page in (self.lay, self.list, self.sheet, self.paper, self.key, self.cups, self.shown):
            self.pages.addWidget(page)

    # What the place hands on

    def entered(self) -> None:
        if self.pages.currentWidget() is self.key:
            self.key.cover(())
            self._go_on()
        elif self.pages.currentWidget() is self.list:
            self.list.table.show_rows(self.journal.blind.rows())
            self.list.setFocus()
        elif self.tasting is None:
            found = self.journal.blind.hidden_sessions()
            if found and not self.lay.begun():
                self._open(found[-1])
            else:
                self._set_up_another()
        elif self.pages.currentWidget() is self.sheet:
            self.scoring.refresh()
            if not stands_in(self.sheet):
                self.sheet.to_first()

    def heard(self, change: Change) -> None:
        if not change.kinds & _SHOWN:
            return
        if self.pages.currentWidget() is self.list:
            self.list.table.show_rows(self.journal.blind.rows())
            return
        known = {t.id: t for t in self.journal.tastings.all()}
        if self.tasting is None:
            if self._gone in known and not self.lay.begun():
                self._open(known[self._gone])  # done again: it is gone on with
            return
        after = known.get(self.tasting.id)
        if after is None:
            gone = self.tasting.id
            self._set_up_another()
            self._gone = gone
        elif (after.lifted_ms is None) != (self.tasting.lifted_ms is None):
            self._open(after)
        elif after.lifted_ms is not None:
            self.revealing.show_session(after)
        else:
            self.sheet.message.say_if_any(
                ""
            )  # what was kept may be undone; an act says its own after this
            self.scoring.refresh(change.initiator not in (self, self.scoring))

    def main(self) -> None:
        """What Ctrl+Enter does on the page that is shown."""
        page = self.pages.currentWidget()
        if page is self.lay:
            self._arrange()
        elif page is self.list:
            self.list.open_current()
        elif page is self.sheet:
            self.scoring.save()
        elif page is self.paper:
            self.scoring.save_paper()
        elif page is self.cups and self.is_hidden is not None:
            self._reveal(self.is_hidden, self.cups.under())
        self.typed.emit()  # what is kept now is half typed no longer

    def other(self) -> None:
        """From the list to laying another out, from anywhere else to the list."""
        rows = self.journal.blind.rows()
        if self.pages.currentWidget() is self.list or not rows:
            self._set_up_another()
            return
        if self.is_hidden is not None:
            self.scoring.hold()
        self.tasting = None
        self.pages.setCurrentWidget(self.list)
        self.right_pages.setCurrentWidget(self.board)
        self.list.show_sessions(rows)
        self._show_board()
        self.list.setFocus()

    @property
    def is_hidden(self) -> Tasting | None:
        """The session at hand while it is hidden."""
        at_hand = self.tasting
        return at_hand if at_hand is not None and at_hand.lifted_ms is None else None

    def can_reveal(self) -> bool:
        return self.is_hidden is not None and self._is_scored()

    def _is_scored(self) -> bool:
        return self.pages.currentWidget() in (self.sheet, self.paper)

    def reveal(self) -> None:
        """Lift the cloth; asked twice while somebody has not finished."""
        tasting = self.is_hidden
        if tasting is None or not self._is_scored():
            return
        self.pages.setCurrentWidget(self.sheet)
        if not self.scoring.may_reveal():
            return
        if tasting.coding == SHUFFLED:
            self.pages.setCurrentWidget(self.cups)
            typed = self.half.of(tasting.uuid).get(_CUPS)
            texts = [str(text) for text in typed] if isinstance(typed, list) else []
            self.cups.show_cups(self.scoring.samples(), texts)
            return
        self._reveal(tasting, None)

    def can_print(self) -> bool:
        return self.is_hidden is not None

    def can_join(self) -> bool:
        return self.can_reveal()

    def join(self) -> None:
        """Ask who joins the session that is hidden."""
        if self.can_join():
            self.going.join.setFocus()

    def print_out(self) -> None:
        """Print the sheets for assessors without a screen."""
        from journal.desk.tastings.blind.printing import print_sheets

        if self.is_hidden is not None:
            print_sheets(self.left, self.messages, self.journal, self.is_hidden)

    def has_key(self) -> bool:
        return self.can_print()

    def show_key(self) -> None:
        """Show the helper's page, still covered; or put it away."""
        if self.is_hidden is None:
            return
        if self.pages.currentWidget() is self.key:
            self.key.cover(())
            self._go_on()
            return
        self.scoring.hold()
        self.pages.setCurrentWidget(self.key)
        self.key.cover(self.journal.blind.key(id_of(self.is_hidden)))

    def can_type_in(self) -> bool:
        return self.can_reveal()

    def type_in(self) -> None:
        """Type in what was written on paper."""
        if self.can_type_in():
            self.pages.setCurrentWidget(self.paper)
            self.scoring.show_paper()

    def show_revealed(self, tasting_id: int) -> None:
        """Show a session whose cloth was lifted."""
        self._open(self.journal.tastings.get(tasting_id))

    def hold(self) -> None:
        if self.is_hidden is not None:
            self.scoring.hold()
            if self.pages.currentWidget() is self.cups:
                texts = list(self.cups.under().values())
                self.half.put(self.is_hidden.uuid, _CUPS, texts if any(texts) else None)
        self.half.put(BOARDS, _BOARD, self.lay.half_typed())

    # Steps

    def _open(self, tasting: Tasting) -> None:
        self.tasting = tasting
        if tasting.lifted_ms is not None:
            self.pages.setCurrentWidget(self.shown)
            self.right_pages.setCurrentWidget(self.beside)
            self.revealing.show_session(tasting)
            self.shown.setFocus()
            return
        self.scoring.open(tasting)
        self._go_on()

    def _go_on(self) -> None:
        self.pages.setCurrentWidget(self.sheet)
        self.right_pages.setCurrentWidget(self.going)
        self.scoring.refresh()
        self.sheet.to_first()

    def _set_up_another(self) -> None:
        self.scoring.hold()
        self.tasting = self._gone = None
        self.pages.setCurrentWidget(self.lay)
        self.right_pages.setCurrentWidget(self.board)
        self.lay.away.setVisible(bool(self.journal.blind.rows()))
        self._own = [name for name, _ in self.journal.sessions.attributes()]
        self._on_changed()
        self.lay.setFocus()

    def _arrange(self) -> None:
        """Draw orders and codes, and keep the session."""
        cheeses, people = self.lay.board.meant(SampleIdentity), self.lay.people.names()
        coding = self.lay.codes.chosen()
        try:
            at_ms = read_day(self.lay.day.text(), self.journal.zone, self.now())
            laid = set_up_session(cheeses, max(len(people), 1), coding, self.draw_seed())
            saved = self.journal.blind.set_up(
                Tasting(
                    at_ms, self.journal.zone, coding=coding,
                    attributes=tuple(self.lay.sheet.names()),
                ),
                cheeses, people, laid.orders, laid.codes, laid.labels, initiator=self,
            )  # fmt: skip
        except (FindingError, KeepingError, RecordError) as error:
            self.lay.message.say_if_any(_first(text_of(error), not cheeses), wrong=True)
            return
        self.lay.clear()
        self._open(saved)
        self.sheet.message.say_if_any(
            "The session is set up. Ctrl H shows the key to the helper; tasters look away."
        )

    def _reveal(self, tasting: Tasting, under: dict[int, str] | None) -> None:
        at_ms = max(self.now(), tasting.at_ms)
        try:
            revealed = self.journal.blind.reveal(id_of(tasting), at_ms, under, initiator=self)
        except KeepingError as error:
            self.cups.message.say_if_any(text_of(error), wrong=True)
            self.sheet.message.say_if_any(text_of(error), wrong=True)
            return
        self.half.put(tasting.uuid, _CUPS, None)
        self._open(revealed)

    # Handlers

    def _cheeses_like(self, text: str) -> list[Suggestion]:
        return cheeses_like(text, self.journal.sessions.wheels(), self.now())

    def _names_like(self, text: str) -> list[Suggestion]:
        return people_like(text, self.journal.sessions.people())

    def _people_like(self, text: str) -> list[Suggestion]:
        return as_entries(self._names_like(text))

    def _attributes_like(self, text: str) -> list[Suggestion]:
        return attributes_like(text, self._own)

    def _on_opened(self, row: SittingFar) -> None:
        self._open(row.tasting)

    def _on_joined(self, name: str) -> None:
        """Give who joins an order and codes, and let them begin when their turn comes."""
        tasting = self.is_hidden
        if tasting is None:
            return
        board = self.journal.blind.board(id_of(tasting))
        try:
            order, codes = create_joiner(
                board.cheeses, board.orders, board.labels, board.taken, tasting.coding,
                self.draw_seed(),
            )  # fmt: skip
            self.journal.blind.join(id_of(tasting), name, order, codes, initiator=self)
        except (FindingError, KeepingError) as error:
            self.scoring.say(text_of(error), wrong=True)
            return
        self.scoring.joined()
        self.scoring.say(f"{name} joins; their samples come after those of the others.")

    def _on_changed(self) -> None:
        self.lay.message.say_if_any("")
        self._show_board()

    def _show_board(self) -> None:
        self.board.show_plan(len(self.lay.board.entries()), self.lay.people.names())

    def _on_photo(self) -> None:
        bring_photo(self.journal, self.sheet)

    def _on_back(self) -> None:
        if self.pages.currentWidget() is self.cups:
            self.hold()
            self.sheet.message.say_if_any("")  # it spoke of the cups
        self._go_on()


def _first(message: str, nothing: bool) -> str:
    """What to do first where nothing is on the board."""
    return "Choose what to taste first." if nothing else message
