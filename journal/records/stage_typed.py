"""What is typed into a plan's cells, understood: the stage it makes and what was made of it."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

from journal.message import Message
from journal.quantities import QuantityError
from journal.quantities.typed import parse
from journal.records import RecordError
from journal.records.drafts import USUAL_MIN, PlanDraft
from journal.records.kinds import ANIMALS, CULTURE_TYPES, STAGE_KINDS, TREATMENTS, UNCULTURED
from journal.records.part_typed import (
    Found,
    StageContext,
    read_as,
    read_intervals,
    read_milk_part,
    read_part,
)
from journal.records.plan_scaled import minutes_typed_for
from journal.records.plans import Plan, Stage
from journal.records.stage_written import (
    NO_CULTURE,
    CellPart,
    cell_text,
    kind_in,
    milk_parts,
    stage_parts,
)

# What the cell of doses, sizes and acid targets is about; the rest of a stage is left as it is.
_WHAT: dict[str, Any] = {
    "ramp_min": None, "first_c_per_min": None, "first_min": None, "limit_c_per_min": None,
    "tolerance_c": None, "size_mm": None, "pressure_kpa": None, "turns": 0,
    "intervals_min": (), "pressures_kpa": (),
    "whey_drawn_per_l": 0.0, "water_added_per_l": 0.0, "water_c": None, "brine_pct": None,
    "humidity_pct": None, "alone": False, "acid_target": None,
}  # fmt: skip
_MILK: dict[str, Any] = {"floc_multiplier": None, "protein_fat": None, "room_c": None,
                         "room_humidity_pct": None}  # fmt: skip
_WORDS = {"culture_type": CULTURE_TYPES, "animal": ANIMALS, "treatment": TREATMENTS}
# A comma with a space and a word behind it; "2,5" is a number.
_COMMA = re.compile(r",\s+(?=[^,]*[a-zA-Z%])")
_LONGEST, _LONGEST_PART, _MOST_PARTS = 10_000, 400, 60
_FREE = re.compile(r"(?:do|until)\b", re.IGNORECASE)
_AMERICAN = {"pasteurized": "pasteurised", "thermized": "thermised"}


@dataclass(frozen=True)
class UnreadParts:
    """Parts of a cell that were not understood, as typed, and why the first was not."""

    text: str = ""
    why: Message | None = None


@dataclass(frozen=True)
class CellRead:
    """What a cell was understood as: the stage, what was made of each part (nothing where the text
    says it all), and the parts that were not understood."""

    stage: Stage
    message: tuple[Message, ...] = ()
    loose: UnreadParts = UnreadParts()


def read_cell(
    column: str,
    text: str,
    stage: Stage | None,
    plan: Plan,
    litres: float,
    names: Collection[str] = (),
) -> CellRead:
    """The stage with a cell of it typed anew, all of it understood.

    Raises
    ------
    RecordError
        With what was not understood and what would do.
    """
    read = read_cell_so_far(column, text, stage, plan, litres, names)
    if read.loose.why is not None:
        raise RecordError(read.loose.why)
    return read


def read_cell_so_far(
    column: str,
    text: str,
    stage: Stage | None,
    plan: Plan,
    litres: float,
    names: Collection[str] = (),
) -> CellRead:
    """The stage with a cell of it typed anew; a part of doses, sizes and acid targets that is not
    understood stands in `loose` and costs the others nothing.

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
        raise RecordError(error.message) from None


def read_milk(column: str, text: str, plan: Plan) -> tuple[dict[str, Any], tuple[Message, ...]]:
    """The fields of the plan that the line of the milk was typed as, and what was made of it.

    Raises
    ------
    RecordError
        With what was not understood and what would do.
    """
    fields, message, loose = read_milk_so_far(column, text, plan)
    if loose.why is not None:
        raise RecordError(loose.why)
    return fields, message


def read_milk_so_far(
    column: str, text: str, plan: Plan
) -> tuple[dict[str, Any], tuple[Message, ...], UnreadParts]:
    """The same, and the parts that were not understood.

    Raises
    ------
    RecordError
        Where the cell is one value and that was not understood.
    """
    loose = UnreadParts()
    try:
        if column == "temp":
            typed = parse(text, "temperature", default_unit="degC")
            fields: dict[str, Any] = {"milk_c": typed.stored}
            message = _messages(read_as(typed, "degC"))
        else:
            fields, message, loose = _milk_typed(text, plan)
    except QuantityError as error:
        raise RecordError(error.message) from None
    replace(plan, **fields)
    return fields, message, loose


