"""Water activity: two published formulas, each with the cheeses it holds for."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, outside, within
from journal.reckoning.composition import salt_and_moisture

NACL_G_PER_MOL = 58.443
LEAST_MOISTURE_PCT = 40.0


def salt_molality(salt_pct: Numbers, moisture_pct: Numbers) -> Numbers:
    """Moles of salt in a kg of the cheese's water. Exact."""
    salt_and_moisture(salt_pct, moisture_pct)
    return 1000 * salt_pct / moisture_pct / NACL_G_PER_MOL


def marcos_aw(salt_pct: Numbers, moisture_pct: Numbers) -> Numbers:
    """Water activity by salt alone: 1 − 0.033 m, m moles of salt in a kg of water.

    For cheese of more than about 40 % moisture. Source: Marcos et al. 1981 (abstract).
    """
    return 1 - 0.033 * salt_molality(salt_pct, moisture_pct)


def unripe_aw(salt_pct: Numbers, moisture_pct: Numbers, ph: Numbers) -> Numbers:
    """Water activity of unripe cheese: 0.9719 − 0.0044 (g salt in 100 g water) + 0.0041 pH.

    87 % of the samples lay within 0.005. Source: J. Dairy Res. 1990 (abstract).
    """
    salt_and_moisture(salt_pct, moisture_pct)
    within(ph, 3, 8, "reckoning.ph")
    return 0.9719 - 0.0044 * (100 * salt_pct / moisture_pct) + 0.0041 * ph


def marcos_warnings(moisture_pct: Numbers) -> tuple[Message, ...]:
    """Where the formula by salt alone is outside its range."""
    if outside(moisture_pct, LEAST_MOISTURE_PCT, float("inf")):
        return (Message("reckoning.activity-of-dry-cheese"),)
    return ()


def unripe_warnings(ph: Numbers) -> tuple[Message, ...]:
    """Where the formula for unripe cheese is stretched."""
    if outside(ph, 4.3, 6.0):
        return (Message("reckoning.activity-of-ripe-cheese"),)
    return ()
