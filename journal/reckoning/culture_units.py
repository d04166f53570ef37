"""Direct-set culture by the activity units of its packet, and the bulk starter it stands for."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, at_least, outside, within

# Doses of three makers' sheets, restated on pages of dealers: 2 to 6, 6.25 and 20 units for
# 100 L. The units of two makers are not the same.
PUBLISHED_UNITS_PER_100_L = (2.0, 20.0)
# What one maker's sheet counts as 1 % of bulk starter, units for 100 L.
UNITS_OF_ONE_PCT = 6.25
# Grown starter holds about 10⁹ cells in a ml (Mullan, dairyscience.info).
GROWN_CELLS_PER_ML = 1e9
LEAST_WEIGHED_G = 0.1  # what a kitchen's fine scale tells (common practice, no source)


def units_for_milk(milk_l: Numbers, units_per_100_l: Numbers) -> Numbers:
    """Activity units for a milk: litres / 100 × dose. Exact."""
    above(milk_l, 0, "reckoning.milk", "L")
    above(units_per_100_l, 0, "reckoning.dose-of-culture")
    return milk_l * units_per_100_l / 100


def packets(units: Numbers, packet_units: Numbers, left_pct: Numbers = 100.0) -> Numbers:
    """Packets that hold so many units, of a culture with so much of its strength left. Exact."""
    at_least(units, 0, "reckoning.units-of-culture")
    above(packet_units, 0, "reckoning.units-of-packet")
    within(left_pct, 1, 100, "reckoning.strength-left", "%")
    return units / packet_units * 100 / left_pct


def bulk_pct_by_units(units_per_100_l: Numbers, units_of_one_pct: Numbers) -> Numbers:
    """The bulk starter that a dose stands for, % of the milk.

    By what the maker says stands for 1 %, units for 100 L (one sheet: 6.25).
    """
    above(units_of_one_pct, 0, "reckoning.units-of-bulk")
    return units_per_100_l / units_of_one_pct


def bulk_pct_by_cells(culture_g: Numbers, milk_l: Numbers, log_cells_per_g: Numbers) -> Numbers:
    """The bulk starter that holds as many cells, % of the milk.

    g × cells in a g over 10⁹ in a ml of grown starter. Packets hold 10¹¹ to 10¹³ in a g (Mullan,
    dairyscience.info); cells are not activity: dried ones wake later than grown ones.
    """
    above(milk_l, 0, "reckoning.milk", "L")
    at_least(culture_g, 0, "reckoning.culture", "g")
    within(log_cells_per_g, 8, 14, "reckoning.log-cells")
    return 100 * culture_g * 10.0**log_cells_per_g / (GROWN_CELLS_PER_ML * milk_l * 1000)


def units_warnings(units_per_100_l: Numbers) -> tuple[Message, ...]:
    """Where a dose lies outside every maker's sheet that was seen."""
    if outside(units_per_100_l, *PUBLISHED_UNITS_PER_100_L):
        return (Message("reckoning.units-unusual"),)
    return ()


def weighing_warnings(culture_g: Numbers) -> tuple[Message, ...]:
    """Where a kitchen scale cannot tell so little."""
    if outside(culture_g, LEAST_WEIGHED_G, float("inf")):
        return (Message("reckoning.too-little-to-weigh", least_g=LEAST_WEIGHED_G),)
    return ()
