"""Plans: what is meant to happen at the vat, stage by stage, and the temperature it wants."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate
from uuid import uuid4

import numpy as np
import numpy.typing as npt

from journal.records import RecordError
from journal.records.kinds import (
    ACIDITY_KINDS,
    ANIMALS,
    CARE_KINDS,
    INGREDIENT_KINDS,
    ONCE_CARE,
    PLAN_CULTURES,
    STAGE_KINDS,
    TREATMENTS,
    UNCULTURED,
    check_one_of,
)

ALLOWED_RANGE_C = 1.0  # either side of the plan where a stage names no tolerance
UNTIL_GONE = 36_500.0  # days: the last day of care that goes on while there is a wheel
_LONGEST_MIN = 60 * 24 * 90
_DAY_MIN, _USUAL_BEGIN_MIN = 1440, 540  # a make is taken to begin at nine in the morning


def new_uuid() -> str:
    """A fresh identity for a record."""
    return str(uuid4())


def _check_within(value: float | None, low: float, high: float, refusal: str) -> None:
    """Refuse a number outside `low` to `high`, with `refusal` as the message's id; None says
    nothing and passes."""
    if value is not None and not low <= value <= high:
        raise RecordError(refusal, value=value, low=low, high=high)


PAPER, FROM_A_TABLE = "past makes", "a table of past makes"
"""Name and source of the bare plan of makes that came out of a table without a plan."""


@dataclass(frozen=True)
class AcidTarget:
    """A window a make should pass through: a pH or acidity range, and minutes from the start of
    its stage (None: the whole stage)."""

    kind: str  # a reading kind: curd-ph, whey-ph, milk-ph, whey-acidity, milk-acidity
    low: float
    high: float
    from_min: float | None = None
    to_min: float | None = None

    def __post_init__(self) -> None:
        check_one_of(self.kind, ACIDITY_KINDS, "records.no-such-acid-target")
        _check_within(self.low, 0, 14, "records.acid-target-low")
        _check_within(self.from_min, 0, _LONGEST_MIN, "records.acid-target-opens")
        _check_within(self.to_min, 0, _LONGEST_MIN, "records.acid-target-closes")
        if not self.low <= self.high <= 14:
            raise RecordError("records.acid-target-high", low=self.low, high=self.high)
        if self.from_min is not None and self.to_min is not None and self.from_min > self.to_min:
            raise RecordError(
                "records.acid-target-never-open", opens=self.from_min, closes=self.to_min
            )


@dataclass(frozen=True)
class Dose:
    """What goes in at a stage, per litre of milk: grams or millilitres; `spoons` says that it was
    typed in kitchen spoons and is measured so."""

    kind: str
    name: str
    per_litre: float
    unit: str  # "g" or "ml"
    note: str = ""
    spoons: bool = False

    def __post_init__(self) -> None:
        check_one_of(self.kind, INGREDIENT_KINDS, "records.no-such-ingredient")
        if self.unit not in ("g", "ml"):
            raise RecordError("records.dose-unit", unit=self.unit)
        if not 0 <= self.per_litre < 1000:
            raise RecordError(
                "records.dose-amount", per_litre=self.per_litre, unit=self.unit, name=self.name
            )
        if self.spoons and self.unit != "ml":
            raise RecordError("records.spoon-of-grams", name=self.name, unit=self.unit)

    def for_milk(self, litres: float) -> float:
        """The amount for `litres` of milk, in the dose's unit."""
        return self.per_litre * litres


