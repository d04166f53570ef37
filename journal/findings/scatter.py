"""The picture of one variable: scores with other things equal, the line and its bands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.curve import BestValue
from journal.findings.scales import entered, fits
from journal.findings.study import Study
from journal.findings.table import Floats, ScoreTable


@dataclass(frozen=True)
class Scatter:
    """Points and line of one variable against the score.

    Parameters
    ----------
    variable, unit, score : str
    make, wheel : list of str
        Codes of the points.
    x : ndarray (points,)
        The variable as measured; rows where it is missing have no point.
    y, y_se : ndarray (points,)
        Score with the other variables held at their means, and the score's standard error; of a
        defect the samples in 100 it was named on, as they were.
    line_x, line_y, low80, high80, low95, high95 : ndarray (n,)
        The line and the ranges that hold it; empty where nothing can be told.
    best : BestValue or None
        Where the score is best, of a curve that has such a value.
    """

    variable: str
    unit: str
    score: str
    make: list[str]
    wheel: list[str]
    x: Floats
    y: Floats
    y_se: Floats
    line_x: Floats
    line_y: Floats
    low80: Floats
    high80: Floats
    low95: Floats
    high95: Floats
    best: BestValue | None = None


def scatter(table: ScoreTable, study: Study, variable: str, points: int = 41) -> Scatter:
    """Draw up the picture of one variable of a study.

    Parameters
    ----------
    table : ScoreTable
        The table the study was made of.
    study : Study
    variable : str
        Name or key.
    points : int
        Points along the line.

    Raises
    ------
    FindingError
        When no variable is called so.
    """
    j = table.position(variable)
    seen = np.isfinite(table.x[:, j])
    x = table.x[seen, j]
    # Of a defect the points are as it was named: a share with a part taken off could fall below 0.
    equal = table.y - _others(table, study, j) if table.samples is None else table.y
    line_x = np.linspace(x.min(), x.max(), points) if x.size else np.empty(0)
    line = _line(table, study, j, line_x)
    return Scatter(
        variable=table.variables[j].name,
        unit=table.variables[j].unit,
        score=table.score_name,
        make=[m for m, s in zip(table.make, seen, strict=True) if s],
        wheel=[w for w, s in zip(table.wheel, seen, strict=True) if s],
        x=x,
        y=equal[seen],
        y_se=table.y_se[seen],
        line_x=line_x[: line.shape[1]],
        line_y=line[0],
        low80=line[1],
        high80=line[2],
        low95=line[3],
        high95=line[4],
        best=study.finding(table.variables[j].key).best,
    )


def _others(table: ScoreTable, study: Study, j: int) -> Floats:
    """Return what the other entries add to each row's score, in points."""
    if study.joint is None or study.entries is None:
        return np.zeros(len(table.make))
    effect = study.joint.mean[1 : study.joint.entries + 1].copy()
    index = study.entries.of(j)
    if index is not None:
        effect[index[0]] = 0.0
    others = study.entries.z @ effect
    for at, curve in enumerate(study.curves):
        if curve.variable != j:
            values = on_scale(table, curve.variable, table.x[:, curve.variable])
            bend = curve.at(np.where(np.isnan(values), curve.middle, values))
            others = others + study.joint.mean[at - len(study.curves)] * bend
    return np.asarray(others, dtype=float)


def _line(table: ScoreTable, study: Study, j: int, line_x: Floats) -> Floats:
    """Return line and bands, shape (5, points) or (5, 0): mean, low80, high80, low95, high95."""
    index = study.entries.of(j) if study.entries is not None else None
    if study.joint is None or study.entries is None or index is None:
        return np.empty((5, 0))
    i, sign = index
    of = np.zeros((line_x.size, study.joint.means.shape[1]))
    of[:, 0] = 1.0
    at = on_scale(table, j, line_x)
    of[:, 1 + i] = sign * (at - study.entries.middle[j]) / study.entries.sd[j]
    for n, curve in enumerate(study.curves):
        if curve.variable == j:
            of[:, n - len(study.curves)] = curve.at(at)
    bands = study.joint.quantiles(of, [0.1, 0.9, 0.025, 0.975])
    if table.samples is not None:
        odds = np.vstack([of @ study.joint.mean, bands])
        return np.asarray(100 / (1 + np.exp(-odds)))
    return np.vstack([of @ study.joint.mean, bands]) + float(table.y.mean())


def on_scale(table: ScoreTable, j: int, values: Floats) -> Floats:
    """Values of column `j` as they enter the models."""
    scale = table.variables[j].scale
    return entered(values, scale) if fits(table.x[:, j], scale) else values
