"""The keeper of makes: begin, end a stage, finish, and the list of them all."""

from __future__ import annotations

import json
import sqlite3
import string
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from journal.keeping.baths import BathKeeper
from journal.keeping.changes import Changes
from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.plans import PlanKeeper
from journal.keeping.rows import NOUNS
from journal.keeping.series import SeriesJoin
from journal.keeping.stock import StockKeeper
from journal.keeping.sums import leaving_out
from journal.records import RecordError, id_of
from journal.records.instants import MINUTE_MS
from journal.records.makes import (
    ABANDONED,
    FAILED,
    Addition,
    Make,
    Milk,
    StageRun,
    running_run,
    with_tags,
)
from journal.records.plan_scaled import as_set_up, for_milk, scales
from journal.records.plans import Plan
from journal.records.verdicts import Verdict, read_verdict
from journal.records.wheels import Weighing, Wheel

Stamp = tuple[int, int]


class JudgedMake(NamedTuple):
    """A make of which it was kept whether its cheese may be eaten."""

    id: int
    code: str
    finished_ms: int | None
    failed: bool
    verdict: Verdict | None


@dataclass(frozen=True)
class MakeRow:
    """One line of the list of makes."""

    id: int
    code: str
    name: str
    plan: str
    started_ms: int
    zone: str
    finished_ms: int | None
    failed: bool
    milk_l: float
    readings: int
    wheels: int
    best_score: float | None  # best mean overall score of a wheel at a session
    why_failed: str = ""  # the note that says why, "Failed: …" or "Abandoned: …"
    verdict: Verdict | None = None  # what was said of eating it
    plan_version: int = 1
    culture: str = ""  # the type of culture its plan goes by
    culture_lot: str = ""
    animal: str = "cow"
    treatment: str = ""
    source: str = ""  # of the milk
    green_kg: float = 0.0  # of all its wheels
    remark: str = ""

    @property
    def yield_pct(self) -> float | None:
        """Green weight over the milk, kg in 100 L; None where nothing was weighed."""
        return 100 * self.green_kg / self.milk_l if self.green_kg > 0 else None


_BEST = """
best as (
    select w.make_id, max(j.mean) as score from wheel w join (
        select wheel_id, max(mean) as mean from judged group by wheel_id
    ) j on j.wheel_id = w.id where w.binned_ms is null group by w.make_id
)
"""
_JUDGED_ALL = """
scored as materialized (
    select sample_id, sum(value) as total, count(*) as n
    from score where attribute = 'overall' group by sample_id
), judged as materialized (
    select p.wheel_id, sum(s.total) / sum(s.n) as mean
    from scored s cross join sample p on p.id = s.sample_id
    where p.tasting_id in (
        select id from tasting where binned_ms is null and lifted_ms is not null
    ) group by p.tasting_id, p.wheel_id
)
"""
_JUDGED_SOME = """
judged as materialized (
    select p.wheel_id, avg(s.value) as mean
    from main.wheel w cross join sample p on p.wheel_id = w.id
    cross join tasting g on g.id = p.tasting_id
    cross join score s on s.sample_id = p.id
    where w.make_id in (select value from json_each(?1)) and s.attribute = 'overall'
    and g.binned_ms is null and g.lifted_ms is not null
    group by p.tasting_id, p.wheel_id
)
"""


