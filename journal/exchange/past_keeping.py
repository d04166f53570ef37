"""Past makes out of a table, saved in the journal: one step to undo, nothing saved twice."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from journal.exchange.past_makes import PastMake, PastTable
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import now_ms
from journal.records.makes import Entered, Make, Milk
from journal.records.plans import Plan, Stage
from journal.records.tastings import NOBODY, Assessor, Sample, Score, Tasting
from journal.records.wheels import Wheel

PLAN_NAME = "past makes"
ALREADY = "already in the journal"
_USUAL_MILK_L = 10.0


@dataclass(frozen=True)
class PastReport:
    """The result of an import: rows read, makes saved, rows skipped and why, the makes' codes."""

    read: int
    kept: int
    skipped: int
    reasons: dict[str, int] = field(default_factory=dict)
    codes: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def save_past(journal: Journal, table: PastTable) -> PastReport:
    """Save the makes of a table, each finished, with one wheel and its scores; the wheel is gone
    unless the table says that it is still there.

    A row that says the same as a make already there, or as a row before it, is skipped. What was
    there before is backed up first.
    """
    known = _known(journal, {make.started_ms for make in table.makes})
    fresh: list[PastMake] = []
    for make in table.makes:
        mark = _mark(make)
        if mark not in known:
            known.add(mark)
            fresh.append(make)
    if fresh and journal.makes.all():
        journal.back_up(now_ms())
    with journal.unit("import past makes"):
        codes = _Keeper(journal).save(fresh) if fresh else []
    reasons = dict(table.reasons)
    if len(fresh) < len(table.makes):
        reasons[ALREADY] = len(table.makes) - len(fresh)
    return PastReport(
        read=table.read,
        kept=len(fresh),
        skipped=table.read - len(fresh),
        reasons=reasons,
        codes=tuple(codes),
        notes=table.sentences,
    )


class _Keeper:
    """Saves makes one after another, and remembers the plans and tastings they share."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._plans: dict[str, Plan] = {}
        self._tastings: dict[int, Tasting] = {}
        self._assessor = self._find_assessor()

    def save(self, makes: list[PastMake]) -> list[str]:
        """Save them all, oldest first; returns their codes."""
        letters, number = self._journal.makes.next_code().rsplit("-", 1)
        codes = []
        for i, past in enumerate(sorted(makes, key=lambda one: one.started_ms)):
            code = f"{letters}-{int(number) + i:04d}"
            self._save_one(past, code)
            codes.append(code)
        return codes

    def _save_one(self, past: PastMake, code: str) -> None:
        journal = self._journal
        plan = self._plan(past.plan)
        make = journal.makes.save(
            Make(
                code=code,
                plan_id=id_of(plan),
                milk=Milk(past.milk_l or plan.milk_l, plan.animal, plan.treatment),
                started_ms=past.started_ms,
                zone=journal.zone,
                name=past.name or plan.name,
                finished_ms=past.started_ms,
                remark=past.remark,
            )
        )
        journal.entered.save_many(
            Entered(id_of(make), v.name, v.value, v.text, v.unit) for v in past.variables
        )
        self._save_wheel(past, make)

    def _save_wheel(self, past: PastMake, make: Make) -> None:
        journal = self._journal
        if past.wheel_kg is not None:
            wheel = journal.makes.add_wheels(make, [past.wheel_kg], past.started_ms)[0]
        else:
            wheel = journal.wheels.save(Wheel(id_of(make), f"{make.code}-A"))
        if not past.there:
            gone_ms = max(past.tasted_ms, past.started_ms)
            wheel = journal.wheels.save(replace(wheel, gone_ms=gone_ms, gone_why="gone"))
        if not past.scores:
            return
        tasting = self._tasting(past.tasted_ms)
        sample = journal.samples.save(Sample(id_of(tasting), id_of(wheel)))
        journal.scores.save_many(
            Score(id_of(sample), id_of(self._assessor), attribute, value)
            for attribute, value in past.scores.items()
        )

    def _plan(self, name: str) -> Plan:
        """The plan of that name here or built in, else a bare one that says so."""
        wanted = name or PLAN_NAME
        key = wanted.casefold()
        if key not in self._plans:
            self._plans[key] = self._find_plan(wanted)
        return self._plans[key]

    def _find_plan(self, name: str) -> Plan:
        from journal.records.plan_text import builtin_plans

        plans = self._journal.plans
        for plan in plans.latest():
            if plan.name.casefold() == name.casefold():
                return plan
        for plan in builtin_plans():
            if plan.name.casefold() == name.casefold():
                return plans.save(plan)
        bare = Stage("ripen", 1.0, instruction="What was done is entered with each make.")
        return plans.save(
            Plan(
                name,
                (bare,),
                milk_l=_USUAL_MILK_L,
                source="a table of past makes",
                note="Only what the table said is known of these makes.",
            )
        )

    def _tasting(self, at_ms: int) -> Tasting:
        if at_ms not in self._tastings:
            self._tastings[at_ms] = self._journal.tastings.save(
                Tasting(at_ms, self._journal.zone, lifted_ms=at_ms)
            )
        return self._tastings[at_ms]

    def _find_assessor(self) -> Assessor:
        found = self._journal.assessors.where(name=NOBODY)
        return found[0] if found else self._journal.assessors.save(Assessor(NOBODY))


_Mark = tuple[int, frozenset[tuple[str, float | None, str]], frozenset[tuple[str, float]], float]


def _mark(past: PastMake) -> _Mark:
    """What a row says, to recognise it: its date, its values, its scores, its weight."""
    values = frozenset((v.name, v.value, v.text) for v in past.variables)
    return past.started_ms, values, frozenset(past.scores.items()), past.wheel_kg or 0.0


def _known(journal: Journal, dates: set[int]) -> set[_Mark]:
    """The same of the makes that are there from those dates."""
    found = set()
    for make in journal.makes.all():
        if make.started_ms in dates:
            whole = journal.whole(id_of(make))
            values = frozenset((e.name, e.value, e.text) for e in whole.entered)
            scores = frozenset((s.attribute, s.value) for s in whole.scores if s.assessor == NOBODY)
            weight = next((w.green_weight_kg for w in whole.wheels if w.green_weight_kg), 0.0)
            found.add((make.started_ms, values, scores, weight or 0.0))
    return found
