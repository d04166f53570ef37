"""The rows of a joint model: level, columns and score, weighed by what each is worth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.many_columns import Columns, lean
from journal.findings.nested import IntArray, Nest
from journal.findings.table import Floats


@dataclass(frozen=True)
class Normal:
    """Level and effects as a normal, the scatters given.

    Parameters
    ----------
    mean : ndarray (k,)
    covariance, information : ndarray (k, k)
    log_weight : float
        How well the scatters explain the scores, up to what all have in common.
    scatter : float
        Sd of a make's mean about the model, in points.
    """

    mean: Floats
    covariance: Floats
    information: Floats
    log_weight: float
    scatter: float


def covariance_of(weights: Floats, means: Floats, covariances: Floats) -> Floats:
    """The covariance (k, k) of a whole mixture of normals."""
    off = means - weights @ means
    spread = np.einsum("g,gi,gj->ij", weights, off, off)
    return np.asarray(np.einsum("g,gij->ij", weights, covariances) + spread)


@dataclass(frozen=True)
class ScoreRows:
    """Rows sorted by wheel within make: level, columns and score as columns of one array.

    Parameters
    ----------
    table : ndarray (rows, 1 + columns + 1)
    variance : ndarray (rows,)
        Of each score by itself.
    nest : Nest
    filled : ndarray (makes,)
        Variance a make's score has from values that were filled in, its makes ascending.
    shared : columns (rows, m), optional
        What rows have in common: each times a normal of sd 1 is averaged out.
    """

    table: Floats
    variance: Floats
    nest: Nest
    filled: Floats
    shared: Columns | None = None

    @classmethod
    def sorted(
        cls,
        z: Floats,
        y: Floats,
        se: Floats,
        make: IntArray,
        wheel: IntArray,
        filled: Floats | None = None,
        shared: Columns | None = None,
    ) -> ScoreRows:
        """Sort rows given in any order; `filled` is (makes,), `shared` (rows, m)."""
        nest = Nest.of(make, wheel)
        table = np.column_stack([np.ones(y.size), z, y - y.mean()])[nest.order]
        none = np.zeros(nest.make_starts.size)
        common = None if shared is None else lean(shared[nest.order])
        return cls(table, (se**2)[nest.order], nest, none if filled is None else filled, common)

    def levels(self) -> list[str]:
        """Name the scatters that can be told apart: always the rest, make and wheel if rows do."""
        return self.nest.levels()

    def normal(
        self, scatter: dict[str, float], precision: Floats, kept: int | None = None, bends: int = 0
    ) -> Normal:
        """Solve for level and effects, the scatters given; columns beyond `kept` are averaged out.

        The last `bends` of the kept are averaged out of the information alone.
        """
        return solved(*self.weighed(scatter), precision, kept, bends)

    def weighed(self, scatter: dict[str, float]) -> tuple[Floats, float, float]:
        """Return table' V⁻¹ table, log|V| and the sd of a make, V nested: rest, wheel, make; and
        what rows share."""
        make2, wheel2 = scatter.get("make", 0.0) ** 2, scatter.get("wheel", 0.0) ** 2
        own, of_make = scatter["rest"] ** 2 + self.variance, make2 + self.filled
        gram, log_size, s_make = self.nest.weigh(self.table, own, of_make, wheel2, self.shared)
        return gram, log_size, float(np.sqrt(np.mean(make2 + 1 / s_make)))


def solved(
    gram: Floats,
    log_size: float,
    scatter: float,
    precision: Floats,
    kept: int | None = None,
    bends: int = 0,
) -> Normal:
    """Solve weighed rows for level and effects, their prior precision (columns,) given."""
    k = precision.size
    kept = k if kept is None else kept
    whole = gram[:k, :k] + np.diag(precision)
    root = np.linalg.cholesky(whole)
    covariance = np.asarray(np.linalg.inv(whole), dtype=float)
    mean = covariance @ gram[:k, k]
    log_size += 2 * float(np.log(np.diag(root)).sum())
    unexplained = gram[k, k] - mean @ gram[:k, k]
    return Normal(
        mean[:kept],
        covariance[:kept, :kept],
        _without(gram[:k, :k], precision, kept - bends),
        -0.5 * (log_size + unexplained),
        scatter,
    )


def _without(information: Floats, precision: Floats, kept: int) -> Floats:
    """Average the columns beyond `kept` out of an information matrix."""
    if kept == len(information):
        return information
    across = information[:kept, kept:]
    beyond = information[kept:, kept:] + np.diag(precision[kept:])
    return np.asarray(information[:kept, :kept] - across @ np.linalg.solve(beyond, across.T))
