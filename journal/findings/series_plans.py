"""What a plan lets a series vary: each variable with its bounds, a low and a high value to begin
with, and the plan with chosen values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.plan_faults import faults
from journal.findings.doses import CULTURES, DOSES
from journal.findings.error import FindingError
from journal.findings.evidence import CLEAR
from journal.findings.next_make import NextMake
from journal.findings.plan_variables import (
    PLAN_VARIABLES,
    PlanVariable,
    first_changed,
    plan_variable_of,
)
from journal.findings.readers import MAKE_VARIABLES
from journal.findings.series import Design, Factor
from journal.findings.study import Study
from journal.findings.table import Variable
from journal.records import RecordError
from journal.records.plans import Plan
from journal.records.series import Series, SeriesMake

STEPS_APART = (2, 1)  # practical steps from the plan's own value to low and to high
INNER = 2 / 3  # of the way to a bound: a series begins well inside
USUAL = ("salt_in_curd", "curd_size", "cook_temperature", "milk_ripened")  # where nothing is known
_FIRST = "cook_temperature"  # its pace hangs on it


@dataclass(frozen=True)
class SeriesOffer:
    """A variable a series may vary: the plan's own value, how far it may go (`least` to `most`),
    and its practical step, all in `unit`."""

    key: str
    name: str
    unit: str
    step: float
    own: float
    least: float
    most: float
    digits: int

    def factor(self, low: float, high: float) -> Factor:
        """The variable between two values.

        Raises
        ------
        FindingError
            When they lie outside the bounds, or low is not below high.
        """
        for value in (low, high):
            if not self.least - 1e-9 <= value <= self.most + 1e-9:
                raise FindingError(
                    "findings.outside-bounds", variable=self.name, unit=self.unit,
                    least=round(self.least, self.digits), most=round(self.most, self.digits),
                )  # fmt: skip
        return Factor(self.name, low, high, self.unit)


def offers(plan: Plan, culture_used: Mapping[str, float] | None = None) -> list[SeriesOffer]:
    """Every variable the plan settles and that can be moved within its bounds.

    Parameters
    ----------
    plan : Plan
    culture_used : mapping of key to float, optional
        The least dose of culture this kitchen ever made with, weighed and by volume: less is
        never offered, for slow acid is a danger. Where none is known, less than the plan's own is
        not.
    """
    known = {one.variable.key: one.variable for one in MAKE_VARIABLES}
    made = (_offer(plan, one, known[one.key], culture_used) for one in PLAN_VARIABLES)
    return [offer for offer in made if offer is not None]


def begin_with(
    found: Sequence[SeriesOffer], study: Study | None, report: NextMake | None
) -> list[SeriesOffer]:
    """The variables in the order a series would look at them: what the next make would try, then
    what leans or cannot be told, then the rest."""
    wanted = [c.key for p in report.proposals for c in p.changes if c.trial] if report else []
    if study is not None:
        wanted += [f.key for f in study.findings if f.evidence != CLEAR]
    wanted += USUAL
    at = {key: i for i, key in reversed(list(enumerate(wanted)))}
    return sorted(found, key=lambda offer: at.get(offer.key, len(wanted)))


def ends(plan: Plan, offer: SeriesOffer) -> tuple[float, float]:
    """A low and a high value to begin with: a few practical steps either side of the plan's own,
    well inside the bounds; the plan's own and one side where the other does not go.

    Raises
    ------
    FindingError
        When it cannot move a practical step within its bounds and without a fault.
    """
    own = round(offer.own, offer.digits)
    for n in STEPS_APART:
        by = n * offer.step
        room = (INNER * (offer.own - offer.least), INNER * (offer.most - offer.own))
        low, high = round(offer.own - by, offer.digits), round(offer.own + by, offer.digits)
        if by <= min(room) and _works(plan, offer, low) and _works(plan, offer, high):
            return low, high
    for value in (offer.own + 2 * offer.step, offer.own + offer.step, offer.own - offer.step):
        value = round(value, offer.digits)
        if offer.least <= value <= offer.most and value != own and _works(plan, offer, value):
            return min(own, value), max(own, value)
    raise FindingError("findings.no-step-is-safe", variable=offer.name)


def _works(plan: Plan, offer: SeriesOffer, value: float) -> bool:
    return _plan_variable(offer.key).try_plan(plan, value) is not None


def variant(plan: Plan, keys: Sequence[str], values: Sequence[float]) -> Plan:
    """The plan with chosen values.

    Raises
    ------
    FindingError
        When they do not go together, or bring the plan a fault.
    """
    new = plan
    for key, value in sorted(zip(keys, values, strict=True), key=_cook_first):
        plan_variable = _plan_variable(key)
        try:
            new = plan_variable.changed(new, value)
        except RecordError as error:
            raise FindingError(error.message) from error
    for key, value in zip(keys, values, strict=True):
        step = _step(variable_of(key), _plan_variable(key), plan)
        if abs((_plan_variable(key).planned(new) or 0.0) - value) > 0.3 * step:
            own = variable_of(key)
            raise FindingError(
                "findings.impossible-beside", variable=own.name, value=value, unit=own.unit
            )
    before, after = faults(plan), faults(new)
    known = {(fault.stage, fault.message.id) for fault in before}
    fresh = [fault for fault in after if (fault.stage, fault.message.id) not in known]
    if len(after) > len(before):
        raise FindingError("findings.values-apart", why=(fresh or after)[0].message)
    return new


def variants(plan: Plan, keys: Sequence[str], planned: Design) -> list[Plan]:
    """The plan of each make of a design; FindingError where one of them cannot be."""
    found: dict[tuple[float, ...], Plan] = {}
    out = []
    for row in rounded(keys, planned):
        if row not in found:
            found[row] = variant(plan, keys, row)
        out.append(found[row])
    return out


def rounded(keys: Sequence[str], planned: Design) -> list[tuple[float, ...]]:
    """The values of each make, with the digits that count in the vat."""
    digits = [digits_of(key) for key in keys]
    return [
        tuple(round(float(v), d) for v, d in zip(row, digits, strict=True))
        for row in planned.values()
    ]


def factors_of(
    keys: Sequence[str], low: Sequence[float], high: Sequence[float]
) -> tuple[Factor, ...]:
    """The factors of a series as it was kept."""
    found = [variable_of(key) for key in keys]
    return tuple(Factor(v.name, a, b, v.unit) for v, a, b in zip(found, low, high, strict=True))


def design_of(series: Series, makes: Sequence[SeriesMake]) -> Design:
    """The design of a series as it was kept, its makes in their order."""
    factors = factors_of(series.variables, series.low, series.high)
    wanted = np.array([one.wanted for one in makes], dtype=float)
    return Design.of_makes(factors, wanted, [one.block for one in makes], series.kind)


def first_stage(base: Plan, new: Plan) -> int:
    """The place of the first stage a make's plan changes, -1 where none does."""
    return first_changed(base, new)


