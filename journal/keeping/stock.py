"""The keeper of stock used in makes: doses taken from the lots in stock, and given back to them."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from journal.keeping.keepers import Keeper
from journal.keeping.rows import NOUNS
from journal.records import id_of
from journal.records.cultures import Generation
from journal.records.instants import local
from journal.records.lot_strength import RennetSet
from journal.records.makes import Addition, Ingredient, Make, StageRun
from journal.records.plans import Stage, new_uuid
from journal.records.stock import DoseFromLot, in_unit, left_after, plain_name, take
from journal.records.timers import FLOCCULATION

if TYPE_CHECKING:
    from journal.keeping.changes import Changes

_DIGITS = 6  # of an amount calculated from a plan


_PLANS_MADE = """
select p.name from make m join plan p on p.id = m.plan_id where m.binned_ms is null
group by p.name order by max(m.started_ms) desc
"""
_LATELY = """
select m.id, m.code, a.amount, a.unit, coalesce(i.lot, ''), a.at_ms, m.zone
from addition a join make m on m.id = a.make_id
left join ingredient i on i.id = a.ingredient_id
where m.binned_ms is null and a.amount > 0 and {which}
order by a.at_ms desc, a.id desc limit ?
"""
# A lot's rennet is what one make took of it; the milk's warmth is the plan's of that stage.
_SETS = """
select min(a.at_ms), sum(a.amount) / m.milk_litres, (t.ended_ms - t.started_ms) / 60000.0,
    s.target_c
