"""The trade's sums at the command line: typed keys read, a topic calculated, its answer given."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Table,
    Value,
    aligned,
    answer,
    text_only,
)
from journal.command.curve_file import read_curve
from journal.command.error import CommandError
from journal.command.parser import CommandOption, command
from journal.wording import text_of
from journal.wording.amounts import EXAMPLES, UNIT_NOTES, quoted
from journal.wording.numbers import short

if TYPE_CHECKING:
    from journal.quantities.typed import Typed
    from journal.quantities.units import Unit
    from journal.topics import answer as sums
    from journal.topics.asked import InputValue
    from journal.topics.topic import Input, Topic

# A key whose name says its unit needs no note about a bare number.
_TOLD = ("minutes", "hours", "weeks", "_g", "_ml", "_min", "_water")
# Of several values each stands on its own line where one is longer.
_LONG = 40
_CLOCK = re.compile(r"\s*[0-9]+:[0-9]+\s*")
# What a number without a unit is asked for, by quantity.
_UNITS = {
    "temperature": "°C or °F",
    "mass": "kg, g or lb",
    "volume": "L, ml, kg or lb",
    "length": "mm, cm or in",
    "pressure": "kPa or psi",
}
_SIZES = re.compile(r"\s*(?:×|\bx\b|(?<=[0-9])x(?=[0-9])|\bby\b)\s*", re.IGNORECASE)


@command(
    "reckon",
    "calculate one of the trade's sums",
    CommandOption("topic", "the sum; lists them all if left out", "TOPIC", nargs="?"),
    CommandOption("given", "its values; lists the keys if left out", "KEY=VALUE", nargs="*"),
)
def _reckon(args: argparse.Namespace) -> CommandAnswer:
    from journal.topics.registry import topic

    if args.topic is None:
        return _listed()
    found = topic(args.topic)
    if not args.given:
        return _described(found)
    return reckon_answer(found, args.given)


def reckon_answer(topic: Topic, words: Sequence[str]) -> CommandAnswer:
    """What a topic answers to KEY=VALUE words."""
    from journal.records.tables import table
    from journal.topics.answer import unit_of
    from journal.topics.registry import reckon

    given, notes = read_given(topic, words)
    found = reckon(topic.name, given, {name: table(name) for name in topic.tables})
    promised = {key: unit for key in topic.answers if (unit := unit_of(key)) is not None}
    values = {
        name: Value(value, _said(value, found.units.get(name, "")))
        for name, value in (found.values | _kitchen(topic, found)).items()
    }
    blocks = {
        "formula": _block("How", found.formula),
        "source": _block("Source", found.source),
        "assumed": _block("Assumed", list(dict.fromkeys([*notes, *found.assumed]))),
        "warnings": _block("Warning", list(found.warnings)),
        "cautions": _block("Caution", list(found.cautions)),
    }
    says = [topic.name, "{values}", *(f"{{{name}}}" for name in blocks)]
    return answer(
        "\n".join(says),
        **(dict.fromkeys(topic.answers) | values),
        units=promised | found.units,
        **blocks,
        values=text_only(
            aligned([row for name, value in values.items() for row in _lines(name, value.text)])
        ),
    )


def _lines(name: str, text: str) -> list[list[str]]:
    """A value with its name before its first line."""
    return [["" if i else name, line] for i, line in enumerate(text.split("\n"))]


def _block(head: str, message: str | list[str]) -> Value:
    """A sentence or some, each with what it is before it."""
    several = [message] if isinstance(message, str) else message
    return Value(message, "\n".join(f"{head}: {one}" for one in several))


def _kitchen(topic: Topic, found: sums.SumAnswer) -> dict[str, str | None]:
    """The nearest kitchen measure, for the topics that answer with one."""
    from journal.wording.kitchen import kitchen

    if "kitchen" not in topic.answers and found.kitchen_ml is None:
        return {}
    return {"kitchen": None if found.kitchen_ml is None else kitchen(found.kitchen_ml)}


def read_given(topic: Topic, words: Sequence[str]) -> tuple[dict[str, InputValue], list[str]]:
    """KEY=VALUE words as values in stored units, and what was assumed in reading them.

    A word without "=" goes on with the value before it, so `temp=31 C` needs no quotation marks.
    """
    from journal.topics.registry import key

    given: dict[str, InputValue] = {}
    notes: list[str] = []
    pairs = [(key(topic, name), text) for name, text in _pairs(topic, words)]
    names = [found.name for found, _ in pairs]
    for name in names:
        if names.count(name) > 1:
            raise CommandError(f"“{name}” is given twice; give it once.")
    for found, text in pairs:
        try:
            given[found.name], message = _value(topic, found, text)
        except ValueError as error:
            raise CommandError(f"“{found.name}”: {text_of(error)}") from None
        notes += message
    return given, notes


def _pairs(topic: Topic, words: Sequence[str]) -> list[tuple[str, str]]:
    found: list[list[str]] = []
    for word in words:
        name, mark, value = word.partition("=")
        if mark and name.strip():
            found.append([name.strip(), value.strip()])
        elif found:
            found[-1][1] = f"{found[-1][1]} {word}".strip()
        elif topic.lead:
            found.append([topic.lead, word])
        else:
            raise CommandError(f"“{word}” has no key: write it like {topic.keys[0].name}={word}.")
    for name, value in found:
        if not value:
            raise CommandError(f"“{name}” has no value: write it like {name}=12.")
    return [(name, value) for name, value in found]


def _value(topic: Topic, key: Input, text: str) -> tuple[InputValue, list[str]]:
    """One value by its key's kind, and what was assumed."""
    from journal.topics.asked import InputValue
    from journal.topics.topic import CURVE, SEVERAL, SIZE, WORD

    if key.kind == WORD:
        return InputValue(_word(key, text), "word"), []
    if key.kind == CURVE:
        minutes, temp_c = read_curve(text)
        return InputValue((*minutes, *temp_c), "curve"), []
    if key.kind in (SEVERAL, SIZE):
        parts = _SIZES.split(text.strip()) if key.kind == SIZE else _several(text)
        return _many(topic, key, parts)
    rest, tag = _tag(key, text)
    typed = _typed(topic, key, rest)
    if not tag:
        _ask_unit(topic, key, rest, typed)
    return InputValue(typed.stored, typed.quantity, tag), list(_notes(key, rest, typed))


