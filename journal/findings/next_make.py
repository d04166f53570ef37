"""The next make of a journal: the best known plan, and from it the changes that pay.

What to try is chosen in numbers by `trials.py`, from every make there is, scored or not; here it
becomes a plan. A change that brings the plan a fault, or does not go with the others, is left out.
Each change says why it is made and what it costs if it is wrong. A plan's acid targets stay; how
fast the acid comes after a change is not forecast, and a change that touches it says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.findings.additive import AdditiveFit, MadeScores, fit_additive
from journal.findings.adjustable import Adjustable, MadeByPlan, adjustables, settings_of
from journal.findings.doses import CULTURES
from journal.findings.evidence import LEAST_MAKES
from journal.findings.missing import fill
from journal.findings.plan_variables import first_changed
from journal.findings.study import Stop, Study, go_on
from journal.findings.table import Floats, ScoreTable
from journal.findings.trade import family_of
from journal.findings.trials import (
    BOLD,
    CAREFUL,
    LEAST_GAIN,
    MANNERS,
    ONE,
    Trials,
    best_settings,
    choose,
)
from journal.message import Message
from journal.records.instants import DAY_MS
from journal.records.plans import FROM_A_TABLE, PAPER, Plan

MORE_IS_BETTER = frozenset(("overall", "appearance", "odour", "flavour", "consistency"))
"""Scores that say how good it is; the others say how much there is of something."""
OF_ACID = frozenset((*CULTURES, "milk_ripened", "cook_rate", "cook_temperature", "water_added"))
"""Of these it is said that the acid may come at another pace."""
BEST = "best"
USUAL_A_YEAR = 12.0
FIRST = "cook_temperature"  # its pace hangs on it
PASSES = 3
MOST_NAMED = 3
MOVED, FAR = 0.15, 0.5
"""Steps by which a value must differ to be a change; and to be taken back though nothing is known
of it yet, so that no trial becomes the base by itself."""


@dataclass(frozen=True)
class Gain:
    """What a change is expected to add, points, and where that lies 8 times in 10."""

    mean: float
    low80: float
    high80: float


@dataclass(frozen=True)
class ProposedChange:
    """One change of a proposal: `was` and `value` in `unit`, its text, what it should
    add, and whether it is tried to learn (else it promises); `source` of its published range."""

    variable: str
    key: str
    was: float
    value: float
    unit: str
    title: Message
    reason: Message
    gain: Gain
    trial: bool
    source: str

    @property
    def mind_acid(self) -> bool:
        """Whether the acid may come at another pace with it."""
        return self.key in OF_ACID


@dataclass(frozen=True)
class Proposal:
    """A plan to make, and what it should score.

    `kind` is a manner, or "best" for the best known plan; `kept` what the best known plan changes
    of the plan it starts from, `changes` what is tried beside it (of the best known plan nothing);
    `stage` the place of the first stage that changes (-1: none).
    """

    kind: str
    changes: tuple[ProposedChange, ...]
    kept: tuple[ProposedChange, ...]
    title: Message
    reason: Message
    plan: Plan
    stage: int
    score: Gain


@dataclass(frozen=True)
class NextMake:
    """What to make next from the plan of `start`; without proposals `why` says why."""

    best: Proposal | None = None
    proposals: tuple[Proposal, ...] = ()
    why: Message | None = None
    start: MadeByPlan | None = None
    a_year: float = USUAL_A_YEAR

    def of(self, kind: str) -> Proposal | None:
        """The proposal of a manner, or the best known plan."""
        every = (*self.proposals, *((self.best,) if self.best else ()))
        return next((one for one in every if one.kind == kind), None)


def next_make(
    table: ScoreTable,
    study: Study,
    made: Sequence[MadeByPlan],
    *,
    a_year: float | None = None,
    stop: Stop | None = None,
) -> NextMake:
    """Look for what to make next, carefully, boldly, and one change at a time.

    Parameters
    ----------
    table, study : the study of a score
    made : sequence of MadeByPlan
        Every make of the journal, scored or not.
    a_year : float, optional
        Makes a year; by default as many as there were.
    stop : callable, optional
        Asked between steps; True ends the work with a FindingError.
    """
    if table.samples is not None:
        return NextMake(why=Message("findings.proposed-from-scores"))
    if table.makes < LEAST_MAKES or study.joint is None:
        return NextMake(why=Message("findings.proposed-from-five"))
    if table.score_name not in MORE_IS_BETTER:
        return NextMake(why=Message("findings.more-not-better", score=table.score_name))
    own = _of_one_plan(table, made)
    start, year = own[-1], makes_a_year(own) if a_year is None else a_year
    found = adjustables(start.plan, own, family_of(start.plan), table)
    if not found:
        return NextMake(why=Message("findings.nothing-to-change"), start=start, a_year=year)
    kitchen = _Kitchen.of(table, own, found, year)
    proposals = [kitchen.proposal(kind) for kind in MANNERS if go_on(stop)]
    kept = tuple(one for one in proposals if one.changes)
    best = kitchen.proposal(BEST)
    why = None if kept else Message("findings.nothing-promises")
    return NextMake(best, kept, why, start, year)


def makes_a_year(made: Sequence[MadeByPlan]) -> float:
    """How many makes a year there were; a dozen where that is unknown."""
    days = (made[-1].started_ms - made[0].started_ms) / DAY_MS if made else 0.0
    if len(made) < LEAST_MAKES or days < 30:
        return USUAL_A_YEAR
    return float(np.clip(round(365 * (len(made) - 1) / days), 1, 365))


def _of_one_plan(table: ScoreTable, made: Sequence[MadeByPlan]) -> list[MadeByPlan]:
    """The makes by the newest plan's name that has scores enough, else all; in their order. Makes
    on paper that named no plan count with any and come first: the next begins from a real plan."""
    made = sorted(made, key=lambda one: one.started_ms)
    scored = set(table.make)
    paper = [one for one in made if one.plan.name == PAPER and one.plan.source == FROM_A_TABLE]
    here = [one for one in made if one not in paper]
    for make in reversed(here):
        alike = [*paper, *(one for one in here if one.plan.name == make.plan.name)]
        if sum(one.code in scored for one in alike) >= LEAST_MAKES:
            return alike
    newest = next(one for one in reversed([*paper, *here]) if one.code in scored)
    return [*(one for one in made if one is not newest), newest]


@dataclass(frozen=True)
class _Kitchen:
    """The makes by one plan, with what the scores say of its changes."""

    table: ScoreTable
    made: list[MadeByPlan]
    found: list[Adjustable]
    fit: AdditiveFit
    trials: Trials
    base: Floats

    @classmethod
    def of(
        cls, table: ScoreTable, made: list[MadeByPlan], found: list[Adjustable], a_year: float
    ) -> _Kitchen:
        """Fit what the makes' scores say."""
        settings = settings_of(found, made)
        at = {one.code: i for i, one in enumerate(made)}
        rows = np.array([i for i, code in enumerate(table.make) if code in at], dtype=np.intp)
        make = np.array([at[table.make[i]] for i in rows], dtype=np.intp)
        low = np.array([one.setting(one.low) for one in found])
        high = np.array([one.setting(one.high) for one in found])
        wheels = {wheel: i for i, wheel in enumerate(dict.fromkeys(table.wheel))}
        shared = np.empty((len(table.make), 0)) if table.shared is None else table.shared
        given = MadeScores(
            settings[make], _beside(table, found)[rows], table.y[rows], table.y_se[rows],
            shared[rows], make, np.array([wheels[table.wheel[i]] for i in rows], dtype=np.intp),
            np.maximum((high - low) / 2, 1.0),
        )  # fmt: skip
        fit = fit_additive(given)
        scored = np.isin(np.arange(len(made)), make)
        trials = Trials(settings, scored, np.minimum(low, 0), np.maximum(high, 0), a_year)
        return cls(table, made, found, fit, trials, best_settings(fit, trials))

    def proposal(self, kind: str) -> Proposal:
        """The best known plan, or the next make in a manner."""
        start = self.made[-1].plan
        base = self._plan(start, self._kept(self._planned(start)))
        kept, plan = self._changes(start, base, tried=False), base
        changes: tuple[ProposedChange, ...] = ()
        if kind != BEST:
            rng = np.random.default_rng([len(self.made), int(self.trials.scored.sum())])
            wanted = choose(self.fit, self.trials, kind, rng)
            own = self._planned(base)
            plan = self._plan(base, np.where(np.abs(wanted - self.base) > MOVED, wanted, own))
            changes = self._changes(base, plan, tried=True)
        return Proposal(
            kind, changes, kept, _title(changes, kept, kind), self._reason(kind), plan,
            first_changed(start, plan), self._score(self._planned(plan)),
        )  # fmt: skip

    def _kept(self, own: Floats) -> Floats:
        """The best known settings, as far as it is worth the trouble to leave a plan's own."""
        k = self.fit.changes
        line, bend = self.fit.mean[1 : 1 + k], self.fit.mean[1 + k :]
        gain = line * (self.base - own) + bend * (self.base**2 - own**2)
        far = np.abs(self.base - own) > FAR
        return np.where((gain >= LEAST_GAIN) | far, self.base, own)

    def _plan(self, start: Plan, wanted: Floats) -> Plan:
        """A plan with the settings that are wanted, as far as they go together."""
        plan = start
        order = sorted(
            range(len(self.found)), key=lambda j: self.found[j].plan_variable.key != FIRST
        )
        for _ in range(PASSES):  # what one change moved along is set right, and what it allows done
            before = plan
            for j in order:
                one = self.found[j]
                now = one.setting(one.plan_variable.planned(plan) or one.origin)
                if abs(float(wanted[j]) - now) > MOVED:
                    plan = _nearest(plan, one, now, float(wanted[j]))
            if plan == before:
                break
        return plan

    def _changes(self, old: Plan, new: Plan, *, tried: bool) -> tuple[ProposedChange, ...]:
        """What a plan changes of another, what promises most first."""
        own, there = self._planned(old), self._planned(new)
        moved = np.flatnonzero(np.abs(there - own) > MOVED)
        found = [self._change(int(j), own, there, tried) for j in moved]
        return tuple(sorted(found, key=lambda one: -one.gain.mean))

    def _planned(self, plan: Plan) -> Floats:
        """The settings of a plan."""
        return np.array(
            [one.setting(one.plan_variable.planned(plan) or one.origin) for one in self.found]
        )

    def _change(self, j: int, own: Floats, there: Floats, tried: bool) -> ProposedChange:
        one, gain = self.found[j], self._gain(own[j], there[j], j)
        was, value = self.value_of(j, own), self.value_of(j, there)
        what, unit = self.table.name_of(one.variable), one.variable.unit
        reason_id = "findings.promises-more" if gain.mean >= LEAST_GAIN else "findings.as-usual"
        if tried and gain.mean < LEAST_GAIN:
            reason_id = "findings.tried-to-learn"
        most = gain.high80 if reason_id == "findings.tried-to-learn" else gain.mean
        reason = Message(reason_id, gain=max(most, 0.0), cost=max(-gain.low80, 0.0))
        title = Message("findings.change-from", what=what, value=value, unit=unit, was=was)
        return ProposedChange(
            one.variable.name, one.plan_variable.key, was, value, unit, title, reason, gain, tried,
            one.source,
        )  # fmt: skip

    def value_of(self, j: int, settings: Floats) -> float:
        """The plan's value of a setting, rounded as it counts."""
        one = self.found[j]
        value = one.origin - one.bias + float(settings[j]) * one.step
        return round(value, one.plan_variable.digits)

    def _gain(self, was: float, now: float, j: int) -> Gain:
        k = self.fit.changes
        of = np.zeros(1 + 2 * k)
        of[1 + j], of[1 + k + j] = now - was, now**2 - was**2
        return Gain(*self.fit.range_of(of))

    def _score(self, settings: Floats) -> Gain:
        k = self.fit.changes
        of = np.concatenate([[1.0], settings, settings**2])
        assert of.size == 1 + 2 * k
        mean, low, high = self.fit.range_of(of, of_a_make=True)
        return Gain(*(min(max(self.fit.level + v, 0.0), 10.0) for v in (mean, low, high)))

    def _reason(self, kind: str) -> Message:
        waiting = int((~self.trials.scored).sum())
        if kind == BEST or not waiting:
            return Message("findings.from-scored", makes=int(self.trials.scored.sum()))
        return Message(
            "findings.from-scored-and-waiting", makes=int(self.trials.scored.sum()), waiting=waiting
        )


