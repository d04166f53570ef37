"""The sentence of a message: its template from the catalogue of its room, filled with its values.

A template names values in braces, each with what writes it:

- `{litres:g}`, `{ph:.2f}`: Python's own format of a number;
- `{count:wheel|wheels}`: the number with its noun; `{count:|is|are}`: the word alone, and of yes
  or no `{lasts:|is|was}`;
- `{count:count}`, `{count:count-first}`: "three", "Three" at the head of a sentence;
- `{names:list}`: "salt, rennet and set"; `{names:commas}`: "salt, rennet, set";
  `{names:semicolons}`: "salt; rennet; set"; `{names:or}`: "salt or rennet"; `{said:sentences}`:
  one after another; each of them may be a message itself;
- `{chance:in-hundred}`: "38 in 100", never 100; `{share:percent}`: "50 %";
- `{value:short}`: up to four decimals, none that says nothing; `{unit:behind}`: a unit behind its
  number, nothing for a pH, which `{unit:ahead}` writes before it;
- `{value:of-unit}`, `{value:of-unit-3g}`: a make variable's stored value with its unit, by what
  the message has as `unit`, in the one that is chosen; `{value:in-unit}`: the bare number of it;
  `{unit:shown}`: that unit;
- `{minutes:duration}`, `{share:volume.1}`: a quantity in its kept unit, with so many decimals;
- `{minutes:hours}`: "62 h 5 min", never in days;
- `{on:date}`, `{on:weekday}`: "14 March 2026", "Saturday" of a `date`;
- `{at:clock}`, `{at:day}`, `{at:short-day}`, `{at:minute}`, `{at:moment}`: an `Instant`;
- `{kind:reading}`, `{kind:reading-unit}`: a kind of reading, "milk pH", and its unit;
- `{noun:record}`: a record by its table, "weight"; `{seat:seat}`: who changed it, "a window";
  `{kind:test}`: a kind of panel test, "triangle";
- `{noun:words}`: a name of the code's as words, "air reading" of "air_reading";
- `{size:size}`: a length of curd or mould; `{text:first}`: its first letter large, `:small` small;
- `{typed:quoted}`: what was typed, short and in quotation marks;
- `{key:quantity}`, `{key:a-quantity}`: "mass", "an acidity" by the quantity's key; `{key:example}`:
  "1.18 kg"; `{key:offer}`: "write it in kg, g, mg, lb or oz, for example 1.18 kg.";
- `{key:undo}`: the key of a use, or its line of the menu, where no value is called `key`;
- `{why}`: another message or refusal stands there as its own sentence.

The templates stand in `resources/sentences`, one file a room. What no template can say is a
function of the values, in `messages/`, or for the rooms above in the module of its matter.
"""

from __future__ import annotations

import re
import string
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from functools import cache, reduce
from importlib import import_module
from typing import Any

from journal.message import Instant, Message, MessageError
from journal.quantities.typed import Typed
from journal.quantities.units import quantities, quantity_named
from journal.quantities.written import write_number
from journal.records.instants import iso
from journal.records.kinds import reading_kind
from journal.wording.amounts import EXAMPLES, quantity_name, quoted
from journal.wording.counts import counted
from journal.wording.dates import clock, day_words, format_day, iso_minute, short_day, weekday_name
from journal.wording.durations import hours_text
from journal.wording.keys import key_words
from journal.wording.languages import sentence
from journal.wording.letters import capital, small
from journal.wording.numbers import percent, short
from journal.wording.own_words import own_words
from journal.wording.shown import shown_unit, size, unit_ahead, unit_behind, write
from journal.wording.style import Style, style_in_use, written_in
from journal.wording.variable_values import figure_words, label_shown, value_words

Values = Mapping[str, Any]
Writer = Callable[[Values], str]
Messages = Mapping[str, str | Writer]

BELOW = ("quantities", "reckoning", "records", "curves", "findings", "keeping")
ROOMS = (*BELOW, "desk", "wording", "topics", "exchange", "reports", "command")
_FUNCTIONS = ("records", "curves", "keeping")  # the rooms with a module in `messages/`
_NO_ID = re.compile(r"[^A-Za-z0-9]+")
_QUANTITY = re.compile(r"(\w+)(?:\.(\d))?")
_BY_UNIT = re.compile(r"(of|in)-unit(?:-(3g|g))?")


