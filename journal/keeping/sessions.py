"""Sessions of tasting: what each assessor gave each wheel on one day, read and saved as one."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from journal.keeping.all_keepers import Keepers
from journal.keeping.errors import KeepingError
from journal.keeping.scored_samples import ScoredSample, read_scored, save_scored
from journal.keeping.sums import leaving_out
from journal.records import id_of
from journal.records.instants import DAY_MS, local
from journal.records.tastings import NOBODY, OPEN, Assessor, Sample, Tasting
from journal.records.verdicts import Verdict, read_verdict
from journal.records.wheels import Wheel


@dataclass(frozen=True)
class WheelRow:
    """One line of the list of wheels to taste; `tasted` counts its sessions with scores."""

    id: int
    code: str
    make_id: int
    plan: str
    started_ms: int
    zone: str
    gone: bool
    tasted: int
    last_ms: int | None
    failed: bool = False
    verdict: Verdict | None = None  # that it is not to be eaten


@dataclass(frozen=True)
class SessionRow:
    """One session, with how many wheels were scored by how many assessors."""

    id: int
    at_ms: int
    wheels: int
    assessors: int


@dataclass(frozen=True)
class GivenRow:
    """One score with where, when and who."""

    tasting_id: int
    at_ms: int
    sample_id: int
    wheel_id: int
    wheel_code: str
    assessor: str
    attribute: str
    value: float


@dataclass(frozen=True)
class SessionMean:
    """What a wheel got for an attribute at a session: the plain mean of all who scored it."""

    tasting_id: int
    at_ms: int
    wheel_id: int
    wheel_code: str
    attribute: str
    mean: float


@dataclass(frozen=True)
class PanelScore:
    """One score as it counts for the panel; `cheese` is alike for samples of one cheese."""

    tasting_id: int
    at_ms: int
    sample_id: int
    cheese: str
    assessor: str
    value: float


_PANEL = """
select g.id, g.at_ms, p.id, coalesce(w.code, p.reference), a.name, s.value
from score s
join sample p on p.id = s.sample_id
join tasting g on g.id = p.tasting_id
join assessor a on a.id = s.assessor_id
left join wheel w on w.id = p.wheel_id
where g.binned_ms is null and g.lifted_ms is not null and w.binned_ms is null and s.attribute = ?
order by g.at_ms, s.id
"""

_NAMED = """
select p.id, a.name, d.term
from defect_mark d
join sample p on p.id = d.sample_id
join tasting g on g.id = p.tasting_id
join assessor a on a.id = d.assessor_id
left join wheel w on w.id = p.wheel_id
where g.binned_ms is null and g.lifted_ms is not null and w.binned_ms is null
order by d.id
"""

_WHEELS = """
with sat as (
    select p.wheel_id, count(distinct p.tasting_id) as n, max(g.at_ms) as last
    from sample p join tasting g on g.id = p.tasting_id
    where g.binned_ms is null
    and g.lifted_ms is not null and exists (select 1 from score s where s.sample_id = p.id)
    group by p.wheel_id
)
select w.id, w.code, w.make_id, n.name, m.started_ms, m.zone, w.gone_ms is not null,
       coalesce(sat.n, 0), sat.last, m.failed,
       (select value from setting where key = 'verdict ' || m.uuid)