def _nearest(plan: Plan, one: Adjustable, now: float, wanted: float) -> Plan:
    """The plan with a setting as near to what is wanted as it can be without a fault."""
    for share in (1.0, 0.75, 0.5, 0.25):
        new = one.plan_variable.try_plan(plan, one.planned(now + share * (wanted - now)))
        if new is not None:
            return new
    return plan


def _beside(table: ScoreTable, found: list[Adjustable]) -> Floats:
    """What else was different in each row, standardised; no column for what never varied."""
    x = fill(table).x
    chosen = {one.plan_variable.key for one in found}
    columns = [j for j, v in enumerate(table.variables) if v.key not in chosen]
    x = np.nan_to_num(x[:, columns])
    sd = x.std(axis=0)
    varied = sd > 1e-9 * np.maximum(np.abs(x).max(axis=0, initial=0.0), 1e-9)
    return np.asarray((x[:, varied] - x[:, varied].mean(axis=0)) / sd[varied])


def _title(changes: Sequence[ProposedChange], kept: Sequence[ProposedChange], kind: str) -> Message:
    shown = kept if kind == BEST else changes
    if not shown:
        return Message("findings.as-last-time")
    names = [one.title.values["what"] for one in shown]
    beside = bool(kept) and kind != BEST
    if len(shown) > MOST_NAMED:
        title_id = "findings.best-and-many" if beside else "findings.many-changes"
        return Message(title_id, count=len(shown))
    if beside:
        return Message("findings.best-and-change", names=names)
    if len(shown) == 1:
        return Message("findings.change-only", **shown[0].title.values)
    return Message("findings.change-several", names=names)


__all__ = ["BEST", "BOLD", "CAREFUL", "MANNERS", "ONE", "Gain", "NextMake", "Proposal", "next_make"]