def text_of(one: Message | BaseException, style: Style | None = None) -> str:
    """What a message, a refusal or any other error says to a person, in a style of its own or in
    that in use.

    A text that an older journal kept is given as it stands, and so is what an error of Python
    or of a library says: of one of the system its reason, without number and path.

    Raises
    ------
    KeyError
        When no catalogue has the id, or a template names a value that the message lacks; of a
        message that was read from a file it is said that another release wrote it.
    """
    if style is not None:
        with written_in(style):
            return text_of(one)
    message = one.message if isinstance(one, MessageError) else one
    if isinstance(message, OSError) and message.strerror:
        message = Message(message.strerror)
    if not isinstance(message, Message):
        return str(message)
    room = message.id.partition(".")[0]
    if room not in ROOMS or " " in message.id:
        return message.id
    own = sentence(style_in_use().language, message.id)
    if own is not None:
        with suppress(KeyError, ValueError, TypeError, AttributeError, IndexError):
            return _written(own, message.values)
    try:
        return _written(catalogue(room)[message.id], message.values)
    except (KeyError, ValueError, TypeError, AttributeError, RecursionError):
        if message.from_file:
            return worded("wording.of-another-release", id=message.id)
        raise


def _written(template: str | Writer, values: Values) -> str:
    if not isinstance(template, str):
        return template(values)
    return "".join([text if name is None else f"{text}{_value(name, form, values)}"
                    for text, name, form in _parts(template)])  # fmt: skip


@cache
def _parts(template: str) -> tuple[tuple[str, str | None, str], ...]:
    """A template's texts, each with the name of the value behind it and what writes that."""
    parts = string.Formatter().parse(template)
    return tuple((text, name, form or "") for text, name, form, _ in parts)


def worded(message_id: str, /, **values: Any) -> str:
    """The sentence with that id, filled: what is shown where it happens."""
    return text_of(Message(message_id, **values))


def word_of(table: str, code: str, /, **values: Any) -> str:
    """The word for a code in a table of sentences, "drying" of "wording.doing-" and "dry"; where
    the table has none, the one that the language in use has, else the code as it is."""
    message_id = f"{table}{_NO_ID.sub('-', code)}"
    if message_id in catalogue(table.partition(".")[0]):
        return worded(message_id, **values)
    return sentence(style_in_use().language, message_id) or code


def record_word(noun: str) -> str:
    """What a person calls a record, by its table: "weight" of "weighing"."""
    return word_of("wording.record-", noun).replace("_", " ")


def seat_word(seat: str) -> str:
    """Who did an act: "a window"."""
    word = word_of("wording.seat-", seat)
    return worded("wording.seat-other") if word == seat else word


def kind_of_test(kind: str) -> str:
    """A kind of panel test: "triangle"."""
    return word_of("wording.test-kind-", kind)


def text_if_any(one: Message | None) -> str:
    """What a message says, "" where there is none."""
    return text_of(one) if one is not None else ""


@cache
def catalogue(room: str) -> Messages:
    """The sentences of a room, loaded when the first of them is asked for."""
    found: dict[str, str | Writer] = {
        f"{room}.{name}": text for name, text in own_words(room)[room].items()
    }
    if room in _FUNCTIONS:
        found |= import_module(f"journal.wording.messages.{room}").MESSAGES
    return found


def _value(name: str, form: str, values: Values) -> str:
    """One value, by what stands behind its colon; `key` is a key in use where no value is so
    called."""
    if name == "key" and name not in values:
        return key_words(form)
    value = values[name]
    if isinstance(value, Message | BaseException):
        text = text_of(value)
        return _WRITERS[form](text) if form in ("first", "small") else text
    if "|" in form:
        return _numbered(value, form.split("|"))
    if form in _WRITERS:
        return _WRITERS[form](_texts(value))
    if by_unit := _BY_UNIT.fullmatch(form):
        words = value_words if by_unit[1] == "of" else figure_words
        return words(value, values["unit"], by_unit[2] or "short")
    found = _QUANTITY.fullmatch(form)
    if found and found[1] in quantities():
        return write(value, found[1], digits=int(found[2]) if found[2] else None)
    return str(format(value, form))


