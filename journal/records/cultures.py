"""Backslopped cultures: a culture kept alive from make to make, generation by generation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from journal.records import RecordError
from journal.records.dates import format_day
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
CULTURE_CAUTION = (
    "Each generation can pick up strangers, and phage can leave it weak: a culture that sours "
    "slowly lets harmful bacteria grow. Take the next one only from a make that soured on time and "
    "smells clean, boil the jars, freeze a spare early, and begin again from a packet when in "
    "doubt. Never carry a culture over from raw milk or from whey that stood warm. Local rules "
    "come first."
)


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
            raise RecordError("A culture needs a name: the one its plans call it by.")
        check_one_of(self.culture_type, CULTURE_TYPES, "records.no-such-culture-type")
        if not 1 <= self.number <= 1000:
            raise RecordError("The generations of a culture count from 1.")
        if self.ph is not None and not 2 <= self.ph <= 10:
            raise RecordError(f"pH {self.ph:g} is outside 2 to 10.")
        if self.keep_until_ms is not None and self.keep_until_ms < self.made_ms - DAY_MS:
            raise RecordError("It would be past its date before it was made.")


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


def doubts(generation: Generation, today: date, zone: str) -> list[str]:
    """What speaks against using it, a sentence each; empty when nothing does."""
    said = []
    passed = past_date(generation, today, zone)
    if passed is not None:
        said.append(f"It was to be kept till {format_day(passed)}: do not use it.")
    if generation.ph is not None and generation.ph > SOUR_PH:
        said.append(
            f"At pH {generation.ph:.2f} it did not sour as a mother should (below {SOUR_PH:g}): "
            "do not use it."
        )
    if generation.number >= MANY_GENERATIONS:
        said.append(
            f"This is generation {generation.number}. From {MANY_GENERATIONS} on, begin again "
            "from a packet: strangers and phage gather."
        )
    return said


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


def failing(minutes: Sequence[float]) -> str:
    """A sentence when the newest make soured more slowly than the ones before; else "".

    `minutes` as `minutes_to_sour` has them, newest first; with fewer than three it says nothing.
    A quarter slower than the middle of them is worth a word (common practice, no source).
    """
    if len(minutes) < 3:
        return ""
    usual = float(np.median(minutes[1:]))
    if minutes[0] <= _SLOWER * usual:
        return ""
    return (
        f"The last make took {minutes[0]:.0f} min to sour by {FALL_PH:g} pH, where {usual:.0f} min "
        "were usual: the culture may be failing. Begin again from a packet."
    )
