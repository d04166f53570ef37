"""How far a panel's scores can be trusted: agreement, levels, spread and repeats."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from journal.findings.error import FindingError
from journal.findings.panel import panel_scores
from journal.findings.table import Floats

_FEW_WHEELS = 3


@dataclass(frozen=True)
class Intraclass:
    """The six intraclass correlations of Shrout and Fleiss, with the mean squares behind them.

    `one` holds ICC(1,1), (2,1), (3,1): the trust in a single score; `mean` ICC(1,k), (2,k),
    (3,k): in the panel's mean. The second number counts how assessors are looked at: each sample
    has its own (1), drawn from many (2), these and no others (3). `low` and `high` are the 95 %
    range of ICC(3,1).
    """

    one: tuple[float, float, float]
    mean: tuple[float, float, float]
    between: float
    within: float
    assessors: float
    residual: float
    low: float
    high: float


def intraclass(given: ArrayLike) -> Intraclass:
    """All six intraclass correlations of a full table (samples, assessors).

    Source: Shrout & Fleiss 1979, Psychol. Bull. 86, 420-428.

    Raises
    ------
    FindingError
        With fewer than two samples or assessors, a missing score, or no scatter at all.
    """
    table = np.asarray(given, dtype=float)
    if table.ndim != 2 or min(table.shape) < 2 or not np.isfinite(table).all():
        raise FindingError("findings.agreement-too-small")
    n, k = table.shape
    mean = table.mean()
    rows, columns = table.mean(axis=1), table.mean(axis=0)
    ss_rows = k * float(((rows - mean) ** 2).sum())
    ss_columns = n * float(((columns - mean) ** 2).sum())
    ss_all = float(((table - mean) ** 2).sum())
    bms, jms = ss_rows / (n - 1), ss_columns / (k - 1)
    wms = (ss_all - ss_rows) / (n * (k - 1))
    ems = max(0.0, ss_all - ss_rows - ss_columns) / ((n - 1) * (k - 1))
    if bms <= 0 and wms <= 0:
        raise FindingError("findings.panel-all-alike")
    low, high = _range(bms, ems, n, k)
    return Intraclass(
        one=(
            _part(bms - wms, bms + (k - 1) * wms),
            _part(bms - ems, bms + (k - 1) * ems + k * (jms - ems) / n),
            _part(bms - ems, bms + (k - 1) * ems),
        ),
        mean=(
            _part(bms - wms, bms),
            _part(bms - ems, bms + (jms - ems) / n),
            _part(bms - ems, bms),
        ),
        between=bms, within=wms, assessors=jms, residual=ems, low=low, high=high,
    )  # fmt: skip


def _part(top: float, under: float) -> float:
    return top / under if under > 0 else math.nan


def _range(bms: float, ems: float, n: int, k: int) -> tuple[float, float]:
    """The exact 95 % range of ICC(3,1), from F (Shrout & Fleiss 1979)."""
    from scipy.special import fdtri

    if ems <= 0:
        return 1.0, 1.0
    seen, df, rest = bms / ems, n - 1, (n - 1) * (k - 1)
    low = seen / float(fdtri(df, rest, 0.975))
    high = seen * float(fdtri(rest, df, 0.975))
    return (low - 1) / (low + k - 1), (high - 1) / (high + k - 1)


@dataclass(frozen=True)
class OrdinalAgreement:
    """Krippendorff's alpha: 1 is full agreement, 0 what chance gives; with its 95 % range."""

    alpha: float
    low: float
    high: float
    samples: int
    people: int


def ordinal_agreement(given: ArrayLike, *, draws: int = 1000, seed: int = 1) -> OrdinalAgreement:
    """How far assessors put samples in one order: a table (samples, assessors), gaps are NaN.

    Only the order of the scores counts, not how far apart they are. Source: Krippendorff 2011,
    Computing Krippendorff's alpha-reliability (ordinal difference function). The range is of
    samples drawn again (bootstrap over samples).

    Raises
    ------
    FindingError
        When fewer than two samples have two scores, or all scores are the same.
    """
    table = np.asarray(given, dtype=float)
    if table.ndim != 2:
        raise FindingError("findings.agreement-too-small")
    counts = _counts(table)
    if len(counts) < 2:
        raise FindingError("findings.agreement-too-small")
    alpha = _alpha(counts)
    if math.isnan(alpha):
        raise FindingError("findings.panel-all-alike")
    rng = np.random.default_rng(seed)
    drawn = [_alpha(counts[rng.integers(len(counts), size=len(counts))]) for _ in range(draws)]
    low, high = np.nanquantile(drawn, (0.025, 0.975))
    people = int((~np.isnan(table)).any(axis=0).sum())
    return OrdinalAgreement(alpha, float(low), float(high), len(counts), people)


