"""How long a wheel lies in brine for a wanted salt, beside the times that were published."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import above, require, within
from journal.reckoning.brine import g_per_kg_water, hours_for_share
from journal.reckoning.mould import CHEESE_KG_PER_L

# Beyond this share of all the salt a wheel could take, the last of it takes for ever.
MOST_SHARE = 0.95
# A published time is shown for a wheel up to so much lighter or heavier (common practice, no
# source).
_NEAR = 1.5


@dataclass(frozen=True)
class PublishedTime:
    """One published time in brine: for wheels of so many kg, h, with the salt it gave, %."""

    cheese: str
    low_kg: float
    high_kg: float
    low_h: float
    high_h: float
    source: str


def wheel_kg(diameter_mm: float, height_mm: float, kg_per_l: float = CHEESE_KG_PER_L) -> float:
    """The weight of a round wheel, kg: its volume at about 1.08 kg/L (from memory)."""
    above(diameter_mm, 0, "reckoning.width-of-wheel", "mm")
    above(height_mm, 0, "reckoning.height-of-wheel", "mm")
    return float(np.pi / 4 * diameter_mm**2 * height_mm * 1e-6 * kg_per_l)


def share_for_salt(
    target_pct: float, moisture_pct: float, pct_w_w: float, before_pct: float = 0.0
) -> float:
    """The share of all the salt a wheel could take that brings it to a target, 0 to 1.

    (target − before) / (moisture × salt in a kg of the brine's water / 1000 − before): at the end
    its water is as salt as the brine's. Exact for a wheel that keeps its water.

    Raises
    ------
    ReckoningError
        When that brine cannot bring the wheel so far.
    """
    within(moisture_pct, 1, 99, "reckoning.moisture", "%")
    within(before_pct, 0, 100, "reckoning.salt-of-cheese", "%")
    above(pct_w_w, 0, "reckoning.brine-strength", "%")
    above(target_pct, before_pct, "reckoning.target", "%")
    most = moisture_pct * float(g_per_kg_water(pct_w_w)) / 1000
    share = (target_pct - before_pct) / max(most - before_pct, 1e-12)
    fits = most > before_pct and share <= MOST_SHARE
    require(fits, "reckoning.salt-beyond-brine", most_pct=MOST_SHARE * most)
    return share


def brining_h(
    target_pct: float,
    moisture_pct: float,
    pct_w_w: float,
    diameter_mm: float,
    height_mm: float,
    diffusion_m2_s: float,
    before_pct: float = 0.0,
) -> float:
    """Hours in a brine for a wanted salt by diffusion alone, h.

    Parameters
    ----------
    target_pct, before_pct
        Salt wanted in the whole cheese and what it holds already, % of its weight.
    moisture_pct
        Of the cheese as it goes in.
    pct_w_w
        Strength of the brine.
    diameter_mm, height_mm
        Of a round wheel.
    diffusion_m2_s
        Of salt in that cheese.

    Notes
    -----
    The time of `hours_for_share` (Crank, slab and cylinder). The surface counts as salt as the
    brine from the first minute and the rind as open: published times for like wheels lie between
    a third and five times it (held to them in tests/outside).
    """
    share = share_for_salt(target_pct, moisture_pct, pct_w_w, before_pct)
    return hours_for_share(diffusion_m2_s, max(share, 1e-6), diameter_mm, height_mm)


def published_near(kg: float, times: Sequence[PublishedTime]) -> list[PublishedTime]:
    """The published times for wheels of about that weight (up to half as light or heavy again)."""
    return [one for one in times if one.low_kg / _NEAR <= kg <= one.high_kg * _NEAR]


def brining_warnings(hours: float, published_h: tuple[float, float] | None) -> tuple[Message, ...]:
    """Where a time by diffusion is not within the published times for such a weight."""
    if published_h is None:
        return (Message("reckoning.no-brining-published"),)
    low, high = published_h
    if low <= hours <= high:
        return ()
    return (Message("reckoning.brining-unlike-published", low_h=low, high_h=high),)
