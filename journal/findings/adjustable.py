"""What a plan lets the next make change, in typical changes from what is usual, and how far.

How far is fixed by what was made, by what is published for the family, and where nothing is, by a
share of what the first make had: never by the newest plan's own value, which would let it go a
little farther with every make. The bounds of `plan_variables.py` stand above all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from journal.findings.doses import CULTURES, DOSES
from journal.findings.plan_variables import PLAN_VARIABLES, PlanVariable
from journal.findings.readers import MAKE_VARIABLES
from journal.findings.table import Floats, ScoreTable, Variable
from journal.findings.trade import plan_variable_ranges
from journal.records.plans import Plan

_KNOWN = {one.variable.key: one.variable for one in MAKE_VARIABLES}


@dataclass(frozen=True)
class MadeByPlan:
    """A make, scored or not: its code and key in the file, when it began, its plan, and what was
    done, by key of the variable (NaN or left out where nobody knows)."""

    code: str
    make_id: int
    started_ms: int
    plan: Plan
    done: Mapping[str, float]


@dataclass(frozen=True)
class Adjustable:
    """A variable that the next make may change.

    Parameters
    ----------
    plan_variable, variable
    origin : float
        What is usual, in the variable's unit.
    bias : float
        How far what is done lies from what the plan says, usually.
    step : float
        A typical change.
    low, high : float
        How far the plan's value may go.
    source : str
        Of the published range, "" where there is none.
    """

    plan_variable: PlanVariable
    variable: Variable
    origin: float
    bias: float
    step: float
    low: float
    high: float
    source: str

    def planned(self, setting: float) -> float:
        """The plan's value of a setting, with the digits that count."""
        value = self.origin - self.bias + setting * self.step
        return round(min(max(value, self.low), self.high), self.plan_variable.digits)

    def setting(self, planned: float) -> float:
        """The setting of a plan's value."""
        return (planned + self.bias - self.origin) / self.step


def step_of(plan_variable: PlanVariable, plan: Plan) -> float:
    """The practical step of what a plan variable moves; of a dose a tenth of the plan's own."""
    if plan_variable.key in DOSES:
        return (plan_variable.planned(plan) or 0.0) / 10
    return abs(_KNOWN[plan_variable.key].step or 0.0)


def adjustables(
    start: Plan, made: Sequence[MadeByPlan], family: str, table: ScoreTable
) -> list[Adjustable]:
    """Every variable that the plan settles and that can be moved within its bounds."""
    variables = {v.key: v for v in table.variables}
    found = (_adjustable(one, start, made, family, variables) for one in PLAN_VARIABLES)
    return [one for one in found if one is not None]


def settings_of(found: Sequence[Adjustable], made: Sequence[MadeByPlan]) -> Floats:
    """What was done in each make (makes, changes); what was meant where nobody knows, and what is
    usual where the plan does not say either."""
    out = np.zeros((len(made), len(found)))
    for i, make in enumerate(made):
        for j, one in enumerate(found):
            plan_variable = one.plan_variable
            done, meant = make.done.get(plan_variable.key, np.nan), plan_variable.planned(make.plan)
            if np.isfinite(done):
                out[i, j] = (done - one.origin) / one.step
            elif meant is not None:
                out[i, j] = one.setting(meant)
    return out


def _adjustable(
    plan_variable: PlanVariable,
    start: Plan,
    made: Sequence[MadeByPlan],
    family: str,
    variables: Mapping[str, Variable],
) -> Adjustable | None:
    own, step = plan_variable.planned(start), step_of(plan_variable, start)
    if own is None or step <= 0:
        return None
    done = np.array([make.done.get(plan_variable.key, np.nan) for make in made], dtype=float)
    meant = np.array([_or_nan(plan_variable.planned(make.plan)) for make in made], dtype=float)
    both = np.isfinite(done) & np.isfinite(meant)
    bias = float(np.median((done - meant)[both])) if both.any() else 0.0
    known = np.where(np.isfinite(done), done, meant + bias)
    known = known[np.isfinite(known)]
    origin = float(np.median(known)) if known.size else own + bias
    meant = meant[np.isfinite(meant)] if np.isfinite(meant).any() else np.array([own])
    low, high, source = _bounds(plan_variable, meant, family)
    if plan_variable.key in CULTURES:  # less than was ever used makes slow acid, which is a danger
        low = max(low, float(meant.min()))
    if not low - 1e-9 <= own <= high + 1e-9 or high - low < step:
        return None
    variable = variables.get(plan_variable.key, _KNOWN[plan_variable.key])
    return Adjustable(plan_variable, variable, origin, bias, step, low, high, source)


def _bounds(plan_variable: PlanVariable, meant: Floats, family: str) -> tuple[float, float, str]:
    """How far a plan's value may go, and the source of the published range."""
    low, high, source = float(meant.min()), float(meant.max()), ""
    published = plan_variable_ranges().get((plan_variable.key, family))
    if published is not None:
        low, high, source = min(low, published[0]), max(high, published[1]), published[2]
    first = float(meant[0])
    least, most = plan_variable.shares
    low, high = min(low, least * first), max(high, most * first)
    return max(low, plan_variable.bounds[0]), min(high, plan_variable.bounds[1]), source


def _or_nan(value: float | None) -> float:
    return np.nan if value is None else value
