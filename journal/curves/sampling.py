"""Weighted samples of a density that is known but for its size, and so its size as well."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import lgamma, pi

import numpy as np

from journal.curves.solver import Prior, Solution
from journal.records.traces import Floats

TAILS = 5.0  # degrees of freedom of all that is tried
FIRST, SECOND = 1000, 1500  # trials around the solutions, and around the better ones of those
FROM_PRIOR = 0.3  # share of the first trials drawn from the prior, so that nothing is left out
CENTRES = 40  # of the second trials
NARROWER = 0.5  # how much narrower a centre's cloud is than all of them
ENOUGH = 100.0  # the second centres are drawn as if so many trials counted
PLENTY = 250.0  # of the first trials counting, there is no need for a second go
TEMPERS = (1.0, 0.7, 0.5, 0.35, 0.25, 0.15, 0.1, 0.05)


@dataclass(frozen=True)
class _Cloud:
    """Multivariate t about each of several centres (k, p) with one root (p, p)."""

    centres: Floats
    root: Floats

    def drawn(self, count: int, rng: np.random.Generator) -> Floats:
        z = rng.standard_normal((count, len(self.root)))
        z /= np.sqrt(rng.chisquare(TAILS, count) / TAILS)[:, None]
        out: Floats = self.centres[np.arange(count) % len(self.centres)] + z @ self.root.T
        return out

    def log_density(self, trial: Floats) -> Floats:
        p = trial.shape[1]
        z, c = (np.linalg.solve(self.root, x.T).T for x in (trial, self.centres))
        square = np.sum(z**2, axis=1)[:, None] + np.sum(c**2, axis=1)[None, :] - 2 * z @ c.T
        near = 1 / (1 + np.maximum(square, 0.0) / TAILS)
        mean = np.mean(np.sqrt(near) ** int(TAILS + p), axis=1)
        size = lgamma((TAILS + p) / 2) - lgamma(TAILS / 2) - p / 2 * np.log(TAILS * pi)
        out: Floats = np.log(mean) + size - np.log(np.diag(self.root)).sum()
        return out


def sampled(
    modes: list[Solution],
    prior: Prior,
    target: Callable[[Floats], Floats],
    rng: np.random.Generator,
) -> tuple[Floats, Floats]:
    """Trials (m, p) and the logarithms of their weights, which add up to the density's size.

    Tried first around the solutions and from the prior, then around the better ones of those:
    a density that is bent like a banana, as a fall that has hardly begun makes it, would leave
    few of the first. Each trial is weighed by all that could have proposed it.
    """
    clouds = [
        _Cloud(prior.mean[None, :], _root(prior.covariance)),
        *(_Cloud(m.params[None, :], _root(m.covariance())) for m in modes),
    ]
    share = np.r_[FROM_PRIOR, np.full(len(modes), (1 - FROM_PRIOR) / max(len(modes), 1))]
    counts = np.maximum((FIRST * share / share.sum()).astype(int), 1)
    trial = np.vstack([c.drawn(int(n), rng) for c, n in zip(clouds, counts, strict=True)])
    log_target = target(trial)
    log_weight = log_target - _proposed(clouds, counts, trial)
    if _effective(log_weight) >= PLENTY:
        return trial, log_weight
    clouds.append(_better(trial, log_weight, rng))
    counts = np.r_[counts, SECOND]
    more = clouds[-1].drawn(SECOND, rng)
    trial, log_target = np.vstack([trial, more]), np.r_[log_target, target(more)]
    return trial, log_target - _proposed(clouds, counts, trial)


def _proposed(clouds: list[_Cloud], counts: Floats, trial: Floats) -> Floats:
    """Log of how many trials all clouds together put at each place, per unit of volume."""
    each = [np.log(n) + c.log_density(trial) for c, n in zip(clouds, counts, strict=True)]
    return np.asarray(np.logaddexp.reduce(np.array(each), axis=0), dtype=np.float64)


def _root(covariance: Floats) -> Floats:
    return np.asarray(np.linalg.cholesky(covariance), dtype=np.float64)


def _effective(log_weight: Floats) -> float:
    """How many trials of one weight would be worth as much."""
    weight = np.exp(log_weight - log_weight.max())
    return float(weight.sum() ** 2 / np.sum(weight**2))


def _better(trial: Floats, log_weight: Floats, rng: np.random.Generator) -> _Cloud:
    """Centres among the trials by their weights, flattened until enough of them count."""
    for temper in TEMPERS:
        if _effective(temper * log_weight) >= ENOUGH:
            break
    weight = np.exp(temper * (log_weight - log_weight.max()))
    weight /= weight.sum()
    rungs = (np.arange(CENTRES) + rng.random()) / CENTRES
    picked = np.searchsorted(np.cumsum(weight), rungs)
    mean = weight @ trial
    apart = trial - mean
    covariance = (apart * weight[:, None]).T @ apart
    floor = 1e-10 * np.diag(np.diag(covariance)) + 1e-14 * np.eye(len(mean))
    root = NARROWER * np.linalg.cholesky(covariance + floor)
    return _Cloud(trial[np.minimum(picked, len(trial) - 1)], root)
