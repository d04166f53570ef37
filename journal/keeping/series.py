"""The keeper of designed series: set up with a plan for each make, joined by the makes begun.

A make of a series and the plan set up for it carry the same UUID: that is how a make begun from
that plan, or from a draft of it, finds its place.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, replace

from journal.keeping.changes import Changes
from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.plans import PlanKeeper
from journal.keeping.rows import NOUNS
from journal.records import id_of
from journal.records.makes import Make
from journal.records.plans import Plan
from journal.records.series import Series, SeriesMake


@dataclass(frozen=True)
class SeriesMakeState:
    """A make of a series as it was set up, and the make it became (None: none yet)."""

    one: SeriesMake
    make: Make | None

    @property
    def to_make(self) -> bool:
        """Whether it is still to be made; one that failed is to be made again."""
        return self.make is None or self.make.failed


@dataclass(frozen=True)
class SeriesWithMakes:
    """A series with its makes in the order they are to be made."""

    series: Series
    makes: tuple[SeriesMakeState, ...]

    @property
    def next(self) -> SeriesMakeState | None:
        """The first that is still to be made."""
        return next((one for one in self.makes if one.to_make), None)

    @property
    def made(self) -> int:
        """How many were made or are in the vat."""
        return sum(not one.to_make for one in self.makes)

    @property
    def ones(self) -> list[SeriesMake]:
        """The makes as they were set up."""
        return [one.one for one in self.makes]

    @property
    def codes(self) -> list[str]:
        """The code of the make each became, "" where it is still to be made."""
        return [one.make.code if one.make and not one.to_make else "" for one in self.makes]

    @property
    def parts(self) -> int:
        """How many seasons of milk it was set up over."""
        return len({one.one.block for one in self.makes})


class SeriesKeeper:
    """Lays series out, finds them, and puts them away."""

    def __init__(
        self, db: sqlite3.Connection, changes: Changes, plans: PlanKeeper, makes: Keeper[Make]
    ) -> None:
        self._changes = changes
        self._plans = plans
        self._makes = makes
        self._all: Keeper[Series] = Keeper(db, changes, NOUNS["series"])
        self._ones: Keeper[SeriesMake] = Keeper(db, changes, NOUNS["series_make"])

    def set_up(
        self,
        series: Series,
        base: Plan,
        plans: Sequence[Plan],
        wanted: Sequence[tuple[float, ...]],
        blocks: Sequence[int],
    ) -> SeriesWithMakes:
        """Keep a series with a plan for each of its makes, all as one unit.

        Parameters
        ----------
        series : Series
            Without an id; its `plan_id` is set to that of `base`.
        base : Plan
            What the plans were changed from; kept too where it is not yet.
        plans, wanted, blocks
            One of each a make, in the order they are to be made.

        Raises
        ------
        KeepingError
            When the file refuses it; nothing is changed then.
        """
        with self._changes.unit("keeping.act-lay-out-series"):
            saved = self._all.save(replace(series, plan_id=self._base_id(base)))
            for i, (plan, values, block) in enumerate(zip(plans, wanted, blocks, strict=True)):
                one = self._ones.save(SeriesMake(id_of(saved), i, block, tuple(values)))
                self._plans.save_aside(replace(plan, uuid=one.uuid, builtin=False))
        return self.get(id_of(saved))

    def all(self) -> list[SeriesWithMakes]:
        """The series that stand, newest first."""
        return [self._with_makes(series) for series in self._all.all()[::-1]]

    def get(self, series_id: int) -> SeriesWithMakes:
        """A series by its id; KeepingError when there is none."""
        return self._with_makes(self._all.get(series_id))

    def plan_of(self, one: SeriesMake) -> Plan:
        """The plan set up for a make; KeepingError when it is not there."""
        plan = self._plans.by_uuid(one.uuid)
        if plan is None:
            raise KeepingError("keeping.series-plan-missing")
        return plan

    def put_away(self, series_id: int) -> Series:
        """Put a series away; its makes stay as they are, and undo brings it back."""
        series = self._all.get(series_id)
        with self._changes.unit("keeping.act-put-series-away"):
            self._all.remove(series_id)
        return series

    def _base_id(self, base: Plan) -> int | None:
        if base.id is not None and self._plans.holds(base):
            return base.id
        return self._plans.save(base).id

    def _with_makes(self, series: Series) -> SeriesWithMakes:
        ones = self._ones.where(series_id=series.id)
        return SeriesWithMakes(
            series, tuple(SeriesMakeState(one, self._make(one)) for one in sorted(ones, key=_at))
        )

    def _make(self, one: SeriesMake) -> Make | None:
        """The make it became; None where that lies in the bin."""
        found = self._makes.where(id=one.make_id) if one.make_id is not None else []
        return found[0] if found else None


class SeriesJoin:
    """Lets a make take its place in a series as it begins."""

    def __init__(self, db: sqlite3.Connection, changes: Changes, plans: PlanKeeper) -> None:
        self._db = db
        self._plans = plans
        self._makes: Keeper[SeriesMake] = Keeper(db, changes, NOUNS["series_make"])

    def plan_for(self, plan: Plan) -> Plan:
        """The plan a make begins by, kept: the one set up for it as it stands, or as changed."""
        waiting = self._plans.by_uuid(plan.uuid) if self._awaited(plan.uuid) else None
        return waiting if waiting is not None and waiting.says_as(plan) else self._plans.save(plan)

    def join(self, uuid: str, make: Make) -> None:
        """Put a make in its place, where the plan it was begun from was set up for one."""
        for one in self._awaited(uuid):
            self._makes.save(replace(one, make_id=make.id))

    def _awaited(self, uuid: str) -> list[SeriesMake]:
        found = self._db.execute(
            "select o.id from series_make o join series s on s.id = o.series_id "
            "left join make m on m.id = o.make_id "
            "where o.uuid = ? and s.binned_ms is null "
            "and (m.id is null or m.binned_ms is not null or m.failed)",
            (uuid,),
        )
        return [self._makes.get(row[0]) for row in found.fetchall()]


def _at(one: SeriesMake) -> int:
    return one.position
