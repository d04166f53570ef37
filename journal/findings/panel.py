"""The score of a wheel from the single scores of several assessors."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from journal.findings.error import FindingError
from journal.findings.table import Floats
from journal.message import Message

IntArray = NDArray[np.intp]


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
    own_variance : ndarray (units,)
        Of a score were everyone's level known; NaN with `se`.
    shared : ndarray (units, m)
        What the scores have in common through the fitted levels: their covariance is
        diag(own_variance) + shared @ shared.T.
    count : ndarray of int (units,)
        Single scores behind each score.
    assessor_ix, assessor_level : ndarray (assessors,)
        Each assessor's level in points above the average one.
    residual_sd : float
        Scatter of single scores about the fit, in points; NaN without degrees of freedom.
    df : int
    session_fitted : bool
        Whether the sessions' levels could be told from the wheels and were taken out.
    notes : list of Message
    """

    wheel_ix: IntArray
    age_days: Floats
    score: Floats
    se: Floats
    own_variance: Floats
    shared: Floats
    count: IntArray
    assessor_ix: IntArray
    assessor_level: Floats
    residual_sd: float
    df: int
    session_fitted: bool
    notes: list[Message]


def panel_scores(
    wheel_ix: ArrayLike,
    assessor_ix: ArrayLike,
    session_ix: ArrayLike,
    age_days: ArrayLike,
    score: ArrayLike,
) -> PanelScores:
    """Fit wheel at an age + assessor (+ session, where it can be told) by least squares.

    Assessors who score high or low are levelled, so a wheel that a strict one missed is not
    better off for it. A missing single score (NaN) never drops a wheel. Assessors' levels sum
    to zero, weighted by how much each scored, within each set of wheels that common
    assessors link; sets that nothing links cannot be levelled against each other, and a note
    says so.

    Parameters
    ----------
    wheel_ix, assessor_ix, session_ix : array_like of int (scores,)
        Numbers of wheel, assessor and session; any whole numbers.
    age_days : array_like (scores,)
        Age of the wheel at tasting; one wheel on one day is one unit.
    score : array_like (scores,)
        Single scores in points, NaN where missing.

    Raises
    ------
    FindingError
        When there is no score at all or the columns differ in length.
    """
    ids = [np.asarray(a).astype(np.intp) for a in (wheel_ix, assessor_ix, session_ix)]
    there, days, y = _given(ids, np.asarray(age_days, float), np.asarray(score, float))
    wheel, assessor, session = (a[there] for a in ids)
    units, unit = np.unique(np.column_stack([wheel, days]), axis=0, return_inverse=True)
    people, person = np.unique(assessor, return_inverse=True)
    unit, person = unit.reshape(-1), person.reshape(-1)
    part = linked(unit, person, len(units), len(people))
    levels, effects, sessions = _nuisance(unit, person, session, part, len(people))
    fit = _solve(unit, effects, y, len(units))
    return PanelScores(
        wheel_ix=units[:, 0].astype(np.intp),
        age_days=np.where(units[:, 1] < 0, np.nan, units[:, 1]),
        score=fit.score,
        se=np.sqrt(fit.own_variance + (fit.shared**2).sum(axis=1)),
        own_variance=fit.own_variance,
        shared=fit.shared,
        count=np.bincount(unit, minlength=len(units)),
        assessor_ix=people,
        assessor_level=levels @ fit.effect[: levels.shape[1]],
        residual_sd=fit.sd,
        df=fit.df,
        session_fitted=sessions,
        notes=_notes(ids[0], wheel, part, fit.df),
    )


def _given(ids: list[IntArray], age: Floats, score: Floats) -> tuple[Any, Floats, Floats]:
    """Which scores are there (scores,), and of those the whole days, -1 unknown, and the score."""
    if {a.shape for a in (*ids, age, score)} != {(score.size,)}:
        raise FindingError("findings.panel-uneven")
    there = np.isfinite(score)
    if not there.any():
        raise FindingError("findings.no-score-yet")
    days = np.round(age[there])
    return there, np.where(np.isfinite(days), days, -1.0), score[there]


