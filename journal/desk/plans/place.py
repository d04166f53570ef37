"""Plans: what could be made, for the milk there is, and the key that starts it."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from journal.desk.commands import Command
from journal.desk.fields import TypedField
from journal.desk.place import Place
from journal.desk.plans.chart import Planned
from journal.desk.plans.files import PLAN_FILE_COMMANDS, PlanFiles
from journal.desk.plans.needs import Needs
from journal.desk.plans.page import Listed, PlansPage
from journal.desk.plans.past import PastMakes, past_makes
from journal.desk.plans.picture import PlanPicture
from journal.desk.plans.sheet import needs_of
from journal.keeping import Change, KeepingError
from journal.quantities import QuantityError
from journal.quantities.typed import Typed, parse
from journal.records import RecordError
from journal.records.instants import MINUTE_MS
from journal.records.makes import Make, Milk
from journal.records.plan_text import builtin_plans
from journal.records.plans import Plan

_ROUND_MS = 5 * MINUTE_MS
_SHOWN = {"plan", "make", "reading", "stage_run"}


class PlansPlace(PlanFiles, Place):
    """Shows the journal's own plans and those that come along. Nothing of a plan is kept until a
    make begins from it."""

    key = "plans"
    title = "Plans"
    left_share = 0.56
    left_least = 500

    # Build

    def right(self) -> QWidget:
        self._builtin: list[Plan] = []
        self._listed: Listed | None = None
        self._wanted = ""
        self._whole = False
        self._milk_typed = False
        self._past = PastMakes()
        self.picture = PlanPicture()
        self.picture.whole_asked.connect(self._on_whole)
        return self.picture

    def left(self) -> QWidget:
        self.page = PlansPage()
        self.page.picked.connect(self._on_picked)
        self.page.stage_picked.connect(self._on_stage)
        self.page.start_asked.connect(self.start)
        self.page.milk.changed.connect(self._on_milk)
        self.page.milk.line.textEdited.connect(self._on_milk_edited)
        self.page.milk.entered.connect(self._on_milk_entered)
        self.page.fat.entered.connect(self._on_fat_entered)
        return self.page

    def strip(self) -> QWidget:
        self.needs = Needs()
        return self.needs

    def actions_table(self) -> tuple[Command, ...]:
        return (
            Command("start", "Start a make from this plan", "start",
                    ("Ctrl+Return", "Ctrl+Enter"), "has_plan"),
            Command("whole_plan", "Show the whole plan, or the day at the vat", "turn_view",
                    ("Ctrl+L",), "has_plan"),
            Command("set_milk", "Set the milk", "set_milk", ("Ctrl+M",), "has_plan"),
            *PLAN_FILE_COMMANDS,
        )  # fmt: skip

    # Fill

    def entered(self) -> None:
        self._load()
        self.page.list.setFocus()

    def show_plan(self, name: str) -> None:
        """Pick the plan of that name."""
        self._wanted = name
        self._load()
        self.page.list.setFocus()

    def heard(self, change: Change) -> None:
        if change.kinds & _SHOWN:
            self._past = PastMakes()
            self._load()

    def _load(self) -> None:
        listed = self._plans()
        if not self._wanted and listed:
            self._wanted = listed[0].plan.name
        found = next((one for one in listed if one.plan.name == self._wanted), listed[0])
        self.page.show_plans(listed, found.plan.name)
        self._say_running()
        self._pick(found)

    def _plans(self) -> list[Listed]:
        """The journal's own plans, then those that come along and are not kept here yet."""
        if not self._builtin:
            self._builtin = builtin_plans()
        own = self.journal.plans.latest()
        names = {plan.name for plan in own}
        along = [plan for plan in self._builtin if plan.name not in names]
        return [Listed(plan, True) for plan in own] + [
            Listed(plan, False, first_builtin=bool(own) and place == 0)
            for place, plan in enumerate(along)
        ]

    def _pick(self, listed: Listed) -> None:
        self._listed, self._wanted = listed, listed.plan.name
        if not self._milk_typed:
            self.page.milk.set_text(f"{listed.plan.milk_l:g}")
        if listed.kept and self._past.plan != listed.plan.name:
            self._past = PastMakes()
            self._ask_past(listed.plan.name)
        elif not listed.kept:
            self.desk.work.stop("plans past")
            self._past = PastMakes(listed.plan.name)
        self._fill()
        self._draw()

    def _fill(self) -> None:
        litres = self._litres()
        self.page.show_plan(self._listed, litres)
        self.needs.show_needs(needs_of(self._listed.plan, litres))

    def _draw(self) -> None:
        now = self.desk.clock()
        start = -(-now // _ROUND_MS) * _ROUND_MS
        plan, zone, place = self._listed.plan, self.journal.zone, self.page.stage
        self.picture.show_planned(Planned(plan, start, zone, self._whole, place, self._past))

    def _say_running(self) -> None:
        running = self.journal.makes.running()
        if not running:
            self.page.say_beside("")
            return
        codes = " and ".join(make.code for make in running[:2])
        verb = "is" if len(running) == 1 else "are"
        self.page.say_beside(f"{codes} {verb} in the vat: this one would run beside it.")

    def _litres(self) -> float:
        """The milk typed, as long as it is milk; else the plan's own."""
        typed = self.page.milk.value()
        usable = typed is not None and 0 < typed.kept <= 10_000
        return typed.kept if usable else self._listed.plan.milk_l

    def _ask_past(self, name: str) -> None:
        path = str(self.journal.path)
        task = self.desk.work.start_file("plans past", path, past_makes, name)
        task.finished.connect(self._on_past)
        task.failed.connect(self._on_failed)

    # Commands

    def has_plan(self) -> bool:
        """A plan is picked."""
        return self._listed is not None

    def turn_view(self) -> None:
        """Show the whole plan, or the day at the vat again."""
        self._on_whole(not self._whole)

    def set_milk(self) -> None:
        """Go to the milk."""
        self.page.milk.line.setFocus()
        self.page.milk.line.selectAll()

    def start(self) -> None:
        """Begin a make from the plan with the milk there is, and go to it."""
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
        self.goes.emit("vat", make.id)

    def _begin(self, milk: Milk) -> Make:
        return self.journal.makes.begin(self._listed.plan, milk, self.desk.clock())

    def _milk(self) -> Milk | None:
        """The milk as typed, or None once the field has said what is wrong."""
        litres = _read(self.page.milk, needed=True)
        fat = _read(self.page.fat, needed=False)
        if litres is None or (fat is None and self.page.fat.line.text().strip()):
            return None
        plan = self._listed.plan
        try:
            Milk(litres)
        except RecordError as error:
            _refuse(self.page.milk, str(error))
            return None
        try:
            return Milk(litres, plan.animal, plan.treatment, fat_pct=fat)
        except RecordError as error:
            _refuse(self.page.fat, str(error))
            return None

    # Handlers

    def _on_picked(self, listed: Listed) -> None:
        self._pick(listed)

    def _on_stage(self, _place: int) -> None:
        if self._listed is not None:
            self._draw()

    def _on_whole(self, whole: bool) -> None:
        self._whole = whole
        if self._listed is not None:
            self._draw()

    def _on_milk(self, _typed: Typed | None) -> None:
        if self._listed is not None:
            self._fill()

    def _on_milk_edited(self, _text: str) -> None:
        self._milk_typed = True

    def _on_milk_entered(self, _typed: Typed) -> None:
        if self._milk() is not None:
            self.page.stages.setFocus()

    def _on_fat_entered(self, _typed: Typed) -> None:
        if self._milk() is not None:
            self.page.stages.setFocus()

    def _on_past(self, past: PastMakes) -> None:
        if self._listed is not None and past.plan == self._listed.plan.name:
            self._past = past
            self._draw()

    def _on_failed(self, error: Exception) -> None:
        self.say("plans", str(error))


def _read(field: TypedField, *, needed: bool) -> float | None:
    """What stands in a field; None when it is empty and may be, or when it was refused."""
    if not needed and not field.line.text().strip():
        return None
    try:
        return parse(field.line.text(), field.quantity, default_unit=field.unit).kept
    except QuantityError as error:
        _refuse(field, str(error))
        return None


def _refuse(field: TypedField, sentence: str) -> None:
    field.refuse(sentence)
    field.line.setFocus()