def read_again(draft: PlanDraft, litres: float, names: Collection[str] = ()) -> PlanDraft:
    """The draft with cells that were not understood read again, as after another word about the
    milk or the mould: what is understood now is taken."""
    for number, row in enumerate(draft.rows):
        plan = draft.plan() or draft.head
        for column, text in row.loose.items():
            if row.stage is None or column not in row.loose:
                continue
            whole = "; ".join(t for t in (cell_text(plan, row.stage, column, litres), text) if t)
            try:
                read = read_cell_so_far(
                    column, whole if column == "what" else text, row.stage, plan, litres, names
                )
            except RecordError:
                continue
            row = row.with_stage(read.stage, column)
            if read.loose.text:
                row = row.with_loose(column, read.loose.text)
            draft = draft.with_row(number, row)
    return draft


def why_loose(draft: PlanDraft, litres: float, names: Collection[str] = ()) -> Message | None:
    """Why the first cell that is not understood is not, None where every cell is."""
    plan = draft.plan() or draft.head
    for column, text in draft.head_loose.items():
        try:
            why = read_milk_so_far(column, text, plan)[2].why
        except RecordError as error:
            why = error.message
        if why:
            return Message("records.milk-line-loose", why=why)
    for number, row in enumerate(draft.rows, 1):
        for column, text in row.loose.items():
            try:
                why = read_cell_so_far(column, text, row.stage, plan, litres, names).loose.why
            except RecordError as error:
                why = error.message
            if why and text.strip():
                return Message("records.line-loose", line=number, why=why)
    return None


def _read(
    column: str,
    text: str,
    stage: Stage | None,
    plan: Plan,
    litres: float,
    names: Collection[str],
) -> CellRead:
    if column == "stage":
        return _named(text, stage)
    if stage is None:
        raise RecordError("records.line-without-stage")
    if column == "temp":
        return _temperature(text, stage)
    if column == "minutes":
        return _length(text, stage, plan, litres)
    if column == "what":
        return _what(text, StageContext(plan, stage, litres, names))
    words = " ".join(text.split())
    if column == "do":
        return CellRead(replace(stage, instruction=words))
    return CellRead(replace(stage, until=words))


def _named(text: str, stage: Stage | None) -> CellRead:
    name = " ".join(text.split())
    if len(name) > _LONGEST_PART:
        raise RecordError("records.too-long-to-read", most=_LONGEST_PART)
    before, colon, after = (part.strip() for part in name.partition(":"))
    kind = before.lower() if colon and before.lower() in STAGE_KINDS else kind_in(name)
    name = after if colon and before.lower() == kind else name
    if kind is None and stage is not None and name:
        kind = stage.kind
    if kind is None:
        raise RecordError("records.no-stage-named", known=tuple(STAGE_KINDS))
    name = "" if name.lower() == kind else name
    message = _messages(Message("records.read-name", kind=kind, name=name) if name else None)
    if stage is None:
        return CellRead(Stage(kind, USUAL_MIN[kind], name=name), message)
    return CellRead(replace(stage, kind=kind, name=name), message)


def _temperature(text: str, stage: Stage) -> CellRead:
    if not text.strip():
        return CellRead(replace(stage, target_c=None), (Message("records.read-no-temperature"),))
    typed = parse(text, "temperature", default_unit="degC")
    return CellRead(replace(stage, target_c=typed.stored), _messages(read_as(typed, "degC")))


def _length(text: str, stage: Stage, plan: Plan, litres: float) -> CellRead:
    """The stage with its length; one that stands as it was written keeps its exact value."""
    typed = parse(text, "duration", default_unit="min")
    length = Message("records.read-length", minutes=typed.stored)
    message = () if typed.unit == "min" else (length,)
    if text == cell_text(plan, stage, "minutes", litres):
        return CellRead(stage, message)
    minutes = minutes_typed_for(plan, stage, litres, typed.stored)
    return CellRead(stage.lasting(minutes), message)


