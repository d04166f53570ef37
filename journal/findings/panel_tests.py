"""Difference tests: how likely so many right answers are by chance, and how many people it takes.

Exact binomial throughout, with whole numbers where a table is read: at a kitchen's size the usual
approximations are wrong.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from journal.findings.dprime import KNOWN, d_prime, right_share
from journal.findings.error import FindingError
from journal.findings.table import Floats
from journal.records.panel_tests import DUO_TRIO, PAIRED, TETRAD, TRIANGLE, TWO_OF_FIVE

CHANCE = {
    TRIANGLE: Fraction(1, 3),
    PAIRED: Fraction(1, 2),
    DUO_TRIO: Fraction(1, 2),
    TETRAD: Fraction(1, 3),
    TWO_OF_FIVE: Fraction(1, 10),
}
"""Chance of a right answer from someone who cannot tell: ISO 4120 (triangle), ISO 5495 (paired),
ISO 10399 (duo-trio); of four cups there are three ways to make two pairs; two out of five is one of
the ten pairs."""
LEVEL = 0.05
_MOST = 3000
"""The largest panel a size is looked for."""


@dataclass(frozen=True)
class TestResult:
    """What a difference test says.

    Attributes
    ----------
    right, answers : int
    p : float
        The chance of so many right answers (or more) when nobody can tell.
    least : int or None
        The least number of right answers that would say so at the level; None when so few
        answers never can.
    share, low, high : float
        Share of people who can tell, and its exact 95 % range (Clopper and Pearson 1934).
    level : float
    two_sided : bool
    d_prime, d_prime_low, d_prime_high : float or None
        How far apart the cheeses lie, with its exact 95 % range (that of the right answers); None
        where a kind of test has none. Where every answer is right nothing bounds the first and the
        last, and they are None.
    """

    right: int
    answers: int
    p: float
    least: int | None
    share: float
    low: float
    high: float
    level: float
    two_sided: bool
    d_prime: float | None = None
    d_prime_low: float | None = None
    d_prime_high: float | None = None

    @property
    def differs(self) -> bool:
        """The answers say so at the level."""
        return self.p <= self.level


def chance_of(kind: str) -> Fraction:
    """The chance of a right answer by guessing; FindingError for a test there is none of."""
    try:
        return CHANCE[kind]
    except KeyError:
        raise FindingError("findings.no-such-test", kind=kind) from None


def tail(right: int, answers: int, chance: Fraction) -> Fraction:
    """The chance of `right` or more of so many answers by guessing, as an exact fraction."""
    if not 0 <= right <= answers:
        raise FindingError("findings.impossible-count", right=right, answers=answers)
    a, b = chance.numerator, chance.denominator - chance.numerator
    ways = sum(math.comb(answers, k) * a**k * b ** (answers - k) for k in range(right, answers + 1))
    return Fraction(ways, chance.denominator**answers)


def pooled_tail(tests: Sequence[tuple[str, int, int]]) -> float:
    """The chance of as many right answers or more over several tests (kind, right, answers), when
    nobody can tell."""
    chances = np.ones(1)
    for kind, _, answers in tests:
        p0 = float(chance_of(kind))
        for _ in range(answers):
            chances = np.convolve(chances, (1 - p0, p0))
    return min(1.0, float(chances[sum(right for _, right, _ in tests) :].sum()))


def least_right(
    answers: int, chance: Fraction, level: float = LEVEL, *, two_sided: bool = False
) -> int | None:
    """The least number of right answers whose chance is at most `level`; None when none is."""
    most = Fraction(str(level)) / (2 if two_sided else 1)
    a, b = chance.numerator, chance.denominator - chance.numerator
    bound = most * chance.denominator**answers
    ways, least = 0, None
    for k in range(answers, -1, -1):
        ways += math.comb(answers, k) * a**k * b ** (answers - k)
        if ways > bound:
            break
        least = k
    return least


def result_of(
    kind: str, right: int, answers: int, *, level: float = LEVEL, two_sided: bool = False
) -> TestResult:
    """Read a difference test.

    Parameters
    ----------
    kind : str
        One of CHANCE.
    right, answers : int
    level : float
    two_sided : bool
        For a paired comparison where no direction was foreseen: `right` is then the larger of
        the two counts, and the share is of those who agree on it.

    Raises
    ------
    FindingError
        When there is no answer, or the counts cannot be.
    """
    chance = chance_of(kind)
    if answers < 1:
        raise FindingError("findings.no-answer-yet")
    p = tail(right, answers, chance) * (2 if two_sided else 1)
    low, high = right_range(right, answers)
    return TestResult(
        right=right,
        answers=answers,
        p=min(1.0, float(p)),
        least=least_right(answers, chance, level, two_sided=two_sided),
        share=share_of(right / answers, chance),
        low=share_of(low, chance),
        high=share_of(high, chance),
        level=level,
        two_sided=two_sided,
        d_prime=_apart(kind, right / answers),
        d_prime_low=_apart(kind, low),
        d_prime_high=_apart(kind, high),
    )


def _apart(kind: str, share: float) -> float | None:
    """d′ for a share of right answers; None where there is none, or nothing bounds it."""
    found = d_prime(kind, share) if kind in KNOWN else math.inf
    return found if math.isfinite(found) else None


def share_at(kind: str, d: float) -> float:
    """The share of people who can tell, of a panel for whom the cheeses lie d′ apart."""
    return share_of(right_share(kind, d), chance_of(kind))


@dataclass(frozen=True)
class Similarity:
    """Whether a test shows that two cheeses are alike enough.

    Attributes
    ----------
    share : float
        What would be too much: the share of people who can tell.
    beta : float
        The chance of calling them alike all the same.
    p : float
        The chance of so few right answers, or fewer, if so many could tell.
    most : int or None
        The greatest number of right answers that would show it; None where none would.
    at_most : float
        The share of people who can tell, at most, at that certainty (one-sided, exact).
    """

    share: float
    beta: float
    p: float
    most: int | None
    at_most: float

    @property
    def alike(self) -> bool:
        """The answers show it."""
        return self.p <= self.beta


def similarity(
    kind: str, right: int, answers: int, share: float = 0.3, beta: float = LEVEL
) -> Similarity:
    """Read a test the other way round: are the cheeses alike (ISO 4120, ISO 10399: similarity)?

    Raises
    ------
    FindingError
        When the counts or the share cannot be.
    """
    if not 0 < share < 1 or not 0 < beta < 1:
        raise FindingError("findings.share-outside")
    if not 0 <= right <= answers or answers < 1:
        raise FindingError("findings.impossible-count", right=right, answers=answers)
    chance = chance_of(kind)
    p0 = _right_share(share, chance)
    most = -1
    while _at_most(most + 1, answers, p0) <= beta:
        most += 1
    return Similarity(
        share,
        beta,
        _at_most(right, answers, p0),
        None if most < 0 else most,
        share_of(right_range(right, answers, 1 - 2 * beta)[1], chance),
    )


def similarity_size(kind: str, share: float, wanted: float = 0.8, beta: float = LEVEL) -> PanelSize:
    """How many answers it takes to show that fewer than `share` can tell, when nobody can.

    Raises
    ------
    FindingError
        For a share or a power outside 0 to 1, or when it takes more than a few thousand.
    """
    if not 0 < share < 1 or not 0 < wanted < 1:
        raise FindingError("findings.share-outside")
    chance = chance_of(kind)
    p0, guessed = _right_share(share, chance), float(chance)
    most, shown = -1, np.empty(_MOST)
    for answers in range(1, _MOST + 1):  # one answer more raises the number by one at most
        while _at_most(most + 1, answers, p0) <= beta:
            most += 1
        shown[answers - 1] = _at_most(most, answers, guessed)
    return _size_of(shown >= wanted)


def _at_most(most: int, answers: int, right_share: float) -> float:
    """The chance of so many right answers or fewer."""
    from scipy.special import betainc

    if most < 0 or most >= answers:
        return float(most >= answers)
    return float(betainc(answers - most, most + 1, 1 - right_share))


def share_of(right_share: float, chance: Fraction) -> float:
    """Share of people who can tell from the share of right answers, 0 at the least.

    pd = (pc − p0) / (1 − p0): those who cannot tell guess (ISO 4120, ISO 10399).
    """
    p0 = float(chance)
    return min(1.0, max(0.0, (right_share - p0) / (1 - p0)))


def right_range(right: int, answers: int, confidence: float = 0.95) -> tuple[float, float]:
    """The exact two-sided range of a share (Clopper & Pearson 1934, Biometrika 26, 404-413)."""
    from scipy.special import betaincinv

    beyond = (1 - confidence) / 2
    low = 0.0 if right == 0 else float(betaincinv(right, answers - right + 1, beyond))
    high = 1.0 if right == answers else float(betaincinv(right + 1, answers - right, 1 - beyond))
    return low, high


def power(
    kind: str, answers: int, share: float, level: float = LEVEL, *, two_sided: bool = False
) -> float:
    """The chance that a test says so when `share` of people can tell."""
    chance = chance_of(kind)
    least = least_right(answers, chance, level, two_sided=two_sided)
    return 0.0 if least is None else _at_least(least, answers, _right_share(share, chance))


def _right_share(share: float, chance: Fraction) -> float:
    return share + (1 - share) * float(chance)


def _at_least(least: int, answers: int, right_share: float) -> float:
    from scipy.special import betainc

    if least <= 0:
        return 1.0
    return float(betainc(least, answers - least + 1, right_share))


@dataclass(frozen=True)
class PanelSize:
    """How many answers a test needs: the first number that reaches the wanted power, and the one
    from which every larger number does (power rises in a saw-tooth)."""

    first: int
    stays: int


def panel_size(
    kind: str,
    share: float,
    wanted: float = 0.8,
    level: float = LEVEL,
    *,
    two_sided: bool = False,
) -> PanelSize:
    """How many answers it takes to find that `share` of people can tell, `wanted` of the time.

    Raises
    ------
    FindingError
        For a share or a power outside 0 to 1, or when it takes more than a few thousand.
    """
    if not 0 < share <= 1 or not 0 < wanted < 1:
        raise FindingError("findings.share-outside")
    return _size_of(powers(kind, share, level, two_sided=two_sided) >= wanted)


def _size_of(reached: NDArray[np.bool_]) -> PanelSize:
    """The numbers of answers, of 1, 2, 3, …, from which something is reached."""
    if not reached.any() or not reached[-50:].all():
        raise FindingError("findings.too-many-answers", most=_MOST - 50)
    missed = np.flatnonzero(~reached)
    return PanelSize(int(np.argmax(reached)) + 1, int(missed[-1]) + 2 if missed.size else 1)


def powers(kind: str, share: float, level: float = LEVEL, *, two_sided: bool = False) -> Floats:
    """The power with 1, 2, 3, … answers, shape (3000,)."""
    from scipy.special import betainc

    chance = chance_of(kind)
    answers = np.arange(1, _MOST + 1)
    least = _leasts(chance, level / 2 if two_sided else level)
    found = betainc(
        np.clip(least, 1, answers), answers - np.clip(least, 1, answers) + 1.0,
        _right_share(share, chance),
    )  # fmt: skip
    return np.where(least > answers, 0.0, found)


@lru_cache(maxsize=16)
def _leasts(chance: Fraction, level: float) -> NDArray[np.intp]:
    """`least_right` for 1, 2, 3, … answers at once, one more than the answers where none is.

    The least number grows by one at most with each answer, so each is looked for from the last.
    """
    from scipy.special import betainc

    found = np.empty(_MOST, dtype=np.intp)
    p0, least, slack = float(chance), 1, 1e-12
    for n in range(1, _MOST + 1):
        while least <= n and float(betainc(least, n - least + 1, p0)) > level * (1 + slack):
            least += 1
        found[n - 1] = least
    found.flags.writeable = False
    return found
