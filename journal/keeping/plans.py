"""The keeper of plans: a plan with its stages, acid targets, doses and care rules as rows."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar

from journal.keeping.changes import Changes
from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.rows import Noun
from journal.keeping.sums import leaving_out, note_left_out
from journal.records import id_of
from journal.records.instants import now_ms
from journal.records.plan_columns import (
    IN_TEXT,
    dose_packed,
    dose_unpacked,
    stage_packed,
    stage_unpacked,
)
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage, new_uuid

_PARTS = {"stages", "care"}
K = TypeVar("K")


_VERSIONS = """
select {} from plan p where name = ? and (binned_ms is null or not exists
(select 1 from plan o where o.name = p.name and o.binned_ms is null)) order by version
"""


class PlanKeeper:
    """Keeps plans. A kept plan is never changed: another one of its name is the next version."""

    def __init__(self, db: sqlite3.Connection, changes: Changes) -> None:
        self._db = db
        self._changes = changes
        self._plan = _PlanPart("plan", Plan, leave_out=_PARTS)
        self._stage = _PlanPart(
            "stage", Stage, ("plan_id", "position"), {"acid_target", "doses"} | IN_TEXT
        )
        self._acid_target = _PlanPart("gate", AcidTarget, ("stage_id",))
        self._dose = _PlanPart("dose", Dose, ("stage_id", "position"), IN_TEXT)
        self._care = _PlanPart("care_rule", CareRule, ("plan_id", "position"))
        self._read: dict[int, Plan] = {}  # a kept plan never changes, but undo frees its id

    def save(self, plan: Plan) -> Plan:
        """Keep the plan; one that equals the latest of its name is returned as it stands.

        Returns
        -------
        Plan
            With id, and with the version it got.
        """
        latest = self._latest_of(plan.name)
        if latest is not None and latest.says_as(plan):
            return latest
        version = plan.version if latest is None else self._next_version(plan.name)
        with self._changes.unit("keeping.act-keep-plan", plan=plan.name):
            self._changes.touch("plan")
            return self._save(plan, version)

    def save_aside(self, plan: Plan) -> Plan:
        """Keep the plan as a version set aside: makes may begin by it, but it never becomes the
        latest of its name and is not listed.

        Returns
        -------
        Plan
            With id, and with the version it got.
        """
        with self._changes.unit("keeping.act-keep-plan", plan=plan.name):
            saved = self._save(plan, self._next_version(plan.name))
            self._db.execute("update plan set binned_ms = ? where id = ?", (now_ms(), saved.id))
        return saved

    def by_uuid(self, uuid: str) -> Plan | None:
        """The plan that carries that UUID, set aside or not; None when there is none."""
        row = self._db.execute("select id from plan where uuid = ?", (uuid,)).fetchone()
        return self.get(row[0]) if row else None

    def holds(self, plan: Plan) -> bool:
        """Whether the plan is here under its id, as it says."""
        row = self._db.execute("select 1 from plan where id = ?", (plan.id,)).fetchone()
        return row is not None and self.get(id_of(plan)).says_as(plan)

    def _next_version(self, name: str) -> int:
        row = self._db.execute("select max(version) from plan where name = ?", (name,)).fetchone()
        return 1 + int(row[0] or 0)

    def _save(self, plan: Plan, version: int) -> Plan:
        uuid = new_uuid() if self._taken(plan.uuid) else plan.uuid
        fresh = replace(plan, id=None, version=version, uuid=uuid)
        key = self._plan.put(self._db, fresh)
        for position, stage in enumerate(plan.stages):
            self._put_stage(key, position, stage)
        for position, rule in enumerate(plan.care):
            self._care.put(self._db, rule, key, position)
        return replace(fresh, id=key)

    def get(self, key: int) -> Plan:
        """The plan with that id, binned ones too (a make may need it)."""
        row = self._db.execute("select uuid from plan where id = ?", (key,)).fetchone()
        if row is None:
            raise KeepingError("keeping.no-record", noun="plan", key=key)
        if key not in self._read or self._read[key].uuid != row[0]:
            try:
                self._read[key] = self._whole(*self._plan.find(self._db, "id = ?", key)[0])
            except TypeError as error:
                raise DamageError("keeping.records-damaged") from error
        return self._read[key]

    def by_name(self, name: str) -> Plan:
        """The latest version of the plan called `name`."""
        found = self._latest_of(name)
        if found is None:
            known = tuple(self.names())
            if not known:
                raise KeepingError("keeping.no-plan-yet", plan=name)
            raise KeepingError("keeping.no-plan", plan=name, plans=known)
        return found

    def names(self) -> list[str]:
        """The names of all plans outside the bin."""
        with leaving_out(self._db):
            rows = self._db.execute(
                "select distinct name from plan where binned_ms is null order by name"
            ).fetchall()
        return [row[0] for row in rows]

    def latest(self) -> list[Plan]:
        """The latest version of every plan outside the bin, by name."""
        found = (self._sound(self.by_name, name) for name in self.names())
        return [plan for plan in found if plan is not None]

    def versions(self, name: str) -> list[Plan]:
        """Every version of a plan but those set aside, oldest first; all of a removed one."""
        rows = self._db.execute(_VERSIONS.format("id"), (name,))
        return [self.get(row[0]) for row in rows.fetchall()]

    def version_numbers(self, name: str) -> list[int]:
        """The numbers of those versions."""
        return [row[0] for row in self._db.execute(_VERSIONS.format("version"), (name,))]

    def all(self) -> list[Plan]:
        """Every version of every plan outside the bin."""
        return self._each("select id from plan where binned_ms is null order by id")

    def in_use(self) -> list[Plan]:
        """Every version of every plan outside the bin, and of the others those that makes were run
        from or that were set up for a series."""
        return self._each(
            "select id from plan where binned_ms is null or id in (select plan_id from make) "
            "or uuid in (select uuid from series_make) order by id"
        )

    def _each(self, asked: str) -> list[Plan]:
        with leaving_out(self._db):
            rows = self._db.execute(asked).fetchall()
        found = (self._sound(self.get, row[0]) for row in rows)
        return [plan for plan in found if plan is not None]

    def _sound(self, read: Callable[[K], Plan], key: K) -> Plan | None:
        """A plan of a list; None for a damaged one, which is noted for a message."""
        try:
            return read(key)
        except DamageError as error:
            if not note_left_out(self._db, error):
                raise
            return None

    def remove(self, name: str) -> None:
        """Put all versions of a plan in the bin; makes run from it keep it."""
        self.by_name(name)
        with self._changes.unit("keeping.act-remove-plan", plan=name):
            self._db.execute(
                "update plan set binned_ms = ? where name = ? and binned_ms is null",
                (now_ms(), name),
            )
            self._changes.touch("plan")

    def _taken(self, uuid: str) -> bool:
        """Whether a plan has that uuid already, in the bin or not."""
        found = self._db.execute("select 1 from plan where uuid = ?", (uuid,)).fetchone()
        return found is not None

    def kept_id(self, name: str) -> int | None:
        """The id of the latest plan of that name; None when the journal has none."""
        row = self._db.execute(
            "select id from plan where name = ? and binned_ms is null "
            "order by version desc, id desc limit 1",
            (name,),
        ).fetchone()
        return row[0] if row else None

    def _latest_of(self, name: str) -> Plan | None:
        key = self.kept_id(name)
        return self.get(key) if key is not None else None

    def _put_stage(self, plan_id: int, position: int, stage: Stage) -> None:
        key = self._stage.put(self._db, stage_packed(stage), plan_id, position)
        if stage.acid_target is not None:
            self._acid_target.put(self._db, stage.acid_target, key)
        for at, dose in enumerate(stage.doses):
            self._dose.put(self._db, dose_packed(dose), key, at)

    def _whole(self, key: int, named: dict[str, Any]) -> Plan:
        stages: list[Stage] = []
        for stage_id, columns in self._stage.find(self._db, "plan_id = ? order by position", key):
            acid_targets = self._acid_target.find(self._db, "stage_id = ?", stage_id)
            doses = self._dose.find(self._db, "stage_id = ? order by position", stage_id)
            stages.append(
                stage_unpacked(
                    Stage(
                        **columns,
                        acid_target=AcidTarget(**acid_targets[0][1]) if acid_targets else None,
                        doses=tuple(dose_unpacked(Dose(**d)) for _, d in doses),
                    )
                )
            )
        care = self._care.find(self._db, "plan_id = ? order by position", key)
        return Plan(
            **named, id=key, stages=tuple(stages), care=tuple(CareRule(**c) for _, c in care)
        )


class _PlanPart:
    """A part of a plan as a row: its own columns after those that say where it belongs."""

    def __init__(
        self,
        table: str,
        record: type[Any],
        owner: tuple[str, ...] = (),
        leave_out: set[str] | frozenset[str] = frozenset(),
    ) -> None:
        self._noun = Noun(table, record)
        self._table = table
        self._owner = owner
        self._columns = [c for c in self._noun.columns() if c not in leave_out]

    def put(self, db: sqlite3.Connection, record: Any, *owner: int) -> int:
        values = dict(zip(self._noun.columns(), self._noun.values(record), strict=True))
        row = {
            **dict(zip(self._owner, owner, strict=True)),
            **{c: values[c] for c in self._columns},
        }
        row.setdefault("uuid", new_uuid())
        names = ", ".join(f'"{c}"' for c in row)
        marks = ", ".join("?" * len(row))
        cursor = db.execute(
            f'insert into "{self._table}" ({names}) values ({marks})', list(row.values())
        )
        return int(cursor.lastrowid or 0)

    def find(
        self, db: sqlite3.Connection, clause: str, key: int
    ) -> list[tuple[int, dict[str, Any]]]:
        names = ", ".join(f'"{c}"' for c in self._columns)
        rows = db.execute(f'select id, {names} from "{self._table}" where {clause}', (key,))
        return [
            (row[0], self._noun.named(dict(zip(self._columns, row[1:], strict=True))))
            for row in rows.fetchall()
        ]
