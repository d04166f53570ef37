"""What a lot's strength makes of a dose that was written for another."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.quantities import QuantityError
from journal.quantities.numerals import read_number, tidy
from journal.reckoning.doses import SINGLE_STRENGTH_IMCU_PER_ML, USUAL_CALCIUM_SOLUTION_PCT
from journal.reckoning.rennet_age import RennetKept, rennet_kept
from journal.reckoning.setting import rennet_activity_pct
from journal.records.instants import DAY_MS
from journal.records.makes import Ingredient
from journal.records.tables import table

# By kind: the strength that a dose in ml is usually written for, its unit as said, and how a
# packet spells it.
_USUAL = {
    "rennet": (SINGLE_STRENGTH_IMCU_PER_ML, "IMCU/ml", r"imcu(?:\s*(?:/|per)\s*ml)?"),
    "calcium chloride": (USUAL_CALCIUM_SOLUTION_PCT, "%", r"(?:%|per cent|pct).*"),
}
_SAME = 0.02  # a share that no spoon tells


@dataclass(frozen=True)
class RennetSet:
    """A make that a lot of rennet set: when, ml of it in a litre of milk, minutes to the first
    flakes, and the milk, °C."""

    at_ms: int
    ml_per_l: float
    flocculation_min: float
    temp_c: float


def kept_by_sets(sets: Sequence[RennetSet], now_ms: int) -> RennetKept | None:
    """The share of its strength that a lot has kept by its own sets; None where these are too few
    or too close together to say."""
    if not sets:
        return None
    first = min(one.at_ms for one in sets)
    known = table("rennet_temperature")
    table_c, table_pct = (np.array(known[name], dtype=float) for name in ("temp_c", "activity_pct"))
    return rennet_kept(
        np.array([(one.at_ms - first) / DAY_MS for one in sets]),
        np.array([one.flocculation_min for one in sets]),
        np.array([one.ml_per_l for one in sets]),
        np.array([float(rennet_activity_pct(one.temp_c, table_c, table_pct)) for one in sets]),
        (now_ms - first) / DAY_MS,
    )


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
