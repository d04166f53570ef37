"""Blind sessions: which page is shown, and what becomes of what is typed."""

from __future__ import annotations

from PySide6.QtCore import QObject

from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.tables import Column
from journal.desk.tastings.blind.board import ServingBoard
from journal.desk.tastings.blind.elsewhere import PagesElsewhere
from journal.desk.tastings.blind.going import RunningSession
from journal.desk.tastings.blind.key import CupsPage
from journal.desk.tastings.blind.paper_entry import PaperEntry
from journal.desk.tastings.blind.revealed import BesideRevealed, RevealedPage
from journal.desk.tastings.blind.revealing import Revealing
from journal.desk.tastings.blind.scoring import Scoring
from journal.desk.tastings.blind.setting_up import SessionForm
from journal.desk.tastings.blind.sheet import BlindSheet
from journal.desk.tastings.coded import CodedPages, CodedPart
from journal.desk.tastings.half_typed import UnsavedTexts
from journal.desk.tastings.part import stands_in
from journal.desk.tastings.session_list import SessionList
from journal.findings import FindingError
from journal.findings.setting_up import create_joiner, set_up_session
from journal.keeping import Change, KeepingError
from journal.keeping.session_rows import BlindSessionRow, KeyRow, SampleIdentity
from journal.records import RecordError, id_of
from journal.records.dates import read_day
from journal.records.tastings import SHUFFLED, Tasting
from journal.wording import text_of, worded
from journal.wording.dates import day_words
from journal.wording.session_page import far

_CUPS = "cups"


def _day(row: BlindSessionRow) -> str:
    return day_words(row.tasting.at_ms, row.tasting.zone)


def _at(row: BlindSessionRow) -> int:
    return row.tasting.at_ms


def _samples(row: BlindSessionRow) -> str:
    return str(row.samples)


def _people(row: BlindSessionRow) -> str:
    return ", ".join(row.people)


def _is_hidden(row: BlindSessionRow) -> bool:
    return row.tasting.lifted_ms is None


_COLUMNS = (
    Column("day", _day, bold=True, sort=_at), Column("samples", _samples, right=True),
    Column("who", _people, quiet=True, stretch=True), Column("", far, right=True, quiet=True),
)  # fmt: skip


