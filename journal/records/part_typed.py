"""One part of what a stage's cell says, as typed: a dose, a size, a load, an acid target, a
ramp."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from typing import Any

from journal.message import Message
from journal.quantities import AmbiguousNumber, QuantityError
from journal.quantities.numerals import read_number, tidy
from journal.quantities.typed import Typed, parse, parse_any
from journal.reckoning.press import pressure_kpa, round_area_cm2
from journal.records import RecordError
from journal.records.dose_typed import read_dose
from journal.records.plan_expected import expected, press_load_kg
from journal.records.plans import AcidTarget, Dose, Plan, Stage

_ACID_TARGET = re.compile(
    r"(?:.*?\bat )?(?:(milk|curd|whey)\s+)?(ph|acidity)\s*"
    r"([0-9][0-9.,]*)(?:\s*(?:to|-|and)\s*(?:ph\s*)?([0-9][0-9.,]*))?\s*([^0-9]*?)"
    r"(?:\s+(?:from|after)\s+(.+?))?(?:\s+(?:until|before|by)\s+(.+))?",
    re.IGNORECASE,
)
# "16 D to 18 D": the unit said twice.
_TWICE = re.compile(
    r"([0-9])\s*(%(?:\s*lactic)?|°?\s?[a-z]{1,2})(\s*(?:to|-|and)\s*[0-9][0-9.,]*\s*\2)(?![a-z])",
    re.IGNORECASE,
)
# "press 10, 10, 10, 15 min", each part with its load or none.
_INTERVALS = re.compile(r"(?:intervals?|press|turn(?: after)?)?:?\s*(.+)", re.IGNORECASE)
_BETWEEN = re.compile(r",\s+(?:then\s+)?|\s+then\s+|,(?=[0-9]+\s*(?:,|min|m\b|h\b))")
_INTERVAL = re.compile(
    r"([0-9½¼¾][0-9.,]*)\s*(min|mins|minutes|m|h|s)?(?:\s*(?:at|under|with|:)?\s+([0-9½¼¾].*))?",
    re.IGNORECASE,
)
_SLOPE = re.compile(r"(.+?)\s*(?:per|in|/)\s*([0-9].*)")


@dataclass(frozen=True)
class StageContext:
    """Where a part stands: the plan, its stage, the milk that amounts are for, and the names of
    ingredients (lower case) known beside the plan's own."""

    plan: Plan
    stage: Stage
    litres: float
    names: Collection[str] = ()


@dataclass(frozen=True)
class Found:
    """What a part says: fields of the stage, a dose, and what was made of it (None where the text
    says it all)."""

    fields: dict[str, Any] = field(default_factory=dict)
    message: Message | None = None
    dose: Dose | None = None


def read_part(part: str, context: StageContext) -> Found:
    """What one part says.

    Raises
    ------
    RecordError, QuantityError
        With what was not understood and what would do.
    """
    intervals = read_intervals(part, context)
    if intervals is not None:
        return intervals
    text = _TWICE.sub(r"\1\3", tidy(part))
    for pattern, read in _READERS:
        found = re.fullmatch(pattern, text, re.IGNORECASE)
        if found:
            return read(found[1].strip() if found.groups() else text, context)
    target = _ACID_TARGET.fullmatch(text)
    if target is not None:
        return _acid_target(target, context)
    bare = _bare(text, context)
    if bare is not None:
        return bare
    return _dose(text, context)


def _dose(text: str, context: StageContext) -> Found:
    dose, message = read_dose(text, context.plan, context.stage, context.litres, context.names)
    return Found({}, message, dose)


def read_milk_part(part: str) -> tuple[dict[str, Any], Message | None]:
    """What one part of the milk's line says: fields of the plan, and what was made of it.

    Raises
    ------
    RecordError, QuantityError
        With what was not understood and what would do.
    """
    text = tidy(part)
    for words, name, quantity, unit in _MILK:
        found = re.fullmatch(rf"{words}\s*[×x:]?\s*(.+)", text, re.IGNORECASE)
        if found:
            typed = parse(found[1], quantity, default_unit=unit)
            return {name: typed.stored}, read_as(typed, unit)
    raise RecordError("records.milk-part-not-understood", text=part)


def read_as(typed: Typed, usual: str) -> Message | None:
    """A value in the kept unit, where it was typed in another than the cell's usual one."""
    if typed.unit == usual:
        return None
    return Message("records.read-value", value=typed.value, unit=typed.unit, kept=typed.stored,
                   quantity=typed.quantity)  # fmt: skip