def _texts(value: Any) -> Any:
    """Of several values those that are messages as their sentences."""
    if not isinstance(value, tuple | list):
        return value
    return [text_of(one) if isinstance(one, Message | BaseException) else one for one in value]


def _numbered(number: float, nouns: list[str]) -> str:
    """ "3 wheels" by "wheel|wheels"; the bare word of "|is|are"."""
    if nouns[0]:
        return counted(number, nouns[0], nouns[1])
    return nouns[1] if number == 1 else nouns[2]


def count(number: int) -> str:
    """A number up to ten as a word."""
    words = worded("wording.counts").split()
    return words[number] if 0 <= number < len(words) else str(number)


def listed(names: Sequence[str]) -> str:
    """Names one after another: "salt", "salt and rennet", "salt, rennet and set"; "" for none."""
    if len(names) < 2:
        return "".join(names)
    return worded("wording.and", first=", ".join(names[:-1]), last=names[-1])


def _either(names: Sequence[str]) -> str:
    return reduce(lambda first, last: worded("wording.or", first=first, last=last), names or [""])


def offer(key: str) -> str:
    """What would do for a quantity, as the end of a sentence: the units and an example."""
    units = [unit.label for unit in quantity_named(key).units[:5] if unit.label]
    which = "wording.offer-number" if len(units) < 2 else "wording.offer-units"
    first = ", ".join(units[:-1])
    return worded(which, first=first, last=units[-1] if units else "", example=EXAMPLES[key])


def a_quantity(key: str) -> str:
    """A quantity's name with its article: "an acidity", "a pH"."""
    name = quantity_named(key).name
    return worded("wording.a-quantity", vowel=name[0] in "aeio", name=name)


def understood(typed: Typed) -> str:
    """What a field made of the typed text: "88 °F is 31.1 °C", "1 US gal is 3.785 L"."""
    found = quantity_named(typed.quantity)
    unit = next(one for one in found.units if one.key == typed.unit)
    kept = write(typed.stored, typed.quantity)
    if typed.unit == shown_unit(typed.quantity, typed.stored).key:
        return kept
    as_typed = f"{write_number(typed.value, unit)} {unit.label}"
    return worded("wording.amount-is", typed=as_typed, kept=kept)


def _in_hundred(share: float) -> str:
    return worded("wording.in-hundred", count=min(round(100 * share), 99))


def _moment(at: Instant) -> str:
    return iso(at.at_ms, at.zone)


def _minute(at: Instant) -> str:
    return iso_minute(at.at_ms, at.zone)


_WRITERS: Mapping[str, Callable[[Any], str]] = {
    "a-quantity": a_quantity,
    "ahead": unit_ahead,
    "behind": unit_behind,
    "clock": lambda at: clock(at.at_ms, at.zone),
    "commas": ", ".join,
    "count": count,
    "count-first": lambda number: count(number).capitalize(),
    "date": format_day,
    "day": lambda at: day_words(at.at_ms, at.zone),
    "example": EXAMPLES.__getitem__,
    "first": capital,
    "hours": hours_text,
    "in-hundred": _in_hundred,
    "list": listed,
    "minute": _minute,
    "moment": _moment,
    "offer": offer,
    "or": _either,
    "percent": percent,
    "quantity": quantity_name,
    "quoted": quoted,
    "reading": lambda kind: reading_kind(kind).label,
    "record": record_word,
    "reading-unit": lambda kind: reading_kind(kind).unit,
    "seat": seat_word,
    "semicolons": "; ".join,
    "sentences": " ".join,
    "short": short,
    "shown": label_shown,
    "short-day": lambda at: short_day(at.at_ms, at.zone),
    "size": size,
    "small": small,
    "test": kind_of_test,
    "weekday": weekday_name,
    "words": lambda name: name.replace("_", " "),
}