class BlindPart(CodedPart[Tasting, BlindSessionRow]):
    """Sessions in which cheeses are scored under codes, on screen or paper."""

    kinds = frozenset(("tasting", "sample", "serving", "score", "defect_mark", "sample_note",
                       "scale_word", "assessor", "wheel", "make"))  # fmt: skip
    board = "sitting"  # as drafts are stored

    def __init__(
        self, desk: Desk, messages: MessageBar, half: UnsavedTexts, parent: QObject
    ) -> None:
        super().__init__(desk, messages, half, parent)
        self.list = SessionList("Blind sessions", "New session", _COLUMNS, _is_hidden)
        self.form = SessionForm(self.cheeses_like, self.people_like, self.attributes_like)
        self.sheet, self.paper, self.cups = BlindSheet(), PaperEntry(), CupsPage()
        self.shown = RevealedPage()
        self.serving_board = ServingBoard()
        self.going = RunningSession(self.journal, self.names_like)
        self.beside = BesideRevealed(self.journal.photos.file)
        self.scoring = Scoring(self.journal, half, self.sheet, self.paper, self.going, self)
        self.elsewhere = PagesElsewhere(self.journal, messages, self)
        self.revealing = Revealing(self.journal, self.shown, self.beside, self)
        self.arrange(
            CodedPages(self.form, self.list, (self.sheet, self.paper), self.serving_board),
            {self.form: self._set_up, self.list: self.list.open_current,
             self.sheet: self.scoring.save, self.paper: self.scoring.save_paper,
             self.cups: self._turn_cups, self.shown: None},
            (self.serving_board, self.going, self.beside), self.form,
        )  # fmt: skip
        self._join()

    def _join(self) -> None:
        self.sheet.other_asked.connect(self.reveal)
        for page in (self.sheet, self.paper):
            page.save_asked.connect(self.main)
        self.cups.reveal_asked.connect(self.main)
        for back in (self.paper.back_asked, self.cups.back_asked, self.going.left):
            back.connect(self._on_back)
        for typed in (self.sheet.typed, self.paper.edited, self.cups.edited):
            typed.connect(self.typed)
        self.shown.back.connect(self.other)
        self.going.type_in.clicked.connect(self.type_in)
        self.going.prints.clicked.connect(self.print_out)
        self.going.key.clicked.connect(self.show_key)
        self.going.pages.clicked.connect(self.write_pages)
        self.going.paste.clicked.connect(self.elsewhere.paste)
        self.going.joined.connect(self._on_joined)

    # What this kind says

    def sessions(self) -> list[Tasting]:
        return self.journal.sessions.coded()

    def rows(self) -> list[BlindSessionRow]:
        return self.journal.sessions.rows()

    def session_of(self, row: BlindSessionRow) -> Tasting:
        return row.tasting

    def key_of(self, session: Tasting) -> list[KeyRow]:
        return self.journal.sessions.key(id_of(session))

    def open(self, session: Tasting) -> None:
        self.session = session
        if session.lifted_ms is not None:
            self.show_pages(self.shown, self.beside)
            self.revealing.show_session(session)
            self.shown.setFocus()
            return
        self.scoring.open(session)
        self.go_on()

    def go_on(self) -> None:
        self.show_pages(self.sheet, self.going)
        self.scoring.refresh()
        self.sheet.to_first()

    def plan(self) -> None:
        self.form.message.say_if_any("")
        self.serving_board.show_plan(len(self.form.board.entries()), self.form.people.names())

    def refresh(self, session: Tasting, change: Change) -> None:
        if session.lifted_ms is not None:
            self.revealing.show_session(session)
            return
        self.scoring.entry.say_nothing()  # what was saved may be undone; an act says its own
        self.scoring.refresh(change.initiator not in (self, self.scoring))

    # What the place hands on

    def entered(self) -> None:
        if self.on(self.key):
            self.put_key_away()
        elif self.on(self.list):
            self.list_anew()
            self.list.setFocus()
        elif self.session is None:
            found = self.journal.sessions.hidden_sessions()
            if found and not self.form.begun():
                self.open(found[-1])
            else:
                self.set_up_another()
        elif self.on(self.sheet):
            self.scoring.refresh()
            if not stands_in(self.sheet):
                self.sheet.to_first()

    def hold(self) -> None:
        if self.hidden is not None:
            self.scoring.hold()
            if self.on(self.cups):
                texts = list(self.cups.under().values())
                self.half.put(self.hidden.uuid, _CUPS, texts if any(texts) else None)
        self.hold_set_up()

    def reveal(self) -> None:
        """Reveal the samples; asked twice while somebody has not finished."""
        session = self.hidden
        if session is None or not self.can_reveal():
            return
        self.pages.setCurrentWidget(self.sheet)
        unfinished = self.scoring.unfinished()
        if unfinished and not self.confirmed(self.sheet.message, unfinished):
            return
        if not self.scoring.begun():
            self.scoring.take_away()
            return
        if session.coding == SHUFFLED:
            self.pages.setCurrentWidget(self.cups)
            typed = self.half.of(session.uuid).get(_CUPS)
            texts = [str(text) for text in typed] if isinstance(typed, list) else []
            self.cups.show_cups(self.scoring.samples(), texts)
            return
        self._reveal(session, None)

    def can_join(self) -> bool:
        return self.can_reveal()

    def join(self) -> None:
        """Ask who joins the session that is hidden."""
        if self.can_join():
            self.going.join.setFocus()

    def print_out(self) -> None:
        """Print the sheets for assessors without a screen."""
        from journal.desk.tastings.blind.printing import print_sheets

        if self.hidden is not None:
            print_sheets(self.pages, self.messages, self.journal, self.hidden)

    def write_pages(self) -> None:
        """Write a page for each assessor who tastes elsewhere."""
        if self.hidden is not None:
            self.elsewhere.write(self.pages, self.hidden)

    def can_take(self) -> bool:
        return bool(self.journal.sessions.hidden_sessions())

    def paste_answer(self) -> None:
        """Take the answer that was copied."""
        self.elsewhere.paste()

    def can_type_in(self) -> bool:
        return self.can_reveal()

    def type_in(self) -> None:
        """Type in what was written on paper."""
        if self.can_type_in():
            self.scoring.entry.say_nothing()
            self.pages.setCurrentWidget(self.paper)
            self.scoring.show_paper()

    def show_revealed(self, tasting_id: int) -> None:
        """Show a session that was revealed."""
        self.hold()
        self.open(self.journal.tastings.get(tasting_id))

    # Steps

    def _set_up(self) -> None:
        """Draw orders and codes, and save the session."""
        cheeses, people = self.form.board.meant(SampleIdentity), self.form.people.names()
        coding = self.form.codes.chosen()
        try:
            at_ms = read_day(self.form.day.text(), self.journal.zone, self.now())
            design = set_up_session(cheeses, max(len(people), 1), coding, self.draw_seed())
            saved = self.journal.sessions.set_up(
                Tasting(
                    at_ms, self.journal.zone, coding=coding,
                    attributes=tuple(self.form.sheet.names()),
                ),
                cheeses, people, design.orders, design.codes, design.labels, initiator=self,
            )  # fmt: skip
        except (FindingError, KeepingError, RecordError) as error:
            self.form.message.say_if_any(_first(text_of(error), not cheeses), wrong=True)
            return
        self.form.clear()
        self.open(saved)
        self.sheet.message.say_if_any(worded("desk.session-set-up"))

    def _turn_cups(self) -> None:
        if self.hidden is not None:
            self._reveal(self.hidden, self.cups.under())

    def _reveal(self, session: Tasting, under: dict[int, str] | None) -> None:
        at_ms = max(self.now(), session.at_ms)
        try:
            revealed = self.journal.sessions.reveal(id_of(session), at_ms, under, initiator=self)
        except KeepingError as error:
            self.cups.message.say_if_any(text_of(error), wrong=True)
            self.sheet.message.say_if_any(text_of(error), wrong=True)
            return
        self.half.put(session.uuid, _CUPS, None)
        self.open(revealed)

    # Handlers

    def _on_joined(self, name: str) -> None:
        """Give who joins an order and codes, and let them begin when their turn comes."""
        session = self.hidden
        if session is None:
            return
        board = self.journal.sessions.board(id_of(session))
        try:
            order, codes = create_joiner(
                board.cheeses, board.orders, board.labels, board.taken, session.coding,
                self.draw_seed(),
            )  # fmt: skip
            self.journal.sessions.join(id_of(session), name, order, codes, initiator=self)
        except (FindingError, KeepingError) as error:
            self.scoring.say(text_of(error), wrong=True)
            return
        self.scoring.joined()
        self.scoring.say(worded("desk.assessor-joins", name=name))

    def _on_back(self) -> None:
        if self.on(self.cups):
            self.hold()
            self.sheet.message.say_if_any("")  # it spoke of the cups
        self.go_on()


def _first(message: str, nothing: bool) -> str:
    """What to do first where nothing is on the board."""
    return "Choose what to taste first." if nothing else message
