"""What is typed into a plan's cells, understood: the stage it makes and what was made of it."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Any

from journal.quantities import QuantityError
from journal.quantities.typed import parse
from journal.quantities.written import understood, write
from journal.records import RecordError
from journal.records.drafts import USUAL_MIN
from journal.records.kinds import ANIMALS, CULTURE_TYPES, STAGE_KINDS, TREATMENTS
from journal.records.part_typed import Found, Within, read_milk_part, read_part
from journal.records.plan_scaled import minutes_typed_for
from journal.records.plans import Dose, Plan, Stage
from journal.records.stage_written import NO_CULTURE, cell_text, kind_in, milk_parts, stage_parts

# What the cell of doses, sizes and gates is about; the rest of a stage is left as it is.
_WHAT: dict[str, Any] = {
    "ramp_min": None, "first_c_per_min": None, "first_min": None, "limit_c_per_min": None,
    "tolerance_c": None, "size_mm": None, "pressure_kpa": None, "turns": 0,
    "whey_drawn_per_l": 0.0, "water_added_per_l": 0.0, "water_c": None, "brine_pct": None,
    "humidity_pct": None, "alone": False, "gate": None,
}  # fmt: skip
_MILK: dict[str, Any] = {"floc_multiplier": None, "protein_fat": None, "room_c": None,
                         "room_humidity_pct": None}  # fmt: skip
_WORDS = {"culture_type": CULTURE_TYPES, "animal": ANIMALS, "treatment": TREATMENTS}
# A comma with a space and a word behind it; "2,5" is a number.
_COMMA = re.compile(r",\s+(?=[^,]*[a-zA-Z%])")
_FREE = re.compile(r"(?:do|until)\b", re.IGNORECASE)
_AMERICAN = {"pasteurized": "pasteurised", "thermized": "thermised"}


@dataclass(frozen=True)
class Read:
    """What a cell was understood as: the stage, and in words what was made of it ("" where the
    text says it all)."""

    stage: Stage
    said: str = ""


def read_cell(
    column: str,
    text: str,
    stage: Stage | None,
    plan: Plan,
    litres: float,
    names: Collection[str] = (),
) -> Read:
    """The stage with a cell of it typed anew.

    Parameters
    ----------
    column : "stage", "temp", "minutes", "what", "do" or "until"
    stage : as it stands, None for a fresh line (which begins with its name)
    plan : for the mould and the yield
    litres : the milk that amounts are for
    names : of ingredients, in lower case, that are known beside the plan's own

    Raises
    ------
    RecordError
        With what was not understood and what would do.
    """
    try:
        return _read(column, text, stage, plan, litres, names)
    except QuantityError as error:
        raise RecordError(str(error)) from None


def read_milk(column: str, text: str, plan: Plan) -> tuple[dict[str, Any], str]:
    """The fields of the plan that the line of the milk was typed as, and what was made of it.

    Raises
    ------
    RecordError
        With what was not understood and what would do.
    """
    try:
        if column == "temp":
            typed = parse(text, "temperature", default_unit="degC")
            fields: dict[str, Any] = {"milk_c": typed.kept}
            said = understood(typed) if typed.unit != "degC" else ""
        else:
            fields, said = _milk_words(text, plan)
        replace(plan, **fields)
    except QuantityError as error:
        raise RecordError(str(error)) from None
    return fields, said


def _read(
    column: str,
    text: str,
    stage: Stage | None,
    plan: Plan,
    litres: float,
    names: Collection[str],
) -> Read:
    if column == "stage":
        return _named(text, stage)
    if stage is None:
        raise RecordError("Begin the line with its stage: warm, ripen, set, cut, cook and so on.")
    if column == "temp":
        return _temperature(text, stage)
    if column == "minutes":
        return _length(text, stage, plan, litres)
    if column == "what":
        return _what(text, Within(plan, stage, litres, names))
    words = " ".join(text.split())
    if column == "do":
        return Read(replace(stage, instruction=words))
    return Read(replace(stage, until=words))


def _named(text: str, stage: Stage | None) -> Read:
    name = " ".join(text.split())
    before, colon, after = (part.strip() for part in name.partition(":"))
    kind = before.lower() if colon and before.lower() in STAGE_KINDS else kind_in(name)
    name = after if colon and before.lower() == kind else name
    if kind is None and stage is not None and name:
        kind = stage.kind
    if kind is None:
        raise RecordError(
            f"Say which stage it is: {', '.join(STAGE_KINDS)}; or with a name of its own, such as "
            "ripen: culture in."
        )
    name = "" if name.lower() == kind else name
    said = kind if name and name.lower() != kind else ""
    said = f"a {said} called “{name}”" if said else ""
    if stage is None:
        return Read(Stage(kind, USUAL_MIN[kind], name=name), said)
    return Read(replace(stage, kind=kind, name=name), said)


def _temperature(text: str, stage: Stage) -> Read:
    if not text.strip():
        return Read(replace(stage, target_c=None), "no temperature is held here")
    typed = parse(text, "temperature", default_unit="degC")
    said = understood(typed) if typed.unit != "degC" else ""
    return Read(replace(stage, target_c=typed.kept), said)


def _length(text: str, stage: Stage, plan: Plan, litres: float) -> Read:
    """The stage with its length; one that stands as it was written keeps its exact value."""
    typed = parse(text, "duration", default_unit="min")
    said = "" if typed.unit == "min" else write(typed.kept, "duration")
    if text == cell_text(plan, stage, "minutes", litres):
        return Read(stage, said)
    minutes = minutes_typed_for(plan, stage, litres, typed.kept)
    return Read(replace(stage, minutes=minutes), said)


def _what(text: str, within: Within) -> Read:
    """The stage of the parts typed; a part that stands as it was written keeps its exact value."""
    stage = within.stage
    known = {part.text: part for part in stage_parts(within.plan, stage, within.litres)}
    fields, doses, said = dict(_WHAT), list[Dose](), []
    for typed in _parts(text):
        part = known.get(typed)
        if part is not None:
            fields.update({name: getattr(stage, name) for name in part.fields})
            doses.extend([part.dose] if part.dose is not None else [])
            continue
        for found in _found(typed, within):
            fields.update(found.fields)
            doses.extend([found.dose] if found.dose is not None else [])
            said.append(found.said)
    return Read(replace(stage, **fields, doses=tuple(doses)), " · ".join(s for s in said if s))


def _found(typed: str, within: Within) -> list[Found]:
    """What a part says, or several that commas part, where each says something."""
    pieces = _COMMA.split(typed)
    if len(pieces) > 1 and not _FREE.match(typed):
        try:
            return [read_part(piece, within) for piece in pieces]
        except (RecordError, QuantityError):
            pass
    try:
        return [read_part(typed, within)]
    except (RecordError, QuantityError) as error:
        if len(pieces) < 2:
            raise
        raise RecordError(f"Part what is typed with “;” and not with a comma. {error}") from None


def _milk_words(text: str, plan: Plan) -> tuple[dict[str, Any], str]:
    known = {part.text: part for part in milk_parts(plan)}
    fields, said = dict(_MILK), list[str]()
    for typed in _parts(text):
        part, closed = known.get(typed), _closed_word(typed)
        if part is not None:
            fields.update({name: getattr(plan, name) for name in part.fields})
        elif closed is not None:
            fields.update([closed])
        elif typed.lower() == NO_CULTURE:
            raise RecordError("A culture goes in at one of the stages: take it out there.")
        else:
            more, words = read_milk_part(typed)
            fields.update(more)
            said.append(words)
    return fields, " · ".join(s for s in said if s)


def _closed_word(typed: str) -> tuple[str, str] | None:
    """The field and word of a closed list: "goat", "mixed milk", "thermophilic culture"."""
    word, _, noun = typed.lower().replace("'s", "").partition(" ")
    word = _AMERICAN.get(word, word)
    for field, words in _WORDS.items():
        nouns = ("", "culture") if field == "culture_type" else ("", "milk")
        if word in words and noun in nouns:
            return field, word
    return None


def _parts(text: str) -> list[str]:
    return [part for part in (" ".join(p.split()) for p in text.split(";")) if part]
