"""How a value is written: digits, unit, durations in parts, a set of spoons; it reads back."""

from __future__ import annotations

import math
from collections.abc import Iterator

from journal.quantities import QuantityError
from journal.quantities.conversion import convert
from journal.quantities.units import Unit, quantity_named, stored_unit, unit_named

_MINUTES_IN = (("d", 1440), ("h", 60), ("min", 1))
_DAYS_FROM = 48 * 60
# What a set of measuring spoons holds, ml and tsp (common practice, no source).
_SET = ((0.15625, "1/32"), (0.3125, "1/16"), (0.625, "1/8"), (1.25, "1/4"), (2.5, "1/2"))
SMALLEST_SPOON_ML = _SET[0][0]
_TSP_ML, _TBSP_ML = 5.0, 15.0
_NEAR_ENOUGH = 0.05  # by ratio; further off, two measures together serve better


def write(value: float, quantity: str, unit: str | None = None, digits: int | None = None) -> str:
    """A value, given in the quantity's kept unit, as text: "31.4 °C", "pH 5.42", "2 h 30 min".

    Parameters
    ----------
    value
        In the kept unit of `quantity`.
    unit
        The unit to write it in, in any accepted spelling; the kept one when None. A duration
        without one is written in days, hours and minutes.
    digits
        Decimals to write; when None, as many as are usual for the unit, without idle zeros
        except for temperatures and pH.

    Raises
    ------
    QuantityError
        When the value is not a finite number or the unit is not one of the quantity's.
    """
    found = quantity_named(quantity)
    if not math.isfinite(value):
        raise QuantityError("quantities.nothing-to-write", quantity=quantity)
    if quantity == "duration" and unit is None:
        return _duration(value)
    to = unit_named(quantity, unit) if unit else stored_unit(quantity)
    text = write_number(convert(value, found.stored, to.key), to, digits)
    if found.prefix:
        return f"{found.prefix} {text}"
    return f"{text} {to.label}".rstrip()


def write_number(value: float, unit: Unit, digits: int | None = None) -> str:
    """The bare number with `digits` decimals, or the unit's usual ones when None."""
    text = f"{value:.{unit.digits if digits is None else digits}f}"
    if digits is None and not unit.fixed and "." in text:
        text = text.rstrip("0").rstrip(".")
    if not text.strip("-0."):
        text = text.removeprefix("-")
    return text.replace("-", "−")


def spoonfuls(ml: float) -> str:
    """What a set of spoons measures nearest: "1/4 tsp", "1 1/4 tsp", "1 tbsp + 1 tsp"; with
    "about" where that is over 5 % off.

    Raises
    ------
    QuantityError
        When `ml` is not above 0 and finite.
    """
    if not (math.isfinite(ml) and ml > 0):
        raise QuantityError("quantities.spoon-measure", ml=ml)
    off, _, words = min((_off(size, ml), many, words) for size, many, words in _sets(ml))
    return words if off <= _NEAR_ENOUGH else f"about {words}"


def _off(size: float, ml: float) -> float:
    """How far a measure is off by ratio; what is near enough is as good as exact, so that the
    fewest spoons serve."""
    off = abs(math.log(size / ml))
    return 0.0 if off <= _NEAR_ENOUGH else off


def _sets(ml: float) -> Iterator[tuple[float, int, str]]:
    """Measures about so large: ml, how many spoons it takes, and words."""
    for i, (size, words) in enumerate(_SET):
        yield size, 1, f"{words} tsp"
        for small, less in _SET[:i]:
            yield size + small, 2, f"{words} + {less} tsp"
    for name, size, most in (("tsp", _TSP_ML, 3), ("tbsp", _TBSP_ML, math.inf)):
        count = min(max(int(ml // size), 1), most)
        for many in (count, count + 1):
            yield many * size, int(many), f"{many:g} {name}"
            for small, less in _SET[2:]:
                joined = f" {less} tsp" if name == "tsp" else f" {name} + {less} tsp"
                yield many * size + small, int(many) + 1, f"{many:g}{joined}"
            for more in (1, 2) if name == "tbsp" else ():
                yield many * size + more * _TSP_ML, int(many) + more, f"{many:g} tbsp + {more} tsp"


def _duration(minutes: float) -> str:
    if abs(minutes) < 1:
        return f"{write_number(minutes * 60, unit_named('duration', 's'))} s"
    left = round(abs(minutes))
    parts = []
    for label, size in _MINUTES_IN if left >= _DAYS_FROM else _MINUTES_IN[1:]:
        count, left = divmod(left, size)
        if count:
            parts.append(f"{count} {label}")
    return ("−" if minutes < 0 else "") + " ".join(parts)
