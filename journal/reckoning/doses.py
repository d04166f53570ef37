"""What goes into the milk: culture, rennet, calcium chloride, colour."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, at_least, outside, within
from journal.reckoning.density import MILK_KG_PER_L

# University of Guelph, chapter 28: 5,000 IMCU for 100 kg.
USUAL_IMCU_PER_KG = 50.0
# Single strength: 200 ml sets 1000 kg (University of Guelph), which is 50 IMCU/kg at 250 IMCU/ml.
SINGLE_STRENGTH_IMCU_PER_ML = 250.0
# University of Guelph: rennet is sold as single, double or triple strength.
STRENGTHS_SOLD = {"single": 1.0, "double": 2.0, "triple": 3.0}
# A strength of 1:10 000: one part sets 10 000 parts of milk at 35 °C in 40 min, to the first flakes
# (Soxhlet; teaching sheets of dairy schools). From memory: 1:15 000 is about 200 IMCU/ml.
PARTS_AT_C = 35.0
PARTS_MIN = 40.0
# University of Guelph: flakes after 15 to 20 min (camembert: 15), set in twice the time.
USUAL_FLOCCULATION_MIN = 15.0
# 20 ml of a 30 % solution for 100 kg of milk (University of Guelph, chapter 28).
USUAL_CALCIUM_ML_PER_KG = 0.2
USUAL_CALCIUM_SOLUTION_PCT = 30.0
# 21 CFR 133.148(b), 133.150(b); Codex 278: 200 mg anhydrous for a kg of milk.
MOST_CALCIUM_PCT_OF_MILK = 0.02
DIHYDRATE_OVER_ANHYDROUS = 147.014 / 110.984
# Gouda procedure of the University of Guelph: annatto 1 to 2 ml for 1000 kg in winter.
USUAL_COLOUR_ML_PER_KG = 0.0015
# Cheddar procedure of the University of Guelph: 1 % of bulk starter.
USUAL_BULK_PCT = 1.0


def rennet_ml(
    milk_kg: Numbers,
    strength_imcu_per_ml: Numbers = SINGLE_STRENGTH_IMCU_PER_ML,
    dose_imcu_per_kg: Numbers = USUAL_IMCU_PER_KG,
) -> Numbers:
    """Rennet, ml: milk × dose / strength.

    Published doses are 24 to 63 IMCU/kg by make sheet (120 to 250 ml of single strength for
    1000 kg); the e-book's is 50 IMCU/kg. IMCU as ISO 11815 / IDF 157 measures it. Single strength
    is a setting power; 250 IMCU/ml makes the two doses of the University of Guelph agree.
    """
    above(milk_kg, 0, "reckoning.milk", "kg")
    above(strength_imcu_per_ml, 0, "reckoning.strength-of-rennet", "IMCU/ml")
    above(dose_imcu_per_kg, 0, "reckoning.dose-of-rennet", "IMCU/kg")
    return milk_kg * dose_imcu_per_kg / strength_imcu_per_ml


def rennet_by_parts(
    milk: Numbers,
    parts: Numbers,
    flocculation_min: Numbers = USUAL_FLOCCULATION_MIN,
    activity: Numbers = 1.0,
) -> Numbers:
    """Rennet sold as 1 to so many parts, in the unit of the milk: milk / parts × 40 min / time.

    Parameters
    ----------
    milk
        In any unit of mass or volume; the answer is in the same.
    parts
        The number behind 1: on the label: parts of milk that one part sets at 35 °C in 40 min.
    flocculation_min
        The time wanted to the first flakes; it is inverse to the rennet.
    activity
        Of rennet at the milk's temperature, over that at 35 °C.
    """
    above(milk, 0, "reckoning.milk")
    within(parts, 100, 1_000_000, "reckoning.parts-of-milk")
    within(flocculation_min, 1, 300, "reckoning.flocculation", "min")
    above(activity, 0, "reckoning.ratio-of-activities")
    return milk / parts * PARTS_MIN / flocculation_min / activity


def parts_from_test(milk: Numbers, rennet: Numbers, flocculation_min: Numbers) -> Numbers:
    """The parts behind 1: of a rennet by a test at 35 °C: milk / rennet × 40 min / time.

    Milk and rennet in one unit. Source: teaching sheets of dairy schools (F = 2400 V / (T C)).
    """
    above(milk, 0, "reckoning.milk")
    above(rennet, 0, "reckoning.rennet")
    above(flocculation_min, 0, "reckoning.flocculation", "min")
    return milk / rennet * PARTS_MIN / flocculation_min


def rennet_tablets(milk_l: Numbers, tablet_l: Numbers) -> Numbers:
    """Tablets for a milk, by the milk that one sets as its packet says. Exact."""
    above(milk_l, 0, "reckoning.milk", "L")
    above(tablet_l, 0, "reckoning.milk-of-tablet", "L")
    return milk_l / tablet_l


def rennet_strength_left(fresh_min: Numbers, now_min: Numbers) -> Numbers:
    """The share of its strength an old rennet has kept, by a clotting test of the same milk.

    Fresh clotting time over today's at the same dose, milk and temperature: in the vat the time
    is inverse to the rennet over a wide range (a viscometer study's abstract); the Berridge test
    adds a constant, so a test in a cup slightly flatters an old rennet.
    """
    above(fresh_min, 0, "reckoning.clotting-time-when-fresh", "min")
    above(now_min, 0, "reckoning.clotting-time-now", "min")
    return fresh_min / now_min


def calcium_chloride_g(
    solution_ml: Numbers, solution_pct: Numbers = USUAL_CALCIUM_SOLUTION_PCT
) -> Numbers:
    """Anhydrous calcium chloride in a solution of so many g in 100 ml (% w/v), g. Exact."""
    at_least(solution_ml, 0, "reckoning.solution", "ml")
    within(solution_pct, 0, 75, "reckoning.strength-of-solution", "%")
    return solution_ml * solution_pct / 100


def calcium_chloride_pct_of_milk(anhydrous_g: Numbers, milk_kg: Numbers) -> Numbers:
    """Anhydrous calcium chloride as % of the milk. The legal most is 0.02 % (200 mg/kg)."""
    at_least(anhydrous_g, 0, "reckoning.calcium-chloride", "g")
    above(milk_kg, 0, "reckoning.milk", "kg")
    return anhydrous_g / (10 * milk_kg)


def dihydrate_g(anhydrous_g: Numbers) -> Numbers:
    """The dihydrate that holds so much anhydrous calcium chloride, g: × 1.3246 (molar masses)."""
    at_least(anhydrous_g, 0, "reckoning.calcium-chloride", "g")
    return anhydrous_g * DIHYDRATE_OVER_ANHYDROUS


def bulk_starter_kg(milk_kg: Numbers, dose_pct: Numbers = USUAL_BULK_PCT) -> Numbers:
    """Bulk starter, kg: % of the milk's mass. Published: 0.75 % (gouda) to 2 % (activity test)."""
    above(milk_kg, 0, "reckoning.milk", "kg")
    within(dose_pct, 0, 100, "reckoning.dose-of-culture", "%")
    return milk_kg * dose_pct / 100


def colour_ml(milk_kg: Numbers, dose_ml_per_kg: Numbers = USUAL_COLOUR_ML_PER_KG) -> Numbers:
    """Annatto, ml: 1 to 2 ml for 1000 kg in winter (gouda, University of Guelph)."""
    above(milk_kg, 0, "reckoning.milk", "kg")
    at_least(dose_ml_per_kg, 0, "reckoning.dose-of-colour", "ml/kg")
    return milk_kg * dose_ml_per_kg


def litre_dose_per_kg(dose_per_l: Numbers, kg_per_l: float = MILK_KG_PER_L) -> Numbers:
    """A dose given for a litre of milk, for a kilogram of it."""
    at_least(dose_per_l, 0, "reckoning.dose")
    return dose_per_l / kg_per_l


def rennet_warnings(dose_imcu_per_kg: Numbers) -> tuple[Message, ...]:
    """Where a dose of rennet lies outside the published make sheets."""
    if outside(dose_imcu_per_kg, 24, 63):
        return (Message("reckoning.rennet-unusual"),)
    return ()


def calcium_warnings(pct_of_milk: Numbers) -> tuple[Message, ...]:
    """A warning above the legal most."""
    if outside(pct_of_milk, 0, MOST_CALCIUM_PCT_OF_MILK * (1 + 1e-12)):
        return (Message("reckoning.calcium-above-legal"),)
    return ()


def culture_warnings(dose_pct: Numbers) -> tuple[Message, ...]:
    """Where a dose of bulk starter lies outside the published 0.5 to 3 %."""
    if outside(dose_pct, 0.5, 3.0):
        return (Message("reckoning.culture-unusual"),)
    return ()


def colour_warnings(dose_ml_per_kg: Numbers) -> tuple[Message, ...]:
    """Where a dose of annatto lies outside the published one."""
    if outside(dose_ml_per_kg, 0.001, 0.002):
        return (Message("reckoning.colour-unusual"),)
    return ()
