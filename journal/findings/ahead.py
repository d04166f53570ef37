"""A make yet to come: the same regression, but with how much the variables matter averaged over.

For the ranges of effects the prior's scale is fixed (`joint.py`): a scale that is learnt shrinks
the few real effects too much. What a make will be is another question. There the sum of all
effects counts, and its share of the score's spread has to be weighed: with a fixed scale a few
makes of pure noise are taken for effects, and the make's random effect for too little. So here the
share of the spread that all variables together explain is not known beforehand, with a density of
2 (1 - share): little is explained sooner than nearly all; the scatters take what is left. Each
share is weighed by how well it explains the scores, together with the scatters. The proof's
tables of next makes show that these ranges hold, in noise too.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from journal.findings.joint import Joint, JointData
from journal.findings.missing import Gaps
from journal.findings.table import Floats

SHARES = 7
"""Shares looked at: the points of Gauss and Legendre between zero and one."""
WITHIN = 2.0
"""How loosely scatters are held to what is left: with six makes a closer hold costs two in 100."""
FEW = 3.0
"""The random effect is taken for larger by so many parts of the makes squared: 8 % with six makes,
2 % with twelve. Found by simulation, no source: the model's own scales are read from the same
few scores."""
HARDLY = 1e-6


@dataclass(frozen=True)
class _Shares:
    """Level and effects at one point of the scatters, for every share: first axis (shares,).
    `whole` is the precision of all columns; it is inverted only where a point counts."""

    log_weight: Floats
    mean: Floats
    whole: Floats
    scatter: float


def fit_ahead(given: JointData) -> Joint:
    """Fit level and effects to predict makes.

    Parameters
    ----------
    given : JointData
        As the joint model is fitted on.
    """
    shares, before = _shares()
    alone, single = given.precision(1.0), slice(1, 1 + given.members.size)
    precision = np.tile(alone, (SHARES, 1))
    of_prior = np.log(alone[single]).sum()

    def weigh(point: tuple[float, ...]) -> tuple[float, _Shares]:
        scatter, at = given.scatters(point), np.array(point)
        a_make = float(np.sqrt(sum(sd**2 for sd in scatter.values())))
        scale2 = a_make**2 * shares / (1 - shares) / max(given.tried, 1)
        precision[:, single] = alone[single] / scale2[:, None]
        log = before + 0.5 * (of_prior - given.members.size * np.log(scale2))
        log += [given.likely(at, left, WITHIN) for left in np.sqrt(1 - shares)]
        found = _solved(*given.rows.weighed(scatter), precision, log)
        return float(np.logaddexp.reduce(found.log_weight)), found

    found = [one for _, one in given.over_scatters(weigh)]
    logs = np.concatenate([one.log_weight for one in found])
    kept = logs > logs.max() + np.log(HARDLY)
    weights = np.exp(logs[kept] - logs.max())
    covariances = np.linalg.inv(np.concatenate([one.whole for one in found])[kept])
    return Joint(
        means=np.concatenate([one.mean for one in found])[kept][:, : given.kept],
        covariances=covariances[:, : given.kept, : given.kept],
        weights=weights / weights.sum(),
        information=np.zeros((single.stop, single.stop)),  # nobody asks: nothing is told of effects
        scatter=float(weights @ _each(found)[kept] / weights.sum()),
        scale=given.scale,
        bends=given.bends,
        noise=_each(found)[kept] * (1 + FEW / given.makes**2),
    )


def less_sure(given: JointData, gaps: Gaps | None) -> JointData:
    """Let the rows of makes with filled values weigh less, by what the effects would make of it.

    Which effects, is asked of `fit_ahead`: with a fixed scale many gaps and few makes would put
    down to the gaps what is a make's random effect, and the next make's would be taken for too
    little.
    """
    if gaps is None:
        return given
    filled = gaps.of_makes(fit_ahead(given).second_moment(), given.make)
    return replace(given, rows=replace(given.rows, filled=filled))


def _each(found: list[_Shares]) -> Floats:
    """The scatter of every share of every point."""
    return np.repeat([one.scatter for one in found], SHARES)


def _shares() -> tuple[Floats, Floats]:
    """Shares of the spread that the variables may explain, and their log weights beforehand."""
    at, weight = np.polynomial.legendre.leggauss(SHARES)
    share = (1 + at) / 2
    return share, np.log(weight * (1 - share))


def _solved(
    gram: Floats, log_size: float, scatter: float, precision: Floats, log: Floats
) -> _Shares:
    """Solve weighed rows for level and effects at every prior precision (shares, columns)."""
    k = precision.shape[1]
    whole = gram[:k, :k] + precision[:, :, None] * np.eye(k)
    root = np.linalg.cholesky(whole)
    mean = np.linalg.solve(whole, gram[:k, k, None])[:, :, 0]
    size = log_size + 2 * np.log(np.diagonal(root, axis1=1, axis2=2)).sum(axis=1)
    unexplained = gram[k, k] - mean @ gram[:k, k]
    return _Shares(
        np.asarray(log - 0.5 * (size + unexplained)), np.asarray(mean, dtype=float), whole, scatter
    )
