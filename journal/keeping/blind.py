"""Blind sessions: set up, scored code by code, and revealed; nothing here tells what a code is
before that, but the helper's key."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from journal.keeping.all_keepers import Keepers
from journal.keeping.errors import KeepingError
from journal.keeping.scored_samples import ScoredSample, read_scored, save_scored
from journal.keeping.sessions import SessionKeeper
from journal.records import id_of
from journal.records.tastings import OPEN, SHUFFLED, Sample, Serving, Tasting


@dataclass(frozen=True)
class SampleIdentity:
    """What a sample is: a wheel, or a cheese from elsewhere under a name."""

    wheel_id: int | None = None
    reference: str = ""


@dataclass(frozen=True)
class ServingRow:
    """A sample as an assessor gets it, without a word of what it is."""

    id: int
    sample_id: int
    assessor_id: int
    assessor: str
    position: int
    code: str
    given: int  # how many scores, defects and notes were kept


@dataclass(frozen=True)
class KeyRow:
    """For the helper alone: what a code stands on."""

    assessor: str  # "" where the code is the same for everyone
    code: str
    cheese: str


@dataclass(frozen=True)
class BlindSessionRow:
    """One blind session of the list, and how far it is; not a word of what was given."""

    tasting: Tasting
    samples: int
    people: tuple[str, ...]
    servings: int
    given: int  # servings with something kept


@dataclass(frozen=True)
class NextServing:
    """What a helper needs to serve one person more: nothing of it is for who tastes.

    `cheeses` has one a sample; `orders` the samples' numbers for each assessor; `labels` the
    codes on the samples themselves; `taken` every code in use.
    """

    cheeses: tuple[SampleIdentity, ...]
    orders: tuple[tuple[int, ...], ...]
    labels: tuple[str, ...]
    taken: tuple[str, ...]


@dataclass(frozen=True)
class RevealedRow:
    """A sample of a revealed session: what it was, and all that was given to it."""

    sample_id: int
    wheel_id: int | None
    name: str
    started_ms: int | None  # of its make
    codes: tuple[str, ...]
    all_scored: tuple[tuple[str, ScoredSample], ...]  # by assessor


_SERVINGS = """
select v.id, v.sample_id, v.assessor_id, a.name, v.position, v.code,
       (select count(*) from score x where x.sample_id = v.sample_id
          and x.assessor_id = v.assessor_id)
       + (select count(*) from defect_mark x where x.sample_id = v.sample_id
          and x.assessor_id = v.assessor_id)
       + (select count(*) from sample_note x where x.sample_id = v.sample_id
          and x.assessor_id = v.assessor_id)
from serving v
join sample p on p.id = v.sample_id
join assessor a on a.id = v.assessor_id
where p.tasting_id = ?
order by (select min(y.id) from serving y join sample q on q.id = y.sample_id
          where q.tasting_id = p.tasting_id and y.assessor_id = v.assessor_id), v.position
