"""At which ages this kitchen's cheese was liked best: scores of wheels against their age."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.records.traces import Floats

AS_GOOD = 0.3  # points below the best that still count as best: scores are given in halves
_LEAST_SCORES, _LEAST_AGES, _APART = 6, 3, 10.0
_SCORE_VAR, _MAKE_VAR, _PERSON_VAR = 0.35**2, 0.5**2, 0.5**2  # points²; usual of panels (memory)
_CURVE_SD = 1.0  # points of bend over the tasted range, either way (from memory)
_STEPS = 121


@dataclass(frozen=True)
class AgedScore:
    """An overall score: of which make, by whom, at which age in days (or days made equal)."""

    make: str
    person: str
    age: float
    score: float


@dataclass(frozen=True)
class BestAges:
    """The ages liked best, days, within those that were tasted.

    `high` is None where the oldest tasted were still among the best: no end is known yet. `ages`
    and `scores` (n,) are the curve, an average make by an average person.
    """

    low: float
    high: float | None
    best: float
    ages: Floats
    scores: Floats
    count: int

    def score_at(self, age: float) -> float:
        """What an average make is given at an age; beyond those tasted as at their ends."""
        return float(np.interp(age, self.ages, self.scores))


def best_ages(given: Sequence[AgedScore]) -> BestAges | None:
    """The ages at which scores were best, None where too few say anything.

    A curve of second degree through all scores; makes and persons have levels of their own, which
    are drawn to the mean, so that a good make tasted old does not speak for its age.
    """
    age = np.array([one.age for one in given], np.float64)
    apart = len(np.unique(np.round(age / _APART)))
    if len(given) < _LEAST_SCORES or apart < _LEAST_AGES:
        return None
    middle, half = (age.max() + age.min()) / 2, (age.max() - age.min()) / 2
    x = (age - middle) / half
    columns = [np.ones_like(x), x, x**2 - 1 / 3]
    penalty = [0.0, _SCORE_VAR / 9, _SCORE_VAR / _CURVE_SD**2]
    people = np.array([one.person for one in given])
    for name in np.unique(people):
        columns.append((people == name).astype(float))
        penalty.append(_SCORE_VAR / _PERSON_VAR)
    y = np.array([one.score for one in given])
    found = _levelled([one.make for one in given], np.column_stack(columns), np.diag(penalty), y)
    grid = np.linspace(-1, 1, _STEPS)
    curve = found[0] + found[1] * grid + found[2] * (grid**2 - 1 / 3)
    ages = middle + half * grid
    good = curve >= curve.max() - AS_GOOD
    peak = int(curve.argmax())
    first = peak - int(np.argmin(good[peak::-1])) + 1 if not good[: peak + 1].all() else 0
    after = good[peak:]
    high = None if after.all() else float(ages[peak + int(np.argmin(after)) - 1])
    return BestAges(float(ages[first]), high, float(ages[peak]), ages, curve, len(given))


def _levelled(makes: Sequence[str], a: Floats, penalty: Floats, y: Floats) -> Floats:
    """The coefficients of the columns of `a`, ridged, where each make has a level of its own; the
    levels are solved away make by make (Schur complement), so that many makes cost little."""
    _, of = np.unique(np.array(makes), return_inverse=True)
    weight = 1.0 / (np.bincount(of) + _SCORE_VAR / _MAKE_VAR)
    sums = np.column_stack([np.bincount(of, column) for column in a.T])
    left = a.T @ a + penalty - sums.T @ (weight[:, None] * sums)
    right = a.T @ y - sums.T @ (weight * np.bincount(of, y))
    return np.asarray(np.linalg.solve(left, right), np.float64)
