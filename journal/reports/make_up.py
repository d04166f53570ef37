"""What a wheel is made of now: the make's estimate carried on by the weight it lost."""

from __future__ import annotations

from journal.keeping import Journal
from journal.reckoning import ReckoningError
from journal.reckoning.composition import (
    UNSAID_SALT_PCT,
    UNSAID_SALT_SD_PCT,
    Kitchen,
    kitchen_composition,
)
from journal.reckoning.milk_yield import (
    CASEIN_OF_PROTEIN,
    GUESSED_PROTEIN_SD_PCT,
    casein_from_protein,
    guessed_protein_pct,
)
from journal.records.makes import Addition, Milk
from journal.records.wheel_weight import WheelWeight
from journal.records.wheels import Wheel

KG_PER_L = 1.03  # milk of usual fat at 20 °C (common practice, no source)
_FAT_SD, _PROTEIN_SD = 0.1, 0.1  # % of the milk, as measured
_SCALE_SD_KG = 0.005
_SALT_OFF = 0.1  # of what was added dry, lost with whey


def make_up(
    milk: Milk, additions: list[Addition], green_kg: float, weight: WheelWeight
) -> Kitchen | None:
    """Moisture, MNFS, fat in dry matter and S/M of a wheel with ranges, by its milk, the weight of
    all the make's cheese from the press, the salt that went in dry, and what it lost since, which
    was water. None where the milk's fat or the weights are not known, or cannot go together.

    Without a word of salt it is taken as 0 to 2 % of the cheese.
    """
    if milk.fat_pct is None or green_kg <= 0 or weight.lost_pct is None:
        return None
    guessed = milk.protein_pct is None
    protein = float(guessed_protein_pct(milk.fat_pct)) if guessed else float(milk.protein_pct or 0)
    salt = sum(one.amount for one in additions if one.kind == "salt" and one.unit == "g") / 1000
    said = salt > 0
    try:
        return kitchen_composition(
            milk.litres * KG_PER_L,
            milk.fat_pct,
            float(casein_from_protein(protein)),
            green_kg * (1 - weight.lost_pct / 100),
            salt if said else green_kg * UNSAID_SALT_PCT / 100,
            fat_sd_pct=_FAT_SD,
            casein_sd_pct=CASEIN_OF_PROTEIN * (GUESSED_PROTEIN_SD_PCT if guessed else _PROTEIN_SD),
            weight_sd_kg=_SCALE_SD_KG,
            salt_sd_kg=_SALT_OFF * salt if said else green_kg * UNSAID_SALT_SD_PCT / 100,
        )
    except ReckoningError:
        return None


def make_up_of(journal: Journal, wheel: Wheel, weight: WheelWeight | None = None) -> Kitchen | None:
    """What a wheel is made of by what was noted of its make; `weight` of now where it is known."""
    make = journal.makes.binned(wheel.make_id)
    green = [w.green_weight_kg for w in journal.wheels.where(make_id=make.id) if not w.cut_from_id]
    known = [kg for kg in green if kg]
    if len(known) < len(green):
        return None
    return make_up(
        make.milk, journal.additions.where(make_id=make.id), sum(known),
        journal.shelves.course(wheel).now if weight is None else weight,
    )  # fmt: skip
