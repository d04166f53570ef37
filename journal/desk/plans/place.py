"""Plans: what could be made for the milk there is, written in place, and the key to start it.
Behind them the stock: one key turns from what is planned to what there is for it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QHideEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.buttons import Button
from journal.desk.commands import Command, action_for
from journal.desk.labels import Hairline
from journal.desk.late import OnDemand
from journal.desk.layouts import in_column, in_row
from journal.desk.pages import PageWidths
from journal.desk.past import history_command
from journal.desk.place import USED, CurrentRecord, Desk, Place, Undoing, framed
from journal.desk.plans.acts import DraftController
from journal.desk.plans.author import Author
from journal.desk.plans.draft_store import DraftStore
from journal.desk.plans.files import PlanFileController
from journal.desk.plans.needs import Needs
from journal.desk.plans.page import PlansPage
from journal.desk.plans.picture import PlanPicture
from journal.desk.plans.showing import SheetController
from journal.desk.plans.versions import VersionsController
from journal.desk.stock.page import StockPage
from journal.desk.theme import STEP
from journal.keeping import Change
from journal.records.plan_text import builtin_plans
from journal.reports.agenda import STOCK

_SHOWN = {"plan", "make", "reading", "stage_run"}


class PlansPlace(Place):
    """Shows the journal's own plans, those that come along, and drafts of them. A plan is kept
    when it is asked for or a make begins from it; a draft lies in the journal's settings.

    Going to it shows the plans; the stock is one key further, and only one of the two has the
    keys."""

    key = "plans"
    title = "Plans"
    fold = PageWidths(0.64, 560, 1200, 620, 480)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        along = builtin_plans()
        self._from_make: int | None = None
        self._draft_store = DraftStore(self.journal, self)
        self.author = Author(self.journal, along, self._draft_store, self)
        self.page = PlansPage(self.author.text_of)
        self.picture = PlanPicture()
        self.needs = Needs()
        self.versions = VersionsController(self.journal, along, self.author, self.page, self)
        self.sheet = SheetController(
            desk, along, self.author, self.versions, self.page, self.picture, self.needs, self
        )
        self.drafts = DraftController(
            self.journal, along, desk.clock, desk.settings, self.author, self.versions,
            self.sheet, self.page, self.messages, self,
        )  # fmt: skip
        self.files = PlanFileController(self.journal, self.author, self.sheet, self.messages, self)
        self.stock = OnDemand(self._made_stock)
        self._sides = QStackedWidget()
        self._connect()
        self._build()

    def _connect(self) -> None:
        self._draft_store.failed.connect(self._on_drafts_failed)
        self.sheet.failed.connect(self._on_past_failed)
        self.drafts.began.connect(self._on_began)
        self.files.brought.connect(self.show_plan)

    def _build(self) -> None:
        turn = Button("Stock", key="part_2")
        self._plans = self._side(self.page, self.picture, self.needs, turn, self.files.asking)
        self.arrange(self._sides)

    def _made_stock(self) -> StockPage:
        made = StockPage(self.desk, self.messages)
        made.goes.connect(self.goes)
        made.left_by_key.connect(self.back_to_plans)
        side = self._side(made, made.right_page, made.dates, Button("Plans", key="Esc"))
        for command in made.commands():
            action_for(command, side)
        for page in (made, made.right_page, made.dates):
            self.offer_commands(page)
        return made

    def _side(
        self, left: QWidget, right: QWidget, strip: QWidget, turn: Button, *above: QWidget
    ) -> QWidget:
        """Two pages with their strip, in which a button turns to the other side."""
        page, below = QWidget(), QWidget()
        in_row(
            (strip, 1), (turn, 0, Qt.AlignmentFlag.AlignVCenter), of=below, margins=0, gap=6 * STEP
        )
        turn.clicked.connect(self.turn_stock)
        in_column(
            *above, (self.pages_of(left, right), 1), Hairline(), framed(below),
            of=page, margins=0, gap=0,
        )  # fmt: skip
        self._sides.addWidget(page)
        return page

    def commands(self) -> tuple[Command, ...]:
        own = self.stock.made().commands() if self.stock_shown else self._plan_commands()
        return (*own, self._turn_command())

    def add_actions(self) -> None:
        """Those of the plans on their side: its keys work while it is to be seen."""
        for command in self._plan_commands():
            action_for(command, self._plans)
        action_for(self._turn_command(), self)

    def _turn_command(self) -> Command:
        return Command("shelf", "Show the stock, or the plans", self.turn_stock, ("part_2",))

    def current_record(self) -> CurrentRecord | None:
        """The plan, or on the page of the stock the lot."""
        return self.stock.made().current_lot() if self.stock_shown else self.current_plan()

    def current_plan(self) -> CurrentRecord | None:
        """The plan that is shown, where it is in the journal."""
        plan = self.sheet.plan
        kept = None if plan is None else self.journal.plans.kept_id(plan.name)
        return (
            CurrentRecord("plan", kept, plan.name)
            if plan is not None and kept is not None
            else None
        )

    def _plan_commands(self) -> tuple[Command, ...]:
        drafts, files, versions, has_plan = (
            self.drafts, self.files, self.versions, self.sheet.has_plan,
        )  # fmt: skip
        return (
            Command("start", "Start a make from this plan", drafts.start,
                    ("main",), has_plan),
            Command("whole_plan", "Show the whole plan, or the day at the vat",
                    self.sheet.turn_view, ("next",), has_plan),
            Command("set_milk", "Set the amount of milk", self.page.set_milk, ("amount",),
                    has_plan),
            Command("new_plan", "New empty plan", drafts.new_plan, ("new_here",)),
            Command("save_plan", "Save as the next version", drafts.save_plan, ("save",),
                    drafts.is_draft),
            Command("keep_as", "Save under another name", drafts.save_as),
            Command("insert_stage", "Add a line after this one", drafts.insert_stage,
                    ("add_line",)),
            Command("stage_up", "Move the stage up", drafts.stage_up),
            Command("stage_down", "Move the stage down", drafts.stage_down),
            Command("twice", "Duplicate the stage", drafts.duplicate_stage),
            Command("remove_stage", "Delete the stage", drafts.remove_stage, ("delete_line",)),
            Command("add_schedule", "Add a schedule of care…", drafts.add_schedule,
                    ("schedule",), drafts.can_add_schedule),
            Command("stage_words", "Edit the instructions of the stage",
                    drafts.write_instruction, ("note",)),
            Command("next_fault", "Go to the next problem", drafts.next_fault,
                    (), drafts.has_fault),
            Command("compare", "Show the changes from an earlier version", versions.turn,
                    (), versions.has_older),
            Command("take_newer", "Update this plan to Vatside's newest", drafts.take_newer,
                    enabled=versions.has_newer),
            history_command(self, self.desk, self.current_plan, "plan"),
            Command("set_day", "Set the start or the end", self.page.set_day, ("when",),
                    has_plan),
            Command("discard_draft", "Discard the draft", drafts.discard_draft,
                    enabled=drafts.is_draft),
            Command("print_sheet", "Print the make sheet…", files.print_sheet, ("print",),
                    has_plan),
            Command("export_plan", "Export this plan…", files.export_plan,
                    enabled=has_plan),
            Command("import_plan", "Import a plan…", files.import_plan),
        )  # fmt: skip

    # What the frame says

    def entered(self) -> None:
        wants, self.desk.wants = self.desk.wants, ""
        change, self.desk.change = self.desk.change, None
        make_id, self._from_make = self._from_make, None
        self.sheet.load()
        self.page.list.setFocus()
        if self._draft_store.problem:
            self.say("drafts", self._draft_store.problem)
        if change is not None and change.key:
            self.drafts.begin_of_series(change)
        elif make_id is not None:
            self.drafts.begin_from(make_id, change)
        if wants in (STOCK, USED):
            self.open_stock()
            if wants == USED:
                self.stock.made().show_used()
        else:
            self._turn_side(False)

    def show_plan(self, name: str) -> None:
        """Pick the plan of that name."""
        self._turn_side(False)
        self.sheet.turn_to(f"plan:{name}")
        self.page.list.setFocus()

    def take_plan_file(self, path: str) -> None:
        self._turn_side(False)
        self.files.take_plan_file(path)

    def show_stock(self, noun: str, key: int) -> None:
        """Show the lot, the brine or the culture of that id in the stock."""
        self.open_stock()
        self.stock.made().show_row(noun, key)

    def show_make(self, make_id: int) -> None:
        """As last time: a draft of that make's plan, once the place is shown."""
        self._from_make = make_id

    def on_change(self, change: Change) -> None:
        if change.kinds & _SHOWN:
            self.sheet.read_again()
        if self.stock_shown:
            self.stock.made().on_change(change)

    def own_undo(self) -> Undoing | None:
        """The draft's steps come before the journal's."""
        return None if self.stock_shown else self.author

    def settled(self) -> bool:
        return not self._draft_store.pending and super().settled()

    def save_state(self) -> None:
        self.page.finish()
        self._draft_store.save()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nothing typed is lost when one goes elsewhere."""
        super().hideEvent(event)
        self.save_state()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        self.files.offered(event)

    def dropEvent(self, event: QDropEvent) -> None:
        self.files.dropped(event)

    # The stock

    @property
    def stock_shown(self) -> bool:
        """The stock is to be seen, not the plans."""
        return self._sides.currentIndex() == 1

    def turn_stock(self) -> None:
        """Show the stock, or the plans again."""
        if self.stock_shown:
            self.back_to_plans()
        else:
            self.open_stock()

    def open_stock(self) -> None:
        """Show the stock."""
        stock = self.stock.made()
        self._turn_side(True)
        stock.entered()

    def back_to_plans(self) -> None:
        """Show the plans again."""
        self._turn_side(False)
        self.page.list.setFocus()

    def _turn_side(self, stock: bool) -> None:
        self._sides.setCurrentIndex(int(stock))

    # Handlers

    def _on_began(self, make_id: int) -> None:
        self.goes.emit("vat", make_id)

    def _on_past_failed(self, sentence: str) -> None:
        self.say("plans", sentence)

    def _on_drafts_failed(self, sentence: str) -> None:
        self.say("drafts", sentence)
