"""One make variable at a time: rank correlation, robust slope, and many questions at once."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import permutations as all_orders
from typing import Any

import numpy as np
from numpy.typing import NDArray

from journal.findings.table import Floats

ENUMERATED = 8
"""Up to so many makes every order is looked at, ties or not (8! = 40,320)."""
COUNTED = 12
"""Up to so many makes without ties the orders are counted exactly without listing them."""
MANY = 500
"""Beyond so many makes the orders' normal limit serves; it is then exact to three figures."""
PART = 256
"""Orders looked at together."""
_SLACK = 1e-9


def ranks(values: Floats) -> Floats:
    """Rank values from 1, ties sharing their mean rank.

    Values that differ by less than a billionth of the largest are one: levelled scores carry
    the dust of their sums.
    """
    largest = float(np.abs(values).max(initial=0.0))
    rounded = np.round(values / (largest * _SLACK)) if largest > 0 else values
    _, where, count = np.unique(rounded, return_inverse=True, return_counts=True)
    last = np.cumsum(count)
    middle = last - (count - 1) / 2
    return np.asarray(middle[where], dtype=float)


def spearman(x: Floats, y: Floats) -> float:
    """Return Spearman's rank correlation with mid-ranks, NaN where one side never varied."""
    a, b = _centred_ranks(x), _centred_ranks(y)
    size = math.sqrt(float(a @ a) * float(b @ b))
    return float(a @ b) / size if size > 0 else float("nan")


def spearman_p(x: Floats, y: Floats, orders: Orders) -> float:
    """Return the two-sided permutation p of Spearman's rho (NaN where rho is).

    All orders of the makes are looked at up to eight makes, or counted exactly up to twelve
    without ties; beyond that a fixed number of random orders is drawn from a seed and the order
    seen counts as one of them, so p is never zero. Beyond 500 makes the normal limit of all
    orders is used.
    """
    a, b = _centred_ranks(x), _centred_ranks(y)
    n = a.size
    if n < 2 or not a.any() or not b.any():
        return float("nan")
    seen = abs(float(a @ b)) - _SLACK
    if ENUMERATED < n <= COUNTED and len(set(a)) == len(set(b)) == n:
        return _counted_p(n, round(float(((a - b) ** 2).sum())))
    if n > MANY:
        return _limit_p(a, b)
    sums = np.abs(orders.sums(b, a))
    if n <= ENUMERATED:
        return float((sums >= seen).mean())
    return float((np.count_nonzero(sums >= seen) + 1) / (sums.size + 1))


def within_makes(x: Floats, y: Floats, make: NDArray[Any], orders: Orders) -> tuple[float, float]:
    """Rank correlation within makes of what varies within them, and its two-sided permutation p.

    Each make's rows are ranked among themselves, and only they change places: what makes have in
    common counts for nothing (a permutation within blocks). NaN where fewer than two makes vary.

    Parameters
    ----------
    x, y : ndarray (rows,)
        Without gaps.
    make : ndarray of int (rows,)
    """
    blocks = [(_centred_ranks(x[own]), _centred_ranks(y[own]))
              for own in (make == one for one in np.unique(make))]  # fmt: skip
    blocks = [(a, b) for a, b in blocks if a.any() and b.any()]
    if len(blocks) < 2:
        return float("nan"), float("nan")
    seen = sum(float(a @ b) for a, b in blocks)
    size = math.sqrt(sum(float(a @ a) for a, _ in blocks) * sum(float(b @ b) for _, b in blocks))
    rho = seen / size
    if sum(a.size for a, _ in blocks) > MANY:
        spread = sum(float(a @ a) * float(b @ b) / (a.size - 1) for a, b in blocks)
        return rho, math.erfc(abs(seen) / math.sqrt(2 * spread))
    draw = np.random.default_rng([orders.seed, len(blocks)])
    sums = np.zeros(orders.permutations)
    for a, b in blocks:
        sums += draw.permuted(np.tile(b, (sums.size, 1)), axis=1) @ a
    return rho, float((np.count_nonzero(np.abs(sums) >= abs(seen) - _SLACK) + 1) / (sums.size + 1))


def theil_sen_within(x: Floats, y: Floats, make: NDArray[Any]) -> float:
    """The median slope over all pairs of rows of one make; NaN where there are none that differ."""
    slopes = []
    for one in np.unique(make):
        own = make == one
        i, j = np.triu_indices(int(own.sum()), 1)
        run, rise = x[own][j] - x[own][i], y[own][j] - y[own][i]
        slopes.append(rise[run != 0] / run[run != 0])
    every = np.concatenate(slopes)
    return float(np.median(every)) if every.size else float("nan")


