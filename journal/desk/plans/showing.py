"""What the place of plans shows: the list, the current draft as a sheet, its day and its words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from journal.curves.fault import Fault
from journal.curves.plan_acid import usual_fan
from journal.curves.plan_faults import faults_at
from journal.desk.place import Desk
from journal.desk.plans.author import Author
from journal.desk.plans.chart import PlanScene
from journal.desk.plans.needs import Needs
from journal.desk.plans.page import Listed, PlansPage
from journal.desk.plans.picture import PlanPicture
from journal.desk.plans.versions import VersionsController
from journal.desk.plans.wished_day import StartDay
from journal.desk.series_change import SERIES_KEY
from journal.quantities.typed import Typed
from journal.records.plan_scaled import for_milk
from journal.records.plans import Plan
from journal.reports.past_makes import PastMakes, past_makes
from journal.wording import text_of, worded
from journal.wording.drafts import draft_about, draft_name, litres_text, mould_text
from journal.wording.letters import capital
from journal.wording.plan_lines import lines_of
from journal.wording.plan_sheet import needs_of, sentences_of


class SheetController(QObject):
    """Fills the pages from the author's draft. `plan` is the current one, as far as it is
    understood (None: no stage yet); `failed` carries what went wrong with the past makes."""

    failed = Signal(str)

    def __init__(
        self,
        desk: Desk,
        along: Sequence[Plan],
        author: Author,
        versions: VersionsController,
        page: PlansPage,
        picture: PlanPicture,
        needs: Needs,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self.plan: Plan | None = None
        self.faults: list[Fault] = []
        self._journal, self._work = desk.journal, desk.work
        self._along = along
        self._author, self._versions = author, versions
        self._page, self._picture, self._needs = page, picture, needs
        self._wish = StartDay(page.day, desk.journal, desk.clock, self)
        self._wanted = ""
        self._whole = False
        self._listed_as = ("", False, "")
        self._past = PastMakes()
        self._picking = False
        page.picked.connect(self._on_picked)
        page.stage_picked.connect(self._draw)
        page.milk.changed.connect(self._on_milk)
        page.fat.changed.connect(self._show)
        page.day.text_changed.connect(self._draw)
        picture.whole_asked.connect(self._on_whole)
        picture.chart.went.connect(self._on_stage)
        picture.chart.dragged.connect(self._on_dragged)
        author.changed.connect(self._on_draft)
        versions.turned.connect(self._show)

    def has_plan(self) -> bool:
        """A plan with stages is picked."""
        return self.plan is not None

    def start_ms(self) -> int | None:
        """When the wished day begins; None without a wish."""
        return self._wish.start_ms(self.plan)

    def turn_view(self) -> None:
        """Show the whole plan, or the day at the vat again."""
        self._on_whole(not self._whole)

    # Fill

    def turn_to(self, key: str) -> None:
        """Pick the plan, or the draft, of that key."""
        self._wanted = key
        if self._page.comparing:
            self._page.show_compare(False)
        self.load()

    def read_again(self) -> None:
        """The journal changed: the plans, and the makes run from the current one."""
        self._past = PastMakes()
        self.load()

    def load(self) -> None:
        """Show the plans there are now, and stay with the current one."""
        listed = self._plans()
        found = next((one for one in listed if one.key == self._wanted), listed[0])
        self._page.show_plans(listed, found.key)
        self._pick(found)

    def _plans(self) -> list[Listed]:
        """Drafts from nothing and from makes, the journal's own plans, then those that come along
        and are not kept here yet."""
        changed = self._author.drafts.changed()
        own = self._journal.plans.latest()
        names = {plan.name for plan in own}
        along = [plan for plan in self._along if plan.name not in names]
        known = {f"plan:{plan.name}" for plan in (*own, *along)}
        out = [
            Listed(w.draft.plan(), False, key=key, changed=True, called=draft_name(w.draft))
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
        """Show a plan; it is drawn once, when all of it stands."""
        self._picking = True
        try:
            self._take_up(listed)
        finally:
            self._picking = False
        self._draw()

    def _take_up(self, listed: Listed) -> None:
        fresh = self._author.key != listed.key
        self._wanted = listed.key
        if fresh or self._author.writing is None:
            base = listed.plan if listed.key.startswith("plan:") else None
            self._author.take(listed.key, base)
        if fresh:
            self._page.stages.drop()
            if self._page.comparing:
                self._page.show_compare(False)
        if not self._page.milk.typed:
            self._page.milk.show_litres(self._author.draft.head.milk_l)
        self._take_past()
        self._show()
        if fresh:
            self._page.stages.select_cell(0)
            self._page.stages.scrollToTop()

    def _take_past(self) -> None:
        name = self._author.settled.from_name
        if name in self._journal.plans.names():
            if self._past.plan != name:
                self._past = PastMakes()
                self._ask_past(name)
        else:
            self._work.stop("plans past")
            self._past = PastMakes(name)

    def _show(self) -> None:
        """Everything that hangs on the current draft: the sheet, its words, what it needs."""
        draft, litres = self._author.draft, self._author.litres
        self.plan = draft.plan()
        plan = None if self.plan is None else for_milk(self.plan, litres)
        self.faults = [] if self.plan is None else faults_at(self.plan, litres)
        self._page.show_sheet(lines_of(draft, litres, self._faulty()), plan, litres)
        self._page.about.setText(self._about())
        name = draft.name.strip() or "New plan"
        self._page.title.setText(f"{capital(name)}, {litres_text(litres)}")
        if not self._page.mould.line.hasFocus():
            self._page.mould.set_text(mould_text(draft.head.mould_mm))
        self._page.save.setVisible(self._author.is_draft)
        self._page.new.setVisible(self._versions.has_older())
        self._needs.show_needs(needs_of(plan, litres) if plan is not None else [])
        self._draw()

    def _about(self) -> str:
        author, draft = self._author, self._author.settled
        saved = draft.from_name in self._journal.plans.names()
        of_series, newer = author.key.startswith(SERIES_KEY), self._versions.has_newer()
        return draft_about(draft, of_series, saved, author.is_draft, newer)

    def _draw(self) -> None:
        if self._picking:
            return
        if self.plan is None:
            self._picture.show_nothing()
            self._page.outcome.show_sentences(self._running())
            return
        plan = for_milk(self.plan, self._author.litres)
        day = self._wish.day_for(plan)
        older = self._versions.compared(self.plan)
        planned = PlanScene(
            day.plan,
            day.start_ms,
            self._journal.zone,
            self._whole,
            self._page.stage,
            self._past,
            older=older,
            faulty=self._faulty(),
        )
        if self._past.ph is None and plan.cultured and plan.sours:
            planned = replace(planned, fan=usual_fan(day.plan, planned.until_min))
        self._picture.show_planned(planned)
        why = self._author.why()
        not_read = [(True, why)] if why else []
        others = [*not_read, *self._wish.sentences(day), *self._running()]
        fat = self._page.fat.value()
        message = sentences_of(
            plan,
            self._author.litres,
            None if fat is None else fat.stored,
            self.faults,
            self._page.stage,
            others,
        )
        self._page.outcome.show_sentences(message, self._page.sentences)

    def _running(self) -> list[tuple[bool, str]]:
        codes = [make.code for make in self._journal.makes.running()[:2]]
        text = worded("desk.vat-in-use", codes=codes, makes=len(codes))
        return [(False, text)] if codes else []

    def _faulty(self) -> frozenset[int]:
        """The places of stages that cannot work."""
        return frozenset(fault.stage for fault in self.faults)

    def _ask_past(self, name: str) -> None:
        path = str(self._journal.path)
        task = self._work.start_file("plans past", path, past_makes, name)
        task.finished.connect(self._on_past)
        task.failed.connect(self._on_failed)

    # Handlers

    def _on_picked(self, listed: Listed) -> None:
        self._page.finish()
        self._pick(listed)

    def _on_draft(self) -> None:
        """The draft changed: redraw, and the list where it became a draft or is one no more."""
        now = (self._author.key, self._author.is_draft, self._author.settled.name)
        if now != self._listed_as:
            self._listed_as = now
            self._page.show_plans(self._plans(), self._author.key)
        self._show()

    def _on_stage(self, index: int) -> None:
        """A stage was clicked in the chart."""
        self._page.stages.select_cell(self._row_of(index))
        self._page.stages.setFocus()

    def _on_dragged(self, index: int, column: str, text: str, is_over: bool) -> None:
        """A point or an edge is held elsewhere: as if its cell were typed."""
        self._page.finish()
        row = self._row_of(index)
        (self._author.on_saved if is_over else self._author.on_typed)(row, column, text)

    def _row_of(self, index: int) -> int:
        """The line of a stage of the plan."""
        rows = enumerate(self._author.settled.rows)
        return [number for number, row in rows if row.stage is not None][index]

    def _on_whole(self, whole: bool) -> None:
        self._whole = whole
        self._draw()

    def _on_milk(self, _typed: Typed | None) -> None:
        self._author.milk_l = self._page.milk.litres()
        if not self._picking:
            self._show()

    def _on_past(self, past: PastMakes) -> None:
        if past.plan == self._author.settled.from_name:
            self._past = past
            self._draw()

    def _on_failed(self, error: Exception) -> None:
        self.failed.emit(text_of(error))
