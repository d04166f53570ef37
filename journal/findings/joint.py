"""All variables together: Bayesian linear regression with a weak prior of fixed scale.

The model of a score is level + sum of effects + make + wheel + rest, where make and wheel are
carried only when there are rows to tell them by, and each row adds its own known variance. The
effects' prior is normal about nought, its scale set beforehand (`prior_scale`) and never learnt:
a scale that is learnt shrinks the many small effects well and the few real ones too much. The
variances are not known either; the answer is averaged over a grid of them, each weighted by how
well it explains the scores, which gives the ranges the longer tails they need with few makes.

What rows share beside make and wheel (a sitting's mood, the panel's fitted levels) comes in as
columns of known size, and is averaged out of the answer.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from journal.findings.nested import Nest, Whole
from journal.findings.scatter_grid import around_the_likeliest, grid_of
from journal.findings.table import Floats

SMALLEST_SCALE = 0.3
LARGEST_SCALE = 1.0
MAKES_A_VARIABLE = 3.0
SCATTER_CENTRE = 0.7
SCATTER_SPREAD = 1.0
LUCK_SHARE = 0.9
"""Of the score's spread: what a make's luck is taken for as far as the makes cannot tell it."""
MANY_ROWS = 300
"""From so many rows on the scatters are known so well that the grid is laid about the likeliest."""


def prior_scale(makes: int, variables: int) -> float:
    """Return the prior's sd of an effect per sd of a variable, in spreads of the score.

    Together the effects cannot explain more than the score varies: with no more makes than
    variables each has 1/√variables of the spread (never under 0.3), which keeps the answer
    plausible where the scores alone could not give one. Every three makes beyond that count
    like one variable less, up to a whole spread, where the prior no longer weighs. The scale
    depends on how many makes and variables there are, never on how the scores fell.
    """
    spare = max(0, makes - variables - 1)
    scale = np.sqrt((1 + spare / MAKES_A_VARIABLE) / max(variables, 1))
    return float(np.clip(scale, SMALLEST_SCALE, LARGEST_SCALE))


def _nothing() -> Floats:
    return np.empty(0)


@dataclass(frozen=True)
class Joint:
    """What the scores say about level and effects, as a weighted mixture of normals.

    Parameters
    ----------
    means : ndarray (points, 1 + variables + bends)
        Level first, then effects per sd of each variable, then those of the bends, in points.
    covariances : ndarray (points, 1 + variables + bends, 1 + variables + bends)
    weights : ndarray (points,)
    information : ndarray (1 + variables, 1 + variables)
        What the rows alone told, at the likeliest scatter.
    scatter : float
        Sd of a make's mean about the model, in points, averaged.
    scale : float
        Prior sd of an effect of a single variable, in points.
    bends : int
        Columns beside the variables, such as the curve of age.
    noise : ndarray (points,)
        Sd of a make yet to come about the model, in points, for each of the mixture. With few
        makes for the variables the fit takes luck for effects, so it leans on the score's whole
        spread, the more the fewer makes there are.
    """

    means: Floats
    covariances: Floats
    weights: Floats
    information: Floats
    scatter: float
    scale: float
    bends: int = 0
    noise: Floats = field(default_factory=_nothing)

    @property
    def entries(self) -> int:
        """How many variables there are."""
        return int(self.means.shape[1]) - 1 - self.bends

    @property
    def mean(self) -> Floats:
        """Mean of level, effects and bends, shape (1 + variables + bends,)."""
        return self.weights @ self.means

    def chance_positive(self, of: Floats) -> Floats:
        """Return the chance that each combination (combinations, 1 + variables) is above 0."""
        from scipy.special import ndtr

        middle, sd = self._normals(of)
        return np.asarray(self.weights @ ndtr(middle / sd), dtype=float)

    @property
    def covariance(self) -> Floats:
        """Covariance of level, effects and bends over the whole mixture."""
        off = self.means - self.mean
        spread = np.einsum("g,gi,gj->ij", self.weights, off, off)
        return np.asarray(np.einsum("g,gij->ij", self.weights, self.covariances) + spread)

    def quantiles(self, of: Floats, chances: list[float], *, of_a_make: bool = False) -> Floats:
        """Return quantiles of combinations of level and effects.

        Parameters
        ----------
        of : ndarray (combinations, 1 + variables + bends)
        chances : list of float
        of_a_make : bool
            Of what a make will be, its own luck included, and not of what is expected of it.

        Returns
        -------
        ndarray (chances, combinations)
        """
        from scipy.special import ndtr

        middle, sd = self._normals(of)
        if of_a_make:
            sd = np.hypot(sd, self.noise[:, None])
        wanted = np.asarray(chances)[:, None]
        low = np.broadcast_to((middle - 9 * sd).min(axis=0), (len(chances), len(of)))
        high = np.broadcast_to((middle + 9 * sd).max(axis=0), low.shape)
        for _ in range(48):
            half = (low + high) / 2
            below = np.einsum(
                "g,gck->ck", self.weights, ndtr((half - middle[:, None]) / sd[:, None])
            )
            low, high = np.where(below < wanted, half, low), np.where(below < wanted, high, half)
        return np.asarray((low + high) / 2, dtype=float)

    def _normals(self, of: Floats) -> tuple[Floats, Floats]:
        middle = self.means @ of.T
        variance = np.einsum("ki,gij,kj->gk", of, self.covariances, of)
        return middle, np.sqrt(np.maximum(variance, 1e-300))


def fit_joint(
    z: Floats,
    y: Floats,
    y_se: Floats,
    make: Whole,
    wheel: Whole,
    members: Floats,
    tried: int,
    *,
    bend: Floats | None = None,
    shared: Floats | None = None,
) -> Joint:
    """Fit the scores on standardised variables.

    Parameters
    ----------
    z : ndarray (rows, variables)
        Columns of mean 0 and sd 1.
    y, y_se : ndarray (rows,)
        Scores and their standard errors in points; NaN counts as 0.
    make, wheel : ndarray of int (rows,)
    members : ndarray (variables,)
        How many variables that moved together stand behind each column; the prior variance of
        their common effect is the sum of theirs.
    tried : int
        Number of variables that varied, for the scale of the prior.
    bend : ndarray (rows, bends), optional
        Columns of sd 1 beside the variables, with the prior of one variable each.
    shared : ndarray (rows, m), optional
        What rows have in common: each column times a normal of sd 1. Its part of `y_se` is taken
        out of the rows' own variances.
    """
    shared = np.empty((y.size, 0)) if shared is None else np.nan_to_num(shared)
    bend = np.empty((y.size, 0)) if bend is None else bend
    se = np.where(np.isfinite(y_se), y_se, 0.0)
    own = np.sqrt(np.maximum(se**2 - (shared**2).sum(axis=1), 0.0))
    rows = _Rows.sorted(np.column_stack([z, bend, shared]), y, own, make, wheel)
    spread = float(y.std(ddof=1))
    scale = spread * prior_scale(len(set(make.tolist())), tried)
    of_bend, of_shared = np.full(bend.shape[1], scale**-2), np.ones(shared.shape[1])
    precision = np.concatenate([[0.0], 1 / (members * scale**2), of_bend, of_shared])
    levels = rows.levels()
    centre = SCATTER_CENTRE / np.sqrt(len(levels))
    kept = 1 + z.shape[1] + bend.shape[1]

    def weigh(point: tuple[float, ...]) -> tuple[float, _Normal]:
        scatter = dict(zip(levels, (spread * u for u in point), strict=True))
        normal = rows.normal(scatter, precision, kept, bend.shape[1])
        off = sum((np.log(u / centre) / SCATTER_SPREAD) ** 2 for u in point)
        return normal.log_weight - 0.5 * float(off), normal

    many = len(levels) > 1 and y.size >= MANY_ROWS
    found = around_the_likeliest(weigh, len(levels)) if many else grid_of(weigh, len(levels))
    makes = len(set(make.tolist()))
    sure = makes / (makes + tried / 2)
    return _mixture(found, scale, bend.shape[1], sure, LUCK_SHARE * spread)


@dataclass(frozen=True)
class _Normal:
    mean: Floats
    covariance: Floats
    information: Floats
    log_weight: float
    scatter: float


@dataclass(frozen=True)
class _Rows:
    """Rows sorted by wheel within make: level, columns and score as columns of one array."""

    table: Floats
    variance: Floats
    nest: Nest

    @classmethod
    def sorted(cls, z: Floats, y: Floats, se: Floats, make: Whole, wheel: Whole) -> _Rows:
        nest = Nest.of(make, wheel)
        table = np.column_stack([np.ones(y.size), z, y - y.mean()])[nest.order]
        return cls(table, (se**2)[nest.order], nest)

    def levels(self) -> list[str]:
        """Name the scatters that can be told apart: always the rest, make and wheel if rows do."""
        return self.nest.levels()

    def normal(
        self, scatter: dict[str, float], precision: Floats, kept: int | None = None, bends: int = 0
    ) -> _Normal:
        """Solve for level and effects, the scatters given; columns beyond `kept` are averaged out.

        The last `bends` of the kept are averaged out of the information alone.
        """
        gram, log_size, noise = self._weighed(scatter)
        k = precision.size
        kept = k if kept is None else kept
        whole = gram[:k, :k] + np.diag(precision)
        root = np.linalg.cholesky(whole)
        covariance = np.asarray(np.linalg.inv(whole), dtype=float)
        mean = covariance @ gram[:k, k]
        log_size += 2 * float(np.log(np.diag(root)).sum())
        unexplained = gram[k, k] - mean @ gram[:k, k]
        return _Normal(
            mean[:kept],
            covariance[:kept, :kept],
            _without(gram[:k, :k], precision, kept - bends),
            -0.5 * (log_size + unexplained),
            noise,
        )

    def _weighed(self, scatter: dict[str, float]) -> tuple[Floats, float, float]:
        """Return table' V⁻¹ table, log|V| and the sd of a make, V nested: rest, wheel, make."""
        make2, wheel2 = scatter.get("make", 0.0) ** 2, scatter.get("wheel", 0.0) ** 2
        own = scatter["rest"] ** 2 + self.variance
        gram, log_size, s_make = self.nest.weigh(self.table, own, make2, wheel2)
        return gram, log_size, float(np.sqrt(np.mean(make2 + 1 / s_make)))


def _without(information: Floats, precision: Floats, kept: int) -> Floats:
    """Average the columns beyond `kept` out of an information matrix."""
    if kept == len(information):
        return information
    across = information[:kept, kept:]
    beyond = information[kept:, kept:] + np.diag(precision[kept:])
    return np.asarray(information[:kept, :kept] - across @ np.linalg.solve(beyond, across.T))


def _mixture(
    found: list[tuple[float, _Normal]], scale: float, bends: int, sure: float, luck: float
) -> Joint:
    logs = np.array([f[0] for f in found])
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    kept = np.flatnonzero(weights > 1e-6)
    share = weights[kept] / weights[kept].sum()
    normals = [found[i][1] for i in kept]
    likeliest = normals[int(np.argmax(share))]
    return Joint(
        means=np.array([n.mean for n in normals]),
        covariances=np.array([n.covariance for n in normals]),
        weights=share,
        information=likeliest.information,
        scatter=float(share @ np.array([n.scatter for n in normals])),
        scale=scale,
        bends=bends,
        noise=np.sqrt([sure * n.scatter**2 + (1 - sure) * luck**2 for n in normals]),
    )