def _word(key: Input, text: str) -> str:
    word = " ".join(text.lower().split())
    if key.choices and word not in key.choices:
        raise CommandError(f"it is one of {', '.join(key.choices)}, not “{text}”.")
    return word


def _many(topic: Topic, key: Input, parts: Sequence[str]) -> tuple[InputValue, list[str]]:
    """Several values; a unit behind the last goes for those without one."""
    from journal.topics.asked import InputValue

    stripped = [_tag(key, part) for part in parts if part.strip()]
    tags = {tag for _, tag in stripped if tag}
    if not stripped or len(tags) > 1:
        raise CommandError("give values of one kind with commas between them.")
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
    return given, list(dict.fromkeys(notes))


def _several(text: str) -> list[str]:
    """Values parted by semicolons, or by commas that can be no decimal marks."""
    if ";" in text:
        return text.split(";")
    return re.split(r",\s*" if "." in text else r",\s+|,(?=[+-])|\s+and\s+", text)


def _tag(key: Input, text: str) -> tuple[str, str]:
    """The text without the mark behind its number, or before it ("1:"), and that mark."""
    plain = text.strip()
    for tag in (tag for tag in key.tags if tag.endswith(":")):
        if (joined := re.sub(r"\s*:\s*", ":", plain)).startswith(tag):
            return joined[len(tag) :], tag
    for tag in sorted(key.tags, key=len, reverse=True):
        if plain.lower().endswith(tag) and plain[: -len(tag)].strip():
            return plain[: -len(tag)].strip(), tag.removeprefix("% ")
    return plain, ""


def _typed(topic: Topic, key: Input, text: str, default_unit: str | None = None) -> Typed:
    from journal.quantities import AmbiguousNumber, QuantityError
    from journal.quantities.typed import parse_any
    from journal.topics.bare import clock_of

    unit, clock = default_unit or key.default_unit, clock_of(topic.name, key.name)
    try:
        return parse_any(text, key.quantities, default_unit=unit, clock=clock)
    except AmbiguousNumber:
        raise
    except QuantityError as error:
        if len(key.quantities) == 1:
            raise
        raise CommandError(f"{text_of(error)} It takes {key.words}: {_written(key)}.") from None


