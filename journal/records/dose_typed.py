"""A dose as typed ("rennet 2.4 ml", "salt 2.5 %", "1/4 tsp culture"), for the milk there is."""

from __future__ import annotations

import re
from collections.abc import Collection

from journal.message import Message
from journal.quantities import QuantityError
from journal.quantities.typed import Typed, parse, parse_any
from journal.quantities.units import quantities, spellings_of
from journal.records import RecordError
from journal.records.dose_written import dose_label
from journal.records.kinds import INGREDIENT_KINDS
from journal.records.plan_expected import expected
from journal.records.plans import Dose, Plan, Stage

_NUMBER = r"[.,]?[0-9½⅓⅔¼¾⅛⅜⅝⅞]"
_LONGEST = 400
_NAME_FIRST = re.compile(rf"([^0-9½⅓⅔¼¾⅛⅜⅝⅞]+?)\s*[:=]?\s*({_NUMBER}.*)")
_AMOUNT_FIRST = re.compile(r"([0-9½⅓⅔¼¾⅛⅜⅝⅞.,/ ]+\s*[^\s]+)\s+(?:of\s+)?([^0-9]+)")
_SPOONS = ("tsp", "tbsp", "tsp/L", "tbsp/L")
# What stands beside spoons as they are written, and before a measure that is only near.
_BESIDE = re.compile(r"\s*\([^)]*\)$|^about\s+")
# Words that say what a thing is; the kinds themselves come first.
_HINTS = {
    "starter": "culture", "mesophilic": "culture", "thermophilic": "culture",
    "calcium": "calcium chloride", "cacl2": "calcium chloride", "annatto": "colour",
    "color": "colour", "penicillium": "mould", "geotrichum": "mould", "yeast": "mould",
}  # fmt: skip
OFFER = Message("records.parts-offer")
_NO_DOSE = {"temperature": "records.dose-is-temperature", "duration": "records.dose-is-time"}


def read_dose(
    text: str,
    plan: Plan,
    stage: Stage,
    litres: float,
    known_names: Collection[str] = (),
) -> tuple[Dose, Message]:
    """The dose, and what it is for each litre.

    A dose the stage already has by that name keeps its name and note; another amount is its only
    change. A name that says no kind and is neither in the plan nor in `known_names` (lower case)
    is said to be a new ingredient.

    Raises
    ------
    RecordError, QuantityError
        When there is no name, no amount, or one of another kind.
    """
    name, amount, note = _split(text)
    _check_name(name, text)
    known = next((d for d in stage.doses if _is(name, stage, d)), None)
    kind = known.kind if known is not None else ingredient_kind(name)
    per_litre, unit, spoons = _per_litre(amount, kind, plan, litres)
    title = known.name if known is not None else name
    note = note or (known.note if known is not None else "")
    dose = Dose(kind, title, per_litre, unit, note, spoons)
    return dose, _message(dose, litres, new=not _heard_of(dose, plan, known_names))


def ingredient_kind(name: str) -> str:
    """The kind of ingredient that a name says, "other" when it says none."""
    words = name.lower()
    for kind in INGREDIENT_KINDS:
        if kind not in ("other", "water") and kind in words:
            return kind
    return next((kind for hint, kind in _HINTS.items() if hint in words), "other")


def _split(text: str) -> tuple[str, str, str]:
    """Name, amount and note; what follows "in" ("in 24 ml water") is a note."""
    text = " ".join(text.split())
    if len(text) > _LONGEST:
        raise RecordError("records.too-long-to-read", most=_LONGEST)
    found = _NAME_FIRST.fullmatch(text)
    if found:
        name, amount = found[1].strip(" :="), found[2]
    else:
        found = _AMOUNT_FIRST.fullmatch(text)
        if not found:
            raise RecordError("records.part-not-understood", text=text, offer=OFFER)
        name, amount = found[2].strip(), found[1]
    amount, _, note = (part.strip() for part in amount.partition(" in "))
    return name, amount, f"in {note}" if note else ""


def _check_name(name: str, text: str) -> None:
    """Refuse a name that is none, a unit's word, or one that a minus hangs on."""
    if name.endswith(("-", "−")):
        raise RecordError("records.dose-of-nothing", text=text)
    if not any(letter.isalpha() for letter in name):
        raise RecordError("records.dose-without-name", text=text, offer=OFFER)
    for quantity in quantities():
        if name.lower() in spellings_of(quantity):
            which = _NO_DOSE.get(quantity, "records.dose-is-amount")
            raise RecordError(which, text=text, offer=OFFER)


def _heard_of(dose: Dose, plan: Plan, known_names: Collection[str]) -> bool:
    """A kind of its own, or a name that is written somewhere."""
    if dose.kind != "other":
        return True
    name = dose.name.lower()
    return name in known_names or any(
        name == known.name.lower() for stage in plan.stages for known in stage.doses
    )


def _is(name: str, stage: Stage, dose: Dose) -> bool:
    wanted = name.lower()
    return wanted in (dose.name.lower(), dose_label(stage, dose).lower())


def _per_litre(amount: str, kind: str, plan: Plan, litres: float) -> tuple[float, str, bool]:
    """The amount for a litre of milk, "g" or "ml", and whether it was typed in spoons."""
    usual = "g" if kind in ("culture", "salt", "mould", "lipase") else "ml"
    if amount.endswith(("%", "pct")):
        return *_of_hundred(parse(amount, "percent").stored, kind, plan), False
    amount = _BESIDE.sub("", amount)
    try:
        parts = [_typed(part, usual) for part in _summands(amount)]
    except QuantityError as error:
        raise RecordError(error.message) from None
    typed, kept = parts[0], sum(part.stored for part in parts)
    unit = "g" if typed.quantity.startswith("mass") else "ml"
    spoons = all(part.unit in _SPOONS for part in parts)
    return (kept if typed.quantity.endswith("per_volume") else kept / litres), unit, spoons


def _typed(amount: str, usual: str) -> Typed:
    bare = ("mass_g", "volume_ml") if usual == "g" else ("volume_ml", "mass_g")
    return parse_any(amount, (*bare, "mass_per_volume", "volume_per_volume"), default_unit=usual)


def _summands(amount: str) -> list[str]:
    """The spoons of "1/4 + 1/16 tsp", each with its unit; any other amount as it is."""
    parts = [part.strip() for part in amount.split("+")]
    unit = parts[-1].rpartition(" ")[2]
    return [part if part[-1:].isalpha() else f"{part} {unit}" for part in parts[:-1]] + parts[-1:]


def _of_hundred(percent: float, kind: str, plan: Plan) -> tuple[float, str]:
    """Salt is % of the curd, bulk starter % of the milk by volume."""
    if kind == "salt":
        return 10 * percent * expected(plan, 1.0).cheese_kg, "g"
    if kind == "culture":
        return 10 * percent, "ml"
    raise RecordError("records.percent-of-what")


def _message(dose: Dose, litres: float, *, new: bool) -> Message:
    """The amount for the milk and for each litre; the kind where the name does not say it."""
    kind = "" if dose.kind in dose.name.lower() else dose.kind
    return Message("records.read-dose", name=dose.name, kind=kind, per_litre=dose.per_litre,
                   unit=dose.unit, spoons=dose.spoons, litres=litres, new=new)  # fmt: skip