from wheel w join make m on m.id = w.make_id join plan n on n.id = m.plan_id
left join sat on sat.wheel_id = w.id
where w.binned_ms is null and m.binned_ms is null
order by m.started_ms desc, w.code
"""

_SESSIONS = """
with held as materialized (
    select id, at_ms from tasting where binned_ms is null and lifted_ms is not null
), given as materialized (
    select sample_id, assessor_id from main.score group by sample_id, assessor_id
)
select g.id, g.at_ms, count(distinct p.wheel_id), count(distinct s.assessor_id)
from held g cross join sample p on p.tasting_id = g.id join given s on s.sample_id = p.id
where p.wheel_id in (select id from wheel where binned_ms is null)
group by g.id order by g.at_ms, g.id
"""

_GIVEN = """
select g.id, g.at_ms, p.id, w.id, w.code, a.name, s.attribute, s.value
from score s
join sample p on p.id = s.sample_id
join tasting g on g.id = p.tasting_id
join assessor a on a.id = s.assessor_id
join wheel w on w.id = p.wheel_id
where g.binned_ms is null and g.lifted_ms is not null and w.binned_ms is null and {which} = ?
order by g.at_ms, s.id
"""

_NEAR = "select id from main.tasting where at_ms between ? and ?"

_MEANS = """
select g.id, g.at_ms, w.id, w.code, s.attribute, avg(s.value)
from wheel w
join sample p on p.wheel_id = w.id
join tasting g on g.id = p.tasting_id
join score s on s.sample_id = p.id
where w.id = ? and w.binned_ms is null and g.binned_ms is null and g.lifted_ms is not null
group by g.id, s.attribute order by g.at_ms, g.id
"""

OVERALL = "overall"
_LOOKED_INTO = 8  # a row whose sum does not hold may have put another one first
_MAKES_OF_ITS_PLAN = """
select count(*)
from main.wheel v join main.make k on k.id = v.make_id join main.plan o on o.id = k.plan_id
join main.plan n on n.name = o.name join main.make m on m.plan_id = n.id
where v.id = ?
"""

# Where to look for the best first; what is said of it is read from rows whose sums hold.
_BEST_FIRST = f"""
select w.id, g.id
from main.wheel v join main.make k on k.id = v.make_id join main.plan o on o.id = k.plan_id
join main.plan n on n.name = o.name join main.make m on m.plan_id = n.id
join main.wheel w on w.make_id = m.id
join main.sample p on p.wheel_id = w.id
join main.tasting g on g.id = p.tasting_id
join main.score s on s.sample_id = p.id
where v.id = ? and s.attribute = '{OVERALL}' and m.binned_ms is null and w.binned_ms is null
and g.binned_ms is null and g.lifted_ms is not null
group by g.id, w.id order by avg(s.value) desc, g.at_ms, g.id, w.id limit {_LOOKED_INTO}
"""

_SERVED = """
select g.id, g.at_ms, p.id from sample p join tasting g on g.id = p.tasting_id
where p.wheel_id = ? and g.binned_ms is null and g.lifted_ms is not null
order by g.at_ms desc, p.id
"""

# Of the scores an index alone is read: of a million that is a fifth of a second.
_ATTRIBUTES = """
with hidden as materialized (
    select id from sample where wheel_id is null
    union select id from sample where tasting_id in (
        select id from tasting where binned_ms is not null or lifted_ms is null
    )
    union select id from sample where wheel_id in (
        select id from wheel where binned_ms is not null
        or make_id in (select id from make where binned_ms is not null)
    )
)
select attribute, count(*) from main.score where sample_id not in (select id from hidden)
group by attribute order by min(id)
"""


_ANY = """
select exists (
    select 1 from main.sample p join main.tasting g on g.id = p.tasting_id
    join main.wheel w on w.id = p.wheel_id join main.make m on m.id = w.make_id
    where g.binned_ms is null and g.lifted_ms is not null
    and w.binned_ms is null and m.binned_ms is null
    and exists (select 1 from main.score s where s.sample_id = p.id)
)
"""


class SessionKeeper:
    """Keeps and reads tastings a scored sample at a time, over the keepers of the single nouns."""

    def __init__(self, db: sqlite3.Connection, journal: Keepers) -> None:
        self._db = db
        self._journal = journal

    def wheels(self) -> list[WheelRow]:
        """Every wheel there is, newest make first."""
        with leaving_out(self._db):
            rows = self._db.execute(_WHEELS).fetchall()
        out = []
        for row in rows:
            verdict = read_verdict(row[10])
            out.append(WheelRow(*(*row[:6], bool(row[6]), *row[7:9], bool(row[9]), verdict)))
        return out

    def all(self) -> list[SessionRow]:
        """Every session with scores, oldest first."""
        return [SessionRow(*row) for row in self._db.execute(_SESSIONS)]

    def of_wheel(self, wheel_id: int) -> list[GivenRow]:
        """Every score of a wheel, oldest first."""
        return [GivenRow(*row) for row in self._db.execute(_GIVEN.format(which="w.id"), [wheel_id])]

    def means_of(self, wheel_id: int) -> list[SessionMean]:
        """What a wheel got at each revealed session, oldest first."""
        return [SessionMean(*row) for row in self._db.execute(_MEANS, [wheel_id])]

    def makes_of_its_plan(self, wheel_id: int) -> int:
        """How many makes the plan of a wheel was run in: so many are looked into for the best."""
        return int(self._db.execute(_MAKES_OF_ITS_PLAN, [wheel_id]).fetchone()[0])

    def best_beside(self, wheel_id: int) -> list[SessionMean]:
        """What the best wheel of a wheel's plan got at its best revealed session."""
        found = [
            [one for one in self.means_of(wheel) if one.tasting_id == tasting]
            for wheel, tasting in self._db.execute(_BEST_FIRST, [wheel_id]).fetchall()
        ]
        overall = [next((m.mean for m in one if m.attribute == OVERALL), -1.0) for one in found]
        return found[overall.index(max(overall))] if found else []

    def scored_samples_of(self, wheel_id: int, but: int) -> list[tuple[int, str, ScoredSample]]:
        """Every scored sample of a wheel at revealed sessions other than one: when, by whom, what;
        the latest first."""
        names = {a.id: a.name for a in self._journal.assessors.all()}
        out = []
        for tasting_id, at_ms, sample_id in self._db.execute(_SERVED, [wheel_id]):
            if tasting_id == but:
                continue
            for who, name in names.items():
                scored = read_scored(self._journal, sample_id, who or 0)
                if scored is not None:
                    out.append((at_ms, name, scored))
        return out

    def of_session(self, tasting_id: int) -> list[GivenRow]:
        """Every score given at a session, in the order they were kept."""
        rows = self._db.execute(_GIVEN.format(which="g.id"), [tasting_id])
        return [GivenRow(*row) for row in rows]

    def for_panel(self, attribute: str) -> list[PanelScore]:
        """Every score of an attribute at a revealed session, oldest first."""
        return [PanelScore(*row) for row in self._db.execute(_PANEL, [attribute])]

    def named_defects(self) -> list[tuple[int, str, str]]:
        """Every defect named at a revealed session: sample, assessor, term."""
        return [(int(s), str(a), str(t)) for s, a, t in self._db.execute(_NAMED)]

    def attributes(self) -> list[tuple[str, int]]:
        """The attributes there are scores for, with how many, the first used first."""
        return [(str(name), int(count)) for name, count in self._db.execute(_ATTRIBUTES)]

    def any_scored(self) -> bool:
        """Whether there are scores for any attribute."""
        return bool(self._db.execute(_ANY).fetchone()[0])

    def people(self) -> list[str]:
        """The names of those who taste, in the order they came."""
        return [each.name for each in self._journal.assessors.all() if each.name != NOBODY]

    def assessor(self, name: str) -> Assessor | None:
        """The assessor of that name, letter case and spaces being free; None when unknown."""
        wanted = " ".join(name.split()).casefold()
        known = self._journal.assessors.all()
        return next((each for each in known if each.name.casefold() == wanted), None)

    def known_or_new(self, name: str) -> Assessor:
        """The assessor of that name, added when unknown; KeepingError without a name."""
        plain = " ".join(name.split())
        if not plain:
            raise KeepingError("keeping.nobody-tastes")
        return self.assessor(plain) or self._journal.assessors.save(Assessor(plain))

    def wheel_made_by(self, wheel_id: int, at_ms: int) -> Wheel:
        """The wheel; KeepingError when its make had not begun by then."""
        wheel = self._journal.wheels.get(wheel_id)
        if at_ms < self._journal.makes.get(wheel.make_id).started_ms:
            raise KeepingError("keeping.tasted-before-made", wheel=wheel.code)
        return wheel

    def on_day(self, at_ms: int) -> list[Tasting]:
        """The open tastings on the kitchen's calendar day of `at_ms`."""
        zone = self._journal.zone
        day = local(at_ms, zone).date()
        near = self._db.execute(_NEAR, (at_ms - 2 * DAY_MS, at_ms + 2 * DAY_MS)).fetchall()
        return [
            t
            for t in self._journal.tastings.of_any("id", [key for (key,) in near])
            if t.coding == OPEN and local(t.at_ms, zone).date() == day
        ]

    def sample_on(self, wheel_id: int, at_ms: int) -> Sample | None:
        """The wheel as it stands at a tasting of that day; None when it does not yet."""
        for tasting in self.on_day(at_ms):
            found = self._journal.samples.where(tasting_id=tasting.id, wheel_id=wheel_id)
            if found:
                return found[0]
        return None

    def scored(self, wheel_id: int, assessor: str, at_ms: int) -> ScoredSample | None:
        """What the assessor gave the wheel on that day; None when nothing yet."""
        sample, who = self.sample_on(wheel_id, at_ms), self.assessor(assessor)
        if sample is None or who is None:
            return None
        return read_scored(self._journal, id_of(sample), id_of(who))

    def give(
        self,
        wheel_id: int,
        assessor: str,
        at_ms: int,
        scored: ScoredSample,
        initiator: object | None = None,
    ) -> Sample:
        """Save a scored sample as one unit: everything the assessor gave the wheel on
        that day, in place of what was saved before.

        The wheel joins the day's open session, and a new one begins where there is none; an
        assessor not known yet is added.

        Raises
        ------
        KeepingError
            When the sample has neither score, defect nor note, nobody is named, or the wheel
            was not made yet on that day.
        """
        if scored.empty:
            raise KeepingError("keeping.sample-empty")
        if not assessor.strip():
            raise KeepingError("keeping.nobody-tastes")
        wheel = self.wheel_made_by(wheel_id, at_ms)
        with self._journal.unit("keeping.act-score", initiator, code=wheel.code):
            who = self.known_or_new(assessor)
            sample = self.sample_on(wheel_id, at_ms) or self._new_sample(wheel_id, at_ms)
            save_scored(self._journal, id_of(sample), id_of(who), scored)
        return sample

    def _new_sample(self, wheel_id: int, at_ms: int) -> Sample:
        opened = [t for t in self.on_day(at_ms) if t.lifted_ms is not None]
        tasting = (
            opened[-1]
            if opened
            else self._journal.tastings.save(Tasting(at_ms, self._journal.zone, lifted_ms=at_ms))
        )
        return self._journal.samples.save(Sample(id_of(tasting), wheel_id))