class Orders:
    """Orders of n makes, the same for every variable: all of them, or random ones from a seed."""

    def __init__(self, permutations: int = 9999, seed: int = 0) -> None:
        self.permutations = permutations
        self.seed = seed
        self._known: dict[int, NDArray[Any]] = {}

    def of(self, n: int) -> NDArray[Any]:
        """Return the orders of n makes as indices, shape (orders, n)."""
        if n <= ENUMERATED:
            return _every_order(n)
        if n not in self._known:
            draw = np.random.default_rng([self.seed, n])
            found = np.empty((self.permutations, n), dtype=np.int16)
            for i in range(0, self.permutations, PART):
                part = found[i : i + PART]
                part[:] = np.arange(n)
                draw.permuted(part, axis=1, out=part)
            self._known[n] = found
        return self._known[n]

    def sums(self, values: Floats, beside: Floats) -> Floats:
        """The sum of products of the values in every one of the orders with `beside`, a part of
        the orders at a time: fresh memory costs more than the sums do."""
        orders = self.of(values.size)
        parts = [values[orders[i : i + PART]] @ beside for i in range(0, len(orders), PART)]
        return np.concatenate(parts)


@lru_cache(maxsize=ENUMERATED)
def _every_order(n: int) -> NDArray[np.intp]:
    orders = np.array(list(all_orders(range(n))), dtype=np.intp)
    orders.flags.writeable = False
    return orders


def _centred_ranks(values: Floats) -> Floats:
    return ranks(values) - (values.size + 1) / 2


@lru_cache(maxsize=COUNTED)
def squared_differences(n: int) -> NDArray[np.int64]:
    """Count the orders of n ranks by their sum of squared differences, all n! of them.

    Entry d is the number of orders with that sum. Ranks are placed one position after another;
    for each set of ranks already used the counts are carried on.
    """
    top = n * (n * n - 1) // 3 + 1
    counts: dict[int, NDArray[np.int64]] = {0: np.eye(1, top, dtype=np.int64)[0]}
    for position in range(n):
        after: dict[int, NDArray[np.int64]] = {}
        for used, sums in counts.items():
            for rank in range(n):
                if not used >> rank & 1:
                    shift = (rank - position) ** 2
                    grown = after.setdefault(used | 1 << rank, np.zeros(top, dtype=np.int64))
                    grown[shift:] += sums[: top - shift]
        counts = after
    return counts[(1 << n) - 1]


def _counted_p(n: int, seen: int) -> float:
    counts = squared_differences(n)
    middle = n * (n * n - 1) / 6
    sums = np.arange(counts.size)
    extreme = np.abs(sums - middle) >= abs(seen - middle) - _SLACK
    return float(counts[extreme].sum() / counts.sum())


def _limit_p(a: Floats, b: Floats) -> float:
    z = abs(float(a @ b)) * math.sqrt((a.size - 1) / (float(a @ a) * float(b @ b)))
    return math.erfc(z / math.sqrt(2))


def theil_sen(x: Floats, y: Floats, most: int = 2000) -> float:
    """Return the median slope over all pairs of makes, in points per unit of x.

    NaN where x never varied. Above `most` makes every so-many-th is used, evenly.
    """
    if x.size > most:
        pick = np.linspace(0, x.size - 1, most).astype(int)
        x, y = x[pick], y[pick]
    i, j = np.triu_indices(x.size, 1)
    run = x[j] - x[i]
    differ = run != 0
    if not differ.any():
        return float("nan")
    return float(np.median((y[j] - y[i])[differ] / run[differ]))


def benjamini_hochberg(p: Floats) -> Floats:
    """Return Benjamini-Hochberg q-values; NaN stays NaN and is not counted.

    Source: Benjamini & Hochberg 1995, J. R. Stat. Soc. B 57, 289-300.
    """
    p = np.asarray(p, dtype=float)
    q = np.full(p.size, np.nan)
    known = np.flatnonzero(np.isfinite(p))
    order = known[np.argsort(p[known])]
    m = order.size
    raw = p[order] * m / np.arange(1, m + 1)
    q[order] = np.minimum(np.minimum.accumulate(raw[::-1])[::-1], 1.0)
    return q


def holm(p: Floats) -> Floats:
    """Return Holm's adjusted p-values (the chance of even one false one is held).

    Source: Holm 1979, Scand. J. Statist. 6, 65-70.
    """
    p = np.asarray(p, dtype=float)
    order = np.argsort(p)
    raw = p[order] * (p.size - np.arange(p.size))
    adjusted = np.empty(p.size)
    adjusted[order] = np.minimum(np.maximum.accumulate(raw), 1.0)
    return adjusted