def _ramp(text: str, _context: StageContext) -> Found:
    minutes = parse(text, "duration", default_unit="min").stored
    return Found({"ramp_min": minutes}, Message("records.read-ramp", minutes=minutes))


def _first(text: str, _context: StageContext) -> Found:
    found = re.fullmatch(r"(.+?)\s+for\s+(.+)", text)
    if not found:
        raise RecordError("records.first-slope-without-length")
    slope, minutes = _slope(found[1]), parse(found[2], "duration", default_unit="min").stored
    message = Message("records.read-first-slope", c_per_min=slope, minutes=minutes)
    return Found({"first_c_per_min": slope, "first_min": minutes}, message)


def _limit(text: str, _context: StageContext) -> Found:
    slope = _slope(text)
    return Found({"limit_c_per_min": slope}, Message("records.read-limit", c_per_min=slope))


def _slope(text: str) -> float:
    """A rate: "0.2 °C/min", "1 °C per 5 min", "1 °F in 5 min"."""
    found = _SLOPE.fullmatch(text)
    if not found:
        return parse(text, "temperature_rate", default_unit="degC/min").stored
    over = parse(found[2], "duration", default_unit="min").stored
    if not over:
        raise RecordError("records.slope-of-no-time")
    return parse(found[1], "temperature_difference", default_unit="delta_degC").stored / over


def _tolerance(text: str, _context: StageContext) -> Found:
    kept = parse(text, "temperature_difference", default_unit="delta_degC").stored
    return Found({"tolerance_c": kept}, Message("records.read-tolerance", celsius=kept))


def _read_turns(turns: int) -> Message:
    return Message("records.read-turn" if turns == 1 else "records.read-turns", turns=turns)


def _turn(text: str, context: StageContext) -> Found:
    every = re.fullmatch(r"every\s+(.+)", text, re.IGNORECASE)
    if every:
        minutes = parse(every[1], "duration", default_unit="min").stored
        whole, rest = divmod(context.stage.minutes, minutes) if minutes else (0.0, 0.0)
        turns = int(whole) - (rest < 0.01)
        if not 1 <= turns <= 1000:
            raise RecordError("records.turn-beyond-stage", minutes=context.stage.minutes)
        parts = (*[minutes] * turns, context.stage.minutes - turns * minutes)
        fields = {"turns": turns, "intervals_min": parts if rest >= 0.01 else ()}
        return Found(fields, _read_turns(turns))
    words = {"once": 1, "twice": 2, "": 1}
    plain = re.sub(r"\s*(times|×|x)$", "", text.lower())
    if plain in words:
        return Found({"turns": words[plain]})
    if not plain.isdecimal():
        raise RecordError("records.turn-not-understood", text=text)
    return Found({"turns": int(plain)})


def read_intervals(text: str, context: StageContext) -> Found | None:
    """The parts between turns, each with its load where one is given: "10, 10, 10, 15 min",
    "10 min at 5 kg, 15 min at 9 kg"; None when it is no such list.

    Raises
    ------
    RecordError, QuantityError
        When a part of such a list is not understood.
    """
    found = _INTERVALS.fullmatch(tidy(text))
    if found is None:
        return None
    parts = [part.strip() for part in _BETWEEN.split(found[1]) if part.strip()]
    if len(parts) < 2 or not all(part[0].isdigit() for part in parts):
        return None
    timed = [_INTERVAL.fullmatch(part) for part in parts]
    if None in timed or timed[-1] is None or not timed[-1][2]:
        return None  # the last says the unit: else these are no lengths of time
    lengths = [_interval_min(part, timed[-1][2]) for part in timed if part is not None]
    loads = [part[3] for part in timed if part is not None]
    fields: dict[str, Any] = {
        "minutes": float(sum(lengths)), "intervals_min": tuple(lengths), "turns": len(parts) - 1,
    }  # fmt: skip
    if all(loads):
        kpa = tuple(_load_kpa(load, context) for load in loads)
        fields |= {"pressures_kpa": kpa, "pressure_kpa": max(kpa)}
    elif loads[-1] and not any(loads[:-1]):
        fields["pressure_kpa"] = _load_kpa(loads[-1], context)
    elif any(loads):
        raise RecordError("records.loads-of-some-parts", text=text)
    turns, minutes = fields["turns"], fields["minutes"]
    which = "records.read-one-interval" if turns == 1 else "records.read-intervals"
    return Found(fields, Message(which, turns=turns, minutes=minutes))


