"""How a dose is written, everywhere: grams or millilitres, spoons where it is typed in spoons.

No other module writes a dose, but for what only a person reads (`wording/doses.py`); a test of
the house holds it.
"""

from __future__ import annotations

import math

from journal.quantities.written import SMALLEST_SPOON_ML, spoonfuls, write
from journal.records.plans import Dose, Stage

DIGITS = 3  # that count: no kitchen weighs or measures closer
_BESIDE = 2  # that count beside a spoon, which is never closer
_SCANT = 0.75  # of the smallest spoon: less is not measured with it (common practice, no source)


def format_amount(amount: float, unit: str, digits: int = DIGITS) -> str:
    """An amount with the digits that count, never rounded to nothing: "0.004 g", "2.4 ml"."""
    number = _number(amount, digits)
    if unit not in ("g", "ml"):
        return f"{number} {unit}".rstrip()
    decimals = len(number.partition(".")[2])
    return write(amount, "mass_g" if unit == "g" else "volume_ml", digits=decimals)


def typed_amount(amount: float, unit: str) -> str:
    """An amount for typing on or for another program: six digits that count."""
    return f"{_number(amount, 6)} {unit}"


def format_dose(dose: Dose, litres: float) -> str:
    """A dose for so much milk: "2.4 ml", or "1/4 tsp (1.2 ml)" where it is typed in spoons."""
    return format_measured(dose.for_milk(litres), dose.unit, spoons=dose.spoons)


def format_measured(amount: float, unit: str, *, spoons: bool) -> str:
    """An amount, in spoons too where that is how it is measured."""
    if not spoons or amount <= 0:
        return format_amount(amount, unit)
    if few := scant_amount(amount, unit):
        return f"{few} (less than the smallest spoon)"
    return f"{spoonfuls(amount)} ({format_amount(amount, unit, _BESIDE)})"


def scant_amount(amount: float, unit: str) -> str:
    """An amount that is less than any spoon measures, "" where it is not."""
    scant = 0 < amount < _SCANT * SMALLEST_SPOON_ML
    return format_amount(amount, unit, _BESIDE) if scant else ""


def dose_text(stage: Stage, dose: Dose, litres: float) -> str:
    """A dose as it is typed in a cell: what is enough to call it and its amount for the milk."""
    return f"{dose_label(stage, dose)} {format_dose(dose, litres)}"


def doses_for_a_litre(stage: Stage) -> str:
    """The doses of a stage for a litre of milk, for another program: "culture 0.05 g/L; …"."""
    return "; ".join(f"{d.name} {typed_amount(d.per_litre, d.unit)}/L" for d in stage.doses)


def dose_label(stage: Stage, dose: Dose) -> str:
    """The kind where it says enough, the name where two of a kind go in."""
    twins = sum(d.kind == dose.kind for d in stage.doses) > 1
    return dose.name.partition(",")[0] if twins or dose.kind in ("other", "mould") else dose.kind


def _number(amount: float, digits: int) -> str:
    """The amount with so many digits that count, whole ones all, no idle zeros."""
    if not amount:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(amount))))
    text = f"{amount:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
