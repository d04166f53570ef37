"""The stock: which lot a dose is taken from, and for how many makes it is enough."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import floor

from journal.records import id_of
from journal.records.instants import local
from journal.records.makes import Ingredient
from journal.records.plans import Plan

# A unit's size in the base unit of its own quantity: g for what is weighed, ml for a volume.
_UNITS = {"mg": ("g", 0.001), "g": ("g", 1.0), "kg": ("g", 1000.0),
          "ml": ("ml", 1.0), "L": ("ml", 1000.0), "l": ("ml", 1000.0)}  # fmt: skip
_DIGITS = 6  # of what is kept: far below any scale, above the noise of floats


@dataclass(frozen=True)
class DoseFromLot:
    """A part of a dose and the lot it came from; None where no lot in stock had it."""

    lot: Ingredient | None
    amount: float  # in the dose's unit


@dataclass(frozen=True)
class Supply:
    """One thing a plan needs: what a make takes, what is in stock, for how many makes.

    `left` and `makes` are None when the stock does not say (no such lot, or no amount known).
    """

    kind: str
    name: str
    unit: str
    per_make: float
    left: float | None
    makes: int | None


def plain_name(name: str) -> str:
    """A name as it is compared: letter case and spaces are free."""
    return " ".join(name.split()).casefold()


def in_unit(amount: float, unit: str, to: str) -> float | None:
    """An amount in another unit of the same quantity; None between weight and volume."""
    if unit == to:
        return amount
    base, size = _UNITS.get(unit, (unit, 1.0))
    other, whole = _UNITS.get(to, (to, 1.0))
    return amount * size / whole if base == other else None


def passed_on(item: Ingredient, today: date, zone: str) -> date | None:
    """The day of its date when that is over, else None. On the day itself it is still good."""
    if item.expires_ms is None:
        return None
    day = local(item.expires_ms, zone).date()
    return day if day < today else None


def take(
    stock: Iterable[Ingredient], dose: tuple[str, str, str], amount: float, today: date, zone: str
) -> list[DoseFromLot]:
    """Where a dose of `amount` comes from: the lot with the nearest date first.

    `dose` is its kind, name and unit. A lot past its date comes last of all, one without a date
    after those that have one. What no lot has stands at the end without one, so that each part
    with a lot is exactly what that lot lost.
    """
    kind, name, unit = dose
    out: list[DoseFromLot] = []
    rest = amount
    for lot in _in_order(_lots(stock, kind, name), today, zone):
        left = None if lot.amount_left is None else in_unit(lot.amount_left, lot.unit, unit)
        if rest <= 0 or in_unit(1.0, lot.unit, unit) is None or left == 0:
            continue
        part = rest if left is None else min(rest, left)
        out.append(DoseFromLot(lot, round(part, _DIGITS)))
        rest = round(rest - part, _DIGITS)
    if rest > 0:
        out.append(DoseFromLot(None, rest))
    return out


def left_after(lot: Ingredient, amount: float, unit: str) -> float | None:
    """What a lot has when `amount` is taken from it (below 0: given back); never below none."""
    part = in_unit(amount, unit, lot.unit)
    if lot.amount_left is None or part is None:
        return lot.amount_left
    return max(0.0, round(lot.amount_left - part, _DIGITS))


def enough_for(
    plan: Plan, stock: Sequence[Ingredient], today: date, zone: str, litres: float | None = None
) -> list[Supply]:
    """For each thing the plan needs, for how many makes the stock is enough.

    Lots of one name count together; those past their date do not count.

    Parameters
    ----------
    plan
        Its doses are per litre.
    stock
        The ingredients there are.
    today, zone
        The day on the kitchen's calendar, and its zone.
    litres
        The milk of a make; the plan's own without it.
    """
    wanted: dict[tuple[str, str, str], tuple[str, float]] = {}
    for _, dose, amount in replace(plan, milk_l=litres or plan.milk_l).amounts():
        key = (dose.kind, plain_name(dose.name), dose.unit)
        name, so_far = wanted.get(key, (dose.name, 0.0))
        wanted[key] = (name, so_far + amount)
    good = [item for item in stock if passed_on(item, today, zone) is None]
    out = []
    for (kind, _, unit), (name, amount) in wanted.items():
        left = stock_of(good, kind, name, unit)
        makes = None if left is None or amount <= 0 else floor(left / amount + 1e-9)
        out.append(Supply(kind, name, unit, amount, left, makes))
    return out


def stock_of(stock: Iterable[Ingredient], kind: str, name: str, unit: str) -> float | None:
    """What all lots of a name hold together, in `unit`; None when nobody said."""
    parts = [
        in_unit(lot.amount_left, lot.unit, unit)
        for lot in _lots(stock, kind, name)
        if lot.amount_left is not None
    ]
    known = [part for part in parts if part is not None]
    return sum(known) if known else None


def _lots(stock: Iterable[Ingredient], kind: str, name: str) -> list[Ingredient]:
    wanted = plain_name(name)
    return [item for item in stock if item.kind == kind and plain_name(item.name) == wanted]


def _in_order(lots: list[Ingredient], today: date, zone: str) -> list[Ingredient]:
    def order(lot: Ingredient) -> tuple[bool, bool, int, int]:
        past = passed_on(lot, today, zone) is not None
        return past, lot.expires_ms is None, lot.expires_ms or 0, id_of(lot)

    return sorted(lots, key=order)
