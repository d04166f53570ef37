"""Age as a curve: cheese rises and then falls, so a straight line alone would mislead.

A line and one bend (a parabola) enter by declaration, wherever the tastings lie at enough ages to
carry it; whether they do is read off the ages alone, never off the scores.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.table import AGE_KEY, Floats, ScoreTable

LEAST_AGES = 4
"""Ages, to the week, that a bend needs."""
LEAST_ROWS = 12
WEEK_DAYS = 7.0


@dataclass(frozen=True)
class QuadraticTerm:
    """The bend of a variable: what its square adds to its line, of mean 0 and sd 1.

    Parameters
    ----------
    variable : int
        Column of the table.
    middle, sd : float
        Of the variable.
    level, slope, size : float
        The bend is (z² − level − slope z) / size, z being the standardised variable.
    """

    variable: int
    middle: float
    sd: float
    level: float
    slope: float
    size: float

    def at(self, values: Floats) -> Floats:
        """The bend at values of the variable (n,)."""
        z = (values - self.middle) / self.sd
        return np.asarray((z**2 - self.level - self.slope * z) / self.size, dtype=float)


def age_curve(table: ScoreTable, x: Floats) -> QuadraticTerm | None:
    """The bend of the age at tasting; None where the ages are too few to carry one.

    Parameters
    ----------
    table : ScoreTable
    x : ndarray (rows, variables)
        The table's values without gaps, on the scales they enter by.
    """
    keys = [v.key for v in table.variables]
    if AGE_KEY not in keys or len(table.make) < LEAST_ROWS:
        return None
    j = keys.index(AGE_KEY)
    age = x[:, j]
    if len(set(np.round(age / WEEK_DAYS).tolist())) < LEAST_AGES or age.std(ddof=1) <= 0:
        return None
    middle, sd = float(age.mean()), float(age.std(ddof=1))
    z = (age - middle) / sd
    line = np.column_stack([np.ones(z.size), z])
    level, slope = np.linalg.lstsq(line, z**2, rcond=None)[0]
    size = float((z**2 - level - slope * z).std(ddof=1))
    if size < 0.05:
        return None
    return QuadraticTerm(j, middle, sd, float(level), float(slope), size)
