"""How sure a finding is: the five words, and how many more makes would settle it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from journal.findings.curve import QuadraticTerm, turning_points
from journal.findings.joint import Joint, prior_scale
from journal.findings.single import holm
from journal.findings.table import Floats

CLEAR = "clear"
LEANING = "leaning"
UNDECIDED = "can't tell yet"
NEVER = "never varied"
UNKNOWN = "not known"
"""Known of fewer than two makes though there are more: whether it varied nobody knows."""
HARDLY = "hardly varied"
"""It moved by so little of a typical change that the prior would answer, not the scores."""
WORDS = (CLEAR, LEANING, UNDECIDED, HARDLY, NEVER, UNKNOWN)

LEAST_MAKES = 5
"""With fewer makes there are no ranges, only the picture."""
FALSE_CLEAR = 0.05
"""The chance of even one false "clear" among all variables looked at is held at this."""
ASKED = 0.04
"""What Holm is asked for, so that this holds: the ranges are good to a few parts in a hundred, and
asking for no less than 5 % let up to 5.6 % of simulated journals hold a false one."""
MOST_MORE = 2000
"""The most makes `makes_to_settle` ever asks for; it stands for so many or more."""
WORTH_KNOWING = 0.25
HARDLY_SD = 0.2
"""Of a typical change: a variable whose sd is smaller has hardly varied."""
FOUR_IN_FIVE = 0.8416


@dataclass(frozen=True)
class Effects:
    """Effects of the entries per sd, with ranges and words; all arrays are (entries,)."""

    effect: Floats
    low80: Floats
    high80: Floats
    low95: Floats
    high95: Floats
    chance_positive: Floats
    evidence: list[str]
    strength: Floats
    more_makes: list[int | None]
    soonest: list[int | None]
    latest: list[int | None]
    curved: dict[int, Floats] = field(default_factory=dict)
    """Of each entry that is a curve, where draws of it are highest (draws,), on the scale the
    variable enters by; NaN where one has no top."""


BentEntry = tuple[tuple[int, int], QuadraticTerm]
"""An entry and its sign for a variable, with that variable's bend."""


def weigh_effects(
    joint: Joint,
    makes: int,
    tried: int,
    spread: float,
    bends: Sequence[BentEntry] = (),
    looked: tuple[int, int] = (0, 0),
) -> Effects:
    """Read effects, ranges and evidence words out of a joint fit.

    "clear" needs two things: Holm's adjusted chance of the wrong sign (two-sided) at most 4 %
    over all entries (so that 5 % hold), and a 95 % range clear of zero. "leaning" needs an
    80 % range clear of zero.

    Parameters
    ----------
    joint : Joint
    makes : int
    tried : int
        Variables that varied.
    spread : float
        Standard deviation of the scores.
    bends : sequence of (entry and sign, bend)
        Of the model's bends, in their order.
    looked : (int, int)
        How many slopes and bends were looked at; how many of the bends are there by declaration,
        and so are curves only where their bend is clear.
    """
    k = joint.entries
    of = np.eye(joint.means.shape[1])[1 : k + 1]
    curved = _curved(joint, bends, looked)
    for (i, _), at, bend in curved:  # the effect in the journal's middle, not the average one
        of[i, 1 + k + at] = -bend.slope / bend.size
    low95, low80, high80, high95 = joint.quantiles(of, [0.025, 0.1, 0.9, 0.975])
    positive = joint.chance_positive(of)
    adjusted = holm(2 * np.minimum(positive, 1 - positive))
    sure = (adjusted <= ASKED) & ((low95 > 0) | (high95 < 0))
    leans = (low80 > 0) | (high80 < 0)
    words = [CLEAR if s else LEANING if v else UNDECIDED for s, v in zip(sure, leans, strict=True)]
    for (i, _), _, _ in curved:
        words[i] = CLEAR
    effect = of @ joint.mean
    small = np.maximum(np.abs(low95), np.abs(high95)) < WORTH_KNOWING * spread
    more = _more_makes(joint, effect, small, makes, tried, spread)
    ends = [_more_makes(joint, size, small, makes, tried, spread, quantile=quantile)
            for size, quantile in ((np.maximum(np.abs(low80), np.abs(high80)), -FOUR_IN_FIVE),
                               (_least(low80, high80, effect), 1.6 * FOUR_IN_FIVE))]  # fmt: skip
    return Effects(
        effect=effect,
        low80=low80,
        high80=high80,
        low95=low95,
        high95=high95,
        chance_positive=positive,
        evidence=words,
        strength=np.abs(effect) / (high95 - low95),
        more_makes=_unless_clear(words, more, more),
        soonest=_unless_clear(words, np.minimum(ends[0], more), more),
        latest=_unless_clear(words, np.maximum(ends[1], more), more),
        curved={i: _tops(joint, i, at, bend) for (i, _), at, bend in curved},
    )


