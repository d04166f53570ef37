"""A dose as typed ("rennet 2.4 ml", "salt 2.5 %", "1/4 tsp culture"), for the milk there is."""

from __future__ import annotations

import re

from journal.quantities import QuantityError
from journal.quantities.typed import parse, parse_any
from journal.records import RecordError
from journal.records.kinds import INGREDIENT_KINDS
from journal.records.plan_expected import expected
from journal.records.plans import Dose, Plan, Stage
from journal.records.stage_written import amount_text, dose_label

_NUMBER = r"[.,]?[0-9½⅓⅔¼¾⅛⅜⅝⅞]"
_NAME_FIRST = re.compile(rf"([^0-9½⅓⅔¼¾⅛⅜⅝⅞]+?)\s*[:=]?\s*({_NUMBER}.*)")
_AMOUNT_FIRST = re.compile(r"([0-9½⅓⅔¼¾⅛⅜⅝⅞.,/ ]+\s*[^\s]+)\s+(?:of\s+)?([^0-9]+)")
# Words that say what a thing is; the kinds themselves come first.
_HINTS = {
    "starter": "culture", "mesophilic": "culture", "thermophilic": "culture",
    "calcium": "calcium chloride", "cacl2": "calcium chloride", "annatto": "colour",
    "color": "colour", "penicillium": "mould", "geotrichum": "mould", "yeast": "mould",
}  # fmt: skip


def read_dose(text: str, plan: Plan, stage: Stage, litres: float, offer: str) -> tuple[Dose, str]:
    """The dose, and in words what it is for each litre.

    A dose the stage already has by that name keeps its name and note; another amount is its only
    change.

    Raises
    ------
    RecordError, QuantityError
        When there is no name, no amount, or one of another kind.
    """
    name, amount, note = _split(text, offer)
    known = next((d for d in stage.doses if _is(name, stage, d)), None)
    kind = known.kind if known is not None else ingredient_kind(name)
    per_litre, unit = _per_litre(amount, kind, plan, litres, offer)
    title = known.name if known is not None else name
    note = note or (known.note if known is not None else "")
    dose = Dose(kind, title, per_litre, unit, note)
    return dose, _said(dose, amount, litres)


def ingredient_kind(name: str) -> str:
    """The kind of ingredient that a name says, "other" when it says none."""
    words = name.lower()
    for kind in INGREDIENT_KINDS:
        if kind not in ("other", "water") and kind in words:
            return kind
    return next((kind for hint, kind in _HINTS.items() if hint in words), "other")


def _split(text: str, offer: str) -> tuple[str, str, str]:
    """Name, amount and note; what follows "in" ("in 24 ml water") is a note."""
    found = _NAME_FIRST.fullmatch(text)
    if found:
        name, amount = found[1].strip(" :="), found[2]
    else:
        found = _AMOUNT_FIRST.fullmatch(text)
        if not found:
            raise RecordError(f"“{text}” is not understood. {offer}")
        name, amount = found[2].strip(), found[1]
    amount, _, note = (part.strip() for part in amount.partition(" in "))
    return name, amount, f"in {note}" if note else ""


def _is(name: str, stage: Stage, dose: Dose) -> bool:
    wanted = name.lower()
    return wanted in (dose.name.lower(), dose_label(stage, dose).lower())


def _per_litre(amount: str, kind: str, plan: Plan, litres: float, offer: str) -> tuple[float, str]:
    """The amount for a litre of milk and "g" or "ml"."""
    usual = "g" if kind in ("culture", "salt", "mould", "lipase") else "ml"
    if amount.endswith(("%", "pct")):
        return _of_hundred(parse(amount, "percent").kept, kind, plan)
    bare = ("mass_g", "volume_ml") if usual == "g" else ("volume_ml", "mass_g")
    try:
        typed = parse_any(amount, (*bare, "mass_per_volume", "volume_per_volume"),
                          default_unit=usual)  # fmt: skip
    except QuantityError as error:
        raise RecordError(f"{error} {offer}" if len(str(error)) < 60 else str(error)) from None
    unit = "g" if typed.quantity.startswith("mass") else "ml"
    return (typed.kept if typed.quantity.endswith("per_volume") else typed.kept / litres), unit


def _of_hundred(percent: float, kind: str, plan: Plan) -> tuple[float, str]:
    """Salt is % of the curd, bulk starter % of the milk by volume."""
    if kind == "salt":
        return 10 * percent * expected(plan, 1.0).cheese_kg, "g"
    if kind == "culture":
        return 10 * percent, "ml"
    raise RecordError("Per cent is said of salt (of the curd) or of a bulk starter (of the milk).")


def _said(dose: Dose, amount: str, litres: float) -> str:
    total = amount_text(dose.for_milk(litres), dose.unit)
    each = f"{dose.per_litre:.3g} {dose.unit} for each litre"
    kind = "" if dose.kind in dose.name.lower() else f", {dose.kind}"
    return f"{dose.name} {total}{kind}, {each}"
