"""Filling in missing values of make variables by what is known, and saying so."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from journal.findings.scales import LOG, entered, fits
from journal.findings.table import Floats, ScoreTable
from journal.findings.together import Entries
from journal.message import Message

ROUNDS = 8


@dataclass(frozen=True)
class FilledTable:
    """A table's variables without gaps, on the scales they enter the models by.

    Parameters
    ----------
    x : ndarray (rows, variables)
        Values, filled where they were missing; a variable never measured is zero throughout.
    filled : ndarray of bool (rows, variables)
        Where a value was filled in.
    notes : list of Message
        One for each variable that had gaps.
    unsure : list of Unsure
        How far what was filled in, or measured by a spoon, may be off; the same together.
    """

    x: Floats
    filled: NDArray[np.bool_]
    notes: list[Message]
    unsure: list[FilledRows] = field(default_factory=list)

    def covariance_at(self, rows: NDArray[np.bool_]) -> Floats:
        """How far a make's values may be off, mean over its rows, (variables, variables)."""
        k = self.x.shape[1]
        total = np.zeros((k, k))
        for one in self.unsure:
            total[np.ix_(one.columns, one.columns)] += rows[one.rows].sum() * one.covariance
        return total / max(int(rows.sum()), 1)


@dataclass(frozen=True)
class FilledRows:
    """Rows that miss the same variables, and the covariance of what was filled in there.

    Parameters
    ----------
    rows, columns : ndarray of int
    covariance : ndarray (columns, columns)
        On the scales the variables enter the models by.
    """

    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    covariance: Floats


@dataclass(frozen=True)
class Gaps:
    """What filled values leave open of each row's entries in the joint model.

    Parameters
    ----------
    rows : list of ndarray of int
    covariances : list of ndarray (entries, entries)
        Of the standardised entries of those rows.
    """

    rows: list[NDArray[np.intp]]
    covariances: list[Floats]

    @classmethod
    def of(cls, filled: FilledTable, entries: Entries) -> Gaps | None:
        """The gaps of a table, seen by its entries; None where nothing was filled in."""
        across = entries.across()
        seen = [
            (one.rows, across[:, one.columns] @ one.covariance @ across[:, one.columns].T)
            for one in filled.unsure
        ]
        varying = [(rows, covariance) for rows, covariance in seen if covariance.any()]
        return cls([r for r, _ in varying], [c for _, c in varying]) if varying else None

    def of_makes(self, second_moment: Floats, make: NDArray[np.intp]) -> Floats:
        """Variance (makes,) that gaps add to a make's scores, given what effect times effect is
        on average, (entries, entries). Makes ascend."""
        variance = np.zeros(make.size)
        for rows, covariance in zip(self.rows, self.covariances, strict=True):
            variance[rows] += float((covariance * second_moment).sum())
        return make_means(variance, np.unique(make, return_inverse=True)[1].reshape(-1))

    def choosing(self, kept: list[int], more: int = 0) -> Gaps:
        """The gaps seen by some of the entries, and by `more` without gaps after them."""
        size = len(kept) + more
        out = []
        for covariance in self.covariances:
            own = np.zeros((size, size))
            own[: len(kept), : len(kept)] = covariance[np.ix_(kept, kept)]
            out.append(own)
        return Gaps(self.rows, out)


def fill(table: ScoreTable) -> FilledTable:
    """Fill gaps with the mean of the same make, else with what the make's other variables tell.

    What they tell is the mean to be expected beside them, all variables taken as jointly normal
    about their middle values, and the correlations drawn in as far as few makes made them; where
    nothing goes with the variable that is its middle value. The score is never asked, or it would
    be counted twice. No make is dropped for a gap. How far a filled value may be off is kept
    beside it, so that the models can let its make count the less.
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
    out, unsure = _beside_others(x, make)
    return FilledTable(out, gaps, notes, unsure + _measured(table))


def _measured(table: ScoreTable) -> list[FilledRows]:
    """How far measured values may be off, on the scales they enter by; the same together."""
    if table.off is None or not table.off.any():
        return []
    x, off = table.x, np.where(np.isfinite(table.x), table.off, 0.0)
    logs = [v.scale == LOG and fits(x[:, j], LOG) for j, v in enumerate(table.variables)]
    sd = off * np.where(logs, 1.0, np.abs(np.nan_to_num(x)))
    kinds, which = np.unique(sd, axis=0, return_inverse=True)
    return [
        FilledRows(np.flatnonzero(which.reshape(-1) == number), open_, np.diag(own[open_] ** 2))
        for number, own in enumerate(kinds)
        for open_ in [np.flatnonzero(own)]
        if open_.size
    ]


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


def _beside_others(x: Floats, make: NDArray[np.intp]) -> tuple[Floats, list[FilledRows]]:
    """Fill what is left with its expected value beside the row's other variables."""
    gaps = np.isnan(x)
    if not gaps.any():
        return x, []
    makes = int(make.max()) + 1
    middle = np.nanmedian([make_means(x[:, j], make) for j in range(x.shape[1])], axis=1)
    spread = np.nanstd(x, axis=0)
    varying = spread > 1e-9 * np.maximum(np.abs(middle), 1e-9)
    z = np.where(gaps, 0.0, (x - middle) / np.where(varying, spread, 1.0))[:, varying]
    holes = gaps[:, varying]
    k = z.shape[1]
    shrink = makes / (makes + 2.0 * k)
    unknown = np.zeros((k, k))  # the scatter of what was filled, which the filled values lack
    for _ in range(ROUNDS):
        second = (z.T @ z + unknown) / len(z)
        size = np.sqrt(np.maximum(np.diag(second), 1e-12))
        together = shrink * second / np.outer(size, size)
        np.fill_diagonal(together, 1.0)
        z, unknown, left = _expected(z, holes, together)
    out = x.copy()
    out[:, varying] = np.where(holes, middle[varying] + z * spread[varying], x[:, varying])
    columns, size = np.flatnonzero(varying), spread[varying]
    unsure = [FilledRows(rows, columns[hole], covariance * np.outer(size[hole], size[hole]))
              for rows, hole, covariance in left]  # fmt: skip
    return np.where(np.isnan(out), middle, out), unsure


Left = list[tuple[NDArray[np.intp], NDArray[np.bool_], Floats]]


def _expected(z: Floats, holes: NDArray[np.bool_], together: Floats) -> tuple[Floats, Floats, Left]:
    """One round: the holes' means given the rest of their rows, and their scatter, summed and
    for the rows of each pattern of holes."""
    z, unknown, scatters = z.copy(), np.zeros_like(together), []
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
        scatters.append((rows, hole, left))
    return z, unknown, scatters


def _note(name: str, lost: int, makes: int, never: bool) -> Message:
    if never:
        return Message("findings.never-measured", variable=name)
    return Message("findings.missing", variable=name, lost=lost, makes=makes)
