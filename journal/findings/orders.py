"""Serving orders: Williams squares where the numbers allow, the nearest to balanced elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from journal.findings.error import FindingError

IntArray = NDArray[np.intp]
MOST = 30
"""Samples in one session, at most: nobody's tongue lasts longer (common practice, no source)."""
_WORK = 6_000  # how much is looked through; fewer beginnings where there are more samples
_CLIMBED = 10  # rows of more samples stay as Williams' own
_CLOSE = 3.0  # what two cups of one cheese next to each other weigh


def williams(items: int) -> IntArray:
    """A square (two for an odd number) in which order and neighbourhood are balanced.

    The first row is 0, 1, n−1, 2, n−2, …; each next adds 1 modulo n; an odd number takes the
    rows turned about as well. Each item then stands at each place equally often, and before each
    other one equally often: once for an even number, twice for an odd.

    Source: Williams 1949, Aust. J. Sci. Res. A 2, 149-168; MacFie, Bratchell, Greenhoff & Vallis
    1989, J. Sensory Stud. 4, 129-148.

    Returns
    -------
    ndarray of int (orders, items)
    """
    if items < 1:
        raise FindingError("findings.session-without-sample")
    ups, downs = list(range(1, items // 2 + 1)), list(range(items - 1, items // 2, -1))
    first = [0]
    for k in range(items - 1):
        first.append(ups[k // 2] if k % 2 == 0 else downs[k // 2])
    rows = (np.array(first)[None, :] + np.arange(items)[:, None]) % items
    whole = rows if items % 2 == 0 else np.vstack([rows, rows[:, ::-1]])
    return np.asarray(whole[: 1 if items == 1 else None], dtype=np.intp)


@dataclass(frozen=True)
class Balance:
    """How even a set of orders is.

    `places` and `followers` are the widest differences: between how often an item stands at two
    places, and between how often two items follow upon one. 0 and 0 is a balanced set.
    """

    places: int
    followers: int

    @property
    def exact(self) -> bool:
        """Nothing stands anywhere, nor after anything, more often than another."""
        return self.places == 0 and self.followers == 0


def balance(orders: IntArray) -> Balance:
    """Measure how even a set of orders (assessors, items) is."""
    items = orders.shape[1]
    index, follow = _counts(orders)
    if items == 1:
        return Balance(0, 0)
    off = follow[~np.eye(items, dtype=bool)]
    return Balance(int(np.ptp(index)), int(np.ptp(off)))


def serving_orders(
    items: int,
    assessors: int,
    rng: np.random.Generator,
    apart: Sequence[tuple[int, int]] = (),
) -> IntArray:
    """An order for each assessor, as balanced as a search finds for so many.

    Whole Williams squares are taken as far as they go; the assessors left over get rows found
    by search, so that places and followers stay as even as can be. Which item is which and who
    gets which row is drawn at random.

    Parameters
    ----------
    items, assessors : int
    rng : numpy Generator
    apart : sequence of (int, int)
        Pairs of items that are one cheese served twice: kept from standing next to each other
        where that can be.

    Returns
    -------
    ndarray of int (assessors, items)

    Raises
    ------
    FindingError
        Without a sample or an assessor, or with more samples than one can taste.
    """
    if items < 1 or assessors < 1:
        raise FindingError("findings.session-without-people")
    if items > MOST:
        raise FindingError("findings.too-many-samples", samples=items, most=MOST)
    square = williams(items)
    whole, rest = divmod(assessors, len(square))
    best, least = np.empty((0, items), dtype=np.intp), np.inf
    for _ in range(max(2, min(60, _WORK // items**2)) if rest or apart else 1):
        fixed = [_relabelled(square, rng) for _ in range(whole)]
        some = _some(_relabelled(square, rng), rest, rng) if rest else square[:0]
        orders = _climbed(np.vstack([*fixed, some]), len(square) * whole, apart)
        weight = _weight(orders, apart)
        if weight < least:
            best, least = orders, weight
    return np.asarray(best[rng.permutation(assessors)], dtype=np.intp)


def one_more(
    orders: IntArray, rng: np.random.Generator, apart: Sequence[tuple[int, int]] = ()
) -> list[int]:
    """An order for someone who joins those of `orders`, which stay as they are.

    Parameters
    ----------
    orders : ndarray of int (assessors, items)
    rng : numpy Generator
    apart : sequence of (int, int)
        As for `serving_orders`.
    """
    items = orders.shape[1]
    best, least = orders[:0], np.inf
    for _ in range(max(2, min(60, _WORK // items**2))):
        fresh = _relabelled(williams(items), rng)[:1]
        whole = _climbed(np.vstack([orders, fresh]), len(orders), apart)
        weight = _weight(whole, apart)
        if weight < least:
            best, least = whole, weight
    return [int(i) for i in best[-1]]


def _climbed(orders: IntArray, fixed: int, apart: Sequence[tuple[int, int]]) -> IntArray:
    """The rows after `fixed` with two places of a row exchanged as long as that evens them out."""
    found, least = orders.copy(), _weight(orders, apart)
    items = orders.shape[1]
    bettered = len(found) > fixed and items <= _CLIMBED
    while bettered:
        bettered = False
        for row in range(fixed, len(found)):
            for a in range(items - 1):
                for b in range(a + 1, items):
                    found[row, [a, b]] = found[row, [b, a]]
                    weight = _weight(found, apart)
                    if weight < least - 1e-9:
                        least, bettered = weight, True
                    else:
                        found[row, [a, b]] = found[row, [b, a]]
    return found


def _weight(orders: IntArray, apart: Sequence[tuple[int, int]]) -> float:
    return _unevenness(orders) + _CLOSE * _neighbours(orders, apart)


def _relabelled(square: IntArray, rng: np.random.Generator) -> IntArray:
    return np.asarray(rng.permutation(square.shape[1])[square], dtype=np.intp)


def _some(square: IntArray, count: int, rng: np.random.Generator) -> IntArray:
    """So many rows of a square, one after another that leaves the counts most even."""
    chosen = [int(rng.integers(len(square)))]
    while len(chosen) < count:
        left = [row for row in range(len(square)) if row not in chosen]
        weights = [_unevenness(square[[*chosen, row]]) for row in left]
        least = min(weights)
        close = [row for row, w in zip(left, weights, strict=True) if w <= least + 1e-9]
        chosen.append(close[int(rng.integers(len(close)))])
    return square[chosen]


def _counts(orders: IntArray) -> tuple[IntArray, IntArray]:
    """How often each item stands at each place, and each comes right before each."""
    items = orders.shape[1]
    index = np.bincount((orders * items + np.arange(items)).ravel(), minlength=items**2)
    pairs = orders[:, :-1] * items + orders[:, 1:]
    follow = np.bincount(pairs.ravel(), minlength=items**2)
    return index.reshape(items, items), follow.reshape(items, items)


def _unevenness(orders: IntArray) -> float:
    """How far the counts lie from even ones; one far off weighs more than many a little off."""
    items = orders.shape[1]
    if items == 1:
        return 0.0
    index, follow = _counts(orders)
    off = follow[~np.eye(items, dtype=bool)]
    return float(((index - index.mean()) ** 4).sum() + ((off - off.mean()) ** 4).sum())


def _neighbours(orders: IntArray, apart: Sequence[tuple[int, int]]) -> int:
    """How often two cups of one cheese stand next to each other."""
    pairs = {frozenset(pair) for pair in apart}
    if not pairs:
        return 0
    return sum(frozenset((a, b)) in pairs for row in orders for a, b in pairwise(row.tolist()))