def _ask_unit(topic: Topic, key: Input, text: str, typed: Typed) -> None:
    """Refuse a number without a unit that could well be meant in another."""
    from journal.topics.bare import may_be_bare

    if _is_bare(text) and not may_be_bare(topic.name, key.name, typed.value):
        units = _UNITS.get(key.quantities[0], "its unit")
        raise CommandError(f"{quoted(text)} has no unit: add {units}, like {_written(key)}.")


def _is_bare(text: str) -> bool:
    return not re.search(r"[^0-9.,/\s+−-]", text)


def _notes(key: Input, text: str, typed: Typed) -> Iterator[str]:
    """Notes on how a bare number was read, and on the size assumed for a kitchen measure."""
    from journal.quantities.units import quantity_named

    found = quantity_named(typed.quantity)
    unit = next(one for one in found.units if one.key == typed.unit)
    if _CLOCK.fullmatch(text):
        yield f"{key.name} {text.strip()} is read as {_exactly(typed.stored)}"
    if _is_bare(text) and len(found.units) > 1 and unit.label and not key.name.endswith(_TOLD):
        yield f"{key.name} is read in {unit.label}"
    yield from (
        f"{one.key} is taken as {UNIT_NOTES[one.key]}"
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
    from journal.quantities.units import quantity_named

    if "/" not in unit.key:
        return [unit]
    known = {u.key: u for name in ("mass", "volume") for u in quantity_named(name).units}
    return [known[part] for part in unit.key.split("/") if part in known]


TOPICS: Table[Topic] = Table(
    AnswerColumn("topic", lambda topic: topic.name, ""),
    AnswerColumn("summary", lambda topic: topic.summary, ""),
    AnswerColumn("keys", lambda topic: [key.name for key in topic.keys]),
    AnswerColumn("answers", lambda topic: topic.answers),
)
KEYS: Table[Input] = Table(
    AnswerColumn("key", lambda key: key.name, ""),
    AnswerColumn("words", lambda key: key.words, ""),
    AnswerColumn("quantities", lambda key: key.quantities),
    AnswerColumn("choices", lambda key: key.choices),
    AnswerColumn("", lambda key: _written(key), ""),
)


def _listed() -> CommandAnswer:
    from journal.topics.registry import topics

    says = "{topics}\n“vatside reckon TOPIC” lists a topic's keys."
    return answer(says, topics=TOPICS.of(topics().values()))


def _described(topic: Topic) -> CommandAnswer:
    return answer(
        "{topic}: {summary}\n{keys}\nAnswers: {answers}",
        topic=topic.name,
        summary=topic.summary,
        keys=KEYS.of(topic.keys),
        answers=topic.answers,
    )


def _written(key: Input) -> str:
    """How a value of that key is written, by example."""
    from journal.topics.topic import CURVE, SEVERAL, SIZE, WORD

    if key.kind == CURVE:
        return "FILE.csv"
    if key.kind == WORD:
        return ", ".join(key.choices) or "a word"
    if key.kind == SIZE:
        return "165 mm or 150 x 200 mm"
    if key.kind == SEVERAL:
        return key.example or "several, like 4.01, 7.00"
    return key.example or " or ".join(EXAMPLES[one] for one in key.quantities)


def _said(value: Any, unit: str) -> str:
    """A value of any shape for a person."""
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return ", ".join(f"{name} {_said(part, '')}" for name, part in value.items()) or "none"
    if isinstance(value, tuple):
        return " to ".join(_said(part, unit) for part in value)
    if isinstance(value, list):
        message = [_said(part, unit) for part in value]
        joint = "\n" if any(isinstance(part, str) and len(part) > _LONG for part in value) else "; "
        return joint.join(dict.fromkeys(message)) or "none"
    if isinstance(value, int | float):
        return f"{_figure(float(value))} {unit}".rstrip()
    return str(value)


def _figure(value: float) -> str:
    """Four figures, never an exponent."""
    size = abs(value)
    digits = 0 if size >= 1000 else 1 if size >= 100 else 2 if size >= 10 else 4
    return short(value, digits)


COMMANDS = (_reckon,)
