"""What each change does to a score, as a line and a curve that add up: for choosing the next make.

The score of a make is level + the sum of what its changes do + what else was different + a random
effect.
A change counts in typical changes from one origin, and enters by a line and by a curve, which lets
it have a best value in the middle. How large effects are (per typical change), how much they bend
and how far makes made alike differ is not known beforehand: each is averaged over a grid, weighed
by how well it explains the scores. A hill is expected sooner than a valley. A make far from what
all others say counts less, the more so the farther it is (as with Student's t), so that a make gone
wrong does not pass for its changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from journal.findings.many_columns import Columns, is_sparse, squared
from journal.findings.nested import IntArray
from journal.findings.rows import ScoreRows, covariance_of
from journal.findings.table import Floats

EFFECTS = (0.03, 0.06, 0.12, 0.24, 0.48)
"""Sd of an effect per typical change, in points on a scale of ten."""
LIKELY_EFFECT, EFFECTS_WITHIN = 0.15, 1.0
BENDS = (0.08, 0.6)
"""How much a change bends over half its bounds, beside its line: hardly, or with a best value
somewhere within them."""
MAKE_SDS = (0.2, 0.35, 0.6, 1.0)
"""Sd of a make's random effect, in points."""
LIKELY_SD, SD_WITHIN = 0.5, 0.7
SD_OF = {"make": 0.92, "wheel": 0.3, "rest": 0.25}
BESIDE = 0.15
"""Sd of the effect of what is not chosen, per sd, in points."""
TAILS = 5.0
"""Degrees of freedom of a make's random effect."""
HARDLY = 1e-4


@dataclass(frozen=True)
class MadeScores:
    """Scores of makes beside what was done in each.

    Parameters
    ----------
    done : ndarray (rows, changes)
        In typical changes from the origin, without gaps.
    beside : ndarray (rows, m)
        What else was different, standardised.
    y, se : ndarray (rows,)
        Score and its own standard error, NaN where unknown.
    shared : columns (rows, s)
        What scores have in common; part of `se`.
    make, wheel : ndarray of int (rows,)
    half : ndarray (changes,)
        Half of how far each change may go, in typical changes.
    """

    done: Floats
    beside: Floats
    y: Floats
    se: Floats
    shared: Columns
    make: IntArray
    wheel: IntArray
    half: Floats


@dataclass(frozen=True)
class AdditiveFit:
    """Level, lines and curves as a mixture of normals: means (points, 1 + 2 changes), covariances
    and sd (points,), weights (points,). `level` is added to what the first column says."""

    means: Floats
    covariances: Floats
    weights: Floats
    sd: Floats
    level: float
    changes: int

    @cached_property
    def mean(self) -> Floats:
        """Level, lines and curves (1 + 2 changes,)."""
        return np.asarray(self.weights @ self.means)

    @cached_property
    def covariance(self) -> Floats:
        """Their covariance over the whole mixture."""
        return covariance_of(self.weights, self.means, self.covariances)

    @property
    def random_effect_variance(self) -> float:
        """Variance of a make's random effect."""
        return float(self.weights @ self.sd**2)

    def range_of(self, of: Floats, *, of_a_make: bool = False) -> tuple[float, float, float]:
        """Mean and 80 % range of a combination (1 + 2 changes,) of level, lines and curves; of
        what a make will be, with its random effect."""
        from scipy.special import ndtr

        middle = self.means @ of
        variance = np.einsum("i,gij,j->g", of, self.covariances, of)
        sd = np.sqrt(np.maximum(variance + (self.sd**2 if of_a_make else 0.0), 1e-12))
        ends = []
        for chance in (0.1, 0.9):
            low, high = float((middle - 9 * sd).min()), float((middle + 9 * sd).max())
            for _ in range(48):
                half = (low + high) / 2
                if float(self.weights @ ndtr((half - middle) / sd)) < chance:
                    low = half
                else:
                    high = half
            ends.append((low + high) / 2)
        return float(self.weights @ middle), ends[0], ends[1]

    def draws(self, rng: np.random.Generator, count: int) -> Floats:
        """Draw what may be true (count, 1 + 2 changes)."""
        out = np.empty((count, self.means.shape[1]))
        point = rng.choice(self.weights.size, size=count, p=self.weights)
        for g in np.unique(point):
            own = np.flatnonzero(point == g)
            root = np.linalg.cholesky(self.covariances[g])
            out[own] = self.means[g] + rng.normal(size=(own.size, root.shape[0])) @ root.T
        return out

    def each_gain(self, settings: Floats) -> tuple[Floats, Floats]:
        """What each change alone adds at settings (n, changes) against the origin: mean and sd."""
        k, c = self.changes, self.covariance
        j = np.arange(k)
        line, bend, both = c[1 + j, 1 + j], c[1 + k + j, 1 + k + j], c[1 + j, 1 + k + j]
        gain = self.mean[1 : 1 + k] * settings + self.mean[1 + k :] * settings**2
        variance = line * settings**2 + bend * settings**4 + 2 * both * settings**3
        return np.asarray(gain), np.sqrt(np.maximum(variance, 0))

    def scores(self, settings: Floats) -> Floats:
        """The expected score at settings (n, changes)."""
        return np.asarray(self.level + features(settings) @ self.mean)


