"""Columns of which a row has few (a session's, an assessor's): held sparse where there are many, so
that time and memory grow with the rows and not with the square of the sessions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from journal.findings.table import Floats

IntArray = NDArray[np.intp]
Columns = Any
"""Columns (rows, n), an array or, where there are many, a sparse one."""
MANY = 100
"""From so many columns on they are held sparse, where at most so large a share is filled: """
FILLED = 0.1


def lean(columns: Columns) -> Columns:
    """The columns as they are, or sparse where there are many and most of them empty."""
    rows, count = columns.shape
    if is_sparse(columns) or count < MANY or np.count_nonzero(columns) > FILLED * rows * count:
        return columns
    from scipy.sparse import csr_array

    return csr_array(columns)


def sparse(shape: tuple[int, int], row: IntArray, column: IntArray, value: Floats) -> Columns:
    """Columns of that shape, values summed at their places (n,); sparse where there are many."""
    if shape[1] < MANY:
        found = np.zeros(shape)
        np.add.at(found, (row, column), value)
        return found
    from scipy.sparse import csr_array

    return csr_array((value, (row, column)), shape=shape)


def abreast(parts: Sequence[Columns]) -> Columns:
    """The columns of all parts side by side."""
    if not any(is_sparse(part) for part in parts):
        return np.hstack(list(parts))
    from scipy.sparse import csr_array, hstack

    return hstack([csr_array(part) for part in parts], format="csr")


def squared(columns: Columns) -> Floats:
    """The sum of each row's squares."""
    if is_sparse(columns):
        return np.asarray(columns.multiply(columns).sum(axis=1), dtype=float).reshape(-1)
    return np.asarray((columns**2).sum(axis=1), dtype=float)


def is_sparse(columns: Columns) -> bool:
    """Whether columns are held sparse."""
    return not isinstance(columns, np.ndarray)


def scaled(weights: Floats, columns: Columns) -> Columns:
    """The rows of the columns times their weights (rows,)."""
    if is_sparse(columns):
        return columns.multiply(weights[:, None]).tocsr()
    return weights[:, None] * columns


def summed(columns: Columns, starts: Any) -> Columns:
    """The sums of the rows from each start (n,) to the next."""
    if not is_sparse(columns):
        return np.add.reduceat(columns, starts)
    from scipy.sparse import csr_array

    rows = columns.shape[0]
    ends = np.append(starts, rows)
    return csr_array((np.ones(rows), np.arange(rows), ends), shape=(starts.size, rows)) @ columns


@dataclass(frozen=True)
class Solver:
    """A symmetric positive definite matrix, factored: `log_size` is the log of its determinant."""

    log_size: float
    _root: Any
    _sparse: bool

    @classmethod
    def of(cls, matrix: Columns) -> Solver:
        """Factor a matrix (n, n)."""
        if not is_sparse(matrix):
            root = np.linalg.cholesky(matrix)
            return cls(2 * float(np.log(np.diag(root)).sum()), root, _sparse=False)
        from scipy.sparse.linalg import splu

        options = {"SymmetricMode": True}
        found = splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                     options=options)  # fmt: skip
        return cls(float(np.log(np.abs(found.U.diagonal())).sum()), found, _sparse=True)

    def solve(self, right: Floats) -> Floats:
        """The matrix's inverse times columns (n, m)."""
        if self._sparse:
            return np.asarray(self._root.solve(np.ascontiguousarray(right)), dtype=float)
        return np.asarray(
            np.linalg.solve(self._root.T, np.linalg.solve(self._root, right)), dtype=float
        )


def plus_one(matrix: Columns) -> Columns:
    """A square matrix with one added to each value of its diagonal."""
    if not is_sparse(matrix):
        return matrix + np.eye(len(matrix))
    from scipy.sparse import eye_array

    return matrix + eye_array(matrix.shape[0])
