"""Variables as curves: many have a best value, which a straight line alone would hide.

Cheese rises and then falls with age: a line and one bend (a parabola) enter by declaration,
wherever the tastings lie at enough ages to carry it; whether they do is read off the ages alone,
never off the scores. Every other variable with values enough is looked at for a bend
(`findings/bends.py`), and has one once it is clear over all bends beside all slopes.
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
    if len(set(np.round(age / WEEK_DAYS).tolist())) < LEAST_AGES:
        return None
    return bend_at(j, age)


def bend_at(j: int, values: Floats) -> QuadraticTerm | None:
    """The bend of column `j` over its values (rows,); None where they cannot carry one."""
    if values.std(ddof=1) <= 0:
        return None
    middle, sd = float(values.mean()), float(values.std(ddof=1))
    z = (values - middle) / sd
    line = np.column_stack([np.ones(z.size), z])
    level, slope = np.linalg.lstsq(line, z**2, rcond=None)[0]
    size = float((z**2 - level - slope * z).std(ddof=1))
    if size < 0.05:
        return None
    return QuadraticTerm(j, middle, sd, float(level), float(slope), size)


def bends_of(curves: tuple[QuadraticTerm, ...], x: Floats) -> Floats | None:
    """The bends' columns (rows, curves) over a table without gaps."""
    if not curves:
        return None
    return np.column_stack([curve.at(x[:, curve.variable]) for curve in curves])


@dataclass(frozen=True)
class BestValue:
    """Where a score is best of a variable: the value, and where it lies 8 times in 10, in the
    variable's unit."""

    value: float
    low80: float
    high80: float


def turning_points(curve: QuadraticTerm, line: Floats, bend: Floats) -> Floats:
    """Where drawn lines and bends (draws,) are highest, on the scale the variable enters by; NaN
    where a draw has no top."""
    slope = line - bend * curve.slope / curve.size
    with np.errstate(divide="ignore", invalid="ignore"):
        z = -slope * curve.size / (2 * bend)
    return np.where(bend < 0, curve.middle + curve.sd * z, np.nan)
