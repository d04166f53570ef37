"""An amount in the measures of a kitchen: "about 1/2 tsp", "about 3 drops"."""

from __future__ import annotations

import math

from journal.quantities.units import check
from journal.wording import worded

# ml and name, smallest first; above the last, cups in halves and then litres.
_SPOONS = (
    (0.15625, "1/32 tsp"), (0.3125, "1/16 tsp"), (0.625, "1/8 tsp"), (1.25, "1/4 tsp"),
    (2.5, "1/2 tsp"), (3.75, "3/4 tsp"), (5.0, "1 tsp"), (7.5, "1 1/2 tsp"), (10.0, "2 tsp"),
    (15.0, "1 tbsp"), (22.5, "1 1/2 tbsp"), (30.0, "2 tbsp"), (45.0, "3 tbsp"),
    (62.5, "1/4 cup"), (250 / 3, "1/3 cup"), (125.0, "1/2 cup"), (500 / 3, "2/3 cup"),
    (187.5, "3/4 cup"), (250.0, "1 cup"), (312.5, "1 1/4 cups"), (375.0, "1 1/2 cups"),
    (437.5, "1 3/4 cups"), (500.0, "2 cups"), (625.0, "2 1/2 cups"), (750.0, "3 cups"),
    (875.0, "3 1/2 cups"), (1000.0, "4 cups"),
)  # fmt: skip
_NEAR_ENOUGH = 0.05  # by ratio; further off, two measures together serve better
_DROP_ML = 0.05
_DROPS_BELOW_ML = 0.3


def kitchen(ml: float) -> str:
    """The nearest measure of a metric kitchen: "about 1/2 tsp", "about 3 drops".

    Nearest by ratio, two measures together where one is over 5 % off. Drops are of 0.05 ml,
    teaspoons of 5, tablespoons of 15, cups of 250.

    Raises
    ------
    QuantityError
        When `ml` is negative or not a finite number.
    """
    check(ml, "volume_ml")
    if ml == 0:
        return worded("wording.none")
    if ml < _DROPS_BELOW_ML:
        drops = round(ml / _DROP_ML)
        return worded("wording.about-drops" if drops else "wording.below-a-drop", drops=drops)
    if ml > 1125:
        return worded("wording.about-litres", litres=ml / 1000)
    off, words = min((abs(math.log(size / ml)), words) for size, words in _SPOONS)
    if off > _NEAR_ENOUGH:
        words = min((abs(math.log(size / ml)), words) for size, words in _two_spoons())[1]
    return worded("wording.about-so-much", amount=words)


def _two_spoons() -> list[tuple[float, str]]:
    """A larger and a smaller measure together: "1/4 + 1/16 tsp", "1 tbsp + 1/2 tsp"."""
    out = list(_SPOONS)
    for large, first in _SPOONS:
        for small, second in _SPOONS:
            spoon = second.endswith(("tsp", "tbsp"))
            if small >= large or not spoon or " 1/2 " in first + second:
                continue
            same = "/" in first and first.endswith(" tsp") and second.endswith(" tsp")
            out.append((large + small, f"{first[:-4] if same else first} + {second}"))
    return out
