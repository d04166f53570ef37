"""Filling in missing values of make variables by what is known, and saying so."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from journal.findings.scales import entered
from journal.findings.table import Floats, ScoreTable
from journal.quantities.counts import counted

ROUNDS = 8


@dataclass(frozen=True)
class Filled:
    """A table's variables without gaps, on the scales they enter the models by.

    Parameters
    ----------
    x : ndarray (rows, variables)
        Values, filled where they were missing; a variable never measured is nought throughout.
    filled : ndarray of bool (rows, variables)
        Where a value was filled in.
    notes : list of str
        One sentence for each variable that had gaps.
    """

    x: Floats
    filled: NDArray[np.bool_]
    notes: list[str]


def fill(table: ScoreTable) -> Filled:
    """Fill gaps with the mean of the same make, else with what the make's other variables tell.

    What they tell is the mean to be expected beside them, all variables taken as jointly normal
    about their middle values, and the correlations drawn in as far as few makes made them; where
    nothing goes with the variable that is its middle value. The score is never asked, or it would
    be counted twice. No make is dropped for a gap. A filled value tells little about the score,
    so a variable with many gaps has wide ranges.
    """
    x = np.column_stack(
        [entered(table.x[:, j], v.scale) for j, v in enumerate(table.variables)]
        or [np.empty((len(table.make), 0))]
    )
    gaps = np.isnan(x)
    make = np.unique(np.asarray(table.make, dtype=str), return_inverse=True)[1].reshape(-1)
    notes = []
    for j in np.flatnonzero(gaps.any(axis=0)):
        x[:, j] = _within_make(x[:, j], make)
        lost = len(set(make[gaps[:, j]].tolist()))
        never = bool(gaps[:, j].all())
        notes.append(_note(table.variables[j].name, lost, table.makes, never))
    return Filled(_beside_others(x, make), gaps, notes)


def make_means(values: Floats, make: NDArray[np.intp]) -> Floats:
    """Average rows over makes (numbered from 0), leaving NaN out; NaN where nothing is left."""
    known = np.isfinite(values)
    count = np.bincount(make, weights=known)
    total = np.bincount(make, weights=np.where(known, values, 0.0))
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def _within_make(column: Floats, make: NDArray[np.intp]) -> Floats:
    if np.isnan(column).all():
        return np.zeros_like(column)
    return np.where(np.isnan(column), make_means(column, make)[make], column)


def _beside_others(x: Floats, make: NDArray[np.intp]) -> Floats:
    """Fill what is left with its expected value beside the row's other variables."""
    gaps = np.isnan(x)
    if not gaps.any():
        return x
    makes = int(make.max()) + 1
    middle = np.nanmedian([make_means(x[:, j], make) for j in range(x.shape[1])], axis=1)
    spread = np.nanstd(x, axis=0)
    told = spread > 1e-9 * np.maximum(np.abs(middle), 1e-9)
    z = np.where(gaps, 0.0, (x - middle) / np.where(told, spread, 1.0))[:, told]
    holes = gaps[:, told]
    k = z.shape[1]
    keep = makes / (makes + 2.0 * k)
    unknown = np.zeros((k, k))  # the scatter of what was filled, which the filled values lack
    for _ in range(ROUNDS):
        second = (z.T @ z + unknown) / len(z)
        size = np.sqrt(np.maximum(np.diag(second), 1e-12))
        together = keep * second / np.outer(size, size)
        np.fill_diagonal(together, 1.0)
        z, unknown = _expected(z, holes, together)
    out = x.copy()
    out[:, told] = np.where(holes, middle[told] + z * spread[told], x[:, told])
    return np.where(np.isnan(out), middle, out)


def _expected(z: Floats, holes: NDArray[np.bool_], together: Floats) -> tuple[Floats, Floats]:
    """One round: the holes' means given the rest of their rows, and their scatter, summed."""
    z, unknown = z.copy(), np.zeros_like(together)
    patterns, which = np.unique(holes, axis=0, return_inverse=True)
    for number, hole in enumerate(patterns):
        if not hole.any():
            continue
        rows = np.flatnonzero(which.reshape(-1) == number)
        seen = ~hole
        across = together[np.ix_(hole, seen)]
        weights = np.linalg.solve(together[np.ix_(seen, seen)], across.T)
        z[np.ix_(rows, hole)] = z[np.ix_(rows, seen)] @ weights
        left = together[np.ix_(hole, hole)] - across @ weights
        unknown[np.ix_(hole, hole)] += len(rows) * left
    return z, unknown


def _note(name: str, lost: int, makes: int, never: bool) -> str:
    if never:
        return f"{name} was never measured."
    stands = "what the other variables tell, else the middle value, stands in"
    return f"{name} is missing in {lost} of {counted(makes, 'make')}; {stands} there."
