"""Plans: what is meant to happen at the vat, stage by stage, and the temperature it wants."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from uuid import uuid4

import numpy as np
import numpy.typing as npt

from journal.records import RecordError
from journal.records.kinds import CARE_KINDS, INGREDIENT_KINDS, STAGE_KINDS, check_one_of

CORRIDOR_C = 1.0  # either side of the plan where a stage names no tolerance


def new_uuid() -> str:
    """A fresh identity for a record."""
    return str(uuid4())


@dataclass(frozen=True)
class Gate:
    """A window a make should pass through: a pH or acidity range, and minutes from the start of
    its stage (None: the whole stage)."""

    kind: str  # a reading kind: curd-ph, whey-ph, milk-ph, whey-acidity, milk-acidity
    low: float
    high: float
    from_min: float | None = None
    to_min: float | None = None

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise RecordError(f"The gate's low end {self.low:g} lies above its high {self.high:g}.")


@dataclass(frozen=True)
class Dose:
    """What goes in at a stage, per litre of milk: grams or millilitres."""

    kind: str
    name: str
    per_litre: float
    unit: str  # "g" or "ml"
    note: str = ""

    def __post_init__(self) -> None:
        check_one_of(self.kind, INGREDIENT_KINDS, "kind of ingredient")
        if self.unit not in ("g", "ml"):
            raise RecordError(f"A dose is in g or ml per litre, not in {self.unit}.")
        if not 0 <= self.per_litre < 1000:
            raise RecordError(f"{self.per_litre:g} {self.unit} per litre of {self.name} cannot be.")

    def for_milk(self, litres: float) -> float:
        """The amount for `litres` of milk, in the dose's unit."""
        return self.per_litre * litres


@dataclass(frozen=True)
class Stage:
    """One step of a plan: kind, target, length, and what must be true before it ends.

    `target_c` None: temperature is not held here. `minutes` is the planned length; a stage goes
    to its target over `ramp_min` (None: over its whole length) and holds from there. Where
    `first_c_per_min` is given, the ramp climbs at that slope for `first_min` and then evenly.
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
    whey_drawn_per_l: float = 0.0  # litres of whey for each litre of milk
    water_added_per_l: float = 0.0
    water_c: float | None = None
    gate: Gate | None = None
    doses: tuple[Dose, ...] = ()
    instruction: str = ""
    until: str = ""

    def __post_init__(self) -> None:
        check_one_of(self.kind, STAGE_KINDS, "kind of stage")
        if not 0 < self.minutes <= 60 * 24 * 90:
            raise RecordError(
                f"The {self.kind} lasts {self.minutes:g} min; it must last some time."
            )
        if self.target_c is not None and not -5 <= self.target_c <= 110:
            raise RecordError(f"{self.target_c:g} °C is no temperature for milk or curd.")
        if (self.first_c_per_min is None) != (self.first_min is None):
            raise RecordError("A first slope needs both its °C per minute and its minutes.")

    @property
    def label(self) -> str:
        """What a person calls it: its own name, else its kind."""
        return self.name or self.kind

    @property
    def corridor_c(self) -> float:
        """How far from the plan the temperature may stray, °C either side."""
        return CORRIDOR_C if self.tolerance_c is None else self.tolerance_c

    @property
    def hands(self) -> bool:
        """True when someone must be at the vat all through."""
        return STAGE_KINDS[self.kind]

    def knots(self, from_c: float) -> list[tuple[float, float]]:
        """The planned line of this stage alone: (minutes from its start, °C), from `from_c`."""
        if self.target_c is None:
            return []
        ramp = self.minutes if self.ramp_min is None else min(self.ramp_min, self.minutes)
        points = [(0.0, from_c)]
        if self.first_c_per_min is not None and self.first_min is not None and ramp > 0:
            first = min(self.first_min, ramp)
            points.append((first, from_c + self.first_c_per_min * first))
        points.append((ramp, self.target_c))
        if ramp < self.minutes:
            points.append((self.minutes, self.target_c))
        return points


@dataclass(frozen=True)
class CareRule:
    """Care a wheel wants after the vat: what, from which day to which, how often."""

    kind: str
    from_day: float
    to_day: float
    every_days: float
    note: str = ""

    def __post_init__(self) -> None:
        check_one_of(self.kind, CARE_KINDS, "kind of care")
        if self.every_days <= 0 or self.to_day < self.from_day:
            raise RecordError(f"The care “{self.kind}” never falls due: check its days.")


@dataclass(frozen=True)
class Plan:
    """What is meant to happen: the milk, the ordered stages, the care afterwards."""

    name: str
    stages: tuple[Stage, ...]
    style: str = ""
    milk_l: float = 10.0
    animal: str = "cow"
    treatment: str = "pasteurised"  # raw, thermised, pasteurised
    milk_c: float = 5.0  # as it comes
    culture_type: str = "mesophilic"  # mesophilic, thermophilic, mixed
    floc_multiplier: float | None = None
    mould_mm: float | None = None
    yield_pct: float = 10.0  # kg of cheese for 100 kg of milk, for the first guess
    care: tuple[CareRule, ...] = ()
    room_c: float | None = None
    room_humidity_pct: float | None = None
    taste_at_days: tuple[float, ...] = ()
    source: str = ""
    caution: str = ""
    note: str = ""
    version: int = 1
    builtin: bool = False
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RecordError("A plan needs a name.")
        if not self.stages:
            raise RecordError("A plan needs at least one stage.")
        if not 0 < self.milk_l <= 10_000:
            raise RecordError(f"{self.milk_l:g} litres of milk is outside 0 to 10,000.")

    @property
    def minutes(self) -> float:
        """The whole length, minutes."""
        return sum(stage.minutes for stage in self.stages)

    def starts(self) -> list[float]:
        """Minutes from the plan's start at which each stage begins."""
        out, at = [], 0.0
        for stage in self.stages:
            out.append(at)
            at += stage.minutes
        return out

    def line(self, begins: list[float] | None = None) -> list[tuple[float, float]]:
        """The planned temperature as knots (minutes, °C); NaN breaks the line where none is held.

        With `begins` (minutes, one a stage) the plan is re-timed: each stage keeps its own slope
        and length from there, cut short where the next began, held on where it came late.
        """
        starts = self.starts() if begins is None else begins
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
        self, minutes: float | npt.ArrayLike, begins: list[float] | None = None
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

    def for_milk(self, litres: float) -> Plan:
        """The same plan for another amount of milk (doses are per litre and follow)."""
        return replace(self, milk_l=litres)

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
