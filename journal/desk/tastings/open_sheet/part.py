"""The part of the open sheet: choose a wheel, say who tastes, type the scores, hand on."""

from __future__ import annotations

from datetime import date
from functools import partial

from PySide6.QtCore import QObject, Signal

from journal.curves.plan_safety import lets_listeria_grow
from journal.desk.buttons import PLAIN, Button
from journal.desk.calendarline import CalendarLine
from journal.desk.empty import EmptyPage
from journal.desk.form.chips import ChipEntry
from journal.desk.form.suggest import Suggestion
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.tastings.drafts import Drafts
from journal.desk.tastings.months import age_scores
from journal.desk.tastings.open_sheet.beside import Beside
from journal.desk.tastings.open_sheet.chooser import Chooser, choices
from journal.desk.tastings.open_sheet.sheet import Sheet
from journal.desk.tastings.part import TastingPart, stands_in
from journal.desk.tastings.session import SessionController
from journal.desk.tastings.session_days import held_back, served_openly, session_days, waiting
from journal.keeping import Change
from journal.keeping.session_rows import GivenRow, OpenServing, WheelRow
from journal.records import RecordError, id_of
from journal.records.dates import age_days, read_day
from journal.records.instants import local, same_day
from journal.records.kinds import ATTRIBUTES
from journal.reports.profile import profile_of
from journal.wording import text_of, worded
from journal.wording.ages import old_words
from journal.wording.dates import day_words, format_day
from journal.wording.keys import with_keys
from journal.wording.session_progress import progress_rows

_EMPTY = (
    "When a make is finished, its wheels will appear here, to be scored at any age by any "
    "number of assessors. Finish a make first, or import past makes with {key:bring_makes}."
)


