"""What a sum answers as a person reads it: values by their title, with unit and range."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any

from journal.quantities.conversion import convert
from journal.topics.answer import SumAnswer, unit_of
from journal.topics.topic import Input, Topic
from journal.wording import word_of, worded
from journal.wording.kitchen import kitchen
from journal.wording.letters import capital, small
from journal.wording.numbers import short

# Of several values each stands on its own line where one is longer.
_LONG = 40
# How the cells of a row of a table follow each other.
_ROW = {
    "minute": "topics.row-minute",
    "temp_c": "topics.row-value",
    "from_min": "topics.row-value",
    "to_min": "topics.row-until",
    "c_per_min": "topics.row-value",
    "piece": "topics.row-value",
    "count": "topics.row-count",
    "width_mm": "topics.row-width",
    "length_mm": "topics.row-length",
}
_ENDS = re.compile(
    r"_(?:pct|kg|g|ml|l|c|kpa|psi|mm|cm2|min|h|kg_per_l|kg_m3|c_per_min|mv|n_per_mm|mv_per_ph)$"
)
# Beside a value in the unit at the left, the one a maker who types such units reads.
_ALSO = {
    "kg": ("mass", "kg", "lb"),
    "g": ("mass", "g", "oz"),
    "L": ("volume", "L", "gal"),
    "°C": ("temperature", "degC", "degF"),
    "mm": ("length", "mm", "in"),
    "kPa": ("pressure", "kPa", "psi"),
    "per kg": ("mass", "lb", "kg"),
}
_LABELS = {"gal": "US gal", "degF": "°F"}
_AS_TYPED = {
    "mass": {"lb", "oz"},
    "volume": {"gal", "qt", "pt", "fl oz"},
    "temperature": {"degF"},
    "length": {"in"},
    "pressure": {"psi"},
}


@dataclass(frozen=True)
class AnswerLine:
    """One value of an answer: its key, its title, and the words of it."""

    key: str
    title: str
    text: str


def topic_title(topic: Topic) -> str:
    """What a topic is called on the screen: "Press load"."""
    return _own("topics.name-", topic.name) or title_of(topic.name)


def key_title(topic: Topic, key: Input) -> str:
    """What a key is called in its topic's form: "Fat wanted"."""
    return _own(f"topics.key-{topic.name}-", key.name) or title_of(key.name)


def title_of(name: str) -> str:
    """The name of a key or an answer in words: "Fat", "Moisture"."""
    plain = _ENDS.sub("", name)
    own = _own("topics.title-", name) or _own("topics.title-", plain)
    return own or capital(re.sub("[_-]", " ", plain))


def _own(table: str, name: str) -> str:
    """What it is called by a sentence of its own, "" where it has none."""
    code = name.replace("_", "-")
    own = word_of(table, code)
    return "" if own == code else capital(own)


def with_titles(topic: Topic, sentence: str) -> str:
    """A sentence that names keys, with titles in the place of names that are no words."""
    names = {key.name: key_title(topic, key) for key in topic.keys}
    names |= {name: title_of(name) for name in topic.answers if name not in names}
    for name in sorted(names, key=len, reverse=True):
        if "_" in name or name == "ph":
            title = f"“{small(names[name])}”"
            sentence = re.sub(rf"(?<![\w“])[“]?{name}\b[”]?", title, sentence)
    sentence = re.sub(r"\b([a-z_]+)=(\S+)", r"“\1” \2", sentence)
    return re.sub("^“[^”]+” needs ", "Needs ", sentence)


def values_of(topic: Topic, found: SumAnswer) -> dict[str, Any]:
    """The values with the nearest kitchen measure, for the topics that answer with one."""
    if "kitchen" not in topic.answers and found.kitchen_ml is None:
        return found.values
    measure = None if found.kitchen_ml is None else kitchen(found.kitchen_ml)
    return found.values | {"kitchen": measure}


