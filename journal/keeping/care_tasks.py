"""What is needed to work out the care due, of all wheels at once, in a few queries."""

from __future__ import annotations

import json
import sqlite3

from journal.keeping.airs import read_air
from journal.keeping.keepers import Keeper
from journal.keeping.rows import NOUNS
from journal.keeping.shelves import ShelfKeeper
from journal.keeping.sums import leaving_out
from journal.records.due import WheelLife
from journal.records.makes import Ingredient
from journal.records.own_care import OwnCare, own_fields
from journal.records.plans import CareRule
from journal.records.stock import in_unit, plain_name
from journal.records.traces import AirTrace
from journal.records.verdicts import read_verdict
from journal.records.wheel_weight import WheelWeight
from journal.records.wheels import Absence, AirCheck

_THERE = "w.binned_ms is null and w.gone_ms is null and m.binned_ms is null and m.failed = 0"
_WHEELS = f"""
select {", ".join(f'w."{c}"' for c in NOUNS["wheel"].columns())}, w.id,
       p.id, p.name, p.taste_at_days, p.taste_notes, p.eat_from_days, m.started_ms, m.zone,
       coalesce(r.name, ''), m.milk_treatment,
       (select value from setting where key = 'verdict ' || m.uuid)
from wheel w cross join make m on m.id = w.make_id cross join plan p on p.id = m.plan_id
left join room r on r.id = w.room_id
where {_THERE}
order by m.started_ms, w.code
"""
_ROOMS = f"select distinct w.room_id from wheel w join make m on m.id = w.make_id where {_THERE}"
_CARES = """
select wheel_id, kind, max(at_ms) from care
where wheel_id in (select value from json_each(?)) group by wheel_id, kind
"""
_WEIGHINGS = """
select wheel_id, 'weigh', max(at_ms) from weighing
where wheel_id in (select value from json_each(?)) group by wheel_id
"""
_CUT = "select id, cut_from_id from wheel where cut_from_id is not null"
_RULES = f"""
select plan_id, kind, from_day, to_day, every_days, note, room_c, room_humidity_pct
from care_rule where plan_id in (
    select m.plan_id from wheel w join make m on m.id = w.make_id where {_THERE}
) order by plan_id, position
"""
_OWN = f"""
select {", ".join(f'"{c}"' for c in NOUNS["own_care"].columns())}, id
from own_care order by position
"""
_TASTED = """
select w.make_id, max(g.at_ms)
from wheel w cross join sample s on s.wheel_id = w.id cross join tasting g on g.id = s.tasting_id
where w.make_id in (select value from json_each(?)) and w.binned_ms is null
and g.binned_ms is null and g.lifted_ms is not null
and exists (select 1 from score x where x.sample_id = s.id)
group by w.make_id
"""
# Which makes to look into first; what is said of them is read from rows whose sums hold.
_NEWEST_FIRST = """
select id from main.make where binned_ms is null order by started_ms desc, id desc
"""
_USED = """
select a.make_id, a.kind, a.name, a.unit, sum(a.amount)
from addition a where a.make_id in (select value from json_each(?))
group by a.make_id, a.kind, a.name, a.unit
"""
_EVER_USED = "select distinct kind, name from main.addition"
_MAKES_AT_ONCE = 32


