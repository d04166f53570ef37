"""Setting up a series: how the form begins, what it asks for, and saving it."""

from __future__ import annotations

from functools import partial

import numpy as np
from PySide6.QtCore import QObject, Signal

from journal.desk.findings.series_form import SeriesForm
from journal.desk.findings.series_set import SeriesPreview
from journal.desk.findings.studying import StudyController
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.findings import FindingError
from journal.findings.answer import StudyAnswer
from journal.findings.doses import CULTURES
from journal.findings.series_plans import SeriesOffer, begin_with, ends, offers
from journal.keeping import KeepingError
from journal.records import RecordError
from journal.records.plan_text import builtin_plans
from journal.records.plans import Plan
from journal.records.series import Series
from journal.reports.series_plan import PlannedSeries, SeriesRequest, work_out
from journal.wording import text_of, worded
from journal.wording.sentences import listed

WORK = "series"
SUBJECT = "series"


class SeriesSetupController(QObject):
    """The form on which a series is set up: calculated as it is filled in. `saved` carries the key
    of the series when it is saved."""

    saved = Signal(int)

    def __init__(
        self, desk: Desk, study: StudyController, messages: MessageBar, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._journal, self._work, self._clock = desk.journal, desk.work, desk.clock
        self._study, self._messages = study, messages
        self.worked: PlannedSeries | None = None
        self._seed = 0
        self._wanted = False  # it is being worked out; saved as soon as it is
        self.form, self.set_page = SeriesForm(), SeriesPreview()
        self.form.changed.connect(self.ask)
        self.form.plan_chosen.connect(self._on_plan)
        self.form.set_up_button.clicked.connect(self.set_up)

    def begin(self) -> None:
        """Begin with the plan that stood there, or a new version of it, else with the newest."""
        plans = self._plans_to_vary()
        self._seed = len(self._journal.designs.all())
        self.form.show_plans(plans)
        known = next((p for p in plans if self.form.plan and p.name == self.form.plan.name), None)
        if self.form.plan is None or known != self.form.plan:  # a new version since
            plan = known or self._plan_to_begin(plans)
            if plan is not None:
                self._take_plan(plan)

    def ask(self) -> None:
        """Work out what is asked for, beside the screen."""
        self._wanted = False
        asked = self._asked()
        if asked is None:
            self.stop()
            return
        self.form.tell("")
        answer = self._scores()
        joint = answer.study.joint if answer is not None else None
        scatter = float(joint.scatter) if joint is not None else float("nan")
        task = self._work.start(WORK, work_out, asked, scatter)
        task.finished.connect(self._on_worked)
        task.failed.connect(self._refuse)

    def stop(self) -> None:
        """End the work under way."""
        self._work.stop(WORK)

    def set_up(self) -> None:
        """Keep the series with a plan for each make."""
        asked = self._asked()
        if asked is None:
            return
        worked = self.worked
        self._wanted = worked is None or worked.asked != asked
        if worked is None or self._wanted:
            return
        varied = asked.varied
        name = listed([offer.name for offer, _, _ in varied])
        try:
            saved = self._journal.designs.set_up(
                Series(
                    name,
                    self._clock(),
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
            self._messages.show_message(SUBJECT, text_of(error))
            return
        words = worded("desk.series-set-up", makes=len(saved.makes))
        self._messages.show_message(SUBJECT, words, attention=False)
        self.saved.emit(saved.series.id)

    def _plans_to_vary(self) -> list[Plan]:
        own = self._journal.plans.latest()
        names = {plan.name for plan in own}
        return own + [plan for plan in builtin_plans() if plan.name not in names]

    def _plan_to_begin(self, plans: list[Plan]) -> Plan | None:
        """The plan of the newest make, as it is now; else the first that lets something vary."""
        newest = self._journal.makes.newest(1)
        made = self._journal.plans.get(newest[0].plan_id).name if newest else ""
        for plan in sorted(plans, key=partial(_not_called, made)):
            if len(offers(plan)) >= 2:
                return plan
        return plans[0] if plans else None

    def _take_plan(self, plan: Plan) -> None:
        answer = self._scores()
        found = offers(plan, _least_culture(answer))
        study = answer.study if answer is not None else None
        proposals = answer.next_make if answer is not None else None
        self.form.take(plan, begin_with(found, study, proposals), partial(_moves, plan))

    def _scores(self) -> StudyAnswer | None:
        """The current study, where it is one of a score."""
        answer = self._study.answer
        return answer if answer is not None and not answer.is_defect else None

    def _asked(self) -> SeriesRequest | None:
        """What is asked for; None once the form has said what is wrong."""
        try:
            return self.form.asked(self._seed)
        except FindingError as error:
            self._refuse(error)
            return None

    def _on_worked(self, worked: PlannedSeries) -> None:
        self.worked = worked
        self.set_page.show_worked(worked)
        if self._wanted:
            self.set_up()

    def _refuse(self, error: Exception) -> None:
        if not isinstance(error, FindingError):
            raise error
        self.worked, self._wanted = None, False
        self.form.tell(text_of(error))
        self.set_page.show_nothing("The series is not complete yet.")

    def _on_plan(self, plan: Plan) -> None:
        self._take_plan(plan)
        self.ask()


def _least_culture(answer: StudyAnswer | None) -> dict[str, float]:
    """The least culture a litre this kitchen ever made with, in g and in ml, as far as the scores
    tell."""
    if answer is None:
        return {}
    keys = [v.key for v in answer.table.variables]
    return {key: float(np.nanmin(answer.table.x[:, keys.index(key)]))
            for key in CULTURES if key in keys}  # fmt: skip


def _not_called(name: str, plan: Plan) -> bool:
    return plan.name != name


def _moves(plan: Plan, offer: SeriesOffer) -> bool:
    try:
        ends(plan, offer)
    except FindingError:
        return False
    return True
