"""A small designed series: two or three variables, a number of makes, and which make gets what.

Where the makes allow every combination of low and high is made (a full factorial, the middle or
repeats with what is left); four makes of three variables get the half of it in which no two
variables go together; any other number gets the set whose determinant is the largest among
low, middle and high (D-optimal, by exchange). Orders are drawn, within blocks where the milk's
season changes during the series, and the blocks are balanced as far as the numbers allow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from journal.findings.error import FindingError
from journal.findings.joint import fit_joint
from journal.findings.nested import Whole
from journal.findings.table import Floats

LEAST, MOST = 4, 32
FULL, HALF, BEST = "full factorial", "half of a factorial", "D-optimal"
_TRIES = 24


@dataclass(frozen=True)
class Factor:
    """A variable of a series with its low and its high value, in its unit."""

    name: str
    low: float
    high: float
    unit: str = ""

    def __post_init__(self) -> None:
        if not (np.isfinite(self.low) and np.isfinite(self.high) and self.low < self.high):
            raise FindingError(f"{self.name} needs a low value below its high one.")

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
    block: Whole
    efficiency: float

    def values(self) -> Floats:
        """The makes' values in the factors' units, shape (makes, factors)."""
        columns = [[f.at(c) for c in self.coded[:, j]] for j, f in enumerate(self.factors)]
        return np.array(columns, dtype=float).T


def design(factors: Sequence[Factor], makes: int, *, blocks: int = 1, seed: int = 0) -> Design:
    """A balanced set of makes.

    Parameters
    ----------
    factors : two or three of them
    makes : int
        4 to 32.
    blocks : int
        Parts of the series between which the milk may change.
    seed : int
        Of the order they are made in.

    Raises
    ------
    FindingError
        When the numbers do not make a series.
    """
    k = len(factors)
    if not 2 <= k <= 3:
        raise FindingError("A series changes two or three variables; more wants more makes.")
    if not LEAST <= makes <= MOST:
        raise FindingError(f"A series has {LEAST} to {MOST} makes.")
    if not 1 <= blocks <= makes // 2:
        raise FindingError("Each part of a series needs two makes at least.")
    corners = np.array(list(product((-1.0, 1.0), repeat=k)))
    if makes % len(corners) == 0:
        kind, points = FULL, np.tile(corners, (makes // len(corners), 1))
    elif k == 3 and makes == 4:
        kind, points = HALF, corners[corners.prod(axis=1) > 0]
    else:
        kind, points = BEST, _exchange(k, makes, seed)
    draw = np.random.default_rng([seed, k, makes, blocks])
    block = _blocked(points, blocks, draw)
    order = np.concatenate([draw.permutation(np.flatnonzero(block == b)) for b in range(blocks)])
    return Design(kind, tuple(factors), points[order], block[order], efficiency(points))


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
    candidates = np.array(list(product((-1.0, 0.0, 1.0), repeat=k)))
    terms = _terms(candidates)
    if makes < terms.shape[1]:
        terms = terms[:, : k + 1]
    draw = np.random.default_rng([seed, k, makes])
    best, largest = np.asarray(np.arange(makes) % len(candidates), dtype=np.intp), -np.inf
    for _ in range(_TRIES):
        chosen = np.asarray(draw.integers(0, len(candidates), makes), dtype=np.intp)
        size = _log_size(terms[chosen])
        while True:
            trials = [(_log_size(terms[_swapped(chosen, i, c)]), i, c)
                      for i in range(makes) for c in range(len(candidates))]  # fmt: skip
            gain, i, c = max(trials)
            if gain <= size + 1e-9:
                break
            chosen, size = _swapped(chosen, i, c), gain
        if size > largest:
            best, largest = chosen, size
    return np.asarray(candidates[best], dtype=float)


def _swapped(chosen: Whole, i: int, candidate: int) -> Whole:
    out = chosen.copy()
    out[i] = candidate
    return out


def _log_size(terms: Floats) -> float:
    return float(np.linalg.slogdet(terms.T @ terms + 1e-9 * np.eye(terms.shape[1]))[1])


def _blocked(points: Floats, blocks: int, draw: np.random.Generator) -> Whole:
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


@dataclass(frozen=True)
class SeriesEffect:
    """What going from low to high of a factor does, in points, with its ranges."""

    factor: str
    effect: float
    low80: float
    high80: float
    low95: float
    high95: float


def analyse(
    planned: Design, real: Floats, block: Sequence[int], score: Floats
) -> list[SeriesEffect]:
    """What the factors of a series did, the blocks' levels taken out.

    Parameters
    ----------
    planned : Design
    real : ndarray (makes, factors)
        The values really made, in the factors' units.
    block : sequence of int (makes,)
    score : ndarray (makes,)
        NaN where a make has no score yet; such makes are waited for, not guessed.

    Raises
    ------
    FindingError
        When fewer than four makes have a score, or a factor has not moved among them.
    """
    seen = np.isfinite(score)
    if int(seen.sum()) < LEAST:
        raise FindingError(f"{int(seen.sum())} makes of the series have a score: {LEAST} begin.")
    columns = [[f.coded(float(v)) for v in real[seen, j]] for j, f in enumerate(planned.factors)]
    x = np.array(columns, dtype=float).T
    sd = x.std(axis=0, ddof=1)
    for f, spread in zip(planned.factors, sd, strict=True):
        if spread <= 0:
            raise FindingError(f"{f.name} has not moved yet among the makes with a score.")
    y = np.asarray(score, dtype=float)[seen]
    parts = np.asarray(block)[seen]
    spread_y = max(float(y.std(ddof=1)), 1e-6)
    levels = (parts[:, None] == np.unique(parts)).astype(float) * spread_y * 3
    n = y.size
    shared = levels if levels.shape[1] > 1 else None
    joint = fit_joint(
        (x - x.mean(axis=0)) / sd, y, np.zeros(n), np.arange(n), np.zeros(n, dtype=np.intp),
        np.ones(x.shape[1]), x.shape[1], shared=shared,
    )  # fmt: skip
    of = np.zeros((len(sd), joint.means.shape[1]))
    of[:, 1:] = np.diag(2 / sd)
    bands = joint.quantiles(of, [0.1, 0.9, 0.025, 0.975])
    middle = of @ joint.mean
    return [
        SeriesEffect(f.name, float(middle[j]), *(float(b) for b in bands[:, j]))
        for j, f in enumerate(planned.factors)
    ]
