"""Gas in a cheese: the eyes of propionic bacteria, and late blowing by butyric ones."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, at_least, plain, within

_GAS_CONSTANT = 8.31446261815324
_PA = 101_325.0
LACTIC_G_PER_MOL = 90.08
# Gas for a mole of lactic acid: 3 lactic → 2 propionic + acetic + CO₂ + water; 2 lactic → butyric
# + 2 CO₂ + 2 H₂. Textbook equations.
PROPIONIC_MOL = 1 / 3
BUTYRIC_MOL = 2.0
# Swiss kinds: pH below 5.0 or above 5.4 ends poorly, the warm room is at 20 to 25 °C (a textbook
# of fermented foods, read on a page that restates it); salt up to 1.4 % (Thom & Fisk 1918).
EYES_PH = (5.0, 5.4)
WARM_ROOM_C = (20.0, 25.0)
EYES_SALT_PCT = 1.4
# Butyric spores in a litre of vat milk, grana without lysozyme (Foods 12, 1880, 2023, abstract):
# at 10^1.93 sound in the cold season and slits in the warm, at 10^2.99 every cheese blew; fewer
# than 200 are proposed as a limit.
SPORES_SOUND, SPORES_LIMIT, SPORES_BLOWN = 10**1.93, 200.0, 10**2.99
# In gouda slurry no spore germinated at 5 or 8 °C, some did at 13 °C, of three strains still two
# at 2.4 % and one at 3.6 % of salt in the water (Int. J. Food Microbiol. 54, 147, 2000, abstract).
COLD_C, GERMINATED_C = 8.0, 13.0
SALT_OF_ONE_STRAIN_PCT = 3.6


def molar_l(temp_c: Numbers) -> Numbers:
    """Litres of a mole of gas at 101.325 kPa: R T / p, 22.414 at 0 °C."""
    within(temp_c, -20, 60, "reckoning.temperature-of-room", "°C")
    return plain(1000 * _GAS_CONSTANT * (temp_c + 273.15) / _PA)


def gas_l_per_kg(lactic_pct: Numbers, temp_c: Numbers, mol_of_gas: float) -> Numbers:
    """Gas of a kg of cheese that ferments so much lactic acid, % of its weight, L.

    Most of the carbon dioxide stays dissolved or leaves through the rind; hydrogen hardly
    dissolves, so butyric gas tears the cheese.
    """
    within(lactic_pct, 0, 5, "reckoning.lactic-acid", "%")
    return plain(10 * lactic_pct / LACTIC_G_PER_MOL * mol_of_gas * molar_l(temp_c))


def against_eyes(
    ph: float | None, temp_c: float | None, salt_pct: float | None
) -> tuple[Message, ...]:
    """What of these keeps propionic eyes small, or spoils them; none where nothing does."""
    found: list[Message] = []
    if ph is not None:
        within(ph, 3, 8, "reckoning.ph")
        if ph < EYES_PH[0]:
            found.append(Message("reckoning.eyes-too-sour"))
        if ph > EYES_PH[1]:
            found.append(Message("reckoning.eyes-too-sweet"))
    if temp_c is not None:
        within(temp_c, -20, 60, "reckoning.temperature-of-room", "°C")
        if temp_c < WARM_ROOM_C[0]:
            found.append(Message("reckoning.eyes-too-cold"))
        if temp_c > WARM_ROOM_C[1]:
            found.append(Message("reckoning.eyes-too-warm"))
    if salt_pct is not None:
        within(salt_pct, 0, 40, "reckoning.salt-of-cheese", "%")
        if salt_pct > EYES_SALT_PCT:
            found.append(Message("reckoning.eyes-too-salty"))
    return tuple(found)


def spores_verdict(spores_per_l: float) -> Message:
    """What happened to grana of milk with so many butyric spores in a litre."""
    at_least(spores_per_l, 0, "reckoning.spores", "/L")
    if spores_per_l >= SPORES_BLOWN:
        return Message("reckoning.spores-blew")
    if spores_per_l > SPORES_LIMIT:
        return Message("reckoning.spores-above-limit")
    if spores_per_l > SPORES_SOUND:
        return Message("reckoning.spores-below-limit")
    return Message("reckoning.spores-few")


def for_late_blowing(temp_c: float | None, salt_in_water_pct: float | None) -> tuple[Message, ...]:
    """What the room and the salt of the water mean for spores in the cheese."""
    found: list[Message] = []
    if temp_c is not None:
        if temp_c <= COLD_C:
            found.append(Message("reckoning.spores-rest"))
        elif temp_c >= GERMINATED_C:
            found.append(Message("reckoning.spores-wake"))
        else:
            found.append(Message("reckoning.spores-unknown"))
    if salt_in_water_pct is not None:
        within(salt_in_water_pct, 0, 30, "reckoning.salt-in-water", "%")
        few = salt_in_water_pct > SALT_OF_ONE_STRAIN_PCT
        found.append(Message("reckoning.salt-stops-most" if few else "reckoning.salt-stops-few"))
    return tuple(found)