class OpenPart(TastingPart):
    """Left the wheels and the sheet, right what the wheel got before. `line` has every session,
    the day of the sheet chosen; `makes_asked` asks for the place of makes."""

    kinds = frozenset(("wheel", "make", "tasting", "sample", "score", "assessor", "defect_mark",
                       "sample_note"))  # fmt: skip
    makes_asked = Signal()

    def __init__(self, desk: Desk, messages: MessageBar, parent: QObject) -> None:
        super().__init__(desk, messages, parent)
        self.drafts = Drafts(self.journal)
        self._wheel: WheelRow | None = None
        self._who = ""
        self._day_ms: int | None = None  # None: today, whenever that is
        self._own: dict[str, list[str]] = {}  # by day: attributes asked for in this window
        self.beside = Beside(self.journal, self._without_line)
        self.beside.picked.connect(self._on_cell)
        self.beside.owned.connect(self._on_owned)
        self.right_pages.addWidget(self.beside)
        self.chooser = Chooser()
        self.chooser.selected.connect(self._on_selected)
        self.chooser.chosen.connect(self._on_chosen)
        self.chooser.left.connect(self._on_back)
        self.begin = Button("Go to Makes", PLAIN, "place_3")
        self.begin.clicked.connect(self.makes_asked)
        self.empty = EmptyPage("No wheels to taste yet.", with_keys(_EMPTY), (self.begin,))
        self.sheet = Sheet(self.names_like)
        self.sheet.named.connect(self._on_named)
        self.sheet.dated.connect(self._on_dated)
        self.sheet.typed.connect(self.typed)
        self.sheet.save_asked.connect(self.main)
        self.sheet.other_asked.connect(self.other)
        self.entry = SessionController(
            self.journal, self.sheet, self.beside.scale, self.drafts, self
        )
        for page in (self.empty, self.chooser, self.sheet):
            self.pages.addWidget(page)
        self.line = CalendarLine("Sessions")
        self._refreshing = False

    # What the place hands on

    def entered(self) -> None:
        self._refresh()
        if self.tasting():
            if not stands_in(self.sheet):
                self.sheet.to_first()
        elif self.has_wheels():
            self.chooser.setFocus()
        else:
            self.begin.setFocus()

    def on_change(self, change: Change) -> None:
        self._refresh()
        if self._wheel is not None:
            self.entry.say_nothing()  # what was saved may be undone; an act says its own after this
        wheel = self.wheel
        if wheel is not None and self.entry.unsaved() is None:
            self._load(wheel)

    def hold(self) -> None:
        wheel = self.wheel
        if wheel is None:
            return
        self.entry.at = self._serving(wheel)
        self.entry.hold()

    def begun(self) -> list[str]:
        """Which sheets are begun and not kept, in words."""
        found = self.drafts.all()
        codes = {row.id: row.code for row in self.journal.sessions.wheels()} if found else {}
        return [
            worded(
                "desk.sheet-of",
                code=codes[wheel],
                who=self._known(who) or worded("desk.nobody-yet"),
                day=format_day(date.fromisoformat(day), year=False),
            )
            for wheel, who, day in found
            if wheel in codes
        ]

    def show_make(self, code: str) -> None:
        """Go to the wheels of a make."""
        self.hold()
        self.chooser.line.setText(code)
        self.pages.setCurrentWidget(self.chooser)

    @property
    def wheel(self) -> WheelRow | None:
        """The wheel whose sheet is open; None while one is chosen."""
        return self._wheel if self.tasting() else None

    @property
    def revealed_wheel(self) -> WheelRow | None:
        """The wheel whose scores are seen; None while they are held back, or there are none."""
        return None if self.beside.why.isHidden() else self.wheel or self.chooser.current()

    def tasting(self) -> bool:
        """The sheet is open."""
        return self.on(self.sheet)

    def has_wheels(self) -> bool:
        """There is a wheel."""
        return not self.on(self.empty)

    # Acts

    def other(self) -> None:
        """Go to the list of wheels; what is typed stays."""
        if not self.has_wheels():
            return
        self.hold()
        self.sheet.message.say_if_any("")
        self.chooser.line.clear()
        self.pages.setCurrentWidget(self.chooser)
        self._refresh()
        if self._wheel is not None:
            self.chooser.select(self._wheel.id)
        self.chooser.setFocus()

    def ask_attribute(self) -> None:
        """Ask for an attribute the sheet has no line for."""
        if self.tasting() and self.sheet.isVisible():
            self.beside.own.setFocus()

    def add_attribute(self, attribute: str) -> None:
        """Add a line for an attribute to the sheet of this day; what is typed stays."""
        self._own.setdefault(self._day(), []).append(attribute)
        draft = self.sheet.draft()
        self.sheet.set_attributes(self._attributes())
        self.sheet.show_draft(draft)

    def can_main(self) -> bool:
        return self.tasting()

    def main(self) -> None:
        """Keep everything on the sheet and make it ready for the next assessor."""
        wheel = self.wheel
        if wheel is None:
            self.chooser.take()
            return
        scores = len(self.sheet.draft().texts)
        self.entry.at = self._serving(wheel)
        if not self.entry.save():
            if not self._who:
                self.sheet.to_who()
            return
        self._hand_on(wheel, scores)

    def _hand_on(self, wheel: WheelRow, scores: int) -> None:
        """Propose who has not scored this wheel yet."""
        saved = self._known(self._who)
        message = worded("desk.scores-saved", scores=scores, who=saved)
        waiting = self._waiting(wheel)
        self._show(wheel, waiting[0] if waiting else "")
        self._refresh()
        if waiting:
            self.sheet.message.say_if_any(
                worded("desk.is-next-or-another", said=message, who=waiting[0])
            )
        else:
            self.sheet.message.say_if_any(worded("desk.who-is-next", said=message))
        self.sheet.to_who()

    # The current sheet

    def _open(self, wheel: WheelRow, who: str) -> None:
        """Show the sheet of a wheel for an assessor."""
        self.hold()
        self._show(wheel, who)
        self.sheet.message.say_if_any("")
        self._refresh()

    def _show(self, wheel: WheelRow, who: str) -> None:
        self._wheel, self._who = wheel, who
        self.sheet.who.setText(who)
        self.pages.setCurrentWidget(self.sheet)
        self._load(wheel)

    def _load(self, wheel: WheelRow) -> None:
        """Show the draft that is held, else what was kept, else an empty sheet."""
        self.entry.show(self._serving(wheel), self._attributes())
        self.sheet.day.setText(day_words(self._at(), self.journal.zone))
        self.sheet.day.setCursorPosition(0)
        days = age_days(wheel.started_ms, self._at())
        age = old_words(days) if days >= 0 else worded("desk.not-made-yet")
        self.sheet.show_wheel(wheel.code, f"{wheel.plan}, {age}")

    def _move(self, wheel: WheelRow, before: OpenServing, *, carry: bool) -> None:
        """The sheet is for another person or day now: show theirs. What is typed stays under the
        key before, or is taken along where nothing stands yet."""
        draft, key = self.entry.unsaved(), self._serving(wheel)
        free = self.drafts.of(key) is None and self.journal.sessions.scored(key) is None
        self.drafts.put(before, None)
        if draft is not None:
            self.drafts.put(key if carry and free else before, draft)
        self._load(wheel)
        self._refresh()

    def _turn_day(self, at_ms: int, *, carry: bool) -> None:
        wheel = self.wheel
        before = self._serving(wheel) if wheel is not None else None
        today = same_day(at_ms, self.now(), self.journal.zone)
        self._day_ms = None if today else at_ms
        self.sheet.message.say_if_any("")
        if wheel is not None and before is not None:
            self._move(wheel, before, carry=carry)
        else:
            self._refresh()

    def turn_to(self, at_ms: int) -> None:
        """Go to the session of a day; what is typed stays where it is."""
        self._turn_day(at_ms, carry=False)

    def _serving(self, wheel: WheelRow) -> OpenServing:
        return OpenServing(wheel.id, self._who, self._at())

    def _at(self) -> int:
        return self.now() if self._day_ms is None else self._day_ms

    def _day(self) -> str:
        return local(self._at(), self.journal.zone).date().isoformat()

    def _known(self, name: str) -> str:
        """The name as the journal writes it."""
        found = self.journal.sessions.assessor(name)
        return found.name if found is not None else name

    def _attributes(self) -> list[str]:
        """The usual attributes, then those of one's own that this day's sheet has."""
        given = [one.attribute for one in self._session_scores()]
        return list(dict.fromkeys([*ATTRIBUTES, *given, *self._own.get(self._day(), ())]))

    def _session_scores(self) -> list[GivenRow]:
        """What was given on the day of the sheet."""
        found = self.journal.sessions.on_day(self._at())
        return [g for t in found for g in self.journal.sessions.of_session(id_of(t))]

    def _waiting(self, wheel: WheelRow) -> list[str]:
        return waiting(self._session_scores(), self.journal.sessions.people(), wheel.id)

    # Refresh

    def _refresh(self) -> None:
        rows = self.journal.sessions.wheels()
        if not rows:
            self.pages.setCurrentWidget(self.empty)
        elif self.on(self.empty):
            self.pages.setCurrentWidget(self.chooser)
        self._refreshing = True
        self.chooser.show_choices(choices(rows, self.now()))
        self._refreshing = False
        if self._wheel is not None:
            self._wheel = next((r for r in rows if r.id == self._wheel.id), None)
            if self._wheel is None and self.tasting():
                self.pages.setCurrentWidget(self.chooser)
        self._refresh_beside()
        self.refresh_line()

    def _refresh_beside(self) -> None:
        self.beside.setVisible(self.has_wheels())
        self.beside.holder.setVisible(self.tasting())
        wheel = self.wheel or self.chooser.current()
        if wheel is None:
            self.beside.show_wheel("", (), None, hidden=False)
        else:
            given = self.journal.sessions.of_wheel(wheel.id)
            today = {id_of(t) for t in self.journal.sessions.on_day(self._at())}
            mine = self._known(self._who) if self.tasting() else None
            given, hidden = held_back(given, today, mine)
            bars = age_scores(given, wheel.started_ms)
            profile = None if hidden else partial(profile_of, self.journal, wheel.id)
            self.beside.show_wheel(wheel.code, bars, profile, hidden=hidden)
        self._refresh_table()

    def _refresh_table(self) -> None:
        wheel = self.wheel
        people, who = self.journal.sessions.people(), self._known(self._who) if wheel else ""
        typed = self.drafts.on_day(self._day())
        heads, served = served_openly(self._session_scores(), people, wheel, who, typed)
        rows = progress_rows(served, (wheel.id, who) if wheel else None)
        self.beside.show_session(day_words(self._at(), self.journal.zone), heads, rows)

    def refresh_line(self) -> None:
        """Show every session there is now."""
        zone, sessions = self.journal.zone, self.journal.sessions.all()
        days = session_days(sessions, self._at(), self.now(), zone)
        self.line.show_days("Sessions", days, zone)

    # Handlers

    def _without_line(self, text: str) -> list[Suggestion]:
        shown = {row.attribute for row in self.sheet.rows}
        return [s for s in self.attributes_like(text) if s.words not in shown]

    def _on_selected(self, _row: WheelRow) -> None:
        if not self.tasting() and not self._refreshing:
            self._refresh_beside()

    def _on_chosen(self, row: WheelRow) -> None:
        waiting = self._waiting(row)
        self._open(row, self._who if self._who in waiting or not waiting else waiting[0])
        self.beside.scale.show_scale(
            self.sheet.rows[0].attribute
        )  # the scale is never one of nothing
        self.sheet.to_who()
        if row.verdict or row.failed:
            message = text_of(row.verdict.message) if row.verdict else "This make failed."
            self.sheet.message.say_if_any(message, wrong=True)
        elif lets_listeria_grow(
            self.journal.plans.get(self.journal.makes.get(row.make_id).plan_id)
        ):
            self.sheet.message.say_if_any(worded("desk.soft-tasted"), wrong=True)

    def _on_back(self) -> None:
        if self._wheel is not None:
            self.pages.setCurrentWidget(self.sheet)
            self._load(self._wheel)
            self._refresh()
            self.sheet.to_first()

    def _on_cell(self, key: tuple[int, str]) -> None:
        wheel_id, who = key
        rows = self.journal.sessions.wheels()
        row = next((r for r in rows if r.id == wheel_id), None)
        if row is not None:
            self._open(row, who)
            self.sheet.to_first()

    def _on_named(self, name: str) -> None:
        if name == self._who or self._wheel is None:
            return
        before = self._serving(self._wheel)
        stranger = self.journal.sessions.assessor(self._who) is None
        self._who = name
        self._move(self._wheel, before, carry=stranger)

    def _on_dated(self, text: str) -> None:
        if self._wheel is None or text == day_words(self._at(), self.journal.zone):
            return
        try:
            at = read_day(text, self.journal.zone, self.now())
        except RecordError as error:
            self.sheet.message.say_if_any(text_of(error), wrong=True)
            return
        self._turn_day(at, carry=True)

    def _on_owned(self, entry: ChipEntry) -> None:
        self.add_attribute(str(entry.means))
        self.sheet.rows[-1].setFocus()
