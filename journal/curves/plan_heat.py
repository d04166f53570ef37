"""Heat in a plan: whether a stage pasteurises, and how long it stays above a temperature."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np

from journal.reckoning.pasteurise import EWES_FAT_PCT, Pair, longest_at_s, pairs_met
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.records.tables import table

MILK, RICH, CHURNED = "milk", "rich or sweetened", "cream for butter"
_RICH_WORDS = ("cream", "mascarpone")  # of 10 % fat and more: MCL 288.697
_RICH_MILK = ("sheep", "buffalo")  # likely to hold 18 % solids (from memory)
_SWEET = ("sugar", "honey", "syrup")


def pairs_of(plan: Plan, milk: Milk | None = None) -> tuple[Pair, ...]:
    """The published pairs for the plan's milk, or for the `milk` of a make: cream, sheep's milk,
    milk so fat that it is likely to hold 18 % solids, and what is sweetened take those of rich
    milk, cream that is churned its own."""
    if any(stage.kind == "churn" for stage in plan.stages):
        return _pairs(CHURNED)
    words = f"{plan.name} {plan.style}".lower().replace(",", " ").split()
    rich = plan.animal == "sheep" or any(word in words for word in _RICH_WORDS)
    if milk is not None:
        doses = " ".join(dose.name.lower() for stage in plan.stages for dose in stage.doses)
        rich = rich or milk.animal in _RICH_MILK or (milk.fat_pct or 0.0) >= EWES_FAT_PCT
        rich = rich or any(word in doses for word in _SWEET)
    return _pairs(RICH if rich else MILK)


@cache
def _pairs(product: str) -> tuple[Pair, ...]:
    rows = table("pasteurisation")
    found = zip(rows["product"], rows["temp_f"], rows["hold_s"], strict=True)
    return tuple(Pair(name, float(f), float(s)) for name, f, s in found if name == product)


def pasteurises(plan: Plan) -> bool:
    """Whether a stage of the plan keeps a whole published pair for its milk."""
    return any(
        stage.kind == "pasteurise" and meets_pair(plan, stage, from_c)
        for stage, from_c in warmed(plan)
    )


def meets_pair(plan: Plan, stage: Stage, from_c: float) -> bool:
    """Whether a stage that begins at `from_c` °C keeps a whole pair."""
    knots = stage.knots(from_c)
    minutes, temp_c = np.array(knots or [(0.0, from_c)]).T
    return bool(pairs_met(minutes, temp_c, pairs_of(plan)))


def minutes_above(stage: Stage, from_c: float, at_least_c: float) -> float:
    """How long without a break a stage stays at a temperature or above, minutes."""
    knots = stage.knots(from_c)
    minutes, temp_c = np.array(knots or [(0.0, from_c)]).T
    return longest_at_s(minutes, temp_c, at_least_c) / 60


def warmed(plan: Plan) -> Iterator[tuple[Stage, float]]:
    """Each stage with the °C it begins at: the last that was held before it."""
    now = plan.milk_c
    for stage in plan.stages:
        yield stage, now
        now = stage.target_c if stage.target_c is not None else now