def _counts(table: Floats) -> Floats:
    """For each sample with two scores or more, how often each value was given."""
    values = np.unique(table[np.isfinite(table)])
    counts = (table[:, :, None] == values[None, None, :]).sum(axis=1).astype(float)
    return np.asarray(counts[counts.sum(axis=1) >= 2], dtype=float)


def _alpha(counts: Floats) -> float:
    """Alpha from how often each sample (rows) was given each value (columns, in order); NaN where
    nothing differs."""
    each = counts.sum(axis=0)
    all_of = each.sum()
    upto = np.cumsum(each) - each / 2
    apart = (upto[:, None] - upto[None, :]) ** 2
    of = counts.sum(axis=1)
    seen = float((((counts @ apart) * counts).sum(axis=1) / (of - 1)).sum()) / all_of
    chance = float(each @ apart @ each) / (all_of * (all_of - 1))
    return 1 - seen / chance if chance > 0 else math.nan


def fleiss_kappa(counts: ArrayLike) -> float:
    """How far assessors agree in naming one of several things, beyond chance; 1 is always.

    Parameters
    ----------
    counts : array_like of int (samples, things)
        How many assessors named which; the same number of them for each sample.

    Returns
    -------
    float
        NaN where everyone always named the same one thing, so that nothing could differ.

    Source: Fleiss 1971, Psychol. Bull. 76, 378-382.

    Raises
    ------
    FindingError
        When fewer than two named something, or not equally many for each sample.
    """
    table = np.asarray(counts, dtype=float)
    people = table.sum(axis=1) if table.ndim == 2 else np.zeros(1)
    if table.ndim != 2 or people.size == 0 or people.min() < 2 or np.ptp(people) > 0:
        raise FindingError("findings.defect-agreement-uneven")
    k = float(people[0])
    seen = float((((table**2).sum(axis=1) - k) / (k * (k - 1))).mean())
    share = table.sum(axis=0) / table.sum()
    chance = float((share**2).sum())
    return (seen - chance) / (1 - chance) if chance < 1 else math.nan


@dataclass(frozen=True)
class Member:
    """One assessor among the others.

    Attributes
    ----------
    assessor : int
        The number it was given under.
    scores : int
    level : float
        Points above the panel's, wheels and days being equal.
    spread : float
        How far apart this assessor sets wheels, against how far the others' mean sets the same
        ones apart (1: as far); NaN below three wheels in common.
    with_others : float
        Correlation with the others' mean; NaN below three wheels in common.
    low, high : float
        Its 95 % range (Fisher's z); NaN below four wheels in common.
    repeat_sd : float
        Scatter of one score, from the same cheese served twice unknown; NaN without doubles.
    doubles : int
    """

    assessor: int
    scores: int
    level: float
    spread: float
    with_others: float
    repeat_sd: float
    doubles: int
    low: float = math.nan
    high: float = math.nan


def members(
    assessor_ix: ArrayLike, sample_ix: ArrayLike, cheese_ix: ArrayLike, score: ArrayLike
) -> list[Member]:
    """What each assessor is like, from single scores of one attribute.

    Parameters
    ----------
    assessor_ix, sample_ix, cheese_ix : array_like of int (scores,)
        Who; which sample of which session; and which cheese of which session, so that two samples
        of one cheese at one session (doubles) share their number.
    score : array_like (scores,)

    Raises
    ------
    FindingError
        When there is no score.
    """
    who, sample, cheese = (
        np.asarray(a).astype(np.intp) for a in (assessor_ix, sample_ix, cheese_ix)
    )
    given = np.asarray(score, dtype=float)
    fit = panel_scores(cheese, who, np.zeros_like(who), np.zeros(given.shape), given)
    level = dict(zip(fit.assessor_ix.tolist(), fit.assessor_level.tolist(), strict=True))
    out = []
    for one in np.unique(who).tolist():
        spread, alike, common = _beside_others(who, cheese, given, one)
        repeat, doubles = _repeats(sample[who == one], cheese[who == one], given[who == one])
        count = int((who == one).sum())
        ends = _range_of(alike, common)
        out.append(Member(one, count, level[one], spread, alike, repeat, doubles, *ends))
    return out