def _rows_of(which: str, judged: str) -> str:
    """The lines of all makes, or of those named; `which` says it of a column."""
    return f"""
with counted as (
    select make_id, sum(n) as n from (
        select t.make_id, sum(b."count") as n
        from main.trace t join main.reading_block b on b.trace_id = t.id
        where {which.format("t.make_id")} group by t.make_id
        union all
        select t.make_id, count(*) from main.trace t join main.reading_log l on l.trace_id = t.id
        where {which.format("t.make_id")} group by t.make_id
    ) group by make_id
), wheeled as (
    select make_id, count(*) as n, total(green_weight_kg) as kg
    from wheel where binned_ms is null and {which.format("make_id")} group by make_id
), {judged}, {_BEST}
select m.id, m.code, m.name, p.name, m.started_ms, m.zone, m.finished_ms, m.failed,
       m.milk_litres, coalesce(c.n, 0), coalesce(w.n, 0), b.score,
       case when m.failed then (
           select n.text from note n where n.make_id = m.id
           and (n.text glob '{FAILED}*' or n.text glob '{ABANDONED}*')
           order by n.at_ms desc, n.id desc limit 1
       ) end,
       (select value from setting where key = 'verdict ' || m.uuid),
       p.version, p.culture_type, m.culture_lot, m.milk_animal, m.milk_treatment, m.milk_source,
       coalesce(w.kg, 0.0), m.remark
from make m join plan p on p.id = m.plan_id
left join counted c on c.make_id = m.id
left join wheeled w on w.make_id = m.id
left join best b on b.make_id = m.id
where m.binned_ms is null and {which.format("m.id")}
order by m.started_ms desc, m.id desc
"""


_ROWS = _rows_of("true", _JUDGED_ALL)
_SOME_ROWS = _rows_of("{} in (select value from json_each(?1))", _JUDGED_SOME)

# Which makes go by a plan, the newest first: only to choose by, their rows are read and tried then.
_OF_PLAN = """
select m.id from main.make m join main.plan p on p.id = m.plan_id
where p.name = ? and m.binned_ms is null order by m.started_ms desc, m.id desc
"""
_AT_ONCE = 24

_JUDGED = """
select m.id, m.code, m.finished_ms, m.failed, v.value
from setting v cross join make m on m.uuid = substr(v.key, 9)
where v.key glob 'verdict *' and m.binned_ms is null
order by m.started_ms desc, m.id desc
"""


