"""A mixed model by restricted maximum likelihood: who tasted, when, which wheel of which make.

Score = fixed columns + a level for each assessor, session, wheel and make, drawn from normals
whose spreads are what is sought. The likelihood is the profiled one of Bates, Mächler, Bolker &
Walker 2015, J. Stat. Softw. 67(1); wheels within makes are taken out in closed form, so the work
grows with the scores and not with their square.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from journal.findings.error import FindingError
from journal.findings.many_columns import Columns, Solver, abreast, is_sparse, plus_one, sparse
from journal.findings.nested import EqualVariances, Nest
from journal.findings.table import Floats

IntArray = NDArray[np.intp]


@dataclass(frozen=True)
class RandomEffect:
    """Levels drawn from one normal: a name, the group of each row, and what a level multiplies.

    `columns` (rows, d) is one column of ones when left out; with d columns each group has d
    levels, which may go together (a level and a slope).
    """

    name: str
    group: IntArray
    columns: Floats | None = None

    def design(self) -> Columns:
        """The term's columns (rows, groups × d), the d of a group side by side."""
        known, at = np.unique(self.group, return_inverse=True)
        own = np.ones((at.size, 1)) if self.columns is None else self.columns
        d = own.shape[1]
        column = at.reshape(-1, 1) * d + np.arange(d)
        row = np.repeat(np.arange(at.size), d)
        return sparse((at.size, known.size * d), row, column.reshape(-1), own.reshape(-1))

    @property
    def width(self) -> int:
        """How many levels a group has."""
        return 1 if self.columns is None else self.columns.shape[1]


@dataclass(frozen=True)
class Mixed:
    """A fitted mixed model.

    Parameters
    ----------
    coef, se : ndarray (columns,)
        Of the fixed columns.
    covariance : ndarray (columns, columns)
    variance : dict of str to ndarray (d, d)
        Of each term's levels, "make" and "wheel" included where they were nested.
    residual : float
        Variance of what is left.
    criterion : float
        The restricted deviance at its least.
    levels : dict of str to ndarray (groups, d)
        Predicted levels of the crossed terms, groups ascending.
    """

    coef: Floats
    se: Floats
    covariance: Floats
    variance: dict[str, Floats]
    residual: float
    criterion: float
    levels: dict[str, Floats]

    def sd(self, name: str) -> float:
        """The spread of a term's first level, in points; 0 where the model has no such term."""
        found = self.variance.get(name)
        return 0.0 if found is None else math.sqrt(max(float(found[0, 0]), 0.0))


def fit_mixed(
    y: ArrayLike,
    fixed: ArrayLike,
    terms: Sequence[RandomEffect] = (),
    *,
    make: IntArray | None = None,
    wheel: IntArray | None = None,
    to_the_last: bool = True,
) -> Mixed:
    """Fit a mixed model by restricted maximum likelihood.

    Parameters
    ----------
    y : array_like (rows,)
    fixed : array_like (rows, columns)
        The fixed columns, a column of ones among them.
    terms : sequence of Term
        Crossed terms (assessor, session).
    make, wheel : ndarray of int (rows,), optional
        Nested terms; each is fitted where rows can tell it apart.
    to_the_last : bool
        Look on to the last digits; without, spreads are good to a hundredth of themselves.

    Raises
    ------
    FindingError
        When rows are too few, or a fixed column cannot be told apart.
    """
    target, x = np.asarray(y, dtype=float), np.asarray(fixed, dtype=float)
    if target.size <= x.shape[1] + 1:
        raise FindingError("findings.too-few-for-mixed", scores=int(target.size))
    if np.linalg.matrix_rank(x) < x.shape[1]:
        raise FindingError("findings.columns-alike")
    model = _Model.arrange(target, x, list(terms), make, wheel)
    return model.answer(model.least(to_the_last))


@dataclass(frozen=True)
class _At:
    """The profiled solution at one set of relative spreads."""

    criterion: float
    coef: Floats
    covariance: Floats
    residual: float
    levels: Floats


