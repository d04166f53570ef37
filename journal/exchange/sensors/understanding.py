"""What a message means: a number with or without its unit, a field of JSON, an instant."""

from __future__ import annotations

import json
import re
from typing import Any

from journal.exchange import ExchangeError
from journal.exchange.loggers.numbers import EMPTY, GOOD, OTHER_UNIT, read_values
from journal.quantities import QuantityError
from journal.quantities.units import unit_named
from journal.records import RecordError
from journal.records.instants import from_iso
from journal.records.kinds import ReadingKind
from journal.wording.numbers import minus

LONGEST = 65_536  # bytes of a message, characters of a line
_LARGEST_SECONDS = 100_000_000_000  # an instant above this is in milliseconds


class NotUnderstood(ExchangeError):
    """What is no reading, with the reason."""


def unit_key(kind: ReadingKind, unit: str) -> str:
    """The unit's key for that kind of reading; the kind's own for ""."""
    try:
        return unit_named(kind.quantity, unit or kind.unit).key
    except QuantityError as error:
        raise ExchangeError(error.message) from None


def value_of(text: str, kind: ReadingKind, unit: str) -> float:
    """The value in a text, in the stored unit: "31.4", "31,4 °C", "88.5F".

    Raises
    ------
    NotUnderstood
        When it is no number, in a unit that does not fit, or no such reading is possible.
    """
    plain = text.strip()
    decimal = "," if "," in plain and "." not in plain else "."
    values, fared = read_values([plain], decimal, kind.quantity, unit_key(kind, unit))
    if fared[0] != GOOD:
        why = {EMPTY: "exchange.no-value", OTHER_UNIT: "exchange.unit-does-not-fit"}
        raise NotUnderstood(why.get(int(fared[0]), "exchange.it-is-no-number"))
    value = float(values[0])
    if not kind.low <= value <= kind.high:
        number, low, high = (minus(f"{one:g}") for one in (value, kind.low, kind.high))
        raise NotUnderstood(
            "exchange.no-such-value", value=number, kind=kind.key, low=low, high=high
        )
    return value


def json_of(text: str) -> Any:
    """The message as JSON."""
    try:
        return json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise NotUnderstood("exchange.no-json") from None


def field_of(found: Any, path: str) -> Any:
    """The part of a JSON value at a path like "sensor.temp" or "sensors.0.value"."""
    for step in re.findall(r"[^.\[\]]+", path):
        if isinstance(found, dict) and step in found:
            found = found[step]
        elif isinstance(found, list) and step.isdecimal() and int(step) < len(found):
            found = found[int(step)]
        else:
            raise NotUnderstood("exchange.no-field", path=path)
    return found


def plain_text(found: Any, path: str) -> str:
    """A plain value as text; refuses a table, a list, true and false."""
    if isinstance(found, str):
        return found
    if isinstance(found, (int, float)) and not isinstance(found, bool):
        return repr(found)
    raise NotUnderstood("exchange.field-no-number", path=path)


def instant_of(found: Any, zone: str) -> int:
    """UTC milliseconds: ISO 8601 text, or seconds or milliseconds since 1970."""
    try:
        if isinstance(found, str) and not re.fullmatch(r"[0-9.]+", found.strip()):
            return from_iso(found, zone)
        seconds = float(plain_text(found, "time"))
    except (RecordError, ValueError, OverflowError):
        raise NotUnderstood("exchange.no-time", text=str(found)[:40]) from None
    at_ms = seconds if seconds >= _LARGEST_SECONDS else seconds * 1000
    if not 0 < at_ms < 1e14:
        raise NotUnderstood("exchange.no-time", text=str(found)[:40])
    return round(at_ms)


def _no_constant(name: str) -> float:
    raise ValueError(name)
