"""What a spoonful weighs: by the lot's own word, else as kitchens take it, with its range."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from journal.quantities import QuantityError
from journal.quantities.numerals import tidy
from journal.quantities.typed import parse
from journal.reckoning.salt import SALT_G_PER_ML
from journal.records.makes import Ingredient
from journal.records.stock import in_unit, plain_name

CULTURE_G_PER_ML = 0.6  # of a freeze-dried culture in a spoon; from memory, packets differ
SPOON_FACTOR = 1.15
"""A levelled spoon holds so many times more or less than its mark, 19 times in 20 (common practice,
no source)."""
_USUAL = {
    # kind: g/ml, and the factor it may be off by 19 times in 20
    "culture": (CULTURE_G_PER_ML, 1.5),  # from memory, no source: packets differ
    "salt": (SALT_G_PER_ML, 1.25),  # fine; common practice, no source: coarse salt is lighter
}
LOT = "lot"
"""Where a weight is from: the lot's own word, or else the kind as kitchens take it."""
POWDERS = frozenset(_USUAL)
"""Kinds of which it is known, about at least, what a spoonful weighs."""
_WEIGHS = re.compile(r"(.+?)\s*g\s*(?:/|per)\s*(.+)")
_LIGHTEST, _HEAVIEST = 0.05, 3.0  # g/ml that a powder can be
_SDS = 1.96  # 19 times in 20


@dataclass(frozen=True)
class Spoonful:
    """What a ml of a powder weighs in the spoon: g, the factor it may be off by 19 times in 20
    (the spoon's own part is in it), and where that is from: `LOT` or a kind of `POWDERS`."""

    g_per_ml: float
    factor: float
    source: str

    @property
    def off(self) -> float:
        """The standard deviation of its logarithm."""
        return spread_of(self.factor)


def spread_of(factor: float) -> float:
    """The standard deviation of a logarithm that lies within a factor 19 times in 20."""
    return math.log(factor) / _SDS


def usual_g_per_ml(kind: str) -> float | None:
    """What kitchens take a spoonful of that kind to weigh; None where nobody knows."""
    return _USUAL[kind][0] if kind in _USUAL else None


def typed_g_per_ml(strength: str) -> float | None:
    """What a lot's strength says a spoonful weighs ("0.55 g/ml", "3 g/tsp", "0.4 g per 1/8 tsp");
    None where it says something else."""
    found = _WEIGHS.fullmatch(tidy(strength).strip())
    if found is None:
        return None
    spoon = found[2] if not found[2][:1].isalpha() else f"1 {found[2]}"
    try:
        grams, ml = parse(f"{found[1]} g", "mass_g").stored, parse(spoon, "volume_ml").stored
    except QuantityError:
        return None
    weighs = grams / ml if ml > 0 else 0.0
    return weighs if _LIGHTEST <= weighs <= _HEAVIEST else None


def spoonful(kind: str, name: str, lot_id: int | None, stock: Iterable[Ingredient]) -> Spoonful:
    """What a ml of a powder weighs: as its own lot says, else as another lot of its name does,
    else as kitchens take it.

    Parameters
    ----------
    kind
        One of `POWDERS`.
    name, lot_id
        What went in, and the lot it came from where that is known.
    stock
        The lots there are.
    """
    alike = [lot for lot in stock if lot.kind == kind and plain_name(lot.name) == plain_name(name)]
    own = [lot for lot in alike if lot_id is not None and lot.id == lot_id]
    for lots in (own, alike):
        weights = {g for lot in lots for g in [typed_g_per_ml(lot.strength)] if g is not None}
        if len(weights) == 1:
            return Spoonful(weights.pop(), SPOON_FACTOR, LOT)
    usual, factor = _USUAL[kind]
    both = math.exp(_SDS * math.hypot(spread_of(factor), spread_of(SPOON_FACTOR)))
    return Spoonful(usual, both, kind)


def weighed_in_stock(kind: str, name: str, stock: Iterable[Ingredient]) -> bool:
    """Whether a lot of that name is held by weight: it is a powder then, however it is measured."""
    return any(
        lot.kind == kind
        and plain_name(lot.name) == plain_name(name)
        and in_unit(1.0, lot.unit, "g") is not None
        for lot in stock
    )