def _what(text: str, context: StageContext) -> CellRead:
    """The stage of the parts typed; a part that stands as it was written keeps its exact value, and
    one that is not understood, or cannot stand with those before it, is loose."""
    known = {part.text: part for part in stage_parts(context.plan, context.stage, context.litres)}
    stage = replace(context.stage, **_WHAT, doses=())
    loose = list[tuple[str, Message]]()
    later = list[tuple[str, list[Found]]]()
    for typed in _parts(text):
        try:
            later.append((typed, _meant(typed, known.get(typed), context)))
        except (RecordError, QuantityError) as error:
            loose.append((typed, error.message))
    for typed, found in sorted(later, key=_has_first_min):
        try:
            stage = _with(stage, found)
        except RecordError as error:
            loose.append((typed, error.message))
            continue
    message = _messages(*(one.message for typed, found in later for one in found))
    why = loose[0][1] if loose else None
    return CellRead(stage, message, UnreadParts("; ".join(part for part, _ in loose), why))


def _has_first_min(part: tuple[str, list[Found]]) -> bool:
    """What gives a slope of its own is looked at once the ramp is known."""
    return any("first_min" in found.fields for found in part[1])


def _meant(typed: str, part: CellPart | None, context: StageContext) -> list[Found]:
    """What a part says; one that stands as it was written says what the stage has."""
    if part is None:
        return _found(typed, context)
    fields = {name: getattr(context.stage, name) for name in part.fields}
    return [Found(fields, None, part.dose)]


def _with(stage: Stage, found: Sequence[Found]) -> Stage:
    """The stage with what a part says as well."""
    fields = {name: value for one in found for name, value in one.fields.items()}
    doses = tuple(one.dose for one in found if one.dose is not None)
    return replace(stage, **fields, doses=(*stage.doses, *doses))


def _found(typed: str, context: StageContext) -> list[Found]:
    """What a part says, or several that commas part, where each says something."""
    if len(typed) > _LONGEST_PART and not _FREE.match(typed):
        raise RecordError("records.too-long-to-read", most=_LONGEST_PART)
    intervals = read_intervals(typed, context)
    if intervals is not None:
        return [intervals]
    pieces = _COMMA.split(typed)
    if len(pieces) > 1 and not _FREE.match(typed):
        try:
            return [read_part(piece, context) for piece in pieces]
        except (RecordError, QuantityError):
            pass
    try:
        return [read_part(typed, context)]
    except (RecordError, QuantityError) as error:
        if len(pieces) < 2:
            raise
        raise RecordError("records.part-by-semicolon", why=error.message) from None


def _milk_typed(text: str, plan: Plan) -> tuple[dict[str, Any], tuple[Message, ...], UnreadParts]:
    known = {part.text: part for part in milk_parts(plan)}
    fields, message = dict(_MILK), list[Message | None]()
    loose = list[tuple[str, Message]]()
    for typed in _parts(text):
        part, closed = known.get(typed), _closed_word(typed)
        if part is not None:
            more: dict[str, Any] = {name: getattr(plan, name) for name in part.fields}
        elif closed is not None:
            more = dict([closed])
        else:
            try:
                more, made = _milk_part(typed, plan)
            except (RecordError, QuantityError) as error:
                loose.append((typed, error.message))
                continue
            message.append(made)
        fields.update(more)
    why = loose[0][1] if loose else None
    return fields, _messages(*message), UnreadParts("; ".join(p for p, _ in loose), why)


def _milk_part(typed: str, plan: Plan) -> tuple[dict[str, Any], Message | None]:
    """What one part of the milk's line says, as long as the plan may say so."""
    if len(typed) > _LONGEST_PART:
        raise RecordError("records.too-long-to-read", most=_LONGEST_PART)
    if typed.lower() == NO_CULTURE:
        if plan.cultured:
            raise RecordError("records.culture-is-at-a-stage")
        return {"culture_type": UNCULTURED}, None
    more, message = read_milk_part(typed)
    replace(plan, **more)
    return more, message


def _closed_word(typed: str) -> tuple[str, str] | None:
    """The field and word of a closed list: "goat", "mixed milk", "thermophilic culture"."""
    word, _, noun = typed.lower().replace("'s", "").partition(" ")
    word = _AMERICAN.get(word, word)
    for field, words in _WORDS.items():
        nouns = ("", "culture") if field == "culture_type" else ("", "milk")
        if word in words and noun in nouns:
            return field, word
    return None


def _messages(*message: Message | None) -> tuple[Message, ...]:
    """What was made of the parts of which something is to be said."""
    return tuple(one for one in message if one is not None)


def _parts(text: str) -> list[str]:
    if len(text) > _LONGEST:
        raise RecordError("records.too-long-to-read", most=_LONGEST)
    parts = [part for part in (" ".join(p.split()) for p in text.split(";")) if part]
    if len(parts) > _MOST_PARTS:
        raise RecordError("records.too-many-parts", most=_MOST_PARTS)
    return parts
