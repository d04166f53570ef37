"""Defects: which variables go with an assessor naming one, by logistic regression.

A row is a wheel at an age with how many of its samples name the defect. The log odds are level +
effects + a make's own random effect; the effects have a weak normal prior of fixed scale, which
keeps them finite where a defect was named in one half of the makes and never in the other. A
make's random effect is averaged out (`logistic.py`) over a grid of its spread, each weighed by how
well it explains the samples, so that five samples on one bad make do not pass for five makes.
"""

from __future__ import annotations

import numpy as np

from journal.findings.joint import Joint, prior_scale
from journal.findings.logistic import BinaryTrials, Point, averaged
from journal.findings.missing import Gaps
from journal.findings.nested import IntArray
from journal.findings.table import Floats

LATENT_SD = np.pi / np.sqrt(3)
"""Spread of the logistic law itself: an effect of so much is as large as chance."""
MAKE_SDS = (0.05, 0.2, 0.4, 0.7, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6)
SD_SCALE, SD_TAIL = 0.7, 3.0
"""Beforehand a make's random effect is small, as half of Student's t has it: its tail of so few
degrees of freedom lets one bad make be one."""
LEVEL_SD = 5.0
QUADRATURE_POINTS = 15


def fit_logistic(
    z: Floats,
    named: Floats,
    samples: Floats,
    make: IntArray,
    members: Floats,
    tried: int,
    *,
    bend: Floats | None = None,
    gaps: Gaps | None = None,
) -> Joint:
    """Fit how often a defect is named on standardised variables.

    Parameters
    ----------
    z : ndarray (rows, variables)
    named, samples : ndarray (rows,)
        Cards that name it, of so many.
    make : ndarray of int (rows,)
    members : ndarray (variables,)
    tried : int
    bend : ndarray (rows, bends), optional
    gaps : Gaps, optional
        What is not known of values that were filled in: it adds to the random effect of their
        makes.

    Returns
    -------
    Joint
        In log odds; `scatter` is the spread of a make's random effect.
    """
    bend = np.empty((named.size, 0)) if bend is None else bend
    x = np.column_stack([np.ones(named.size), z, bend])
    scale = LATENT_SD * prior_scale(len(set(make.tolist())), tried)
    precision = np.concatenate(
        [[LEVEL_SD**-2], 1 / (members * scale**2), np.full(bend.shape[1], scale**-2)]
    )
    rows = BinaryTrials.sorted(x, named, samples, make)
    points = [averaged(rows, precision, random_effect) for random_effect in MAKE_SDS]
    if gaps is not None:
        first = _mixture(points, z.shape[1], scale, bend.shape[1])
        filled = gaps.of_makes(first.second_moment(), make)
        points = [averaged(rows, precision, random_effect, filled) for random_effect in MAKE_SDS]
    return _mixture(points, z.shape[1], scale, bend.shape[1])


def _mixture(points: list[Point], variables: int, scale: float, bends: int) -> Joint:
    random_effect = np.array(MAKE_SDS)
    before = (1 + SD_TAIL) / 2 * np.log1p((random_effect / SD_SCALE) ** 2 / SD_TAIL)
    logs = np.array([p.log_weight for p in points]) - before
    weights = np.exp(logs - logs.max()) * np.gradient(random_effect)
    weights /= weights.sum()
    k = 1 + variables
    likeliest = points[int(np.argmax(weights))]
    return Joint(
        means=np.array([p.mean for p in points]),
        covariances=np.array([p.covariance for p in points]),
        weights=weights,
        information=likeliest.information[:k, :k],
        scatter=float(weights @ random_effect),
        scale=scale,
        bends=bends,
        noise=random_effect,
    )


def samples_in_100(log_odds: Floats) -> Floats:
    """How many samples of 100 name it at such log odds."""
    from scipy.special import expit

    return np.asarray(100 * expit(log_odds), dtype=float)


def over_makes(log_odds: Floats, random_effect: Floats) -> Floats:
    """How many samples of 100 name it over all makes of such log odds (n, ...), their random effect
    of sd `random_effect` (n,) averaged out."""
    at, weight = np.polynomial.hermite_e.hermegauss(QUADRATURE_POINTS)
    size = random_effect.reshape((-1,) + (1,) * (log_odds.ndim - 1))
    parts = [w * samples_in_100(log_odds + size * u) for u, w in zip(at, weight, strict=True)]
    return np.asarray(np.sum(parts, axis=0) / weight.sum(), dtype=float)


def share_at(joint: Joint) -> float:
    """The share of samples that name it at the middle of all variables, 0 to 1, over such makes."""
    return float(_over(joint, 0.0)) / 100


def more_in_100(joint: Joint, log_odds: float) -> float:
    """How many more samples in 100 name it where the log odds move by so much from the middle, over
    such makes: the random effect of each averaged out, as where a make is predicted."""
    return _over(joint, log_odds) - _over(joint, 0.0)


def _over(joint: Joint, log_odds: float) -> float:
    middle = np.array([joint.mean[0] + log_odds])
    return float(over_makes(middle, np.array([joint.scatter]))[0])
