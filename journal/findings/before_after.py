"""Before and after a change: two sets of makes, and what else differed between them.

The plain difference is that of the makes' means (Welch's range, a permutation p, exact where all
ways to split can be looked at); of a defect it is that of how many samples in 100 name it over such
makes (by logistic regression on the change alone, since a set without one such sample has no spread
Welch could go by), with the permutation p of the makes' shares. Beside it stands the difference
with all other variables and the age held, from the joint model. What cannot be told from the
change is named: the season of the milk, the age at tasting, any variable that moved with it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from journal.findings.ahead import less_sure
from journal.findings.curve import bends_of
from journal.findings.defects import fit_logistic, over_makes
from journal.findings.error import FindingError
from journal.findings.joint import Joint, JointData, fit_given
from journal.findings.missing import Gaps, fill, make_means
from journal.findings.nested import IntArray
from journal.findings.study import Study
from journal.findings.table import AGE_KEY, Floats, ScoreTable, Variable
from journal.message import Message

Bools = NDArray[np.bool_]
LEAST_EACH = 3
ALL_SPLITS = 200_000
RANDOM_SPLITS = 9999
DIFFERS = 0.8  # sds between the sets before a variable is named as one that moved with them
SEASONS = (
    "findings.december-to-february",
    "findings.march-to-may",
    "findings.june-to-august",
    "findings.september-to-november",
)
"""By months, which are the same everywhere: winter is not."""
SHARED_SEASON = 0.5


@dataclass(frozen=True)
class BeforeAfter:
    """Two sets of makes compared, in points (of a defect: samples in 100): after less before.

    `low80` … `high95` are Welch's, or those of the logistic regression for a defect, `p` the
    permutation p; `held` with `held_low80` … is the difference with all else held, NaN where too
    few makes could tell. `beside` says what else differed. With
    `is_defect` it is about samples in 100 and not about points.
    """

    before: int
    after: int
    difference: float
    low80: float
    high80: float
    low95: float
    high95: float
    p: float
    held: float
    held_low80: float
    held_high80: float
    held_low95: float
    held_high95: float
    beside: tuple[Message, ...]
    score: str
    is_defect: bool


def compare_change(
    table: ScoreTable,
    study: Study,
    after: Sequence[bool],
    months: Sequence[int],
    *,
    split_by: str = "",
) -> BeforeAfter:
    """Compare the makes after a change with those before it.

    Parameters
    ----------
    table, study : a study and its table
    after : sequence of bool (rows,)
        Whether the row's make came after the change (or on the far side of a split).
    months : sequence of int (rows,)
        Month of the make, 1 to 12.
    split_by : str
        The variable whose split this is, if it is one: it is not held.

    Raises
    ------
    FindingError
        When either side has fewer than three makes, or a make stands on both.
    """
    late = np.asarray(after, dtype=bool)
    number = np.unique(np.asarray(table.make, dtype=str), return_inverse=True)[1].reshape(-1)
    side = make_means(late.astype(float), number)
    if ((side > 0) & (side < 1)).any():
        raise FindingError("findings.make-on-both-sides")
    scores = make_means(table.y, number) if table.samples is None else _shares(table, number)
    old, new = scores[side == 0], scores[side == 1]
    if min(old.size, new.size) < LEAST_EACH:
        raise FindingError(
            "findings.too-few-either-side", before=int(old.size), after=int(new.size)
        )
    plain = _of_samples(table, late, number) if table.samples is not None else None
    difference, ends = plain or welch(old, new)
    held = _held(table, study, late, number, split_by)
    beside = (*_seasons(late, np.asarray(months)), *_others(table, late, split_by))
    p = split_p(old, new)
    return BeforeAfter(
        int(old.size), int(new.size), difference, *ends, p, *held, beside,
        table.score_name, table.samples is not None,
    )  # fmt: skip


def welch(before: Floats, after: Floats) -> tuple[float, tuple[float, float, float, float]]:
    """The difference of two means, and its 80 and 95 % range (low80, high80, low95, high95)."""
    difference, se, df = _welch(before, after)
    from scipy.special import stdtrit

    at80, at95 = (float(stdtrit(df, share)) * se for share in (0.9, 0.975))
    return difference, (difference - at80, difference + at80, difference - at95, difference + at95)


def welch_p(before: Floats, after: Floats) -> float:
    """The two-sided p of the difference of two means, by Welch's t."""
    from scipy.special import stdtr

    difference, se, df = _welch(before, after)
    return float(2 * stdtr(df, -abs(difference / se)))


def _welch(before: Floats, after: Floats) -> tuple[float, float, float]:
    parts = [float(side.var(ddof=1)) / side.size for side in (before, after)]
    total = max(sum(parts), 1e-300)
    below = sum(
        part**2 / (side.size - 1) for part, side in zip(parts, (before, after), strict=True)
    )
    df = total**2 / below if below > 0 else float(before.size + after.size - 2)
    return float(after.mean() - before.mean()), math.sqrt(total), df


def split_p(before: Floats, after: Floats, seed: int = 0) -> float:
    """The share of all ways to split the makes with so large a difference of means, either way."""
    values = np.concatenate([before, after])
    few = min(before.size, after.size)
    seen = abs(float(before.sum() if before.size == few else after.sum()) - few * values.mean())
    slack = 1e-9 * max(1.0, float(np.abs(values).max()))
    if math.comb(values.size, few) <= ALL_SPLITS:
        chosen = np.array(list(combinations(range(values.size), few)))
        sums = values[chosen].sum(axis=1)
        return float((np.abs(sums - few * values.mean()) >= seen - slack).mean())
    draw = np.random.default_rng([seed, values.size])
    orders = draw.permuted(np.tile(values, (RANDOM_SPLITS, 1)), axis=1)[:, :few].sum(axis=1)
    beyond = np.count_nonzero(np.abs(orders - few * values.mean()) >= seen - slack)
    return float((beyond + 1) / (RANDOM_SPLITS + 1))


