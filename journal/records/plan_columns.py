"""What a kept plan says in its words because format 1 of the file has no column for it.

A dose measured by the spoon says so before its note, and a stage with unequal parts says them at
the end of its instruction, in words that an older program shows as they are.
"""

from __future__ import annotations

import re
from dataclasses import replace

from journal.records import RecordError
from journal.records.plans import Dose, Stage

IN_TEXT = {"spoons", "intervals_min", "pressures_kpa"}  # the fields without a column

_SPOONS = "by the spoon"
_NUMBERS = r"([0-9.e+-]+(?:, [0-9.e+-]+)*)"
_PARTS = re.compile(
    rf"(.*?)\n?Parts between turns:(?: {_NUMBERS} min)?(?:; {_NUMBERS} kPa)?\.",
    re.DOTALL,
)


def dose_packed(dose: Dose) -> Dose:
    """The dose as its row has it."""
    if not dose.spoons:
        return dose
    note = f"{_SPOONS}; {dose.note}" if dose.note else _SPOONS
    return replace(dose, note=note, spoons=False)


def dose_unpacked(dose: Dose) -> Dose:
    """The dose of a row."""
    first, _, rest = dose.note.partition("; ")
    if first != _SPOONS or dose.unit != "ml":
        return dose
    return replace(dose, note=rest, spoons=True)


def stage_packed(stage: Stage) -> Stage:
    """The stage as its row has it."""
    if not stage.intervals_min and not stage.pressures_kpa:
        return stage
    minutes = f" {_listed(stage.intervals_min)} min" if stage.intervals_min else ""
    kpa = f"; {_listed(stage.pressures_kpa)} kPa" if stage.pressures_kpa else ""
    message = f"Parts between turns:{minutes}{kpa}."
    words = f"{stage.instruction}\n{message}" if stage.instruction else message
    return replace(stage, instruction=words, intervals_min=(), pressures_kpa=())


def stage_unpacked(stage: Stage) -> Stage:
    """The stage of a row; words that only look like parts stay words."""
    found = _PARTS.fullmatch(stage.instruction)
    if found is None:
        return stage
    try:
        return replace(
            stage,
            instruction=found[1],
            intervals_min=_numbers(found[2]),
            pressures_kpa=_numbers(found[3]),
        )
    except (RecordError, ValueError):
        return stage


def _listed(values: tuple[float, ...]) -> str:
    return ", ".join(repr(float(value)) for value in values)


def _numbers(text: str | None) -> tuple[float, ...]:
    return tuple(float(part) for part in text.split(", ")) if text else ()
