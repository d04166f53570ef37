"""All variables together: Bayesian linear regression with a weak prior of fixed scale.

The model of a score is level + sum of effects + make + wheel + rest, where make and wheel are
carried only when there are rows to tell them by, and each row adds its own known variance. The
effects' prior is normal about zero, its scale set beforehand (`prior_scale`) and never learnt:
a scale that is learnt shrinks the many small effects well and the few real ones too much. The
variances are not known either; the answer is averaged over a grid of them, each weighted by how
well it explains the scores, which gives the ranges the longer tails they need with few makes.

What rows share beside make and wheel (a session's mood, the panel's fitted levels) comes in as
columns of known size, and is averaged out before the effects are looked at (`nested.py`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from journal.findings.many_columns import Columns, is_sparse, squared
from journal.findings.nested import IntArray
from journal.findings.rows import Normal, ScoreRows, covariance_of
from journal.findings.scatter_grid import Weigh, Weighed, around_the_likeliest, grid_of
from journal.findings.table import Floats

SMALLEST_SCALE = 0.3
LARGEST_SCALE = 1.0
MAKES_A_VARIABLE = 3.0
SCATTER_CENTRE = 0.7
SCATTER_SPREAD = 1.0
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
        Sd of a make yet to come about the model, in points, for each of the mixture.
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
        return covariance_of(self.weights, self.means, self.covariances)

    def second_moment(self) -> Floats:
        """The mean of effect times effect, shape (variables, variables)."""
        k = self.entries
        mean = self.mean[1 : 1 + k]
        return np.asarray(self.covariance[1 : 1 + k, 1 : 1 + k] + np.outer(mean, mean))

    def quantiles(
        self, of: Floats, chances: list[float], *, of_a_make: bool = False, beside: float = 0.0
    ) -> Floats:
        """Return quantiles of combinations of level and effects.

        Parameters
        ----------
        of : ndarray (combinations, 1 + variables + bends)
        chances : list of float
        of_a_make : bool
            Of what a make will be, its own random effect included, and not of what is expected of
            it.
        beside : float
            Sd of what else is not known, in points.

        Returns
        -------
        ndarray (chances, combinations)
        """
        from scipy.special import ndtr

        middle, sd = self._normals(of)
        if of_a_make:
            sd = np.hypot(sd, self.noise[:, None])
        sd = np.hypot(sd, beside)
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

    def draws(self, of: Floats, count: int = 4000) -> tuple[Floats, Floats]:
        """Draw combinations of level and effects, and how large a make's random effect is beside
        each.

        Parameters
        ----------
        of : ndarray (combinations, 1 + variables + bends)
        count : int

        Returns
        -------
        values : ndarray (count, combinations)
        random effect : ndarray (count,)
            Sd of a make's random effect.
        """
        rng = np.random.default_rng([count, len(of)])
        middle = self.means @ of.T
        covariance = np.einsum("ki,gij,lj->gkl", of, self.covariances, of)
        size, turn = np.linalg.eigh(covariance)
        root = turn * np.sqrt(np.maximum(size, 0.0))[:, None, :]
        share = (np.arange(count) + 0.5) / count
        point = np.minimum(np.searchsorted(np.cumsum(self.weights), share), self.weights.size - 1)
        normal = rng.normal(size=(count, len(of)))
        values = middle[point] + np.einsum("nkl,nl->nk", root[point], normal)
        return values, self.noise[point]

    def _normals(self, of: Floats) -> tuple[Floats, Floats]:
        middle = self.means @ of.T
        variance = np.einsum("ki,gij,kj->gk", of, self.covariances, of)
        return middle, np.sqrt(np.maximum(variance, 1e-300))


def fit_joint(
    z: Floats,
    y: Floats,
    y_se: Floats,
    make: IntArray,
    wheel: IntArray,
    members: Floats,
    tried: int,
    *,
    bend: Floats | None = None,
    shared: Columns | None = None,
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
    shared : columns (rows, m), optional
        What rows have in common: each column times a normal of sd 1. Its part of `y_se` is taken
        out of the rows' own variances.
    """
    given = JointData.of(z, y, y_se, make, wheel, members, tried, bend=bend, shared=shared)
    return fit_given(given)


