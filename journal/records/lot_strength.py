"""What a lot's strength makes of a dose that was written for another."""

from __future__ import annotations

import re

from journal.quantities import QuantityError
from journal.quantities.numerals import read_number, tidy
from journal.reckoning.doses import SINGLE_STRENGTH_IMCU_PER_ML, USUAL_CALCIUM_SOLUTION_PCT
from journal.records.makes import Ingredient

# By kind: the strength that a dose in ml is usually written for, its unit as said, and how a
# packet spells it.
_USUAL = {
    "rennet": (SINGLE_STRENGTH_IMCU_PER_ML, "IMCU/ml", r"imcu(?:\s*(?:/|per)\s*ml)?"),
    "calcium chloride": (USUAL_CALCIUM_SOLUTION_PCT, "%", r"(?:%|per cent|pct).*"),
}
_SAME = 0.02  # a share that no spoon tells


def usual_strength(kind: str) -> tuple[float, str]:
    """The strength a dose in ml of rennet or of calcium chloride is usually written for, and its
    unit."""
    return _USUAL[kind][:2]


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
