"""A whole make: one make with everything that belongs to it, as curves and findings read it."""

from __future__ import annotations

from dataclasses import dataclass, field

from journal.records.calibrations import Calibration
from journal.records.makes import (
    Addition,
    Entered,
    Ingredient,
    Make,
    Note,
    StageRun,
    failure_note,
    running_run,
)
from journal.records.milk_lots import Poured
from journal.records.plans import Plan
from journal.records.stays import AirHad, air_had, moves_of, stays_of
from journal.records.tastings import DefectMark
from journal.records.timers import Timer
from journal.records.traces import AirTrace, Trace
from journal.records.verdicts import Verdict
from journal.records.wheels import Care, Removal, Room, Weighing, Wheel


@dataclass(frozen=True)
class ScoreGiven:
    """One score with all it needs to be weighed: which wheel, which session, who, at what age."""

    wheel_code: str
    tasting_id: int
    assessor: str
    attribute: str
    value: float
    at_ms: int


@dataclass(frozen=True)
class NamedDefect:
    """A defect an assessor named: of which wheel, at which session, and when."""

    wheel_code: str
    tasting_id: int
    assessor: str
    term: str
    strength: str
    at_ms: int


@dataclass(frozen=True)
class WholeMake:
    """A make, its plan, its stages as run, its traces, and its wheels with their later life.

    `traces` maps a reading kind to its Trace (all sources together, ascending in time);
    `air` maps the id of a room its wheels stand or stood in to that room's air since the make
    began, `rooms` to the room;
    `whey_from` is the make a whey cheese came from, `whey_cheeses` the makes from this one's whey;
    `verdict` is what was said of eating it, None while nothing was; `lots` are the powders in
    stock that it may have taken of by the spoon; `milk_lots` those of its milk with their
    litres.
    """

    make: Make
    plan: Plan
    runs: tuple[StageRun, ...] = ()
    additions: tuple[Addition, ...] = ()
    notes: tuple[Note, ...] = ()
    timers: tuple[Timer, ...] = ()
    calibrations: tuple[Calibration, ...] = ()
    entered: tuple[Entered, ...] = ()
    traces: dict[str, Trace] = field(default_factory=dict)
    wheels: tuple[Wheel, ...] = ()
    weighings: tuple[Weighing, ...] = ()
    care: tuple[Care, ...] = ()
    taken: tuple[Removal, ...] = ()
    scores: tuple[ScoreGiven, ...] = ()
    defects: tuple[DefectMark, ...] = ()
    named: tuple[NamedDefect, ...] = ()
    air: dict[int, AirTrace] = field(default_factory=dict)
    rooms: dict[int, Room] = field(default_factory=dict)
    whey_from: Make | None = None
    whey_cheeses: tuple[Make, ...] = ()
    verdict: Verdict | None = None
    lots: tuple[Ingredient, ...] = ()
    milk_lots: tuple[Poured, ...] = ()
    _had: dict[tuple[str, int], AirHad] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def air_had(self, wheel_code: str, until_ms: int) -> AirHad | None:
        """The air a wheel had from the make to an instant, in all rooms it stood in; None where
        there is no such wheel."""
        wheels = {wheel.id: wheel for wheel in self.wheels}
        wheel = next((one for one in self.wheels if one.code == wheel_code), None)
        key = wheel_code, until_ms
        if wheel is not None and key not in self._had:
            moves = moves_of(self.care)
            stays = stays_of(wheel, wheels, moves, self.make.started_ms, until_ms)
            self._had[key] = air_had(stays, self.air, self.rooms, self.make.zone)
        return self._had.get(key)

    @property
    def why_failed(self) -> str:
        """That it failed or was abandoned, and why, as noted: "Failed: the culture was dead.";
        "" when it did not fail or nobody noted why."""
        note = failure_note(self.make, self.notes)
        return "" if note is None else note.text.rstrip(".") + "."

    @property
    def running_index(self) -> int | None:
        """The place in the plan of the stage that runs, None when none does."""
        run = running_run(self.make, self.runs[: len(self.plan.stages)])
        return None if run is None else self.runs.index(run)

    def run_of(self, kind: str) -> StageRun | None:
        """The first stage of that kind that really began, or None."""
        return next((r for r in self.runs if r.kind == kind and r.began_ms is not None), None)

    def trace(self, kind: str) -> Trace:
        """The trace of that kind, empty when there is none."""
        return self.traces.get(kind, Trace(kind))

    def minutes_of(self, index: int) -> float:
        """How long the stage at `place` is to last: the plan's length, with what was added,
        begun again or skipped."""
        planned = self.plan.stages[index].minutes
        return self.runs[index].minutes(planned) if index < len(self.runs) else planned
