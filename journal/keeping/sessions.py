"""Sessions of tasting, open or under codes: what each assessor gave each sample, read and saved as
one; what a code is stays hidden until it is revealed."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import replace

from journal.keeping import session_queries as queries
from journal.keeping.all_keepers import Keepers
from journal.keeping.errors import KeepingError
from journal.keeping.scored_samples import ScoredSample, read_scored, save_scored
from journal.keeping.session_rows import (
    BlindSessionRow,
    GivenRow,
    KeyRow,
    NextServing,
    OpenServing,
    PanelScore,
    RevealedRow,
    SampleIdentity,
    ServingKey,
    ServingRow,
    SessionMean,
    SessionRow,
    WheelRow,
)
from journal.keeping.sums import leaving_out
from journal.records import id_of
from journal.records.instants import DAY_MS, local
from journal.records.tastings import NOBODY, SHUFFLED, Assessor, Sample, Serving, Tasting
from journal.records.verdicts import read_verdict
from journal.records.wheels import Wheel


class SessionKeeper:
    """Keeps and reads tastings a scored sample at a time, over the keepers of the single nouns."""

    def __init__(self, db: sqlite3.Connection, journal: Keepers) -> None:
        self._db = db
        self._journal = journal

    def wheels(self) -> list[WheelRow]:
        """Every wheel there is, newest make first."""
        with leaving_out(self._db):
            rows = self._db.execute(queries.WHEELS).fetchall()
        out = []
        for row in rows:
            verdict = read_verdict(row[10])
            out.append(WheelRow(*(*row[:6], bool(row[6]), *row[7:9], bool(row[9]), verdict)))
        return out

    def all(self) -> list[SessionRow]:
        """Every session with scores, oldest first."""
        return [SessionRow(*row) for row in self._db.execute(queries.SESSIONS)]

    def of_wheel(self, wheel_id: int) -> list[GivenRow]:
        """Every score of a wheel, oldest first."""
        return [
            GivenRow(*row)
            for row in self._db.execute(queries.GIVEN.format(which="w.id"), [wheel_id])
        ]

    def means_of(self, wheel_id: int) -> list[SessionMean]:
        """What a wheel got at each revealed session, oldest first."""
        return [SessionMean(*row) for row in self._db.execute(queries.MEANS, [wheel_id])]

    def makes_of_its_plan(self, wheel_id: int) -> int:
        """How many makes the plan of a wheel was run in: so many are looked into for the best."""
        return int(self._db.execute(queries.MAKES_OF_ITS_PLAN, [wheel_id]).fetchone()[0])

    def best_beside(self, wheel_id: int) -> list[SessionMean]:
        """What the best wheel of a wheel's plan got at its best revealed session."""
        found = [
            [one for one in self.means_of(wheel) if one.tasting_id == tasting]
            for wheel, tasting in self._db.execute(queries.BEST_FIRST, [wheel_id]).fetchall()
        ]
        overall = [
            next((m.mean for m in one if m.attribute == queries.OVERALL), -1.0) for one in found
        ]
        return found[overall.index(max(overall))] if found else []

    def scored_samples_of(self, wheel_id: int, but: int) -> list[tuple[int, str, ScoredSample]]:
        """Every scored sample of a wheel at revealed sessions other than one: when, by whom, what;
        the latest first."""
        names = {a.id: a.name for a in self._journal.assessors.all()}
        out = []
        for tasting_id, at_ms, sample_id in self._db.execute(queries.SERVED, [wheel_id]):
            if tasting_id == but:
                continue
            for who, name in names.items():
                scored = read_scored(self._journal, sample_id, who or 0)
                if scored is not None:
                    out.append((at_ms, name, scored))
        return out

    def of_session(self, tasting_id: int) -> list[GivenRow]:
        """Every score given at a session, in the order they were kept."""
        rows = self._db.execute(queries.GIVEN.format(which="g.id"), [tasting_id])
        return [GivenRow(*row) for row in rows]

    def for_panel(self, attribute: str) -> list[PanelScore]:
        """Every score of an attribute at a revealed session, oldest first."""
        return [PanelScore(*row) for row in self._db.execute(queries.PANEL, [attribute])]

    def named_defects(self) -> list[tuple[int, str, str]]:
        """Every defect named at a revealed session: sample, assessor, term."""
        return [(int(s), str(a), str(t)) for s, a, t in self._db.execute(queries.NAMED)]

    def attributes(self) -> list[tuple[str, int]]:
        """The attributes there are scores for, with how many, the first used first."""
        return [(str(name), int(count)) for name, count in self._db.execute(queries.ATTRIBUTES)]

    def any_scored(self) -> bool:
        """Whether there are scores for any attribute."""
        return bool(self._db.execute(queries.ANY).fetchone()[0])

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
        near = self._db.execute(queries.NEAR, (at_ms - 2 * DAY_MS, at_ms + 2 * DAY_MS)).fetchall()
        return [
            t
            for t in self._journal.tastings.of_any("id", [key for (key,) in near])
            if not t.coded and local(t.at_ms, zone).date() == day
        ]

    def sample_on(self, wheel_id: int, at_ms: int) -> Sample | None:
        """The wheel as it stands at a tasting of that day; None when it does not yet."""
        for tasting in self.on_day(at_ms):
            found = self._journal.samples.where(tasting_id=tasting.id, wheel_id=wheel_id)
            if found:
                return found[0]
        return None

    def scored(self, serving: ServingKey) -> ScoredSample | None:
        """What was given to a serving; None when nothing yet."""
        if not isinstance(serving, OpenServing):
            one = self._journal.servings.get(serving)
            return read_scored(self._journal, one.sample_id, one.assessor_id)
        sample = self.sample_on(serving.wheel_id, serving.at_ms)
        who = self.assessor(serving.assessor)
        if sample is None or who is None:
            return None
        return read_scored(self._journal, id_of(sample), id_of(who))

    def give(
        self, serving: ServingKey, scored: ScoredSample, initiator: object | None = None
    ) -> Sample:
        """Save a scored sample as one unit: everything the assessor gave it, in place of what was
        saved before.

        A wheel that is served openly joins the day's open session, and a new one begins where
        there is none; an assessor not known yet is added.

        Raises
        ------
        KeepingError
            When the sample has neither score, defect nor note, nobody is named, the wheel was not
            made yet on that day, or a coded session was revealed already.
        """
        if scored.empty:
            raise KeepingError("keeping.sample-empty")
        code = self._code_to_score(serving)
        with self._journal.unit("keeping.act-score", initiator, code=code):
            sample, who = self._begun(serving)
            save_scored(self._journal, id_of(sample), who, scored)
        return sample

    def _code_to_score(self, serving: ServingKey) -> str:
        if isinstance(serving, OpenServing):
            if not serving.assessor.strip():
                raise KeepingError("keeping.nobody-tastes")
            return self.wheel_made_by(serving.wheel_id, serving.at_ms).code
        one = self._journal.servings.get(serving)
        sample = self._journal.samples.get(one.sample_id)
        if not self._journal.tastings.get(sample.tasting_id).hidden:
            raise KeepingError("keeping.scored-blind")
        return one.code

    def _begun(self, serving: ServingKey) -> tuple[Sample, int]:
        if not isinstance(serving, OpenServing):
            one = self._journal.servings.get(serving)
            return self._journal.samples.get(one.sample_id), one.assessor_id
        who, at_ms = self.known_or_new(serving.assessor), serving.at_ms
        found = self.sample_on(serving.wheel_id, at_ms)
        return found or self._new_sample(serving.wheel_id, at_ms), id_of(who)

    def _new_sample(self, wheel_id: int, at_ms: int) -> Sample:
        opened = [t for t in self.on_day(at_ms) if t.lifted_ms is not None]
        tasting = (
            opened[-1]
            if opened
            else self._journal.tastings.save(Tasting(at_ms, self._journal.zone, lifted_ms=at_ms))
        )
        return self._journal.samples.save(Sample(id_of(tasting), wheel_id))

    # Under codes: set up, served, revealed; nothing here tells what a code is before that, but the
    # helper's key

    def set_up(
        self,
        tasting: Tasting,
        cheeses: Sequence[SampleIdentity],
        people: Sequence[str],
        orders: Sequence[Sequence[int]],
        codes: Sequence[Sequence[str]],
        labels: Sequence[str],
        initiator: object | None = None,
    ) -> Tasting:
        """Keep a session as one unit: its samples, who gets which when, and under which code.

        Parameters
        ----------
        tasting
            With its coding and its sheet, not revealed.
        cheeses
            One a sample; the same twice for a double.
        people, orders, codes
            Who tastes; for each the samples' numbers in serving order, and their codes.
        labels
            For each sample the code on itself, "" where it has none.

        Raises
        ------
        KeepingError
            When nobody or nothing is named, someone twice, or a wheel was not made yet.
        """
        names = [" ".join(name.split()) for name in people]
        if not cheeses:
            raise KeepingError("keeping.nothing-to-taste")
        if not names:
            raise KeepingError("keeping.nobody-tastes")
        if len({name.casefold() for name in names}) < len(names):
            raise KeepingError("keeping.same-person-twice")
        if not tasting.hidden:
            raise KeepingError("keeping.blind-needs-codes")
        for cheese in cheeses:
            if cheese.wheel_id is not None:
                self.wheel_made_by(cheese.wheel_id, tasting.at_ms)
        with self._journal.unit("keeping.act-lay-out-sitting", initiator):
            saved = self._journal.tastings.save(tasting)
            samples = self._journal.samples.save_many(
                Sample(id_of(saved), c.wheel_id, label, c.reference)
                for c, label in zip(cheeses, labels, strict=True)
            )
            for name, order, own in zip(names, orders, codes, strict=True):
                who = self.known_or_new(name)
                self._journal.servings.save_many(
                    Serving(id_of(samples[i]), id_of(who), position, code)
                    for position, (i, code) in enumerate(zip(order, own, strict=True))
                )
        return saved

    def coded(self) -> list[Tasting]:
        """The sessions under codes, oldest first."""
        return [t for t in self._journal.tastings.all() if t.coded]

    def hidden_sessions(self) -> list[Tasting]:
        """The sessions set up and not revealed yet, oldest first."""
        return [t for t in self.coded() if t.hidden]

    def revealed(self) -> list[Tasting]:
        """The blind sessions that were revealed, oldest first."""
        return [t for t in self.coded() if not t.hidden]

    def rows(self) -> list[BlindSessionRow]:
        """Every blind session, the newest first."""
        out = []
        for tasting in self.coded():
            found = self.servings(id_of(tasting))
            out.append(
                BlindSessionRow(
                    tasting,
                    len({one.sample_id for one in found}),
                    tuple(dict.fromkeys(one.assessor for one in found)),
                    len(found),
                    sum(bool(one.given) for one in found),
                )
            )
        return sorted(out, key=_newest_first)

    def board(self, tasting_id: int) -> NextServing:
        """A session hidden as it is served; KeepingError when it is revealed."""
        self._check_hidden(tasting_id)
        samples = self._journal.samples.where(tasting_id=tasting_id)
        number = {sample.id: k for k, sample in enumerate(samples)}
        orders: dict[int, list[int]] = {}
        found = self.servings(tasting_id)
        for one in found:
            orders.setdefault(one.assessor_id, []).append(number[one.sample_id])
        labels = tuple(sample.blind_code for sample in samples)
        return NextServing(
            tuple(SampleIdentity(sample.wheel_id, sample.reference) for sample in samples),
            tuple(tuple(order) for order in orders.values()),
            labels,
            tuple({*labels, *(one.code for one in found)} - {""}),
        )

    def join(
        self,
        tasting_id: int,
        name: str,
        order: Sequence[int],
        codes: Sequence[str],
        initiator: object | None = None,
    ) -> None:
        """Add one more assessor to a hidden session, as one unit.

        Parameters
        ----------
        order, codes
            The samples' numbers as `board` counts them, in serving order, and their codes.

        Raises
        ------
        KeepingError
            When it was revealed, nobody is named, or they sit there already.
        """
        self._check_hidden(tasting_id)
        plain = " ".join(name.split())
        if not plain:
            raise KeepingError("keeping.nobody-joins")
        there = {one.assessor.casefold() for one in self.servings(tasting_id)}
        if plain.casefold() in there:
            raise KeepingError("keeping.sits-already", person=plain)
        samples = self._journal.samples.where(tasting_id=tasting_id)
        with self._journal.unit("keeping.act-join-sitting", initiator, person=plain):
            who = self.known_or_new(plain)
            self._journal.servings.save_many(
                Serving(id_of(samples[i]), id_of(who), position, code)
                for position, (i, code) in enumerate(zip(order, codes, strict=True))
            )

    def _check_hidden(self, tasting_id: int) -> None:
        if self._journal.tastings.get(tasting_id).lifted_ms is not None:
            raise KeepingError("keeping.session-revealed")

    def servings(self, tasting_id: int) -> list[ServingRow]:
        """Everyone's samples in serving order, the assessors as they were named."""
        return [ServingRow(*row) for row in self._db.execute(queries.SERVINGS, [tasting_id])]

    def key(self, tasting_id: int) -> list[KeyRow]:
        """For the helper alone: what each code is, by cheese."""
        names = dict(self._db.execute(queries.NAMES, [tasting_id]).fetchall())
        samples = self._journal.samples.where(tasting_id=tasting_id)
        if all(sample.blind_code for sample in samples):
            rows = [KeyRow("", s.blind_code, names[s.id]) for s in samples]
        else:
            rows = [
                KeyRow(v.assessor, v.code, names[v.sample_id]) for v in self.servings(tasting_id)
            ]
        return rows

    def reveal(
        self,
        tasting_id: int,
        at_ms: int,
        under: Mapping[int, str] | None = None,
        initiator: object | None = None,
    ) -> Tasting:
        """Reveal it, as one unit.

        Parameters
        ----------
        under
            Where a helper shuffled the cups: for each cup, counted from 1, the code found under
            it.

        Raises
        ------
        KeepingError
            When it was revealed already, or the codes under the cups are not those of the session.
        """
        tasting = self._journal.tastings.get(tasting_id)
        if tasting.lifted_ms is not None:
            raise KeepingError("keeping.session-revealed")
        with self._journal.unit("keeping.act-lift-cloth", initiator):
            if tasting.coding == SHUFFLED:
                self._turn_cups(tasting_id, under or {})
            return self._journal.tastings.save(replace(tasting, lifted_ms=at_ms))

    def _turn_cups(self, tasting_id: int, under: Mapping[int, str]) -> None:
        """Give each cup the cheese whose code was found under it."""
        cups = self._journal.samples.where(tasting_id=tasting_id)
        by_code = {cup.blind_code: cup for cup in cups}
        wanted = [under.get(number + 1, "").strip() for number in range(len(cups))]
        if sorted(wanted) != sorted(by_code):
            raise KeepingError("keeping.codes-under-cups")
        for cup, code in zip(cups, wanted, strict=True):
            found = by_code[code]
            self._journal.samples.save(
                replace(cup, wheel_id=found.wheel_id, reference=found.reference, blind_code=code)
            )

    def take_away(self, tasting_id: int, initiator: object | None = None) -> None:
        """Take a session that was set up in error away (it can be undone)."""
        with self._journal.unit("keeping.act-take-sitting-away", initiator):
            self._journal.tastings.remove(tasting_id)

    def revealed_rows(self, tasting_id: int) -> list[RevealedRow]:
        """Every sample of a revealed session; KeepingError while it is hidden."""
        if self._journal.tastings.get(tasting_id).lifted_ms is None:
            raise KeepingError("keeping.session-hidden")
        names = dict(self._db.execute(queries.NAMES, [tasting_id]).fetchall())
        servings = self.servings(tasting_id)
        deleted = {row[0] for row in self._db.execute(queries.DELETED, [tasting_id])}
        out = []
        for sample in self._journal.samples.where(tasting_id=tasting_id):
            if sample.id in deleted:
                continue
            own = [v for v in servings if v.sample_id == sample.id]
            all_scored = [(v.assessor, read_scored(self._journal, v.sample_id, v.assessor_id))
                     for v in own]  # fmt: skip
            out.append(
                RevealedRow(
                    id_of(sample), sample.wheel_id, names[sample.id], self._started(sample),
                    tuple(dict.fromkeys(v.code for v in own)),
                    tuple((who, scored) for who, scored in all_scored if scored is not None),
                )
            )  # fmt: skip
        return out

    def _started(self, sample: Sample) -> int | None:
        if sample.wheel_id is None:
            return None
        wheel = self._journal.wheels.get(sample.wheel_id)
        return self._journal.makes.get(wheel.make_id).started_ms


def _newest_first(row: BlindSessionRow) -> tuple[int, int]:
    return -row.tasting.at_ms, -id_of(row.tasting)