def _unless_clear(words: list[str], makes: Floats, more: Floats) -> list[int | None]:
    """So many makes where that is known and not settled yet."""
    rows = zip(words, makes, more, strict=True)
    return [None if w == CLEAR or not np.isfinite(m + n) else int(n) for w, n, m in rows]


def _least(low80: Floats, high80: Floats, effect: Floats) -> Floats:
    """The smallest size an effect has in its 80 % range, no less than half of what is expected."""
    within = np.where(low80 * high80 > 0, np.minimum(np.abs(low80), np.abs(high80)), 0.0)
    return np.maximum(within, np.abs(effect) / 2)


def _curved(
    joint: Joint, bends: Sequence[BentEntry], looked: tuple[int, int]
) -> list[tuple[tuple[int, int], int, QuadraticTerm]]:
    """The bends that are clear: entry and sign, place among the bends, bend."""
    of = np.eye(joint.means.shape[1])[1 + joint.entries :]
    if not bends:
        return []
    positive = joint.chance_positive(of)
    wrong = 2 * np.minimum(positive, 1 - positive)
    slopes, declared = looked
    return [
        (entry, at, bend)
        for at, (entry, bend) in enumerate(bends)
        if at >= declared or wrong[at] * (slopes + declared) <= ASKED
    ]


def _tops(joint: Joint, entry: int, at: int, bend: QuadraticTerm) -> Floats:
    """Where draws of a curve are highest."""
    of = np.zeros((2, joint.means.shape[1]))
    of[0, 1 + entry] = of[1, 1 + joint.entries + at] = 1.0
    line, bent = joint.draws(of, 2000)[0].T
    return turning_points(bend, line, bent)


def _more_makes(
    joint: Joint,
    effect: Floats,
    small: Any,
    makes: int,
    tried: int,
    spread: float,
    *,
    quantile: float = FOUR_IN_FIVE,
) -> Floats:
    """Count the makes like these until an effect of this size would be clear four times in five.

    An effect smaller than a quarter of the score's spread per sd is taken as that large: to
    settle a smaller one asks for more makes than anybody has. Where so large an effect is ruled
    out already (`small`, (entries,)) the effect counts as it is, and what then never becomes
    clear is NaN.
    """
    from scipy.special import stdtrit

    k = effect.size
    a_make = _loosened(joint.information, makes)
    more = np.unique(np.concatenate([np.arange(1, 60), np.geomspace(60, MOST_MORE, 60).round()]))
    total = makes + more
    scale = np.array([spread * prior_scale(int(n), tried) for n in total])
    prior = np.zeros((total.size, k + 1, k + 1))
    prior[:, np.arange(1, k + 1), np.arange(1, k + 1)] = (1 / scale**2)[:, None]
    covariance = np.linalg.inv(a_make * total[:, None, None] + prior)
    sd = np.sqrt(np.diagonal(covariance, axis1=1, axis2=2)[:, 1:])
    needed = stdtrit(np.maximum(total - k - 1, 3), 1 - ASKED / (2 * k)) + quantile
    size = np.where(small, np.abs(effect), np.maximum(np.abs(effect), WORTH_KNOWING * spread))
    enough = sd * needed[:, None] <= size
    ever = enough.any(axis=0)
    first = np.where(ever, enough.argmax(axis=0), more.size - 1)
    return np.where(small & ~ever, np.nan, more[first].astype(float))


def _loosened(information: Floats, makes: int) -> Floats:
    """Return one make's information, its correlations drawn in as far as few makes made them."""
    k = len(information) - 1
    shrink = makes / (makes + k)
    a_make = information / makes * shrink
    a_make[np.diag_indices(k + 1)] = np.diag(information) / makes
    return np.asarray(a_make, dtype=float)
