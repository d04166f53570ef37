"""Writes the Hollow Lane kitchen into a journal file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from journal.findings.orders import williams
from journal.keeping import Journal
from journal.keeping.seats import COMMAND
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.instants import now_ms as present
from journal.records.makes import Ingredient, Make
from journal.records.panel_tests import TRIANGLE, PanelItem, PanelSet, PanelTest
from journal.records.plans import Plan
from journal.records.series import SeriesMake
from journal.records.tastings import (
    BY_SAMPLE,
    OPEN,
    Assessor,
    DefectMark,
    Sample,
    SampleNote,
    Score,
    Serving,
    Tasting,
)
from journal.records.wheels import AirReading, Room
from journal.sample.design import NOTEBOOK, ROUND
from journal.sample.entries import (
    additions,
    care_entries,
    make_entry,
    notes,
    run_entries,
    wheel_entries,
)
from journal.sample.made import ZONE, Made, SimulatedCheese, made, series_of
from journal.sample.panel import ScoreSheet, SimulatedSession, Tasted, sessions
from journal.sample.ripening import ROOMS, air_at
from journal.sample.seeds import MAKE, PANEL, ROOM, identity, key_of, stream
from journal.sample.sensors import SensorReadings, loggers, typed
from journal.sample.series import MAKES as SERIES_MAKES
from journal.sample.series import SimulatedSeries
from journal.sample.stock import bath_events, bath_of, bath_stays, mothers_of, packets_of
from journal.sample.triangle import SimulatedTriangle, triangle
from journal.sample.truth import ASSESSORS

MAKES = NOTEBOOK + ROUND  # in the kitchen's notebook, and in the journal since
_MISREAD = 0.41
_AIR_EVERY_DAYS = 3.0


def write_sample(
    path: str | Path,
    *,
    seed: int = 1,
    makes: int = MAKES,
    readings_per_make: int | None = None,
    now_ms: int | None = None,
    progress: Callable[[float], None] | None = None,
) -> None:
    """Write the sample journal: the same for the same seed, numbers and `now_ms`.

    Parameters
    ----------
    path : path of a file that does not exist yet
    seed : any integer from 0
    makes : at least 1; the newest is in its cook at `now_ms`
    readings_per_make : how many readings the loggers leave at each make (what people typed comes
        on top); by default one of the milk a minute for eight hours and one of the room each five
    now_ms : the instant the sample leads up to, UTC milliseconds; by default the present
    progress : is called with how far it is, 0 to 1

    Raises
    ------
    KeepingError
        When the file exists or cannot be written. A file begun here is deleted again.
    """
    now = present() if now_ms is None else now_ms
    where = Path(path)
    journal = Journal.create(where, letters="HL", zone=ZONE, seat=COMMAND)
    try:
        with journal:
            _KitchenWriter(journal, seed, now, readings_per_make).write(makes, progress)
    except BaseException:
        for leftover in (where, Path(f"{where}-wal"), Path(f"{where}-shm")):
            leftover.unlink(missing_ok=True)
        raise


class _KitchenWriter:
    """Writes the kitchen piece by piece, and remembers what later pieces refer to."""

    def __init__(self, journal: Journal, seed: int, now_ms: int, readings: int | None) -> None:
        self.journal = journal
        self.seed = seed
        self.now_ms = now_ms
        self.readings = readings
        self.plans: dict[str, Plan] = {}  # by the uuid they were drawn with
        self.wheels: dict[SimulatedCheese, int] = {}
        self.stock: list[Ingredient] = []
        self.rooms: list[int] = []
        self.people: dict[str, int] = {}
        self.series: dict[int, SeriesMake] = {}  # by the number of its make
        self._series: SimulatedSeries | None = None

    def write(self, makes: int, progress: Callable[[float], None] | None) -> None:
        kitchen = made(self.seed, makes, self.now_ms)
        with self.journal.unit("set up the kitchen"):
            self._furnish(kitchen)
        self._series = series_of(self.seed, makes)
        sat = sessions(self.seed, kitchen, self.now_ms)
        noted = self._write_notebook(kitchen, sat)
        for done, one in enumerate(kitchen, start=1):
            if one.noted:
                continue
            with self.journal.unit(one.code):
                if one.number == SERIES_MAKES[0]:
                    self._write_series(one)
                self._write_make(one)
            if progress is not None:
                progress(0.9 * done / len(kitchen))
        for session in sat[noted:]:
            with self.journal.unit("a session"):
                self._write_session(session)
        test = triangle(self.seed, kitchen, sat)
        if test is not None:
            with self.journal.unit("a triangle test"):
                self._write_triangle(test)
        if progress is not None:
            progress(1.0)

    def _write_notebook(self, kitchen: list[Made], sat: list[SimulatedSession]) -> int:
        """What was kept on paper, brought in at once; how many sessions were of it alone."""
        first = next(one.started_ms for one in kitchen if not one.noted)
        noted = [session for session in sat if session.at_ms < first]
        with self.journal.unit("the notebook"):
            for one in kitchen:
                if one.noted:
                    self._write_make(one)
            for session in noted:
                self._write_session(session)
        return len(noted)

    def _furnish(self, kitchen: list[Made]) -> None:
        rng = stream(self.seed, ROOM)
        journal = self.journal
        self.stock = journal.ingredients.save_many(packets_of(self.seed, self.now_ms))
        self._stock_up()
        rooms = journal.rooms.save_many(
            Room(air.name, air.temp_c, air.humidity_pct, uuid=identity(rng)) for air in ROOMS
        )
        self.rooms = [id_of(room) for room in rooms]
        people = journal.assessors.save_many(
            Assessor(name, uuid=identity(rng)) for name in ASSESSORS
        )
        self.people = {person.name: id_of(person) for person in people}
        first = next(one.started_ms for one in kitchen if not one.noted)
        apart = round(_AIR_EVERY_DAYS * DAY_MS)
        older = stream(self.seed, ROOM, 1)  # of the notebook, back in time
        for at_ms in range(first - apart, kitchen[0].started_ms, -apart):
            journal.airs.save_many(self._air(older, i, at_ms) for i in range(len(ROOMS)))
        for at_ms in range(first, self.now_ms, apart):
            journal.airs.save_many(self._air(rng, i, at_ms) for i in range(len(ROOMS)))

    def _stock_up(self) -> None:
        journal = self.journal
        self.bath = bath = journal.brines.save(bath_of(self.seed, self.now_ms))
        journal.brine_events.save_many(bath_events(self.seed, self.now_ms, id_of(bath)))
        last: int | None = None
        for one in mothers_of(self.seed, self.now_ms):
            last = journal.generations.save(replace(one, parent_id=last)).id

    def _air(self, rng: np.random.Generator, i: int, at_ms: int) -> AirReading:
        temp, humidity = air_at(rng, ROOMS[i], at_ms, ZONE)
        return AirReading(self.rooms[i], at_ms, temp, humidity, uuid=identity(rng))

    def _write_make(self, one: Made) -> None:
        rng = stream(self.seed, MAKE, 2, key_of(one.number))
        journal = self.journal
        make = journal.makes.save(make_entry(rng, one, self._plan(one.day.plan)))
        key = id_of(make)
        if one.number in self.series:
            planned = self.series[one.number]
            journal.series_makes.save(replace(planned, make_id=key))
        journal.runs.save_many(run_entries(rng, one, key))
        journal.additions.save_many(additions(rng, one, key, self.stock))
        journal.notes.save_many(notes(rng, one, key))
        self._write_readings(rng, one, key)
        self._write_wheels(rng, one, make)

    def _plan(self, plan: Plan) -> Plan:
        if plan.uuid not in self.plans:
            self.plans[plan.uuid] = self.journal.plans.save(plan)
        return self.plans[plan.uuid]

    def _write_series(self, first: Made) -> None:
        """The series, set up with a plan set aside for each of its makes."""
        planned, journal = self._series, self.journal
        if planned is None:
            return
        base = self._plan(planned.base)
        series = replace(planned.begun(first.started_ms), plan_id=id_of(base))
        key = id_of(journal.series.save(series))
        together = zip(SERIES_MAKES, planned.plans, planned.wanted, strict=True)
        for i, (number, plan, wanted) in enumerate(together):
            one = SeriesMake(key, i, 0, wanted, uuid=plan.uuid)
            self.series[number] = journal.series_makes.save(one)
            self.plans[plan.uuid] = journal.plans.save_aside(plan)

    def _write_readings(self, rng: np.random.Generator, one: Made, make_id: int) -> None:
        for read in loggers(rng, one, self.readings):
            self.journal.readings.add_many(make_id, read.kind, read.at_ms, read.value, "logger")
        for read in typed(rng, one, one.day.plan.mould_mm or 0.0):
            if one.running:
                self._log(make_id, read)
            else:
                self.journal.readings.add_many(make_id, read.kind, read.at_ms, read.value)
            if read.kind == "curd-ph" and one.code[-1] in "05" and not one.running:
                self._strike(make_id, read)

    def _log(self, make_id: int, read: SensorReadings) -> None:
        for at_ms, value in zip(read.at_ms.tolist(), read.value.tolist(), strict=True):
            self.journal.readings.log(make_id, read.kind, value, at_ms)

    def _strike(self, make_id: int, read: SensorReadings) -> None:
        """A pH electrode not yet rinsed: read far off, struck out and read again."""
        at_ms, value = int(read.at_ms[1]) - 60_000, round(float(read.value[1]) - _MISREAD, 2)
        self.journal.readings.log(make_id, read.kind, value, at_ms)
        self.journal.readings.strike(make_id, read.kind, at_ms, value)

    def _write_wheels(self, rng: np.random.Generator, one: Made, make: Make) -> None:
        journal = self.journal
        wheels = journal.wheels.save_many(wheel_entries(rng, one, make, self.rooms, self.now_ms))
        if one.intent.version.washed:
            journal.brine_stays.save_many(
                bath_stays(self.seed, one.number, self.bath, make, wheels)
            )
        for cheese, wheel in zip(one.cheeses, wheels, strict=True):
            self.wheels[cheese] = id_of(wheel)
            cares, weighings = care_entries(rng, one, wheel, make.finished_ms or 0, self.now_ms)
            journal.cares.save_many(cares)
            journal.weighings.save_many(weighings)

    def _write_session(self, session: SimulatedSession) -> None:
        rng = stream(self.seed, PANEL, 1, session.at_ms // 60_000)
        tasting = self.journal.tastings.save(
            Tasting(
                session.at_ms, ZONE, lifted_ms=session.lifted_ms,
                coding=BY_SAMPLE if session.doubled else OPEN, uuid=identity(rng),
            )
        )  # fmt: skip
        samples = self.journal.samples.save_many(
            self._sample(rng, tasted, id_of(tasting)) for tasted in session.tasted
        )
        for tasted, sample in zip(session.tasted, samples, strict=True):
            for given in tasted.given:
                self._write_given(rng, given, id_of(sample))
        if session.doubled:
            self._write_servings(session, samples)

    def _write_servings(self, session: SimulatedSession, samples: list[Sample]) -> None:
        """Who got which sample when, at a session with codes."""
        rng = stream(self.seed, PANEL, 4, session.at_ms // 60_000)
        there = list(dict.fromkeys(g.assessor for t in session.tasted for g in t.given))
        many = len(samples)
        orders = rng.permutation(many)[williams(many)][rng.permutation(many)[: len(there)]]
        for name, order in zip(there, orders.tolist(), strict=True):
            self.journal.servings.save_many(
                Serving(
                    id_of(samples[i]), self.people[name], position, samples[i].blind_code,
                    uuid=identity(rng),
                )
                for position, i in enumerate(order)
            )  # fmt: skip

    def _write_triangle(self, test: SimulatedTriangle) -> None:
        rng = stream(self.seed, PANEL, 5, 1)
        journal = self.journal
        kept = journal.panel_tests.save(
            PanelTest(test.at_ms, ZONE, TRIANGLE, lifted_ms=test.lifted_ms, uuid=identity(rng))
        )
        key = id_of(kept)
        journal.panel_items.save_many(
            PanelItem(key, number, self.wheels[cheese], uuid=identity(rng))
            for number, cheese in enumerate(test.cheeses)
        )
        journal.panel_sets.save_many(
            PanelSet(
                key, number, self.people[answers.assessor],
                answers.served.cups, answers.served.codes,
                (answers.named,), uuid=identity(rng),
            )
            for number, answers in enumerate(test.answers)
        )  # fmt: skip

    def _sample(self, rng: np.random.Generator, tasted: Tasted, tasting_id: int) -> Sample:
        wheel = self.wheels[tasted.cheese]
        return Sample(tasting_id, wheel, tasted.blind_code, uuid=identity(rng))

    def _write_given(self, rng: np.random.Generator, given: ScoreSheet, sample_id: int) -> None:
        journal, person = self.journal, self.people[given.assessor]
        journal.scores.save_many(
            Score(sample_id, person, attribute, value, uuid=identity(rng))
            for attribute, value in given.scores.items()
        )
        journal.defects.save_many(
            DefectMark(sample_id, person, group, term, strength, uuid=identity(rng))
            for group, term, strength in given.defects
        )
        if given.words:
            journal.sample_notes.save(
                SampleNote(sample_id, person, given.words, uuid=identity(rng))
            )
