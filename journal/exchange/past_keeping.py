"""Past makes out of a table, saved in the journal: one step to undo, and a second import of a table
that grew or was corrected brings what there was up to date."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from journal.exchange.past_known import remember_columns
from journal.exchange.past_makes import PastMake, PastScore, PastTable, PastVariable, PastWheel
from journal.exchange.skipped import ALREADY
from journal.keeping import Journal
from journal.keeping.makes import letter
from journal.records import id_of
from journal.records.instants import now_ms
from journal.records.kinds import ANIMALS, TREATMENTS
from journal.records.makes import Addition, Entered, Make, Milk
from journal.records.plans import FROM_A_TABLE, PAPER, Plan, Stage
from journal.records.tastings import NOBODY, Assessor, Sample, Score, Tasting
from journal.records.wheels import Wheel

_USUAL_MILK_L = 10.0


@dataclass(frozen=True)
class PastReport:
    """The result of an import: rows read, makes saved, makes brought up to date, rows skipped and
    why, the new makes' codes."""

    read: int
    kept: int
    skipped: int
    updated: int = 0
    reasons: dict[str, int] = field(default_factory=dict)
    codes: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def save_past(journal: Journal, table: PastTable) -> PastReport:
    """Save the makes of a table, each finished, with its wheels and their scores; a wheel is gone
    unless the table says that it is still there.

    A make that is there already, by its code, its name or its day, is brought up to date; one that
    says the same, or as much as a row before it, is skipped. What was there before is backed up
    first.
    """
    there = _There(journal, {make.started_ms for make in table.makes})
    fresh: list[PastMake] = []
    changed: list[tuple[PastMake, Make]] = []
    seen: set[_Mark] = set()
    same = 0
    alone = Counter(make.started_ms for make in table.makes)
    for make in table.makes:
        mark = _mark(make)
        if mark in seen or mark in there.marks:
            same += make.rows
            continue
        seen.add(mark)
        old = there.match(make, alone=alone[make.started_ms] == 1)
        if old is None:
            fresh.append(make)
        else:
            changed.append((make, old))
    if (fresh or changed) and journal.makes.all():
        journal.back_up(now_ms())
    keeper = _Keeper(journal)
    with journal.unit("import past makes"):
        codes = keeper.save(fresh)
        updated = [make for make, old in changed if keeper.update(make, old)]
        if fresh or updated:
            remember_columns(journal, table.columns, table.chosen)
    same += sum(make.rows for make, _ in changed) - sum(make.rows for make in updated)
    reasons = dict(table.reasons)
    if same:
        reasons[ALREADY] = same
    return PastReport(
        read=table.read,
        kept=len(fresh),
        skipped=sum(reasons.values()),
        updated=len(updated),
        reasons=reasons,
        codes=tuple(codes),
        notes=table.sentences,
    )


