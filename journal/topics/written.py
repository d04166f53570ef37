"""What a sum answers as a person reads it: values by their title, with unit and range."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from journal.quantities.conversion import convert
from journal.topics.answer import SumAnswer, unit_of
from journal.topics.topic import Input, Topic
from journal.wording.kitchen import kitchen
from journal.wording.letters import capital, small
from journal.wording.numbers import short

# Of several values each stands on its own line where one is longer.
_LONG = 40
# A name whose words a person would not read as meant; all others are their own words.
_TITLES = {
    "actual": "yield you got",
    "aw": "water activity",
    "aw_by_salt": "by salt alone",
    "aw_by_salt_and_ph": "by salt and pH",
    "baume": "degrees Baumé",
    "bulk_pct": "bulk starter",
    "by": "calculated by",
    "c_per_min": "warming",
    "casein_fat": "casein to fat",
    "co2_l": "carbon dioxide",
    "butyric_l": "gas of late blowing",
    "corrected_pct": "corrected reading",
    "cost_per_kg": "cost of a kg",
    "aged_cost_per_kg": "cost of a kg once aged",
    "milk_share_pct": "milk's share of the cost",
    "hold_min": "must be held",
    "rate_n_per_mm": "stiffness of one spring",
    "tighten_after_mm": "tighten once it sank by",
    "curve": "file with a curve",
    "days": "time in each room",
    "dose_from": "dose before",
    "dose_to": "dose now",
    "dornic": "degrees Dornic",
    "fdm_pct": "fat in dry matter (FDM)",
    "first_minutes": "first slope lasts",
    "first_slope_c_per_min": "first slope",
    "from": "from temperature",
    "to": "to temperature",
    "g": "by weight",
    "g_per_kg_water": "salt to a kg of water",
    "have": "what you have",
    "held_min": "longest held",
    "imcu_per_kg": "activity",
    "have_pct": "its strength or fat",
    "kitchen": "kitchen measure",
    "lactic_pct": "lactic acid",
    "limit_c_per_min": "fastest warming",
    "ml": "by volume",
    "mnfs_pct": "moisture in non-fat substance (MNFS)",
    "naoh_ml": "lye used",
    "of_milk_pct": "share of the milk",
    "other": "other costs",
    "pct_w_w": "strength of the brine",
    "ph": "pH",
    "powder_g": "powder",
    "protein_fat": "protein to fat",
    "rh_pct": "humidity",
    "s_m_pct": "salt in moisture (S/M)",
    "published_h": "published time",
    "salometer_deg": "degrees salometer",
    "salt": "salt added",
    "short_pct": "short of it",
    "snf_pct": "solids-not-fat",
    "sold": "sold as",
    "soxhlet_henkel": "degrees Soxhlet-Henkel",
    "target": "salt wanted",
    "thorner": "degrees Thörner",
    "to_mould_load_kg": "load on the other mould",
    "want_pct": "wanted",
    "with_pct": "fat of what is added",
}
# Of a topic, where its name alone would not tell a newcomer what it is for.
_TOPICS = {
    "density": "weight of milk",
    "milk-mix": "milk mix from labels",
    "standardise": "standardise milk",
    "culture": "culture dose",
    "culture-units": "culture by units",
    "colour": "colour dose",
    "rennet": "rennet dose",
    "set": "cutting time",
    "ramp": "warming schedule",
    "acidity": "acidity in other units",
    "meter": "pH meter",
    "moulds": "number of moulds",
    "mould": "height of a wheel",
    "press": "press load",
    "spring": "spring press",
    "salt": "dry salt",
    "brine": "strength of a brine",
    "brine-recipe": "a new brine",
    "brining-time": "time in the brine",
    "air": "humidity by two thermometers",
    "humidity-salts": "hygrometer check",
    "loss": "weight loss in the room",
    "ripening-days": "ages made equal",
    "bandage": "bandage and fat",
    "eyes": "eyes and late blowing",
    "yield": "expected yield",
    "composition": "composition of a cheese",
    "growth-limits": "growth of germs",
    "cost": "cost of a cheese",
}
_KEYS = {
    ("acidity", "value"): "acidity",
    ("brine-recipe", "have"): "old brine",
    ("brine-recipe", "have_pct"): "its strength",
    ("humidity-salts", "salt"): "salt in the box",
    ("standardise", "have"): "milk you have",
    ("standardise", "have_pct"): "its fat",
    ("standardise", "want_pct"): "fat wanted",
    ("humidity-salts", "want_pct"): "humidity wanted",
    ("brine", "want_pct"): "strength wanted",
    ("acid-limits", "hours"): "hours since the culture",
    ("brine", "hours"): "time in the brine",
    ("cost", "hours"): "hours of work",
    ("ramp", "minutes"): "how long it takes",
    ("set", "minutes"): "known time to the cut",
    ("rennet", "minutes"): "time to the first flakes",
    ("pasteurise", "minutes"): "how long it was held",
    ("loss", "weeks"): "how long",
    ("culture-units", "bulk_pct"): "dose of bulk starter",
    ("culture-units", "bulk_units"): "units for 1 % of bulk starter",
    ("culture-units", "packet_g"): "weight of the packet",
    ("culture-units", "packet_milk"): "milk of one packet",
    ("culture-units", "log_cells"): "cells in a g, as a power of ten",
    ("culture-units", "strength"): "strength left",
    ("culture", "strength"): "strength left",
    ("rennet", "clotting"): "clotting time now",
    ("rennet", "fresh_clotting"): "clotting time when fresh",
    ("rennet", "tablet"): "milk of one tablet",
    ("pasteurise", "error"): "thermometer reads too high by",
    ("pasteurise", "solids_pct"): "all solids of the milk",
    ("pasteurise", "sugar_pct"): "sugar added",
    ("pasteurise", "product"): "which pairs",
    ("press", "advantage"): "lever multiplies by",
    ("press", "stack"): "moulds on each other",
    ("press", "to_mould"): "another mould",
    ("press", "spring"): "a spring presses",
    ("press", "time"): "time since it was tightened",
    ("spring", "rate"): "stiffness of one spring",
    ("spring", "test_load"): "load of a test",
    ("spring", "test_squeeze"): "squeeze of that test",
    ("spring", "wire"): "thickness of the wire",
    ("spring", "coil"): "width of the coil",
    ("spring", "turns"): "turns that move",
    ("spring", "springs"): "number of springs",
    ("spring", "squeeze"): "squeezed by",
    ("spring", "load"): "load wanted",
    ("spring", "sinks"): "the curd sinks by",
    ("salt", "retention"): "salt that stays",
    ("air", "dry"): "dry bulb",
    ("air", "wet"): "wet bulb",
    ("air", "thermometer"): "thermometer may be off by",
    ("humidity-salts", "shown"): "hygrometer shows",
    ("humidity-salts", "salt_2"): "second salt",
    ("humidity-salts", "shown_2"): "it shows over that",
    ("humidity-salts", "reading"): "reading in the room",
    ("ripening-days", "rooms"): "temperature of each room",
    ("ripening-days", "to_temp"): "room to compare with",
    ("milk-mix", "want_fat_pct"): "fat wanted",
    ("milk-mix", "want_protein_pct"): "protein wanted",
    ("moulds", "weight"): "weight of a wheel wanted",
    ("moulds", "height"): "height of a wheel wanted",
    ("brining-time", "salt_pct"): "salt it holds already",
    ("brine-recipe", "calcium_pct"): "calcium chloride",
    ("brine-recipe", "strength"): "strength of its solution",
    ("brine-recipe", "alkalinity"): "alkalinity of the water",
    ("brine-recipe", "vinegar_pct"): "acid of the vinegar",
    ("eyes", "spores"): "spores in a litre of milk",
    ("eyes", "lactic_pct"): "lactic acid fermented",
    ("cost", "loss_pct"): "weight lost in the room",
    ("cost", "cheese"): "cheese, fresh",
    ("cost", "milk_price"): "price of the milk",
}
# How the cells of a row of a table follow each other.
_ROW = {
    "minute": "{} min:",
    "temp_c": "{}",
    "from_min": "{}",
    "to_min": "to {}:",
    "c_per_min": "{}",
    "piece": "{}",
    "count": ", {} of",
    "width_mm": "{} wide",
    "length_mm": ", {} long",
}
_ENDS = re.compile(
    r"_(?:pct|kg|g|ml|l|c|kpa|psi|mm|cm2|min|h|kg_per_l|kg_m3|c_per_min|mv|n_per_mm|mv_per_ph)$"
)
_WORDS = {"std": "standard", "sd": "± (one sd)", "snf": "solids-not-fat", "temp": "temperature"}
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
    return capital(_TOPICS[topic.name]) if topic.name in _TOPICS else title_of(topic.name)


def key_title(topic: Topic, key: Input) -> str:
    """What a key is called in its topic's form: "Fat wanted"."""
    own = _KEYS.get((topic.name, key.name))
    return capital(own) if own else title_of(key.name)


