"""Filling in missing values of make variables, and saying so."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from journal.findings.table import Floats, ScoreTable
from journal.quantities.counts import counted


@dataclass(frozen=True)
class Filled:
    """A table's variables without gaps.

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
    """Fill gaps with the mean of the same make, else with the middle value of the makes.

    No make is dropped for a gap. A filled value tells nothing about the score, so a variable
    with many gaps has wide ranges.
    """
    x = table.x.copy()
    gaps = np.isnan(x)
    make = np.unique(np.asarray(table.make, dtype=str), return_inverse=True)[1]
    notes = []
    for j in np.flatnonzero(gaps.any(axis=0)):
        name = table.variables[j].name
        x[:, j] = _filled_column(x[:, j], make)
        lost = len(set(make[gaps[:, j]].tolist()))
        notes.append(_note(name, lost, table.makes, bool(gaps[:, j].all())))
    return Filled(x, gaps, notes)


def make_means(values: Floats, make: NDArray[np.intp]) -> Floats:
    """Average rows over makes (numbered from 0), leaving NaN out; NaN where nothing is left."""
    known = np.isfinite(values)
    count = np.bincount(make, weights=known)
    total = np.bincount(make, weights=np.where(known, values, 0.0))
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def _filled_column(column: Floats, make: NDArray[np.intp]) -> Floats:
    if np.isnan(column).all():
        return np.zeros_like(column)
    means = make_means(column, make)
    means = np.where(np.isnan(means), np.nanmedian(means), means)
    return np.where(np.isnan(column), means[make], column)


def _note(name: str, lost: int, makes: int, never: bool) -> str:
    if never:
        return f"{name} was never measured."
    stands = "the middle value of the others stands in"
    return f"{name} is missing in {lost} of {counted(makes, 'make')}; {stands} there."
