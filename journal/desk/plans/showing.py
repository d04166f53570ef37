"""What the place of plans shows: the list, the draft at hand as a sheet, its day and its words."""

from __future__ import annotations

from dataclasses import replace

from journal.curves.plan_acid import usual_fan
from journal.curves.plan_faults import faults
from journal.desk.plans.chart import Planned
from journal.desk.plans.lines import lines_of
from journal.desk.plans.outcome import sentences_of
from journal.desk.plans.page import Listed
from journal.desk.plans.past import PastMakes, past_makes
from journal.desk.plans.sheet import needs_of
from journal.desk.series_change import SERIES_KEY
from journal.quantities.written import write
from journal.records.drafts import Draft
from journal.records.plan_scaled import for_milk
from journal.records.plan_text import builtin_plans
from journal.records.plans import Plan
from journal.records.stage_written import size_text


class Showing:
    """Mixed into the place of plans before Place: fills the pages from the author's draft."""

    # Fill

    def _turn_to(self, key: str) -> None:
        self._wanted = key
        if self.page.comparing:
            self.page.show_compare(False)
        self._load()

    def _load(self) -> None:
        listed = self._plans()
        found = next((one for one in listed if one.key == self._wanted), listed[0])
        self.page.show_plans(listed, found.key)
        self._pick(found)

    def _plans(self) -> list[Listed]:
        """Drafts from nothing and from makes, the journal's own plans, then those that come along
        and are not kept here yet."""
        if not self._builtin:
            self._builtin = builtin_plans()
        changed = self.drafts.changed()
        own = self.journal.plans.latest()
        names = {plan.name for plan in own}
        along = [plan for plan in self._builtin if plan.name not in names]
        known = {f"plan:{plan.name}" for plan in (*own, *along)}
        out = [
            Listed(w.draft.plan(), False, key=key, changed=True, called=_called(w.draft))
            for key, w in changed.items()
            if key not in known
        ]
        for plan in (*own, *along):
            key = f"plan:{plan.name}"
            called = changed[key].draft.name if key in changed else plan.name
            first = bool(own) and plan is (along[0] if along else None)
            out.append(Listed(plan, plan.name in names, first, key, key in changed, called))
        return out

    def _pick(self, listed: Listed) -> None:
        fresh = self.author.key != listed.key
        self._listed, self._wanted = listed, listed.key
        if fresh or self.author.writing is None:
            base = listed.plan if listed.key.startswith("plan:") else None
            self.author.take(listed.key, base)
        if fresh:
            self.page.stages.drop()
            if self.page.comparing:
                self.page.show_compare(False)
        if not self._milk_typed:
            self.page.milk.set_text(f"{self.author.draft.head.milk_l:g}")
        self._take_past()
        self._show()
        if fresh:
            self.page.stages.stand(0)
            self.page.stages.scrollToTop()

    def _take_past(self) -> None:
        name = self.author.settled.from_name
        if name in self.journal.plans.names():
            if self._past.plan != name:
                self._past = PastMakes()
                self._ask_past(name)
        else:
            self.desk.work.stop("plans past")
            self._past = PastMakes(name)

    def _show(self) -> None:
        """Everything that hangs on the draft at hand: the sheet, its words, what it needs."""
        draft, litres = self.author.draft, self._litres()
        plan = draft.plan()
        self._listed = replace(self._listed, plan=plan)
        plan = None if plan is None else for_milk(plan, litres)
        self._faults = faults(plan) if plan is not None else []
        faulty = frozenset(fault.stage for fault in self._faults)
        self.page.show_sheet(lines_of(draft, litres, faulty), plan, litres)
        self.page.about.setText(self._about())
        name = draft.name.strip() or "New plan"
        self.page.title.setText(f"{name[:1].upper()}{name[1:]}, {litres_text(litres)}")
        if not self.page.mould.line.hasFocus():
            self.page.mould.set_text(mould_text(draft.head.mould_mm))
        self.page.keep.setVisible(self.author.is_draft)
        self.page.new.setVisible(self.has_older())
        self.needs.show_needs(needs_of(plan, litres) if plan is not None else [])
        self._draw()

    def _about(self) -> str:
        draft = self.author.settled
        style = f" · {draft.head.style}" if draft.head.style else ""
        if not draft.from_name:
            return "Plan · a draft, not kept yet"
        if self.author.key.startswith(SERIES_KEY):
            number = f"version {draft.from_version}"
            return f"Plan · a draft for {draft.from_make} of a series, from {number}{style}"
        if draft.from_make:
            made = f"Plan · a draft as {draft.from_make} was made, by version {draft.from_version}"
            return made + style
        kept = draft.from_name in self.journal.plans.names()
        where = f"version {draft.from_version}, in this journal" if kept else "comes with Vatside"
        if self.author.is_draft:
            number = f"version {draft.from_version}" if kept else "the one that comes with Vatside"
            where = f"a draft, from {number}"
        if self.has_newer():
            where += "; Vatside brings a newer one now"
        return f"Plan · {where}{style}"

    def _draw(self) -> None:
        plan = self._listed.plan
        if plan is None:
            self.picture.show_nothing()
            self.page.outcome.show_sentences(self._running_words())
            return
        plan = for_milk(plan, self._litres())
        day = self.wish.day_for(plan)
        older = self._compared(self._listed.plan)
        planned = Planned(
            day.plan,
            day.start_ms,
            self.journal.zone,
            self._whole,
            self.page.stage,
            self._past,
            older=older,
            faulty=frozenset(fault.stage for fault in self._faults),
        )
        if self._past.ph is None and _has_culture(plan):
            planned = replace(planned, fan=usual_fan(day.plan, planned.until_min))
        self.picture.show_planned(planned)
        why = self.author.why()
        not_read = [(True, why)] if why else []
        others = [*not_read, *self.wish.sentences(day), *self._running_words()]
        fat = self.page.fat.value()
        said = sentences_of(
            plan,
            self._litres(),
            None if fat is None else fat.kept,
            self._faults,
            self.page.stage,
            others,
        )
        self.page.outcome.show_sentences(said, self.page.sentences)

    def _running_words(self) -> list[tuple[bool, str]]:
        running = self.journal.makes.running()
        if not running:
            return []
        codes = " and ".join(make.code for make in running[:2])
        verb = "is" if len(running) == 1 else "are"
        return [(False, f"{codes} {verb} in the vat: this one would run beside it.")]

    def _litres(self) -> float:
        """The milk typed, as long as it is milk; else the plan's own."""
        typed = self.page.milk.value()
        usable = typed is not None and 0 < typed.kept <= 10_000
        return typed.kept if usable else self.author.settled.head.milk_l

    def _ingredient_names(self) -> frozenset[str]:
        """What the plans and the shelf call what goes in, in lower case."""
        plans = [*self._builtin, *self.journal.plans.latest()]
        doses = (dose for plan in plans for stage in plan.stages for dose in stage.doses)
        lots = self.journal.ingredients.all()
        return frozenset(one.name.lower() for one in (*doses, *lots))

    def _ask_past(self, name: str) -> None:
        path = str(self.journal.path)
        task = self.desk.work.start_file("plans past", path, past_makes, name)
        task.finished.connect(self._on_past)
        task.failed.connect(self._on_failed)


def litres_text(litres: float) -> str:
    """Milk with the digits that a jug shows: "11.4 L", "250 ml"."""
    return (
        write(litres, "volume", digits=1 if litres % 1 else 0)
        if litres >= 1
        else (write(1000 * litres, "volume_ml", digits=0))
    )


def mould_text(mould_mm: float | None) -> str:
    """A mould's width for its field, with the digits that a rule shows."""
    return "" if mould_mm is None else size_text(mould_mm).removesuffix(" mm")


def _called(draft: Draft) -> str:
    """A draft's name in the list, with the make it comes from."""
    return f"{draft.from_make}, {draft.name}" if draft.from_make else draft.name


def _has_culture(plan: Plan) -> bool:
    return any(dose.kind == "culture" for stage in plan.stages for dose in stage.doses)
