"""Milk by lot: whose, of which day, its tests and price; how much of it went into a make."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

from journal.records import RecordError
from journal.records.makes import Milk
from journal.records.plans import new_uuid

_LOW_PH, _HIGH_PH = 4.0, 8.0
_WHOLE = 0.99  # of a make's milk: as much as was measured, and no drop is counted
_DIGITS = 6  # of a mean: below any test, above the noise of floats


@dataclass(frozen=True)
class MilkLot:
    """One can or tank of milk: the farm in the maker's words, when it was milked or bought, fat
    and protein (%), pH, and the price of a litre in any money; None where nobody said."""

    farm: str
    day_ms: int
    fat_pct: float | None = None
    protein_pct: float | None = None
    ph: float | None = None
    price: float | None = None
    remark: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.farm.strip():
            raise RecordError("records.milk-farm")
        Milk(1.0, fat_pct=self.fat_pct, protein_pct=self.protein_pct)  # its own bounds
        if self.ph is not None and not _LOW_PH <= self.ph <= _HIGH_PH:
            raise RecordError("records.milk-ph", ph=self.ph, low=_LOW_PH, high=_HIGH_PH)
        if self.price is not None and not 0 <= self.price < 1_000_000:
            raise RecordError("records.milk-price", price=self.price)


@dataclass(frozen=True)
class MilkUse:
    """So many litres of a lot that went into a make."""

    make_id: int
    milk_lot_id: int
    litres: float
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not 0 < self.litres <= 10_000:
            raise RecordError("records.milk-litres", litres=self.litres)


Poured = tuple[MilkLot, float]
"""A lot and how many litres of it."""


def mean_of(poured: Iterable[Poured], read: Callable[[MilkLot], float | None]) -> float | None:
    """The mean of a test over the lots of a make by their litres; None where one has none."""
    pairs = [(read(lot), litres) for lot, litres in poured]
    known = [(value, litres) for value, litres in pairs if value is not None]
    if not pairs or len(known) < len(pairs):
        return None
    whole = sum(litres for _, litres in known)
    return round(sum(value * litres for value, litres in known) / whole, _DIGITS)


def milk_of(milk: Milk, poured: list[Poured]) -> Milk:
    """A make's milk with what its lots say: the farms, and the tests where all of it is of lots
    that have them."""
    farms = ", ".join(dict.fromkeys(lot.farm for lot, _ in poured))
    known = poured if _is_all(milk, poured) else []
    fat, protein = mean_of(known, _fat), mean_of(known, _protein)
    return replace(
        milk,
        source=farms or milk.source,
        fat_pct=milk.fat_pct if fat is None else fat,
        protein_pct=milk.protein_pct if protein is None else protein,
    )


def _is_all(milk: Milk, poured: Iterable[Poured]) -> bool:
    """Whether the lots together are all the milk of a make."""
    return sum(litres for _, litres in poured) >= _WHOLE * milk.litres


def price_of(milk: Milk, poured: Iterable[Poured]) -> float | None:
    """The price of a litre of a make's milk; None where a lot has none, or a part is of no lot."""
    pairs = list(poured)
    return mean_of(pairs, _price) if _is_all(milk, pairs) else None


def cost_of(milk: Milk, poured: Iterable[Poured]) -> float | None:
    """What the milk of a make cost; None where a lot has no price, or a part is of no lot."""
    pairs = list(poured)
    price = price_of(milk, pairs)
    return None if price is None else price * sum(litres for _, litres in pairs)


def _fat(lot: MilkLot) -> float | None:
    return lot.fat_pct


def _protein(lot: MilkLot) -> float | None:
    return lot.protein_pct


def _price(lot: MilkLot) -> float | None:
    return lot.price
