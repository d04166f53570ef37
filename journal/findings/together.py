"""Variables that moved together: named as one, for their effects cannot be separated."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.table import Floats

TOGETHER = 0.9
"""Beyond this correlation, either way, two variables moved together."""


@dataclass(frozen=True)
class ModelEntry:
    """One entry of the joint model: a variable, or several that moved together.

    Parameters
    ----------
    members : tuple of int
        Columns of the table.
    signs : tuple of int
        +1 or -1 for each member: which way it moves when the entry rises.
    """

    members: tuple[int, ...]
    signs: tuple[int, ...]


@dataclass(frozen=True)
class Entries:
    """The table's columns as standardised entries of the joint model.

    Parameters
    ----------
    entries : list of Entry
    z : ndarray (rows, entries)
        Mean 0 and sd 1; an entry of several is the mean of its members' standardised columns.
    middle, sd : ndarray (variables,)
        Mean and standard deviation of each variable; sd is 0 where it never varied.
    size : ndarray (entries,)
        What the sum of an entry's standardised members is divided by.
    """

    entries: list[ModelEntry]
    z: Floats
    middle: Floats
    sd: Floats
    size: Floats

    def across(self) -> Floats:
        """How an entry (entries,) moves with each variable (variables,), per unit of it."""
        out = np.zeros((len(self.entries), self.sd.size))
        for i, entry in enumerate(self.entries):
            for member, sign in zip(entry.members, entry.signs, strict=True):
                out[i, member] = sign / (self.sd[member] * self.size[i])
        return out

    def of(self, variable: int) -> tuple[int, int] | None:
        """Return a variable's entry and its sign there; None where it never varied."""
        for i, entry in enumerate(self.entries):
            if variable in entry.members:
                return i, entry.signs[entry.members.index(variable)]
        return None


def entries_of(x: Floats) -> Entries:
    """Standardise the columns of x (rows, variables) and join those that moved together."""
    middle, sd = x.mean(axis=0), x.std(axis=0, ddof=1) if len(x) > 1 else np.zeros(x.shape[1])
    sd = np.where(sd > 1e-9 * np.maximum(np.abs(middle), 1e-9), sd, 0.0)
    z = (x - middle) / np.where(sd > 0, sd, 1.0)
    varied = np.flatnonzero(sd > 0)
    r = z.T @ z / max(len(x) - 1, 1)
    entries = [_joined(group, r) for group in _groups(varied.tolist(), np.abs(r))]
    sums = [z[:, list(e.members)] @ np.array(e.signs, dtype=float) for e in entries]
    size = np.array([column.std(ddof=1) for column in sums])
    together = np.column_stack(sums) / size if sums else z[:, :0]
    return Entries(entries, together, middle, sd, size)


def _groups(varied: list[int], near: Floats) -> list[list[int]]:
    """Variables that moved together, by complete linkage: in a group each moved with every other,
    so that no chain of neighbours joins two that did not. The nearest are joined first."""
    groups = [[j] for j in varied]
    close = near[np.ix_(varied, varied)].copy()
    np.fill_diagonal(close, 0.0)
    while close.size and close.max() > TOGETHER:
        i, j = sorted(int(k) for k in np.unravel_index(int(np.argmax(close)), close.shape))
        groups[i] = sorted(groups[i] + groups.pop(j))
        close[i] = np.minimum(close[i], close[j])
        close[:, i] = close[i]
        close[i, i] = 0.0
        close = np.delete(np.delete(close, j, axis=0), j, axis=1)
    return sorted(groups)


def _joined(members: list[int], r: Floats) -> ModelEntry:
    signs = (1 if r[members[0], m] >= 0 else -1 for m in members)
    return ModelEntry(tuple(members), tuple(signs))
