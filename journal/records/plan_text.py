"""Plans as TOML files: read with every fault named, written so that they read back the same."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields, replace
from functools import lru_cache
from typing import Any, TypeVar

from journal.message import Message
from journal.records import RecordError
from journal.records.kinds import (
    ACIDITY_KINDS,
    ANIMALS,
    CARE_KINDS,
    INGREDIENT_KINDS,
    PLAN_CULTURES,
    STAGE_KINDS,
    TREATMENTS,
)
from journal.records.own_files import own_file
from journal.records.plan_lines import FilePlace, syntax_fault
from journal.records.plan_values import (
    ACIDITY,
    AGE,
    DIFFERENCE,
    LENGTH_OF_TIME,
    PERCENT,
    PH,
    PRESSURE,
    SHARE,
    SIZE,
    SLOPE,
    TEMPERATURE,
    VOLUME,
    Count,
    Identity,
    Number,
    OneOf,
    Rate,
    Several,
    Shape,
    Text,
    YesNo,
)
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage

_Record = TypeVar("_Record", Plan, Stage, AcidTarget, Dose, CareRule)

FORM = 1  # the version of the format this program reads and writes


@dataclass(frozen=True)
class PlanKey:
    """A key of the file, the record's field behind it, and what may stand there."""

    key: str
    field: str
    shape: Shape
    required: bool = False


PLAN_KEYS = (
    PlanKey("name", "name", Text(), required=True),
    PlanKey("style", "style", Text()),
    PlanKey("version", "version", Count("records.noun-version")),
    PlanKey("uuid", "uuid", Identity()),
    PlanKey("source", "source", Text()),
    PlanKey("caution", "caution", Text()),
    PlanKey("note", "note", Text()),
    PlanKey("milk", "milk_l", VOLUME),
    PlanKey("animal", "animal", OneOf("records.no-such-animal", ANIMALS)),
    PlanKey("treatment", "treatment", OneOf("records.no-such-treatment", TREATMENTS)),
    PlanKey("milk_at", "milk_c", TEMPERATURE),
    PlanKey("protein_to_fat", "protein_fat", Number("records.noun-ratio")),
    PlanKey("culture", "culture_type", OneOf("records.no-such-culture-type", PLAN_CULTURES)),
    PlanKey("floc_multiplier", "floc_multiplier", Number("records.noun-multiplier")),
    PlanKey("mould", "mould_mm", SIZE),
    PlanKey("yield", "yield_pct", PERCENT),
    PlanKey("room", "room_c", TEMPERATURE),
    PlanKey("humidity", "room_humidity_pct", PERCENT),
    PlanKey("taste_at", "taste_at_days", Several(AGE)),
    PlanKey("taste_notes", "taste_notes", Several(Text())),
    PlanKey("eat_from", "eat_from_days", AGE),
)

STAGE_KEYS = (
    PlanKey("kind", "kind", OneOf("records.no-such-stage", tuple(STAGE_KINDS)), required=True),
    PlanKey("name", "name", Text()),
    PlanKey("length", "minutes", LENGTH_OF_TIME, required=True),
    PlanKey("target", "target_c", TEMPERATURE),
    PlanKey("ramp", "ramp_min", LENGTH_OF_TIME),
    PlanKey("first_slope", "first_c_per_min", SLOPE),
    PlanKey("first_for", "first_min", LENGTH_OF_TIME),
    PlanKey("limit", "limit_c_per_min", SLOPE),
    PlanKey("tolerance", "tolerance_c", DIFFERENCE),
    PlanKey("size", "size_mm", SIZE),
    PlanKey("pressure", "pressure_kpa", PRESSURE),
    PlanKey("turns", "turns", Count("records.noun-turns")),
    PlanKey("intervals", "intervals_min", Several(LENGTH_OF_TIME)),
    PlanKey("pressures", "pressures_kpa", Several(PRESSURE)),
    PlanKey("whey_drawn", "whey_drawn_per_l", SHARE),
    PlanKey("water_added", "water_added_per_l", SHARE),
    PlanKey("water_at", "water_c", TEMPERATURE),
    PlanKey("brine", "brine_pct", PERCENT),
    PlanKey("humidity", "humidity_pct", PERCENT),
    PlanKey("alone", "alone", YesNo()),
    PlanKey("instruction", "instruction", Text()),
    PlanKey("until", "until", Text()),
)

