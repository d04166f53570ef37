"""Bringing milk to a wanted fat, or to a wanted ratio of protein or casein to fat."""

from __future__ import annotations

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, part, require

# University of Guelph: skim solids of cheese milk, usually about 9 %.
MOST_SNF_PCT = 11.0


def square_add_kg(
    have_kg: Numbers, have_pct: Numbers, with_pct: Numbers, want_pct: Numbers
) -> Numbers:
    """What to add by the square method, kg: have × (have − want) / (want − with).

    Parameters
    ----------
    have_kg, have_pct
        The milk there is and its fat (or whatever is standardised), % of the mass.
    with_pct
        The same of what is added.
    want_pct
        The same of the mixture.

    Notes
    -----
    A balance of mass, exact. Source: University of Guelph, standardization problems.

    Raises
    ------
    ReckoningError
        When the wanted value does not lie between the two.
    """
    above(have_kg, 0, "reckoning.milk", "kg")
    for pct, what in (
        (have_pct, "reckoning.have-pct"),
        (with_pct, "reckoning.with-pct"),
        (want_pct, "reckoning.want-pct"),
    ):
        part(pct, what)
    require(
        (have_pct - want_pct) * (want_pct - with_pct) >= 0,
        "reckoning.wanted-not-between",
    )
    require(
        want_pct != with_pct,
        "reckoning.added-is-wanted",
    )
    return have_kg * (have_pct - want_pct) / (want_pct - with_pct)


def ratio_add_kg(
    have_kg: Numbers,
    have_fat_pct: Numbers,
    have_protein_pct: Numbers,
    with_fat_pct: Numbers,
    with_protein_pct: Numbers,
    want_ratio: Numbers,
) -> Numbers:
    """What to add for a wanted ratio of protein (or casein) to fat, kg.

    (P h + p x) / (F h + f x) = r, so x = h (r F − P) / (p − r f). Give casein in both places of
    protein for a ratio of casein to fat. Method: University of Guelph. Exact.

    Raises
    ------
    ReckoningError
        When no amount of what is added brings the ratio there.
    """
    above(have_kg, 0, "reckoning.milk", "kg")
    above(want_ratio, 0, "reckoning.wanted-ratio")
    for pct in (have_fat_pct, have_protein_pct, with_fat_pct, with_protein_pct):
        part(pct, "reckoning.fat-or-protein")
    gives = with_protein_pct - want_ratio * with_fat_pct
    lacks = want_ratio * have_fat_pct - have_protein_pct
    require(
        (gives != 0) & (lacks * gives >= 0),
        "reckoning.ratio-out-of-reach",
    )
    return have_kg * lacks / gives


def mixed_pct(have_kg: Numbers, have_pct: Numbers, add_kg: Numbers, with_pct: Numbers) -> Numbers:
    """What the mixture holds, %: the weighted mean by mass."""
    return (have_kg * have_pct + add_kg * with_pct) / (have_kg + add_kg)


def snf_warnings(snf_pct: Numbers) -> tuple[Message, ...]:
    """A warning above 11 % skim solids (University of Guelph; usual is about 9 %)."""
    most = float(np.max(snf_pct))
    if most > MOST_SNF_PCT:
        return (Message("reckoning.snf-high", pct=most),)
    return ()
