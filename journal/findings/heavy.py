"""Few makes: a heavy-tailed prior for what a typical change does.

Up to twenty makes an effect per typical change is thought to come from Student's t of four degrees
of freedom and a scale of half a point: most changes do little, now and then one does much. Six
makes of a dozen variables say next to nothing, so that there the ranges are the prior's: of all
variables most do nothing, and the scale is three tenths, growing to the half point at twelve. From
twenty to thirty makes it gives way to the weak prior per sd of the column (`joint.py`), which holds
more of the real effects once there are makes enough.

A t is a normal whose variance is drawn from an inverse gamma, so that level and effects are normal
again for every drawn set of variances: variances, scatters and effects are drawn in turn (Gibbs),
and the normals met on the way are the answer's mixture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from journal.findings.joint import Joint, JointData, fit_given
from journal.findings.scales import entered_step
from journal.findings.table import Floats, ScoreTable
from journal.findings.together import ModelEntry

DEGREES = 4.0
A_CHANGE, AT_FEWEST = 0.5, 0.3
"""Points a typical change is worth with twelve makes or more, and with six or fewer. A foreign
table has neither points nor typical changes: there the weak prior stands alone."""
FEWEST, SOME = 6, 12
WHOLE, NONE = 20, 30
"""Up to so many makes it alone counts; from so many on not at all."""
SWEEPS, THROWN = 260, 20
HARDLY = 1e-4


def weight_of(makes: int) -> float:
    """How much the heavy-tailed prior counts with so many makes, 1 to 0."""
    return float(np.clip((NONE - makes) / (NONE - WHOLE), 0.0, 1.0))


def worth_of_a_change(makes: int) -> float:
    """The prior's scale of a typical change with so many makes, in points."""
    return float(np.interp(makes, [FEWEST, SOME], [AT_FEWEST, A_CHANGE]))


def scales_of(table: ScoreTable, entries: Sequence[ModelEntry], sd: Floats) -> Floats | None:
    """The prior's scale of each entry (entries,), in points per sd of it; None where a column has
    no typical change. `sd` (variables,) is each variable's on the scale it enters by."""
    if any(variable.step is None for variable in table.variables):
        return None
    changes = np.array([sds_a_change(table, j, float(sd[j])) for j in range(sd.size)])
    scale2 = (worth_of_a_change(table.makes) / changes) ** 2
    sums = [float(scale2[list(entry.members)].sum()) for entry in entries]
    return np.asarray(np.sqrt(sums), dtype=float)


def sds_a_change(table: ScoreTable, j: int, sd: float) -> float:
    """How many sds of column `j` a typical change goes; infinitely many where it never varied."""
    variable = table.variables[j]
    if sd <= 0:
        return float("inf")
    moves = 0.0
    if variable.step is not None:
        moves = abs(entered_step(table.x[:, j], variable.scale, variable.step))
    return moves / sd if moves > 0 else 1.0


def fit_faded(given: JointData, scales: Floats | None) -> Joint:
    """Level and effects by both priors, each counting by how many makes there are."""
    share = 0.0 if scales is None else weight_of(given.makes)
    if scales is None or share <= 0:
        return fit_given(given)
    heavy = fit_heavy(given, scales)
    if share >= 1:
        return heavy
    plain = fit_given(given)
    return replace(
        plain,
        means=np.concatenate([heavy.means, plain.means]),
        covariances=np.concatenate([heavy.covariances, plain.covariances]),
        weights=np.concatenate([share * heavy.weights, (1 - share) * plain.weights]),
        scatter=share * heavy.scatter + (1 - share) * plain.scatter,
        noise=np.concatenate([heavy.noise, plain.noise]),
    )


def fit_heavy(given: JointData, scales: Floats) -> Joint:
    """Level and effects, each effect's prior a t of its own scale (entries,)."""
    points, logs, grams, noise = _scatters(given)
    own = np.arange(1, 1 + given.members.size)
    precision = given.precision(given.scale)
    rng = np.random.default_rng([given.scores, given.members.size, SWEEPS])
    k = precision.size
    variance = scales**2
    met = []
    for sweep in range(SWEEPS + THROWN):
        precision[own] = 1 / variance
        whole = grams[:, :k, :k] + precision[None, :, None] * np.eye(k)
        root = np.linalg.cholesky(whole)
        half = np.linalg.solve(root, grams[:, :k, k, None])[:, :, 0]
        log = logs - np.log(np.diagonal(root, axis1=1, axis2=2)).sum(axis=1)
        log += 0.5 * (half**2).sum(axis=1)
        chance = np.exp(log - log.max())
        at = int(rng.choice(len(points), p=chance / chance.sum()))
        if sweep >= THROWN:
            met.append((at, precision.copy()))
        drawn = np.linalg.solve(root[at].T, half[at] + rng.normal(size=k))[own]
        rate = (DEGREES * scales**2 + drawn**2) / 2
        variance = rate / rng.gamma((DEGREES + 1) / 2, size=own.size)
    return _joined(given, met, grams, noise)


def _scatters(given: JointData) -> tuple[list[tuple[float, ...]], Floats, Floats, Floats]:
    """The scatters that count, by the weak prior: where, log weights, weighed rows, a make's sd."""
    precision = np.diag(given.precision(given.scale))
    k = len(precision)

    def weigh(point: tuple[float, ...]) -> tuple[float, tuple[object, ...]]:
        gram, size, a_make = given.rows.weighed(given.scatters(point))
        whole = gram[:k, :k] + precision
        mean = np.linalg.solve(whole, gram[:k, k])
        before = given.likely(np.array(point)) - 0.5 * (size + gram[k, k])
        evidence = before - 0.5 * float(np.linalg.slogdet(whole)[1] - gram[:k, k] @ mean)
        return evidence, (point, before, gram, a_make)

    found = given.over_scatters(weigh)
    best = max(log for log, _ in found)
    kept = [one for log, one in found if log > best + np.log(HARDLY)]
    points, before, grams, noise = zip(*kept, strict=True)
    return list(points), np.array(before), np.array(grams), np.array(noise)


def _joined(given: JointData, met: list[tuple[int, Floats]], grams: Floats, noise: Floats) -> Joint:
    """The normals met on the way as one mixture."""
    at = np.array([index for index, _ in met])
    precision = np.array([one for _, one in met])
    k, kept = precision.shape[1], given.kept
    whole = grams[at][:, :k, :k] + precision[:, :, None] * np.eye(k)
    covariance = np.linalg.inv(whole)
    mean = np.einsum("gij,gj->gi", covariance, grams[at][:, :k, k])
    plain = fit_given(given)
    return replace(
        plain,
        means=mean[:, :kept],
        covariances=covariance[:, :kept, :kept],
        weights=np.full(len(met), 1 / len(met)),
        scatter=float(noise[at].mean()),
        noise=noise[at],
    )