class CareTaskKeeper:
    """Reads wheels with their rules and what was done; keeps nothing itself."""

    def __init__(
        self,
        db: sqlite3.Connection,
        ingredients: Keeper[Ingredient],
        shelves: ShelfKeeper,
        absences: Keeper[Absence],
        checks: Keeper[AirCheck],
    ) -> None:
        self._db = db
        self._ingredients = ingredients
        self._shelves, self._absences, self._checks = shelves, absences, checks

    def lives(self) -> list[WheelLife]:
        """Every wheel that is still there, oldest make first; those of failed makes and damaged
        ones left out."""
        with leaving_out(self._db):
            return self._lives()

    def rooms_used(self) -> set[int | None]:
        """The rooms in which such wheels are; None where one is in no room."""
        with leaving_out(self._db):
            return {room for (room,) in self._db.execute(_ROOMS).fetchall()}

    def _lives(self) -> list[WheelLife]:
        wheel = NOUNS["wheel"]
        size = len(wheel.columns()) + 1
        cut = dict(self._db.execute(_CUT).fetchall())
        there = self._db.execute(_WHEELS).fetchall()
        lines = {up for row in there for up in _line(wheel.back(row[:size]).id, cut)}
        rules, done, weights = self._rules(), self._done(cut, lines), self._shelves.weights(lines)
        own, away = self._own(), tuple(sorted(one.days for one in self._absences.all()))
        makes = json.dumps(sorted({wheel.back(row[:size]).make_id for row in there}))
        tasted = dict(self._db.execute(_TASTED, (makes,)).fetchall())
        out = []
        for row in there:
            one = wheel.back(row[:size])
            plan_id, plan, ages, notes, eat, started, zone, room, treatment, given = row[size:]
            weight = weights.get(one.id, WheelWeight())
            care, taste = rules.get(plan_id, ()), tuple(json.loads(ages))
            own_notes = tuple(json.loads(notes))
            line = _line(one.id, cut)
            mine = next((own[key] for w in line if (key := ("wheel", w)) in own), None)
            mine = mine or own.get(("make", one.make_id))
            if mine:
                care, taste, eat, own_notes = own_fields(mine)
            out.append(
                WheelLife(
                    one, plan, started, zone, care, taste,
                    done.get(one.id, {}), tasted.get(one.make_id), weight.kg, weight.weighed_ms,
                    room, read_verdict(given), weight, eat, treatment, away, own_notes,
                )
            )  # fmt: skip
        return out

    def air(self, room_id: int, since_ms: int) -> AirTrace:
        """The air of a room from an instant on."""
        return read_air(self._db, self._checks, room_id, since_ms)

    def last_used(self) -> dict[tuple[str, str], float]:
        """What the last make took of each ingredient in stock, by kind and plain name, in the
        unit of its first lot; those never used, or measured otherwise, are left out."""
        units: dict[tuple[str, str], str] = {}
        for item in self._ingredients.all():
            units.setdefault((item.kind, plain_name(item.name)), item.unit)
        found: dict[tuple[str, str], float] = {}
        makes = [key for (key,) in self._db.execute(_NEWEST_FIRST).fetchall()]
        for first in range(0, len(makes), _MAKES_AT_ONCE):
            some = makes[first : first + _MAKES_AT_ONCE]
            for took in self._used_by(some, units):
                found = took | found
            if first == 0 and len(found) < len(units):
                ever = {(k, plain_name(name)) for k, name in self._db.execute(_EVER_USED)}
                units = {key: unit for key, unit in units.items() if key in ever}
            if len(found) >= len(units):
                break
        return found

    def _used_by(
        self, makes: list[int], units: dict[tuple[str, str], str]
    ) -> list[dict[tuple[str, str], float]]:
        """What each of these makes took, in the same order."""
        took: dict[int, dict[tuple[str, str], float]] = {key: {} for key in makes}
        for make_id, kind, name, unit, amount in self._db.execute(_USED, (json.dumps(makes),)):
            key = kind, plain_name(name)
            part = in_unit(float(amount), unit, units[key]) if key in units else None
            if part is not None:
                took[make_id][key] = part
        return list(took.values())

    def _rules(self) -> dict[int, tuple[CareRule, ...]]:
        found: dict[int, list[CareRule]] = {}
        for plan_id, *columns in self._db.execute(_RULES):
            found.setdefault(plan_id, []).append(CareRule(*columns))
        return {plan_id: tuple(rules) for plan_id, rules in found.items()}

    def _own(self) -> dict[tuple[str, int | None], list[OwnCare]]:
        """The schedules of their own, by make and by wheel."""
        noun, found = NOUNS["own_care"], dict[tuple[str, int | None], list[OwnCare]]()
        for row in self._db.execute(_OWN):
            one = noun.back(row)
            key = ("make", one.make_id) if one.wheel_id is None else ("wheel", one.wheel_id)
            found.setdefault(key, []).append(one)
        return found

    def _done(
        self, cut: dict[int, int], wheels: set[int | None]
    ) -> dict[int | None, dict[str, int]]:
        """The last instant of each kind of care by wheel; a weighing counts as "weigh", and what
        was done to a wheel was done to the pieces that were cut from it later."""
        own: dict[int | None, dict[str, int]] = {}
        for query in (_CARES, _WEIGHINGS):
            for wheel, kind, at in self._db.execute(query, (json.dumps(list(wheels)),)):
                kinds = own.setdefault(wheel, {})
                kinds[kind] = max(kinds.get(kind, at), at)
        found = dict(own)
        for piece in cut:
            merged: dict[str, int] = {}
            for wheel in _line(piece, cut):
                for kind, at in own.get(wheel, {}).items():
                    merged[kind] = max(merged.get(kind, at), at)
            found[piece] = merged
        return found


def _line(wheel: int | None, cut: dict[int, int]) -> list[int | None]:
    """A wheel, what it was cut from, what that was cut from, and so on."""
    found = [wheel]
    while (up := cut.get(found[-1] or 0)) is not None and up not in found:
        found.append(up)
    return found
