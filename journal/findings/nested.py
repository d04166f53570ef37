"""Rows of wheels within makes: weighing them when a make's and a wheel's own random effect is
shared."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

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
        self, table: Floats, own: Floats, make2: float | Floats, wheel2: float
    ) -> tuple[Floats, float, Floats]:
        """Weigh the columns of a sorted table by the inverse of the rows' covariance V.

        Parameters
        ----------
        table : ndarray (rows, columns)
            In the nest's order.
        own : ndarray (rows,)
            Variance of each row by itself; V adds `make2` for rows of one make and `wheel2` for
            rows of one wheel. `make2` may be (makes,), one for each.

        Returns
        -------
        gram : ndarray (columns, columns)
            table' V⁻¹ table.
        log_size : float
            log |V|.
        s_make : ndarray (makes,)
            Weight of each make's rows, its own random effect aside.
        """
        d = 1 / own
        weighed = d[:, None] * table
        gram = table.T @ weighed
        of_wheel = np.add.reduceat(weighed, self.wheel_starts)
        s = np.add.reduceat(d, self.wheel_starts)
        g = 1 / (1 + wheel2 * s)
        gram -= (of_wheel * (wheel2 * g)[:, None]).T @ of_wheel
        of_make = np.add.reduceat(of_wheel * g[:, None], self.make_starts)
        s_make = np.add.reduceat(s * g, self.make_starts)
        gram -= (of_make * (make2 / (1 + make2 * s_make))[:, None]).T @ of_make
        log_size = float(np.log1p(make2 * s_make).sum() - np.log(g).sum() - np.log(d).sum())
        return gram, log_size, s_make


@dataclass(frozen=True)
class Even:
    """A table in a nest whose rows all have the variance 1 by themselves: summed up once, so that
    weighing it anew costs only its wheels.

    Parameters
    ----------
    gram : ndarray (columns, columns)
        table' table.
    of_wheel : ndarray (wheels, columns)
        Sums over the rows of each wheel.
    rows_of_wheel : ndarray (wheels,)
    make_starts : ndarray of int (makes,)
    """

    gram: Floats
    of_wheel: Floats
    rows_of_wheel: Floats
    make_starts: IntArray

    @classmethod
    def of(cls, nest: Nest, table: Floats) -> Even:
        """Sum up a table (rows, columns) in the nest's order."""
        sums = np.add.reduceat(table, nest.wheel_starts)
        count = np.add.reduceat(np.ones(len(table)), nest.wheel_starts)
        return cls(table.T @ table, sums, count, nest.make_starts)

    def weigh(self, make2: float, wheel2: float) -> tuple[Floats, float]:
        """table' V⁻¹ table and log |V|, as `Nest.weigh` gives them."""
        g = 1 / (1 + wheel2 * self.rows_of_wheel)
        gram = self.gram - (self.of_wheel * (wheel2 * g)[:, None]).T @ self.of_wheel
        of_make = np.add.reduceat(self.of_wheel * g[:, None], self.make_starts)
        s = np.add.reduceat(self.rows_of_wheel * g, self.make_starts)
        gram -= (of_make * (make2 / (1 + make2 * s))[:, None]).T @ of_make
        return gram, float(np.log1p(make2 * s).sum() - np.log(g).sum())