def complete_table(
    assessor_ix: ArrayLike, sample_ix: ArrayLike, score: ArrayLike, least: int = 3
) -> tuple[Floats, list[int]]:
    """The samples that the same assessors all scored, as a full table (samples, assessors).

    Whoever scored least is left out until at least so many samples are common to two or more.

    Returns
    -------
    tuple
        The table, and the numbers of its assessors; an empty table when no two have so many in
        common.
    """
    who, sample = (np.asarray(a).astype(np.intp) for a in (assessor_ix, sample_ix))
    given = np.asarray(score, dtype=float)
    cells = dict(zip(zip(sample.tolist(), who.tolist(), strict=True), given, strict=True))
    people = sorted(set(who.tolist()), key=lambda a: (-int((who == a).sum()), a))
    while len(people) > 1:
        rows = [
            [cells[(s, a)] for a in people]
            for s in sorted(set(sample.tolist()))
            if all((s, a) in cells for a in people)
        ]
        if len(rows) >= least:
            return np.array(rows), people
        people.pop()
    return np.empty((0, 0)), []


def defect_agreement(
    tasted: Mapping[int, Collection[str]], named: Collection[tuple[int, str, str]]
) -> list[tuple[str, float, int]]:
    """How far assessors agree on each defect, over the samples most usually tasted by as many.

    Parameters
    ----------
    tasted : mapping
        For each sample who scored it.
    named : collection of (sample, assessor, defect)

    Returns
    -------
    list of (defect, kappa, times named)
        The one named most often first; those named by nobody on these samples are left out.
    """
    sizes = [len(who) for who in tasted.values() if len(who) > 1]
    if not sizes:
        return []
    usual = max(sorted(set(sizes)), key=sizes.count)
    samples = [s for s, who in tasted.items() if len(who) == usual]
    out = []
    for term in sorted({term for _, _, term in named}):
        marks = {(s, who) for s, who, t in named if t == term}
        counts = [sum((s, who) in marks for who in tasted[s]) for s in samples]
        if sum(counts) and len(samples) > 1:
            kappa = fleiss_kappa([[n, usual - n] for n in counts])
            out.append((term, kappa, sum(counts)))
    return sorted(out, key=lambda one: (-one[2], one[0]))


def _beside_others(
    who: np.ndarray, cheese: np.ndarray, given: Floats, one: int
) -> tuple[float, float, int]:
    """Spread and correlation of an assessor's means against the others' over common cheeses, and
    how many these are."""
    common = np.intersect1d(cheese[who == one], cheese[who != one])
    if common.size < _FEW_WHEELS:
        return math.nan, math.nan, common.size
    mine = np.array([given[(who == one) & (cheese == c)].mean() for c in common])
    theirs = np.array([given[(who != one) & (cheese == c)].mean() for c in common])
    a, b = float(mine.std(ddof=1)), float(theirs.std(ddof=1))
    if b == 0:
        return math.nan, math.nan, common.size
    alike = float(np.corrcoef(mine, theirs)[0, 1]) if a > 0 else math.nan
    return a / b, alike, common.size


def _range_of(r: float, many: int) -> tuple[float, float]:
    """The 95 % range of a correlation over so many cheeses (Fisher 1921: z, sd 1/√(n − 3))."""
    if many <= _FEW_WHEELS or math.isnan(r):
        return math.nan, math.nan
    z, sd = math.atanh(max(-0.999999, min(0.999999, r))), 1 / math.sqrt(many - 3)
    return math.tanh(z - 1.959964 * sd), math.tanh(z + 1.959964 * sd)


def _repeats(sample: np.ndarray, cheese: np.ndarray, given: Floats) -> tuple[float, int]:
    """The scatter within cheeses that were served more than once, and how many there were."""
    squares, df, doubles = 0.0, 0, 0
    for c in np.unique(cheese):
        own = given[cheese == c]
        if np.unique(sample[cheese == c]).size > 1:
            squares += float(((own - own.mean()) ** 2).sum())
            df += own.size - 1
            doubles += 1
    return (math.sqrt(squares / df), doubles) if df else (math.nan, 0)