def _interval_min(found: re.Match[str], unit: str) -> float:
    length = parse(f"{found[1]} {found[2] or unit}", "duration").stored
    if length <= 0:
        raise RecordError("records.interval-of-nothing")
    return length


def _load_kpa(text: str, context: StageContext) -> float:
    """A load as typed, as a pressure: kg or lb on the plan's mould, or kPa."""
    typed = parse_any(text, ("mass", "pressure"), default_unit="kg")
    if typed.quantity == "pressure":
        return typed.stored
    kpa: float = _load(typed.stored, context).fields["pressure_kpa"]
    return kpa


def _draw(text: str, context: StageContext) -> Found:
    share = _share(re.sub(r"\s*(of\s+)?(the\s+)?whey$", "", text, flags=re.IGNORECASE), context)
    message = Message("records.read-whey-drawn", litres=share * context.litres, percent=100 * share)
    return Found({"whey_drawn_per_l": share}, message)


def _water(text: str, context: StageContext) -> Found:
    text = re.sub(r"\s+(of\s+)?water\b", "", text, flags=re.IGNORECASE)
    amount, _, warm = (part.strip() for part in text.partition(" at "))
    share = _share(amount, context)
    celsius = parse(warm, "temperature", default_unit="degC").stored if warm else None
    message = Message("records.read-water", litres=share * context.litres)
    if celsius is not None:
        message = Message("records.read-warm-water", litres=share * context.litres, celsius=celsius)
    return Found({"water_added_per_l": share, "water_c": celsius}, message)


def _share(text: str, context: StageContext) -> float:
    """A share of the milk: litres, per cent, or a fraction such as 1/3."""
    number, rest = read_number(tidy(text))
    if not rest and 0 < number < 1:
        return number
    typed = parse_any(text, ("volume", "percent"), default_unit="L")
    return typed.stored / 100 if typed.quantity == "percent" else typed.stored / context.litres


def _brine(text: str, _context: StageContext) -> Found:
    return Found({"brine_pct": parse(text, "percent").stored})


def _humidity(text: str, _context: StageContext) -> Found:
    return Found({"humidity_pct": parse(text, "humidity").stored})


def _alone(_text: str, _context: StageContext) -> Found:
    return Found({"alone": True}, Message("records.read-alone"))


def _until(text: str, _context: StageContext) -> Found:
    return Found({"until": text})


def _do(text: str, _context: StageContext) -> Found:
    return Found({"instruction": text})


def _weights(text: str, context: StageContext) -> Found:
    """A load as so many times the wheel's own weight."""
    times = read_number(text)[0]
    found = expected(context.plan, context.litres)
    return _load(times * found.cheese_kg / found.moulds, context)


def _load(kilograms: float, context: StageContext) -> Found:
    if context.plan.mould_mm is None:
        raise RecordError("records.load-without-mould")
    kpa = float(pressure_kpa(kilograms, round_area_cm2(context.plan.mould_mm)))
    message = Message("records.read-load", kg=kilograms, mould=context.plan.mould_mm, kpa=kpa)
    return Found({"pressure_kpa": kpa}, message)


def _bare(text: str, context: StageContext) -> Found | None:
    """A size, a pressure or a load: a number and its unit alone. None when it is no such thing."""
    first = text.partition("=")[0].strip()
    try:
        number, rest = read_number(first)
    except AmbiguousNumber as two:
        number, rest = two.decimal, two.rest
        if not rest:
            raise
    except QuantityError:
        return None
    if not rest:
        return _bare_number(number, text, context)
    if rest in ("%", "pct"):
        return _bare_percent(text, context)
    for quantity, unit in (("length", "mm"), ("pressure", "kPa"), ("mass", "kg")):
        try:
            typed = parse(first, quantity)
        except AmbiguousNumber:
            raise
        except QuantityError:
            continue
        if quantity == "mass":
            return _load(typed.stored, context)
        message = read_as(typed, unit)
        if quantity == "length":
            return Found({"size_mm": typed.stored}, message)
        load = press_load_kg(context.plan, typed.stored)
        if load is not None and context.plan.mould_mm is not None:
            message = Message("records.read-pressure", kg=load, mould=context.plan.mould_mm)
        return Found({"pressure_kpa": typed.stored}, message)
    return None