class MakeKeeper(Keeper[Make]):
    """Keeps makes, and moves them along their stages."""

    def __init__(
        self, db: sqlite3.Connection, changes: Changes, plans: PlanKeeper, letters: str, zone: str
    ) -> None:
        super().__init__(db, changes, NOUNS["make"])
        self._plans = plans
        self._rows_known: tuple[Stamp, list[MakeRow]] | None = None
        self.set_up(letters, zone)
        self._runs: Keeper[StageRun] = Keeper(db, changes, NOUNS["stage_run"])
        self._stock = StockKeeper(db, changes)
        self._series = SeriesJoin(db, changes, plans)
        self._baths = BathKeeper(db, changes)
        self._wheels: Keeper[Wheel] = Keeper(db, changes, NOUNS["wheel"])
        self._weighings: Keeper[Weighing] = Keeper(db, changes, NOUNS["weighing"])

    def set_up(self, letters: str, zone: str) -> None:
        """Begin makes from now on with codes of these letters, in this zone."""
        self._letters, self._zone = letters, zone

    def begin(
        self, plan: Plan, milk: Milk, at_ms: int, *, zone: str | None = None, name: str = ""
    ) -> Make:
        """Begin a make from a plan: next code, its stages laid out, the first one running."""
        return self._begin(plan, Make("", 0, milk, at_ms, zone or self._zone, name or plan.name))

    def begin_whey(
        self, parent_id: int, plan: Plan, whey_l: float, at_ms: int, *, milk_l: float = 0.0
    ) -> Make:
        """Begin a whey cheese from the whey of a make, with `milk_l` of its milk added.

        It is a make with a code of its own; the vat holds the whey and the milk together.

        Raises
        ------
        KeepingError
            When there was not so much whey, or `at_ms` lies before the make began.
        """
        parent = self.get(parent_id)
        if at_ms < parent.started_ms:
            raise KeepingError("keeping.no-whey-yet", make=parent.code)
        used = sum(m.whey_l or 0.0 for m in self.where(whey_from_make_id=parent_id))
        there = parent.milk.litres + (parent.water_added_l or 0.0) - used
        if whey_l > there:
            given = {"litres": whey_l, "make": parent.code, "milk": parent.milk.litres}
            if used:
                raise KeepingError("keeping.whey-went-elsewhere", **given, used=used)
            raise KeepingError("keeping.whey-too-much", **given)
        milk = replace(parent.milk, litres=whey_l + milk_l)
        name = f"{plan.name} from {parent.code}"
        made = Make("", 0, milk, at_ms, parent.zone, name, whey_from_make_id=parent_id)
        return self._begin(plan, replace(made, whey_l=whey_l))

    def _begin(self, plan: Plan, blank: Make) -> Make:
        with self._changes.unit("keeping.act-begin-make"):
            saved = self._series.plan_for(plan)
            make = self.save(replace(blank, code=self.next_code(), plan_id=id_of(saved)))
            self._runs.save_many(_set_up(make, for_milk(saved, make.milk.litres)))
            self._series.join(plan.uuid, make)
        return make

    def plan_of(self, make: Make) -> Plan:
        """The plan a make goes by: as it stood when the make began, for the make's milk."""
        plan = self._plans.get(make.plan_id)
        if not scales(plan, make.milk.litres):
            return plan
        return as_set_up(plan, make.milk.litres, self._runs.where(make_id=make.id))

    def by_code(self, code: str) -> Make:
        """The make with that code, or the newest for "latest"; KeepingError when there is none."""
        if code.lower() == "latest":
            found = self._select("id = (" + _LATEST + ")", ())
            if not found:
                raise KeepingError("keeping.no-make-yet")
            return found[0]
        found = self._select("code = ? collate nocase", (code,))
        if not found and self._in_bin(code):
            raise KeepingError("keeping.make-in-bin", make=code.upper())
        if not found:
            raise KeepingError("keeping.no-make", make=code)
        return found[0]

    def _in_bin(self, code: str) -> bool:
        return bool(
            self._db.execute(
                "select 1 from make where code = ? collate nocase and binned_ms is not null",
                (code,),
            ).fetchone()
        )

    def running(self) -> list[Make]:
        """The unfinished makes, newest first."""
        return self._select("finished_ms is null and failed = 0", ())[::-1]

    def tag(self, make_id: int, tags: Sequence[str]) -> Make:
        """Give a make these tags instead of those it has; they stand in its remark."""
        make = self.get(make_id)
        with self._changes.unit("keeping.act-tags", make=make.code):
            return self.save(replace(make, remark=with_tags(make.remark, tags)))

    def newest(self, most: int) -> list[Make]:
        """The makes begun last, newest first."""
        found = self._db.execute(_NEWEST, (most,))
        return [self.get(row[0]) for row in found.fetchall()]

    def rows(self) -> list[MakeRow]:
        """Every make outside the bin, newest first; damaged ones are left out.

        As long as nobody wrote to the file since, they are not read again.
        """
        if self._db.in_transaction:
            return self._read_rows()
        if self._rows_known is None or self._rows_known[0] != self.rows_stamp():
            self.take_rows(self._read_rows(), self.rows_stamp())
        return list(self._rows_known[1]) if self._rows_known is not None else []

    def rows_stamp(self) -> Stamp:
        """What is another as soon as anybody wrote to the file."""
        return self._db.execute("pragma data_version").fetchone()[0], self._db.total_changes

    def take_rows(self, rows: list[MakeRow], stamp: Stamp) -> None:
        """The rows as they were read elsewhere, since when nobody wrote to the file."""
        self._rows_known = stamp, rows

    def newest_rows(self, most: int, also: int | None = None) -> list[MakeRow] | None:
        """The rows of the newest makes, and of one more where it is named; None where there are
        hardly more than these, or all of them are known: `rows` has them at once."""
        known = self._rows_known is not None and self._rows_known[0] == self.rows_stamp()
        if known or self.count() <= 2 * most:
            return None
        found = self._db.execute(_NEWEST, (most,)).fetchall()
        keys = [row[0] for row in found] + ([] if also is None else [also])
        return self._read_rows(_SOME_ROWS, (json.dumps(keys),))

    def rows_of_plan(self, plan: str) -> Iterator[MakeRow]:
        """The makes by a plan of that name, newest first, read a few at a time."""
        keys = [row[0] for row in self._db.execute(_OF_PLAN, (plan,)).fetchall()]
        for at in range(0, len(keys), _AT_ONCE):
            yield from self._read_rows(_SOME_ROWS, (json.dumps(keys[at : at + _AT_ONCE]),))

    def any(self) -> bool:
        """Whether there is a make outside the bin."""
        with leaving_out(self._db):
            asked = "select 1 from make where binned_ms is null limit 1"
            return self._db.execute(asked).fetchone() is not None

    def count(self) -> int:
        """How many makes there are, with those in the bin."""
        return int(self._db.execute("select count(*) from main.make").fetchone()[0])

    def _read_rows(self, sql: str = _ROWS, given: tuple[str, ...] = ()) -> list[MakeRow]:
        with leaving_out(self._db):
            rows = self._db.execute(sql, given).fetchall()
        return [
            MakeRow(
                id=row[0], code=row[1], name=row[2], plan=row[3], started_ms=row[4], zone=row[5],
                finished_ms=row[6], failed=bool(row[7]), milk_l=row[8], readings=row[9],
                wheels=row[10], best_score=row[11], why_failed=row[12] or "",
                verdict=read_verdict(row[13]), plan_version=row[14], culture=row[15],
                culture_lot=row[16], animal=row[17], treatment=row[18], source=row[19],
                green_kg=row[20], remark=row[21],
            )
            for row in rows
        ]  # fmt: skip

    def judged(self) -> list[JudgedMake]:
        """Those whose verdict was kept, newest first; damaged ones are left out."""
        with leaving_out(self._db):
            rows = self._db.execute(_JUDGED).fetchall()
        return [
            JudgedMake(key, code, finished_ms, bool(failed), read_verdict(verdict))
            for key, code, finished_ms, failed, verdict in rows
        ]

    def codes(self) -> dict[str, str]:
        """The code of every make outside the bin, by its UUID."""
        asked = "select uuid, code from make where binned_ms is null"
        with leaving_out(self._db):
            return dict(self._db.execute(asked).fetchall())

    def end_stage(self, make_id: int, at_ms: int) -> tuple[StageRun, StageRun | None]:
        """End the running stage at `at_ms` and begin the next.

        What its doses come to is put in, as long as nothing else was said of them, and taken from
        the shelf; cheese goes into the brine and comes out with the stage of that name.

        Returns
        -------
        tuple
            The ended run and the one that began (None after the last).

        Raises
        ------
        KeepingError
            When no stage is running, or `at_ms` lies before it began.
        """
        runs = self._runs.where(make_id=make_id)
        running = running_run(self.get(make_id), runs)
        if running is None:
            raise KeepingError("keeping.no-stage-runs")
        if at_ms < (running.began_ms or 0):
            raise KeepingError("keeping.stage-ends-early", stage=running.kind)
        with self._changes.unit("keeping.act-end-stage", stage=running.kind):
            ended = self._end(running, at_ms)
            after = [r for r in runs if r.position > running.position and not r.skipped]
            following = min(after, key=_position, default=None)
            if following is not None:
                following = self.begin_run(following, at_ms)
        return ended, following

    def begin_run(self, run: StageRun, at_ms: int) -> StageRun:
        """Begin a stage within an open unit; cheese goes into the brine with that of its name."""
        begun = self._runs.save(replace(run, began_ms=at_ms))
        if begun.kind == "brine":
            self._baths.begin(run.make_id, at_ms)
        return begun

    def finish(
        self,
        make_id: int,
        weights_kg: Sequence[float],
        at_ms: int,
        sizes_mm: Sequence[tuple[float, float]] = (),
    ) -> list[Wheel]:
        """Finish a make with the green weights of its wheels; what still runs ends now.

        `sizes_mm` are diameter and height of each, one alone that of all; none: not known.

        Returns
        -------
        list of Wheel
            One a weight, coded with the make's code and A, B, …

        Raises
        ------
        KeepingError
            When the make is finished already or `at_ms` lies before its start.
        RecordError
            When the milk cannot give that much cheese.
        """
        make = self.get(make_id)
        if make.failed:
            raise KeepingError("keeping.marked-failed", make=make.code)
        if make.finished_ms is not None:
            raise KeepingError("keeping.finished-already", make=make.code)
        if at_ms < make.started_ms:
            raise KeepingError("keeping.finished-early", make=make.code)
        make.milk.check_cheese(sum(weights_kg))
        with self._changes.unit("keeping.act-finish", make=make.code):
            for run in self._runs.where(make_id=make_id):
                if run.began_ms is not None and run.ended_ms is None:
                    self._end(run, max(at_ms, run.began_ms))
            self._baths.end(make_id, at_ms)
            self.save(replace(self.get(make_id), finished_ms=at_ms))
            return self.add_wheels(make, weights_kg, at_ms, sizes_mm)

    def _end(self, run: StageRun, at_ms: int) -> StageRun:
        """End a stage: its doses are put in, its cheese comes out of the brine."""
        make = self.get(run.make_id)
        stage = self._plans.get(make.plan_id).stages[run.position]
        ended = self._runs.save(replace(run, ended_ms=at_ms))
        put_in = self._stock.planned(make, stage, ended)
        self._note_culture(make, [a for a in put_in if a.kind == "culture"])
        if run.kind == "brine":
            self._baths.end(run.make_id, at_ms)
        return ended

    def _note_culture(self, make: Make, put_in: Sequence[Addition]) -> None:
        """The make says which lot its culture came from, or that it was backslopped."""
        if not put_in:
            return
        lots = (self._stock.lot(addition) for addition in put_in)
        lot = make.culture_lot or next((lot for lot in lots if lot), "")
        backslop = make.backslop or any(a.generation_id is not None for a in put_in)
        if (lot, backslop) != (make.culture_lot, make.backslop):
            self.save(replace(make, culture_lot=lot, backslop=backslop))

    def add_wheels(
        self,
        make: Make,
        weights_kg: Sequence[float],
        at_ms: int,
        sizes_mm: Sequence[tuple[float, float]] = (),
    ) -> list[Wheel]:
        """Give a make its wheels; a weight also becomes the wheel's first weighing. KeepingError
        where there is neither one size nor one for each."""
        if len(sizes_mm) not in (0, 1, len(weights_kg)):
            raise KeepingError("keeping.size-for-each", wheels=len(weights_kg))
        have = self._db.execute(
            "select count(*) from wheel where make_id = ?", (make.id,)
        ).fetchone()[0]
        wheels = []
        with self._changes.unit("keeping.act-wheels", make=make.code):
            for i, weight in enumerate(weights_kg):
                code = f"{make.code}-{letter(have + i)}"
                size = sizes_mm[min(i, len(sizes_mm) - 1)] if sizes_mm else (None, None)
                wheel = Wheel(id_of(make), code, weight, diameter_mm=size[0], height_mm=size[1])
                wheel = self._wheels.save(wheel)
                self._weighings.save(Weighing(id_of(wheel), at_ms, weight))
                wheels.append(wheel)
        return wheels

    def next_code(self) -> str:
        """The code the next make will get."""
        row = self._db.execute(
            "select max(cast(substr(code, ?) as integer)) from make where code like ?",
            (len(self._letters) + 2, f"{self._letters}-%"),
        ).fetchone()
        return f"{self._letters}-{(row[0] or 0) + 1:04d}"


_LATEST = "select id from make where binned_ms is null order by started_ms desc, id desc limit 1"
_NEWEST = """
select id from main.make where binned_ms is null order by started_ms desc, id desc limit ?
"""


def letter(index: int) -> str:
    """A, B, … Z, then AA, AB, …"""
    letters = string.ascii_uppercase
    if index < 0:
        raise RecordError("keeping.wheel-before-first")
    if index < len(letters):
        return letters[index]
    return letter(index // len(letters) - 1) + letters[index % len(letters)]


def _position(run: StageRun) -> int:
    return run.position


def _set_up(make: Make, plan: Plan) -> list[StageRun]:
    """The plan's stages on the make's own clock, the first one begun."""
    runs, at = [], make.started_ms
    for position, stage in enumerate(plan.stages):
        end = at + round(stage.minutes * MINUTE_MS)
        began = make.started_ms if position == 0 else None
        runs.append(StageRun(id_of(make), position, stage.kind, at, end, began))
        at = end
    return runs