@dataclass(frozen=True)
class Stage:
    """One step of a plan: kind, target, length, and what must be true before it ends.

    `target_c` None: temperature is not held here. `minutes` is the planned length; a stage goes
    to its target over `ramp_min` (None: over its whole length) and holds from there. Where
    `first_c_per_min` is given, the ramp climbs at that slope for `first_min` and then evenly.
    `limit_c_per_min` is the quickest the stage may warm. `turns` divide the stage into equal parts
    unless `intervals_min` gives their lengths (one more than turns, together the stage's), and
    `pressures_kpa` gives each part a pressure of its own; `pressure_kpa` is then the greatest of
    them. `humidity_pct` is the air where the
    cheese stands, `brine_pct` the salt in the brine (% w/w of the solution). `alone` marks a
    stage that may be left to itself though its kind wants hands, such as a night's draining.
    """

    kind: str
    minutes: float
    name: str = ""
    target_c: float | None = None
    ramp_min: float | None = None
    first_c_per_min: float | None = None
    first_min: float | None = None
    limit_c_per_min: float | None = None
    tolerance_c: float | None = None
    size_mm: float | None = None
    pressure_kpa: float | None = None
    turns: int = 0
    intervals_min: tuple[float, ...] = ()
    pressures_kpa: tuple[float, ...] = ()
    whey_drawn_per_l: float = 0.0  # litres of whey for each litre of milk
    water_added_per_l: float = 0.0
    water_c: float | None = None
    brine_pct: float | None = None
    humidity_pct: float | None = None
    alone: bool = False
    acid_target: AcidTarget | None = None
    doses: tuple[Dose, ...] = ()
    instruction: str = ""
    until: str = ""

    def __post_init__(self) -> None:
        check_one_of(self.kind, STAGE_KINDS, "records.no-such-stage")
        if not 0 < self.minutes <= _LONGEST_MIN:
            raise RecordError("records.stage-minutes", kind=self.kind, minutes=self.minutes)
        if self.target_c is not None and not -5 <= self.target_c <= 110:
            raise RecordError("records.stage-target", celsius=self.target_c)
        self._check_ramp()
        self._check_amounts()
        self._check_parts()

    def _check_ramp(self) -> None:
        _check_within(self.ramp_min, 0, _LONGEST_MIN, "records.stage-ramp")
        _check_within(self.limit_c_per_min, 0.001, 20, "records.stage-limit")
        _check_within(self.tolerance_c, 0, 50, "records.stage-tolerance")
        if (self.first_c_per_min is None) != (self.first_min is None):
            raise RecordError("records.first-slope-half")
        if self.first_c_per_min is None or self.first_min is None:
            return
        if not (self.first_c_per_min > 0 and self.first_min > 0):
            raise RecordError("records.first-slope-flat")
        if self.first_min >= self.ramp_length_min:
            raise RecordError(
                "records.first-slope-too-long", first=self.first_min, ramp=self.ramp_length_min
            )

    def _check_amounts(self) -> None:
        _check_within(self.size_mm, 0.5, 500, "records.stage-size")
        _check_within(self.pressure_kpa, 0, 1000, "records.stage-pressure")
        _check_within(self.turns, 0, 1000, "records.stage-turns")
        _check_within(self.whey_drawn_per_l, 0, 1, "records.stage-whey-drawn")
        _check_within(self.water_added_per_l, 0, 2, "records.stage-water-added")
        _check_within(self.water_c, 0, 100, "records.stage-water-temperature")
        _check_within(self.brine_pct, 0, 27, "records.stage-brine")
        _check_within(self.humidity_pct, 0, 100, "records.air-humidity")

    def _check_parts(self) -> None:
        """The parts between turns belong together: lengths, turns, pressures."""
        parts = self.intervals_min
        if parts and not all(part > 0 for part in parts):
            raise RecordError("records.interval-of-nothing")
        if parts and self.turns != len(parts) - 1:
            raise RecordError(
                "records.turns-between-intervals",
                intervals=len(parts),
                between=len(parts) - 1,
                turns=self.turns,
            )
        if parts and abs(sum(parts) - self.minutes) > 0.01:
            raise RecordError("records.intervals-sum", total=sum(parts), minutes=self.minutes)
        for kpa in self.pressures_kpa:
            _check_within(kpa, 0, 1000, "records.stage-pressure")
        if not self.pressures_kpa:
            return
        if len(self.pressures_kpa) != self.turns + 1:
            raise RecordError(
                "records.pressures-of-parts",
                pressures=len(self.pressures_kpa),
                parts=self.turns + 1,
            )
        if self.pressure_kpa != max(self.pressures_kpa):
            raise RecordError("records.pressure-is-greatest", kpa=max(self.pressures_kpa))

    @property
    def parts_min(self) -> tuple[float, ...]:
        """The lengths of the parts that the turns divide the stage into, minutes."""
        return self.intervals_min or (self.minutes / (self.turns + 1),) * (self.turns + 1)

    def lasting(self, minutes: float) -> Stage:
        """The same stage over another length; what lies between its turns stretches with it."""
        parts = tuple(part * minutes / self.minutes for part in self.intervals_min)
        return replace(self, minutes=minutes, intervals_min=parts)

    def pressed_with(self, kpa: float) -> Stage:
        """The same stage under another pressure; those of its parts keep their share of it."""
        old = self.pressure_kpa
        if not self.pressures_kpa or not old:
            return replace(self, pressure_kpa=kpa, pressures_kpa=())
        parts = tuple(kpa if part == old else part * kpa / old for part in self.pressures_kpa)
        return replace(self, pressure_kpa=kpa, pressures_kpa=parts)

    @property
    def label(self) -> str:
        """What a person calls it: its own name, else its kind."""
        return self.name or self.kind

    @property
    def allowed_c(self) -> float:
        """How far from the plan the temperature may stray, °C either side."""
        return ALLOWED_RANGE_C if self.tolerance_c is None else self.tolerance_c

    @property
    def hands(self) -> bool:
        """True when someone must be at the vat all through."""
        return STAGE_KINDS[self.kind] and not self.alone

    @property
    def ramp_length_min(self) -> float:
        """How long the stage takes to its target, minutes; never longer than the stage."""
        return self.minutes if self.ramp_min is None else min(self.ramp_min, self.minutes)

    def knots(self, from_c: float) -> list[tuple[float, float]]:
        """The planned line of this stage alone: (minutes from its start, °C), from `from_c`.

        A first slope never climbs past the target; below or at `from_c` it is left out.
        """
        if self.target_c is None:
            return []
        ramp = self.ramp_length_min
        points = [(0.0, from_c)]
        if self.first_c_per_min is not None and self.first_min is not None:
            to_climb = self.target_c - from_c
            first = min(self.first_min, to_climb / self.first_c_per_min)
            if first > 0:
                points.append((first, from_c + self.first_c_per_min * first))
        points.append((ramp, self.target_c))
        if ramp < self.minutes:
            points.append((self.minutes, self.target_c))
        return points


