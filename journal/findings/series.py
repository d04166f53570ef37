"""A small designed series: two to six variables, a number of makes, and which make gets what.

Where the makes allow every combination of low and high is made (a full factorial); a half, a
quarter or an eighth of it where a published fraction has that many makes (`fractions.py`); any
other number gets the set whose determinant is the largest (D-optimal, by exchange), of low, middle
and high, of more than three variables of low and high. Makes in the middle of all may come on top:
they are alike, so they show how far makes differ by chance, and whether something bends. Orders are
drawn, within blocks where the milk's season changes during the series, and the blocks are balanced
as far as the numbers allow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from journal.findings.error import FindingError
from journal.findings.fractions import FOLDED, fraction
from journal.findings.nested import IntArray
from journal.findings.table import Floats
from journal.message import Message

LEAST, MOST = 4, 32
MOST_VARIABLES, MOST_MIDDLE = 6, 8
LEAST_OF_MANY = 8  # makes at low and high of more than three variables
FULL, HALF, BEST = "full factorial", "half of a factorial", "D-optimal"
QUARTER, EIGHTH, MIRRORED = (
    "quarter of a factorial", "eighth of a factorial", "quarter of a factorial, folded over",
)  # fmt: skip
_SHARES = {2: HALF, 4: QUARTER, 8: EIGHTH}
_NEAR_MIDDLE = 0.34  # of half the span: a value rounded for the vat is not quite in the middle
_TRIES = 24
_RIDGE = 1e-6  # so that a start that tells nothing can be left too


@dataclass(frozen=True)
class Factor:
    """A variable of a series with its low and its high value, in its unit."""

    name: str
    low: float
    high: float
    unit: str = ""

    def __post_init__(self) -> None:
        if not (np.isfinite(self.low) and np.isfinite(self.high) and self.low < self.high):
            raise FindingError("findings.low-not-below-high", variable=self.name)

    @property
    def ends(self) -> Message:
        """From low to high, without the unit."""
        return Message("findings.low-to-high", low=self.low, high=self.high, unit=self.unit)

    def at(self, coded: float) -> float:
        """The value at −1 (low) to +1 (high)."""
        return self.low + (coded + 1) / 2 * (self.high - self.low)

    def coded(self, value: float) -> float:
        """Where a value lies between low (−1) and high (+1)."""
        return 2 * (value - self.low) / (self.high - self.low) - 1


@dataclass(frozen=True)
class Design:
    """The makes of a series in the order they are to be made.

    Parameters
    ----------
    kind : str
        How it was found.
    factors : tuple of Factor
    coded : ndarray (makes, factors)
        −1 low, 0 middle, +1 high.
    block : ndarray of int (makes,)
        Which part of the series (a season of milk) a make belongs to, from 0.
    efficiency : float
        Of the main effects: 1 where each is known as well as so many makes ever allow.
    """

    kind: str
    factors: tuple[Factor, ...]
    coded: Floats
    block: IntArray
    efficiency: float

    @classmethod
    def of_makes(
        cls, factors: Sequence[Factor], wanted: Floats, block: Sequence[int], kind: str
    ) -> Design:
        """A design as it was kept: the values wanted (makes, factors) and their seasons."""
        coded = np.array(
            [[f.coded(float(v)) for f, v in zip(factors, row, strict=True)] for row in wanted]
        )
        of, ends = np.asarray(block, dtype=np.intp), coded[~_in_the_middle(coded)]
        return cls(kind, tuple(factors), coded, of, efficiency(ends if len(ends) else coded))

    @property
    def middle(self) -> NDArray[np.bool_]:
        """Which makes lie in the middle of every variable (makes,)."""
        return _in_the_middle(self.coded)

    @property
    def ends(self) -> Floats:
        """The makes that do not, with values at the ends as −1 and +1 (n, factors)."""
        return np.asarray(np.round(self.coded[~self.middle]), dtype=float)

    @property
    def parts(self) -> list[int]:
        """The seasons there are."""
        return sorted(set(self.block.tolist()))

    def values(self) -> Floats:
        """The makes' values in the factors' units, shape (makes, factors)."""
        columns = [[f.at(c) for c in self.coded[:, j]] for j, f in enumerate(self.factors)]
        return np.array(columns, dtype=float).T


def design(
    factors: Sequence[Factor], makes: int, *, blocks: int = 1, seed: int = 0, middle: int = 0
) -> Design:
    """A balanced set of makes.

    Parameters
    ----------
    factors : two to six of them
    makes : int
        4 to 32, of more than three factors 8 to 32.
    blocks : int
        Parts of the series between which the milk may change.
    seed : int
        Of the order they are made in.
    middle : int
        Makes in the middle of all factors beside these, up to 8.

    Raises
    ------
    FindingError
        When the numbers do not make a series.
    """
    k = len(factors)
    _check(k, makes, blocks, middle)
    kind, points = _points(k, makes, seed)
    draw = np.random.default_rng([seed, k, makes, blocks])
    if kind == MIRRORED and blocks <= 2:
        parts = np.repeat(np.arange(2), makes // 2)
        block = parts if blocks == 2 else np.zeros(makes, dtype=np.intp)
    else:
        block = parts = _blocked(points, blocks, draw)
    order = np.concatenate([draw.permutation(np.flatnonzero(parts == b)) for b in np.unique(parts)])
    block = np.asarray(block[order], dtype=np.intp)
    coded, block = _with_middle(points[order], block, middle)
    return Design(kind, tuple(factors), coded, block, efficiency(points))


def _check(variables: int, makes: int, blocks: int, middle: int) -> None:
    """Refuse numbers that do not make a series."""
    if not 2 <= variables <= MOST_VARIABLES:
        raise FindingError("findings.series-variables", most=MOST_VARIABLES)
    if not LEAST <= makes <= MOST:
        raise FindingError("findings.series-makes", least=LEAST, most=MOST)
    if variables > 3 and makes < LEAST_OF_MANY:
        raise FindingError("findings.series-too-few", variables=variables, least=LEAST_OF_MANY)
    if not 0 <= middle <= MOST_MIDDLE:
        raise FindingError("findings.series-middle", most=MOST_MIDDLE)
    if not 1 <= blocks <= makes // 2:
        raise FindingError("findings.series-parts")


def _points(k: int, makes: int, seed: int) -> tuple[str, Floats]:
    """The kind of a design, and its makes in no order yet."""
    corners = np.array(list(product((-1.0, 1.0), repeat=k)))
    if makes % len(corners) == 0:
        return FULL, np.tile(corners, (makes // len(corners), 1))
    found = fraction(k, makes)
    if found is None:
        return BEST, _exchange(k, makes, seed)
    return MIRRORED if (k, makes) in FOLDED else _SHARES[len(corners) // makes], found


def _with_middle(points: Floats, block: IntArray, middle: int) -> tuple[Floats, IntArray]:
    """Put makes in the middle among the others, at the beginning, the end and between, turn about
    in the blocks."""
    rows: list[tuple[int, Floats]] = []
    blocks = sorted(set(block.tolist()))
    for at, b in enumerate(blocks):
        own = list(points[block == b])
        count = len(range(at, middle, len(blocks)))
        for index in np.round(np.linspace(0, len(own), max(count, 2)))[:count][::-1].astype(int):
            own.insert(int(index), np.zeros(points.shape[1]))
        rows += [(b, row) for row in own]
    return np.array([row for _, row in rows]), np.array([b for b, _ in rows], dtype=np.intp)


def _in_the_middle(coded: Floats) -> NDArray[np.bool_]:
    return np.asarray((np.abs(coded) < _NEAR_MIDDLE).all(axis=1))


def efficiency(points: Floats) -> float:
    """The D-efficiency of the main effects, 0 to 1."""
    x = np.column_stack([np.ones(len(points)), points])
    size = float(np.linalg.det(x.T @ x / len(points)))
    return float(max(size, 0.0) ** (1 / x.shape[1]))


def _terms(points: Floats) -> Floats:
    """Level, main effects and pairs, as far as so many points can carry them."""
    k = points.shape[1]
    pairs = [points[:, i] * points[:, j] for i in range(k) for j in range(i + 1, k)]
    x = np.column_stack([np.ones(len(points)), points])
    return np.column_stack([x, *pairs])


def _exchange(k: int, makes: int, seed: int) -> Floats:
    """The best of several starts of Fedorov's exchange over low, middle and high."""
    levels = (-1.0, 0.0, 1.0) if k <= 3 else (-1.0, 1.0)
    candidates = np.array(list(product(levels, repeat=k)))
    terms = _terms(candidates)
    if makes < terms.shape[1]:
        terms = terms[:, : k + 1]
    draw = np.random.default_rng([seed, k, makes])
    best, largest = np.asarray(np.arange(makes) % len(candidates), dtype=np.intp), -np.inf
    for _ in range(_TRIES):
        chosen = np.asarray(draw.integers(0, len(candidates), makes), dtype=np.intp)
        size = _log_size(terms[chosen])
        while True:
            i, c = _best_swap(terms, chosen)
            trial = chosen.copy()
            trial[i] = c
            gain = _log_size(terms[trial])
            if gain <= size + 1e-9:
                break
            chosen, size = trial, gain
        if size > largest:
            best, largest = chosen, size
    return np.asarray(candidates[best], dtype=float)


