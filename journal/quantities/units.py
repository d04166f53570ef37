"""The closed list of quantities, the units each one knows, and the spellings people type."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from journal.quantities import QuantityError


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: `key` names it in the program, `label` on the screen, `pint` to the registry.

    `digits` is how many decimals are usual when a value is written; `fixed` keeps the zeros.
    """

    key: str
    label: str
    pint: str
    spellings: tuple[str, ...]
    digits: int = 2
    fixed: bool = False


@dataclass(frozen=True, slots=True)
class Quantity:
    """One quantity: its units, the one it is kept in, and the bounds no value can pass.

    `low` and `high` are in the kept unit. `chains` lists the units that may follow each other
    in one value, largest first ("2 h 30 min", "2 lb 3 oz").
    """

    key: str
    name: str
    stored: str
    units: tuple[Unit, ...]
    low: float
    high: float
    prefix: str = ""
    chains: tuple[tuple[str, ...], ...] = ()


_TEMPERATURE = (
    Unit("degC", "°C", "degC", ("c", "degc", "deg c", "° c", "celsius"), 1, True),
    Unit("degF", "°F", "degF", ("f", "degf", "deg f", "° f", "fahrenheit"), 1, True),
    Unit("K", "K", "kelvin", ("kelvin",), 1, True),
)
_DIFFERENCE = (
    Unit("delta_degC", "°C", "delta_degC", ("c", "degc", "deg c", "k", "celsius"), 1, True),
    Unit("delta_degF", "°F", "delta_degF", ("f", "degf", "deg f", "fahrenheit"), 1, True),
)
_MASS = (
    Unit("kg", "kg", "kilogram", ("kilo", "kilos", "kilogram", "kilograms", "kgs"), 3),
    Unit("g", "g", "gram", ("gr", "gram", "grams", "gramme", "grammes"), 2),
    Unit("mg", "mg", "milligram", ("milligram", "milligrams"), 1),
    Unit("lb", "lb", "pound", ("lbs", "pound", "pounds"), 3),
    Unit("oz", "oz", "ounce", ("ounce", "ounces"), 2),
)
# Spoons and cups are the metric ones; drop and the mini spoons (a dash is 1/8 tsp, a pinch
# 1/16, a smidgen 1/32) are conventions (common practice, no source).
_SPOONS = (
    Unit("tsp", "tsp", "metric_teaspoon", ("teaspoon", "teaspoons"), 3),
    Unit("tbsp", "tbsp", "metric_tablespoon", ("tablespoon", "tablespoons"), 3),
    Unit("cup", "cup", "metric_cup", ("cups",), 3),
    Unit("drop", "drops", "kitchen_drop", ("drop",), 0),
    Unit("dash", "dash", "kitchen_dash", ("dashes",), 1),
    Unit("pinch", "pinch", "kitchen_pinch", ("pinches",), 1),
    Unit("smidgen", "smidgen", "kitchen_smidgen", ("smidgens",), 1),
)
_VOLUME = (
    Unit("L", "L", "liter", ("litre", "litres", "liter", "liters", "ltr"), 3),
    Unit("ml", "ml", "milliliter", ("millilitre", "millilitres", "milliliter", "cc"), 2),
    Unit("cl", "cl", "centiliter", ("centilitre", "centilitres"), 2),
    Unit("gal", "US gal", "gallon", ("gal", "gallon", "gallons", "gals"), 3),
    Unit("qt", "US qt", "quart", ("qt", "quart", "quarts", "qts"), 3),
    Unit("pt", "US pt", "pint", ("pt", "pint", "pints", "pts"), 3),
    Unit("fl oz", "US fl oz", "fluid_ounce", ("floz", "fluid ounce", "fluid ounces"), 2),
    Unit("imp gal", "imp gal", "imperial_gallon", ("uk gal",), 3),
    Unit("imp pt", "imp pt", "imperial_pint", ("uk pt",), 3),
    *_SPOONS,
)  # fmt: skip
_LENGTH = (
    Unit("mm", "mm", "millimeter", ("millimetre", "millimetres", "millimeter"), 1),
    Unit("cm", "cm", "centimeter", ("centimetre", "centimetres", "centimeter"), 2),
    Unit("m", "m", "meter", ("metre", "metres", "meter", "meters"), 3),
    Unit("in", "in", "inch", ("inch", "inches", '"', "''"), 3),
)
# A month is a twelfth of 365.25 days, as ages are counted (common practice, no source).
_DURATION = (
    Unit("min", "min", "minute", ("m", "mins", "minute", "minutes", "'"), 1),
    Unit("s", "s", "second", ("sec", "secs", "second", "seconds"), 0),
    Unit("h", "h", "hour", ("hr", "hrs", "hour", "hours"), 2),
    Unit("d", "d", "day", ("day", "days"), 1),
    Unit("week", "weeks", "week", ("week", "weeks", "wk", "wks", "w"), 1),
    Unit("month", "months", "calendar_month", ("month", "months", "mo"), 1),
)
_PRESSURE = (
    Unit("kPa", "kPa", "kilopascal", (), 1),
    Unit("Pa", "Pa", "pascal", (), 0),
    Unit("psi", "psi", "psi", (), 1),
    Unit("bar", "bar", "bar", (), 3),
    Unit("mbar", "mbar", "millibar", (), 1),
)
_PERCENT = Unit("%", "%", "percent", ("pct", "percent", "per cent"), 2)
_HUMIDITY = Unit("%", "%", "percent", ("pct", "percent", "% rh", "%rh", "rh"), 1)
_ACIDITY = (
    Unit("% lactic", "% lactic", "lactic_pct",
         ("%", "pct", "pct lactic", "percent", "% lactic acid", "%ta", "% ta"), 3),
    Unit("degD", "°D", "dornic", ("d", "degd", "deg d"), 1),
    Unit("degSH", "°SH", "soxhlet_henkel", ("sh", "degsh", "deg sh"), 2),
    Unit("degTh", "°Th", "thorner", ("th", "degth", "deg th"), 1),
)  # fmt: skip
_DENSITY = (
    Unit("kg/L", "kg/L", "kilogram / liter", ("kg per litre", "kg per l"), 4),
    Unit("g/ml", "g/ml", "gram / milliliter", ("g/cm3",), 4),
    Unit("kg/m3", "kg/m³", "kilogram / meter ** 3", ("kg/m3", "g/l"), 1),
)


