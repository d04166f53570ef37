"""How much a litre of milk weighs: litres are not kilograms."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, outside, part, within

# Producer milk (4.00 % fat, 8.95 % solids-not-fat) at 20 °C: University of Guelph, Goff.
MILK_KG_PER_L = 1.030
PRODUCER_SNF_PCT = 8.95


def milk_density(fat_pct: Numbers, snf_pct: Numbers, temp_c: Numbers) -> Numbers:
    """Density of milk, kg/L: 1.003073 − 0.000179 t − 0.000368 F + 0.00374 N.

    Parameters
    ----------
    fat_pct, snf_pct
        Fat F and solids-not-fat N, % of the mass.
    temp_c
        Temperature t, °C.

    Notes
    -----
    For whole, standardised and skim milk from 4 to 20 °C (within 0.002 of the table of the
    University of Guelph); at 39 °C it is 0.005 too high, and it is not for cream. Source:
    University of Illinois, ANSC 438.
    """
    part(fat_pct, "reckoning.fat")
    part(snf_pct, "reckoning.solids-not-fat")
    within(temp_c, -1, 100, "reckoning.temperature-of-milk", "°C")
    return 1.003073 - 0.000179 * temp_c - 0.000368 * fat_pct + 0.00374 * snf_pct


def milk_kg(milk_l: Numbers, kg_per_l: Numbers = MILK_KG_PER_L) -> Numbers:
    """Mass of a volume of milk, kg; 1.030 kg/L unless told better."""
    above(milk_l, 0, "reckoning.milk", "L")
    within(kg_per_l, 0.8, 1.2, "reckoning.density-of-milk", "kg/L")
    return milk_l * kg_per_l


def milk_l(milk_kg: Numbers, kg_per_l: Numbers = MILK_KG_PER_L) -> Numbers:
    """Volume of a mass of milk, L; 1.030 kg/L unless told better."""
    above(milk_kg, 0, "reckoning.milk", "kg")
    within(kg_per_l, 0.8, 1.2, "reckoning.density-of-milk", "kg/L")
    return milk_kg / kg_per_l


def density_warnings(fat_pct: Numbers, snf_pct: Numbers, temp_c: Numbers) -> tuple[Message, ...]:
    """Where the density formula is stretched: cream, odd milk, warm milk."""
    warnings: list[Message] = []
    if outside(fat_pct, 0, 6):
        warnings.append(Message("reckoning.density-of-cream"))
    if outside(snf_pct, 8, 10.5):
        warnings.append(Message("reckoning.density-snf-unchecked"))
    if outside(temp_c, 4, 20):
        warnings.append(Message("reckoning.density-of-warm-milk"))
    return tuple(warnings)
