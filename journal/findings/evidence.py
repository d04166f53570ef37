"""How sure a finding is: the five words, and how many more makes would settle it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from journal.findings.joint import Joint, prior_scale
from journal.findings.single import holm
from journal.findings.table import Floats

CLEAR = "clear"
LEANING = "leaning"
UNDECIDED = "can't tell yet"
NEVER = "never varied"
UNKNOWN = "not known"
"""Known of fewer than two makes though there are more: whether it varied nobody knows."""
WORDS = (CLEAR, LEANING, UNDECIDED, NEVER, UNKNOWN)

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


def weigh_effects(joint: Joint, makes: int, tried: int, spread: float) -> Effects:
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
    """
    k = joint.entries
    of = np.eye(joint.means.shape[1])[1 : k + 1]
    low95, low80, high80, high95 = joint.quantiles(of, [0.025, 0.1, 0.9, 0.975])
    positive = joint.chance_positive(of)
    adjusted = holm(2 * np.minimum(positive, 1 - positive))
    sure = (adjusted <= ASKED) & ((low95 > 0) | (high95 < 0))
    leans = (low80 > 0) | (high80 < 0)
    words = [CLEAR if s else LEANING if v else UNDECIDED for s, v in zip(sure, leans, strict=True)]
    effect = joint.mean[1 : k + 1]
    small = np.maximum(np.abs(low95), np.abs(high95)) < WORTH_KNOWING * spread
    more = _more_makes(joint, effect, small, makes, tried, spread)
    return Effects(
        effect=effect,
        low80=low80,
        high80=high80,
        low95=low95,
        high95=high95,
        chance_positive=positive,
        evidence=words,
        strength=np.abs(effect) / (high95 - low95),
        more_makes=[
            None if w == CLEAR or not np.isfinite(m) else int(m)
            for w, m in zip(words, more, strict=True)
        ],
    )


def _more_makes(
    joint: Joint, effect: Floats, small: Any, makes: int, tried: int, spread: float
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
    needed = stdtrit(np.maximum(total - k - 1, 3), 1 - ASKED / (2 * k)) + FOUR_IN_FIVE
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
