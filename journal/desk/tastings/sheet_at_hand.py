"""What is on the open sheet: which wheel, for whom, on which day; what is typed and not kept."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from journal.desk.place import Desk, Place
from journal.desk.tastings.drafts import Draft, Drafts, Key, draft_of
from journal.desk.tastings.half_typed import HalfTyped
from journal.desk.tastings.sheet import Sheet
from journal.keeping.sittings import WheelRow
from journal.records.dates import age_days, day_words, format_day, old_words
from journal.records.instants import local
from journal.records.kinds import ATTRIBUTES

PAUSE_MS = 250  # after a key, until the sheet is written down; leaving writes at once


class SheetAtHand(Place):
    """The sheet's side of open scoring; pages, acts and handlers stand in open_scoring.py."""

    sheet: Sheet

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.drafts = Drafts(self.journal)
        self.half = HalfTyped(self.journal)
        self._untold = self.drafts.all()  # from before, not said yet
        self._half_begun = self.half.begun()
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(PAUSE_MS)
        self._rest.timeout.connect(self.let_go)
        self._wheel: WheelRow | None = None
        self._who = ""
        self._day_ms: int | None = None  # None: today, whenever that is
        self._loaded = Draft()
        self._own: dict[str, list[str]] = {}  # by day: attributes asked for in this window

    def lay_out(self) -> None:
        super().lay_out()
        self.sheet.typed.connect(self._rest.start)

    def enter(self) -> None:
        super().enter()
        self._tell()

    def let_go(self) -> None:
        self._rest.stop()
        self._hold()
        refused = self.drafts.write() or self.half.write()
        if refused:
            self.say("draft", refused)
        else:
            self.clear("draft")

    def _tell(self) -> None:
        """Say once which sheets were begun before and not kept."""
        untold, self._untold = self._untold, []
        codes = {row.id: row.code for row in self.journal.sittings.wheels()} if untold else {}
        named = [
            f"{codes[wheel]} by {self._known(who) or 'nobody yet'}, {_in_words(day)}"
            for wheel, who, day in untold
            if wheel in codes
        ]
        named += self._half_begun
        self._half_begun = []
        if named:
            self.say("begun", f"Typed and not kept yet: {'; '.join(named)}.", attention=False)

    def add_own(self, attribute: str) -> None:
        """Have a line for an attribute on the sheet of this day; what is typed stays."""
        day = local(self._at(), self.journal.zone).date().isoformat()
        self._own.setdefault(day, []).append(attribute)
        draft = self.sheet.draft()
        self.sheet.set_attributes(self._attributes())
        self.sheet.show_draft(draft)

    def _attributes(self) -> list[str]:
        """The usual attributes, then those of one's own that this day's sheet has."""
        at = self._at()
        day = local(at, self.journal.zone).date().isoformat()
        given = [
            one.attribute
            for tasting in self.journal.sittings.on_day(at)
            for one in self.journal.sittings.of_sitting(tasting.id)
        ]
        return list(dict.fromkeys([*ATTRIBUTES, *given, *self._own.get(day, ())]))

    def tasting(self) -> bool:
        """The sheet is open."""
        return False

    def _refresh(self) -> None:
        """Show what the journal says now."""

    def _open(self, wheel: WheelRow, who: str) -> None:
        """Show the sheet of a wheel for an assessor."""
        self._hold()
        self._wheel = wheel
        self._who = who
        self.sheet.who.setText(who)
        self.pages.setCurrentWidget(self.sheet)
        self._load(self._key())
        self.sheet.say("")
        self._refresh()

    def _turn_to(self, who: str) -> None:
        """The same wheel, another assessor."""
        self._who = who
        self.sheet.who.setText(who)
        self._load(self._key())
        self._refresh()

    def _load(self, key: Key) -> None:
        """Show the draft under a key, else what was kept, else an empty sheet."""
        card = self.journal.sittings.card(self._wheel.id, self._who, self._at())
        names = self._attributes()
        self.sheet.set_attributes(names)
        self._loaded = draft_of(card, names) if card is not None else Draft()
        self.sheet.show_draft(self.drafts.of(key) or self._loaded)
        self.sheet.day.setText(day_words(self._at(), self.journal.zone))
        days = age_days(self._wheel.started_ms, self._at())
        age = old_words(days) if days >= 0 else "not made yet"
        self.sheet.show_wheel(self._wheel.code, f"{self._wheel.plan}, {age}")

    def _hold(self) -> None:
        """Remember what is typed and not kept."""
        if self._wheel is None or not self.tasting():
            return
        draft = self.sheet.draft()
        if draft == self._loaded:
            self.drafts.drop(self._key())
        else:
            self.drafts.hold(self._key(), draft)

    def _move(self, before: Key, *, carry: bool) -> None:
        """The sheet is for another person or day now: show theirs. What is typed stays under the
        key before, or is taken along where nothing stands yet."""
        draft, key = self.sheet.draft(), self._key()
        card = self.journal.sittings.card(self._wheel.id, self._who, self._at())
        free = self.drafts.of(key) is None and card is None
        self.drafts.drop(before)
        if draft != self._loaded:
            self.drafts.hold(key if carry and free else before, draft)
        self._load(key)
        self._refresh()

    def _key(self) -> Key:
        day = local(self._at(), self.journal.zone).date().isoformat()
        return (self._wheel.id, self._who.casefold(), day)

    def _at(self) -> int:
        return self.desk.clock() if self._day_ms is None else self._day_ms

    def _known(self, name: str) -> str:
        """The name as the journal writes it."""
        found = self.journal.sittings.assessor(name)
        return found.name if found is not None else name


def _in_words(day: str) -> str:
    return format_day(date.fromisoformat(day), year=False)
