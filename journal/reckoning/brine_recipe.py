"""A brine from nothing: salt, water, calcium chloride and acid."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, at_least, outside, plain, require, within

# University of Guelph: 0.1 % of calcium chloride in a new brine, and its pH as the cheese's.
NEW_CALCIUM_PCT = 0.1
NEW_PH = (5.2, 5.6)
VINEGAR_PCT = 5.0
# A middling tap water, and a very soft and a very hard one (common practice, no source).
WATER_ALKALINITY_MG_L = 150.0
ALKALINITY_ENDS_MG_L = (30.0, 350.0)
_ACETIC_G_MOL = 60.05
_MG_CACO3_PER_MEQ = 50.04
_PK_ACETIC, _PK_CARBONIC = 4.756, 6.35  # at 25 °C without salt, from memory


def salt_and_water_kg(
    brine_kg: float, pct_w_w: float, have_kg: float = 0.0, have_pct: float = 0.0
) -> tuple[float, float]:
    """Salt and water for so much brine, kg, over what an old brine brings. Exact balance.

    Raises
    ------
    ReckoningError
        When the old brine is more, or holds more salt or more water, than the new one.
    """
    above(brine_kg, 0, "reckoning.brine", "kg")
    at_least(have_kg, 0, "reckoning.old-brine", "kg")
    salt = (brine_kg * pct_w_w - have_kg * have_pct) / 100
    water = brine_kg - have_kg - salt
    require(salt > -1e-9 and water > -1e-9, "reckoning.old-brine-too-much")
    return max(salt, 0.0), max(water, 0.0)


def acid_meq_per_l(alkalinity_mg_l: Numbers, ph: Numbers) -> Numbers:
    """Acid that brings water to a pH, milliequivalents for a litre.

    alkalinity / 50.04 × H / (H + K₁) + 1000 H: what is no longer bicarbonate, and the free acid;
    alkalinity as mg/L of CaCO₃, as a water report has it, and carbon dioxide stays in the water.
    """
    at_least(alkalinity_mg_l, 0, "reckoning.alkalinity", "mg/L")
    within(ph, 4.5, 6.5, "reckoning.ph")
    h = 10.0**-(ph)
    turned = h / (h + 10.0**-_PK_CARBONIC)
    return plain(alkalinity_mg_l / _MG_CACO3_PER_MEQ * turned + 1000 * h)


def vinegar_ml(
    water_l: Numbers,
    ph: Numbers,
    alkalinity_mg_l: Numbers = WATER_ALKALINITY_MG_L,
    acid_pct: Numbers = VINEGAR_PCT,
) -> Numbers:
    """Vinegar that brings a brine's water to a pH, ml.

    `acid_meq_per_l` over the part of acetic acid that gives its acid at that pH, K / (K + H), and
    the strength, g of acetic acid in 100 ml. The constants are those of water without salt; in a
    strong brine they shift by some tenths, so it is a first addition and the meter decides.
    """
    at_least(water_l, 0, "reckoning.water", "L")
    within(acid_pct, 1, 30, "reckoning.strength-of-vinegar", "%")
    k, h = 10.0**-_PK_ACETIC, 10.0**-(ph)
    mol = water_l * acid_meq_per_l(alkalinity_mg_l, ph) / 1000 * (k + h) / k
    return plain(mol * _ACETIC_G_MOL / acid_pct * 100)


def calcium_solution_ml(brine_kg: Numbers, pct: Numbers, solution_pct: Numbers) -> Numbers:
    """Solution of calcium chloride for so much anhydrous, % of the brine, ml. Exact (% w/v)."""
    at_least(brine_kg, 0, "reckoning.brine", "kg")
    within(pct, 0, 5, "reckoning.calcium-chloride", "%")
    within(solution_pct, 1, 75, "reckoning.strength-of-solution", "%")
    return 10 * brine_kg * pct * 100 / solution_pct


def recipe_warnings(calcium_pct: Numbers, ph: Numbers) -> tuple[Message, ...]:
    """Where calcium or pH lies outside what is published for a new brine."""
    warnings: list[Message] = []
    if outside(calcium_pct, 0.1, 0.5):
        warnings.append(Message("reckoning.brine-calcium-unusual"))
    if outside(ph, *NEW_PH):
        warnings.append(Message("reckoning.brine-ph-unusual"))
    return tuple(warnings)