def answer_lines(
    topic: Topic, found: SumAnswer, typed_units: Collection[str] = ()
) -> list[AnswerLine]:
    """What is known, the topic's own answers first, each with its range behind it.

    `typed_units` are the units the question was typed in: who types lb reads lb beside kg.
    """
    values = values_of(topic, found)
    ranges: Mapping[str, tuple[float, float]] = values.get("ranges") or {}
    order = [key for key in topic.answers if key in values]
    order += [key for key in values if key not in order]
    lines = []
    for key in order:
        value = values[key]
        if key == "pair_met" and value is None and "pairs_met" in values:
            value = worded("topics.not-pasteurised")
        empty = isinstance(value, list) and not value
        if value is None or empty or key in ("ranges", "ranges_80"):
            continue
        unit = unit_of(key) or ""
        text = value_text(value, unit, four_figures) + _beside(value, unit, typed_units)
        low, high = (value_text(end, unit, three_figures) for end in ranges.get(key, (None, None)))
        if low != high:
            text = worded("topics.with-range", value=text, low=low, high=high)
        lines.append(AnswerLine(key, title_of(key), text))
    alone = [key for key in ranges if values.get(key) is None]
    lines += [
        AnswerLine(key, title_of(key), value_text(ranges[key], unit_of(key) or "", three_figures))
        for key in alone
    ]
    return lines


def by_title(lines: Iterable[AnswerLine]) -> list[AnswerLine]:
    """One line for those of one title: "Milk 485.6 L, 500.2 kg"; what is there already in another
    unit is not said again."""
    joined: dict[str, AnswerLine] = {}
    for line in lines:
        there = joined.get(line.title)
        if there is None:
            joined[line.title] = line
        elif line.text not in there.text:
            joined[line.title] = replace(there, text=f"{there.text}, {line.text}")
    return list(joined.values())


def _beside(value: Any, unit: str, typed_units: Collection[str]) -> str:
    """The same in the unit the maker types, in brackets; "" where that is no other."""
    if unit not in _ALSO or not isinstance(value, int | float) or isinstance(value, bool):
        return ""
    quantity, ours, theirs = _ALSO[unit]
    if not _AS_TYPED[quantity] & set(typed_units):
        return ""
    label = "per lb" if unit == "per kg" else _LABELS.get(theirs, theirs)
    return f" ({four_figures(convert(float(value), ours, theirs))} {label})"


def value_text(value: Any, unit: str, write: Callable[[float], str] | None = None) -> str:
    """A value of any shape for a person; `write` says how a number is written."""
    write = write or figure
    if value is None:
        return "–"
    if isinstance(value, bool):
        return worded("wording.value-yes" if value else "wording.value-no")
    if isinstance(value, dict):
        apart = {key: one for key, one in value.items() if not _one_figure(one)}
        return _row_text(apart, unit, write) or worded("wording.none")
    if isinstance(value, tuple):
        parts = [value_text(part, unit, write) for part in value]
        return reduce(_from_to, parts) if parts else ""
    if isinstance(value, list):
        message = [value_text(part, unit, write) for part in value]
        joint = "\n" if any(isinstance(part, str) and len(part) > _LONG for part in value) else "; "
        return joint.join(dict.fromkeys(message)) or worded("wording.none")
    if isinstance(value, int | float):
        return f"{write(float(value))} {unit}".rstrip()
    return str(value)


def _from_to(low: str, high: str) -> str:
    return worded("wording.from-to", first=low, last=high)


def _one_figure(value: Any) -> bool:
    """Whether a range goes from a value to the same."""
    return isinstance(value, tuple) and len(set(value)) == 1


def _row_text(row: Mapping[str, Any], unit: str, write: Callable[[float], str]) -> str:
    """A row of a table, "disc, 2 pieces, 300 mm wide", or values by what they are of."""
    if not set(row) <= set(_ROW):
        mark = "" if all(name.isidentifier() for name in row) else ":"
        return ", ".join(f"{_named(name)}{mark} {value_text(part, unit_of(name) or unit, write)}"
                         for name, part in row.items())  # fmt: skip
    parts = (
        worded(_ROW[name], value=value_text(part, unit_of(name) or "", write))
        for name, part in row.items()
        if part is not None
    )
    return " ".join(parts).replace(" ,", ",")


def _named(name: str) -> str:
    """A key as words; what stands between words as it is."""
    return small(title_of(name)) + ":" if "_" in name else name


def figure(value: float) -> str:
    """Four figures and more of what is below 10, never an exponent."""
    size = abs(value)
    digits = 0 if size >= 1000 else 1 if size >= 100 else 2 if size >= 10 else 4
    return short(value, digits)


def three_figures(value: float) -> str:
    """The end of a range, no finer than it is known: "3.34", "10.4", "850"."""
    size = abs(value)
    return short(value, 0 if size >= 100 else 1 if size >= 10 else 2 if size >= 1 else 3)


def four_figures(value: float) -> str:
    """No more than four figures: "3.741", "16.9", "0.9642"."""
    return short(value, 3) if 1 <= abs(value) < 10 else figure(value)
