"""Which variables have a best value in the middle: a bend beside every slope.

Each variable that has values enough is looked at for a bend beside the lines of all. One counts as
clear where Holm over all bends beside all slopes says so; it then stands in the model while the
others are looked at again, so that two curves do not hide each other.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from journal.findings.curve import QuadraticTerm, bend_at
from journal.findings.evidence import ASKED
from journal.findings.joint import JointData
from journal.findings.rows import ScoreRows
from journal.findings.table import AGE_KEY, Floats, ScoreTable
from journal.findings.together import Entries

LEAST_MAKES = 12
LEAST_VALUES = 4
ALIKE = 0.1  # sds within which two values are one
MOST_CURVES = 4
MOST_POINTS = 6
SMALLER = (0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.15)
"""A bend that is there takes scatter away: where the scatters are weighed with one, as shares of
where they are likeliest without."""


def candidates(table: ScoreTable, x: Floats, entries: Entries) -> list[QuadraticTerm]:
    """The bend of every variable that can have one: of values enough, and told apart from others.

    Parameters
    ----------
    x : ndarray (rows, variables)
        Without gaps, on the scales they enter by.
    """
    found = []
    if table.makes < LEAST_MAKES or table.samples is not None:
        return []
    for entry in entries.entries:
        j = entry.members[0]
        if len(entry.members) > 1 or table.variables[j].key == AGE_KEY:
            continue
        if len(set(np.round(x[:, j] / (ALIKE * entries.sd[j])).tolist())) < LEAST_VALUES:
            continue
        bend = bend_at(j, x[:, j])
        if bend is not None:
            found.append(bend)
    return found


def clear_bends(
    given: JointData, asked: list[QuadraticTerm], x: Floats, slopes: int
) -> tuple[QuadraticTerm, ...]:
    """The bends that are clear, the surest first.

    Parameters
    ----------
    given : JointData
        The rows with the lines, the bend of age, and what scores share.
    asked : the bends to be looked at
    slopes : int
        How many lines are looked at beside them.
    """
    if not asked:
        return ()
    columns = np.column_stack([bend.at(x[:, bend.variable]) for bend in asked])
    look = _WeighedRows(given, columns)
    chosen: list[int] = []
    while len(chosen) < min(MOST_CURVES, len(asked)):
        left = [i for i in range(len(asked)) if i not in chosen]
        wrong = np.array([look.chance_wrong([*chosen, i]) for i in left])
        best = int(np.argmin(wrong))
        if wrong[best] * (slopes + len(left)) > ASKED:
            break
        chosen.append(left[best])
    return tuple(asked[i] for i in chosen)


class _WeighedRows:
    """The rows weighed once for all bends together at each scatter, and solved for a few."""

    def __init__(self, given: JointData, columns: Floats) -> None:
        self.given = given
        rows = given.rows
        wide = np.hstack([rows.table[:, :-1], columns[rows.nest.order], rows.table[:, -1:]])
        self.rows: ScoreRows = replace(rows, table=wide)
        self.points = [tuple(scale * u for u in point) for point in self._likely()
                       for scale in SMALLER]  # fmt: skip
        self.grams = [self.rows.weighed(given.scatters(point)) for point in self.points]

    def _likely(self) -> list[tuple[float, ...]]:
        """Where the scatters are likeliest without any bend."""
        own, precision = self._own, self.given.precision(self.given.scale)

        def weigh(point: tuple[float, ...]) -> tuple[float, tuple[float, ...]]:
            gram, size, _ = self.given.rows.weighed(self.given.scatters(point))
            whole = gram[:own, :own] + np.diag(precision)
            solved = np.linalg.solve(whole, gram[:own, -1])
            log = size + np.linalg.slogdet(whole)[1] + gram[-1, -1] - gram[:own, -1] @ solved
            return -0.5 * float(log) + self.given.likely(np.array(point)), point

        found = sorted(self.given.over_scatters(weigh), key=lambda one: -one[0])
        return [point for log, point in found[:MOST_POINTS] if log > found[0][0] - 3]

    @property
    def _own(self) -> int:
        """How many columns there are beside the bends: level, lines, and what is shared."""
        return int(self.given.rows.table.shape[1]) - 1

    def chance_wrong(self, chosen: list[int]) -> float:
        """The two-sided chance that the last bend chosen goes the other way."""
        from scipy.special import ndtr

        given, own = self.given, self._own
        kept = [*range(own), *(own + i for i in chosen)]
        bends = np.full(len(chosen), given.scale**-2)
        precision = np.diag(np.concatenate([given.precision(given.scale), bends]))
        grams = np.array([gram[np.ix_([*kept, -1], [*kept, -1])] for gram, _, _ in self.grams])
        whole = grams[:, :-1, :-1] + precision
        covariance = np.linalg.inv(whole)
        mean = np.einsum("gij,gj->gi", covariance, grams[:, :-1, -1])
        log = np.array([size for _, size, _ in self.grams]) + np.linalg.slogdet(whole)[1]
        log += grams[:, -1, -1] - (mean * grams[:, :-1, -1]).sum(axis=1)
        log = -0.5 * log + [given.likely(np.array(point)) for point in self.points]
        weights = np.exp(log - log.max())
        z = mean[:, -1] / np.sqrt(covariance[:, -1, -1])
        above = float(weights @ ndtr(z) / weights.sum())
        return 2 * min(above, 1 - above)
