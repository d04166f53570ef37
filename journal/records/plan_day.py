"""A plan on the clock: when hands are needed, when one may leave, and what falls in the night."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache

from journal.message import Instant
from journal.records import RecordError
from journal.records.instants import MINUTE_MS, from_datetime, local
from journal.records.plans import Plan, Stage

NIGHT_FROM, NIGHT_TO = 22, 6  # o'clock; common practice, no source
STRETCHES = ("press", "dry")  # kinds that may last longer than planned
MOST_LONGER = 1.0  # of its own length, that such a stage may last longer; our choice
LONG_MIN = 12 * 60  # from here on a stage out of the vat is a rest, not a part of the day
_AFTER_THE_VAT = ("press", "brine", "dry", "smoke")
_OUT_OF_THE_VAT = ("drain", "mould", "salt")
_STEP_MIN = 30


@dataclass(frozen=True)
class StageTime:
    """A stage on the clock; `hands` when someone must be there all through, `night_min` how much
    of it falls between 22:00 and 06:00."""

    index: int
    label: str
    begin_ms: int
    end_ms: int
    hands: bool
    night_min: float


@dataclass(frozen=True)
class HandsNeeded:
    """An instant of the night at which hands are needed, and the stage that ends there (begins
    there, where `hands`)."""

    at_ms: int
    index: int
    hands: bool


@dataclass(frozen=True)
class PlanSchedule:
    """A plan on the clock of a zone. `plan` has the lengths used; `longer_min` is by how much
    stages that may stretch were lengthened."""

    plan: Plan
    zone: str
    start_ms: int
    stages: tuple[StageTime, ...]
    longer_min: float = 0.0

    @property
    def end_ms(self) -> int:
        """When the last stage is over."""
        return self.stages[-1].end_ms


def day_of(
    plan: Plan,
    zone: str,
    *,
    start_ms: int | None = None,
    end_ms: int | None = None,
    end_min: float | None = None,
) -> PlanSchedule:
    """The plan from a start, or so that it has come to `end_min` at `end_ms`, or both.

    Parameters
    ----------
    zone : IANA name; lengths are real time, so a change of the clocks moves what follows
    start_ms, end_ms : UTC ms; at least one
    end_min : minutes of the plan that are to be over at `end_ms`; None: the whole plan

    Raises
    ------
    RecordError
        When both are given and the plan cannot be brought between them by making the press or the
        drying longer.
    """
    until = plan.minutes if end_min is None else end_min
    if end_ms is None:
        if start_ms is None:
            raise RecordError("records.day-without-ends")
        return _on_clock(plan, zone, start_ms)
    if start_ms is None:
        return _on_clock(plan, zone, end_ms - round(until * MINUTE_MS))
    spare = (end_ms - start_ms) / MINUTE_MS - until
    stretched = _stretched(plan, until, spare, Instant(start_ms, zone))
    return replace(_on_clock(stretched, zone, start_ms), longer_min=spare)


def vat_minutes(plan: Plan) -> float:
    """How long the day at the vat is: until the curd is out of it and rests, in minutes."""
    at = 0.0
    for index, stage in enumerate(plan.stages):
        rests = not stage.hands and stage.minutes >= LONG_MIN and stage.kind in _OUT_OF_THE_VAT
        if index and (rests or stage.kind in _AFTER_THE_VAT):
            return at
        at += stage.minutes
    return at


def night_minutes(begin_ms: int, end_ms: int, zone: str) -> float:
    """How many minutes between two instants fall between 22:00 and 06:00."""
    total = 0
    for dusk, dawn in _nights(begin_ms, end_ms, zone):
        total += max(0, min(end_ms, dawn) - max(begin_ms, dusk))
    return total / MINUTE_MS


def is_night(at_ms: int, zone: str) -> bool:
    """Whether an instant lies between 22:00 and 06:00."""
    hour = local(at_ms, zone).hour
    return hour >= NIGHT_FROM or hour < NIGHT_TO


def night_moments(day: PlanSchedule) -> list[HandsNeeded]:
    """The instants of the night at which someone must be there, in order: a stage that wants
    hands, or the end of one that does not. Drying waits until one comes."""
    out = []
    for i, time in enumerate(day.stages):
        if time.hands and time.night_min > 0:
            first = time.begin_ms if is_night(time.begin_ms, day.zone) else time.end_ms
            out.append(HandsNeeded(first, i, True))
        elif not time.hands and _must_end(day, i) and is_night(time.end_ms, day.zone):
            out.append(HandsNeeded(time.end_ms, i, False))
    return out


def _must_end(day: PlanSchedule, index: int) -> bool:
    """Whether someone must come for the end of a stage that was left alone; where hands take over
    they are counted for themselves."""
    followed = index + 1 < len(day.stages) and day.stages[index + 1].hands
    return day.plan.stages[index].kind != "dry" and not followed


def left_until_ms(day: PlanSchedule, moment: HandsNeeded) -> int | None:
    """Until when to leave a press or drying on that ends at a moment of the night: the morning,
    where nothing else then falls at night; None where that is no way."""
    stage = day.plan.stages[moment.index]
    if moment.hands or stage.kind not in STRETCHES:
        return None
    morning = _morning(moment.at_ms, day.zone)
    longer = (morning - moment.at_ms) / MINUTE_MS
    if longer > MOST_LONGER * stage.minutes:
        return None
    left = _longer(day.plan, {moment.index: longer})
    if len(night_moments(_on_clock(left, day.zone, day.start_ms))) >= len(night_moments(day)):
        return None
    return morning


def day_with_less_night(day: PlanSchedule, not_before_ms: int) -> PlanSchedule | None:
    """The day from the nearest start on the half hour, by day and not in the past, with the fewest
    moments of the night; None where no other start has fewer."""
    fewest, best = len(night_moments(day)), None
    for start in _starts_near(day.start_ms, day.zone):
        if start < not_before_ms or is_night(start, day.zone):
            continue
        other = _on_clock(day.plan, day.zone, start)
        count = len(night_moments(other))
        if count < fewest:
            fewest, best = count, other
        if not fewest:
            break
    return best


def _starts_near(start_ms: int, zone: str) -> Iterator[int]:
    """Half hours of the clock within a day, nearest first."""
    when = local(start_ms, zone)
    past = (when.minute % _STEP_MIN) * MINUTE_MS + when.second * 1000 + when.microsecond // 1000
    base, step = start_ms - past, _STEP_MIN * MINUTE_MS
    for _, at in sorted((abs(base + i * step - start_ms), base + i * step) for i in range(-48, 49)):
        yield at


def _on_clock(plan: Plan, zone: str, start_ms: int) -> PlanSchedule:
    times = []
    for index, (stage, start) in enumerate(zip(plan.stages, plan.starts(), strict=True)):
        begin = start_ms + round(start * MINUTE_MS)
        end = start_ms + round((start + stage.minutes) * MINUTE_MS)
        night = night_minutes(begin, end, zone)
        times.append(StageTime(index, stage.label, begin, end, stage.hands, night))
    return PlanSchedule(plan, zone, start_ms, tuple(times))


def _stretched(plan: Plan, until: float, spare: float, start: Instant) -> Plan:
    """The plan with its press and drying longer by `spare` minutes in all, before `until`."""
    if abs(spare) < 0.5:
        return plan
    may = [
        index
        for index, (stage, begin) in enumerate(zip(plan.stages, plan.starts(), strict=True))
        if stage.kind in STRETCHES and begin + stage.minutes <= until + 0.5
    ]
    total = sum(plan.stages[index].minutes for index in may)
    if spare < 0:
        raise RecordError("records.day-too-short", start=start, minutes=-spare)
    if not may or spare > MOST_LONGER * total:
        raise RecordError("records.day-too-long", start=start, minutes=spare)
    return _longer(plan, {p: spare * plan.stages[p].minutes / total for p in may})


def _longer(plan: Plan, by: dict[int, float]) -> Plan:
    stages: Sequence[Stage] = [
        stage.lasting(stage.minutes + by.get(index, 0.0)) for index, stage in enumerate(plan.stages)
    ]
    return replace(plan, stages=tuple(stages))


def _nights(begin_ms: int, end_ms: int, zone: str) -> Iterator[tuple[int, int]]:
    """Each night from the evening before `begin_ms` on: from 22:00 to 06:00."""
    day = local(begin_ms, zone).replace(tzinfo=None, hour=0, minute=0, second=0, microsecond=0)
    day -= timedelta(days=1)
    while True:
        dusk, dawn = _night_after(day, zone)
        if dusk >= end_ms:
            return
        yield dusk, dawn
        day += timedelta(days=1)


@lru_cache(maxsize=64)
def _night_after(day: datetime, zone: str) -> tuple[int, int]:
    """The night that a day ends with."""
    dusk = from_datetime(day.replace(hour=NIGHT_FROM), zone)
    return dusk, from_datetime((day + timedelta(days=1)).replace(hour=NIGHT_TO), zone)


def _morning(at_ms: int, zone: str) -> int:
    """The 06:00 after an instant of the night."""
    when = local(at_ms, zone)
    day = when + timedelta(days=1) if when.hour >= NIGHT_FROM else when
    return from_datetime(day.replace(tzinfo=None, hour=NIGHT_TO, minute=0, second=0, microsecond=0),
                         zone)  # fmt: skip
