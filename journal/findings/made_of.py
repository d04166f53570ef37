"""What a cheese is made of, as milk, salt and a kitchen scale tell it."""

from __future__ import annotations

from math import isfinite

from journal.findings.doses import parts_of
from journal.reckoning import ReckoningError
from journal.reckoning.composition import (
    UNSAID_SALT_PCT,
    UNSAID_SALT_SD_PCT,
    Kitchen,
    kitchen_composition,
)
from journal.reckoning.density import MILK_KG_PER_L
from journal.reckoning.milk_yield import (
    CASEIN_OF_PROTEIN,
    GUESSED_PROTEIN_SD_PCT,
    casein_from_protein,
    guessed_protein_pct,
)
from journal.reckoning.salt import SALT_KEPT, SALT_KEPT_SD
from journal.records.instants import DAY_MS
from journal.records.makes import Milk
from journal.records.wheel_weight import weight_course
from journal.records.whole import WholeMake

FAT_SD_PCT, WEIGHT_SD_KG, PROTEIN_SD_PCT = 0.1, 0.005, 0.1
"""How sure the label's fat, the scale and the protein are."""


def made_of(
    milk: Milk, salt_g: float | None, green_kg: float, lost_pct: float = 0.0
) -> Kitchen | None:
    """Moisture, MNFS, fat in dry matter and S/M of a make's cheese, with ranges.

    Parameters
    ----------
    salt_g : float | None
        What went in dry, of which `SALT_KEPT` stays; None where that does not say it (nothing was
        noted, or a brine salts too): then 0 to 2 % of the green cheese.
    green_kg : float
        All cheese of the make as it left the press.
    lost_pct : float
        What it lost since, % of the green weight. It was water: fat, protein, salt and what is
        left stay.

    Returns
    -------
    Kitchen | None
        None where the milk's fat is not known, the milk is not a cow's, or the weights cannot go
        together.
    """
    if milk.fat_pct is None or milk.animal != "cow" or green_kg <= 0:
        return None
    protein, protein_sd = milk.protein_pct, PROTEIN_SD_PCT
    if protein is None:
        protein, protein_sd = float(guessed_protein_pct(milk.fat_pct)), GUESSED_PROTEIN_SD_PCT
    salt, salt_sd = green_kg * UNSAID_SALT_PCT / 100, green_kg * UNSAID_SALT_SD_PCT / 100
    if salt_g is not None:
        salt, salt_sd = SALT_KEPT * salt_g / 1000, SALT_KEPT_SD * salt_g / 1000
    try:
        return kitchen_composition(
            milk.litres * MILK_KG_PER_L,
            milk.fat_pct,
            float(casein_from_protein(protein)),
            green_kg * (1 - lost_pct / 100),
            salt,
            fat_sd_pct=FAT_SD_PCT,
            casein_sd_pct=CASEIN_OF_PROTEIN * protein_sd,
            weight_sd_kg=WEIGHT_SD_KG,
            salt_sd_kg=salt_sd,
        )
    except ReckoningError:
        return None


def composition_of(make: WholeMake, lost_pct: float = 0.0) -> Kitchen | None:
    """What the kitchen scale says the make's cheese is made of, once it lost so much of its green
    weight; None where the milk's fat or a wheel's green weight is not known, or the milk is not a
    cow's."""
    weights = [wheel.green_weight_kg for wheel in make.wheels if wheel.cut_from_id is None]
    if not weights or not all(weights):
        return None
    salt_g = sum(part.amount for part in parts_of(make, "salt") if part.unit == "g")
    green_kg = sum(weight or 0.0 for weight in weights)
    salt = salt_g if salt_is_known(make) else None
    return made_of(make.make.milk, salt, green_kg, lost_pct)


def salt_is_known(make: WholeMake) -> bool:
    """Whether the salt of the cheese is that which was weighed in, and no brine adds to it."""
    dry = any(part.unit == "g" for part in parts_of(make, "salt"))
    return dry and make.run_of("brine") is None


def composition_at(make: WholeMake, wheel_code: str, age_days: float) -> Kitchen | None:
    """What a wheel was made of at an age, days, by what it had lost until it was last weighed
    before; None where that is not known, and for a piece."""
    wheel = next((one for one in make.wheels if one.code == wheel_code), None)
    if wheel is None or wheel.cut_from_id is not None or not isfinite(age_days):
        return None
    until_ms = make.make.started_ms + round(age_days * DAY_MS)
    course = weight_course(
        wheel.green_weight_kg,
        [w for w in make.weighings if w.wheel_id == wheel.id and w.at_ms <= until_ms],
        [t for t in make.taken if t.wheel_id == wheel.id and t.at_ms <= until_ms],
    )
    lost = course.now.lost_pct
    return None if lost is None else composition_of(make, max(lost, 0.0))
