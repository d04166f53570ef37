"""Scoring a wheel whose name is known: choose it, say who tastes, type the scores, hand on."""

from __future__ import annotations

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from journal.desk.buttons import PLAIN, Button
from journal.desk.calendarline import CalendarLine
from journal.desk.empty import EmptyPage
from journal.desk.tastings.beside import Beside
from journal.desk.tastings.bringing import bring_photo
from journal.desk.tastings.cheeses import attributes_like
from journal.desk.tastings.chips import Entry
from journal.desk.tastings.chooser import Chooser, choices
from journal.desk.tastings.drafts import Draft, card_of
from journal.desk.tastings.months import bars_of
from journal.desk.tastings.scales import keep_words, scale_words
from journal.desk.tastings.sheet import Sheet
from journal.desk.tastings.sheet_at_hand import SheetAtHand
from journal.desk.tastings.sittingdays import (
    held_back,
    people_like,
    same_day,
    sitting_days,
    waiting,
)
from journal.desk.tastings.sittingtable import going
from journal.desk.tastings.suggest import Suggestion
from journal.keeping import Change, KeepingError
from journal.keeping.sittings import GivenRow, WheelRow
from journal.records import RecordError
from journal.records.dates import day_words, read_day
from journal.records.instants import local

_SHOWN = frozenset(
    ("wheel", "make", "tasting", "sample", "score", "assessor", "defect_mark", "sample_note")
)

_EMPTY = (
    "When a make is finished its wheels stand here, to be scored at any age by as many assessors "
    "as you like. Finish a make first, or bring in past makes with Ctrl Shift I."
)


