"""What a designed series says once its makes have scores, the seasons of milk taken out.

Fewer than five makes: no ranges, only the picture and the plain means. A make without a score is
waited for, not guessed. What counts is what was really made, where the record says it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.findings.error import FindingError
from journal.findings.evidence import CLEAR, FALSE_CLEAR, LEANING, LEAST_MAKES, UNDECIDED
from journal.findings.joint import fit_joint
from journal.findings.lack_of_fit import LackOfFit, lack_of_fit
from journal.findings.predict import row_of
from journal.findings.scatter import on_scale
from journal.findings.series import Design
from journal.findings.study import Study
from journal.findings.table import AGE_KEY, Floats, ScoreTable
from journal.message import Message

AGES_APART_DAYS = 14.0  # from here on the age at tasting is taken out too
OFF = 0.5  # of half the span, from where a make counts as made otherwise than wanted


@dataclass(frozen=True)
class SeriesEffect:
    """What going from low to high of a factor does, in points, with its ranges.

    `evidence` is "clear" where the range that holds all factors at once 95 times in 100
    (Bonferroni's) is free of zero, "leaning" where the 80 % range is.
    """

    factor: str
    effect: float
    low80: float
    high80: float
    low95: float
    high95: float
    evidence: str = UNDECIDED
    chance_positive: float = float("nan")


@dataclass(frozen=True)
class AllMakes:
    """What going from low to high of a factor does by all makes of the journal it is known of, in
    points."""

    effect: float
    low80: float
    high80: float
    makes: int


@dataclass(frozen=True)
class Means:
    """The plain means of a factor: of the makes on its low side, and of those on its high one."""

    factor: str
    low: float
    high: float
    lows: int
    highs: int


@dataclass(frozen=True, eq=False)
class SeriesAnswer:
    """What is known of a series.

    Parameters
    ----------
    score : ndarray (makes,)
        Each make's score, NaN while it has none.
    real : ndarray (makes, factors)
        What was made where the record says it, else what was wanted.
    effects : list of SeriesEffect
        Empty while nothing can be told; `why` says so then.
    means : list of Means
    seasons : list of float
        Each season's level against the first one's, points; empty where there is but one.
    age_out : bool
        Whether the age at tasting was taken out too.
    off : list of (make, factor)
        Places of what was made otherwise than wanted.
    fit : LackOfFit or None
        Whether straight lines explain what makes made alike do not; None where no two are alike.
    together : list of AllMakes or None
        What going from low to high does by every make of the journal, those of the series among
        them; one a factor, None where the journal cannot tell.
    """

    score: Floats
    real: Floats
    effects: list[SeriesEffect]
    means: list[Means]
    seasons: list[float]
    why: Message | None
    age_out: bool
    off: list[tuple[int, int]]
    fit: LackOfFit | None = None
    together: tuple[AllMakes | None, ...] = ()

    @property
    def scored(self) -> int:
        """How many makes have a score."""
        return int(np.isfinite(self.score).sum())


def answer_series(
    planned: Design,
    keys: Sequence[str],
    codes: Sequence[str],
    table: ScoreTable | None,
    study: Study | None = None,
) -> SeriesAnswer:
    """Read a series out of a table of scores.

    Parameters
    ----------
    planned : Design
        As it was set up.
    keys : sequence of str
        The factors' make variables.
    codes : sequence of str
        Each make's code, "" where it is still to be made.
    table : ScoreTable, optional
        None where nothing was scored yet.
    study : Study, optional
        Of that table: what all makes of the journal say of the same changes.
    """
    wanted = planned.values()
    score, real, age = _seen(wanted, keys, codes, table)
    off = [
        (i, j)
        for i in range(len(codes))
        for j, f in enumerate(planned.factors)
        if abs(f.coded(float(real[i, j])) - planned.coded[i, j]) > OFF
    ]
    effects, seasons, why, aged = [], [], None, _apart(age, score)
    try:
        effects = analyse(planned, real, planned.block.tolist(), score, age if aged else None)
        seasons = _seasons(planned, real, score, effects)
    except FindingError as error:
        why = error.message
    means = _means(planned, real, score)
    fit = _fit(planned, real, score, age if aged else None, off) if effects else None
    together = tuple(
        _by_all_makes(table, study, key, factor.low, factor.high)
        for key, factor in zip(keys, planned.factors, strict=True)
    )
    return SeriesAnswer(
        score, real, effects, means, seasons, why, aged and bool(effects), off, fit, together
    )


def _fit(
    planned: Design, real: Floats, score: Floats, age: Floats | None, off: list[tuple[int, int]]
) -> LackOfFit | None:
    """Whether lines through the ends explain the scores; what was made otherwise is like no other
    make."""
    seen = np.isfinite(score)
    lines = planned.coded.copy()
    alike = np.unique(np.round(lines, 1), axis=0, return_inverse=True)[1].reshape(-1)
    for n, i in enumerate(sorted({make for make, _ in off})):
        alike[i] = len(lines) + n
        lines[i] = [f.coded(float(v)) for f, v in zip(planned.factors, real[i], strict=True)]
    beside = (planned.block[:, None] == np.array(planned.parts)).astype(float)
    if age is not None:
        beside = np.column_stack([beside, _filled(age)])
    in_middle = planned.middle & ~np.isin(alike, np.arange(len(lines), len(lines) + len(lines)))
    return lack_of_fit(lines[seen], score[seen], alike[seen], in_middle[seen], beside[seen])


def _by_all_makes(
    table: ScoreTable | None, study: Study | None, key: str, low: float, high: float
) -> AllMakes | None:
    """What the journal's own study says of going from low to high; None where it cannot."""
    keys = [v.key for v in table.variables] if table is not None else []
    if table is None or study is None or study.joint is None or key not in keys:
        return None
    assert study.entries is not None
    j = keys.index(key)
    if study.entries.of(j) is None:
        return None
    ends = []
    for value in on_scale(table, j, np.array([low, high])):
        values = study.entries.middle.copy()
        values[j] = value
        ends.append(row_of(table, study, values))
    of = (ends[1] - ends[0])[None]
    low80, high80 = study.joint.quantiles(of, [0.1, 0.9])[:, 0]
    effect = float((of @ study.joint.mean)[0])
    return AllMakes(effect, float(low80), float(high80), table.known_makes(j))


def analyse(
    planned: Design,
    real: Floats,
    block: Sequence[int],
    score: Floats,
    age: Floats | None = None,
) -> list[SeriesEffect]:
    """What the factors of a series did, the blocks' levels taken out.

    Parameters
    ----------
    planned : Design
    real : ndarray (makes, factors)
        The values really made, in the factors' units.
    block : sequence of int (makes,)
    score : ndarray (makes,)
        NaN where a make has no score yet; such makes are waited for, not guessed.
    age : ndarray (makes,), optional
        The age at tasting, where it is to be taken out.

    Raises
    ------
    FindingError
        When fewer than five makes have a score, or a factor has not moved among them.
    """
    seen = np.isfinite(score)
    count = int(seen.sum())
    if count < LEAST_MAKES:
        raise FindingError("findings.too-few-scored", scored=count, least=LEAST_MAKES)
    columns = [[f.coded(float(v)) for v in real[seen, j]] for j, f in enumerate(planned.factors)]
    for f, column in zip(planned.factors, columns, strict=True):
        if np.ptp(column) <= 0:
            raise FindingError("findings.factor-not-moved", variable=f.name)
    if age is not None:
        columns.append(_filled(age[seen]))
    x = np.array(columns, dtype=float).T
    sd = x.std(axis=0, ddof=1)
    z, y = (x - x.mean(axis=0)) / sd, np.asarray(score, dtype=float)[seen]
    parts = np.asarray(block)[seen]
    spread_y = max(float(y.std(ddof=1)), 1e-6)
    levels = (parts[:, None] == np.unique(parts)).astype(float) * spread_y * 3
    shared = levels if levels.shape[1] > 1 else None
    joint = fit_joint(
        z, y, np.zeros(count), np.arange(count), np.zeros(count, dtype=np.intp),
        np.ones(x.shape[1]), x.shape[1], shared=shared,
    )  # fmt: skip
    many = len(planned.factors)
    of = np.zeros((many, joint.means.shape[1]))
    of[:, 1 : 1 + many] = np.diag(2 / sd[:many])
    tail = FALSE_CLEAR / 2 / many
    bands = joint.quantiles(of, [0.1, 0.9, 0.025, 0.975, tail, 1 - tail])
    middle, chance = of @ joint.mean, joint.chance_positive(of)
    return [
        SeriesEffect(
            f.name, float(middle[j]), float(bands[0, j]), float(bands[1, j]),
            float(bands[2, j]), float(bands[3, j]), _evidence(bands[:, j]), float(chance[j]),
        )
        for j, f in enumerate(planned.factors)
    ]  # fmt: skip


def _evidence(bands: Floats) -> str:
    low80, high80, _, _, low, high = bands.tolist()
    if low > 0 or high < 0:
        return CLEAR
    return LEANING if low80 > 0 or high80 < 0 else UNDECIDED


def _filled(age: Floats) -> list[float]:
    """Ages with the middle one where one is not known."""
    middle = float(np.nanmedian(age))
    return [middle if np.isnan(a) else float(a) for a in age]


def _seen(
    wanted: Floats, keys: Sequence[str], codes: Sequence[str], table: ScoreTable | None
) -> tuple[Floats, Floats, Floats]:
    """Each make's score, what was made of it, and its age at tasting: means over its wheels."""
    score, real = np.full(len(codes), np.nan), wanted.copy()
    age = np.full(len(codes), np.nan)
    if table is None:
        return score, real, age
    at = {v.key: j for j, v in enumerate(table.variables)}
    for i, code in enumerate(codes):
        own = np.array([bool(code) and m == code for m in table.make])
        if not own.any():
            continue
        score[i] = float(table.y[own].mean())
        age[i] = _mean(table.x[own, at[AGE_KEY]]) if AGE_KEY in at else np.nan
        for j, key in enumerate(keys):
            value = _mean(table.x[own, at[key]]) if key in at else np.nan
            real[i, j] = value if np.isfinite(value) else real[i, j]
    return score, real, age


def _mean(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else float("nan")


def _apart(age: Floats, score: Floats) -> bool:
    known = age[np.isfinite(age) & np.isfinite(score)]
    return known.size > 1 and float(np.ptp(known)) > AGES_APART_DAYS


def _means(planned: Design, real: Floats, score: Floats) -> list[Means]:
    out = []
    for j, f in enumerate(planned.factors):
        side = np.array([f.coded(float(v)) for v in real[:, j]])
        low, high = (score[np.isfinite(score) & on] for on in (side < -0.3, side > 0.3))
        out.append(Means(f.name, _mean(low), _mean(high), low.size, high.size))
    return out


def _seasons(
    planned: Design, real: Floats, score: Floats, effects: Sequence[SeriesEffect]
) -> list[float]:
    """Each season's level against the first's, with the effects taken off."""
    off = score.copy()
    for j, (f, e) in enumerate(zip(planned.factors, effects, strict=True)):
        off -= np.array([f.coded(float(v)) for v in real[:, j]]) * e.effect / 2
    levels = [_mean(off[planned.block == b]) for b in planned.parts]
    return [level - levels[0] for level in levels] if len(levels) > 1 else []
