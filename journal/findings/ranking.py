"""Ranking tests: whether a panel puts cheeses in an order it agrees on (ISO 8587)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import permutations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from journal.findings.error import FindingError
from journal.findings.single import ranks
from journal.findings.table import Floats

_CARRIED = 4_000_000  # sets of rank sums looked at in one step; beyond, orders are drawn
_ITEMS = 6  # and up to so many items (6! = 720 orders a row)
_DRAWN = 99_999
_SLACK = 1e-9


@dataclass(frozen=True)
class Ranking:
    """What a ranking test says.

    Attributes
    ----------
    sums : ndarray (items,)
        Rank sums, 1 for the most.
    friedman : float
        Friedman's F, corrected for ties.
    w : float
        Kendall's coefficient of concordance, 0 to 1, corrected for ties (Kendall & Babington
        Smith 1939, Ann. Math. Stat. 10, 275-287).
    p : float
        The chance of so large an F when nobody can tell, every order being as likely.
    exact : bool
        Whether all orders were counted; else they were drawn at random from a seed.
    distance : float
        Least significant distance of two rank sums at the level.
    apart : list of (int, int)
        Pairs of items whose sums lie so far apart, the higher placed first; empty where the
        whole says nothing at the level.
    """

    sums: Floats
    friedman: float
    w: float
    p: float
    exact: bool
    distance: float
    apart: list[tuple[int, int]]
    level: float
    assessors: int


def ranking(given: ArrayLike, level: float = 0.05, seed: int = 0) -> Ranking:
    """Read a ranking of items by assessors.

    Parameters
    ----------
    given : array_like (assessors, items)
        Ranks (1 the most) or any values that rise with them; ties share their mean rank.

    Raises
    ------
    FindingError
        With fewer than two assessors or items, or a missing value.
    """
    table = np.asarray(given, dtype=float)
    if table.ndim != 2 or min(table.shape) < 2 or not np.isfinite(table).all():
        raise FindingError("findings.ranking-too-small")
    ranked = np.array([ranks(row) for row in table])
    people, items = ranked.shape
    sums = ranked.sum(axis=0)
    spread = float(((sums - sums.mean()) ** 2).sum())
    ties = _ties(ranked)
    scale = people * items * (items + 1) - ties / (items - 1)
    friedman = 12 * spread / scale if scale > 0 else 0.0
    p, exact = _chance(ranked, spread, seed)
    distance = _z(level) * math.sqrt(people * items * (items + 1) / 6)
    apart = _apart(sums, distance) if p <= level else []
    w = friedman / (people * (items - 1))
    return Ranking(sums, friedman, w, p, exact, distance, apart, level, people)


def _z(level: float) -> float:
    from scipy.special import ndtri

    return float(ndtri(1 - level / 2))


def _ties(ranked: Floats) -> float:
    """The sum of t³ − t over all ties of all assessors."""
    total = 0
    for row in ranked:
        count = np.unique(row, return_counts=True)[1]
        total += int((count**3 - count).sum())
    return float(total)


def _apart(sums: Floats, distance: float) -> list[tuple[int, int]]:
    order = np.argsort(sums, kind="stable")
    return [
        (int(a), int(b))
        for i, a in enumerate(order)
        for b in order[i + 1 :]
        if sums[b] - sums[a] >= distance - _SLACK
    ]


def _chance(ranked: Floats, spread: float, seed: int) -> tuple[float, bool]:
    """The chance of rank sums spread so far, each row's ranks in any order alike."""
    people, items = ranked.shape
    doubled = np.round(2 * ranked).astype(np.int64)  # mid-ranks are halves
    middle = people * (items + 1)
    if items <= _ITEMS:
        found = _all_sums(doubled)
        if found is not None:
            sums, chance = found
            far = ((sums - middle) ** 2).sum(axis=1)
            return min(1.0, float(chance[far >= 4 * spread - _SLACK].sum())), True
    rng = np.random.default_rng(seed)
    total = np.zeros((_DRAWN, items))
    for row in doubled:
        total += rng.permuted(np.tile(row, (_DRAWN, 1)), axis=1)
    far = ((total - middle) ** 2).sum(axis=1)
    return float((np.count_nonzero(far >= 4 * spread - _SLACK) + 1) / (_DRAWN + 1)), False


def _all_sums(doubled: NDArray[np.int64]) -> tuple[NDArray[np.int64], Floats] | None:
    """Every set of rank sums with its chance, row added to row; None when there are too many.

    Which item has which sum does not matter to the spread, so sets are kept sorted.
    """
    people, items = doubled.shape
    base = int(doubled.max()) * people + 1
    if items * math.log2(base) > 62:
        return None
    places = base ** np.arange(items, dtype=np.int64)
    sums: NDArray[np.int64] = np.zeros((1, items), dtype=np.int64)
    chance: Floats = np.ones(1)
    for row in doubled:
        orders, weight = np.unique(
            np.array(list(permutations(row.tolist())), dtype=np.int64), axis=0, return_counts=True
        )
        if len(sums) * len(orders) > _CARRIED:
            return None
        grown = np.sort((sums[:, None, :] + orders[None, :, :]).reshape(-1, items), axis=1)
        share = (chance[:, None] * (weight / weight.sum())[None, :]).reshape(-1)
        keys, where = np.unique(grown @ places, return_inverse=True)
        chance = np.asarray(np.bincount(where.reshape(-1), weights=share), dtype=float)
        sums = (keys[:, None] // places[None, :]) % base
    return sums, chance