class OpenScoring(SheetAtHand):
    """Left the wheels and the sheet, right what the wheel got before; below the sittings. What
    the place of tastings does beside that stands in place.py."""

    # Build

    def right(self) -> QWidget:
        self.beside = Beside(self._attributes_like)
        self.beside.picked.connect(self._on_cell)
        self.beside.owned.connect(self._on_owned)
        self.beside.scale.worded.connect(self._on_worded)
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.beside)
        return holder

    def left(self) -> QWidget:
        self.chooser = Chooser()
        self.chooser.stood.connect(self._on_stood)
        self.chooser.chosen.connect(self._on_chosen)
        self.chooser.left.connect(self._on_back)
        self.sheet = Sheet(self._people_like)
        self.sheet.named.connect(self._on_named)
        self.sheet.dated.connect(self._on_dated)
        self.sheet.typed.connect(self._on_typed)
        self.sheet.stands.connect(self._on_stands)
        self.sheet.photo.where = self.journal.photos.file
        self.sheet.photo_asked.connect(self._on_photo)
        self.sheet.keep_asked.connect(self.keep_and_hand_on)
        self.sheet.other_asked.connect(self.choose_wheel)
        self.begin = Button("Go to Makes", PLAIN, "Ctrl 3")
        self.begin.clicked.connect(self._on_makes)
        self.empty = EmptyPage("No wheel to taste yet.", _EMPTY, (self.begin,))
        self.pages = QStackedWidget()
        for page in (self.empty, self.chooser, self.sheet):
            self.pages.addWidget(page)
        return self.pages

    def strip(self) -> QWidget:
        self.line = CalendarLine("Sittings")
        self.line.picked.connect(self._on_sitting)
        return self.line

    # What the frame says

    def entered(self) -> None:
        self._refresh()
        if self.pages.currentWidget() is self.sheet:
            if not self.sheet.isAncestorOf(self.window().focusWidget() or self):
                self.sheet.to_first()
        elif self.has_wheels():
            self.chooser.setFocus()
        else:
            self.begin.setFocus()

    def heard(self, change: Change) -> None:
        if change.kinds & _SHOWN:
            self._refresh()
            self.sheet.say("")  # what was kept may be undone; an act says its own after this
            if self.tasting() and self.sheet.draft() == self._loaded:
                self._load(self._key())

    def show_make(self, make_id: int) -> None:
        self._hold()
        self.chooser.line.setText(self.journal.makes.get(make_id).code)
        self.pages.setCurrentWidget(self.chooser)

    # Acts

    def tasting(self) -> bool:
        """The sheet is open."""
        return self.pages.currentWidget() is self.sheet

    def has_wheels(self) -> bool:
        """There is a wheel."""
        return self.pages.currentWidget() is not self.empty

    def choose_wheel(self) -> None:
        """Go to the list of wheels; what is typed stays."""
        if not self.has_wheels():
            return
        self._hold()
        self.sheet.say("")
        self.chooser.line.clear()
        self.pages.setCurrentWidget(self.chooser)
        self._refresh()
        if self._wheel is not None:
            self.chooser.stand_on(self._wheel.id)
        self.chooser.setFocus()

    def keep_and_hand_on(self) -> None:
        """Keep everything on the sheet and make it ready for the next assessor."""
        if not self.tasting():
            self.chooser.take()
            return
        wrong = self.sheet.first_wrong()
        if wrong is not None:
            wrong.setFocus()
            self.sheet.say(f"{wrong.attribute} does not fit yet; nothing was kept.", wrong=True)
            return
        key = self._key()
        draft = self.sheet.draft()
        try:
            self._loaded = draft
            self.journal.sittings.give(
                self._wheel.id, self._who, self._at(), card_of(draft), initiator=self
            )
        except (KeepingError, RecordError) as error:
            self._loaded = Draft()
            self.sheet.say(str(error), wrong=True)
            if not self._who:
                self.sheet.to_who()
            return
        self.drafts.drop(key)
        self._hand_on(len(draft.texts))

    def _hand_on(self, scores: int) -> None:
        """Propose who has not scored this wheel yet."""
        kept = self._known(self._who)
        count = f"{scores} scores" if scores != 1 else "one score"
        said = f"Kept: {count} by {kept}."
        waiting = self._waiting()
        self._turn_to(waiting[0] if waiting else "")
        if waiting:
            self.sheet.say(f"{said} {waiting[0]} is next: Enter, or another name.")
        else:
            self.sheet.say(f"{said} Name who is next, or take another wheel.")
        self.sheet.to_who()

    def _waiting(self) -> list[str]:
        return waiting(self._sitting_scores(), self._names(), self._wheel.id)

    def _names(self) -> list[str]:
        return self.journal.sittings.people()

    # Refresh

    def _refresh(self) -> None:
        rows = self.journal.sittings.wheels()
        if not rows:
            self.pages.setCurrentWidget(self.empty)
        elif self.pages.currentWidget() is self.empty:
            self.pages.setCurrentWidget(self.chooser)
        self.chooser.show_choices(choices(rows, self.desk.clock()))
        if self._wheel is not None:
            self._wheel = next((r for r in rows if r.id == self._wheel.id), None)
            if self._wheel is None and self.tasting():
                self.pages.setCurrentWidget(self.chooser)
        self._refresh_beside()
        self._refresh_line()

    def _refresh_beside(self) -> None:
        self.beside.setVisible(self.has_wheels())
        self.beside.holder.setVisible(self.tasting())
        wheel = self._wheel if self.tasting() else self.chooser.current()
        if wheel is None:
            self.beside.show_wheel("", (), hidden=False)
        else:
            given = self.journal.sittings.of_wheel(wheel.id)
            today = {t.id for t in self.journal.sittings.on_day(self._at())}
            mine = self._known(self._who) if self.tasting() else None
            given, hidden = held_back(given, today, mine)
            bars = bars_of(given, wheel.started_ms)
            self.beside.show_wheel(wheel.code, bars, hidden=hidden)
        self._refresh_table()

    def _refresh_table(self) -> None:
        at = (self._wheel.id, self._wheel.code) if self.tasting() and self._wheel else None
        scores = self._sitting_scores()
        people = self._names() if at or scores else []
        who = self._known(self._who) if at else ""
        day = local(self._at(), self.journal.zone).date().isoformat()
        wheels = {g.wheel_id for g in scores} | ({at[0]} if at else set())
        typed = {(wheel, name) for wheel in wheels for name in self.drafts.people(wheel, day)}
        table = going(scores, people, at, who, typed)
        self.beside.show_sitting(day_words(self._at(), self.journal.zone), table)

    def _sitting_scores(self) -> list[GivenRow]:
        """What was given on the day of the sheet."""
        found = self.journal.sittings.on_day(self._at())
        return [g for t in found for g in self.journal.sittings.of_sitting(t.id)]

    def _refresh_line(self) -> None:
        zone, sittings = self.journal.zone, self.journal.sittings.all()
        days = sitting_days(sittings, self._at(), self.desk.clock(), zone)
        self.line.show_days("Sittings", days, zone)

    # Handlers

    def _people_like(self, text: str) -> list[Suggestion]:
        return people_like(text, self._names())

    def _on_stood(self, _row: WheelRow) -> None:
        if not self.tasting():
            self._refresh_beside()

    def _on_chosen(self, row: WheelRow) -> None:
        self._wheel = row
        waiting = self._waiting()
        self._wheel = None
        self._open(row, self._who if self._who in waiting or not waiting else waiting[0])
        self._on_stands(self.sheet.rows[0].attribute)  # the scale is never one of nothing
        self.sheet.to_who()
        if row.verdict or row.failed:
            self.sheet.say(row.verdict or "This make failed.", wrong=True)

    def _on_back(self) -> None:
        if self._wheel is not None:
            self.pages.setCurrentWidget(self.sheet)
            self._load(self._key())
            self._refresh()
            self.sheet.to_first()

    def _on_cell(self, wheel_id: int, who: str) -> None:
        rows = self.journal.sittings.wheels()
        row = next((r for r in rows if r.id == wheel_id), None)
        if row is not None:
            self._open(row, who)
            self.sheet.to_first()

    def _on_named(self, name: str) -> None:
        if name == self._who or self._wheel is None:
            return
        before = self._key()
        stranger = self.journal.sittings.assessor(self._who) is None
        self._who = name
        self._move(before, carry=stranger)

    def _on_dated(self, text: str) -> None:
        if self._wheel is None or text == day_words(self._at(), self.journal.zone):
            return
        try:
            at = read_day(text, self.journal.zone, self.desk.clock())
        except RecordError as error:
            self.sheet.say(str(error), wrong=True)
            return
        self._turn_day(at, carry=True)

    def _turn_day(self, at_ms: int, *, carry: bool) -> None:
        before = self._key() if self._wheel is not None else None
        today = same_day(at_ms, self.desk.clock(), self.journal.zone)
        self._day_ms = None if today else at_ms
        self.sheet.say("")
        if before is not None and self.tasting():
            self._move(before, carry=carry)
        else:
            self._refresh()

    def _on_sitting(self, at_ms: int) -> None:
        self._turn_day(at_ms, carry=False)

    def _on_typed(self) -> None:
        if self.sheet.said.text():
            self.sheet.say("")

    def _attributes_like(self, text: str) -> list[Suggestion]:
        known = [name for name, _ in self.journal.sittings.attributes()]
        shown = {row.attribute for row in self.sheet.rows}
        found = attributes_like(text, known)
        return [s for s in found if s.words not in shown]

    def _on_owned(self, entry: Entry) -> None:
        self.add_own(str(entry.means))
        self.sheet.rows[-1].setFocus()

    def _on_stands(self, attribute: str) -> None:
        self.beside.scale.show_scale(attribute, scale_words(self.journal, attribute))

    def _on_worded(self, attribute: str, value: float, words: str) -> None:
        keep_words(self.journal, attribute, value, words)

    def _on_photo(self) -> None:
        bring_photo(self, self.sheet)

    def _on_makes(self) -> None:
        self.goes.emit("makes", None)