def _best_swap(terms: Floats, chosen: IntArray) -> tuple[int, int]:
    """Which make to exchange for which candidate: the largest growth of the determinant, by
    Fedorov's formula (Theory of Optimal Experiments, 1972, from memory)."""
    own = terms[chosen]
    spread = np.linalg.inv(own.T @ own + _RIDGE * np.eye(terms.shape[1]))
    of_new = np.einsum("ij,jk,ik->i", terms, spread, terms)
    of_old = np.einsum("ij,jk,ik->i", own, spread, own)
    both = own @ spread @ terms.T
    growth = (1 + of_new[None, :]) * (1 - of_old[:, None]) + both**2
    i, c = np.unravel_index(int(np.argmax(growth)), growth.shape)
    return int(i), int(c)


def _log_size(terms: Floats) -> float:
    return float(np.linalg.slogdet(terms.T @ terms + _RIDGE * np.eye(terms.shape[1]))[1])


def _blocked(points: Floats, blocks: int, draw: np.random.Generator) -> IntArray:
    """Deal the makes to blocks so that no block leans to one side of a variable."""
    sizes = np.asarray(np.arange(len(points)) % blocks, dtype=np.intp)
    best, least = sizes, np.inf
    for _ in range(400 if blocks > 1 else 1):
        dealt = draw.permutation(sizes)
        pairs = _terms(points)[:, 1:]
        lean = sum(
            float((pairs[dealt == b].mean(axis=0) ** 2 * weights(points)).sum())
            for b in range(blocks)
        )
        if lean < least - 1e-12:
            best, least = dealt, lean
    return best


def weights(points: Floats) -> Floats:
    """How much a lean of each term counts: a main effect ten times a pair."""
    k = points.shape[1]
    return np.concatenate([np.full(k, 10.0), np.ones(k * (k - 1) // 2)])


def lean(planned: Design) -> float:
    """How far the seasons' means of a variable lie from each other at most: 0 where no season
    leans to one side, 2 where a variable goes with the season."""
    means = np.array([planned.coded[planned.block == b].mean(axis=0) for b in planned.parts])
    return float(np.ptp(means, axis=0).max())


def width_80(planned: Design, scatter: float) -> float:
    """Half the width of an effect's 80 % range, points, where makes alike scatter by `scatter`
    (their sd); the widest of the factors', the seasons' levels taken out."""
    levels = (planned.block[:, None] == np.array(planned.parts)).astype(float)
    x = np.column_stack([levels, planned.coded])
    of = np.linalg.pinv(x.T @ x).diagonal()[-len(planned.factors) :]
    return float(1.2816 * scatter * 2 * np.sqrt(of.max()))
