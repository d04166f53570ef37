"""What went into a litre of milk, by weight and by volume apart, and what a spoon leaves open.

A powder measured in spoons counts in grams, by what a spoonful of it weighs; a liquid stays in ml.
How far a spoonful may be off stands beside the value. It is taken to differ from make to make;
a packet that is heavier in every make alike only moves all of them by one factor.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from journal.message import Message
from journal.records.makes import Addition
from journal.records.plans import Dose
from journal.records.spoon_weight import (
    LOT,
    POWDERS,
    SPOON_FACTOR,
    Spoonful,
    spoonful,
    spread_of,
    weighed_in_stock,
)
from journal.records.stock import plain_name
from journal.records.whole import WholeMake

CULTURES = ("culture_dose", "culture_dose_in_ml")
RENNETS = ("rennet_dose", "rennet_dose_in_g")
DOSES = CULTURES + RENNETS
"""Keys of the variables that are doses: what is weighed and what is measured never share one."""
_KINDS = {"culture": (*CULTURES, "g"), "rennet": (*RENNETS, "ml")}
_SOURCES = {LOT: "findings.weight-by-lot", "culture": "findings.weight-of-culture",
            "salt": "findings.weight-of-salt"}  # fmt: skip
BY_VOLUME = {"g": "ml", "ml": "g"}


def name_of(key: str) -> str:
    """The name of the variable a key is made from: "culture dose in ml"."""
    return key.replace("_", " ")


@dataclass(frozen=True)
class DosePart:
    """Something that went in, in g or ml: `off` is the sd of its logarithm, `weighs` what a
    spoonful was taken to weigh (None: it was not measured in spoons, or is a liquid)."""

    amount: float
    unit: str
    off: float = 0.0
    weighs: Spoonful | None = None


def parts_of(make: WholeMake, kind: str) -> list[DosePart]:
    """What went into a make of a kind, powders from spoons in grams."""
    return [_part(make, one) for one in make.additions if one.kind == kind]


def per_litre(kind: str, unit: str) -> Callable[[WholeMake], float]:
    """How much of a kind went into a litre of milk, in g or in ml; NaN where it is not known."""

    def read(make: WholeMake) -> float:
        amounts = [part.amount for part in parts_of(make, kind) if part.unit == unit]
        return sum(amounts) / make.make.milk.litres if amounts else math.nan

    return read


def off_share(kind: str, unit: str) -> Callable[[WholeMake], float]:
    """How far that may be off, as a share of it: the sd that spoons leave."""

    def read(make: WholeMake) -> float:
        parts = [part for part in parts_of(make, kind) if part.unit == unit]
        total = sum(part.amount for part in parts)
        return math.hypot(*(part.amount * part.off for part in parts)) / total if total else 0.0

    return read


def dose_notes(makes: Iterable[WholeMake]) -> list[Message]:
    """What is to be known of how doses were measured: g beside ml, and spoons."""
    every = list(makes)
    notes: list[Message] = []
    for kind, (own_key, other_key, unit) in _KINDS.items():
        name, other = name_of(own_key), name_of(other_key)
        found = [parts for make in every for parts in [parts_of(make, kind)] if parts]
        own = sum(any(part.unit == unit for part in parts) for parts in found)
        rest = sum(any(part.unit != unit for part in parts) for parts in found)
        if own and rest:
            notes.append(
                Message(
                    "findings.dose-in-two-units",
                    variable=name, other=other, unit=unit, other_unit=BY_VOLUME[unit],
                    own=own, rest=rest, makes=len(every),
                )
            )  # fmt: skip
        notes += _spoon_notes(name, found, len(every))
    salted = [parts for make in every for parts in [parts_of(make, "salt")] if parts]
    return notes + _spoon_notes(name_of("salt_in_curd"), salted, len(every))


def _spoon_notes(name: str, found: list[list[DosePart]], makes: int) -> list[Message]:
    """One note for each weight that spoonfuls were taken to have."""
    taken: dict[Spoonful, int] = {}
    for parts in found:
        for weighs in {part.weighs for part in parts if part.weighs is not None}:
            taken[weighs] = taken.get(weighs, 0) + 1
    return [_spoon_note(name, weighs, count, makes) for weighs, count in taken.items()]


def _spoon_note(name: str, weighs: Spoonful, count: int, makes: int) -> Message:
    return Message(
        "findings.spoons-by-lot" if weighs.source == LOT else "findings.spoons-as-usual",
        variable=name, spooned=count, makes=makes, source=Message(_SOURCES[weighs.source]),
        g_per_ml=weighs.g_per_ml, low=weighs.g_per_ml / weighs.factor,
        high=weighs.g_per_ml * weighs.factor,
    )  # fmt: skip


def _part(make: WholeMake, one: Addition) -> DosePart:
    if one.unit != "ml" or one.generation_id is not None:
        return DosePart(one.amount, one.unit)
    dose = _planned(make, one)
    spoons = dose is not None and dose.spoons
    powder = spoons or weighed_in_stock(one.kind, one.name, make.lots)
    if powder and one.kind in POWDERS:
        weighs = spoonful(one.kind, one.name, one.ingredient_id, make.lots)
        return DosePart(one.amount * weighs.g_per_ml, "g", weighs.off, weighs)
    return DosePart(one.amount, "ml", spread_of(SPOON_FACTOR) if spoons else 0.0)


def _planned(make: WholeMake, one: Addition) -> Dose | None:
    """The plan's dose that an addition is, None where it is no dose of the plan."""
    if not 0 <= one.position < len(make.plan.stages):
        return None
    wanted = (one.kind, plain_name(one.name))
    doses = make.plan.stages[one.position].doses
    return next((d for d in doses if (d.kind, plain_name(d.name)) == wanted), None)
