"""Logistic regression with a make's own random effect averaged out: level and effects as a normal.

A make's random effect is integrated over, by Gauss and Hermite's points about its likeliest value,
so that what is said of level and effects does not lean on one guess of it: the likeliest random
effect of every make at once, few samples each, would draw effects towards zero and say too
little of how sure they are.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.nested import IntArray
from journal.findings.table import Floats

ROUNDS = 60
POINTS = 9
"""Points of a make's random effect that are averaged over."""
SMALL, LEAST_STEP = 1e-9, 1e-3


@dataclass(frozen=True)
class Point:
    """Level and effects at one spread of random effect.

    Parameters
    ----------
    mean : ndarray (columns,)
    covariance, information : ndarray (columns, columns)
        `information` is what the samples alone told.
    log_weight : float
        How well that spread explains the samples.
    """

    mean: Floats
    covariance: Floats
    information: Floats
    log_weight: float


@dataclass(frozen=True)
class BinaryTrials:
    """Rows sorted by make: columns, how many samples name it, of how many.

    Parameters
    ----------
    x : ndarray (rows, columns)
    named, samples : ndarray (rows,)
    make : ndarray of int (rows,)
        From 0, ascending.
    starts : ndarray of int (makes,)
        Where each make's rows begin.
    """

    x: Floats
    named: Floats
    samples: Floats
    make: IntArray
    starts: IntArray

    @classmethod
    def sorted(cls, x: Floats, named: Floats, samples: Floats, make: IntArray) -> BinaryTrials:
        """Sort rows given in any order."""
        order = np.argsort(make, kind="stable")
        number = np.unique(make[order], return_inverse=True)[1].reshape(-1)
        starts = np.flatnonzero(np.concatenate([[True], np.diff(number) > 0]))
        return cls(x[order], named[order], samples[order], number, starts)

    def by_make(self, values: Floats) -> Floats:
        """Sums over the rows of each make, first axis (makes,)."""
        return np.asarray(np.add.reduceat(values, self.starts, axis=0))

    def log_likelihood(self, eta: Floats) -> Floats:
        """Of each row, at its log odds (rows, ...)."""
        shape = (-1,) + (1,) * (eta.ndim - 1)
        named, samples = self.named.reshape(shape), self.samples.reshape(shape)
        return np.asarray(named * eta - samples * np.logaddexp(0, eta))


def averaged(
    rows: BinaryTrials, precision: Floats, random_effect: float, filled: Floats | None = None
) -> Point:
    """Level and effects with every make's random effect of sd `random_effect` averaged out.

    Parameters
    ----------
    rows : Cards
    precision : ndarray (columns,)
        Of the normal prior about zero.
    random effect : float
        In log odds.
    filled : ndarray (makes,), optional
        Variance that filled values add to a make's random effect.
    """
    random_effect_variance = np.full(rows.starts.size, random_effect**2) + (
        0.0 if filled is None else filled
    )
    beta, own, width = _likeliest(rows, precision, random_effect_variance)
    at, weight = np.polynomial.hermite.hermgauss(POINTS)
    u = own[:, None] + np.sqrt(2.0) * width[:, None] * at
    prior = (
        np.log(weight) + at**2 + np.log(width / np.sqrt(np.pi * random_effect_variance))[:, None]
        - 0.5 * u**2 / random_effect_variance[:, None]
    )  # fmt: skip
    here, slope, curve = _sums(rows, precision, u, prior, beta)
    for _ in range(ROUNDS):
        step, size = np.linalg.solve(curve, slope), 1.0
        if float(slope @ step) < SMALL:
            break
        sums = _sums(rows, precision, u, prior, beta + step)
        while sums[0] < here and size > LEAST_STEP:
            size /= 2
            sums = _sums(rows, precision, u, prior, beta + size * step)
        beta, (here, slope, curve) = beta + size * step, sums
    log_size = float(np.linalg.slogdet(curve)[1])
    log_weight = here - 0.5 * log_size + 0.5 * float(np.log(precision).sum())
    covariance = np.asarray(np.linalg.inv(curve), dtype=float)
    return Point(beta, covariance, _sure_part(curve - np.diag(precision)), float(log_weight))


