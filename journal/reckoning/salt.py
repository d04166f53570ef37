"""Dry salt: how much for a target, by weight of curd or by salt in moisture."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, outside, part, require, within

# Fine salt in a spoon (common practice, no source).
SALT_G_PER_ML = 1.2
# The share of dry salt that stays in a milled or crumbled curd, 0.4 to 0.8. Published: 41.7 % from
# plain milk and 59.2 % with homogenised cream, 2.7 % on the curd (cheddar, six kinds of milk: J.
# Dairy Sci. 2004, Reduction of salt losses during the manufacture of Cheddar cheese, abstract);
# 40 % (Roquefort type); the 2.5 to 3 % that a cheddar's curd is given against the 1.8 % that it
# holds (University of Guelph, table 1.2) is 60 to 72 %.
SALT_KEPT, SALT_KEPT_SD = 0.6, 0.4 / 12**0.5


def salt_for_curd_g(
    curd_kg: Numbers, target_pct: Numbers, retention_pct: Numbers = 100.0
) -> Numbers:
    """Salt for a target in % of the curd's weight, g: curd × target / retention.

    With 100 % kept it is the salt to add. Published: cheddar 1.5 to 2.5 lb to the curd of 1000 lb
    of milk (Thom & Fisk 1918; University of Guelph); feta 50 g/kg; Roquefort type 10 % applied of
    which about 4 % stays (40 %).
    """
    above(curd_kg, 0, "reckoning.curd", "kg")
    part(target_pct, "reckoning.target")
    _kept(retention_pct)
    return 1000 * curd_kg * target_pct / retention_pct


def salt_for_s_m_g(
    curd_kg: Numbers, s_m_pct: Numbers, moisture_pct: Numbers, retention_pct: Numbers = 100.0
) -> Numbers:
    """Salt for a target of salt in moisture, g: S/M × the water of the curd / retention.

    `moisture_pct` is what the curd will hold after pressing. Exact for that water.
    """
    above(curd_kg, 0, "reckoning.curd", "kg")
    within(s_m_pct, 0, 40, "reckoning.s-m", "%")
    part(moisture_pct, "reckoning.moisture")
    _kept(retention_pct)
    return 1000 * curd_kg * moisture_pct / 100 * s_m_pct / retention_pct


def salt_warnings(added_pct: Numbers, retention_pct: Numbers) -> tuple[Message, ...]:
    """Where the salt lies outside what was published."""
    warnings: list[Message] = []
    if outside(added_pct, 0, 10):
        warnings.append(Message("reckoning.salt-above-blue"))
    elif outside(added_pct, 0, 5):
        warnings.append(Message("reckoning.salt-above-feta"))
    if outside(retention_pct, 40, 100):
        warnings.append(Message("reckoning.salt-kept-little"))
    return tuple(warnings)


def _kept(retention_pct: Numbers) -> None:
    part(retention_pct, "reckoning.share-of-salt-that-stays")
    require(retention_pct > 0, "reckoning.no-salt-stays")
