"""The keeper of schedules: a make's or a wheel's own, over the one of its plan."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from journal.keeping.changes import Changes
from journal.keeping.keepers import Keeper
from journal.keeping.makes import MakeKeeper
from journal.keeping.rows import NOUNS
from journal.records import id_of
from journal.records.care_written import CareLine, care_lines
from journal.records.makes import Make
from journal.records.own_care import OwnCare, own_rows, with_own
from journal.records.plans import Plan
from journal.records.wheels import Wheel


class ScheduleKeeper:
    """Keeps the schedules that makes and wheels have of their own. The plan a make was run by
    stays as it is."""

    def __init__(
        self, db: sqlite3.Connection, changes: Changes, makes: MakeKeeper, rows: Keeper[OwnCare]
    ) -> None:
        self._changes, self._makes, self._rows, self._db = changes, makes, rows, db

    def of_make(self, make: Make) -> list[CareLine]:
        """What all wheels of a make go by: its own schedule, else its plan's."""
        return care_lines(self.plan_of(make))

    def of_wheel(self, wheel: Wheel) -> list[CareLine]:
        """What a wheel goes by: its own schedule, else its make's, else its plan's."""
        plan = self.plan_of(self._makes.get(wheel.make_id))
        return care_lines(with_own(plan, self._rows.where(wheel_id=wheel.id)))

    def plan_of(self, make: Make) -> Plan:
        """The plan a make goes by, with the make's own schedule where it has one."""
        return with_own(self._makes.plan_of(make), self._rows.where(make_id=make.id))

    def give_make(self, make: Make, lines: Sequence[CareLine]) -> None:
        """Give a make a schedule of its own instead of the one it has; without lines it goes by
        its plan again."""
        with self._changes.unit("keeping.act-schedule", what=make.code):
            self._instead(self._rows.where(make_id=make.id), own_rows(lines, make_id=id_of(make)))

    def give_wheel(self, wheel: Wheel, lines: Sequence[CareLine]) -> None:
        """Give a wheel a schedule of its own; without lines it goes by its make's again."""
        with self._changes.unit("keeping.act-schedule", what=wheel.code):
            new = own_rows(lines, wheel_id=id_of(wheel))
            self._instead(self._rows.where(wheel_id=wheel.id), new)

    def _instead(self, old: Sequence[OwnCare], new: Sequence[OwnCare]) -> None:
        self._changes.touch("care")
        for row in old:
            self._db.execute("delete from own_care where id = ?", (row.id,))
        self._rows.save_many(new)


def keeper_of_own(db: sqlite3.Connection, changes: Changes) -> Keeper[OwnCare]:
    """The keeper of the rows."""
    return Keeper(db, changes, NOUNS["own_care"])