@dataclass(frozen=True)
class CareRule:
    """Care a wheel wants after the vat: what, from which day of its age to which, how often.

    `room_c` and `room_humidity_pct` say in which air, or where a move goes. Care that goes on while
    there is a wheel has `to_day` UNTIL_GONE. A drying ends on `to_day` at the latest; `every_days`
    is how long it lasts at least.
    """

    kind: str
    from_day: float
    to_day: float
    every_days: float
    note: str = ""
    room_c: float | None = None
    room_humidity_pct: float | None = None

    def __post_init__(self) -> None:
        check_one_of(self.kind, CARE_KINDS, "records.no-such-care")
        if self.every_days <= 0 or self.to_day < self.from_day:
            raise RecordError("records.care-never-due", kind=self.kind)
        for days in (self.from_day, self.to_day, self.every_days):
            _check_within(days, 0, 36_500, "records.days-of-age")
        _check_within(self.room_c, -30, 60, "records.room-temperature")
        _check_within(self.room_humidity_pct, 0, 100, "records.air-humidity")

    @property
    def once(self) -> bool:
        """It is given once, not again and again."""
        return self.kind in ONCE_CARE or self.to_day - self.from_day < self.every_days

    @property
    def goes_on(self) -> bool:
        """It goes on while there is a wheel."""
        return self.to_day >= UNTIL_GONE


