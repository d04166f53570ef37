"""The history for a person: what an act was, and each field as it was and as it became."""

from __future__ import annotations

import json
from contextlib import suppress
from typing import Any

from journal.keeping.called import RowName
from journal.keeping.past import HistoryAct, HistoryField, HistoryRow
from journal.quantities.units import stored_unit
from journal.records.kinds import READING_KINDS
from journal.records.traces import CORRECTED, STRUCK
from journal.wording.dates import short_moment
from journal.wording.letters import capital
from journal.wording.numbers import short
from journal.wording.sentences import record_word, text_of, word_of, worded
from journal.wording.shown import unit_ahead, unit_behind, write

NONE = "–"
NO_CHANGES, BIN_EMPTY = "wording.history-no-changes", "wording.history-bin-empty"
_QUANTITIES = {
    "kg": "mass",
    "g": "mass_g",
    "l": "volume",
    "litres": "volume",
    "c": "temperature",
    "ph": "ph",
    "pct": "percent",
    "mm": "length",
    "kpa": "pressure",
    "min": "duration",
    "minutes": "duration",
    "c_per_min": "temperature_rate",
    "per_l": "",  # as many litres for each of milk
    "tolerance_c": "temperature_difference",
    "within_c": "temperature_difference",
}
_YES_OR_NO = {"failed", "skipped", "alone", "builtin", "backslop", "milk_homogenised", "reference"}
_PLAIN_ACTS = ("keeping.act-keep", "keeping.act-remove")
_NAMING = {
    "text",
    "name",
    "attribute",
    "kind",
    "code",
    "zone",
}  # its name says it
_LONGEST = 60
_MOST_FIELDS = 6


def act_words(past: HistoryAct, zone: str) -> str:
    """What was done: "Finish HL-0003"; of one record that was saved or removed what became of it;
    of what took an act back "Taken back: finish HL-0003"."""
    words = text_of(past.act.name)
    if past.act.name.id in _PLAIN_ACTS and past.rows:
        words = row_words(past.rows[0], zone)
    if past.act.undoes is not None:
        return worded("wording.history-taken-back", act=words)
    return capital(words)


def first_words(past: HistoryAct, zone: str) -> str:
    """What became of the first record, where `act_words` does not say it."""
    if not past.rows or past.act.name.id in _PLAIN_ACTS:
        return ""
    return row_words(past.rows[0], zone)


def row_words(row: HistoryRow, zone: str) -> str:
    """What became of one record: "weight of HL-0003-1: weight 1.2 kg → 1.1 kg"."""
    name = called(row.called, zone)
    if row.called.hidden:
        return worded("wording.history-hidden", name=name)
    fields_shown = [one for one in (_field(row, field, zone) for field in row.fields) if one]
    more = ", …" if len(fields_shown) > _MOST_FIELDS else ""
    fields = f"{', '.join(fields_shown[:_MOST_FIELDS])}{more}"
    if row.came:
        which = "wording.history-added-with" if fields else "wording.history-added"
    elif row.went:
        which = "wording.history-deleted-with" if fields else "wording.history-deleted"
    else:
        return f"{name}: {fields}" if fields else name
    return worded(which, name=name, fields=fields)


def called(name: RowName, zone: str) -> str:
    """A record by name: "weight of HL-0003-1", "session of 14 Mar 2026"."""
    own = _own(name)
    if name.noun in ("make", "wheel") and name.text:
        return own
    when = short_moment(name.at_ms, zone) if name.at_ms else ""
    owner = called(name.owner, zone) if name.owner is not None else ""
    if name.owner is not None and name.owner.noun in ("make", "wheel") and name.owner.text:
        owner = name.owner.text
    tail = owner or when
    return worded("wording.history-of", own=own, whose=tail) if tail else own


def _own(name: RowName) -> str:
    kind = READING_KINDS.get(name.text)
    if name.noun == "trace" and kind is not None:
        return kind.label
    word = record_word(name.noun)
    text = " ".join(name.text.split())
    text = text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"
    if name.noun in ("note", "sample_note") and text:
        return f"{word} “{text}”"
    return f"{word} {text}" if text else word


def _field(row: HistoryRow, field: HistoryField, zone: str) -> str:
    owner = row.called.owner
    kind = READING_KINDS.get(owner.text) if owner is not None and field.column == "value" else None
    quantity = kind.quantity if kind is not None else ""
    before, after = (
        field_value_words(field.column, value, zone, quantity)
        for value in (field.before, field.after)
    )
    if row.came or row.went:
        value = after if row.came else before
        if isinstance(field.after or field.before, RowName) or field.column in _NAMING:
            return ""
        return f"{label(field.column)} {value}" if value != NONE else ""
    return f"{label(field.column)} {before} → {after}"


def label(column: str) -> str:
    """A column as a person reads it: "green weight" of "green_weight_kg"."""
    if (own := word_of("wording.field-", column)) != column:
        return own
    words = column.split("_")
    if len(words) > 1 and words[-1] in (*_QUANTITIES, "days", "ms", "id"):
        words = words[:-1]
    return "pH" if words == ["ph"] else " ".join(words)


def field_value_words(
    column: str, value: Any, zone: str, quantity: str = "", *, whole: bool = False
) -> str:
    """A value in the unit it is shown in, by its column or its quantity, or with all its digits as
    it is stored; a dash for none."""
    if value is None or value == "":
        return NONE
    if isinstance(value, RowName):
        return value.text or called(value, zone)
    if column.endswith("_ms") and isinstance(value, int):
        return short_moment(value, zone)
    if column == "flags" and isinstance(value, int):
        corrected = "wording.value-corrected" if value & CORRECTED else "wording.value-counts"
        return worded("wording.struck-out" if value & STRUCK else corrected)
    if column in _YES_OR_NO:
        return worded("wording.value-yes" if value else "wording.value-no")
    if not isinstance(value, int | float):
        return _text(str(value))
    if column.endswith("_days"):
        return worded("wording.many-day", number=value)
    quantity = quantity or _quantity(column)
    if whole:
        unit = stored_unit(quantity).label if quantity else ""
        return f"{unit_ahead(unit)}{short(value, 12)}{unit_behind(unit)}"
    return write(value, quantity) if quantity else short(value)


def _quantity(column: str) -> str:
    """The quantity of a column, by the longest ending that tells it; "" for none."""
    endings = ("_".join(column.split("_")[index:]) for index in range(column.count("_") + 1))
    return next((_QUANTITIES[one] for one in endings if one in _QUANTITIES), "")


def _text(value: str) -> str:
    """A text in short; several values, which the file has as a list, with commas between."""
    if value.startswith("["):
        with suppress(ValueError, TypeError):
            value = ", ".join(map(str, json.loads(value)))
    value = " ".join(value.split())
    return (value if len(value) <= _LONGEST else f"{value[: _LONGEST - 1]}…") or NONE