def _rates() -> tuple[Unit, ...]:
    """Temperature differences per minute and per hour."""
    units = []
    for letter, pint in (("C", "delta_degC"), ("F", "delta_degF")):
        for per, word, length in (("min", "minute", 2), ("h", "hour", 1)):
            starts = [f"{s}{letter}".lower() for s in ("", "deg", "deg ", "°")]
            starts += ["k"] if letter == "C" else []
            spellings = tuple(
                f"{s}{joint}{e}" for s in starts for joint in ("/", " per ") for e in (per, word)
            )
            units.append(
                Unit(
                    f"deg{letter}/{per}", f"°{letter}/{per}", f"{pint} / {word}", spellings, length
                )
            )
    return tuple(units)


def _doses(tops: tuple[Unit, ...], stored: str) -> tuple[Unit, ...]:
    """Amounts per volume of milk, the kept one first."""
    bottoms = (
        ("L", "liter", ("l", "litre", "liter")),
        ("100 L", "hundred_liters", ("100 l", "100l", "100 litres", "100 litre")),
        ("gal", "gallon", ("gal", "gallon", "us gal")),
    )
    units = []
    for top in tops:
        words = {top.key.lower(), top.label.lower(), *top.spellings}
        for key, pint, ends in bottoms:
            spellings = tuple(
                f"{w}{joint}{e}" for w in sorted(words) for joint in ("/", " per ") for e in ends
            )
            label = f"{top.label}/{'US gal' if key == 'gal' else key}"
            units.append(Unit(f"{top.key}/{key}", label, f"{top.pint} / {pint}", spellings, 3))
    return tuple(sorted(units, key=lambda unit: unit.key != stored))


_TIME_CHAIN = ("week", "d", "h", "min", "s")
_MASS_CHAINS = (("kg", "g"), ("lb", "oz"))


