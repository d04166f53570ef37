"""What a person typed, understood: a number, its unit, and the value in the kept unit."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from journal.quantities import AmbiguousNumber, QuantityError
from journal.quantities.conversion import convert
from journal.quantities.numerals import read_number, tidy
from journal.quantities.units import Quantity, Unit, check, quantity_named, stored_unit, unit_named

_CLOCK = re.compile(r"([0-9]{1,4}):([0-5][0-9])(?::([0-5][0-9]))?")
_LINK = re.compile(r"([^0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞.,/+-]+)[, ]*([0-9½⅓⅔¼¾⅛⅜⅝⅞].*)")


@dataclass(frozen=True, slots=True)
class Typed:
    """`value` in `unit` (a unit key) as typed, and `stored`, the same in the stored unit."""

    value: float
    unit: str
    stored: float
    quantity: str


def parse(
    text: str, quantity: str, *, default_unit: str | None = None, clock: str = "h:mm"
) -> Typed:
    """Read `text` as a value of `quantity` ("temperature", "mass", "duration" and so on).

    Parameters
    ----------
    text
        "31,4", "88 F", "1 1/2 tsp", "0.5 l", "2 h 30 min", "1h30" (hours and minutes),
        "1:30" (hours and minutes), "pH 5.42". "1,234 kg" is refused where 1.234 and 1234 could
        both be meant; "5,421" of a pH can only be 5.421.
    quantity
        A key of `units.quantities()`.
    default_unit
        The unit, in any accepted spelling, of a number without one; else the kept unit.
    clock
        What "1:30" is: hours and minutes ("h:mm"), minutes and seconds ("m:ss"), or refused ("").

    Raises
    ------
    QuantityError
        What was not understood, and of which quantity.
    """
    found = quantity_named(quantity)
    plain = tidy(text)
    if found.prefix and plain.lower().startswith(found.prefix.lower()):
        plain = plain[len(found.prefix) :].lstrip(" :=")
    if not plain:
        raise QuantityError("quantities.nothing-typed", quantity=quantity)
    value, unit = _clock(plain, found, clock) or _read(plain, found, default_unit)
    stored = check(convert(value, unit.key, found.stored), quantity)
    return Typed(value, unit.key, stored, quantity)


def parse_any(
    text: str,
    quantities: Sequence[str],
    *,
    default_unit: str | None = None,
    clock: str = "h:mm",
) -> Typed:
    """Read `text` as the first of `quantities` it fits ("0.02 g/L" or "0.2 ml/L").

    `default_unit` is that of a bare number and belongs to the first quantity.
    """
    problem: QuantityError | None = None
    for index, quantity in enumerate(quantities):
        try:
            unit = None if index else default_unit
            return parse(text, quantity, default_unit=unit, clock=clock)
        except AmbiguousNumber:
            raise
        except QuantityError as error:
            problem = problem or error
    raise problem or QuantityError("quantities.no-quantity")


def _clock(plain: str, found: Quantity, clock: str) -> tuple[float, Unit] | None:
    """A duration written with colons in minutes; None for anything else."""
    parts = _CLOCK.fullmatch(plain) if found.key == "duration" else None
    if parts is None:
        return None
    first, second, third = (int(part or 0) for part in parts.groups())
    minutes = first * 60 + second + third / 60
    if parts[3] is None and clock != "h:mm":
        if not clock:
            which = "quantities.two-clocks" if first else "quantities.two-short-clocks"
            raise QuantityError(which, typed=plain, first=first, second=second)
        minutes /= 60
    return minutes, unit_named("duration", "min")


def _read(plain: str, found: Quantity, default_unit: str | None) -> tuple[float, Unit]:
    try:
        value, rest = _number(plain, found)
    except AmbiguousNumber as two:
        unit = _unit(two.rest, found, default_unit)
        if _possible(1000 * two.decimal, unit, found):
            raise
        return two.decimal, unit
    link = _LINK.fullmatch(rest) if found.chains else None
    if link:
        return _chain(plain, value, link, found)
    return value, _unit(rest, found, default_unit)


def _number(plain: str, found: Quantity) -> tuple[float, str]:
    """The number `plain` begins with; what is wrong with it beside what the quantity takes."""
    try:
        return read_number(plain)
    except AmbiguousNumber:
        raise
    except QuantityError as error:
        raise QuantityError(
            "quantities.not-of-quantity", why=error.message, quantity=found.key
        ) from None


def _possible(value: float, unit: Unit, found: Quantity) -> bool:
    try:
        check(convert(value, unit.key, found.stored), found.key)
    except QuantityError:
        return False
    return True


def _unit(rest: str, found: Quantity, default_unit: str | None) -> Unit:
    if rest:
        return unit_named(found.key, rest)
    return unit_named(found.key, default_unit) if default_unit else stored_unit(found.key)


def _chain(plain: str, value: float, link: re.Match[str], found: Quantity) -> tuple[float, Unit]:
    """Add up "2 h 30 min": each part whole but the last, each unit smaller than the one before."""
    first = unit_named(found.key, link[1].strip())
    order = next((chain for chain in found.chains if first.key in chain), ())
    smaller = order[order.index(first.key) + 1 :] if order else ()
    if not smaller or value != int(value) or value < 0:
        raise QuantityError("quantities.no-sum", typed=plain, quantity=found.key)
    more, rest = _number(link[2], found)
    next_link = _LINK.fullmatch(rest)
    if next_link:
        more, unit = _chain(plain, more, next_link, found)
    else:
        unit = unit_named(found.key, rest or smaller[0])
    if unit.key not in smaller or convert(more, unit.key, first.key) >= 1:
        raise QuantityError("quantities.no-sum", typed=plain, quantity=found.key)
    return convert(value, first.key, unit.key) + more, unit
