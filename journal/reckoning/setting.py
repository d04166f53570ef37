"""When to cut: from the flocculation, and after a change of dose or temperature."""

from __future__ import annotations

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import Floats, Numbers, above, outside, plain, require

# Thom & Fisk 1918, par. 196: cut cheddar at two and a half times the first coagulation.
CHEDDAR_MULTIPLIER = 2.5
# Published multipliers, 2 to 3: University of Guelph and Thom & Fisk, as `cut_minutes` names them.
LEAST_MULTIPLIER, MOST_MULTIPLIER = 2.0, 3.0


def cut_minutes(flocculation_min: Numbers, multiplier: Numbers = CHEDDAR_MULTIPLIER) -> Numbers:
    """Minutes from rennet to the cut: flocculation × multiplier.

    Published multipliers: 2.5 cheddar (Thom & Fisk 1918, par. 196), 3 camembert and 2 for the
    setting of single-strength rennet (University of Guelph). Others are kitchen tradition.
    """
    above(flocculation_min, 0, "reckoning.flocculation", "min")
    require(np.asarray(multiplier) >= 1, "reckoning.multiplier-below-one")
    return flocculation_min * multiplier


def rennet_activity_pct(temp_c: Numbers, table_c: Floats, table_pct: Floats) -> Numbers:
    """How fast rennet works at a temperature, % of its best, by the published table.

    Straight lines between the published points; it peaks near 41 °C and falls above, so no
    single factor for ten degrees describes it. Beyond the table its end value stands.
    Source of the table: Thom & Fisk, The Book of Cheese, 1918, par. 94, one or two figures each
    (good to 5 points).

    Parameters
    ----------
    temp_c
        The milk, °C.
    table_c, table_pct
        The table, temperatures ascending.
    """
    require(len(table_c) >= 2, "reckoning.rennet-table-missing")
    require(np.isfinite(temp_c), "reckoning.temperature-no-number")
    return plain(np.interp(temp_c, table_c, table_pct))


def set_minutes_after_change(
    minutes: Numbers,
    dose_ratio: Numbers = 1.0,
    activity_ratio: Numbers = 1.0,
) -> Numbers:
    """Minutes to the same firmness after a change of dose and temperature.

    Time is inverse to the rennet and to its activity: t × 1 / (dose ratio × activity ratio), new
    over old. In the vat time is inverse to the rennet over a wide range (a viscometer study's
    abstract; Holter and Foltmann, from memory). pH counts as unchanged: from pH 6.4 to 7.2 the
    time grows from 1.5 to 13 min (White & Davies).
    """
    above(minutes, 0, "reckoning.minutes", "min")
    above(dose_ratio, 0, "reckoning.ratio-of-doses")
    above(activity_ratio, 0, "reckoning.ratio-of-activities")
    return minutes / (dose_ratio * activity_ratio)


def multiplier_warnings(multiplier: Numbers) -> tuple[Message, ...]:
    """Where a multiplier lies outside the published 2 to 3."""
    if outside(multiplier, LEAST_MULTIPLIER, MOST_MULTIPLIER):
        return (Message("reckoning.multiplier-unusual"),)
    return ()


def setting_warnings(temp_c: Numbers, table_c: Floats) -> tuple[Message, ...]:
    """Where a temperature lies outside the published table."""
    low, high = float(np.min(table_c)), float(np.max(table_c))
    if outside(temp_c, low, high):
        return (Message("reckoning.rennet-table-left", low_c=low, high_c=high),)
    return ()