@cache
def quantities() -> dict[str, Quantity]:
    """Every quantity the program knows, by key."""
    big = 1e9
    rows = (
        Quantity("temperature", "temperature", "degC", _TEMPERATURE, -273.15, 1000),
        Quantity("temperature_difference", "temperature difference", "delta_degC", _DIFFERENCE,
                 -1000, 1000),
        Quantity("temperature_rate", "warming rate", "degC/min", _rates(), -1000, 1000),
        Quantity("ph", "pH", "pH", (Unit("pH", "pH", "dimensionless", (), 2, True),), 0, 14,
                 prefix="pH"),
        Quantity("mass", "mass", "kg", _MASS, 0, 1e6, chains=_MASS_CHAINS),
        Quantity("mass_g", "mass", "g", _MASS, 0, big, chains=_MASS_CHAINS),
        Quantity("volume", "volume", "L", _VOLUME, 0, 1e6),
        Quantity("volume_ml", "volume", "ml", _VOLUME, 0, big),
        Quantity("length", "length", "mm", _LENGTH, 0, 1e6),
        Quantity("duration", "duration", "min", _DURATION, 0, big,
                 chains=(_TIME_CHAIN,)),
        Quantity("pressure", "pressure", "kPa", _PRESSURE, 0, big),
        Quantity("percent", "percentage", "%", (_PERCENT,), -1e4, 1e4),
        Quantity("humidity", "humidity", "%", (_HUMIDITY,), 0, 100),
        Quantity("acidity", "acidity", "% lactic", _ACIDITY, 0, 100),
        Quantity("density", "density", "kg/L", _DENSITY, 0, 1e3),
        Quantity("mass_per_volume", "amount per litre", "g/L", _doses(_MASS, "g/L"), 0, big),
        Quantity("volume_per_volume", "amount per litre", "ml/L", _doses(_VOLUME, "ml/L"), 0, big),
        Quantity("number", "number", "", (Unit("", "", "dimensionless", (), 4),), -1e12, 1e12),
    )  # fmt: skip
    return {row.key: row for row in rows}


def quantity_named(key: str) -> Quantity:
    """The quantity of that key, or QuantityError."""
    try:
        return quantities()[key]
    except KeyError:
        raise QuantityError(
            "quantities.no-such-quantity", key=key, known=tuple(quantities())
        ) from None


# A power may be spelled m³ or m^3 for m3.
_POWERS = str.maketrans({"²": "2", "³": "3", "^": None})


@cache
def spellings_of(quantity: str) -> dict[str, Unit]:
    """Every accepted spelling of that quantity's units, in lower case."""
    found: dict[str, Unit] = {}
    for unit in quantity_named(quantity).units:
        for spelling in (unit.key, unit.label, *unit.spellings):
            found.setdefault(spelling.lower(), unit)
    return found


def unit_named(quantity: str, spelling: str) -> Unit:
    """The unit of `quantity` that is spelled so.

    Capitals do not matter, m³ may be m3 or m^3, and a full stop after an abbreviation is ignored.

    Raises
    ------
    QuantityError
        When the quantity has no such unit.
    """
    known = spellings_of(quantity)
    wanted = " ".join(spelling.lower().split())
    unit = known.get(wanted) or known.get(wanted.rstrip(".").translate(_POWERS))
    if unit is None:
        raise QuantityError("quantities.not-its-unit", unit=spelling, quantity=quantity)
    return unit


def stored_unit(quantity: str) -> Unit:
    """The unit that quantity is kept in."""
    found = quantity_named(quantity)
    return next(unit for unit in found.units if unit.key == found.stored)


def check(value: float, quantity: str) -> float:
    """`value` (in the kept unit) if it is finite and possible, else QuantityError."""
    found = quantity_named(quantity)
    if not math.isfinite(value):
        raise QuantityError("quantities.not-finite", quantity=quantity)
    if not found.low <= value <= found.high:
        which = "quantities.too-low" if value < found.low else "quantities.too-high"
        bound = found.low if value < found.low else found.high
        unit = f" {stored_unit(quantity).label}".rstrip()
        raise QuantityError(which, quantity=quantity, bound=bound, unit=unit)
    return value
