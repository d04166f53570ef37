"""Whole makes: a make with its plan, stages, traces, wheels and what was said of them."""

from __future__ import annotations

import sqlite3

from journal.keeping.airs import read_air
from journal.keeping.all_keepers import Keepers
from journal.records.calibrations import Calibration
from journal.records.makes import Addition, Ingredient, Make
from journal.records.spoon_weight import POWDERS
from journal.records.tastings import DefectMark
from journal.records.traces import Trace
from journal.records.wheels import Care, Room, Wheel
from journal.records.whole import NamedDefect, ScoreGiven, WholeMake

_GIVEN = """
select w.code, p.tasting_id, a.name, s.attribute, s.value, g.at_ms
from score s
join sample p on p.id = s.sample_id
join tasting g on g.id = p.tasting_id
join assessor a on a.id = s.assessor_id
join wheel w on w.id = p.wheel_id
where w.make_id = ? and w.binned_ms is null and g.binned_ms is null and g.lifted_ms is not null
order by g.at_ms, s.id
"""

_DEFECTS = """
select d.sample_id, d.assessor_id, d."group", d.term, d.strength, d.id, d.uuid
from defect_mark d
join sample p on p.id = d.sample_id
join tasting g on g.id = p.tasting_id
join wheel w on w.id = p.wheel_id
where w.make_id = ? and g.binned_ms is null and g.lifted_ms is not null
order by d.id
"""

_NAMED = """
select w.code, g.id, a.name, d.term, d.strength, g.at_ms
from defect_mark d
join sample p on p.id = d.sample_id
join tasting g on g.id = p.tasting_id
join assessor a on a.id = d.assessor_id
join wheel w on w.id = p.wheel_id
where w.make_id = ? and w.binned_ms is null and g.binned_ms is null and g.lifted_ms is not null
order by d.id
"""


def whole_make(journal: Keepers, db: sqlite3.Connection, make_id: int) -> WholeMake:
    """Gather one make; raises KeepingError when there is none of that number."""
    make = journal.makes.get(make_id)
    wheels = tuple(journal.wheels.where(make_id=make_id))
    traces = journal.readings.traces(make_id)
    additions = tuple(journal.additions.where(make_id=make_id))
    care = tuple(c for wheel in wheels for c in journal.cares.where(wheel_id=wheel.id))
    rooms = _rooms(journal, wheels, care)
    return WholeMake(
        make=make,
        plan=journal.schedules.plan_of(make),
        runs=tuple(sorted(journal.runs.where(make_id=make_id), key=lambda run: run.position)),
        additions=additions,
        notes=tuple(journal.notes.where(make_id=make_id)),
        timers=tuple(journal.timers.where(make_id=make_id)),
        calibrations=_checks_of(journal, make, traces),
        entered=tuple(journal.entered.where(make_id=make_id)),
        traces=traces,
        wheels=wheels,
        weighings=tuple(w for wheel in wheels for w in journal.weighings.where(wheel_id=wheel.id)),
        care=care,
        taken=tuple(t for wheel in wheels for t in journal.removals.where(wheel_id=wheel.id)),
        scores=tuple(ScoreGiven(*row) for row in db.execute(_GIVEN, (make_id,))),
        defects=tuple(DefectMark(*row) for row in db.execute(_DEFECTS, (make_id,))),
        named=tuple(NamedDefect(*row) for row in db.execute(_NAMED, (make_id,))),
        air={room: read_air(db, journal.air_checks, room, make.started_ms) for room in rooms},
        rooms=rooms,
        whey_from=next(iter(journal.makes.where(id=make.whey_from_make_id)), None),
        whey_cheeses=tuple(journal.makes.where(whey_from_make_id=make_id)),
        verdict=journal.outcomes.verdict(make),
        lots=_lots(journal, additions),
        milk_lots=tuple(journal.milk.of(make_id)),
    )


def _rooms(journal: Keepers, wheels: tuple[Wheel, ...], care: tuple[Care, ...]) -> dict[int, Room]:
    """The rooms that wheels stand or stood in, also those that were deleted since."""
    keys = {wheel.room_id for wheel in wheels}
    keys |= {room for one in care for room in (one.room_id, one.from_room_id)}
    return {key: journal.rooms.binned(key) for key in sorted(k for k in keys if k is not None)}


def _lots(journal: Keepers, additions: tuple[Addition, ...]) -> tuple[Ingredient, ...]:
    """The lots of powders that went in by volume: their packets may say what a spoonful weighs."""
    kinds = sorted({one.kind for one in additions if one.unit == "ml"} & POWDERS)
    return tuple(lot for kind in kinds for lot in journal.ingredients.where(kind=kind))


def _checks_of(journal: Keepers, make: Make, traces: dict[str, Trace]) -> tuple[Calibration, ...]:
    """The checks by which a make's readings are read, and those noted with it."""
    first = min([make.started_ms, *(int(t.at_ms[0]) for t in traces.values())])
    last = max([make.started_ms, *(int(t.at_ms[-1]) for t in traces.values())])
    bearing = journal.readings.checks.bearing_on(first, last)
    known = {one.id for one in bearing}
    mine = [c for c in journal.calibrations.where(make_id=make.id) if c.id not in known]
    return (*bearing, *mine)
