"""What a wheel should lose: the published range, drawn to what this kitchen's own wheels lose."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from journal.reckoning.drying import dryness_kpa, loss_after_pct, rate_between, series_rates
from journal.reckoning.loss import (
    MOST_LOSS_PCT,
    SERIES_SD,
    SMALLEST_KG,
    SOFT_BARE,
    SOFT_BARE_SD,
    Loss,
)
from journal.records.instants import DAY_MS
from journal.records.traces import AirTrace, Floats
from journal.records.wheels import Care, Room

CLOTH, BARE, SEALED = "bandaged", "bare", "sealed"
_SEALING = ("wax", "vacuum")  # water hardly passes
_SETTLED_DAYS = 10  # before, the face dries and salt draws whey: no rate of a rind
_SPAN_DAYS = 7  # two weighings nearer than this say little
_RECENT_DAYS = 21
_SCALE_SD_KG = 0.003  # a kitchen scale read twice (common practice, no source)
_KITCHEN_SD = 0.25  # wheels of one kitchen about each other, logarithms (from memory)
_80 = 1.2816
# Where nobody said how the room is (common practice, no source).
USUAL_C, USUAL_PCT = 12.0, 85.0


@dataclass(frozen=True)
class DriedWheel:
    """A wheel with its weights as a whole (kg, at ages in days since the press), ascending."""

    code: str
    green_kg: float
    rind: str
    days: tuple[float, ...]
    kg: tuple[float, ...]
    kpa_days: tuple[float, ...]  # dryness of its air, summed to each weighing

    @property
    def lost_pct(self) -> Floats:
        """Lost at each weighing, % of the green weight."""
        return 100 * (1 - np.array(self.kg) / self.green_kg)


@dataclass(frozen=True)
class Expected:
    """How fast a rind lets water out: middle and 80 in 100 of rates (a kPa and day at 1 kg), and
    from how many of the kitchen's own wheels (0: the published range alone)."""

    middle: float
    low: float
    high: float
    wheels: int

    def course(
        self, green_kg: float, kpa_days: Floats, most_pct: float = MOST_LOSS_PCT
    ) -> tuple[Floats, Floats, Floats]:
        """Weight by then, kg: low, middle and high of what is expected, each as `kpa_days`."""
        lost = [
            np.asarray(loss_after_pct(rate, green_kg, kpa_days, most_pct))
            for rate in (self.high, self.middle, self.low)
        ]
        low, middle, high = (green_kg * (1 - each / 100) for each in lost)
        return low, middle, high


@dataclass(frozen=True)
class Drying:
    """How a wheel dries of late against what is usual in its room as that is wanted.

    `a_day`, `low` and `high` are % of the green weight a day; `sd` is how far the scale may be off;
    `in_this_air` is the usual range in the air as it really was.
    """

    a_day: float
    sd: float
    low: float
    high: float
    in_this_air: tuple[float, float]
    wheels: int

    @property
    def too_fast(self) -> bool:
        """Beyond the usual by more than the scale may be off."""
        return self.a_day - _80 * self.sd > self.high

    @property
    def by_the_air(self) -> bool:
        """The air explains it: in that air so much is usual."""
        return self.a_day - _80 * self.sd <= self.in_this_air[1]


def rind_of(care: Iterable[Care], green_kg: float) -> str:
    """How water passes the rind, by what was done to it; a large wheel of which nothing was noted
    counts as in cloth, as the published ones."""
    done = {one.kind for one in care}
    if done & set(_SEALING):
        return SEALED
    if "bandage" in done or (not done & {"oil", "brush", "rub"} and green_kg >= SMALLEST_KG):
        return CLOTH
    return BARE


def air_sum(trace: AirTrace, room: Room | None) -> Callable[[int, int], float]:
    """The dryness of a room between two instants, kPa days: as read, from one reading to the next;
    where nothing was read, or one of the two is missing, as the room is wanted."""
    wanted = (
        USUAL_C if room is None or room.target_c is None else room.target_c,
        USUAL_PCT if room is None or room.target_humidity_pct is None
        else room.target_humidity_pct,
    )  # fmt: skip
    usual = float(dryness_kpa(*wanted))
    trace = trace.both()
    at_ms = trace.at_ms
    if not len(at_ms):
        return lambda first, last: usual * max(last - first, 0) / DAY_MS
    kpa = np.asarray(dryness_kpa(trace.temp_c, trace.humidity_pct))
    summed = np.concatenate([[0.0], np.cumsum((kpa[1:] + kpa[:-1]) / 2 * np.diff(at_ms) / DAY_MS)])

    def until(at: int) -> float:
        """The sum from the first reading; before it and after the last as the room is wanted."""
        inside = float(np.interp(at, at_ms, summed))
        return inside + usual * (min(at - int(at_ms[0]), 0) + max(at - int(at_ms[-1]), 0)) / DAY_MS

    return lambda first, last: max(until(last) - until(first), 0.0)