def features(settings: Floats) -> Floats:
    """Level, lines and curves of settings (n, changes): (n, 1 + 2 changes)."""
    settings = np.atleast_2d(settings)
    return np.hstack([np.ones((len(settings), 1)), settings, settings**2])


def fit_additive(given: MadeScores) -> AdditiveFit:
    """Fit level, lines and curves; without any score what is expected beforehand."""
    if not given.y.size:
        return _beforehand(given)
    extra = np.zeros(np.unique(given.make).size)
    fit, residual = _fitted(given, extra)
    for _ in range(2):
        random_effect_variance = fit.random_effect_variance
        far = residual**2 / random_effect_variance
        extra = random_effect_variance * (np.maximum((TAILS + far) / (TAILS + 1), 1.0) - 1)
        fit, residual = _fitted(given, extra)
    return fit


def _priors(given: MadeScores) -> list[tuple[float, Floats, Floats]]:
    """Log weight, prior mean and precision of level, lines, curves and the rest, a point each."""
    out = []
    changes, beside = given.half.size, given.beside.shape[1]
    for effect in EFFECTS:
        log = -0.5 * (np.log(effect / LIKELY_EFFECT) / EFFECTS_WITHIN) ** 2
        for bend in BENDS:
            sd = bend * effect / given.half
            mean = np.zeros(1 + 2 * changes + beside)
            mean[1 + changes : 1 + 2 * changes] = -0.7 * sd
            precision = np.concatenate([
                [1e-4], np.full(changes, effect**-2), (0.75 * sd) ** -2,
                np.full(beside, BESIDE**-2),
            ])  # fmt: skip
            out.append((float(log), mean, precision))
    return out


def _fitted(given: MadeScores, extra: Floats) -> tuple[AdditiveFit, Floats]:
    """The fit, makes having `extra` variance (makes,); and each make's residual (makes,)."""
    shared = given.shared if is_sparse(given.shared) else np.nan_to_num(given.shared)
    se = np.where(np.isfinite(given.se), given.se, 0.0)
    own = np.sqrt(np.maximum(se**2 - squared(shared), 0.0))
    columns = np.hstack([given.done, given.done**2, given.beside])
    rows = ScoreRows.sorted(columns, given.y, own, given.make, given.wheel, extra, shared)
    kept = 1 + 2 * given.half.size
    priors = _priors(given)
    logs, means, covariances, sds = [], [], [], []
    for sd in MAKE_SDS:
        levels = rows.levels()
        whole = np.sqrt(sum(SD_OF[name] ** 2 for name in levels))
        gram, log_size, _ = rows.weighed({n: sd * SD_OF[n] / whole for n in levels})
        before = -0.5 * (np.log(sd / LIKELY_SD) / SD_WITHIN) ** 2
        log, mean, covariance = _solved(gram, log_size, priors)
        logs.append(log + before)
        means.append(mean)
        covariances.append(covariance)
        sds.append(np.full(log.size, sd))
    log = np.concatenate(logs)
    weights = np.exp(log - log.max())
    use = weights > HARDLY
    weights = weights[use] / weights[use].sum()
    every = np.concatenate(means)[use]
    fit = AdditiveFit(
        every[:, :kept], np.concatenate(covariances)[use][:, :kept, :kept], weights,
        np.concatenate(sds)[use], float(given.y.mean()), given.half.size,
    )  # fmt: skip
    left = (
        given.y
        - given.y.mean()
        - np.hstack([np.ones((given.y.size, 1)), columns]) @ (weights @ every)
    )
    _, at = np.unique(given.make, return_inverse=True)
    count = np.bincount(at)
    return fit, np.bincount(at, weights=left) / count


def _solved(
    gram: Floats, log_size: float, priors: list[tuple[float, Floats, Floats]]
) -> tuple[Floats, Floats, Floats]:
    """Log weight, mean and covariance at each prior."""
    before = np.array([p[0] for p in priors])
    prior = np.array([p[1] for p in priors])
    precision = np.array([p[2] for p in priors])
    k = precision.shape[1]
    whole = gram[:k, :k] + precision[:, :, None] * np.eye(k)
    right = gram[:k, k] + precision * prior
    covariance = np.linalg.inv(whole)
    mean = np.einsum("gij,gj->gi", covariance, right)
    size = log_size + np.linalg.slogdet(whole)[1] - np.log(precision).sum(axis=1)
    left = gram[k, k] + (precision * prior**2).sum(axis=1) - (mean * right).sum(axis=1)
    return np.asarray(before - 0.5 * (size + left)), mean, np.asarray(covariance)


def _beforehand(given: MadeScores) -> AdditiveFit:
    """What is expected of changes before there is a score."""
    priors = _priors(given)
    kept = 1 + 2 * given.half.size
    weights = np.exp(np.array([p[0] for p in priors]))
    return AdditiveFit(
        np.array([p[1][:kept] for p in priors]),
        np.array([np.diag(1 / p[2][:kept]) for p in priors]),
        weights / weights.sum(),
        np.full(len(priors), LIKELY_SD),
        0.0,
        given.half.size,
    )
