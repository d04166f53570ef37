"""Scoring hidden: which serving is current, what is typed, and who is next."""

from __future__ import annotations

from PySide6.QtCore import QObject

from journal.desk.tastings.blind.going import RunningSession
from journal.desk.tastings.blind.paper_entry import PaperEntry, SheetEntry
from journal.desk.tastings.blind.sheet import BlindSheet
from journal.desk.tastings.drafts import SHEETS, Drafts
from journal.desk.tastings.half_typed import UnsavedTexts
from journal.desk.tastings.session import SessionController
from journal.keeping import Journal, KeepingError
from journal.keeping.session_rows import ServingRow
from journal.records import RecordError, id_of
from journal.records.tastings import SHUFFLED, Tasting
from journal.wording import text_of, worded
from journal.wording.dates import day_words
from journal.wording.panel import even_words
from journal.wording.session_progress import Served, progress_rows

_PAPERS = "papers"


class Scoring(QObject):
    """Holds the sheet, the paper page and the page beside together over one session."""

    def __init__(
        self, journal: Journal, half: UnsavedTexts, sheet: BlindSheet, paper: PaperEntry,
        going: RunningSession, parent: QObject,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self.journal, self._half = journal, half
        self.sheet, self.paper, self.going = sheet, paper, going
        self._opened: Tasting | None = None
        self._servings: list[ServingRow] = []
        self._writer = ""
        drafts = Drafts(journal, half)
        self.entry = SessionController(journal, sheet, going.scale, drafts, self)
        paper.stands.connect(going.scale.show_scale)
        paper.turned.connect(self.show_paper)
        going.picked.connect(self._on_picked)

    @property
    def tasting(self) -> Tasting:
        """The session that was opened last; raises before there is one."""
        if self._opened is None:
            raise LookupError("No session is open.")
        return self._opened

    def open(self, tasting: Tasting) -> None:
        """Begin with a session hidden, at the first serving not given yet."""
        self.hold()
        self.entry.at = None
        self._opened = tasting
        self.entry.drafts.session = tasting.uuid
        self._recall()
        self._servings = self.journal.sessions.servings(id_of(tasting))
        self.going.scale.show_scale(tasting.sheet[0])
        begun = [s for s in self._servings if self.entry.drafts.of(s.id) is not None]
        to_come = [s for s in self._servings if not s.given]
        self.select((begun or to_come or self._servings)[0].id)

    def refresh(self, reload: bool = True) -> None:
        """Show what the journal says now."""
        if self._opened is None:
            return
        self._servings = self.journal.sessions.servings(id_of(self._opened))
        if self.entry.at not in {s.id for s in self._servings} and self._servings:
            self.select(self._servings[0].id)
        elif reload and self.entry.unsaved() is None:
            self._load()
        self._show_going()

    def samples(self) -> int:
        """How many samples there are."""
        return len({s.sample_id for s in self._servings})

    def hold(self) -> None:
        """Remember what is typed and not kept."""
        if self.entry.at is None:
            return
        self.entry.hold()
        self.paper.hold()
        papers = {str(key): texts for key, texts in self.paper.typed.items()}
        self._half.put(self.tasting.uuid, _PAPERS, papers or None)

    def _recall(self) -> None:
        """What is typed from paper and not kept at this session, as it was written down."""
        found = self._half.of(self.tasting.uuid)
        try:
            typed = {int(k): [str(t) for t in texts] for k, texts in found.get(_PAPERS, {}).items()}
        except (ValueError, TypeError, KeyError, AttributeError):
            typed = {}  # of another program's making
        self.paper.begin(typed)

    def say(self, sentence: str, *, wrong: bool = False) -> None:
        """Say something on the page that is shown."""
        page = self.paper if self.paper.isVisible() else self.sheet
        page.message.say_if_any(sentence, wrong=wrong)
        if page is self.sheet:
            self.sheet.to_first()
        else:
            self.paper.to_first()

    # Keeping

    def save(self) -> None:
        """Keep the sheet and hand on: the assessor's next sample, then the next assessor."""
        here = self._here()
        if not self.entry.save():
            return
        self._servings = self.journal.sessions.servings(id_of(self.tasting))
        self._hand_on(here)

    def _hand_on(self, saved: ServingRow) -> None:
        mine = [s for s in self._servings if s.assessor == saved.assessor and not s.given]
        others = [s for s in self._servings if not s.given]
        after = next(
            iter([*[s for s in mine if s.position > saved.position], *mine, *others]), None
        )
        if after is None:
            self._show_going()
            self.sheet.message.say_if_any(worded("desk.all-finished"))
            self.sheet.other.setFocus()
            return
        self.select(after.id)
        if after.assessor != saved.assessor:
            self.sheet.message.say_if_any(
                worded("desk.finished-and-next", finished=saved.assessor, after=after.assessor)
            )
        else:
            self.sheet.message.say_if_any(worded("desk.value-saved", value=self._called(saved)))
        self.sheet.to_first()

    def begun(self) -> bool:
        """Something was scored."""
        return any(s.given for s in self._servings)

    def unfinished(self) -> str:
        """What is to be said before it is revealed all the same; "" when all have finished."""
        if not self.begun():
            return worded("desk.no-scores-yet")
        left = [s.assessor for s in self._servings if not s.given]
        if not left:
            return ""
        return worded("desk.samples-left", assessor=left[0], samples=left.count(left[0]))

    def take_away(self) -> None:
        """Delete the session, with what is typed at it."""
        self.entry.at = None
        for key in (SHEETS, _PAPERS):
            self._half.put(self.tasting.uuid, key, None)
        self.journal.sessions.take_away(id_of(self.tasting))

    # Paper

    def show_paper(self, who: str = "") -> None:
        """Show the page for what an assessor wrote: who has most left to give, first."""
        self.hold()
        people = list(dict.fromkeys(s.assessor for s in self._servings))
        begun = [s.assessor for s in self._servings if s.id in self.paper.typed]
        waiting = [s.assessor for s in self._servings if not s.given]
        self._writer = who or (begun or waiting or people)[0]
        lines = [
            SheetEntry(s.id, self._called(s), self.journal.sessions.scored(s.id))
            for s in self._servings
            if s.assessor == self._writer
        ]
        self.paper.show_sheet(self._writer, people, self.tasting.sheet, lines)

    def joined(self) -> None:
        """Someone joined: show them; what is typed stays."""
        self.refresh(False)
        if self.paper.isVisible():
            people = list(dict.fromkeys(s.assessor for s in self._servings))
            self.paper.show_people(self._writer, people)

    def save_paper(self) -> None:
        """Keep every line that was typed, as one change, and go on to who is left."""
        try:
            all_scored = self.paper.all_scored()
            with self.journal.unit(worded("desk.step-what-they-wrote", who=self._writer), self):
                self.entry.save_all(all_scored)
        except (KeepingError, RecordError) as error:
            self.paper.message.say_if_any(text_of(error), wrong=True)
            return
        if not all_scored:
            self.paper.message.say_if_any("Nothing was typed yet.", wrong=True)
            return
        self.paper.saved()
        self._servings = self.journal.sessions.servings(id_of(self.tasting))
        self._load()
        self._show_going()
        counts = {"scored": len(all_scored), "samples": len(self._mine())}
        saved = worded("desk.sheet-of-saved", who=self._writer, **counts)
        waiting = [s.assessor for s in self._servings if not s.given]
        if waiting:
            self.show_paper(waiting[0])
            self.paper.message.say_if_any(worded("desk.is-next", said=saved, who=waiting[0]))
        else:
            self.paper.message.say_if_any(f"{saved} {worded('desk.all-finished')}")

    def _mine(self) -> list[ServingRow]:
        return [s for s in self._servings if s.assessor == self._writer]

    # Showing

    def _here(self) -> ServingRow:
        return next(s for s in self._servings if s.id == self.entry.at)

    def _called(self, serving: ServingRow) -> str:
        return (
            worded("desk.cup", number=serving.code)
            if self.tasting.coding == SHUFFLED
            else serving.code
        )

    def select(self, serving_id: int) -> None:
        """Show this serving on the sheet; what is typed for another is remembered."""
        self.hold()
        self.entry.at = serving_id
        self._load()
        self.sheet.message.say_if_any("")
        self._show_going()

    def _load(self) -> None:
        """Show the draft of the current serving, else what was kept of it."""
        here = self._here()
        self.entry.show(here.id, self.tasting.sheet)
        count = sum(s.assessor == here.assessor for s in self._servings)
        day = day_words(self.tasting.at_ms, self.tasting.zone)
        self.sheet.show_serving(
            worded("desk.session-hidden", day=day, number=here.position + 1, samples=count),
            self._called(here), here.assessor,
        )  # fmt: skip

    def _show_going(self) -> None:
        orders = [
            [s.sample_id for s in self._servings if s.assessor == name]
            for name in dict.fromkeys(s.assessor for s in self._servings)
        ]
        served = [Served(s.assessor, s.id, s.given, s.code) for s in self._servings]
        self.going.show_rows(progress_rows(served, self.entry.at), even_words(orders))
        self.going.scale.refresh()

    # Handlers

    def _on_picked(self, serving_id: int) -> None:
        if self.sheet.isVisible():
            self.select(serving_id)
            self.sheet.to_first()
