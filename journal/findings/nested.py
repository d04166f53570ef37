"""Rows of wheels within makes: weighing them when a make's and a wheel's own random effect is
shared."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from journal.findings.many_columns import Columns, Solver, plus_one, scaled, summed
from journal.findings.table import Floats

IntArray = NDArray[np.intp]


@dataclass(frozen=True)
class Nest:
    """The order that sorts rows by wheel within make, and where each begins there.

    Parameters
    ----------
    order : ndarray of int (rows,)
    wheel_starts : ndarray of int (wheels,)
        Of the sorted rows.
    make_starts : ndarray of int (makes,)
        Of the wheels.
    """

    order: IntArray
    wheel_starts: IntArray
    make_starts: IntArray

    @classmethod
    def of(cls, make: IntArray, wheel: IntArray) -> Nest:
        """The nest of rows (rows,) numbered by make and by wheel."""
        order = np.lexsort((wheel, make))
        m, w = make[order], wheel[order]
        new_make = np.concatenate([[True], m[1:] != m[:-1]])
        new_wheel = new_make | np.concatenate([[True], w[1:] != w[:-1]])
        wheels = np.flatnonzero(new_wheel)
        return cls(order, wheels, np.flatnonzero(new_make[wheels]))

    def levels(self) -> list[str]:
        """Name the scatters that can be told apart: always the rest, make and wheel if rows do."""
        rows, wheels, makes = self.order.size, self.wheel_starts.size, self.make_starts.size
        levels = ["rest"]
        if rows > makes:
            levels.append("make")
        if rows > wheels > makes:
            levels.append("wheel")
        return levels

    def weigh(
        self,
        table: Floats,
        own: Floats,
        make2: float | Floats,
        wheel2: float,
        shared: Columns | None = None,
    ) -> tuple[Floats, float, Floats]:
        """Weigh the columns of a sorted table by the inverse of the rows' covariance V.

        Parameters
        ----------
        table : ndarray (rows, columns)
            In the nest's order.
        own : ndarray (rows,)
            Variance of each row by itself; V adds `make2` for rows of one make and `wheel2` for
            rows of one wheel. `make2` may be (makes,), one for each.
        shared : columns (rows, m), optional
            Each times a normal of sd 1 is in V too.

        Returns
        -------
        gram : ndarray (columns, columns)
            table' V⁻¹ table.
        log_size : float
            log |V|.
        s_make : ndarray (makes,)
            Weight of each make's rows, its own random effect (and what is shared) aside.
        """
        d = 1 / own
        s = np.add.reduceat(d, self.wheel_starts)
        g = 1 / (1 + wheel2 * s)
        s_make = np.add.reduceat(s * g, self.make_starts)
        of_make = make2 / (1 + make2 * s_make)
        lay = partial(_Sums.of, d=d, g=g, nest=self)
        ours, off = lay(table), (wheel2 * g, of_make)
        gram = ours.beside(ours, *off)
        log_size = float(np.log1p(make2 * s_make).sum() - np.log(g).sum() - np.log(d).sum())
        if shared is not None and shared.shape[1]:
            theirs = lay(shared)
            across = theirs.beside(ours, *off)
            solver = Solver.of(plus_one(theirs.beside(theirs, *off)))
            gram = gram - across.T @ solver.solve(across)
            log_size += solver.log_size
        return gram, log_size, s_make


@dataclass(frozen=True)
class _Sums:
    """Columns as they are, weighed, and their weighed sums over the rows of each wheel and make."""

    plain: Columns
    weighed: Columns
    of_wheel: Columns
    of_make: Columns

    @classmethod
    def of(cls, plain: Columns, *, d: Floats, g: Floats, nest: Nest) -> _Sums:
        weighed = scaled(d, plain)
        of_wheel = summed(weighed, nest.wheel_starts)
        return cls(plain, weighed, of_wheel, summed(scaled(g, of_wheel), nest.make_starts))

    def beside(self, other: _Sums, wheel: Floats, make: Floats) -> Columns:
        """These columns' transpose times V⁻¹ times the others."""
        return (
            self.plain.T @ other.weighed
            - self.of_wheel.T @ scaled(wheel, other.of_wheel)
            - self.of_make.T @ scaled(make, other.of_make)
        )


@dataclass(frozen=True)
class EqualVariances:
    """A table in a nest whose rows all have the variance 1 by themselves, crossed columns beside
    it that may be sparse: summed up once, so that weighing them anew costs only the wheels.

    Parameters
    ----------
    grams : columns (q, q), ndarray (q, columns), ndarray (columns, columns)
        crossed' crossed, crossed' table, table' table.
    sums : columns (wheels, q), ndarray (wheels, columns)
        Over the rows of each wheel.
    rows_of_wheel : ndarray (wheels,)
    make_starts : ndarray of int (makes,)
    """

    grams: tuple[Columns, Floats, Floats]
    sums: tuple[Columns, Floats]
    rows_of_wheel: Floats
    make_starts: IntArray

    @classmethod
    def of(cls, nest: Nest, crossed: Columns, table: Floats) -> EqualVariances:
        """Sum up a table (rows, columns) in the nest's order."""
        sums = summed(crossed, nest.wheel_starts), summed(table, nest.wheel_starts)
        count = np.add.reduceat(np.ones(len(table)), nest.wheel_starts)
        grams = crossed.T @ crossed, crossed.T @ table, table.T @ table
        return cls(grams, sums, count, nest.make_starts)

    def weigh(self, make2: float, wheel2: float) -> tuple[tuple[Columns, Floats, Floats], float]:
        """crossed' V⁻¹ crossed, crossed' V⁻¹ table and table' V⁻¹ table; and log |V|."""
        g = 1 / (1 + wheel2 * self.rows_of_wheel)
        s = np.add.reduceat(self.rows_of_wheel * g, self.make_starts)
        of_make = make2 / (1 + make2 * s)
        makes = [summed(scaled(g, one), self.make_starts) for one in self.sums]
        found = []
        for (i, j), gram in zip(((0, 0), (0, 1), (1, 1)), self.grams, strict=True):
            less = self.sums[i].T @ scaled(wheel2 * g, self.sums[j])
            found.append(gram - less - makes[i].T @ scaled(of_make, makes[j]))
        log_size = float(np.log1p(make2 * s).sum() - np.log(g).sum())
        return (found[0], found[1], found[2]), log_size