"""

_NAMES = """
select p.id, coalesce(w.code, p.reference) from sample p left join wheel w on w.id = p.wheel_id
where p.tasting_id = ? order by p.id
"""

# Samples of wheels in the bin: a session that was revealed shows them no more.
_DELETED = """
select p.id from sample p join wheel w on w.id = p.wheel_id
where p.tasting_id = ? and w.binned_ms is not null
"""


class BlindKeeper:
    """Keeps sessions hidden."""

    def __init__(self, db: sqlite3.Connection, journal: Keepers, sessions: SessionKeeper) -> None:
        self._db = db
        self._journal = journal
        self._sessions = sessions

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
        if tasting.coding == OPEN or tasting.lifted_ms is not None:
            raise KeepingError("keeping.blind-needs-codes")
        for cheese in cheeses:
            if cheese.wheel_id is not None:
                self._sessions.wheel_made_by(cheese.wheel_id, tasting.at_ms)
        with self._journal.unit("keeping.act-lay-out-sitting", initiator):
            saved = self._journal.tastings.save(tasting)
            samples = self._journal.samples.save_many(
                Sample(id_of(saved), c.wheel_id, label, c.reference)
                for c, label in zip(cheeses, labels, strict=True)
            )
            for name, order, own in zip(names, orders, codes, strict=True):
                who = self._sessions.known_or_new(name)
                self._journal.servings.save_many(
                    Serving(id_of(samples[i]), id_of(who), place, code)
                    for place, (i, code) in enumerate(zip(order, own, strict=True))
                )
        return saved

    def hidden_sessions(self) -> list[Tasting]:
        """The sessions set up and not revealed yet, oldest first."""
        return [t for t in self._journal.tastings.all() if t.coding != OPEN and t.lifted_ms is None]

    def revealed(self) -> list[Tasting]:
        """The blind sessions that were revealed, oldest first."""
        return [
            t for t in self._journal.tastings.all() if t.coding != OPEN and t.lifted_ms is not None
        ]

    def rows(self) -> list[BlindSessionRow]:
        """Every blind session, the newest first."""
        out = []
        for tasting in self._journal.tastings.all():
            if tasting.coding == OPEN:
                continue
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
        self._check_covered(tasting_id)
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
        """Have one more taste at a session hidden, as one unit.

        Parameters
        ----------
        order, codes
            The samples' numbers as `board` counts them, in serving order, and their codes.

        Raises
        ------
        KeepingError
            When it was revealed, nobody is named, or they sit there already.
        """
        self._check_covered(tasting_id)
        plain = " ".join(name.split())
        if not plain:
            raise KeepingError("keeping.nobody-joins")
        there = {one.assessor.casefold() for one in self.servings(tasting_id)}
        if plain.casefold() in there:
            raise KeepingError("keeping.sits-already", person=plain)
        samples = self._journal.samples.where(tasting_id=tasting_id)
        with self._journal.unit("keeping.act-join-sitting", initiator, person=plain):
            who = self._sessions.known_or_new(plain)
            self._journal.servings.save_many(
                Serving(id_of(samples[i]), id_of(who), place, code)
                for place, (i, code) in enumerate(zip(order, codes, strict=True))
            )

    def _check_covered(self, tasting_id: int) -> None:
        if self._journal.tastings.get(tasting_id).lifted_ms is not None:
            raise KeepingError("keeping.session-revealed")

    def servings(self, tasting_id: int) -> list[ServingRow]:
        """Everyone's samples in serving order, the assessors as they were named."""
        return [ServingRow(*row) for row in self._db.execute(_SERVINGS, [tasting_id])]

    def scored(self, serving_id: int) -> ScoredSample | None:
        """What was given to a serving; None when nothing yet."""
        serving = self._journal.servings.get(serving_id)
        return read_scored(self._journal, serving.sample_id, serving.assessor_id)

    def give(self, serving_id: int, scored: ScoredSample, initiator: object | None = None) -> None:
        """Save a serving's scored sample as one unit, in the place of what was kept before.

        Raises
        ------
        KeepingError
            When the sample has neither score, defect nor note, or it was revealed already.
        """
        if scored.empty:
            raise KeepingError("keeping.sample-empty")
        serving = self._journal.servings.get(serving_id)
        sample = self._journal.samples.get(serving.sample_id)
        if self._journal.tastings.get(sample.tasting_id).lifted_ms is not None:
            raise KeepingError("keeping.scored-blind")
        with self._journal.unit("keeping.act-score", initiator, code=serving.code):
            save_scored(self._journal, serving.sample_id, serving.assessor_id, scored)

    def key(self, tasting_id: int) -> list[KeyRow]:
        """For the helper alone: what each code stands on, by cheese."""
        names = dict(self._db.execute(_NAMES, [tasting_id]).fetchall())
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

    def uncovered(self, tasting_id: int) -> list[RevealedRow]:
        """Every sample of a revealed session; KeepingError while it is hidden."""
        if self._journal.tastings.get(tasting_id).lifted_ms is None:
            raise KeepingError("keeping.session-hidden")
        names = dict(self._db.execute(_NAMES, [tasting_id]).fetchall())
        servings = self.servings(tasting_id)
        deleted = {row[0] for row in self._db.execute(_DELETED, [tasting_id])}
        out = []
        for sample in self._journal.samples.where(tasting_id=tasting_id):
            if sample.id in deleted:
                continue
            own = [v for v in servings if v.sample_id == sample.id]
            all_scored = [(v.assessor, read_scored(self._journal, v.sample_id, v.assessor_id))
                     for v in own]  # fmt: skip
            out.append(
                RevealedRow(
                    id_of(sample), sample.wheel_id, names[sample.id], self._begun(sample),
                    tuple(dict.fromkeys(v.code for v in own)),
                    tuple((who, scored) for who, scored in all_scored if scored is not None),
                )
            )  # fmt: skip
        return out

    def _begun(self, sample: Sample) -> int | None:
        if sample.wheel_id is None:
            return None
        wheel = self._journal.wheels.get(sample.wheel_id)
        return self._journal.makes.get(wheel.make_id).started_ms


def _newest_first(row: BlindSessionRow) -> tuple[int, int]:
    return -row.tasting.at_ms, -id_of(row.tasting)