@dataclass(frozen=True)
class _Model:
    nest: EqualVariances
    terms: list[RandomEffect]
    sizes: list[int]  # columns of each term
    fixed: int
    nested: list[str]
    rows: int

    @classmethod
    def arrange(
        cls,
        y: Floats,
        x: Floats,
        terms: list[RandomEffect],
        make: IntArray | None,
        wheel: IntArray | None,
    ) -> _Model:
        rows = np.arange(y.size)
        nest = Nest.of(rows if make is None else make, rows if wheel is None else wheel)
        designs = [term.design() for term in terms]
        crossed = abreast([np.empty((y.size, 0)), *designs])[nest.order]
        table = np.column_stack([x, y])[nest.order]
        nested = [name for name in nest.levels() if name != "rest"] if make is not None else []
        sizes = [d.shape[1] for d in designs]
        even = EqualVariances.of(nest, crossed, table)
        return cls(even, terms, sizes, x.shape[1], nested, y.size)

    def least(self, to_the_last: bool) -> Floats:
        """The relative spreads at which the restricted deviance is least."""
        from scipy.optimize import minimize

        begin, bounds = self._begin()
        if not begin:
            return np.empty(0)
        if not to_the_last:
            options = {"ftol": 1e-7, "gtol": 1e-3, "maxiter": 60}
            first = np.array(begin) * 0.7
            found = minimize(self._deviance, first, method="L-BFGS-B", bounds=bounds,
                             options=options)  # fmt: skip
            return np.asarray(found.x, dtype=float)
        best = None
        for factor in (1.0, 0.25):
            found = minimize(
                self._deviance,
                np.array(begin) * factor,
                method="L-BFGS-B",
                bounds=bounds,
                options={"ftol": 1e-13, "gtol": 1e-8, "maxiter": 300},
            )
            if best is None or found.fun < best.fun - 1e-9:
                best = found
        assert best is not None
        polished = minimize(
            self._deviance,
            best.x,
            method="Nelder-Mead",
            bounds=bounds,
            options={"xatol": 1e-6, "fatol": 1e-9, "maxiter": 150 * len(begin)},
        )
        return np.asarray(polished.x if polished.fun < best.fun else best.x, dtype=float)

    def _begin(self) -> tuple[list[float], list[tuple[float | None, float | None]]]:
        begin: list[float] = [0.7] * len(self.nested)
        bounds: list[tuple[float | None, float | None]] = [(0.0, None)] * len(self.nested)
        for term in self.terms:
            for i in range(term.width):
                for j in range(i + 1):
                    begin.append(0.7 if i == j else 0.0)
                    bounds.append((0.0, None) if i == j else (None, None))
        return begin, bounds

    def _deviance(self, theta: Floats) -> float:
        return self._at(theta).criterion

    def _factors(self, theta: Floats) -> list[Floats]:
        """The lower triangles of the crossed terms, in spreads of the residual."""
        at, out = len(self.nested), []
        for term in self.terms:
            d = term.width
            lower = np.zeros((d, d))
            count = d * (d + 1) // 2
            lower[np.tril_indices(d)] = theta[at : at + count]
            at += count
            out.append(lower)
        return out

    def _at(self, theta: Floats) -> _At:
        spread = dict(zip(self.nested, theta, strict=False))
        make2, wheel2 = spread.get("make", 0.0) ** 2, spread.get("wheel", 0.0) ** 2
        (zz, zx, rest), log_size = self.nest.weigh(make2, wheel2)
        p, n = self.fixed, self.rows
        turn = self._turn(theta, is_sparse(zz))
        solver = Solver.of(plus_one(turn.T @ zz @ turn))
        turned = turn.T @ zx
        half = solver.solve(turned)
        rest = rest - turned.T @ half
        xx = rest[:p, :p]
        coef = np.linalg.solve(xx, rest[:p, p])
        left = max(float(rest[p, p] - coef @ rest[:p, p]), 1e-300)
        df = n - p
        log_size += solver.log_size + float(np.linalg.slogdet(xx)[1])
        criterion = log_size + df * (1 + math.log(2 * math.pi * left / df))
        levels = turn @ (half[:, p] - half[:, :p] @ coef)
        return _At(criterion, coef, np.linalg.inv(xx) * left / df, left / df, levels)

    def _turn(self, theta: Floats, sparse: bool) -> Columns:
        parts = [
            (size // len(lower), lower)
            for lower, size in zip(self._factors(theta), self.sizes, strict=True)
        ]
        if sparse:
            from scipy.sparse import block_diag, eye_array, kron

            return block_diag([kron(eye_array(n), lower) for n, lower in parts], format="csr")
        turn = np.zeros((sum(self.sizes), sum(self.sizes)))
        at = 0
        for groups, lower in parts:
            size = groups * len(lower)
            turn[at : at + size, at : at + size] = np.kron(np.eye(groups), lower)
            at += size
        return turn

    def answer(self, theta: Floats) -> Mixed:
        """The fit at those spreads, in points."""
        found = self._at(theta)
        variance: dict[str, Floats] = {
            name: np.array([[found.residual * value**2]])
            for name, value in zip(self.nested, theta, strict=False)
        }
        levels, at = {}, 0
        for term, lower, size in zip(self.terms, self._factors(theta), self.sizes, strict=True):
            variance[term.name] = found.residual * lower @ lower.T
            levels[term.name] = found.levels[at : at + size].reshape(-1, term.width)
            at += size
        return Mixed(
            coef=found.coef,
            se=np.sqrt(np.diag(found.covariance)),
            covariance=found.covariance,
            variance=variance,
            residual=found.residual,
            criterion=found.criterion,
            levels=levels,
        )
