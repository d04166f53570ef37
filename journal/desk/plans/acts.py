"""What can be done to the current draft: change its lines, save it, start a make from it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QObject, QSettings, Qt, Signal
from PySide6.QtWidgets import QMenu

from journal.desk.asking import agreed
from journal.desk.form.line_field import TypedField
from journal.desk.labels import plain_tip
from journal.desk.messages import MessageBar
from journal.desk.place import PlanChange
from journal.desk.plans.author import Author
from journal.desk.plans.page import PlansPage
from journal.desk.plans.showing import SheetController
from journal.desk.plans.versions import VersionsController
from journal.keeping import Journal, KeepingError
from journal.quantities import QuantityError
from journal.records import RecordError
from journal.records.drafts import draft_of, new_draft
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, new_uuid
from journal.records.schedules import CommonSchedule, common_schedules
from journal.wording import text_of, worded
from journal.wording.care import CARE_PHRASES, care_name
from journal.wording.drafts import mould_text, new_caution
from journal.wording.letters import capital
from journal.wording.plan_lines import CELLS

_SUBJECT, _BEGUN = "draft", "plans"  # the names of what is said in the place


class DraftController(QObject):
    """Hands what is typed on the page to the author, and keeps the draft: as a version, or with
    the make that begins from it, whose id `began` carries."""

    began = Signal(int)

    def __init__(
        self,
        journal: Journal,
        along: Sequence[Plan],
        clock: Callable[[], int],
        settings: QSettings,
        author: Author,
        versions: VersionsController,
        sheet: SheetController,
        page: PlansPage,
        messages: MessageBar,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._journal, self._along, self._clock = journal, along, clock
        self._settings = settings
        self._author, self._versions, self._sheet = author, versions, sheet
        self._page, self._messages = page, messages
        self._save_next = False
        self._connect()

    def _connect(self) -> None:
        page, table = self._page, self._page.stages
        page.start_asked.connect(self.start)
        page.save_asked.connect(self.save_plan)
        page.fresh_asked.connect(self.new_plan)
        page.schedule.clicked.connect(self.add_schedule)
        page.care.clicked.connect(self.offer_care)
        page.milk.entered.connect(self._on_milk_entered)
        page.fat.entered.connect(self._on_milk_entered)
        page.mould.line.textEdited.connect(self._on_mould)
        page.mould.line.editingFinished.connect(self._on_mould_left)
        page.mould.entered.connect(self._to_stages)
        page.day.done.connect(table.setFocus)
        page.title.named.connect(self._on_named)
        page.title.left.connect(self._to_stages)
        page.words.saved.connect(self._on_instruction)
        table.typed.connect(self._author.on_typed)
        table.saved.connect(self._author.on_saved)
        table.dropped.connect(self._author.on_dropped)
        table.row_wanted.connect(self._on_row_wanted)
        self._author.selected.connect(table.select_cell)
        self._author.message.connect(self._on_message)

    # Lines

    def insert_stage(self) -> None:
        """Add a blank line after the current one."""
        self._page.finish()
        self._author.insert(self._page.stages.current_stage)

    def stage_up(self) -> None:
        """Move the current line up."""
        self._move(-1)

    def stage_down(self) -> None:
        """Move the current line down."""
        self._move(1)

    def _move(self, by: int) -> None:
        self._page.finish()
        self._author.move(self._page.stages.current_stage, by)

    def duplicate_stage(self) -> None:
        """Duplicate the current line."""
        self._page.finish()
        self._author.duplicate(self._page.stages.current_stage)

    def remove_stage(self) -> None:
        """Delete the current line."""
        self._page.finish()
        self._author.remove(self._page.stages.current_stage)

    def write_instruction(self) -> None:
        """Open what to do at the stage, and until when."""
        self._page.finish()
        row = self._page.stages.current_stage
        if self._author.stage_at(row) is not None:
            text = self._author.text_of
            self._page.words.write(text(row, "do"), text(row, "until"))
        elif self._author.settled.care_at(row) >= 0:  # its words stand in its last cell
            self._page.stages.select_cell(row, len(CELLS) - 1)
            self._page.stages.write()

    def can_add_schedule(self) -> bool:
        """The current draft says nothing about the care yet."""
        return not self._author.settled.care

    def add_schedule(self) -> None:
        """Offer the common schedules, with their sources; the one that is chosen is inserted."""
        self._page.finish()
        menu = QMenu(self._page)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.setToolTipsVisible(True)
        for common in common_schedules():
            act = menu.addAction(capital(common.family))
            words, source = common.schedule, common.source
            act.setToolTip(plain_tip(worded("desk.from-its-source", words=words, source=source)))
            act.triggered.connect(partial(self._on_schedule, common))
        button = self._page.schedule
        menu.popup(button.mapToGlobal(button.rect().topLeft()))

    def _on_schedule(self, common: CommonSchedule) -> None:
        self._author.add_schedule(common)
        self._page.stages.setFocus()
        self._tell(worded("desk.schedule-taken", source=common.source))

    def offer_care(self) -> None:
        """Offer each kind of care with its usual days; what is chosen becomes a line."""
        self._page.finish()
        menu = QMenu(self._page)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for kind, phrases in CARE_PHRASES.items():
            offered = menu.addMenu(capital(care_name(kind)))
            for phrase in phrases:
                offered.addAction(capital(phrase)).triggered.connect(partial(self._on_care, phrase))
        button = self._page.care
        menu.popup(button.mapToGlobal(button.rect().topLeft()))

    def _on_care(self, phrase: str) -> None:
        self._author.add_care(phrase)
        self._page.stages.setFocus()

    def has_fault(self) -> bool:
        """Something in the plan cannot work."""
        return bool(self._marked())

    def next_fault(self) -> None:
        """Stand on the next marked line."""
        rows, here = self._marked(), self._page.stages.current_stage
        if rows:
            row = next((r for r in rows if r > here), rows[0])
            self._page.stages.select_cell(row)
            self._page.stages.setFocus()

    def _marked(self) -> list[int]:
        return [r.row for r in self._page.stages.rows_model.rows if r.fault or r.loose]

    # The draft

    def is_draft(self) -> bool:
        """Something is not kept as a version yet."""
        return self._author.is_draft

    def new_plan(self) -> None:
        """Begin a plan from nothing, with its name."""
        self._page.finish()
        number = 1
        while self._author.drafts.writing(f"new:{number}") is not None:
            number += 1
        self._author.drafts.open(f"new:{number}", new_draft(new_caution()), begun=True)
        self._sheet.turn_to(f"new:{number}")
        self._page.title.ask("")

    def begin_from(self, make_id: int, change: PlanChange | None) -> None:
        """A draft of the plan a make was run from, with the make's milk; a change that was
        proposed for that make is a step of it."""
        make = self._journal.makes.get(make_id)
        plan = self._journal.plans.get(make.plan_id)
        key = f"make:{make.code}"
        if change is not None and change.make_id != make_id:
            change = None
        writing = self._author.drafts.writing(key)
        if writing is None:
            first = draft_of(plan, from_make=make.code)
            writing = self._author.drafts.open(key, first, begun=True)
        if change is not None:  # a step of the draft, so that undo takes it back
            writing.do(change.words, draft_of(change.plan, from_make=make.code))
            self._tell(worded("desk.change-shown", change=change.words))
        self._sheet.turn_to(key)
        self._page.milk.typed = True
        self._page.milk.show_litres(make.milk.litres)
        index = max(change.stage, 0) if change is not None else 0
        self._page.stages.select_cell(index)
        self._page.stages.setFocus()

    def begin_of_series(self, change: PlanChange) -> None:
        """A draft of the plan of a make of a series, the change a step of it; the draft there is
        already, where it was begun before."""
        if self._author.drafts.writing(change.key) is None:
            base = change.base or change.plan
            first = draft_of(replace(base, uuid=change.plan.uuid), from_make=change.called)
            new = draft_of(replace(change.plan, version=base.version), from_make=change.called)
            self._author.drafts.open(change.key, first, begun=True).do(change.words, new)
        self._tell(worded("desk.change-shown", change=change.words))
        self._page.milk.typed = False
        self._sheet.turn_to(change.key)
        self._page.stages.select_cell(max(change.stage, 0))
        self._page.stages.setFocus()

    def save_as(self) -> None:
        """Ask for another name; the draft is kept under it."""
        self._page.finish()
        self._save_next = True
        self._page.title.ask(self._author.settled.name)

    def save_plan(self) -> None:
        """Keep the draft as the next version of its plan, or as a new plan."""
        self._page.finish()
        try:
            plan = self._finished()
            with self._journal.unit(worded("desk.step-save-plan", name=plan.name)):
                self._save_base(plan)
                saved = self._journal.plans.save(plan)
        except (RecordError, KeepingError) as error:
            self._messages.show_message(_SUBJECT, text_of(error))
            if not self._author.settled.name.strip():
                self._page.title.ask("")
            return
        self._leave_draft(saved)
        self._tell(worded("desk.version-saved", name=saved.name, version=saved.version))

    def discard_draft(self) -> None:
        """Back to what is kept; a draft from nothing or from a make goes altogether."""
        question = "Discard what is changed in this plan?"
        if not agreed(self._page, self._settings, question, "ask_discard"):
            return
        self._page.finish()
        if self._author.key.startswith("plan:"):
            self._author.reset()
            return
        self._author.drafts.drop(self._author.key)
        self._sheet.turn_to("")

    def take_newer(self) -> None:
        """Keep the plan as it comes along now as the next version; the older ones stay."""
        came = self._versions.newer()
        if came is None:
            return
        try:
            saved = self._journal.plans.save(came)
        except KeepingError as error:
            self._messages.show_message(_SUBJECT, text_of(error))
            return
        self._sheet.turn_to(f"plan:{saved.name}")
        self._tell(worded("desk.newer-version-saved", name=saved.name, version=saved.version))

    def _tell(self, news: str) -> None:
        self._messages.show_message(_SUBJECT, news, attention=False)

    def _leave_draft(self, saved: Plan) -> None:
        """The draft is a plan now."""
        self._messages.clear(_SUBJECT)
        self._author.drafts.drop(self._author.key)
        self._sheet.turn_to(f"plan:{saved.name}")

    def _finished(self) -> Plan:
        """The draft as a plan that can be kept; RecordError with what is missing."""
        draft = self._author.settled.without_blanks()
        why = self._author.why()
        if why:
            raise RecordError("desk.cell-not-read", why=why)
        plan = replace(draft.finished(), builtin=False)
        if draft.name == draft.from_name:
            return plan
        if plan.name in {*self._journal.plans.names(), *(p.name for p in self._along)}:
            raise RecordError("desk.plan-name-taken", name=plan.name)
        return replace(plan, version=1, uuid=new_uuid(), id=None)

    def _save_base(self, plan: Plan) -> None:
        """A plan that came along is kept as it came before its first change."""
        came = next((p for p in self._along if p.name == plan.name), None)
        if came is not None and plan.name not in self._journal.plans.names():
            self._journal.plans.save(came)

    # A make

    def start(self) -> None:
        """Begin a make from the plan with the milk there is; a draft is kept as the next version
        first."""
        self._page.finish()
        milk = self._milk()
        if milk is None:
            return
        try:
            make = self._begin(milk)
        except (KeepingError, RecordError) as error:
            self._messages.show_message(_BEGUN, text_of(error))
            return
        self._messages.clear(_BEGUN)
        self._page.milk.typed = False
        self._page.fat.clear_text()
        self._leave_draft(self._journal.plans.get(make.plan_id))
        self.began.emit(make.id)

    def _begin(self, milk: Milk) -> Make:
        if not self._author.is_draft:
            return self._journal.makes.begin(self._author.draft.finished(), milk, self._clock())
        plan = self._finished()
        with self._journal.unit("start a make"):
            self._save_base(plan)
            return self._journal.makes.begin(plan, milk, self._clock())

    def _milk(self) -> Milk | None:
        """The milk as typed, or None once the field has said what is wrong."""
        litres = _read(self._page.milk, needed=True)
        fat = _read(self._page.fat, needed=False)
        if litres is None or (fat is None and self._page.fat.line.text().strip()):
            return None
        head = self._author.settled.head
        try:
            Milk(litres)
        except RecordError as error:
            _refuse(self._page.milk, text_of(error))
            return None
        try:
            return Milk(litres, head.animal, head.treatment, fat_pct=fat)
        except RecordError as error:
            _refuse(self._page.fat, text_of(error))
            return None

    # Handlers

    def _on_message(self, sentence: str, wrong: bool) -> None:
        self._page.words.say(sentence, wrong=wrong, quiet=True)
        self._page.stages.editor.mark(wrong)

    def _on_row_wanted(self, after: int) -> None:
        self._author.insert(after - 1)
        self._page.stages.write()

    def _on_named(self, name: str) -> None:
        self._author.set_name(name)
        if self._save_next:
            self.save_plan()

    def _to_stages(self) -> None:
        self._save_next = False
        self._page.stages.setFocus()

    def _on_instruction(self, do: str, until: str) -> None:
        self._author.words(self._page.stages.current_stage, do, until)

    def _on_mould(self) -> None:
        typed = self._page.mould.value()
        self._author.try_mould(None if typed is None else typed.stored)

    def _on_mould_left(self) -> None:
        text, typed = self._page.mould.line.text().strip(), self._page.mould.value()
        if (typed is None and text) or text == mould_text(self._author.settled.head.mould_mm):
            return
        try:
            self._author.set_mould(None if typed is None else typed.stored)
        except RecordError as error:
            self._page.mould.refuse(text_of(error))

    def _on_milk_entered(self) -> None:
        if self._milk() is not None:
            self._page.stages.setFocus()


def _read(field: TypedField, *, needed: bool) -> float | None:
    """What stands in a field; None when it is empty and may be, or when it was refused."""
    if not needed and not field.line.text().strip():
        return None
    try:
        return field.read().stored
    except QuantityError as error:
        _refuse(field, text_of(error))
        return None


def _refuse(field: TypedField, sentence: str) -> None:
    field.refuse(sentence)
    field.line.setFocus()