class _Keeper:
    """Saves makes one after another, and remembers the plans, people and tastings they share."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._plans: dict[str, Plan] = {}
        self._tastings: dict[tuple[int, str], Tasting] = {}
        self._people = {one.name: one for one in journal.assessors.all()}

    def save(self, makes: list[PastMake]) -> list[str]:
        """Save them all, oldest first; returns their codes."""
        letters, number = self._journal.makes.next_code().rsplit("-", 1)
        taken = {make.code for make in self._journal.makes.all()}
        codes, at = [], int(number)
        for past in sorted(makes, key=lambda one: one.started_ms):
            code = past.code
            if not code or code in taken:
                code, at = f"{letters}-{at:04d}", at + 1
            taken.add(code)
            self._save_one(past, code)
            codes.append(code)
        return codes

    def update(self, past: PastMake, old: Make) -> bool:
        """Bring a make that came from a table up to what the table says now, and say whether that
        changed anything."""
        before = _state(self._journal, old)
        self._bring_up(past, old)
        return _state(self._journal, old) != before

    def _bring_up(self, past: PastMake, old: Make) -> None:
        journal, make_id = self._journal, id_of(old)
        milk = replace(old.milk, litres=past.milk_l or old.milk.litres)
        make = replace(
            old, started_ms=past.started_ms, finished_ms=past.started_ms, milk=milk,
            name=past.name or old.name, remark=past.remark or old.remark,
        )  # fmt: skip
        if make != old:
            make = journal.makes.save(make)
        entered = {one.name: one for one in journal.entered.where(make_id=make_id)}
        for one in past.variables:
            known = entered.get(one.name)
            if known is None:
                journal.entered.save(_entered(make_id, one))
            elif (known.value, known.text, known.unit) != (one.value, one.text, one.unit):
                journal.entered.save(replace(known, value=one.value, text=one.text, unit=one.unit))
        self._update_used(past, make)
        wheels = journal.wheels.where(make_id=make_id)
        for i, wheel in enumerate(past.wheels):
            if i < len(wheels):
                self._update_wheel(past, wheel, wheels[i])
            else:
                self._save_wheel(past, wheel, make)

    def _update_used(self, past: PastMake, make: Make) -> None:
        additions = {one.kind: one for one in self._journal.additions.where(make_id=make.id)}
        for use in past.used:
            known = additions.get(use.kind)
            if known is None:
                self._journal.additions.save(_addition(make, use.kind, use.amount, use.unit))
            elif (known.amount, known.unit) != (use.amount, use.unit):
                self._journal.additions.save(replace(known, amount=use.amount, unit=use.unit))

    def _update_wheel(self, past: PastMake, new: PastWheel, old: Wheel) -> None:
        wheel = old
        if new.kg is not None:
            wheel = replace(wheel, green_weight_kg=new.kg)
        if new.there is True:
            wheel = replace(wheel, gone_ms=None, gone_why="")
        elif new.there is False and (wheel.gone_ms is None or new.gone_ms is not None):
            wheel = replace(wheel, gone_ms=_gone_ms(past, new), gone_why=_why_gone(new))
        if wheel != old:
            self._journal.wheels.save(wheel)
        self._give(wheel, new.given)

    def _save_one(self, past: PastMake, code: str) -> None:
        journal = self._journal
        plan = self._plan(past.plan)
        words = {one.name: one.text.strip() for one in past.variables if one.text}
        animal, treatment = words.get("animal", "").lower(), words.get("treatment", "").lower()
        make = journal.makes.save(
            Make(
                code=code,
                plan_id=id_of(plan),
                milk=Milk(
                    past.milk_l or plan.milk_l,
                    animal if animal in ANIMALS else plan.animal,
                    treatment if treatment in TREATMENTS else plan.treatment,
                    words.get("milk source", ""),
                ),
                started_ms=past.started_ms,
                zone=journal.zone,
                name=past.name or plan.name,
                finished_ms=past.started_ms,
                remark=past.remark,
                culture_lot=words.get("culture lot", ""),
            )
        )
        journal.entered.save_many(_entered(id_of(make), one) for one in past.variables)
        journal.additions.save_many(
            _addition(make, use.kind, use.amount, use.unit) for use in past.used
        )
        for wheel in past.wheels:
            self._save_wheel(past, wheel, make)

    def _save_wheel(self, past: PastMake, new: PastWheel, make: Make) -> None:
        journal = self._journal
        if new.kg is not None:
            wheel = journal.makes.add_wheels(make, [new.kg], past.started_ms)[0]
        else:
            count = len(journal.wheels.where(make_id=make.id))
            wheel = journal.wheels.save(Wheel(id_of(make), f"{make.code}-{letter(count)}"))
        if not new.there:
            gone_ms = _gone_ms(past, new)
            wheel = replace(wheel, gone_ms=gone_ms, gone_why=_why_gone(new))
            wheel = journal.wheels.save(wheel)
        self._give(wheel, new.given)

    def _give(self, wheel: Wheel, given: Iterable[PastScore]) -> None:
        """Give a wheel its scores: a further sample where one person scored it twice at once."""
        journal = self._journal
        times: Counter[tuple[int, str, str, str]] = Counter()
        for one in given:
            tasting = self._tasting(one.tasted_ms, one.session)
            person = self._person(one.who)
            key = (id_of(tasting), one.session, one.who, one.attribute)
            samples = journal.samples.where(tasting_id=tasting.id, wheel_id=wheel.id)
            while len(samples) <= times[key]:
                samples.append(journal.samples.save(Sample(id_of(tasting), id_of(wheel))))
            sample = samples[times[key]]
            times[key] += 1
            known = journal.scores.where(
                sample_id=sample.id, assessor_id=person.id, attribute=one.attribute
            )
            if not known:
                journal.scores.save(Score(id_of(sample), id_of(person), one.attribute, one.value))
            elif known[0].value != one.value:
                journal.scores.save(replace(known[0], value=one.value))

    def _plan(self, name: str) -> Plan:
        """The plan of that name here or built in, else a bare one that says so."""
        wanted = name or PAPER
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
                source=FROM_A_TABLE,
                note="Only what the table said is known of these makes.",
            )
        )

    def _tasting(self, at_ms: int, session: str) -> Tasting:
        """The session of that moment that came from a table, or a new one."""
        key = (at_ms, session)
        if key not in self._tastings:
            journal = self._journal
            known = journal.tastings.where(at_ms=at_ms, lifted_ms=at_ms, note=session)
            self._tastings[key] = (
                known[0]
                if known
                else journal.tastings.save(Tasting(at_ms, journal.zone, session, lifted_ms=at_ms))
            )
        return self._tastings[key]

    def _person(self, name: str) -> Assessor:
        wanted = name or NOBODY
        if wanted not in self._people:
            alike = {known.casefold(): one for known, one in self._people.items()}
            self._people[wanted] = alike.get(wanted.casefold()) or self._journal.assessors.save(
                Assessor(wanted)
            )
        return self._people[wanted]


def _state(journal: Journal, make: Make) -> tuple[object, ...]:
    """What a table can change of a make."""
    whole = journal.whole(id_of(make))
    return whole.make, whole.entered, whole.additions, whole.wheels, whole.scores


def _entered(make_id: int, one: PastVariable) -> Entered:
    return Entered(make_id, one.name, one.value, one.text, one.unit)


def _addition(make: Make, kind: str, amount: float, unit: str) -> Addition:
    return Addition(id_of(make), 0, kind, kind, amount, unit, make.started_ms)


def _gone_ms(past: PastMake, wheel: PastWheel) -> int:
    """When a wheel was gone: as the table says, else once it was tasted last."""
    last = max((one.tasted_ms for one in wheel.given), default=past.tasted_ms)
    return max(last if wheel.gone_ms is None else wheel.gone_ms, past.started_ms)


def _why_gone(wheel: PastWheel) -> str:
    return "gone" if wheel.gone_ms is None else "eaten"


_Mark = tuple[int, str, frozenset[object], frozenset[object], frozenset[object]]


def _mark(past: PastMake) -> _Mark:
    """What a make says, to recognise it: its day, name, values, scores, weights and wheels."""
    values = frozenset(
        [*((v.name, v.value, v.text) for v in past.variables),
         *((use.kind, use.amount, use.unit) for use in past.used)]
    )  # fmt: skip
    scores = frozenset(
        (one.tasted_ms, one.who or NOBODY, one.attribute, one.value)
        for wheel in past.wheels
        for one in wheel.given
    )
    wheels = frozenset((wheel.kg or 0.0, bool(wheel.there), wheel.gone_ms) for wheel in past.wheels)
    return past.started_ms, past.name.casefold(), values, scores, wheels


class _There:
    """The makes of a journal that came from tables: finished as they began, with no stage run."""

    def __init__(self, journal: Journal, dates: set[int]) -> None:
        self._makes = [
            make
            for make in journal.makes.all()
            if make.finished_ms == make.started_ms and not journal.runs.where(make_id=make.id)
        ]
        self.marks = {self._mark(journal, make) for make in self._makes if make.started_ms in dates}
        self._names = Counter(make.name.casefold() for make in self._makes)

    def match(self, past: PastMake, *, alone: bool) -> Make | None:
        """The make that a row is about: of its code, of its name and day, of its name where only
        one has it, of its day where one make is of that day on either side."""
        same_day = [one for one in self._makes if one.started_ms == past.started_ms]
        name = past.name.casefold()
        for found in (
            [one for one in self._makes if past.code and one.code == past.code],
            [one for one in same_day if name and one.name.casefold() == name],
            [one for one in self._makes if name and one.name.casefold() == name
             and self._names[name] == 1],
            [one for one in same_day if alone and not past.code
             and not (name and one.name and one.name.casefold() != name)],
        ):  # fmt: skip
            if len(found) == 1:
                self._makes.remove(found[0])
                return found[0]
        return None

    @staticmethod
    def _mark(journal: Journal, make: Make) -> _Mark:
        whole = journal.whole(id_of(make))
        values = frozenset(
            [*((e.name, e.value, e.text) for e in whole.entered),
             *((a.kind, a.amount, a.unit) for a in whole.additions)]
        )  # fmt: skip
        scores = frozenset((s.at_ms, s.assessor, s.attribute, s.value) for s in whole.scores)
        wheels = frozenset(
            (w.green_weight_kg or 0.0, w.gone_ms is None,
             w.gone_ms if w.gone_why == "eaten" else None)
            for w in whole.wheels
        )  # fmt: skip
        name = "" if make.name == whole.plan.name else make.name.casefold()
        return make.started_ms, name, values, scores, wheels