def title_of(name: str) -> str:
    """The name of a key or an answer in words: "Fat", "Moisture"."""
    if name in _TITLES:
        return capital(_TITLES[name])
    plain = _ENDS.sub("", name)
    words = (_WORDS.get(word, word) for word in re.split("[_-]", plain) if word != "pct")
    return capital(" ".join(words))


def in_words(topic: Topic, sentence: str) -> str:
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
            value = "none: not pasteurised"
        empty = isinstance(value, list) and not value
        if value is None or empty or key in ("ranges", "ranges_80"):
            continue
        unit = unit_of(key) or ""
        text = said(value, unit, four_figures) + _beside(value, unit, typed_units)
        low, high = (said(end, unit, three_figures) for end in ranges.get(key, (None, None)))
        if low != high:
            text += f", range {low} to {high}"
        lines.append(AnswerLine(key, title_of(key), text))
    alone = [key for key in ranges if values.get(key) is None]
    lines += [
        AnswerLine(key, title_of(key), said(ranges[key], unit_of(key) or "", three_figures))
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


def said(value: Any, unit: str, write: Callable[[float], str] | None = None) -> str:
    """A value of any shape for a person; `write` says how a number is written."""
    write = write or figure
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        apart = {key: one for key, one in value.items() if not _one_figure(one)}
        return _row_words(apart, unit, write) or "none"
    if isinstance(value, tuple):
        return " to ".join(said(part, unit, write) for part in value)
    if isinstance(value, list):
        message = [said(part, unit, write) for part in value]
        joint = "\n" if any(isinstance(part, str) and len(part) > _LONG for part in value) else "; "
        return joint.join(dict.fromkeys(message)) or "none"
    if isinstance(value, int | float):
        return f"{write(float(value))} {unit}".rstrip()
    return str(value)


def _one_figure(value: Any) -> bool:
    """Whether a range goes from a value to the same."""
    return isinstance(value, tuple) and len(set(value)) == 1


def _row_words(row: Mapping[str, Any], unit: str, write: Callable[[float], str]) -> str:
    """A row of a table, "disc, 2 pieces, 300 mm wide", or values by what they are of."""
    if not set(row) <= set(_ROW):
        mark = "" if all(name.isidentifier() for name in row) else ":"
        return ", ".join(f"{_named(name)}{mark} {said(part, unit_of(name) or unit, write)}"
                         for name, part in row.items())  # fmt: skip
    parts = (
        _ROW[name].format(said(part, unit_of(name) or "", write))
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
