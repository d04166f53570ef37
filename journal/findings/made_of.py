"""What a cheese is made of, as milk, salt and a kitchen scale tell it."""

from __future__ import annotations

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
from journal.records.makes import Milk

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
