"""The next make: the one change that would teach the most, and the one that promises the most.

Only single changes are looked at, each within the bounds of its lever and of the plan, each
against making the same again. To learn: what the change would tell about all effects, as expected
information. To improve: the expected gain, among changes whose 80 % range lies above zero and
which were made before.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from journal.findings.doses import CULTURES, DOSES
from journal.findings.error import FindingError
from journal.findings.evidence import CLEAR, LEANING, UNKNOWN
from journal.findings.levers import LEVERS, Lever, first_changed
from journal.findings.predict import Ground, Prediction, beyond, predict, row_of
from journal.findings.scales import entered_step
from journal.findings.scatter import on_scale
from journal.findings.study import Stop, Study, go_on
from journal.findings.table import Floats, ScoreTable, Variable
from journal.message import Message
from journal.records.plans import Plan

LEARN, IMPROVE = "learn", "improve"
MORE_IS_BETTER = frozenset(("overall", "appearance", "odour", "flavour", "consistency"))
"""Scores that say how good it is; the others say how much there is of something."""
STEPS = 3  # how many practical steps a change may go
FEW_STEPS = 4.0  # a span of fewer steps is called little
HALVED, THIRD = 0.56, 0.72
OF_ACID = frozenset((*CULTURES, "milk_ripened", "cook_rate", "cook_temperature", "water_added"))
"""Of these it is said that the acid may come at another pace. The plan keeps its acid targets, and
what is proposed is held to the bounds of `levers.py`; how fast the acid then comes is not forecast
anew."""


@dataclass(frozen=True)
class Proposal:
    """A single change of a plan, for one reason.

    `was` and `value` are the plan's own and the proposed value in the variable's unit, `title`
    and `reason` what is to be said of it, `short` the change alone, `stage` the place of the stage
    that changes (-1: none), `information` in nats beyond making the same again, `gain` what the
    change is expected to add (None where nothing can be predicted of it).
    """

    kind: str
    variable: str
    key: str
    was: float
    value: float
    unit: str
    title: Message
    reason: Message
    short: Message
    plan: Plan
    stage: int
    information: float
    gain: Prediction | None


@dataclass(frozen=True)
class NextMake:
    """What to try next from a make's plan; None where nothing fits, and then `why` says so."""

    learn: Proposal | None
    improve: Proposal | None
    why: Message | None


def next_make(
    table: ScoreTable, study: Study, make: str, plan: Plan, *, stop: Stop | None = None
) -> NextMake:
    """Look for the change that would teach the most and the one that promises the most.

    Parameters
    ----------
    table, study : the study of a score
    make : str
        The make to start from.
    plan : Plan
        Its plan.
    stop : callable, optional
        Asked between changes; True ends the work with a FindingError.
    """
    if table.cards is not None:
        return NextMake(None, None, Message("findings.proposed-from-scores"))
    if study.joint is None:
        return NextMake(None, None, Message("findings.proposed-from-five"))
    ground = Ground.of(table, make)
    found = [
        _Candidate(lever, j, value, new)
        for lever in LEVERS
        for j in [_column(table, lever)]
        if j is not None
        for value in lever.values(plan, _step_on(table.variables[j], lever, plan), STEPS)
        if go_on(stop)
        for new in [lever.try_plan(plan, value)]
        if new is not None and not _slower_acid(table, lever, j, value)
    ]
    if not found:
        return NextMake(None, None, Message("findings.nothing-to-change"))
    teacher = _Teacher(table, study, ground, plan)
    learn = max(found, key=teacher.information)
    more = table.score_name in MORE_IS_BETTER
    better = [c for c in found if more and go_on(stop) and teacher.promises(c)]
    improve = max(better, key=teacher.expected) if better else None
    if improve is not None:
        return NextMake(teacher.proposal(LEARN, learn), teacher.proposal(IMPROVE, improve), None)
    why = Message("findings.nothing-promises")
    if not more:
        why = Message("findings.more-not-better", score=table.score_name)
    return NextMake(teacher.proposal(LEARN, learn), None, why)


@dataclass(frozen=True)
class _Candidate:
    lever: Lever
    column: int
    value: float
    plan: Plan


