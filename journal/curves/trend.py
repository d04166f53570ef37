"""Whether a reading is far from where its curve was going."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from journal.curves.culture_time import culture_in_min
from journal.curves.day import line_of, planned_at
from journal.records.instants import MINUTE_MS
from journal.records.kinds import READING_KINDS
from journal.records.traces import DOUBTFUL, Floats, Instants, Trace
from journal.records.whole import WholeMake

LOOK_BACK_MIN = 60.0  # an older reading says nothing of where the curve is going
APART_MIN = 2.0  # two readings at least so far apart tell a slope
SLOPE_HOLDS_MIN = 10.0  # for so long a slope is thought to go on
MOST_BEFORE = 600  # more readings than these before one are not looked through
SILENCE_COUNTS_MIN = 20.0  # a longer silence allows no more
# How far from the expected a reading may be, and how much more a minute of silence allows, by
# quantity: °C, pH, % lactic acid (common practice, no source).
ROOM = {"temperature": (3.0, 0.3), "ph": (0.25, 0.01), "acidity": (0.06, 0.004)}
# A bath is warmed as quickly as the kettle is poured (common practice, no source).
BATH_ROOM = (8.0, 2.0)
# What a reading with none before it is seldom outside of: pH of curd and whey from well below
# feta's end (4.4, University of Guelph) to above fresh milk (6.6 to 6.7, the same); milk whose
# culture is not yet an hour at work has lost less than 0.1 of that (Guelph activity test: 0.03
# in the first hour), and ripened milk seldom more than 0.3 (common practice, no source).
USUAL_PH, FRESH_PH, FRESH_MIN = (4.2, 6.95), 6.2, 60.0
RISE_PH = 0.1  # a culture only lowers the pH: a higher rise is the meter's, or a delay of the hand
# "The power-on reset value of the temperature register is +85°C" (DS18B20 data sheet, page 6): what
# a common thermometer chip shows before its first measurement, as read to a hundredth.
WOKEN_C, EXACT_C = 85.0, 0.01
COLDEST_C, HOTTER_C = -1.0, 15.0  # milk is no ice, and not so far above all a plan warms to


def odd_alone(whole: WholeMake, kind: str, value: float, at_ms: int) -> bool:
    """Whether a reading is outside of what is usual, where the last hour holds none to go by."""
    return _odd_alone(whole, _before(whole.trace(kind).sound(), at_ms), value, at_ms)


def is_doubtful(whole: WholeMake, kind: str, value: float, at_ms: int) -> bool:
    """Whether a reading would be asked about: odd alone, or far from where its curve was going."""
    odd = odd_alone(whole, kind, value, at_ms)
    return odd or far_from(whole, kind, value, at_ms) is not None


def _room_of(kind: str) -> tuple[float, float] | None:
    """How far from the expected a reading of that kind may be, and what a minute allows more."""
    if kind == "bath-temp":
        return BATH_ROOM
    return ROOM.get(READING_KINDS[kind].quantity)


def _before(trace: Trace, at_ms: int) -> Trace:
    """The readings of the last hour."""
    return trace.between(at_ms - round(LOOK_BACK_MIN * MINUTE_MS), at_ms)


def _odd_alone(whole: WholeMake, before: Trace, value: float, at_ms: int) -> bool:
    kind = before.kind
    if ((before.flags & DOUBTFUL) == 0).any():
        return False
    if kind == "milk-temp":
        warmest = max([whole.plan.milk_c, *(s.target_c or 0.0 for s in whole.plan.stages)])
        return not COLDEST_C <= value <= warmest + HOTTER_C
    if READING_KINDS[kind].quantity != "ph":
        return False
    low, high = USUAL_PH
    if kind == "milk-ph" and _is_fresh(whole, at_ms):
        low = FRESH_PH
    return not low <= value <= high


def _is_fresh(whole: WholeMake, at_ms: int) -> bool:
    """Milk before its culture has worked for an hour; whey and milk soured by hand are not."""
    stages = whole.plan.stages
    cultured = any(s.kind == "ripen" or any(d.kind == "culture" for d in s.doses) for s in stages)
    at_min = (at_ms - whole.make.started_ms) / MINUTE_MS
    of_whey = whole.make.whey_from_make_id is not None
    return cultured and not of_whey and at_min < culture_in_min(whole) + FRESH_MIN


def far_from(whole: WholeMake, kind: str, value: float, at_ms: int) -> float | None:
    """The reading before this one where `value` lies far from the trend, else None.

    Expected is anything from where the last reading was to where its own slope, or the plan's,
    has gone since; with some room either side that grows with the minutes in between. A doubtful
    reading before it is passed over, unless this one agrees with it. A pH that has risen is far
    from any before it, however long ago that was.
    """
    trace = whole.trace(kind).sound()
    risen = _risen_from(trace.between(whole.make.started_ms, at_ms), value)
    if risen is not None:
        return risen
    return _far_from(_before(trace, at_ms), value, at_ms, _moves(whole, kind))


Moves = Callable[[int, int], float]  # how far the plan goes from one instant to another


def _far_from(before: Trace, value: float, at_ms: int, moves: Moves) -> float | None:
    sure = (before.flags & DOUBTFUL) == 0
    if not sure.any() or _room_of(before.kind) is None:
        return None
    trusted, ways = before, [before]
    if not sure.all():
        trusted = Trace(before.kind, before.at_ms[sure], before.value[sure], before.flags[sure])
        ways.append(trusted)
    if any(_near(trace, value, at_ms, moves) for trace in ways):
        return None
    return float(trusted.value[-1])


def _risen_from(before: Trace, value: float) -> float | None:
    """The last sure reading before a pH that has risen from it; None where it has not, or where it
    agrees with a doubtful one since."""
    if READING_KINDS[before.kind].quantity != "ph":
        return None
    sure = before.value[(before.flags & DOUBTFUL) == 0]
    if not len(sure) or value <= max(sure[-1], before.value[-1]) + RISE_PH + 1e-9:
        return None
    return float(sure[-1])


def doubtful_among(
    whole: WholeMake, kind: str, at_ms: Instants, value: Floats
) -> npt.NDArray[np.bool_]:
    """Which of many readings, ascending, shapes (n,), would be asked about at the vat, each with
    those before it, in the journal or among the many.

    A step from the reading before that is within the room is never asked about, so only the rest
    are looked at one by one, and what follows on a doubtful one.
    """
    known = whole.trace(kind).sound()
    order = np.argsort(np.concatenate([known.at_ms, at_ms]), kind="stable")
    every = Trace(
        kind,
        np.concatenate([known.at_ms, at_ms])[order],
        np.concatenate([known.value, value])[order],
        np.concatenate([known.flags, np.zeros(len(at_ms), np.uint8)])[order],
    )
    fresh = order >= len(known)
    every.flags[fresh & just_woken(every)] |= DOUBTFUL
    quantity = READING_KINDS[kind].quantity
    steps = np.diff(every.value, prepend=every.value[:1])
    leaps = np.abs(steps) > (_room_of(kind) or (np.inf, 0.0))[0]
    leaps |= (quantity == "ph") & (steps > RISE_PH)
    alone = np.diff(every.at_ms, prepend=every.at_ms[:1]) > LOOK_BACK_MIN * MINUTE_MS
    alone[:1] = True
    look = fresh & (alone | leaps)
    look[1:] |= fresh[1:] & ((every.flags[:-1] & DOUBTFUL) != 0)
    moves, done = _moves(whole, kind, every.at_ms), -1
    for i in np.flatnonzero(look).tolist():
        while done < i < len(order) and fresh[i]:
            done = i
            if _is_doubtful(whole, every, i, moves):
                every.flags[i] |= DOUBTFUL
                i += 1
    found = np.zeros(len(order), np.bool_)
    found[order] = (every.flags & DOUBTFUL) != 0
    return found[len(known) :]


def _is_doubtful(whole: WholeMake, every: Trace, i: int, moves: Moves) -> bool:
    at_ms, value = int(every.at_ms[i]), float(every.value[i])
    first = max(i - MOST_BEFORE, 0)
    recent = int(every.at_ms.searchsorted(at_ms - round(LOOK_BACK_MIN * MINUTE_MS)))
    before = every.part(max(first, recent), i)
    if READING_KINDS[every.kind].quantity == "ph":
        begun = int(every.at_ms.searchsorted(whole.make.started_ms))
        if _risen_from(every.part(max(first, begun), i), value) is not None:
            return True
    return (
        _odd_alone(whole, before, value, at_ms)
        or _far_from(before, value, at_ms, moves) is not None
    )


def just_woken(trace: Trace) -> npt.NDArray[np.bool_]:
    """Which temperatures, (n,), are what a sensor shows that has not measured yet: exactly 85 °C,
    far from the last other reading before them and from the first one after."""
    at_rest = np.abs(trace.value - WOKEN_C) < EXACT_C
    if READING_KINDS[trace.kind].quantity != "temperature" or not at_rest.any():
        return np.zeros(len(trace), np.bool_)
    other = np.flatnonzero(~at_rest)
    if not len(other):
        return np.zeros(len(trace), np.bool_)
    here = np.searchsorted(other, np.arange(len(trace)))
    far = np.ones(len(trace), np.bool_)
    for beside, there in ((here - 1, here > 0), (here, here < len(other))):
        near = trace.value[other[np.clip(beside, 0, len(other) - 1)]]
        far &= ~there | (np.abs(near - WOKEN_C) > HOTTER_C)
    return at_rest & far


def _near(before: Trace, value: float, at_ms: int, moves: Moves) -> bool:
    """Whether a value lies where the readings before it were going."""
    room, more = _room_of(before.kind) or (np.inf, 0.0)
    last, last_ms = float(before.value[-1]), int(before.at_ms[-1])
    gap = (at_ms - last_ms) / MINUTE_MS
    ways = (0.0, _slope(before) * min(gap, SLOPE_HOLDS_MIN), moves(last_ms, at_ms))
    room += more * min(gap, SILENCE_COUNTS_MIN)
    return last + min(ways) - room <= value <= last + max(ways) + room


def _slope(before: Trace) -> float:
    """The slope from the last reading but one to the last, a minute; 0 for a single reading."""
    last_ms = int(before.at_ms[-1])
    i = int(before.at_ms.searchsorted(last_ms - round(APART_MIN * MINUTE_MS), "right")) - 1
    if i < 0:
        return 0.0
    return float(before.value[-1] - before.value[i]) * MINUTE_MS / (last_ms - int(before.at_ms[i]))


def _moves(whole: WholeMake, kind: str, instants: Instants | None = None) -> Moves:
    """How far the plan's temperature goes between two instants; 0 where none is held.

    The plan is seen from the later of the two. Where they are among `instants`, ascending, it is
    seen from the last of those, and asked once for all of them.
    """
    if kind != "milk-temp":
        return lambda _from, _to: 0.0

    def held(at_ms: Instants) -> Floats:
        minutes = (at_ms - whole.make.started_ms) / MINUTE_MS
        return planned_at(line_of(whole, now_min=float(minutes[-1])), minutes)

    planned = None if instants is None or not len(instants) else held(instants)

    def moves(from_ms: int, to_ms: int) -> float:
        ends = np.array([from_ms, to_ms], np.int64)
        if instants is None or planned is None:
            there = held(ends)
        else:
            there = planned[np.searchsorted(instants, ends)]
        return float(there[1] - there[0]) if np.isfinite(there).all() else 0.0

    return moves