DOSE_KEYS = (
    PlanKey("kind", "kind", OneOf("records.no-such-ingredient", INGREDIENT_KINDS), required=True),
    PlanKey("name", "name", Text(), required=True),
    PlanKey("amount", "amount", Rate(), required=True),
    PlanKey("spoons", "spoons", YesNo()),
    PlanKey("note", "note", Text()),
)

CARE_KEYS = (
    PlanKey("kind", "kind", OneOf("records.no-such-care", CARE_KINDS), required=True),
    PlanKey("from", "from_day", AGE, required=True),
    PlanKey("to", "to_day", AGE, required=True),
    PlanKey("every", "every_days", AGE, required=True),
    PlanKey("room", "room_c", TEMPERATURE),
    PlanKey("humidity", "room_humidity_pct", PERCENT),
    PlanKey("note", "note", Text()),
)


def acid_target_keys(kind: object) -> tuple[PlanKey, ...]:
    """The keys of an acid target of that kind: a pH or an acidity, and the minutes of its stage."""
    ends = ACIDITY if str(kind).endswith("acidity") else PH
    return (
        PlanKey("kind", "kind", OneOf("records.no-such-acid-target", ACIDITY_KINDS), required=True),
        PlanKey("low", "low", ends, required=True),
        PlanKey("high", "high", ends, required=True),
        PlanKey("from", "from_min", LENGTH_OF_TIME),
        PlanKey("to", "to_min", LENGTH_OF_TIME),
    )


def read_plan(text: str) -> Plan:
    """The plan that `text` (TOML) holds.

    Raises
    ------
    RecordError
        With the stage and the key at fault and what would do; also for a key nobody knows.
    """
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise RecordError(syntax_fault(text, error)) from None
    form = table.pop("form", FORM)
    if form != FORM:
        raise RecordError("records.plan-of-another-form", form=form, known=FORM)
    plan = FilePlace(Message("records.place-plan"), (), text)
    found = _read_table(table, PLAN_KEYS, plan, ("stage", "care"))
    found["stages"] = tuple(
        _read_stage(one, plan, i) for i, one in enumerate(_tables(table, "stage", plan), 1)
    )
    found["care"] = tuple(
        _made(CareRule, _read_table(one, CARE_KEYS, place), CARE_KEYS, place)
        for place, one in _numbered(table, "care", plan)
    )
    return _made(Plan, found, PLAN_KEYS, plan)


def write_plan(plan: Plan) -> str:
    """The plan as TOML; `read_plan` gives it back the same, but for `id` and `builtin`, which
    belong to where it is kept."""
    lines = [f"form = {FORM}", *_lines(vars(plan), PLAN_KEYS, Plan)]
    for stage in plan.stages:
        lines += ["", "[[stage]]", *_lines(vars(stage), STAGE_KEYS, Stage)]
        if stage.acid_target is not None:
            keys = acid_target_keys(stage.acid_target.kind)
            lines += ["[stage.gate]", *_lines(vars(stage.acid_target), keys, AcidTarget)]
        for dose in stage.doses:
            amount = {**vars(dose), "amount": (dose.per_litre, dose.unit)}
            lines += ["[[stage.dose]]", *_lines(amount, DOSE_KEYS, Dose)]
    for rule in plan.care:
        lines += ["", "[[care]]", *_lines(vars(rule), CARE_KEYS, CareRule)]
    return "\n".join(lines) + "\n"


def builtin_plans() -> list[Plan]:
    """The plans the program brings along, by name."""
    found = [_read_file(path.stem) for path in own_file("plans").glob("*.toml")]
    return sorted(found, key=lambda plan: plan.name)


def builtin_plan(name: str) -> Plan:
    """The plan of that name the program brings along; its file is named after it.

    Raises
    ------
    RecordError
        With the names there are.
    """
    names = sorted(path.stem.replace("_", " ") for path in own_file("plans").glob("*.toml"))
    wanted = " ".join(name.casefold().split())
    if wanted not in names:
        raise RecordError("records.no-such-plan", name=name, known=tuple(names))
    return _read_file(wanted.replace(" ", "_"))


@lru_cache(maxsize=64)
def _along(text: str) -> Plan:
    """The plan of a file that comes along; read once."""
    return replace(read_plan(text), builtin=True)


def _read_file(stem: str) -> Plan:
    text = own_file("plans", f"{stem}.toml").read_text(encoding="utf-8")
    try:
        return _along(text)
    except RecordError as error:
        raise RecordError("records.in-file", file=f"{stem}.toml", why=error.message) from None


