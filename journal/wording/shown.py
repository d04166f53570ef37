"""A stored value as a person reads it: in the units that were chosen. What is stored stays."""

from __future__ import annotations

import re
from typing import NamedTuple

from journal.quantities import written
from journal.quantities.conversion import convert
from journal.quantities.units import Unit, quantity_named, stored_unit, unit_named
from journal.records.stage_written import size_text
from journal.wording.numbers import number
from journal.wording.style import style_in_use

# Of each quantity the choice it goes by, what that chooses, and the unit then.
_UNITS: dict[str, tuple[str, str, str]] = {
    "temperature": ("temperature", "F", "degF"),
    "temperature_difference": ("temperature", "F", "delta_degF"),
    "temperature_rate": ("temperature", "F", "degF/min"),
    "mass": ("mass", "lb", "lb"),
    "mass_g": ("mass", "lb", "oz"),
    "volume": ("volume", "gal", "gal"),
    "length": ("length", "in", "in"),
}
_BY_DEGREE = "°C"
_DIGITS = {"degF": 1, "delta_degF": 1, "degF/min": 2, "lb": 2, "oz": 2, "gal": 2, "in": 2}
# What the program calls the stored units of figures.
DEGREE_MINUTES, DEGREE_DAYS = "°C·min", "°C days"
YIELD, DOSES = "kg/100 L", ("g/L", "ml/L")
_BY_LABEL = {
    "°C": "temperature", "°C/min": "temperature_rate", "l": "volume", "L": "volume", "kg": "mass",
    "mm": "length",
}  # fmt: skip
_OZ_G = 28.349523125  # of the international avoirdupois ounce (NIST SP 811, appendix B.8)
_LB_KG = 0.45359237  # of the pound (the same)


def shown_unit(quantity: str, value: float | None = None) -> Unit:
    """The unit a quantity is shown in; what is less than an ounce stays in grams, less than a
    pound is in ounces."""
    found = _UNITS.get(quantity)
    if found is None or getattr(style_in_use(), found[0]) != found[1]:
        return stored_unit(quantity)
    if value is not None and quantity == "mass" and value < _LB_KG:
        return unit_named(quantity, "oz" if 1000 * value >= _OZ_G else "g")
    if quantity == "mass_g" and (value is None or value < _OZ_G):
        return stored_unit(quantity)
    return unit_named(quantity, found[2])


def write(value: float, quantity: str, unit: str | None = None, digits: int | None = None) -> str:
    """A value, given in the quantity's stored unit, as text in the unit it is shown in: "31.4 °C"
    or "88.5 °F". `unit` and `digits` as in `quantities.written.write`; `digits` are those of the
    stored unit."""
    shown = shown_unit(quantity, value)
    if unit is not None or shown.key == stored_unit(quantity).key:
        return written.write(value, quantity, unit, digits)
    fixed = shown.fixed
    return written.write(value, quantity, shown.key, _DIGITS.get(shown.key) if fixed else None)


def shown_value(value: float, quantity: str) -> float:
    """A stored value in the unit it is shown in."""
    return convert(value, quantity_named(quantity).stored, shown_unit(quantity).key)


def stored_value(value: float, quantity: str) -> float:
    """The stored value of one in the unit that is shown."""
    return convert(value, shown_unit(quantity).key, quantity_named(quantity).stored)


def shown_difference(celsius: float) -> str:
    """The bare number of a difference, without idle decimals."""
    text = f"{shown_value(celsius, 'temperature_difference'):.1f}"
    return text.rstrip("0").rstrip(".")


def shown_figure(value: float, quantity: str, digits: int) -> str:
    """The bare number of it; `digits` are those of the stored unit."""
    shown = shown_unit(quantity)
    if shown.key == stored_unit(quantity).key:
        return f"{value:.{digits}f}"
    return f"{shown_value(value, quantity):.{_DIGITS[shown.key]}f}"


def unit_label(quantity: str) -> str:
    """The unit a column or an axis of it is headed by: "°C"."""
    return shown_unit(quantity).label


def size(mm: float) -> str:
    """A size with the digits that a hand can cut or a rule shows: "9.5 mm", "0.37 in"."""
    if shown_unit("length").key == stored_unit("length").key:
        return size_text(mm)
    return f"{shown_value(mm, 'length'):.2f} {unit_label('length')}"


