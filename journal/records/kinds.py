"""The closed lists: kinds of reading, of stage and of care, and the words a panel uses."""

from __future__ import annotations

from dataclasses import dataclass

from journal.records import RecordError


@dataclass(frozen=True)
class ReadingKind:
    """One kind of reading: what is measured, in which unit, and what is possible at all.

    `low` and `high` bound what is possible (outside is refused); the usual range is narrower
    and a matter of the make.
    """

    key: str
    label: str
    quantity: str  # as journal.quantities names it
    unit: str  # as shown
    low: float
    high: float
    digits: int


READING_KINDS: dict[str, ReadingKind] = {
    kind.key: kind
    for kind in (
        ReadingKind("milk-temp", "milk", "temperature", "°C", -5.0, 110.0, 1),
        ReadingKind("bath-temp", "bath", "temperature", "°C", -5.0, 110.0, 1),
        ReadingKind("milk-ph", "milk pH", "ph", "pH", 2.0, 10.0, 2),
        ReadingKind("curd-ph", "curd pH", "ph", "pH", 2.0, 10.0, 2),
        ReadingKind("whey-ph", "whey pH", "ph", "pH", 2.0, 10.0, 2),
        ReadingKind("milk-acidity", "milk acidity", "acidity", "% lactic", 0.0, 3.0, 3),
        ReadingKind("whey-acidity", "whey acidity", "acidity", "% lactic", 0.0, 3.0, 3),
        ReadingKind("room-temp", "room", "temperature", "°C", -30.0, 60.0, 1),
        ReadingKind("room-humidity", "room humidity", "percent", "%", 0.0, 100.0, 0),
        ReadingKind("load", "load", "mass", "kg", 0.0, 5000.0, 1),
        ReadingKind("heat", "heat", "percent", "%", 0.0, 100.0, 0),
    )
}

# What the field of temperatures at the vat takes: the milk's, or that of a bath it stands in.
TEMP_KINDS = ("milk-temp", "bath-temp")

# A stage's kind, and whether hands are needed all through it.
STAGE_KINDS: dict[str, bool] = {
    "warm": True,
    "ripen": False,
    "set": False,
    "cut": True,
    "heal": False,
    "stir": True,
    "wash": True,
    "cook": True,
    "pitch": False,
    "drain": True,
    "cheddar": True,
    "mill": True,
    "salt": True,
    "mould": True,
    "press": False,
    "brine": False,
    "dry": False,
    "pasteurise": True,
    "cool": True,
    "scald": True,
    "stretch": True,
    "churn": True,
    "smoke": False,
}

# Readings of acidity, in the order of the work; an acid target can ask of each.
PH_KINDS = ("milk-ph", "curd-ph", "whey-ph")
TITRATED_KINDS = ("milk-acidity", "whey-acidity")
ACIDITY_KINDS = (*PH_KINDS, *TITRATED_KINDS)

ANIMALS = ("cow", "goat", "sheep", "buffalo", "mixed")

TREATMENTS = ("raw", "thermised", "pasteurised")

CULTURE_TYPES = ("mesophilic", "thermophilic", "mixed")
# What a plan may say of its culture: milk that acid or heat sets has none.
UNCULTURED = "none"
PLAN_CULTURES = (*CULTURE_TYPES, UNCULTURED)

CARE_KINDS = ("turn", "rub", "brush", "oil", "bandage", "wax", "weigh", "move", "pierce", "wrap",
              "dry", "smoke", "ash", "vacuum")  # fmt: skip

# Care that is given once and then holds (common practice, no source).
ONCE_CARE = ("bandage", "wax", "wrap", "move", "dry", "ash", "vacuum")

# How a part of a wheel, or all of it, leaves.
TAKEN_KINDS = ("eaten", "given", "sold", "thrown", "tasted")

INGREDIENT_KINDS = ("culture", "rennet", "calcium chloride", "salt", "colour", "mould", "lipase",
                    "water", "other")  # fmt: skip

# ISO 22935 (appearance, odour, flavour, consistency) and the basic tastes; "overall" sums up.
ATTRIBUTES = ("overall", "appearance", "odour", "flavour", "salt", "acid", "bitter", "consistency")


def reading_kind(key: str) -> ReadingKind:
    """The kind of reading called `key`; raises RecordError with the list of those there are."""
    try:
        return READING_KINDS[key]
    except KeyError:
        raise RecordError("records.no-such-reading", word=key, known=tuple(READING_KINDS)) from None


def check_one_of(value: str, allowed: tuple[str, ...] | dict[str, bool], refusal: str) -> None:
    """Refuse a word that is not of a closed list, with `refusal` as the message's id."""
    if value not in allowed:
        raise RecordError(refusal, word=value, known=tuple(allowed))
