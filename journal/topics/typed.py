"""A value of a topic as a person typed it, for the command line and for the window's forms."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from journal.quantities import AmbiguousNumber, QuantityError
from journal.quantities.typed import Typed, parse_any
from journal.quantities.units import Unit, quantity_named
from journal.topics import TopicError
from journal.topics.asked import InputValue
from journal.topics.bare import clock_of, may_be_bare
from journal.topics.curve_file import read_curve
from journal.topics.topic import CURVE, SEVERAL, SIZE, WORD, Input, Topic
from journal.wording import worded
from journal.wording.amounts import EXAMPLES, UNIT_NOTES

# A key whose name says its unit needs no note about a bare number.
_WITH_UNIT = ("minutes", "hours", "weeks", "_g", "_ml", "_min", "_water")
_CLOCK = re.compile(r"\s*[0-9]+:[0-9]+\s*")
# What a number without a unit is asked for, by quantity.
_UNITS = {
    "temperature": ("°C", "°F"),
    "mass": ("kg, g", "lb"),
    "volume": ("L, ml, kg", "lb"),
    "length": ("mm, cm", "in"),
    "pressure": ("kPa", "psi"),
}
_SIZES = re.compile(r"\s*(?:×|\bx\b|(?<=[0-9])x(?=[0-9])|\bby\b)\s*", re.IGNORECASE)


@dataclass(frozen=True)
class ReadValue:
    """One value understood: what is worked with, what was taken for granted in reading it, and
    the units it was typed in by their quantity."""

    value: InputValue
    notes: tuple[str, ...] = ()
    units: tuple[tuple[str, str], ...] = ()


def read_value(topic: Topic, key: Input, text: str) -> ReadValue:
    """One value by its key's kind.

    Raises
    ------
    QuantityError, TopicError
        When it is not understood; the sentence says what would do.
    """
    if key.kind == WORD:
        return ReadValue(InputValue(_word(key, text), "word"))
    if key.kind == CURVE:
        minutes, temp_c = read_curve(text)
        return ReadValue(InputValue((*minutes, *temp_c), "curve"))
    if key.kind in (SEVERAL, SIZE):
        parts = _SIZES.split(text.strip()) if key.kind == SIZE else _several(text)
        return _many(topic, key, parts)
    rest, tag = _tag(key, text)
    typed = _typed(topic, key, rest)
    if not tag:
        _ask_unit(topic, key, rest, typed)
    value = InputValue(typed.stored, typed.quantity, tag)
    return ReadValue(value, tuple(_notes(key, rest, typed)), ((typed.quantity, typed.unit),))


def _word(key: Input, text: str) -> str:
    word = " ".join(text.lower().split())
    if key.choices and word not in key.choices:
        raise TopicError("topics.is-one-of", choices=key.choices, text=text)
    return word


def _many(topic: Topic, key: Input, parts: Sequence[str]) -> ReadValue:
    """Several values; a unit behind the last goes for those without one."""
    stripped = [_tag(key, part) for part in parts if part.strip()]
    tags = {tag for _, tag in stripped if tag}
    if not stripped or len(tags) > 1:
        raise TopicError("topics.values-of-one-kind")
    last = re.search(r"[^0-9.,\s+-][^0-9]*$", stripped[-1][0])
    unit = last[0].strip() if last else key.default_unit
    typed = [_typed(topic, key, rest, unit) for rest, _ in stripped]
    for one, (rest, tag) in zip(typed, stripped, strict=True):
        if not (tag or last):
            _ask_unit(topic, key, rest, one)
    notes = [
        note
        for one, (rest, _) in zip(typed, stripped, strict=True)
        for note in _notes(key, f"{rest} {unit or ''}", one)
    ]
    tag = tags.pop() if tags else ""
    given = InputValue(tuple(one.stored for one in typed), key.quantities[0], tag)
    units = tuple((one.quantity, one.unit) for one in typed)
    return ReadValue(given, tuple(dict.fromkeys(notes)), units)


def _several(text: str) -> list[str]:
    """Values parted by semicolons, or by commas that can be no decimal marks."""
    if ";" in text:
        return text.split(";")
    parted = r",\s*" if "." in text else r",\s+|,(?=[+-])|(?<=[^\W\d]),|\s+and\s+"
    return re.split(parted, text)


def _tag(key: Input, text: str) -> tuple[str, str]:
    """The text without the mark behind its number, or before it ("1:"), and that mark."""
    plain = re.sub(r"(?<=/100)(?=[a-z])", " ", text.strip(), flags=re.IGNORECASE)
    for tag in (tag for tag in key.tags if tag.endswith(":")):
        if (joined := re.sub(r"\s*:\s*", ":", plain)).startswith(tag):
            return joined[len(tag) :], tag
    for tag in sorted(key.tags, key=len, reverse=True):
        if plain.lower().endswith(tag) and plain[: -len(tag)].strip():
            return plain[: -len(tag)].strip(), tag.removeprefix("% ")
    return plain, ""


def _typed(topic: Topic, key: Input, text: str, default_unit: str | None = None) -> Typed:
    unit, clock = default_unit or key.default_unit, clock_of(topic.name, key.name)
    try:
        return parse_any(text, key.quantities, default_unit=unit, clock=clock)
    except AmbiguousNumber:
        raise
    except QuantityError as error:
        if len(key.quantities) == 1:
            raise
        takes = {"key": key.words, "example": example_of(key)}
        raise TopicError("topics.it-takes", why=error, **takes) from None


def _ask_unit(topic: Topic, key: Input, text: str, typed: Typed) -> None:
    """Refuse a number without a unit that could well be meant in another."""
    if _is_bare(text) and not may_be_bare(topic.name, key.name, typed.value):
        units = _UNITS.get(key.quantities[0])
        which = "topics.add-its-unit" if units is None else "topics.add-unit"
        raise TopicError(which, text=text, units=units, example=example_of(key))


def _is_bare(text: str) -> bool:
    return not re.search(r"[^0-9.,/\s+−-]", text)


def _notes(key: Input, text: str, typed: Typed) -> Iterator[str]:
    """Notes on how a bare number was read, and on the size assumed for a kitchen measure."""
    found = quantity_named(typed.quantity)
    unit = next(one for one in found.units if one.key == typed.unit)
    if _CLOCK.fullmatch(text):
        read = {"text": text.strip(), "exactly": _exactly(typed.stored)}
        yield worded("topics.is-read-as", name=key.name, **read)
    if _is_bare(text) and len(found.units) > 1 and unit.label and not key.name.endswith(_WITH_UNIT):
        yield worded("topics.is-read-in", name=key.name, unit=unit.label)
    yield from (
        worded("topics.is-taken-as", unit=one.key, note=UNIT_NOTES[one.key])
        for one in _measures(unit)
        if one.key in UNIT_NOTES
    )


def _exactly(minutes: float) -> str:
    """A duration to the second: "12 min 30 s"."""
    left = round(minutes * 60)
    parts = ((left // 3600, "h"), (left // 60 % 60, "min"), (left % 60, "s"))
    return " ".join(f"{count} {unit}" for count, unit in parts if count) or "0 s"


def _measures(unit: Unit) -> list[Unit]:
    """The unit, or for an amount in a volume of milk the two it is made of."""
    if "/" not in unit.key:
        return [unit]
    known = {u.key: u for name in ("mass", "volume") for u in quantity_named(name).units}
    return [known[part] for part in unit.key.split("/") if part in known]


def example_of(key: Input) -> str:
    """How a value of that key is written, by example."""
    return worded("wording.either", names=examples_of(key))


def examples_of(key: Input) -> list[str]:
    """Each of its examples: in the tables of them "or" stands between two."""
    if key.kind == CURVE:
        return ["FILE.csv"]
    if key.kind == WORD:
        return [", ".join(key.choices) or worded("topics.a-word")]
    if key.kind == SIZE:
        return ["165 mm", "150 x 200 mm"]
    if key.kind == SEVERAL and not key.example:
        return [worded("topics.several-like")]
    written = [key.example] if key.example else [EXAMPLES[one] for one in key.quantities]
    return [example for one in written for example in one.split(" or ")]
