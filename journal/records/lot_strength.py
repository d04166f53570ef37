"""What a lot's strength makes of a dose that was written for another."""

from __future__ import annotations

import re

from journal.quantities import QuantityError
from journal.quantities.numerals import read_number, tidy
from journal.reckoning.doses import SINGLE_STRENGTH_IMCU_PER_ML, USUAL_CALCIUM_SOLUTION_PCT
from journal.records.dose_written import format_amount
from journal.records.makes import Ingredient

# By kind: the strength that a dose in ml is usually written for, its unit as said, and how a
# packet spells it.
_USUAL = {
    "rennet": (SINGLE_STRENGTH_IMCU_PER_ML, "IMCU/ml", r"imcu(?:\s*(?:/|per)\s*ml)?"),
    "calcium chloride": (USUAL_CALCIUM_SOLUTION_PCT, "%", r"(?:%|per cent|pct).*"),
}
_SAME = 0.02  # a share that no spoon tells


def strength_share(lot: Ingredient) -> float | None:
    """How much of a lot stands for one part of the usual strength: 1.25 for a rennet of 200
    IMCU/ml; None where the packet's words do not say, or it is as usual."""
    usual = _USUAL.get(lot.kind)
    if usual is None or lot.unit not in ("ml", "L", "l"):
        return None
    try:
        strength, rest = read_number(tidy(lot.strength))
    except QuantityError:
        return None
    if strength <= 0 or not re.fullmatch(usual[2], rest.strip(), re.IGNORECASE):
        return None
    share = usual[0] / strength
    return None if abs(share - 1) <= _SAME else share


def strength_sentence(lot: Ingredient, plan: str, amount_ml: float) -> str:
    """What to take of the lot where a plan says so many ml; "" where there is nothing to say."""
    share = strength_share(lot)
    if share is None:
        return ""
    usual, unit, _ = _USUAL[lot.kind]
    than = "weaker" if share > 1 else "stronger"
    says, take = (format_amount(ml, "ml", 2) for ml in (amount_ml, amount_ml * share))
    return (
        f"It is of {lot.strength}, {than} than the {usual:g} {unit} that doses are usually written "
        f"for: where {plan} says {says} take {take}, unless the plan was written for this one."
    )
