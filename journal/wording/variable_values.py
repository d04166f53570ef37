"""The value, the change and the range of a make variable, in the units that are chosen: the one way
they are written, on screens, on papers and in what commands print."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from journal.quantities.units import unit_named
from journal.wording.numbers import short
from journal.wording.shown import figure, unit_behind, unit_shown

if TYPE_CHECKING:
    from journal.findings.table import Floats

Values = TypeVar("Values", float, "Floats")

# Decimals of a value in a unit that is not the stored one; of other such units three digits.
_DIGITS = {"°F": 1, "°F/min": 3, "lb": 2, unit_named("volume", "gal").label: 2, "in": 2}
_WRITERS: dict[str, Callable[[float], str]] = {
    "short": short, "3g": lambda value: f"{value:.3g}", "g": lambda value: f"{value:g}",
}  # fmt: skip


def in_unit_shown(value: Values, unit: str) -> Values:
    """Stored values of a variable in the unit they are shown in."""
    zero, one = _zero_and_one(unit)
    return zero + value * one


def in_unit_stored(value: float, unit: str) -> float:
    """The stored value of one in the unit that is shown."""
    zero, one = _zero_and_one(unit)
    return (value - zero) / one


def change_shown(change: float, unit: str) -> float:
    """A stored change, a typical one or a step, in the unit shown: of °C without the offset."""
    return change * _zero_and_one(unit)[1]


def digits_shown(digits: int, unit: str) -> int:
    """The decimals in the unit shown that tell apart what so many decimals in the stored one do."""
    return digits + max(0, math.ceil(-math.log10(_zero_and_one(unit)[1]) - 1e-9))


def _zero_and_one(unit: str) -> tuple[float, float]:
    """What nothing is in the unit shown, and how much longer one is than nothing."""
    zero = figure(0.0, unit, 0).value
    return zero, figure(1.0, unit, 0).value - zero


def number_in(shown: float, unit: str, form: str = "short") -> str:
    """A number that is in the unit shown already; `form` is how one in a stored unit is written:
    "short", to three digits as "3g", or "g"."""
    if unit in _DIGITS:
        return short(shown, _DIGITS[unit])
    return _three(shown) if "°F" in unit or "gal" in unit else _WRITERS[form](shown)


def _three(value: float) -> str:
    """Three digits, or all before the point."""
    return short(value, 2 - math.floor(math.log10(abs(value))) if abs(value) < 100 and value else 0)


def label_shown(unit: str) -> str:
    """The unit a variable is shown in: "°F" of "°C"; one that stays is written as it was."""
    label = unit_shown(unit)
    return unit if label.casefold() == unit.casefold() else label


def figure_words(value: float, unit: str, form: str = "short") -> str:
    """The bare number of a stored value."""
    return number_in(in_unit_shown(value, unit), label_shown(unit), form)


def value_words(value: float, unit: str, form: str = "short") -> str:
    """A stored value with its unit: "38.5 °C" or "101.3 °F"; a pH stands in the name already."""
    return f"{figure_words(value, unit, form)}{unit_behind(label_shown(unit))}"


def step_words(change: float, unit: str) -> str:
    """A stored change: "+1 °C" or "+1.8 °F"."""
    shown, label = change_shown(abs(change), unit), label_shown(unit)
    number = _WRITERS["3g"](shown) if label == unit else _three(shown)
    return f"{'−' if change < 0 else '+'}{number} {label}".rstrip()
