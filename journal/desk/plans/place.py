"""Plans: what could be made for the milk there is, written in place, and the key to start it."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from journal.curves.plan_faults import Fault
from journal.desk.commands import Command
from journal.desk.fields import TypedField
from journal.desk.place import Place
from journal.desk.plans.acts import DraftActs
from journal.desk.plans.author import Author
from journal.desk.plans.files import PlanFiles
from journal.desk.plans.needs import Needs
from journal.desk.plans.page import Listed, PlansPage
from journal.desk.plans.past import PastMakes
from journal.desk.plans.picture import PlanPicture
from journal.desk.plans.shelf_of_drafts import DraftShelf
from journal.desk.plans.showing import Showing, mould_text
from journal.desk.plans.wished_day import WishedDay
from journal.keeping import Change, KeepingError
from journal.quantities import QuantityError
from journal.quantities.typed import Typed
from journal.records import RecordError
from journal.records.makes import Make, Milk
from journal.records.plans import Plan

_SHOWN = {"plan", "make", "reading", "stage_run"}


class PlansPlace(Showing, DraftActs, PlanFiles, Place):
    """Shows the journal's own plans, those that come along, and drafts of them. A plan is kept
    when it is asked for or a make begins from it; a draft lies in the journal's settings."""

    key = "plans"
    title = "Plans"
    left_share = 0.56
    left_least = 500

    # Build

    def right(self) -> QWidget:
        self._builtin: list[Plan] = []
        self._listed: Listed | None = None
        self._faults: list[Fault] = []
        self._wanted = ""
        self._whole = False
        self._milk_typed = False
        self._keep_next = False
        self._from_make: int | None = None
        self._older = -1
        self._listed_as = ("", False, "")
        self._past = PastMakes()
        self.drafts = DraftShelf(self.journal, self)
        self.drafts.failed.connect(self._on_failed_words)
        self.author = Author(self.drafts, self._litres, self._ingredient_names, self)
        self.picture = PlanPicture()
        self.picture.whole_asked.connect(self._on_whole)
        return self.picture

    def left(self) -> QWidget:
        self.page = PlansPage(self.author.text_of)
        self.wish = WishedDay(self.page.day, self.journal, self.desk.clock, self)
        page, table = self.page, self.page.stages
        page.picked.connect(self._on_picked)
        page.stage_picked.connect(self._on_stage)
        page.start_asked.connect(self.start)
        page.keep_asked.connect(self.keep_plan)
        page.fresh_asked.connect(self.new_plan)
        page.compare_asked.connect(self.turn_compare)
        page.compare.stepped.connect(self.go_older)
        page.compare.left.connect(self.turn_compare)
        page.milk.changed.connect(self._on_milk)
        page.milk.line.textEdited.connect(self._on_milk_edited)
        page.milk.entered.connect(self._on_milk_entered)
        page.fat.changed.connect(self._on_milk)
        page.fat.entered.connect(self._on_milk_entered)
        page.mould.line.textEdited.connect(self._on_mould)
        page.mould.line.editingFinished.connect(self._on_mould_left)
        page.mould.entered.connect(self._on_mould_entered)
        page.day.changed.connect(self._on_day)
        page.day.entered.connect(table.setFocus)
        page.title.named.connect(self._on_named)
        page.title.left.connect(self._on_title_left)
        page.words.kept.connect(self._on_words)
        table.typed.connect(self.author.on_typed)
        table.kept.connect(self.author.on_kept)
        table.dropped.connect(self.author.on_dropped)
        table.row_wanted.connect(self._on_row_wanted)
        self.author.changed.connect(self._on_draft)
        self.author.stood.connect(table.stand)
        self.author.said.connect(self._on_said)
        return self.page

    def strip(self) -> QWidget:
        self.needs = Needs()
        return self.needs

    def commands(self) -> tuple[Command, ...]:
        return (
            Command("start", "Start a make from this plan", self.start,
                    ("Ctrl+Return", "Ctrl+Enter"), self.has_plan),
            Command("whole_plan", "Show the whole plan, or the day at the vat", self.turn_view,
                    ("Ctrl+L",), self.has_plan),
            Command("set_milk", "Set the milk", self.set_milk, ("Ctrl+M",), self.has_plan),
            *self.draft_commands(),
            *self.file_commands(),
        )  # fmt: skip

    # What the frame says

    def entered(self) -> None:
        self._load()
        self.page.list.setFocus()
        if self.drafts.problem:
            self.say("drafts", self.drafts.problem)
        if self.desk.change is not None and self.desk.change.key:
            change, self.desk.change = self.desk.change, None
            self._from_make = None
            self.begin_of_series(change)
        elif self._from_make is not None:
            make_id, self._from_make = self._from_make, None
            self.begin_from(make_id)

    def show_plan(self, name: str) -> None:
        """Pick the plan of that name."""
        self._turn_to(f"plan:{name}")
        self.page.list.setFocus()

    def show_make(self, make_id: int) -> None:
        """As last time: a draft of that make's plan, once the place is shown."""
        self._from_make = make_id

    def heard(self, change: Change) -> None:
        if change.kinds & _SHOWN:
            self._past = PastMakes()
            self._load()

    def own_undo(self) -> Author:
        """The draft's steps come before the journal's."""
        return self.author

    def settled(self) -> bool:
        return not self.drafts.pending and super().settled()

    def hideEvent(self, event) -> None:
        """Nothing typed is lost when one goes elsewhere."""
        super().hideEvent(event)
        self.let_go()

    def let_go(self) -> None:
        if hasattr(self, "page"):
            self._finish()
            self.drafts.keep()

    # Commands

    def has_plan(self) -> bool:
        """A plan with stages is picked."""
        return self._listed is not None and self._listed.plan is not None

    def sheet_start_ms(self) -> int | None:
        """When the wished day begins, for the sheet; None without a wish."""
        return self.wish.start_ms(self._listed.plan)

    def turn_view(self) -> None:
        """Show the whole plan, or the day at the vat again."""
        self._on_whole(not self._whole)

    def set_milk(self) -> None:
        """Go to the milk."""
        self.page.milk.line.setFocus()
        self.page.milk.line.selectAll()

    def start(self) -> None:
        """Begin a make from the plan with the milk there is, and go to it; a draft is kept as the
        next version first."""
        self._finish()
        milk = self._milk()
        if milk is None or self._listed is None:
            return
        try:
            make = self._begin(milk)
        except (KeepingError, RecordError) as error:
            self.say("plans", str(error))
            return
        self.clear("plans")
        self._milk_typed = False
        self.page.fat.clear_text()
        self._leave_draft(self.journal.plans.get(make.plan_id))
        self.goes.emit("vat", make.id)

    def _begin(self, milk: Milk) -> Make:
        if not self.author.is_draft:
            return self.journal.makes.begin(self._listed.plan, milk, self.desk.clock())
        plan = self._finished()
        with self.journal.unit("begin a make"):
            self._keep_base(plan)
            return self.journal.makes.begin(plan, milk, self.desk.clock())

    def _milk(self) -> Milk | None:
        """The milk as typed, or None once the field has said what is wrong."""
        litres = _read(self.page.milk, needed=True)
        fat = _read(self.page.fat, needed=False)
        if litres is None or (fat is None and self.page.fat.line.text().strip()):
            return None
        head = self.author.settled.head
        try:
            Milk(litres)
        except RecordError as error:
            _refuse(self.page.milk, str(error))
            return None
        try:
            return Milk(litres, head.animal, head.treatment, fat_pct=fat)
        except RecordError as error:
            _refuse(self.page.fat, str(error))
            return None

    # Handlers

    def _on_picked(self, listed: Listed) -> None:
        self._finish()
        self._pick(listed)

    def _on_stage(self, _row: int) -> None:
        if self._listed is not None:
            self._draw()

    def _on_draft(self) -> None:
        """The draft changed: redraw, and the list where it became a draft or is one no more."""
        if self._listed is None:
            return
        now = (self.author.key, self.author.is_draft, self.author.settled.name)
        if now != self._listed_as:
            self._listed_as = now
            listed = self._plans()
            self.page.show_plans(listed, self.author.key)
            self._listed = next(one for one in listed if one.key == self.author.key)
        self._show()

    def _on_said(self, sentence: str, wrong: bool) -> None:
        self.page.words.say(sentence, wrong=wrong, quiet=True)
        self.page.stages.editor.mark(wrong)

    def _on_row_wanted(self, after: int) -> None:
        self.author.insert(after - 1)
        self.page.stages.write()

    def _on_named(self, name: str) -> None:
        self.author.set_name(name)
        if self._keep_next:
            self.keep_plan()

    def _on_title_left(self) -> None:
        self._keep_next = False
        self.page.stages.setFocus()

    def _on_words(self, do: str, until: str) -> None:
        self.author.words(self.page.stages.at_hand, do, until)

    def _on_mould(self, _text: str) -> None:
        typed = self.page.mould.value()
        self.author.try_mould(None if typed is None else typed.kept)

    def _on_mould_left(self) -> None:
        text, typed = self.page.mould.line.text().strip(), self.page.mould.value()
        if (typed is None and text) or text == mould_text(self.author.settled.head.mould_mm):
            return
        try:
            self.author.set_mould(None if typed is None else typed.kept)
        except RecordError as error:
            self.page.mould.refuse(str(error))

    def _on_mould_entered(self, _typed: Typed) -> None:
        self.page.stages.setFocus()

    def _on_whole(self, whole: bool) -> None:
        self._whole = whole
        if self._listed is not None:
            self._draw()

    def _on_day(self, _text: str) -> None:
        if self._listed is not None:
            self._draw()

    def _on_milk(self, _typed: Typed | None) -> None:
        if self._listed is not None and self.author.key:
            self._show()

    def _on_milk_edited(self, _text: str) -> None:
        self._milk_typed = True

    def _on_milk_entered(self, _typed: Typed) -> None:
        if self._milk() is not None:
            self.page.stages.setFocus()

    def _on_past(self, past: PastMakes) -> None:
        if self._listed is not None and past.plan == self.author.settled.from_name:
            self._past = past
            self._draw()

    def _on_failed(self, error: Exception) -> None:
        self.say("plans", str(error))

    def _on_failed_words(self, sentence: str) -> None:
        self.say("drafts", sentence)


def _read(field: TypedField, *, needed: bool) -> float | None:
    """What stands in a field; None when it is empty and may be, or when it was refused."""
    if not needed and not field.line.text().strip():
        return None
    try:
        return field.read().kept
    except QuantityError as error:
        _refuse(field, str(error))
        return None


def _refuse(field: TypedField, sentence: str) -> None:
    field.refuse(sentence)
    field.line.setFocus()
