"""The score of a wheel from the single scores of several assessors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from journal.findings.error import FindingError
from journal.findings.table import Floats

Whole = NDArray[np.intp]


@dataclass(frozen=True)
class PanelScores:
    """Scores of wheels at an age, levelled for who tasted them.

    Parameters
    ----------
    wheel_ix : ndarray of int (units,)
        Number of the wheel, as it was given.
    age_days : ndarray (units,)
    score, se : ndarray (units,)
        Score at the level of the average assessor, and its standard error; NaN where no
        wheel was scored often enough to learn how much single scores scatter.
    covariance : ndarray (units, units)
        Of the scores; NaN with `se`.
    count : ndarray of int (units,)
        Single scores behind each score.
    assessor_ix, assessor_level : ndarray (assessors,)
        Each assessor's level in points above the average one.
    residual_sd : float
        Scatter of single scores about the fit, in points; NaN without degrees of freedom.
    df : int
    sitting_fitted : bool
        Whether the sittings' levels could be told from the wheels and were taken out.
    notes : list of str
    """

    wheel_ix: Whole
    age_days: Floats
    score: Floats
    se: Floats
    covariance: Floats
    count: Whole
    assessor_ix: Whole
    assessor_level: Floats
    residual_sd: float
    df: int
    sitting_fitted: bool
    notes: list[str]


def panel_scores(
    wheel_ix: ArrayLike,
    assessor_ix: ArrayLike,
    sitting_ix: ArrayLike,
    age_days: ArrayLike,
    score: ArrayLike,
) -> PanelScores:
    """Fit wheel at an age + assessor (+ sitting, where it can be told) by least squares.

    Assessors who score high or low are levelled, so a wheel that a strict one missed is not
    better off for it. A missing single score (NaN) never drops a wheel. Assessors' levels sum
    to nought, weighted by how much each scored, within each set of wheels that common
    assessors link; sets that nothing links cannot be levelled against each other, and a note
    says so.

    Parameters
    ----------
    wheel_ix, assessor_ix, sitting_ix : array_like of int (scores,)
        Numbers of wheel, assessor and sitting; any whole numbers.
    age_days : array_like (scores,)
        Age of the wheel at tasting; one wheel on one day is one unit.
    score : array_like (scores,)
        Single scores in points, NaN where missing.

    Raises
    ------
    FindingError
        When there is no score at all or the columns differ in length.
    """
    given = np.asarray(score, dtype=float)
    ids = [np.asarray(a).astype(np.intp) for a in (wheel_ix, assessor_ix, sitting_ix)]
    age = np.asarray(age_days, dtype=float)
    if {a.shape for a in (*ids, age, given)} != {(given.size,)}:
        raise FindingError("A panel's scores need a wheel, an assessor, a sitting and an age each.")
    there = np.isfinite(given)
    if not there.any():
        raise FindingError("There is no score yet.")
    wheel, assessor, sitting = (a[there] for a in ids)
    y, days = given[there], np.round(age[there])
    days = np.where(np.isfinite(days), days, -1.0)
    units, unit = np.unique(np.column_stack([wheel, days]), axis=0, return_inverse=True)
    people, person = np.unique(assessor, return_inverse=True)
    unit, person = unit.reshape(-1), person.reshape(-1)
    part = linked(unit, person, len(units), len(people))
    design, levels, sittings = _design(unit, person, sitting, part, len(units), len(people))
    beta, covariance, sd, df = _solve(design, y)
    k, c = len(units), levels.shape[1]
    return PanelScores(
        wheel_ix=units[:, 0].astype(np.intp),
        age_days=np.where(units[:, 1] < 0, np.nan, units[:, 1]),
        score=beta[:k],
        se=np.sqrt(np.diag(covariance)[:k]),
        covariance=covariance[:k, :k],
        count=np.bincount(unit, minlength=k),
        assessor_ix=people,
        assessor_level=levels @ beta[k : k + c],
        residual_sd=sd,
        df=df,
        sitting_fitted=sittings,
        notes=_notes(ids[0], wheel, part, df),
    )


def linked(unit: Whole, person: Whole, units: int, people: int) -> Whole:
    """Number the sets of assessors (people,) that common wheels link, from 0."""
    of_person = np.arange(people)
    while True:
        of_unit = np.full(units, people, dtype=np.intp)
        np.minimum.at(of_unit, unit, of_person[person])
        after = of_person.copy()
        np.minimum.at(after, person, of_unit[unit])
        if (after == of_person).all():
            return np.unique(after, return_inverse=True)[1].reshape(-1)
        of_person = after


def _contrasts(weight: Floats, part: Whole) -> Floats:
    """Columns (levels, contrasts) whose weighted sum within each part is nought."""
    columns = []
    for p in np.unique(part):
        own = np.flatnonzero(part == p)
        for one in own[:-1]:
            column = np.zeros(part.size)
            column[one] = 1.0
            column[own[-1]] = -weight[one] / weight[own[-1]]
            columns.append(column)
    return np.column_stack(columns) if columns else np.empty((part.size, 0))


def _design(
    unit: Whole, person: Whole, sitting: Whole, part: Whole, units: int, people: int
) -> tuple[Floats, Floats, bool]:
    weight = np.bincount(person, minlength=people).astype(float)
    levels = _contrasts(weight, part)
    design = np.hstack([np.eye(units)[unit], levels[person]])
    days, day = np.unique(sitting, return_inverse=True)
    if len(days) == 1:
        return design, levels, False
    share = np.bincount(day.reshape(-1)).astype(float)
    extra = _contrasts(share, np.zeros(len(days), dtype=np.intp))[day.reshape(-1)]
    wider = np.hstack([design, extra])
    estimable = np.linalg.matrix_rank(wider) == wider.shape[1]
    return (wider, levels, True) if estimable else (design, levels, False)


def _solve(design: Floats, y: Floats) -> tuple[Floats, Floats, float, int]:
    beta = np.asarray(np.linalg.lstsq(design, y, rcond=None)[0], dtype=float)
    df = y.size - design.shape[1]
    inverse = np.asarray(np.linalg.inv(design.T @ design), dtype=float)
    if df < 1:
        return beta, np.full_like(inverse, np.nan), float("nan"), 0
    rss = float(((y - design @ beta) ** 2).sum())
    return beta, inverse * rss / df, float(np.sqrt(rss / df)), df


def _notes(given: Whole, scored: Whole, part: Whole, df: int) -> list[str]:
    notes = []
    empty = len(set(given.tolist()) - set(scored.tolist()))
    if empty:
        notes.append(f"{empty} {'wheel has' if empty == 1 else 'wheels have'} no score yet.")
    if part.max(initial=0) > 0:
        notes.append(
            "Some wheels share no assessor with the others, so their levels may differ by who "
            "tasted them."
        )
    if df < 1:
        notes.append(
            "Each wheel has too few scores to say how much single scores scatter; a second "
            "assessor would tell."
        )
    return notes
