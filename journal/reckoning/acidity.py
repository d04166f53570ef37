"""Titratable acidity: one value in four units, exact ratios."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, at_least, outside

# °D is ml of N/9 NaOH for 100 ml, °SH of 0.25 N, °Th of 0.1 N; % lactic is °D / 100, so a
# milliequivalent counts as 90 mg of lactic acid.
LACTIC_MG_PER_MEQ = 90.0
PCT_PER_DORNIC = 0.01
PCT_PER_SOXHLET_HENKEL = 0.0225
PCT_PER_THORNER = 0.009


def dornic(lactic_pct: Numbers) -> Numbers:
    """°D from % lactic acid (g in 100 ml): × 100. Exact."""
    at_least(lactic_pct, 0, "reckoning.acidity", "%")
    return lactic_pct / PCT_PER_DORNIC


def soxhlet_henkel(lactic_pct: Numbers) -> Numbers:
    """°SH from % lactic acid: 1 °SH is 0.0225 %, 2.25 °D, 2.5 °Th. Exact."""
    at_least(lactic_pct, 0, "reckoning.acidity", "%")
    return lactic_pct / PCT_PER_SOXHLET_HENKEL


def thorner(lactic_pct: Numbers) -> Numbers:
    """°Th from % lactic acid: 1 °Th is 0.009 %, 0.9 °D, 0.4 °SH. Exact."""
    at_least(lactic_pct, 0, "reckoning.acidity", "%")
    return lactic_pct / PCT_PER_THORNER


def lactic_from_dornic(dornic_deg: Numbers) -> Numbers:
    """% lactic acid from °D."""
    at_least(dornic_deg, 0, "reckoning.acidity", "°D")
    return dornic_deg * PCT_PER_DORNIC


def lactic_from_soxhlet_henkel(soxhlet_henkel_deg: Numbers) -> Numbers:
    """% lactic acid from °SH."""
    at_least(soxhlet_henkel_deg, 0, "reckoning.acidity", "°SH")
    return soxhlet_henkel_deg * PCT_PER_SOXHLET_HENKEL


def lactic_from_thorner(thorner_deg: Numbers) -> Numbers:
    """% lactic acid from °Th."""
    at_least(thorner_deg, 0, "reckoning.acidity", "°Th")
    return thorner_deg * PCT_PER_THORNER


def lactic_from_titration(naoh_ml: Numbers, normality: Numbers, sample_ml: Numbers) -> Numbers:
    """% lactic acid from a titration: ml × normality × 9 / ml of sample.

    10 ml of milk and 1.8 ml of N/9 NaOH are 18 °D. Definitions as the dairy methods have them
    (an instrument maker's manual after them). % is g in 100 ml; for % of the mass divide by the
    density.
    """
    at_least(naoh_ml, 0, "reckoning.lye", "ml")
    above(normality, 0, "reckoning.normality")
    above(sample_ml, 0, "reckoning.sample", "ml")
    return naoh_ml * normality * LACTIC_MG_PER_MEQ / 10 / sample_ml


def acidity_warnings(lactic_pct: Numbers) -> tuple[Message, ...]:
    """What a milk of that acidity would mean (published ranges of fresh milk)."""
    warnings: list[Message] = []
    if outside(lactic_pct, 0.0, 0.18 - 1e-12):
        warnings.append(Message("reckoning.milk-not-fresh"))
    if outside(lactic_pct, 0.0, 2.0):
        warnings.append(Message("reckoning.acidity-beyond-milk"))
    return tuple(warnings)
