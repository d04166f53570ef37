"""Defects: which variables go with an assessor naming one, by logistic regression.

A row is a wheel at an age with how many of its cards name the defect. The log odds are level +
effects + a make's own luck; the effects have a weak normal prior of fixed scale, which keeps them
finite where a defect was named in one half of the makes and never in the other. A make's luck is
averaged over a grid of its spread, each weighed by Laplace's approximation, so that five cards on
one bad make do not pass for five makes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.joint import Joint, prior_scale
from journal.findings.nested import Whole
from journal.findings.table import Floats

LATENT_SD = np.pi / np.sqrt(3)
"""Spread of the logistic law itself: an effect of so much is as large as chance."""
LUCK = (0.05, 0.2, 0.4, 0.7, 1.0, 1.4, 2.0, 2.8)
LUCK_SCALE = 1.0
LEVEL_SD = 5.0
ROUNDS = 60


@dataclass(frozen=True)
class _Point:
    mean: Floats
    covariance: Floats
    information: Floats
    log_weight: float


def fit_logistic(
    z: Floats,
    named: Floats,
    cards: Floats,
    make: Whole,
    members: Floats,
    tried: int,
    *,
    bend: Floats | None = None,
) -> Joint:
    """Fit how often a defect is named on standardised variables.

    Parameters
    ----------
    z : ndarray (rows, variables)
    named, cards : ndarray (rows,)
        Cards that name it, of so many.
    make : ndarray of int (rows,)
    members : ndarray (variables,)
    tried : int
    bend : ndarray (rows, bends), optional

    Returns
    -------
    Joint
        In log odds; `scatter` is the spread of a make's luck.
    """
    bend = np.empty((named.size, 0)) if bend is None else bend
    x = np.column_stack([np.ones(named.size), z, bend])
    scale = LATENT_SD * prior_scale(len(set(make.tolist())), tried)
    precision = np.concatenate(
        [[LEVEL_SD**-2], 1 / (members * scale**2), np.full(bend.shape[1], scale**-2)]
    )
    points = [_laplace(x, named, cards, make, precision, luck) for luck in LUCK]
    logs = np.array([p.log_weight - 0.5 * (u / LUCK_SCALE) ** 2 + np.log(u)
                     for p, u in zip(points, LUCK, strict=True)])  # fmt: skip
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    k = 1 + z.shape[1]
    likeliest = points[int(np.argmax(weights))]
    return Joint(
        means=np.array([p.mean for p in points]),
        covariances=np.array([p.covariance for p in points]),
        weights=weights,
        information=likeliest.information[:k, :k],
        scatter=float(weights @ np.array(LUCK)),
        scale=scale,
        bends=bend.shape[1],
        noise=np.array(LUCK),
    )


def _laplace(
    x: Floats, named: Floats, cards: Floats, make: Whole, precision: Floats, luck: float
) -> _Point:
    """The likeliest level, effects and luck of each make, and the normal about them."""
    makes = int(make.max()) + 1
    beta, own = np.zeros(x.shape[1]), np.zeros(makes)
    share = np.clip(named.sum() / cards.sum(), 0.01, 0.99)
    beta[0] = np.log(share / (1 - share))
    here = _log_density(x, named, cards, make, precision, luck, beta, own)
    for _ in range(ROUNDS):
        eta = x @ beta + own[make]
        p = 1 / (1 + np.exp(-eta))
        weight, off = cards * p * (1 - p), named - cards * p
        schur, across, d = _schur(x, weight, make, makes, precision, luck)
        of_beta = x.T @ off - precision * beta
        of_own = np.bincount(make, off, makes) - own / luck**2
        step = np.linalg.solve(schur, of_beta - across @ (of_own / d))
        step_own = (of_own - across.T @ step) / d
        size = 1.0
        while size > 1e-6:
            after = _log_density(
                x, named, cards, make, precision, luck, beta + size * step, own + size * step_own
            )
            if after >= here - 1e-12:
                break
            size /= 2
        beta, own = beta + size * step, own + size * step_own
        if abs(after - here) < 1e-10:
            break
        here = after
    eta = x @ beta + own[make]
    p = 1 / (1 + np.exp(-eta))
    schur, _, d = _schur(x, cards * p * (1 - p), make, makes, precision, luck)
    log_size = float(np.linalg.slogdet(schur)[1] + np.log(d).sum())
    log_weight = here - 0.5 * log_size - makes * np.log(luck) + 0.5 * float(np.log(precision).sum())
    covariance = np.asarray(np.linalg.inv(schur), dtype=float)
    return _Point(beta, covariance, schur - np.diag(precision), float(log_weight))


def _schur(
    x: Floats, weight: Floats, make: Whole, makes: int, precision: Floats, luck: float
) -> tuple[Floats, Floats, Floats]:
    """The curvature in level and effects with the makes' luck taken out, and its parts."""
    weighed = weight[:, None] * x
    d = np.asarray(np.bincount(make, weight, makes) + luck**-2, dtype=float)
    across = np.zeros((x.shape[1], makes))
    np.add.at(across.T, make, weighed)
    schur = x.T @ weighed + np.diag(precision) - (across / d) @ across.T
    return schur, across, d


def _log_density(
    x: Floats, named: Floats, cards: Floats, make: Whole, precision: Floats, luck: float,
    beta: Floats, own: Floats,
) -> float:  # fmt: skip
    eta = x @ beta + own[make]
    fit = float(named @ eta - cards @ np.logaddexp(0, eta))
    return fit - 0.5 * float(precision @ beta**2) - 0.5 * float(own @ own) / luck**2


def share_at(joint: Joint) -> float:
    """The share of cards that name it at the middle of all variables, 0 to 1."""
    return float(1 / (1 + np.exp(-joint.mean[0])))


def more_in_100(joint: Joint, log_odds: float) -> float:
    """How many more cards in 100 name it where the log odds move by so much from the middle."""
    middle = float(joint.mean[0])
    moved = 1 / (1 + np.exp(-(middle + log_odds)))
    return float(100 * (moved - share_at(joint)))