from addition a join make m on m.id = a.make_id
join timer t on t.make_id = m.id and t.name = ? and t.ended_ms > t.started_ms
join stage s on s.plan_id = m.plan_id and s.position = a.position
where a.ingredient_id = ? and a.unit = 'ml' and a.amount > 0 and m.milk_litres > 0
and m.binned_ms is null and s.target_c is not null
group by m.id having count(distinct t.id) = 1 order by min(a.at_ms)
"""


@dataclass(frozen=True)
class StockUsed:
    """Something that went into a make: which, how much, of which lot ("": not known), when."""

    make_id: int
    code: str
    amount: float
    unit: str
    lot: str
    at_ms: int
    zone: str


class StockKeeper:
    """Writes what went into a make, and takes the same from stock.

    An addition that names a lot is exactly what that lot lost (where its amount was known), so
    that changing or taking back an addition can give it back.
    """

    def __init__(self, db: sqlite3.Connection, changes: Changes) -> None:
        self._db = db
        self._changes = changes
        self._ingredients: Keeper[Ingredient] = Keeper(db, changes, NOUNS["ingredient"])
        self._additions: Keeper[Addition] = Keeper(db, changes, NOUNS["addition"])
        self._generations: Keeper[Generation] = Keeper(db, changes, NOUNS["generation"])

    def planned(self, make: Make, stage: Stage, run: StageRun) -> list[Addition]:
        """What a stage's doses come to, put in as the stage began.

        A dose of which something was put in already (or was left out: an amount of 0) stays as it
        is. Within a unit of the caller.
        """
        if not stage.doses:
            return []
        given = {
            (a.kind, plain_name(a.name))
            for a in self._additions.where(make_id=make.id, position=run.position)
        }
        out: list[Addition] = []
        for dose in stage.doses:
            amount = round(dose.for_milk(make.milk.litres), _DIGITS)
            if amount > 0 and (dose.kind, plain_name(dose.name)) not in given:
                what = (dose.kind, dose.name, dose.unit)
                out += self.put_in(make, run.position, what, amount, run.began_ms or 0)
        return out

    def put_in(
        self,
        make: Make,
        position: int,
        what: tuple[str, str, str],
        amount: float,
        at_ms: int,
        lot_id: int | None = None,
    ) -> list[Addition]:
        """Put something in at a stage of a make, and take it from stock.

        Parameters
        ----------
        make, position
            The make and the place of the stage in its plan.
        what
            The kind, name and unit (g or ml).
        amount
            In that unit; 0 says that it was left out.
        at_ms
            When it went in.
        lot_id
            The lot it came from; without one, the lot with the nearest date.

        Returns
        -------
        list of Addition
            One a lot; the last without a lot where the stock had not enough.
        """
        kind, name, unit = what
        blank = Addition(id_of(make), position, kind, name, amount, unit, at_ms)
        with self._changes.unit("keeping.act-put-in", what=name):
            mother = self._mother(kind, name) if lot_id is None and amount > 0 else None
            if mother is not None:
                return [self._additions.save(replace(blank, generation_id=mother.id))]
            parts = self._parts(what, amount, at_ms, make.zone, lot_id)
            for part in parts:
                self._move(part.lot, part.amount, unit)
            return self._additions.save_many(_from(part, blank) for part in parts)

    def change(
        self, make: Make, addition: Addition, amount: float, lot_id: int | None = None
    ) -> list[Addition]:
        """Put another amount in the place of one that was put in, or another lot.

        Without `lot_id` it stays with its lot. What the lot lost is given back first.
        """
        what = (addition.kind, addition.name, addition.unit)
        with self._changes.unit("keeping.act-change", what=addition.name):
            if addition.generation_id is not None and lot_id is None:
                return [self._additions.save(replace(addition, amount=amount))]
            self.take_back(addition)
            lot = lot_id if lot_id is not None else addition.ingredient_id
            return self.put_in(make, addition.position, what, amount, addition.at_ms, lot)

    def take_back(self, addition: Addition) -> None:
        """Take an addition away again, and give it back to its lot."""
        with self._changes.unit("keeping.act-take-back", what=addition.name):
            for lot in self._ingredients.where(id=addition.ingredient_id):
                self._move(lot, -addition.amount, addition.unit)
            self._additions.remove(id_of(addition))

    def plans_made(self) -> list[str]:
        """The names of the plans makes were run from, the one run last first."""
        return [str(row[0]) for row in self._db.execute(_PLANS_MADE)]

    def lately(self, kind: str, name: str, most: int) -> list[StockUsed]:
        """The last times something went in, newest first; letter case and spaces are free."""
        wanted = plain_name(name)
        found = self._db.execute("select distinct name from addition where kind = ?", (kind,))
        names = [row[0] for row in found.fetchall() if plain_name(row[0]) == wanted]
        marks = ", ".join("?" * len(names))
        which = f"a.kind = ? and a.name in ({marks})"
        rows = self._db.execute(_LATELY.format(which=which), (kind, *names, most))
        return [StockUsed(*row) for row in rows]

    def of_generation(self, generation_id: int, most: int) -> list[StockUsed]:
        """The makes a generation of a culture went into, newest first."""
        rows = self._db.execute(_LATELY.format(which="a.generation_id = ?"), (generation_id, most))
        return [StockUsed(*row) for row in rows]

    def rennet_sets(self, lot_id: int) -> list[RennetSet]:
        """The makes that a lot of rennet set and whose first flakes were timed, oldest first."""
        return [RennetSet(*row) for row in self._db.execute(_SETS, (FLOCCULATION, lot_id))]

    def lot(self, addition: Addition) -> str:
        """The lot an addition came from as its packet says it; "" where it is not known."""
        found = self._ingredients.where(id=addition.ingredient_id)
        return found[0].lot if found else ""

    def _parts(
        self, what: tuple[str, str, str], amount: float, at_ms: int, zone: str, lot_id: int | None
    ) -> list[DoseFromLot]:
        if amount <= 0:
            return [DoseFromLot(None, 0.0)]
        if lot_id is not None:
            return _from_lot(self._ingredients.get(lot_id), amount, what[2])
        return take(self._ingredients.all(), what, amount, local(at_ms, zone).date(), zone)

    def _mother(self, kind: str, name: str) -> Generation | None:
        """The newest generation of a culture of that name that is still there."""
        if kind != "culture":
            return None
        wanted = plain_name(name)
        there = [
            g
            for g in self._generations.where(gone_ms=None)
            if plain_name(g.name) == wanted
        ]  # fmt: skip
        return max(there, key=_age, default=None)

    def _move(self, lot: Ingredient | None, amount: float, unit: str) -> None:
        if lot is not None and lot.amount_left is not None:
            self._ingredients.save(replace(lot, amount_left=left_after(lot, amount, unit)))


def _from(part: DoseFromLot, blank: Addition) -> Addition:
    lot_id = part.lot.id if part.lot is not None else None
    return replace(blank, amount=part.amount, ingredient_id=lot_id, uuid=new_uuid())


def _from_lot(lot: Ingredient, amount: float, unit: str) -> list[DoseFromLot]:
    """As much of a dose as one lot has, the rest without a lot."""
    left = amount if lot.amount_left is None else in_unit(lot.amount_left, lot.unit, unit)
    part = min(amount, amount if left is None else left)
    rest = round(amount - part, _DIGITS)
    out = [DoseFromLot(lot, round(part, _DIGITS))] if part > 0 else []
    return out + ([DoseFromLot(None, rest)] if rest > 0 else [])


def _age(generation: Generation) -> tuple[int, int]:
    return generation.made_ms, id_of(generation)