def published(rind: str, series: Sequence[Loss]) -> tuple[float, float]:
    """The logarithm of the published rate of a rind and its spread (sd).

    In cloth by the series (Thom & Fisk 1918, table XIX). A bare rind lies between cloth and the
    soft cheeses whose losses are published (see `SOFT_BARE`). Of a sealed one nothing is published:
    about a sixth of cloth, from memory, and wide.
    """
    cloth = float(np.log(series_rates(series)).mean())
    if rind == CLOTH:
        return cloth, SERIES_SD
    if rind == BARE:
        return cloth + 0.5 * float(np.log(SOFT_BARE)), float(np.hypot(SOFT_BARE_SD, 0.33))
    return cloth - float(np.log(6)), 0.8


def expected(rind: str, others: Sequence[DriedWheel], series: Sequence[Loss]) -> Expected:
    """The published range drawn to the kitchen's own wheels of that rind, as far as they go."""
    mean, sd = published(rind, series)
    own = [rate for one in others if one.rind == rind and (rate := own_rate(one)) is not None]
    logs = np.log(own)
    spread = _KITCHEN_SD
    if len(own) >= 4:
        spread = float(np.hypot(logs.std(ddof=1), 0.05))
    weight = 1 / sd**2 + len(own) / spread**2
    middle = (mean / sd**2 + logs.sum() / spread**2) / weight
    wide = _80 * (np.hypot(spread, weight**-0.5) if own else sd)
    low, high = np.exp(middle - wide), np.exp(middle + wide)
    return Expected(float(np.exp(middle)), float(low), float(high), len(own))


def own_rate(one: DriedWheel) -> float | None:
    """The rate of a wheel's rind over all its weighings since it settled; None for too few."""
    settled = [i for i, day in enumerate(one.days) if day >= _SETTLED_DAYS]
    if len(settled) < 2 or one.days[settled[-1]] - one.days[settled[0]] < _SPAN_DAYS:
        return None
    return _rate(one, settled[0], settled[-1])


def drying(one: DriedWheel, usual: Expected, wanted_kpa: float) -> Drying | None:
    """How a wheel dries of late: over its last three weeks of weighings, longer where there are
    few; None while it is too young, or was weighed too seldom.

    `wanted_kpa` is the dryness of its room's air as that is wanted. What is usual is what a wheel
    of its size and rind loses between those two ages, whatever this one has lost already.
    """
    last = len(one.days) - 1
    spans = [
        i for i in range(last) if one.days[i] >= _SETTLED_DAYS
        and one.days[last] - one.days[i] >= _SPAN_DAYS
    ]  # fmt: skip
    if not spans:
        return None
    long = [i for i in spans if one.days[last] - one.days[i] >= _RECENT_DAYS]
    first = long[-1] if long else spans[0]
    days = np.array(one.days[first:])
    about = days - days.mean()
    slope = float(about @ one.lost_pct[first:] / (about @ about))
    off = 100 * _SCALE_SD_KG / one.green_kg / float(np.sqrt(about @ about))
    ages = np.array([one.days[first], one.days[last]])
    here = _usual_a_day(one, usual, wanted_kpa * ages, ages)
    there = _usual_a_day(one, usual, np.array([one.kpa_days[first], one.kpa_days[last]]), ages)
    return Drying(slope, off, *here, there, usual.wheels)


def _usual_a_day(
    one: DriedWheel, usual: Expected, kpa_days: Floats, ages: Floats
) -> tuple[float, float]:
    """What is usual between two ages, % a day."""
    low, middle, high = usual.course(one.green_kg, kpa_days)
    lost = [100 * float(kg[0] - kg[1]) / one.green_kg for kg in (low, middle, high)]
    span = float(ages[1] - ages[0])
    return min(lost) / span, max(lost) / span


def _rate(one: DriedWheel, first: int, last: int) -> float | None:
    lost = one.lost_pct
    kpa_days = one.kpa_days[last] - one.kpa_days[first]
    if kpa_days <= 0 or lost[last] >= MOST_LOSS_PCT or lost[last] <= lost[first]:
        return None
    return rate_between(float(lost[first]), float(lost[last]), one.green_kg, kpa_days)
