"""Fractions of a factorial: which combinations of low and high are made, and what then looks alike.

Generators: NIST/SEMATECH e-Handbook of Statistical Methods, 5.3.3.4.7, "Summary tables of useful
fractional factorial designs", after Box, Hunter and Hunter 1978, table 12.15. "5 = 123" reads: the
fifth variable is high where the product of the first three is.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from journal.findings.table import Floats

GENERATORS: dict[tuple[int, int], tuple[str, ...]] = {
    (3, 4): ("12",),
    (4, 8): ("123",),
    (5, 8): ("12", "13"),
    (5, 16): ("1234",),
    (6, 8): ("12", "13", "23"),
    (6, 16): ("123", "234"),
    (6, 32): ("12345",),
}
"""By variables and makes: what each variable after the first ones is the product of."""
FOLDED = {(6, 16): "124"}
"""Fractions that hold the mirror image of every make: those in which this product is high are made
first, and are a smaller fraction; their mirror images follow and set its effects apart."""
_ALIKE = 0.999


def fraction(variables: int, makes: int) -> Floats | None:
    """The makes of a fraction (makes, variables), −1 low and +1 high, those that are made first
    before their mirror images; None where there is none of that size."""
    if (variables, makes) not in GENERATORS:
        return None
    words = GENERATORS[variables, makes]
    first = np.array(list(product((-1.0, 1.0), repeat=variables - len(words))))
    points = np.column_stack([first, *(_product(first, word) for word in words)])
    if (variables, makes) in FOLDED:
        points = points[points[:, _indices(FOLDED[variables, makes])].prod(axis=1) > 0]
        points = np.vstack([points, -points])
    return points


def _product(first: Floats, word: str) -> Floats:
    return np.asarray(first[:, _indices(word)].prod(axis=1), dtype=float)


def _indices(word: str) -> list[int]:
    return [int(one) - 1 for one in word]


IndexPair = tuple[int, int]


@dataclass(frozen=True)
class Aliases:
    """What a set of makes cannot tell apart.

    Parameters
    ----------
    singles : dict of variable to pairs
        Pairs that, where they act together, look like that variable alone.
    pairs : list of list of pair
        Pairs that look like each other and like no single variable.
    """

    singles: dict[int, list[IndexPair]]
    pairs: list[list[IndexPair]]


def aliases(points: Floats) -> Aliases:
    """What looks alike in makes at low and high (makes, variables), read off the makes."""
    every = list(combinations(range(points.shape[1]), 2))
    columns = {pair: points[:, pair[0]] * points[:, pair[1]] for pair in every}
    singles = {
        j: [pair for pair in every if j not in pair and _alike(points[:, j], columns[pair])]
        for j in range(points.shape[1])
    }
    left = [pair for pair in every if not any(pair in like for like in singles.values())]
    groups: list[list[IndexPair]] = []
    while left:
        own = [pair for pair in left if _alike(columns[left[0]], columns[pair])]
        groups.append(own)
        left = [pair for pair in left if pair not in own]
    return Aliases({j: like for j, like in singles.items() if like},
                   [own for own in groups if len(own) > 1])  # fmt: skip


def _alike(a: Floats, b: Floats) -> bool:
    size = float(np.sqrt((a @ a) * (b @ b)))
    return size > 0 and abs(float(a @ b)) > _ALIKE * size
