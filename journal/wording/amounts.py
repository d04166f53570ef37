"""Amounts as a person reads them: what a unit stands for, what would do, kitchen measures."""

from __future__ import annotations

from journal.quantities.units import quantity_named

# What a reader of a unit might otherwise mistake.
UNIT_NOTES = {
    "lb": "453.6 g",
    "oz": "28.35 g, by weight",
    "tsp": "5 ml",
    "tbsp": "15 ml",
    "cup": "250 ml",
    "drop": "about 0.05 ml",
    "dash": "1/8 tsp, 0.625 ml",
    "pinch": "1/16 tsp, 0.3125 ml",
    "smidgen": "1/32 tsp, 0.156 ml",
    "gal": "a US gallon, 3.785 L",
    "qt": "a US quart, 0.946 L",
    "pt": "a US pint, 0.473 L",
    "fl oz": "a US fluid ounce, 29.57 ml",
    "imp gal": "4.546 L",
    "imp pt": "0.568 L",
    "month": "30.44 days",
}
# How a value of each quantity may be typed.
EXAMPLES = {
    "temperature": "31.5 °C or 88 °F",
    "temperature_difference": "1.5 °C",
    "temperature_rate": "0.2 °C/min",
    "ph": "5.42",
    "mass": "1.18 kg",
    "mass_g": "20 g",
    "volume": "12 L",
    "volume_ml": "2.5 ml or 1/2 tsp",
    "length": "12 mm or 1/2 in",
    "duration": "40 min or 2 h 30 min",
    "pressure": "20 kPa or 3 psi",
    "percent": "1.8 %",
    "humidity": "85 %",
    "acidity": "0.16 %, 16 °D, 7.1 °SH or 17.8 °Th",
    "density": "1.03 kg/L",
    "mass_per_volume": "0.02 g/L",
    "volume_per_volume": "0.2 ml/L or 1/8 tsp/L",
    "number": "12",
}


def quoted(text: str) -> str:
    """What was typed, short and printable, between quotation marks."""
    clean = "".join(c for c in text if c.isprintable())
    return f"“{clean[:30]}…”" if len(clean) > 30 else f"“{clean}”"


def quantity_name(key: str) -> str:
    """ "mass" by the quantity's key."""
    return quantity_named(key).name