# An amount as the program writes it in stored units; behind ± or as steps it is a difference.
_STORED = re.compile(r"(?<![\w.])(± )?(\d[\d.]*) (°C/min|°C|kg|g|L|mm)(?![\w/·])")
_QUANTITY = {"°C/min": "temperature_rate", "°C": "temperature", "kg": "mass", "g": "mass_g",
             "L": "volume", "mm": "length"}  # fmt: skip


def in_shown_units(text: str) -> str:
    """A text that the program itself wrote in stored units ("salt 61.8 g", "9.0 kg = 5.0 kPa"), in
    those that are shown. What a person wrote stays as it was written."""
    return _STORED.sub(_shown_amount, text)


def _shown_amount(found: re.Match[str]) -> str:
    sign, figures, unit = found.groups()
    quantity = "temperature_difference" if sign and unit == "°C" else _QUANTITY[unit]
    value = float(figures)
    if shown_unit(quantity, value).key == stored_unit(quantity).key:
        return found[0]
    if quantity == "length":
        return size(value)
    if quantity in ("mass", "mass_g", "volume"):  # what a scale or a jug shows
        there = convert(value, quantity_named(quantity).stored, shown_unit(quantity, value).key)
        return f"{there:.3g} {shown_unit(quantity, value).label}"
    return f"{sign or ''}{write(value, quantity)}"


class Figure(NamedTuple):
    """A number, its unit, and the decimals it is written with."""

    value: float
    unit: str
    digits: int

    @property
    def text(self) -> str:
        """The bare number."""
        return number(self.value, self.digits)

    @property
    def whole(self) -> str:
        """The number with its unit."""
        return f"{self.text} {self.unit}".rstrip()


def figure(value: float, unit: str, digits: int) -> Figure:
    """A stored figure in the unit it is shown in; `unit` is what the program calls the stored one,
    one of a quantity or two joined ("°C·min", "kg/100 L"), and `digits` are its decimals."""
    if unit in (DEGREE_MINUTES, DEGREE_DAYS, "°C min"):
        shown = shown_value(value, "temperature_difference")
        label = unit_label("temperature_difference")
        return Figure(shown, unit.replace(_BY_DEGREE, label), digits)
    if unit == YIELD:
        return _yield(value, digits)
    if unit in DOSES:
        volume = shown_unit("volume")
        return Figure(
            value / shown_value(1.0, "volume"), f"{unit.partition('/')[0]}/{volume.label}", digits
        )
    quantity = _BY_LABEL.get(unit)
    if quantity is None:
        return Figure(value, unit, digits)
    shown_in = shown_unit(quantity)
    if shown_in.key == stored_unit(quantity).key:
        return Figure(value, shown_in.label, digits)
    return Figure(shown_value(value, quantity), shown_in.label, _DIGITS[shown_in.key])


def unit_shown(unit: str) -> str:
    """The unit that figures in a stored unit are shown in: "°F" of "°C"."""
    return figure(0.0, unit, 0).unit


def unit_ahead(unit: str) -> str:
    """What of a unit stands before its number: "pH "."""
    return "pH " if unit == "pH" else ""


def unit_behind(unit: str) -> str:
    """What of a unit stands behind its number: " mm", nothing of a pH."""
    return f" {unit}" if unit and unit != "pH" else ""


def _yield(kg_per_100_l: float, digits: int) -> Figure:
    """A weight of cheese by the milk: for 100 L, or for a gallon."""
    mass, volume = shown_unit("mass"), shown_unit("volume")
    value = shown_value(kg_per_100_l, "mass")
    if volume.key == stored_unit("volume").key:
        return Figure(value, f"{mass.label}/100 {volume.label}", digits)
    return Figure(value / shown_value(100.0, "volume"), f"{mass.label}/{volume.label}", digits + 1)


def temperature(celsius: float) -> str:
    """A temperature, without idle decimals where it is whole °C: "31.5 °C", "60 °C"."""
    return write(celsius, "temperature", digits=None if celsius % 1 else 0)


def apart(celsius: float) -> str:
    """A difference of temperatures: "1.8 °C"."""
    return write(celsius, "temperature_difference")


def rate(c_per_min: float) -> str:
    """How fast it warms: "0.31 °C/min"."""
    return write(c_per_min, "temperature_rate", digits=2)