@dataclass(frozen=True)
class Plan:
    """What is meant to happen: the milk, the ordered stages, the care afterwards. `eat_from_days`
    is the least age to eat it at, None where nobody said."""

    name: str
    stages: tuple[Stage, ...]
    style: str = ""
    milk_l: float = 10.0
    animal: str = "cow"
    treatment: str = "pasteurised"  # raw, thermised, pasteurised
    milk_c: float = 5.0  # as it comes
    protein_fat: float | None = None  # protein over fat the milk is brought to
    culture_type: str = "mesophilic"  # mesophilic, thermophilic, mixed, none
    floc_multiplier: float | None = None
    mould_mm: float | None = None
    yield_pct: float = 10.0  # kg of cheese for 100 kg of milk, for the first guess
    care: tuple[CareRule, ...] = ()
    room_c: float | None = None
    room_humidity_pct: float | None = None
    taste_at_days: tuple[float, ...] = ()
    eat_from_days: float | None = None
    taste_notes: tuple[str, ...] = ()  # of each age to taste at; empty where none has one
    source: str = ""
    caution: str = ""
    note: str = ""
    version: int = 1
    builtin: bool = False
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RecordError("records.plan-without-name")
        if not self.stages:
            raise RecordError("records.plan-without-stage")
        if not 0 < self.milk_l <= 10_000:
            raise RecordError("records.milk-litres", litres=self.milk_l)
        check_one_of(self.animal, ANIMALS, "records.no-such-animal")
        check_one_of(self.treatment, TREATMENTS, "records.no-such-treatment")
        check_one_of(self.culture_type, PLAN_CULTURES, "records.no-such-culture-type")
        if self.version < 1:
            raise RecordError("records.plan-version")
        self._check_amounts()

    def _check_amounts(self) -> None:
        _check_within(self.milk_c, -5, 100, "records.plan-milk-temperature")
        _check_within(self.protein_fat, 0.1, 10, "records.plan-protein-fat")
        _check_within(self.floc_multiplier, 1, 20, "records.plan-floc-multiplier")
        _check_within(self.mould_mm, 10, 2000, "records.plan-mould")
        _check_within(self.yield_pct, 0.1, 60, "records.plan-yield")
        _check_within(self.room_c, -30, 60, "records.room-temperature")
        _check_within(self.room_humidity_pct, 0, 100, "records.air-humidity")
        for day in self.taste_at_days:
            _check_within(day, 0, 36_500, "records.days-of-age")
        if self.taste_notes and len(self.taste_notes) != len(self.taste_at_days):
            raise RecordError("records.taste-notes", ages=len(self.taste_at_days))
        _check_within(self.eat_from_days, 0, 36_500, "records.days-of-age")

    def says_as(self, other: Plan) -> bool:
        """Whether two plans say the same, whatever their keys and versions."""
        return replace(self, id=None, uuid="", version=1) == replace(
            other, id=None, uuid="", version=1
        )

    @property
    def cultured(self) -> bool:
        """A culture goes in."""
        return any(dose.kind == "culture" for stage in self.stages for dose in stage.doses)

    @property
    def sours(self) -> bool:
        """A culture is to sour it: False where acid or heat alone sets the milk."""
        return self.culture_type != UNCULTURED

    @property
    def minutes(self) -> float:
        """The whole length, minutes."""
        return sum(stage.minutes for stage in self.stages)

    @property
    def care_from_day(self) -> float:
        """The age, in days, at which a wheel comes out of the last stage; the day after the make
        at the earliest."""
        return float(max(1, (_USUAL_BEGIN_MIN + self.minutes) // _DAY_MIN))

    def starts(self) -> list[float]:
        """Minutes from the plan's start at which each stage begins."""
        out, at = [], 0.0
        for stage in self.stages:
            out.append(at)
            at += stage.minutes
        return out

    def line(self, begins: Sequence[float] | None = None) -> list[tuple[float, float]]:
        """The planned temperature as knots (minutes, °C); NaN breaks the line where none is held.

        With `begins` (minutes, one a stage) the plan is re-timed: each stage keeps its own slope
        and length from there, cut short where the next began, held on where it came late. A
        begin that lies before an earlier stage's counts as that one's.
        """
        starts = self.starts() if begins is None else list(accumulate(begins, max))
        knots: list[tuple[float, float]] = []
        now_c, held = self.milk_c, True
        for i, (stage, start) in enumerate(zip(self.stages, starts, strict=True)):
            points = stage.knots(now_c)
            if not points:
                held = False
                continue
            if not held and knots:
                knots.append((start, float("nan")))
            held = True
            end = starts[i + 1] if i + 1 < len(starts) else start + stage.minutes
            knots.extend(_fit([(start + m, c) for m, c in points], end))
            now_c = knots[-1][1]
        return knots

    def temperature_at(
        self, minutes: float | npt.ArrayLike, begins: Sequence[float] | None = None
    ) -> npt.NDArray[np.float64]:
        """The planned °C at `minutes` from the start (any shape); NaN where none is held."""
        at = np.asarray(minutes, dtype=float)
        out = np.full(at.shape, np.nan)
        knots = self.line(begins)
        pieces: list[list[tuple[float, float]]] = [[]]
        for knot in knots:
            if np.isnan(knot[1]):
                pieces.append([])
            else:
                pieces[-1].append(knot)
        for piece in pieces:
            if not piece:
                continue
            x, y = np.array(piece).T
            inside = (at >= x[0]) & (at <= x[-1])
            out[inside] = np.interp(at[inside], x, y)
        return out

    def amounts(self) -> list[tuple[Stage, Dose, float]]:
        """Each dose with the amount for this plan's milk, in the dose's unit."""
        return [
            (stage, dose, dose.for_milk(self.milk_l))
            for stage in self.stages
            for dose in stage.doses
        ]


def _fit(points: list[tuple[float, float]], end: float) -> list[tuple[float, float]]:
    """Cut a stage's knots at `end`, or hold its last temperature until `end`."""
    x = [p[0] for p in points]
    y = [p[1] for p in points]
    inside = [(a, b) for a, b in points if a < end]
    return [*inside, (end, float(np.interp(end, x, y)))]
