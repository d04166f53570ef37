"""What can be done to the draft at hand: lines added and moved, kept, begun anew, compared."""

from __future__ import annotations

from dataclasses import replace

from journal.desk.commands import Command
from journal.desk.place import PlanChange
from journal.exchange.plan_files import newer_builtin
from journal.keeping import KeepingError
from journal.records import RecordError
from journal.records.drafts import draft_of, new_draft
from journal.records.plan_changes import differences
from journal.records.plans import Plan, new_uuid

_SAID = "draft"


class DraftActs:
    """Mixed into the place of plans before Place: the commands of writing a plan."""

    def draft_commands(self) -> tuple[Command, ...]:
        """What can be done to the draft."""
        return (
            Command("new_plan", "A new plan from nothing", self.new_plan, ("Ctrl+Shift+N",)),
            Command("keep_plan", "Keep this as the next version", self.keep_plan, ("Ctrl+S",),
                    self.is_draft),
            Command("keep_as", "Keep this under another name", self.keep_as, ("Ctrl+Shift+S",)),
            Command("insert_stage", "Add a line after this one", self.insert_stage, ("Ctrl+Ins",
                    "Ins")),
            Command("stage_up", "Move the stage up", self.stage_up, ("Alt+Up",)),
            Command("stage_down", "Move the stage down", self.stage_down, ("Alt+Down",)),
            Command("twice", "Say the stage twice", self.duplicate_stage, ("Ctrl+D",)),
            Command("remove_stage", "Take the stage out", self.remove_stage, ("Ctrl+Del",)),
            Command("stage_words", "Write what to do at the stage, and until when",
                    self.write_words,
                    ("Ctrl+J",)),
            Command("next_fault", "Go to the next line that cannot work", self.next_fault, ("F8",),
                    self.has_fault),
            Command("compare", "What is new against an earlier version", self.turn_compare,
                    ("Ctrl+H",),
                    self.has_older),
            Command("take_newer", "Take this plan as Vatside brings it now", self.take_newer,
                    enabled=self.has_newer),
            Command("set_day", "Set the day: a start or an end", self.set_day, ("Ctrl+T",),
                    self.has_plan),
            Command("discard_draft", "Discard the draft", self.discard_draft,
                    enabled=self.is_draft),
        )  # fmt: skip

    # Lines

    def insert_stage(self) -> None:
        """A blank line after the one at hand."""
        self._finish()
        self.author.insert(self.page.stages.at_hand)

    def stage_up(self) -> None:
        """The line at hand one up."""
        self._move(-1)

    def stage_down(self) -> None:
        """The line at hand one down."""
        self._move(1)

    def _move(self, by: int) -> None:
        self._finish()
        self.author.move(self.page.stages.at_hand, by)

    def duplicate_stage(self) -> None:
        """The line at hand said twice."""
        self._finish()
        self.author.duplicate(self.page.stages.at_hand)

    def remove_stage(self) -> None:
        """The line at hand taken out."""
        self._finish()
        self.author.remove(self.page.stages.at_hand)

    def write_words(self) -> None:
        """Open what to do at the stage, and until when."""
        self._finish()
        row = self.page.stages.at_hand
        if row >= 0 and self.author.settled.rows[row].stage is not None:
            text = self.author.text_of
            self.page.words.write(text(row, "do"), text(row, "until"))

    def has_fault(self) -> bool:
        """Something in the plan cannot work."""
        return bool(self._marked())

    def next_fault(self) -> None:
        """Stand on the next marked line."""
        rows, here = self._marked(), self.page.stages.at_hand
        if rows:
            row = next((r for r in rows if r > here), rows[0])
            self.page.stages.stand(row)
            self.page.stages.setFocus()

    def _marked(self) -> list[int]:
        return [r.row for r in self.page.stages.rows_model.rows if r.fault or r.loose]

    # The draft

    def is_draft(self) -> bool:
        """Something is not kept as a version yet."""
        return self.author.is_draft

    def new_plan(self) -> None:
        """Begin a plan from nothing, with its name."""
        self._finish()
        number = 1
        while self.drafts.writing(f"new:{number}") is not None:
            number += 1
        self.drafts.open(f"new:{number}", new_draft(), begun=True)
        self._turn_to(f"new:{number}")
        self.page.title.ask("")

    def begin_from(self, make_id: int) -> None:
        """A draft of the plan a make was run from, with the make's milk."""
        make = self.journal.makes.get(make_id)
        plan = self.journal.plans.get(make.plan_id)
        key = f"make:{make.code}"
        change, self.desk.change = self.desk.change, None
        if change is not None and change.make_id != make_id:
            change = None
        if self.drafts.writing(key) is None:
            self.drafts.open(key, draft_of(plan, from_make=make.code), begun=True)
        if change is not None:  # a step of the draft, so that undo takes it back
            self.drafts.writing(key).do(change.words, draft_of(change.plan, from_make=make.code))
            self.say(_SAID, f"{change.words} Ctrl H shows what is new.", attention=False)
        self._turn_to(key)
        self._milk_typed = True
        self.page.milk.set_text(f"{make.milk.litres:g}")
        place = max(change.stage, 0) if change is not None else 0
        self.page.stages.stand(place)
        self.page.stages.setFocus()

    def begin_of_series(self, change: PlanChange) -> None:
        """A draft of the plan of a make of a series, the change a step of it; the draft there is
        already, where it was begun before."""
        if self.drafts.writing(change.key) is None:
            base = change.base or change.plan
            first = draft_of(replace(base, uuid=change.plan.uuid), from_make=change.called)
            new = draft_of(replace(change.plan, version=base.version), from_make=change.called)
            self.drafts.open(change.key, first, begun=True).do(change.words, new)
        self.say(_SAID, f"{change.words} Ctrl H shows what is new.", attention=False)
        self._milk_typed = False
        self._turn_to(change.key)
        self.page.stages.stand(max(change.stage, 0))
        self.page.stages.setFocus()

    def keep_as(self) -> None:
        """Ask for another name; the draft is kept under it."""
        self._finish()
        self._keep_next = True
        self.page.title.ask(self.author.settled.name)

    def keep_plan(self) -> None:
        """Keep the draft as the next version of its plan, or as a new plan."""
        self._finish()
        try:
            plan = self._finished()
            with self.journal.unit(f"keep plan {plan.name}"):
                self._keep_base(plan)
                kept = self.journal.plans.keep(plan)
        except (RecordError, KeepingError) as error:
            self.say(_SAID, str(error))
            if not self.author.settled.name.strip():
                self.page.title.ask("")
            return
        self._leave_draft(kept)
        words = f"{kept.name}, version {kept.version}, is kept."
        self.say(_SAID, words, attention=False)

    def discard_draft(self) -> None:
        """Back to what is kept; a draft from nothing or from a make goes altogether."""
        self._finish()
        if self.author.key.startswith("plan:"):
            self.author.reset()
            return
        self.drafts.drop(self.author.key)
        self._turn_to("")

    def has_newer(self) -> bool:
        """The journal has the plan as an earlier Vatside brought it, and nothing is written."""
        return self._newer() is not None

    def take_newer(self) -> None:
        """Keep the plan as it comes along now as the next version; the older ones stay."""
        came = self._newer()
        if came is None:
            return
        try:
            kept = self.journal.plans.keep(came)
        except KeepingError as error:
            self.say(_SAID, str(error))
            return
        self._turn_to(f"plan:{kept.name}")
        words = f"{kept.name}, version {kept.version}, is kept. Ctrl H shows what is new."
        self.say(_SAID, words, attention=False)

    def _newer(self) -> Plan | None:
        if self.author.is_draft or not self.author.key.startswith("plan:"):
            return None
        return newer_builtin(self.journal, self.author.settled.from_name, self._builtin)

    def _leave_draft(self, kept: Plan) -> None:
        """The draft is a plan now."""
        self.clear(_SAID)
        self.drafts.drop(self.author.key)
        self._turn_to(f"plan:{kept.name}")

    def _finished(self) -> Plan:
        """The draft as a plan that can be kept; RecordError with what is missing."""
        draft = self.author.settled.without_blanks()
        why = self.author.why()
        if why:
            raise RecordError(f"{why} Correct or clear the cell, then keep the plan.")
        plan = replace(draft.finished(), builtin=False)
        if draft.name == draft.from_name:
            return plan
        if plan.name in {*self.journal.plans.names(), *(p.name for p in self._builtin)}:
            raise RecordError(
                f"There is a plan called “{plan.name}” already: give it another name."
            )
        return replace(plan, version=1, uuid=new_uuid(), id=None)

    def _keep_base(self, plan: Plan) -> None:
        """A plan that came along is kept as it came before its first change."""
        came = next((p for p in self._builtin if p.name == plan.name), None)
        if came is not None and plan.name not in self.journal.plans.names():
            self.journal.plans.keep(came)

    # Versions

    def has_older(self) -> bool:
        """There is a version to compare with."""
        return bool(self._olders())

    def turn_compare(self) -> None:
        """Show what is new against the version before, or the stages again."""
        self._finish()
        olders = self._olders()
        self._older = len(olders) - 1 if not self.page.comparing and olders else -1
        self.page.show_compare(self._older >= 0)
        self._show()

    def go_older(self, by: int) -> None:
        """Compare with an earlier (-1) or a later version."""
        self._older = min(max(self._older + by, 0), len(self._olders()) - 1)
        self._show()

    def _olders(self) -> list[Plan]:
        """The versions this one can be compared with, oldest first."""
        draft = self.author.settled
        versions = self.journal.plans.versions(draft.from_name) if draft.from_name else []
        if not versions:
            versions = [p for p in self._builtin if p.name == draft.from_name]
        if self.author.is_draft:
            return versions
        return [v for v in versions if v.version < draft.from_version]

    def _compared(self, plan: Plan | None) -> Plan | None:
        """The older plan, shown beside `plan`; None while nothing is compared."""
        olders = self._olders()
        if not self.page.comparing or plan is None or not 0 <= self._older < len(olders):
            return None
        older = olders[self._older]
        newer = "this draft" if self.author.is_draft else f"version {plan.version}"
        found = differences(older, plan)
        self.page.compare.show_differences(found, f"version {older.version}", newer)
        self.page.say_difference(self.page.compare.table.current())
        return older

    # The day

    def set_day(self) -> None:
        """Go to the day."""
        self.page.day.line.setFocus()
        self.page.day.line.selectAll()

    def _finish(self) -> None:
        self.page.stages.finish()
        self.page.words.finish()