def _column(table: ScoreTable, lever: Lever) -> int | None:
    keys = [v.key for v in table.variables]
    return keys.index(lever.key) if lever.key in keys else None


def _step_on(variable: Variable, lever: Lever, plan: Plan) -> float:
    """The practical step; of a dose a tenth of the plan's own."""
    if lever.key in DOSES:
        return (lever.planned(plan) or 0.0) / 10
    return variable.step or 0.0


def _slower_acid(table: ScoreTable, lever: Lever, j: int, value: float) -> bool:
    """Whether less culture is proposed than this kitchen ever used: slow acid is a danger."""
    used = table.x[:, j][np.isfinite(table.x[:, j])]
    return lever.key in CULTURES and bool(used.size) and value < used.min()


class _Teacher:
    """Weighs candidates by what the study does not know and by what it does."""

    def __init__(self, table: ScoreTable, study: Study, ground: Ground, plan: Plan) -> None:
        assert study.joint is not None
        assert study.entries is not None
        self.table, self.study, self.ground, self.plan = table, study, ground, plan
        self.joint, self.entries = study.joint, study.entries
        self.covariance = self.joint.covariance
        self.noise2 = float(self.joint.scatter) ** 2
        self.here = row_of(table, study, ground.values)

    def information(self, c: _Candidate) -> float:
        """Expected information beyond making the same again, nats."""
        alone = self._alone(c)
        if alone is not None:
            return 0.5 * float(np.log1p(alone**2 * self.joint.scale**2 / self.noise2))
        known, row = self._known(c), self._row(c)
        return self._information(row, known) - self._information(self.here, known)

    def promises(self, c: _Candidate) -> bool:
        """Whether the gain's 80 % range lies above zero, at a value that was made before."""
        if self._alone(c) is not None:
            return False
        if beyond(self.table.x[:, c.column], c.value):
            return False
        return float(self.joint.quantiles(self._change(c)[None], [0.1])[0, 0]) > 0

    def expected(self, c: _Candidate) -> float:
        """Expected gain, points."""
        return float(self._change(c) @ self.joint.mean)

    def gain(self, c: _Candidate) -> Prediction:
        """What the change adds to the plan's own value."""
        name = self.table.variables[c.column].name
        ground = replace(self.ground, values=self._start(c))
        return predict(self.table, self.study, ground, {name: c.value})

    def _start(self, c: _Candidate) -> Floats:
        """The values of the ground, the variable at the plan's own."""
        was = c.lever.planned(self.plan)
        return self._moved(c.column, was if was is not None else c.value)

    def _change(self, c: _Candidate) -> Floats:
        """The row of the change less that of the plan's own value."""
        return self._row(c) - row_of(self.table, self.study, self._start(c))

    def proposal(self, kind: str, c: _Candidate) -> Proposal:
        """The candidate with what is to be said of it."""
        variable = self.table.variables[c.column]
        was = c.lever.planned(self.plan) or 0.0
        gain = self.gain(c) if self._alone(c) is None else None
        what, unit = Message("findings.lever", key=c.lever.key), variable.unit
        reason = self._teaches(c) if kind == LEARN else _promises(gain, self.study.score)
        if variable.key in OF_ACID:
            reason = Message("findings.mind-the-acid", why=reason)
        return Proposal(
            kind=kind,
            variable=variable.name,
            key=variable.key,
            was=was,
            value=c.value,
            unit=unit,
            title=Message(
                "findings.change-only",
                what=what,
                value=c.value,
                unit=unit,
                was=round(was, c.lever.digits),
            ),
            reason=reason,
            short=Message("findings.change-to", what=what, value=c.value, unit=unit),
            plan=c.plan,
            stage=first_changed(self.plan, c.plan),
            information=self.information(c),
            gain=gain,
        )

    def _information(self, row: Floats, known: Floats) -> float:
        return 0.5 * float(np.log1p(row @ known @ row / self.noise2))

    def _moved(self, j: int, value: float) -> Floats:
        values = self.ground.values.copy()
        values[j] = float(on_scale(self.table, j, np.array([value]))[0])
        return values

    def _row(self, c: _Candidate) -> Floats:
        """The row of the change."""
        return row_of(self.table, self.study, self._moved(c.column, c.value))

    def _known(self, c: _Candidate) -> Floats:
        """The covariance of level and effects, as far as a change of that variable is concerned.

        The prior is of an sd of the variable. Where it moved less than a step that would take a
        step's effect for as large as many sds', so there a step's effect is what the prior is of.
        """
        index = self.entries.of(c.column)
        variable, sd = self.table.variables[c.column], float(self.entries.sd[c.column])
        step = _step_on(variable, c.lever, self.plan)
        a_step = abs(entered_step(self.table.x[:, c.column], variable.scale, step))
        if index is None or sd >= a_step:
            return self.covariance
        more = ((a_step / sd) ** 2 - 1) / self.joint.scale**2
        own = self.covariance[1 + index[0]]
        less = np.outer(own, own) * more / (1 + more * own[1 + index[0]])
        return np.asarray(self.covariance - less, dtype=float)

    def _alone(self, c: _Candidate) -> float | None:
        """How far, in sds, a variable goes that the model does not hold by itself: one that never
        varied (two steps stand for its sd) or always moved with others. None for all others."""
        index = self.entries.of(c.column)
        variable = self.table.variables[c.column]
        was = c.lever.planned(self.plan) or 0.0
        step = _step_on(variable, c.lever, self.plan)
        if index is None:
            return (c.value - was) / (2 * step)
        if len(self.entries.entries[index[0]].members) == 1:
            return None
        moves = entered_step(self.table.x[:, c.column], variable.scale, c.value - was)
        return moves / float(self.entries.sd[c.column])

    def _teaches(self, c: _Candidate) -> Message:
        """Why it teaches: how little it moved, and what two such makes would do to its range."""
        column, variable = self.table.x[:, c.column], self.table.variables[c.column]
        known, digits, unit = column[np.isfinite(column)], c.lever.digits, variable.unit
        low, high = (round(float(end), digits) for end in (known.min(), known.max()))
        finding = self.study.finding(variable.key)
        makes = finding.known_of
        index = self.entries.of(c.column)
        if finding.evidence == UNKNOWN:
            return Message(
                "findings.learn-not-known",
                variable=variable.name, makes=makes, always=low, value=c.value, unit=unit,
            )  # fmt: skip
        if index is None:
            return Message(
                "findings.learn-never-varied", makes=makes, always=low, value=c.value, unit=unit
            )
        others = [m for m in self.entries.entries[index[0]].members if m != c.column]
        if others:
            names = [self.table.variables[m].name for m in others]
            return Message("findings.learn-moved-together", makes=makes, names=names)
        little = float(known.max() - known.min()) < FEW_STEPS * _step_on(
            variable, c.lever, self.plan
        )
        return Message(
            "findings.learn-moved-little" if little else "findings.learn-moved",
            makes=makes, low=low, high=high, unit=unit, sure=_sure(finding.evidence),
            then=self._narrower(c, index[0]),
        )  # fmt: skip

    def _narrower(self, c: _Candidate, entry: int) -> Message:
        row, known = self._row(c), self._known(c)
        known_row = known @ row
        after = known - np.outer(known_row, known_row) / (float(row @ known_row) + self.noise2 / 2)
        share = float(np.sqrt(after[1 + entry, 1 + entry] / known[1 + entry, 1 + entry]))
        unit = self.table.variables[c.column].unit
        if share <= HALVED:
            return Message("findings.would-halve", value=c.value, unit=unit)
        if share <= THIRD:
            return Message("findings.would-take-a-third", value=c.value, unit=unit)
        percent = 100 * (1 - share)
        return Message("findings.would-narrow", value=c.value, unit=unit, percent=percent)


def _sure(evidence: str) -> Message:
    if evidence == CLEAR:
        return Message("findings.known-but-its-size")
    return Message("findings.only-leans" if evidence == LEANING else "findings.nothing-told")


def _promises(gain: Prediction | None, score: str) -> Message:
    if gain is None:
        raise FindingError("findings.change-never-made")
    return Message(
        "findings.should-add",
        score=score, gain=gain.against, gain_low=gain.against_low80, gain_high=gain.against_high80,
        low=gain.low80, high=gain.high80,
    )  # fmt: skip
