"""A dose for a person: for a litre, in a kitchen measure, from another lot."""

from __future__ import annotations

from journal.reckoning.culture_units import UNITS_OF_ONE_PCT, units_for_milk
from journal.records.dose_written import DIGITS, format_amount
from journal.records.lot_strength import strength_share, usual_strength
from journal.records.makes import Ingredient
from journal.records.plans import Dose
from journal.records.spoon_weight import usual_g_per_ml
from journal.wording.kitchen import kitchen
from journal.wording.shown import in_shown_units
from journal.wording.style import style_in_use


def amount_words(amount: float, unit: str, digits: int = DIGITS) -> str:
    """An amount in the unit it is shown in: "61.8 g" or "2.18 oz"."""
    return in_shown_units(format_amount(amount, unit, digits))


def rate_words(per_litre: float, unit: str) -> str:
    """A dose for a litre of milk: "0.0625 g for each litre"."""
    return f"{format_amount(per_litre, unit)} for each litre"


def kitchen_words(kind: str, amount: float, unit: str) -> str:
    """An amount in the nearest measure of a kitchen, "" where the powder is not known."""
    if style_in_use().spoons != "yes":
        return ""
    if unit == "ml":
        return kitchen(amount)
    weighs = usual_g_per_ml(kind)
    text = "" if weighs is None else kitchen(amount / weighs)
    return "" if "drop" in text else text  # a powder is not counted in drops


def direct_set_sentence(dose: Dose, litres: float) -> str:
    """What stands for a dose of bulk starter in a packet, for so much milk; "" for any other dose.

    By the units of one maker's sheet, which are not another's.
    """
    if dose.kind != "culture" or dose.unit != "ml":
        return ""
    units = float(units_for_milk(litres, dose.per_litre / 10 * UNITS_OF_ONE_PCT))
    return (
        f"Of a packet whose maker counts {UNITS_OF_ONE_PCT:g} units for 100 L as 1 % of bulk "
        f"starter: {units:.2g} units for {litres:g} L."
    )


def strength_sentence(lot: Ingredient, plan: str, amount_ml: float) -> str:
    """What to take of the lot where a plan says so many ml; "" where there is nothing to say."""
    share = strength_share(lot)
    if share is None:
        return ""
    usual, unit = usual_strength(lot.kind)
    than = "weaker" if share > 1 else "stronger"
    says, take = (amount_words(ml, "ml", 2) for ml in (amount_ml, amount_ml * share))
    return (
        f"Its strength is {lot.strength}, {than} than the usual {usual:g} {unit}: where {plan} "
        f"says {says}, use {take}, unless the plan was written for this lot."
    )


def left_words(lot: Ingredient) -> str:
    """What is left of a lot: "6.4 g", "used up", "?" when nobody said."""
    if lot.amount_left is None:
        return "?"
    return "used up" if lot.amount_left == 0 else amount_words(lot.amount_left, lot.unit)
