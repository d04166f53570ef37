"""Ordinary least squares, the plain answer that stands beside the journal's own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from journal.findings.error import FindingError
from journal.findings.table import Floats


@dataclass(frozen=True)
class LeastSquares:
    """A least-squares fit with an intercept.

    Parameters
    ----------
    intercept, intercept_se : float
    coef, se : ndarray (variables,)
        Per unit of the variable.
    partial_r : ndarray (variables,)
        Correlation with the score, the other variables held.
    r2, r2_left_one_out : float
        Share of the score's variance explained, and the same when each make is predicted from
        the others; the latter is NaN where a make cannot be left out.
    residual_sd, f : float
    df : int
        Degrees of freedom of the residual.
    """

    intercept: float
    intercept_se: float
    coef: Floats
    se: Floats
    partial_r: Floats
    r2: float
    r2_left_one_out: float
    residual_sd: float
    f: float
    df: int

    def p(self) -> Floats:
        """Return the two-sided p of each coefficient by Student's t."""
        from scipy.special import stdtr

        return np.asarray(2 * stdtr(self.df, -np.abs(self.coef / self.se)), dtype=float)


def least_squares(x: Floats, y: Floats, make: NDArray[np.intp] | None = None) -> LeastSquares:
    """Fit y on the columns of x by least squares, with an intercept.

    Columns are centred and scaled first, and solved by orthogonal factors, so badly scaled
    columns keep their digits.

    Parameters
    ----------
    x : ndarray (rows, variables)
    y : ndarray (rows,)
    make : ndarray of int (rows,), optional
        Rows of one make are left out together; by default each row is a make.

    Raises
    ------
    FindingError
        When the rows are too few for the variables, or variables cannot be told apart.
    """
    rows, k = x.shape
    df = rows - k - 1
    middle, size = x.mean(axis=0), np.sqrt(((x - x.mean(axis=0)) ** 2).sum(axis=0))
    if df < 1:
        raise FindingError("findings.too-few-rows", rows=rows, variables=k)
    z = (x - middle) / np.where(size > 0, size, 1.0)
    if np.linalg.matrix_rank(z) < k:
        raise FindingError("findings.variables-alike")
    q, r = np.linalg.qr(z)
    centred = y - y.mean()
    solved = np.linalg.solve(r, q.T @ centred)
    residual = centred - z @ solved
    residual -= residual.mean()
    rss, total = float(residual @ residual), float(centred @ centred)
    sd = float(np.sqrt(rss / df))
    inverse = np.linalg.inv(r)
    coef, se = solved / size, sd * np.sqrt((inverse**2).sum(axis=1)) / size
    slant = (middle / size) @ inverse
    return LeastSquares(
        intercept=float(y.mean() - middle @ coef),
        intercept_se=sd * float(np.sqrt(1 / rows + slant @ slant)),
        coef=coef,
        se=se,
        partial_r=_partial_r(coef, se, df),
        r2=1 - rss / total if total > 0 else float("nan"),
        r2_left_one_out=_left_one_out(q, residual, y, make),
        residual_sd=sd,
        f=(total - rss) / k / (rss / df) if k and rss > 0 else float("nan"),
        df=df,
    )


def _partial_r(coef: Floats, se: Floats, df: int) -> Floats:
    size = np.sqrt(coef**2 + df * se**2)
    return np.asarray(np.where(size > 0, coef / np.where(size > 0, size, 1.0), np.nan))


def _left_one_out(q: Floats, residual: Floats, y: Floats, make: NDArray[np.intp] | None) -> float:
    rows = y.size
    basis = np.column_stack([np.full(rows, rows**-0.5), q])
    groups = np.arange(rows) if make is None else make
    missed = np.empty(rows)
    for one in np.unique(groups):
        own = groups == one
        if own.all():
            return float("nan")
        kept = np.eye(int(own.sum())) - basis[own] @ basis[own].T
        if np.linalg.eigvalsh(kept)[0] < 1e-9:
            return float("nan")
        missed[own] = np.linalg.solve(kept, residual[own])
    total = float(((y - y.mean()) ** 2).sum())
    return 1 - float(missed @ missed) / total if total > 0 else float("nan")
