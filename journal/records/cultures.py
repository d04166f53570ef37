"""Backslopped cultures: a culture kept alive from make to make, generation by generation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from journal.message import Message
from journal.records import RecordError
from journal.records.instants import DAY_MS, local
from journal.records.kinds import CULTURE_TYPES, check_one_of
from journal.records.plans import new_uuid
from journal.records.traces import Trace

# All of these are common practice, no source.
MANY_GENERATIONS = 7  # from this one on a fresh packet is the safer beginning
KEEPS_DAYS = 7  # a mother in the refrigerator
SOUR_PH = 4.9  # a mother that set well is below this
FALL_PH = 0.3  # the fall by which makes of one culture are compared
_FIRST_READ_MIN = 60.0
_SLOWER = 1.25  # times what the makes before it took: worth a word
CULTURE_CAUTION = Message("records.culture-caution")


@dataclass(frozen=True)
class Generation:
    """One generation of a backslopped culture: the mother as it was kept.

    `number` 1 was set from a packet (`origin` says which); a later one from the generation
    `parent_id`, or from the curd or whey of the make `from_make_id`.
    """

    name: str
    made_ms: int
    number: int = 1
    culture_type: str = "mesophilic"
    parent_id: int | None = None
    from_make_id: int | None = None
    origin: str = ""
    keep_until_ms: int | None = None
    ph: float | None = None
    note: str = ""
    gone_ms: int | None = None  # used up, or thrown away
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RecordError("records.culture-name")
        check_one_of(self.culture_type, CULTURE_TYPES, "records.no-such-culture-type")
        if not 1 <= self.number <= 1000:
            raise RecordError("records.culture-number")
        if self.ph is not None and not 2 <= self.ph <= 10:
            raise RecordError("records.culture-ph", ph=self.ph)
        if self.keep_until_ms is not None and self.keep_until_ms < self.made_ms - DAY_MS:
            raise RecordError("records.culture-past-before-made")


def next_generation(
    last: Generation, at_ms: int, *, from_make_id: int | None = None, ph: float | None = None
) -> Generation:
    """The generation after `last`, set at `at_ms`."""
    return Generation(
        last.name, at_ms, last.number + 1, last.culture_type, last.id, from_make_id,
        keep_until_ms=at_ms + KEEPS_DAYS * DAY_MS, ph=ph,
    )  # fmt: skip


def gone(generation: Generation, at_ms: int) -> Generation:
    """The generation used up or thrown away."""
    return replace(generation, gone_ms=at_ms)


def past_date(generation: Generation, today: date, zone: str) -> date | None:
    """The day it was to be kept till when that day is over, else None."""
    if generation.keep_until_ms is None or generation.gone_ms is not None:
        return None
    day = local(generation.keep_until_ms, zone).date()
    return day if day < today else None


def doubts(generation: Generation, today: date, zone: str) -> list[Message]:
    """What speaks against using it; empty when nothing does."""
    found = []
    passed = past_date(generation, today, zone)
    if passed is not None:
        found.append(Message("records.culture-past", on=passed))
    if generation.ph is not None and generation.ph > SOUR_PH:
        found.append(Message("records.culture-not-sour", ph=generation.ph, below_ph=SOUR_PH))
    if generation.number >= MANY_GENERATIONS:
        found.append(
            Message("records.culture-old", number=generation.number, many=MANY_GENERATIONS)
        )
    return found


def minutes_to_sour(trace: Trace, culture_in_ms: int, by_ph: float = FALL_PH) -> float | None:
    """How long after the culture went in the pH had fallen by so much, minutes.

    The fall is from the first sound reading after the culture went in, straight lines between
    readings; None where it was not read so far, or first read more than an hour in.
    """
    sound = trace.sound()
    later = sound.at_ms >= culture_in_ms
    minutes, value = sound.minutes_from(culture_in_ms)[later], sound.value[later]
    if not len(value) or minutes[0] > _FIRST_READ_MIN:
        return None
    below = np.flatnonzero(value <= value[0] - by_ph)
    if not len(below):
        return None
    end = int(below[0])
    span = slice(end - 1, end + 1)
    return float(np.interp(-(value[0] - by_ph), -value[span], minutes[span]))


def failing(minutes: Sequence[float]) -> Message | None:
    """That the newest make soured more slowly than the ones before; else None.

    `minutes` as `minutes_to_sour` has them, newest first; with fewer than three it says nothing.
    A quarter slower than the middle of them is worth a word (common practice, no source).
    """
    if len(minutes) < 3:
        return None
    usual = float(np.median(minutes[1:]))
    if minutes[0] <= _SLOWER * usual:
        return None
    return Message("records.culture-failing", minutes=minutes[0], by_ph=FALL_PH, usual=usual)