@dataclass(frozen=True)
class JointData:
    """Rows and priors of a joint model, as `fit_joint` takes them.

    Parameters
    ----------
    rows : ScoreRows
    scores : int
        How many rows there are.
    spread : float
        Sd of the scores.
    members : ndarray (variables,)
    tried : int
    bends : int
        Columns after those of the variables.
    make : ndarray of int (scores,)
    """

    rows: ScoreRows
    scores: int
    spread: float
    members: Floats
    tried: int
    bends: int
    make: IntArray

    @classmethod
    def of(
        cls,
        z: Floats,
        y: Floats,
        y_se: Floats,
        make: IntArray,
        wheel: IntArray,
        members: Floats,
        tried: int,
        *,
        bend: Floats | None = None,
        shared: Columns | None = None,
    ) -> JointData:
        """Lay the rows out; see `fit_joint`."""
        if shared is None or not is_sparse(shared):
            shared = np.empty((y.size, 0)) if shared is None else np.nan_to_num(shared)
        bend = np.empty((y.size, 0)) if bend is None else bend
        se = np.where(np.isfinite(y_se), y_se, 0.0)
        own = np.sqrt(np.maximum(se**2 - squared(shared), 0.0))
        rows = ScoreRows.sorted(np.column_stack([z, bend]), y, own, make, wheel, shared=shared)
        return cls(rows, y.size, float(y.std(ddof=1)), members, tried, bend.shape[1], make)

    @property
    def makes(self) -> int:
        """How many makes there are."""
        return int(self.rows.nest.make_starts.size)

    @cached_property
    def scale(self) -> float:
        """Prior sd of a single variable's effect, in points."""
        return self.spread * prior_scale(self.makes, self.tried)

    @property
    def kept(self) -> int:
        """Level, variables and bends: what is asked for."""
        return 1 + self.members.size + self.bends

    def precision(self, scale: float) -> Floats:
        """The prior precision of every column, a single variable's effect of sd `scale`."""
        bends = np.full(self.bends, self.scale**-2)
        return np.concatenate([[0.0], 1 / (self.members * scale**2), bends])

    def scatters(self, point: tuple[float, ...]) -> dict[str, float]:
        """The scatters by name, in points, of a point in spreads of the score."""
        return {name: self.spread * u for name, u in zip(self.rows.levels(), point, strict=True)}

    def likely(
        self, point: Floats, left: float = SCATTER_CENTRE, within: float = SCATTER_SPREAD
    ) -> float:
        """What a point weighs beforehand where about `left` of the spread is left to all scatters,
        give or take a factor of e to the power of `within`."""
        off = np.log(point * np.sqrt(point.size) / left) / within
        return -0.5 * float(off @ off)

    def over_scatters(self, weigh: Weigh[Weighed]) -> list[tuple[float, Weighed]]:
        """Weigh the scatters there may be, where they count."""
        axes = len(self.rows.levels())
        many = axes > 1 and self.scores >= MANY_ROWS
        return around_the_likeliest(weigh, axes) if many else grid_of(weigh, axes)


def fit_given(given: JointData) -> Joint:
    """Fit level and effects with the prior's scale fixed."""
    precision = given.precision(given.scale)

    def weigh(point: tuple[float, ...]) -> tuple[float, Normal]:
        scatter = given.scatters(point)
        normal = given.rows.normal(scatter, precision, given.kept, given.bends)
        return normal.log_weight + given.likely(np.array(point)), normal

    return _mixture(given.over_scatters(weigh), given.scale, given.bends)


def _mixture(found: list[tuple[float, Normal]], scale: float, bends: int) -> Joint:
    """Join normals by their log weights; those that hardly count are left out."""
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
        noise=np.array([n.scatter for n in normals]),
    )