def _read_stage(table: Mapping[str, Any], plan: FilePlace, number: int) -> Stage:
    place = plan.inner(_called(table, number), "stage", number)
    found = _read_table(table, STAGE_KEYS, place, ("gate", "dose"))
    if found.get("intervals_min"):  # they say the turns, and the pressures the greatest
        found.setdefault("turns", len(found["intervals_min"]) - 1)
    if found.get("pressures_kpa"):
        found.setdefault("pressure_kpa", max(found["pressures_kpa"]))
    if "gate" in table:
        called = Message("records.place-acid-target", stage=place.called)
        found["acid_target"] = _read_acid_target(table["gate"], place.inner(called, "gate"))
    found["doses"] = tuple(_read_dose(one, where) for where, one in _numbered(table, "dose", place))
    return _made(Stage, found, STAGE_KEYS, place)


def _called(table: Mapping[str, Any], number: int) -> Message:
    """What to call a stage: its number, and its name or kind where it has one."""
    if not isinstance(table.get("kind"), str):
        return Message("records.place-stage", number=number)
    name = table.get("name") or table["kind"]
    return Message("records.place-stage-named", number=number, name=name)


def _read_acid_target(table: object, place: FilePlace) -> AcidTarget:
    if not isinstance(table, dict):
        raise place.fault(Message("records.acid-target-is-no-table"))
    keys = acid_target_keys(table.get("kind"))
    return _made(AcidTarget, _read_table(table, keys, place), keys, place)


def _read_dose(table: Mapping[str, Any], place: FilePlace) -> Dose:
    found = _read_table(table, DOSE_KEYS, place)
    found["per_litre"], found["unit"] = found.pop("amount")
    return _made(Dose, found, DOSE_KEYS, place)


def _read_table(
    table: Mapping[str, Any],
    keys: tuple[PlanKey, ...],
    place: FilePlace,
    inner: tuple[str, ...] = (),
) -> dict[str, Any]:
    """The record's fields of a table; tables within (`inner`) are left to the caller."""
    known = [key.key for key in keys] + list(inner)
    for name in table:
        if name not in known:
            why = Message("records.no-such-key", key=name, known=tuple(known))
            raise place.fault(why, name, named=False)
    found: dict[str, Any] = {}
    for key in keys:
        if key.key in table:
            try:
                found[key.field] = key.shape.read(table[key.key])
            except RecordError as error:
                raise place.fault(error.message, key.key) from None
        elif key.required:
            raise place.fault(Message("records.key-missing", key=key.key))
    return found


def _tables(table: Mapping[str, Any], key: str, place: FilePlace) -> list[dict[str, Any]]:
    """The list of tables under `key`, empty where there is none."""
    found = table.get(key, [])
    if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
        path = "stage.dose" if key == "dose" else key
        raise place.fault(Message("records.no-list-of-tables", path=path), key)
    return found


def _numbered(
    table: Mapping[str, Any], key: str, place: FilePlace
) -> list[tuple[FilePlace, dict[str, Any]]]:
    """The tables under `key` ("care" or a stage's "dose"), each with its place."""
    found = []
    for i, one in enumerate(_tables(table, key, place), 1):
        called = Message("records.place-care", number=i)
        if key == "dose":
            called = Message("records.place-dose", stage=place.called, number=i)
        found.append((place.inner(called, key, i), one))
    return found


def _made(
    record: type[_Record], found: dict[str, Any], keys: tuple[PlanKey, ...], place: FilePlace
) -> _Record:
    """The record of those fields; its own refusal gets the place before it."""
    try:
        return record(**found)
    except RecordError as error:
        culprit = _culprit(record, found, keys)
        raise place.fault(error.message, culprit, named=False) from None


def _culprit(record: type[Any], found: dict[str, Any], keys: tuple[PlanKey, ...]) -> str:
    """The one key without which the record would stand, "" where there is no such key."""
    may_go = {f.name for f in fields(record) if f.default is not MISSING}
    for key in keys:
        if key.field not in found or key.field not in may_go:
            continue
        try:
            record(**{name: value for name, value in found.items() if name != key.field})
        except RecordError:
            continue
        return key.key
    return ""


def _lines(values: Mapping[str, Any], keys: tuple[PlanKey, ...], record: type[Any]) -> list[str]:
    """The table's lines; what is empty by default and still empty is left out."""
    empty = {f.name: f.default for f in fields(record) if f.default is not MISSING}
    return [
        f"{key.key} = {key.shape.write(values[key.field])}"
        for key in keys
        if values[key.field] or values[key.field] != empty.get(key.field, MISSING)
    ]
