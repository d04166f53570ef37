"""The doses of a stage and of a make for a person; a dose for a litre, or of another lot.

No other module arranges doses for a person; a test of the house holds it.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

from journal.reckoning.culture_units import UNITS_OF_ONE_PCT, units_for_milk
from journal.records.dose_written import (
    DIGITS,
    dose_label,
    format_amount,
    format_measured,
    scant_amount,
)
from journal.records.lot_strength import strength_share, usual_strength
from journal.records.makes import Ingredient
from journal.records.plans import Dose, Plan, Stage
from journal.records.spoon_weight import usual_g_per_ml
from journal.wording.kitchen import kitchen
from journal.wording.letters import capital
from journal.wording.sentences import worded
from journal.wording.shown import in_shown_units
from journal.wording.style import style_in_use


@dataclass(frozen=True)
class DoseWords:
    """A dose for so much milk: `label` is enough to call it, `amount` how much in the units shown,
    `about` the nearest measure of a kitchen ("" where there is none, or the amount is in spoons),
    `packet` what stands for it of a packet."""

    dose: Dose
    label: str
    amount: str
    about: str
    packet: str

    @property
    def to_add(self) -> str:
        """ "1/4 tsp culture (1.2 ml)" where a kitchen measures it so, else "20 g salt"."""
        name = self.dose.name
        spoons, _, metric = self.amount.rpartition(" (")
        if spoons:
            return f"{spoons} {name} ({metric}"
        near = self.about.removeprefix("about ") if self.dose.unit == "ml" else ""
        if near.endswith(("tsp", "tbsp", "cup", "cups")) and "+" not in near:
            return f"{near} {name} ({self.amount})"
        return f"{self.amount} {name}"

    @property
    def in_full(self) -> str:
        """Its name, amount and note, and what stands for it of a packet, in whole sentences."""
        note = self.dose.note
        ends = "" if not note or note.endswith((".", "?")) else "."
        parts = (f"{capital(self.dose.name)}: {self.amount}.", f"{note}{ends}", self.packet)
        return " ".join(part for part in parts if part)

    @property
    def on_paper(self) -> str:
        """The measure that is sure enough for paper: millilitres go into a spoon, salt by its
        weight; other grams have no sure spoon."""
        if self.dose.unit == "g" and self.about:
            salt = self.dose.kind == "salt"
            return worded("wording.of-fine-salt", amount=self.about) if salt else ""
        return self.about


def doses_of(stage: Stage, litres: float) -> list[DoseWords]:
    """The doses of a stage for so much milk, in the order of the plan."""
    return [_written(dose, litres, dose_label(stage, dose)) for dose in stage.doses]


def doses_of_make(plan: Plan, litres: float) -> list[tuple[DoseWords, list[DoseWords]]]:
    """What a make takes of each ingredient in all, and as it goes in, dose by dose."""
    found: defaultdict[tuple[str, str, str], list[Dose]] = defaultdict(list)
    for dose in (dose for stage in plan.stages for dose in stage.doses):
        found[dose.name, dose.unit, dose.kind].append(dose)
    return [
        (
            _written(replace(ones[-1], per_litre=sum(one.per_litre for one in ones),
                             spoons=all(one.spoons for one in ones)), litres),
            [_written(one, litres) for one in ones],
        )
        for ones in found.values()
    ]  # fmt: skip


def _written(dose: Dose, litres: float, label: str = "") -> DoseWords:
    about = "" if dose.spoons else kitchen_words(dose.kind, dose.for_milk(litres), dose.unit)
    amount = amount_words(dose.for_milk(litres), dose.unit, spoons=dose.spoons)
    return DoseWords(dose, label or dose.name, amount, about, direct_set_sentence(dose, litres))


def amount_words(amount: float, unit: str, digits: int = DIGITS, *, spoons: bool = False) -> str:
    """An amount in the unit it is shown in: "61.8 g" or "2.18 oz"; first in spoons where it is
    measured so."""
    if not spoons:
        return in_shown_units(format_amount(amount, unit, digits))
    if few := scant_amount(amount, unit):
        return in_shown_units(worded("wording.less-than-a-spoon", amount=few))
    text = format_measured(amount, unit, spoons=True)
    near = text.removeprefix("about ")
    return in_shown_units(text if near == text else worded("wording.about-so-much", amount=near))


def rate_words(per_litre: float, unit: str) -> str:
    """A dose for a litre of milk: "0.0625 g for each litre"."""
    return worded("wording.for-each-litre", amount=format_amount(per_litre, unit))


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
    return worded("wording.units-of-a-packet", one_pct=UNITS_OF_ONE_PCT, units=units, litres=litres)


def strength_sentence(lot: Ingredient, plan: str, amount_ml: float) -> str:
    """What to take of the lot where a plan says so many ml; "" where there is nothing to say."""
    share = strength_share(lot)
    if share is None:
        return ""
    usual, unit = usual_strength(lot.kind)
    says, take = (amount_words(ml, "ml", 2) for ml in (amount_ml, amount_ml * share))
    return worded(
        "wording.lot-weaker" if share > 1 else "wording.lot-stronger", strength=lot.strength,
        usual=usual, unit=unit, plan=plan, says=says, take=take,
    )  # fmt: skip


def lot_left_words(lot: Ingredient) -> str:
    """What is left of a lot: "6.4 g", "used up", "?" when nobody said."""
    if lot.amount_left is None:
        return "?"
    if lot.amount_left == 0:
        return worded("wording.used-up")
    return amount_words(lot.amount_left, lot.unit)
