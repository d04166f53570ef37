"""The next make: the one change that would teach the most, and the one that promises the most.

Only single changes are looked at, each within the bounds of its lever and of the plan, each
against making the same again. To learn: what the change would tell about all effects, as expected
information. To improve: the expected gain, among changes whose 80 % range lies above nought and
which were made before.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from journal.findings.doses import CULTURES, DOSES
from journal.findings.error import FindingError
from journal.findings.evidence import CLEAR, LEANING, UNKNOWN
from journal.findings.foretell import Foretold, Ground, beyond, foretell, row_of
from journal.findings.levers import LEVERS, Lever, first_changed
from journal.findings.scales import entered_step
from journal.findings.scatter import on_scale
from journal.findings.study import Stop, Study, go_on
from journal.findings.table import Floats, ScoreTable, Variable
from journal.records.plans import Plan

LEARN, IMPROVE = "learn", "improve"
MORE_IS_BETTER = frozenset(("overall", "appearance", "odour", "flavour", "consistency"))
"""Scores that say how good it is; the others say how much there is of something."""
STEPS = 3  # how many practical steps a change may go
FEW_STEPS = 4.0  # a span of fewer steps is called little
HALVED, THIRD = 0.56, 0.72
OF_ACID = frozenset((*CULTURES, "milk_ripened", "cook_rate", "cook_temperature", "water_added"))
MIND_ACID = (
    " The acid may come at another pace: no forecast stands behind that, so keep to the gates."
)
"""The plan keeps its gates, and what is proposed is held to the bounds of `levers.py`; how fast the
acid then comes is not forecast anew."""


@dataclass(frozen=True)
class Proposal:
    """A single change of a plan, for one reason.

    `was` and `value` are the plan's own and the proposed value in the variable's unit, `title`
    and `reason` sentences, `short` the change in few words, `stage` the place of the stage that
    changes (-1: none), `information` in nats beyond making the same again, `gain` what the change
    is expected to add (None where nothing can be foretold of it).
    """

    kind: str
    variable: str
    key: str
    was: float
    value: float
    unit: str
    title: str
    reason: str
    short: str
    plan: Plan
    stage: int
    information: float
    gain: Foretold | None


@dataclass(frozen=True)
class NextMake:
    """What to try next from a make's plan; None where nothing fits, and then `why` says so."""

    learn: Proposal | None
    improve: Proposal | None
    why: str


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
        return NextMake(None, None, "The next make is proposed from scores: choose one of them.")
    if study.joint is None:
        return NextMake(None, None, "Changes are proposed from five scored makes on.")
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
        return NextMake(None, None, "The plan says nothing that could be changed and learned from.")
    teacher = _Teacher(table, study, ground, plan)
    learn = max(found, key=teacher.information)
    more = table.score_name in MORE_IS_BETTER
    better = [c for c in found if more and go_on(stop) and teacher.promises(c)]
    improve = max(better, key=teacher.expected) if better else None
    why = "No change promises a better score yet: every range reaches nought."
    if not more:
        why = f"More {table.score_name} is not always better, so nothing is proposed to improve."
    why = "" if improve else why
    return NextMake(
        teacher.proposal(LEARN, learn),
        teacher.proposal(IMPROVE, improve) if improve is not None else None,
        why,
    )


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
        """Whether the gain's 80 % range lies above nought, at a value that was made before."""
        if self._alone(c) is not None:
            return False
        if beyond(self.table.x[:, c.column], c.value):
            return False
        return float(self.joint.quantiles(self._change(c)[None], [0.1])[0, 0]) > 0

    def expected(self, c: _Candidate) -> float:
        """Expected gain, points."""
        return float(self._change(c) @ self.joint.mean)

    def gain(self, c: _Candidate) -> Foretold:
        """What the change adds to the plan's own value."""
        name = self.table.variables[c.column].name
        ground = replace(self.ground, values=self._start(c))
        return foretell(self.table, self.study, ground, {name: c.value})

    def _start(self, c: _Candidate) -> Floats:
        """The values of the ground, the variable at the plan's own."""
        was = c.lever.planned(self.plan)
        return self._moved(c.column, was if was is not None else c.value)

    def _change(self, c: _Candidate) -> Floats:
        """The row of the change less that of the plan's own value."""
        return self._row(c) - row_of(self.table, self.study, self._start(c))

    def proposal(self, kind: str, c: _Candidate) -> Proposal:
        """The candidate in words."""
        variable = self.table.variables[c.column]
        was = c.lever.planned(self.plan) or 0.0
        gain = self.gain(c) if self._alone(c) is None else None
        unit = variable.unit
        return Proposal(
            kind=kind,
            variable=variable.name,
            key=variable.key,
            was=was,
            value=c.value,
            unit=unit,
            title=_title(c.lever, c.value, was, unit),
            reason=(self._teaches(c) if kind == LEARN else _promises(gain, self.study.score))
            + (MIND_ACID if variable.key in OF_ACID else ""),
            short=f"{c.lever.word.removeprefix('the ')} {_said(c.value, c.lever, unit)}",
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
        place = self.entries.of(c.column)
        variable, sd = self.table.variables[c.column], float(self.entries.sd[c.column])
        step = _step_on(variable, c.lever, self.plan)
        a_step = abs(entered_step(self.table.x[:, c.column], variable.scale, step))
        if place is None or sd >= a_step:
            return self.covariance
        more = ((a_step / sd) ** 2 - 1) / self.joint.scale**2
        own = self.covariance[1 + place[0]]
        less = np.outer(own, own) * more / (1 + more * own[1 + place[0]])
        return np.asarray(self.covariance - less, dtype=float)

    def _alone(self, c: _Candidate) -> float | None:
        """How far, in sds, a variable goes that the model does not hold by itself: one that never
        varied (two steps stand for its sd) or always moved with others. None for all others."""
        place = self.entries.of(c.column)
        variable = self.table.variables[c.column]
        was = c.lever.planned(self.plan) or 0.0
        step = _step_on(variable, c.lever, self.plan)
        if place is None:
            return (c.value - was) / (2 * step)
        if len(self.entries.entries[place[0]].members) == 1:
            return None
        moves = entered_step(self.table.x[:, c.column], variable.scale, c.value - was)
        return moves / float(self.entries.sd[c.column])

    def _teaches(self, c: _Candidate) -> str:
        """Why it teaches: how little it moved, and what two such makes would do to its range."""
        column = self.table.x[:, c.column]
        known = column[np.isfinite(column)]
        name = self.table.variables[c.column].name
        variable, unit = self.table.variables[c.column], self.table.variables[c.column].unit
        low, high = float(known.min()), float(known.max())
        finding = self.study.finding(variable.key)
        makes = finding.makes_words()
        place = self.entries.of(c.column)
        if finding.evidence == UNKNOWN:
            at = _said(c.value, c.lever, unit)
            return (
                f"{_capital(name)} is known of {makes}, there {_said(low, c.lever, unit)}, so "
                f"nothing can be told. Makes at {at} would begin to tell, if it is noted each time."
            )
        if place is None:
            return (
                f"In {makes} it was always {_said(low, c.lever, unit)}, so nothing can be told. "
                f"A make at {_said(c.value, c.lever, unit)} would be the first to tell."
            )
        others = [m for m in self.entries.entries[place[0]].members if m != c.column]
        if others:
            names = " and ".join(self.table.variables[m].name for m in others)
            return (
                f"In {makes} it always moved together with {names}, so nothing can tell them "
                "apart. Changing it alone would."
            )
        step = _step_on(variable, c.lever, self.plan)
        little = high - low < FEW_STEPS * step
        between = _between(low, high, c.lever, unit)
        moved = f"In {makes} it {'only ' if little else ''}moved between {between}"
        why = _known(finding.evidence)
        return f"{moved}, {why}. {self._narrower(c, place[0])}"

    def _narrower(self, c: _Candidate, entry: int) -> str:
        row, known = self._row(c), self._known(c)
        told = known @ row
        after = known - np.outer(told, told) / (float(row @ told) + self.noise2 / 2)
        share = float(np.sqrt(after[1 + entry, 1 + entry] / known[1 + entry, 1 + entry]))
        unit = self.table.variables[c.column].unit
        at = f"Two makes at {_said(c.value, c.lever, unit)}"
        if share <= HALVED:
            return f"{at} would halve the range of its effect."
        if share <= THIRD:
            return f"{at} would narrow the range of its effect by a third."
        return f"{at} would narrow the range of its effect by {100 * (1 - share):.0f} %."


def _capital(name: str) -> str:
    """A name at the head of a sentence; pH keeps its own."""
    return name if name[1:2].isupper() else f"{name[:1].upper()}{name[1:]}"


def _number(value: float, lever: Lever) -> str:
    text = f"{value:.{lever.digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _said(value: float, lever: Lever, unit: str) -> str:
    text = _number(value, lever)
    return f"pH {text}" if unit == "pH" else f"{text} {unit}".rstrip()


def _between(low: float, high: float, lever: Lever, unit: str) -> str:
    if unit == "pH":
        return f"pH {_number(low, lever)} and {_number(high, lever)}"
    return f"{_number(low, lever)} and {_said(high, lever, unit)}"


def _title(lever: Lever, value: float, was: float, unit: str) -> str:
    new, old = _said(value, lever, unit), _number(was, lever)
    return f"Change only {lever.word}: {new} instead of {old}."


def _known(evidence: str) -> str:
    return {
        CLEAR: "and what it does is clear, but not how much",
        LEANING: "and what it does only leans",
    }.get(evidence, "and still nothing can be told")


def _promises(gain: Foretold | None, score: str) -> str:
    if gain is None:
        raise FindingError("Nothing can be foretold of a change that was never made.")
    return (
        f"It should add about {gain.against:.1f} points of {score}, 8 times in 10 between "
        f"{gain.against_low80:.1f} and {gain.against_high80:.1f}. The next make itself would lie "
        f"between {gain.low80:.1f} and {gain.high80:.1f} as often."
    )