def _sure_part(information: Floats) -> Floats:
    """What samples tell is never less than nothing, though the curvature at one point may be."""
    size, turn = np.linalg.eigh(information)
    return np.asarray((turn * np.maximum(size, 0.0)) @ turn.T)


def _sums(
    rows: BinaryTrials, precision: Floats, u: Floats, prior: Floats, beta: Floats
) -> tuple[float, Floats, Floats]:
    """Log density at level and effects, its slope and (turned over) its curvature."""
    from scipy.special import expit

    eta = (rows.x @ beta)[:, None] + u[rows.make]
    logs = rows.by_make(rows.log_likelihood(eta)) + prior
    top = logs.max(axis=1, keepdims=True)
    share = np.exp(logs - top)
    whole = share.sum(axis=1, keepdims=True)
    share /= whole
    p = expit(eta)
    off = rows.named[:, None] - rows.samples[:, None] * p
    of_row = share[rows.make]
    pulls = rows.by_make(off[:, :, None] * rows.x[:, None, :])
    middle = (share[:, :, None] * pulls).sum(axis=1)
    weight = rows.samples * (of_row * p * (1 - p)).sum(axis=1)
    curve = rows.x.T @ (weight[:, None] * rows.x) + np.diag(precision) + middle.T @ middle
    apart = (np.sqrt(share)[:, :, None] * pulls).reshape(-1, beta.size)
    curve -= apart.T @ apart
    here = float((top + np.log(whole)).sum()) - 0.5 * float(precision @ beta**2)
    return here, middle.sum(axis=0) - precision * beta, curve


def _likeliest(
    rows: BinaryTrials, precision: Floats, random_effect_variance: Floats
) -> tuple[Floats, Floats, Floats]:
    """The likeliest level and effects with each make's random effect, and the width of that random
    effect."""
    beta, own = np.zeros(rows.x.shape[1]), np.zeros(random_effect_variance.size)
    share = np.clip(rows.named.sum() / rows.samples.sum(), 0.01, 0.99)
    beta[0] = np.log(share / (1 - share))
    here = _log_density(rows, precision, random_effect_variance, beta, own)
    for _ in range(ROUNDS):
        weight, off = _weights(rows, beta, own)
        schur, across, d = _schur(rows, weight, precision, random_effect_variance)
        of_own = rows.by_make(off) - own / random_effect_variance
        of_beta = rows.x.T @ off - precision * beta
        step = np.linalg.solve(schur, of_beta - across @ (of_own / d))
        step_own = (of_own - across.T @ step) / d
        if float(of_beta @ step + of_own @ step_own) < SMALL:
            break
        size = 1.0
        after = _log_density(rows, precision, random_effect_variance, beta + step, own + step_own)
        while after < here and size > LEAST_STEP:
            size /= 2
            after = _log_density(
                rows, precision, random_effect_variance, beta + size * step, own + size * step_own
            )
        beta, own, here = beta + size * step, own + size * step_own, after
    d = rows.by_make(_weights(rows, beta, own)[0]) + 1 / random_effect_variance
    return beta, own, np.asarray(1 / np.sqrt(d))


def _weights(rows: BinaryTrials, beta: Floats, own: Floats) -> tuple[Floats, Floats]:
    """Each row's curvature in its log odds, and how far the samples are off."""
    from scipy.special import expit

    p = expit(rows.x @ beta + own[rows.make])
    return rows.samples * p * (1 - p), rows.named - rows.samples * p


def _schur(
    rows: BinaryTrials, weight: Floats, precision: Floats, random_effect_variance: Floats
) -> tuple[Floats, Floats, Floats]:
    """The curvature in level and effects with the makes' random effect taken out, and its parts."""
    weighed = weight[:, None] * rows.x
    d = rows.by_make(weight) + 1 / random_effect_variance
    across = rows.by_make(weighed).T
    schur = rows.x.T @ weighed + np.diag(precision) - (across / d) @ across.T
    return schur, across, d


def _log_density(
    rows: BinaryTrials, precision: Floats, random_effect_variance: Floats, beta: Floats, own: Floats
) -> float:
    fit = float(rows.log_likelihood(rows.x @ beta + own[rows.make]).sum())
    return (
        fit
        - 0.5 * float(precision @ beta**2)
        - 0.5 * float((own**2 / random_effect_variance).sum())
    )