def _offer(
    plan: Plan,
    plan_variable: PlanVariable,
    variable: Variable,
    culture_used: Mapping[str, float] | None,
) -> SeriesOffer | None:
    own, step = plan_variable.planned(plan), _step(variable, plan_variable, plan)
    if own is None or step <= 0:
        return None
    least = max(plan_variable.bounds[0], min(plan_variable.shares[0] * own, own))
    most = min(plan_variable.bounds[1], max(plan_variable.shares[1] * own, own))
    if plan_variable.key in CULTURES:
        least = max(least, min(own, (culture_used or {}).get(plan_variable.key, own)))
    if not least <= own <= most or least >= most:
        return None  # the plan lies outside what is known to be safe already
    return SeriesOffer(
        variable.key, variable.name, variable.unit, step, own, _in(least, plan_variable, up=True),
        _in(most, plan_variable, up=False), plan_variable.digits,
    )  # fmt: skip


def _in(value: float, plan_variable: PlanVariable, *, up: bool) -> float:
    """A bound with the digits that count, not beyond itself."""
    scale = 10.0**plan_variable.digits
    edge = np.ceil(value * scale - 1e-9) if up else np.floor(value * scale + 1e-9)
    return float(edge / scale)


def _plan_variable(key: str) -> PlanVariable:
    plan_variable = plan_variable_of(key)
    if plan_variable is None:
        raise FindingError("findings.no-plan-settles", key=key)
    return plan_variable


def digits_of(key: str) -> int:
    """How many decimals of a variable count in the vat."""
    return _plan_variable(key).digits


def variable_of(key: str) -> Variable:
    """The make variable of that key; FindingError where there is none."""
    for one in MAKE_VARIABLES:
        if one.variable.key == key:
            return one.variable
    raise FindingError("findings.no-make-variable", key=key)


def _step(variable: Variable, plan_variable: PlanVariable, plan: Plan) -> float:
    if variable.key in DOSES:
        return (plan_variable.planned(plan) or 0.0) / 10
    return abs(variable.step or 0.0)


def _cook_first(pair: tuple[str, float]) -> bool:
    return pair[0] != _FIRST