def _shares(table: ScoreTable, number: IntArray) -> Floats:
    """How many samples in 100 of each make (makes,) name the defect."""
    assert table.named is not None
    assert table.samples is not None
    named, samples = np.bincount(number, table.named), np.bincount(number, table.samples)
    return np.asarray(100 * named / samples, dtype=float)


Ends = tuple[float, float, float, float]


def _of_samples(table: ScoreTable, late: Bools, number: IntArray) -> tuple[float, Ends]:
    """In how many more samples of 100 it is named on makes like those of the far side, and the
    ranges."""
    assert table.named is not None
    assert table.samples is not None
    z = _standard(late)
    joint = fit_logistic(z[:, None], table.named, table.samples, number, np.ones(1), 1)
    return _between(joint, z, late, 1)


def _standard(late: Bools) -> Floats:
    """The change as a column of mean 0 and sd 1."""
    return np.asarray((late - late.mean()) / late.std(ddof=1), dtype=float)


def _between(joint: Joint, z: Floats, late: Bools, column: int) -> tuple[float, Ends]:
    """Cards in 100 after less before: the middle and the ranges, each make's random effect
    averaged out."""
    of = np.zeros((2, joint.means.shape[1]))
    of[:, 0] = 1.0
    of[:, column] = z[~late][0], z[late][0]
    odds, random_effect = joint.draws(of)
    before, after = over_makes(odds, random_effect).T
    middle, *ends = np.quantile(after - before, [0.5, 0.1, 0.9, 0.025, 0.975]).tolist()
    return middle, (ends[0], ends[1], ends[2], ends[3])


Held = tuple[float, float, float, float, float]


def _held(table: ScoreTable, study: Study, late: Bools, number: IntArray, split_by: str) -> Held:
    """The difference with all else held, and its ranges; NaN where the study has none."""
    nothing = (math.nan, math.nan, math.nan, math.nan, math.nan)
    if study.joint is None or study.entries is None:
        return nothing
    own = table.position(split_by) if split_by else -1
    index = study.entries.of(own) if own >= 0 else None
    kept = [i for i in range(len(study.entries.entries)) if index is None or i != index[0]]
    z = np.column_stack([study.entries.z[:, kept], _standard(late)])
    members = np.array([len(study.entries.entries[i].members) for i in kept] + [1], dtype=float)
    curves = tuple(curve for curve in study.curves if curve.variable != own)
    filled = fill(table)
    gaps = Gaps.of(filled, study.entries)
    gaps, bend = gaps and gaps.choosing(kept, 1), bends_of(curves, filled.x)
    tried, at = int(members.sum()), len(kept) + 1
    if table.named is not None and table.samples is not None:
        joint = fit_logistic(
            z, table.named, table.samples, number, members, tried, bend=bend, gaps=gaps
        )
        middle, ends = _between(joint, z[:, -1], late, at)
        return middle, *ends
    wheel = np.unique(np.asarray(table.wheel, dtype=str), return_inverse=True)[1].reshape(-1)
    given = JointData.of(
        z, table.y, table.y_se, number, wheel, members, tried, bend=bend, shared=table.shared
    )
    joint = fit_given(less_sure(given, gaps))
    of = np.zeros((1, joint.means.shape[1]))
    of[0, at] = 1 / float(late.std(ddof=1))
    low80, high80, low95, high95 = joint.quantiles(of, [0.1, 0.9, 0.025, 0.975])[:, 0]
    return float((of @ joint.mean)[0]), float(low80), float(high80), float(low95), float(high95)


def season(month: int) -> str:
    """The quarter of the year a month lies in, one of `SEASONS`."""
    return SEASONS[month % 12 // 3]


def _seasons(late: Bools, months: IntArray) -> list[Message]:
    """What is to be said where the two sets come from other seasons."""
    if len(months) != len(late):
        return []
    share = [
        np.array([np.mean([season(m) == s for m in months[side]]) for s in SEASONS])
        for side in (~late, late)
    ]
    if float(np.minimum(*share).sum()) >= SHARED_SEASON:
        return []
    before, after = (
        tuple(Message(s) for s, part in zip(SEASONS, one, strict=True) if part >= 0.2)
        for one in share
    )
    return [Message("findings.season-changed", before=before, after=after)]


def _others(table: ScoreTable, late: Bools, split_by: str) -> list[Message]:
    """What is to be said of each variable that differed between the sets, the most first."""
    found = []
    for j, variable in enumerate(table.variables):
        if split_by and j == table.position(split_by):
            continue
        value = table.x[:, j]
        known = np.isfinite(value)
        sides = [value[known & side] for side in (~late, late)]
        if min(side.size for side in sides) < LEAST_EACH:
            continue
        pooled = math.sqrt(sum(float(side.var()) for side in sides) / 2)
        apart = float(sides[1].mean() - sides[0].mean())
        if pooled <= 0 or abs(apart) / pooled < DIFFERS:
            continue
        found.append((abs(apart) / pooled, variable, [float(side.mean()) for side in sides]))
    found.sort(key=_apart, reverse=True)
    return [_differed(variable, means) for _, variable, means in found]


def _apart(one: tuple[float, object, object]) -> float:
    return one[0]


def _differed(variable: Variable, means: list[float]) -> Message:
    before, after = means
    if variable.key == AGE_KEY:
        return Message("findings.age-differed", before=before, after=after, unit=variable.unit)
    return Message(
        "findings.also-differed",
        variable=variable.name, before=before, after=after, unit=variable.unit,
    )  # fmt: skip
