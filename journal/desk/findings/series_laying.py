"""Laying a series out: what the form begins with, what it asks for, and keeping it."""

from __future__ import annotations

from functools import partial

import numpy as np

from journal.desk.findings.answer import Answer
from journal.desk.findings.series_asked import Asked, Worked, work_out
from journal.findings import FindingError
from journal.findings.doses import CULTURES
from journal.findings.series_plans import Offer, begin_with, ends, offers
from journal.keeping import KeepingError
from journal.quantities.counts import counted, listed
from journal.records import RecordError
from journal.records.plan_text import builtin_plans
from journal.records.plans import Plan
from journal.records.series import Series

FORM, STANDING = "form", "standing"
WORK = "series"
SAID = "series"


class SeriesLaying:
    """Mixed into the place of findings by SeriesActs: the form on which a series is asked for."""

    def new_series(self) -> None:
        """Begin to lay out a series."""
        plans = self._plans_to_vary()
        self._seed = len(self.journal.designs.all())
        self.form.show_plans(plans)
        known = next((p for p in plans if self.form.plan and p.name == self.form.plan.name), None)
        if self.form.plan is None or known != self.form.plan:  # a new version since
            plan = known or self._plan_to_begin(plans)
            if plan is not None:
                self._take_plan(plan)
        self._turn_series(FORM)

    def lay_series_out(self) -> None:
        """Keep the series with a plan for each make."""
        asked = self._asked()
        if asked is None:
            return
        if self.worked is None or self.worked.asked != asked:
            self._lay_wanted = True  # it is being worked out; laid out as soon as it is
            return
        self._lay_wanted = False
        worked, varied = self.worked, asked.varied
        name = listed([offer.name for offer, _, _ in varied])
        try:
            laid = self.journal.designs.lay_out(
                Series(
                    name,
                    self.desk.clock(),
                    asked.keys,
                    tuple(low for _, low, _ in varied),
                    tuple(high for _, _, high in varied),
                    worked.design.kind,
                ),
                asked.plan,
                worked.plans,
                worked.wanted,
                worked.design.block.tolist(),
            )
        except (KeepingError, RecordError) as error:
            self.say(SAID, str(error))
            return
        self.series_id = laid.series.id
        makes = counted(len(laid.makes), "make")
        words = f"{makes} are laid out, each with its plan. Ctrl Enter opens the first."
        self.say(SAID, words, attention=False)
        self._turn_series(STANDING)

    def _plans_to_vary(self) -> list[Plan]:
        own = self.journal.plans.latest()
        names = {plan.name for plan in own}
        return own + [plan for plan in builtin_plans() if plan.name not in names]

    def _plan_to_begin(self, plans: list[Plan]) -> Plan | None:
        """The plan of the newest make, as it is now; else the first that lets something vary."""
        newest = self.journal.makes.newest(1)
        made = self.journal.plans.get(newest[0].plan_id).name if newest else ""
        for plan in sorted(plans, key=partial(_not_called, made)):
            if len(offers(plan)) >= 2:
                return plan
        return plans[0] if plans else None

    def _take_plan(self, plan: Plan) -> None:
        answer = self._scores()
        found = offers(plan, _least_culture(answer))
        study = answer.study if answer is not None else None
        told = answer.next_make if answer is not None else None
        self.form.take(plan, begin_with(found, study, told), partial(_moves, plan))

    def _scores(self) -> Answer | None:
        """The study at hand, where it is one of a score."""
        answer = self.answers.get(self.score)
        return answer if answer is not None and not answer.is_defect else None

    def _asked(self) -> Asked | None:
        """What is asked for; None once the form has said what is wrong."""
        try:
            asked = self.form.asked(self._seed)
        except FindingError as error:
            self._refuse_series(error)
            return None
        return asked

    def _on_asked(self) -> None:
        self._lay_wanted = False
        asked = self._asked()
        if asked is None:
            self.desk.work.stop(WORK)
            return
        self.form.tell("")
        answer = self._scores()
        joint = answer.study.joint if answer is not None else None
        scatter = float(joint.scatter) if joint is not None else float("nan")
        task = self.desk.work.start(WORK, work_out, asked, scatter)
        task.finished.connect(self._on_worked)
        task.failed.connect(self._refuse_series)

    def _on_worked(self, worked: Worked) -> None:
        self.worked = worked
        self.set_page.show_worked(worked)
        if self._lay_wanted:
            self.lay_series_out()

    def _refuse_series(self, error: Exception) -> None:
        if not isinstance(error, FindingError):
            raise error
        self.worked, self._lay_wanted = None, False
        self.form.tell(str(error))
        self.set_page.show_nothing("This is no series yet.")

    def _on_plan_of_series(self, plan: Plan) -> None:
        self._take_plan(plan)
        self._on_asked()


def _least_culture(answer: Answer | None) -> dict[str, float]:
    """The least culture a litre this kitchen ever made with, in g and in ml, as far as the scores
    tell."""
    if answer is None:
        return {}
    keys = [v.key for v in answer.table.variables]
    return {key: float(np.nanmin(answer.table.x[:, keys.index(key)]))
            for key in CULTURES if key in keys}  # fmt: skip


def _not_called(name: str, plan: Plan) -> bool:
    return plan.name != name


def _moves(plan: Plan, offer: Offer) -> bool:
    try:
        ends(plan, offer)
    except FindingError:
        return False
    return True