def _bare_number(number: float, text: str, context: StageContext) -> Found:
    if context.stage.kind in ("cut", "mill"):
        return Found({"size_mm": number}, Message("records.read-size", mm=number))
    raise RecordError("records.bare-number", text=text)


def _bare_percent(text: str, context: StageContext) -> Found:
    """Of a brine it is the strength, of a salting the salt on the curd."""
    if context.stage.kind == "brine":
        percent = parse(text, "percent").stored
        return Found({"brine_pct": percent}, Message("records.read-brine", percent=percent))
    if context.stage.kind == "salt":
        return _dose(f"salt {text}", context)
    raise RecordError("records.bare-percent", text=text)


def _floc(text: str, _context: StageContext) -> Found:
    raise RecordError("records.said-of-the-plan", text=text)


def _acid_target(found: re.Match[str], context: StageContext) -> Found:
    where, what, low, high, unit, after, before = found.groups()
    kind = _acid_target_kind(where, what.lower(), context.stage)
    if kind.endswith("ph") and unit.strip():
        raise RecordError("records.unit-after-ph", text=unit.strip())
    quantity = "ph" if kind.endswith("ph") else "acidity"
    tail = f" {unit.strip()}" if unit.strip() else ""
    first = parse(low.rstrip(",.") + tail, quantity).stored
    last = parse(high.rstrip(",.") + tail, quantity).stored if high else first
    half = 0.0 if high else (0.05 if quantity == "ph" else 0.005)
    if first > last:
        first, last = last, first
    acid_target = AcidTarget(kind, round(first - half, 6), round(last + half, 6), _minutes(after),
                _minutes(before))  # fmt: skip
    message = Message(
        "records.read-acid-target",
        kind=acid_target.kind,
        low=acid_target.low,
        high=acid_target.high,
    )
    return Found({"acid_target": acid_target}, message)


def _acid_target_kind(where: str | None, what: str, stage: Stage) -> str:
    if where is None and stage.acid_target is not None and stage.acid_target.kind.endswith(what):
        return stage.acid_target.kind
    usual = "milk" if stage.kind in ("warm", "ripen", "set") else "curd"
    if what == "acidity" and usual == "curd":
        usual = "whey"
    kind = f"{(where or usual).lower()}-{what}"
    if kind == "curd-acidity":
        raise RecordError("records.acidity-of-curd")
    return kind


def _minutes(text: str | None) -> float | None:
    return None if text is None else parse(text, "duration", default_unit="min").stored


_READERS: tuple[tuple[str, Callable[[str, StageContext], Found]], ...] = (
    (r"ramp\s+(?:in\s+)?(.+)", _ramp),
    (r"(?:over|in)\s+([0-9½¼¾].*)", _ramp),
    (r"(?:at\s+)?first\s+([0-9½¼¾].*)", _first),
    (r"(?:limit|at most|no quicker than)\s+(.+)", _limit),
    (r"(?:±|\+/?-|within)\s*(.+)", _tolerance),
    (r"turn(?:s|ed)?\s*(.*)", _turn),
    (r"([0-9]+)\s*turns?", _turn),
    (r"floc(?:culation)?\b.*", _floc),
    (r"draw\s+(.+)", _draw),
    (r"(?:add\s+|water\s+)((?=.*(?:water|\bat\b|[0-9]))[0-9½⅓¼⅔¾.].*)", _water),
    (r"([0-9½⅓¼⅔¾].*\bwater\b.*)", _water),
    (r"brine\s+(?:of\s+)?(.+)", _brine),
    (r"humidity\s+(.+)", _humidity),
    (r"(?:leave\s+)?(?:it\s+)?alone", _alone),
    (r"until\s+(.+)", _until),
    (r"do:?\s+(.+)", _do),
    (r"([0-9½.,]+\s*(?:×|x|times)(?:\s+(?:its\s+)?(?:own\s+)?weight)?)", _weights),
)
_MILK = (
    ("yield", "yield_pct", "percent", "%"),
    ("floc(?:culation)?", "floc_multiplier", "number", ""),
    ("protein to fat", "protein_fat", "number", ""),
    ("mould", "mould_mm", "length", "mm"),
    ("room humidity", "room_humidity_pct", "humidity", "%"),
    ("room", "room_c", "temperature", "degC"),
    ("for", "milk_l", "volume", "L"),
)
