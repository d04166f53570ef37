"""The keeper of milk by lot: what went into a make, and what that says of the make's milk."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from journal.keeping.errors import KeepingError
from journal.records import id_of
from journal.records.makes import Make
from journal.records.milk_lots import MilkLot, MilkUse, Poured, milk_of

if TYPE_CHECKING:
    from journal.keeping.changes import Changes
    from journal.keeping.keepers import Keeper
    from journal.keeping.makes import MakeKeeper


class MilkKeeper:
    """Pours lots into makes; the farms and tests of the lots become those of the make's milk."""

    def __init__(
        self, changes: Changes, makes: MakeKeeper, lots: Keeper[MilkLot], uses: Keeper[MilkUse]
    ) -> None:
        self._changes, self._makes, self._lots, self._uses = changes, makes, lots, uses

    def pour(self, make_id: int, lot_id: int, litres: float | None = None) -> Make:
        """Put a lot into a make, all of its milk without `litres`; the same lot again counts anew.

        Raises
        ------
        KeepingError
            When the make has less milk than its lots together.
        """
        make, lot = self._makes.get(make_id), self._lots.get(lot_id)
        others = [u for u in self._uses.where(make_id=make_id) if u.milk_lot_id != lot_id]
        left = make.milk.litres - sum(use.litres for use in others)
        amount = left if litres is None else litres
        if amount > left + 1e-6 or amount <= 0:
            raise KeepingError("keeping.too-much-of-a-lot", code=make.code, left=max(left, 0.0))
        with self._changes.unit("keeping.act-pour", farm=lot.farm, code=make.code):
            for use in self._uses.where(make_id=make_id, milk_lot_id=lot_id):
                self._uses.remove(id_of(use))
            self._uses.save(MilkUse(make_id, lot_id, amount))
            return self._makes.save(replace(make, milk=milk_of(make.milk, self.of(make_id))))

    def of(self, make_id: int) -> list[Poured]:
        """The lots in a make with their litres."""
        return [
            (lot, use.litres)
            for use in self._uses.where(make_id=make_id)
            for lot in self._lots.where(id=use.milk_lot_id)
        ]

    def makes_of(self, lot_id: int) -> list[tuple[Make, float]]:
        """The makes that a lot went into, with the litres of it."""
        return [
            (make, use.litres)
            for use in self._uses.where(milk_lot_id=lot_id)
            for make in self._makes.where(id=use.make_id)
        ]