def linked(unit: IntArray, person: IntArray, units: int, people: int) -> IntArray:
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


def _contrasts(weight: Floats, part: IntArray) -> Floats:
    """Columns (levels, contrasts) whose weighted sum within each part is zero."""
    columns = []
    for p in np.unique(part):
        own = np.flatnonzero(part == p)
        for one in own[:-1]:
            column = np.zeros(part.size)
            column[one] = 1.0
            column[own[-1]] = -weight[one] / weight[own[-1]]
            columns.append(column)
    return np.column_stack(columns) if columns else np.empty((part.size, 0))


def _nuisance(
    unit: IntArray, person: IntArray, session: IntArray, part: IntArray, people: int
) -> tuple[Floats, Floats, bool]:
    """Assessors' contrasts, and the columns (scores, m) of all that is not a wheel.

    Sessions join the columns where they can be told from the wheels, which the flag says.
    """
    weight = np.bincount(person, minlength=people).astype(float)
    levels = _contrasts(weight, part)
    columns = levels[person]
    days, day = np.unique(session, return_inverse=True)
    day = day.reshape(-1)
    if len(days) == 1 or len(days) > unit.size // 2:
        return levels, columns, False
    if linked(unit, day, int(unit.max()) + 1, len(days)).any():
        return levels, columns, False  # no wheel links them all: many would fill the memory
    share = np.bincount(day).astype(float)
    extra = _contrasts(share, np.zeros(len(days), dtype=np.intp))[day]
    wider = np.hstack([columns, extra])
    within, _ = _within(unit, wider)
    gram = within.T @ within
    estimable = bool(np.linalg.matrix_rank(gram, hermitian=True) == wider.shape[1])
    return (levels, wider, True) if estimable else (levels, columns, False)


def _within(unit: IntArray, columns: Floats) -> tuple[Floats, Floats]:
    """Columns (scores, m) less their mean within each unit, and those means (units, m)."""
    count = np.bincount(unit).astype(float)
    sums = np.zeros((count.size, columns.shape[1]))
    np.add.at(sums, unit, columns)
    means = sums / count[:, None]
    return columns - means[unit], means


@dataclass(frozen=True)
class _Fit:
    score: Floats
    effect: Floats
    own_variance: Floats
    shared: Floats
    sd: float
    df: int


def _solve(unit: IntArray, columns: Floats, y: Floats, units: int) -> _Fit:
    """Least squares of unit + columns, the units taken out first (they are only means).

    The same answer as one wide design, in time that grows with the scores, not their square.
    """
    within, means = _within(unit, columns)
    y_within, y_means = _within(unit, y[:, None])
    gram = within.T @ within
    effect = np.asarray(np.linalg.solve(gram, within.T @ y_within[:, 0]), dtype=float)
    score = y_means[:, 0] - means @ effect
    df = y.size - units - columns.shape[1]
    if df < 1:
        nothing = np.full(units, np.nan)
        return _Fit(score, effect, nothing, np.full_like(means, np.nan), float("nan"), 0)
    rss = float(((y_within[:, 0] - within @ effect) ** 2).sum())
    half = np.linalg.cholesky(np.linalg.inv(gram))
    scale = np.sqrt(rss / df)
    return _Fit(score, effect, scale**2 / np.bincount(unit), scale * means @ half, float(scale), df)


def _notes(given: IntArray, scored: IntArray, part: IntArray, df: int) -> list[Message]:
    notes = []
    empty = len(set(given.tolist()) - set(scored.tolist()))
    if empty:
        notes.append(Message("findings.wheels-without-score", wheels=empty))
    if part.max(initial=0) > 0:
        notes.append(Message("findings.wheels-unlinked"))
    if df < 1:
        notes.append(Message("findings.scatter-unknown"))
    return notes
