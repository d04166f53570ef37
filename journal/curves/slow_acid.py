"""Acid that comes too slowly: how likely, what it means, and what practice does about it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from journal.curves.acid_limits import AcidLimit, limits_of, own_limits_of, target_of
from journal.curves.culture_time import culture_in_min, culture_time, culture_times
from journal.curves.leaning import CALLED, OFFSET_PH, SENSOR_NOISE, AcidFit
from journal.curves.plan_acid_targets import usual_of
from journal.curves.sigmoid import ph_at
from journal.curves.stall import ph_of
from journal.curves.titration import FRESH_PH
from journal.message import Message
from journal.records.plans import Plan
from journal.records.traces import Floats
from journal.records.whole import WholeMake

HOURS = 6.0  # in which Staphylococcus aureus multiplies most (J. Food Prot. 2006 69:2161, abstract)
UNSURE = 0.25  # from here on a failing culture is named, though not yet called
LIKELY, SURE = 0.5, 0.9  # that a published limit is missed

CAUTION = Message("curves.caution")


class ExpectedPh(NamedTuple):
    """The pH so many hours after the culture went in, as predicted (or read) now: middle and 80 %
    range."""

    hours: float
    ph: float
    low: float
    high: float


class MissedLimit(NamedTuple):
    """A limit that the acid will more likely than not miss, and what is expected at its hour."""

    limit: AcidLimit
    expected: ExpectedPh
    chance: float


def expected_at(whole: WholeMake, fitted: AcidFit, hours: float, whey: float = 0.0) -> ExpectedPh:
    """What the pH of curd (or whey) comes to `hours` after the culture went in."""
    low, mid, high = np.quantile(_drawn(whole, fitted, hours, whey), [0.1, 0.5, 0.9])
    return ExpectedPh(hours, float(mid), float(low), float(high))


def missed(whole: WholeMake, fitted: AcidFit) -> MissedLimit | None:
    """The limit of the plan's family, or the plan's own, that is most likely missed; None where
    none is, where nothing was read, or where the plan's own target is met by now.

    An early acid target of the plan counts only while the last one is not expected in time either.
    """
    if not fitted.readings:
        return None
    found = [_beside(whole, fitted, limit) for limit in limits_of(whole.plan)]
    if found and not found[-1].limit.family and found[-1].chance < LIKELY:
        return None
    likely = [m for m in found if _is_missed(whole, fitted, m)]
    return max(likely, key=_chance, default=None)


def held_to_limits(whole: WholeMake, fitted: AcidFit, last_min: float) -> float:
    """How likely the culture is slow or stalled, held to the limits of its acid; `last_min` is
    when it was last read.

    A culture that meets what is wanted of it is not slow, whatever its kind usually does; one that
    has not gone half of its way when the plan's own target is long due, is.
    """
    limits = limits_of(whole.plan)
    if not limits or not fitted.readings:
        return fitted.stalled
    last, stalled = limits[-1], fitted.stalled
    if stalled >= UNSURE:
        # A published limit is soon met: a culture that stalls below it misses the plan's target.
        wanted = (*(limits if last.family else ()), *own_limits_of(whole.plan)[-1:])
        stalled = min(stalled, max(_beside(whole, fitted, limit).chance for limit in wanted))
    if last.family:
        return stalled
    # Half of the way is common practice, no source. Only by the last of the plan's targets: a sound
    # culture at 0.6 of the usual pace has hardly begun its way to an early one when that is due.
    hours = (last_min - culture_in_min(whole)) / 60
    if hours < last.hours:
        return stalled
    halfway = (FRESH_PH + last.good_ph) / 2
    return max(stalled, float(np.mean(_drawn(whole, fitted, hours, last.whey) > halfway)))


def is_slow(whole: WholeMake, fitted: AcidFit) -> bool:
    """True when slow acid is to be named: the culture is called, or a limit is missed."""
    return fitted.called or missed(whole, fitted) is not None


def slow(whole: WholeMake, fitted: AcidFit) -> Message | None:
    """How slow the acid is, without the caution; None where it is not."""
    found = missed(whole, fitted)
    if found is None and not fitted.called:
        return None
    whey = 0.0 if found is None else found.limit.whey
    at = expected_at(whole, fitted, HOURS) if found is None else found.expected
    numbers = {
        "of": "whey" if whey else "curd",
        "ph": at.ph,
        "minutes": at.hours * 60,
        "low": at.low,
        "high": at.high,
    }
    if found is None:
        return Message("curves.slow", **numbers)
    return Message("curves.slow-by-limit", **numbers, limit=found.limit.message)


def failing(stalled: float, called: bool) -> Message | None:
    """The message about a failing culture, without the caution; None while there is no sign."""
    if called:
        return Message("curves.stalled", chance=stalled)
    return Message("curves.may-stall", chance=stalled) if stalled >= UNSURE else None


def cautioned(message: Message) -> Message:
    """The message about slow acid, with the published caution; `said` is among its values."""
    return Message("curves.cautioned", said=message, caution=CAUTION)


def is_met(plan: Plan, rows: Floats) -> bool:
    """Whether the last of the readings (n, 4: minutes, pH, 1 for whey, spread) has come down to
    the plan's own acid target; one that is unsure only when it lies so far below."""
    target = target_of(plan)
    if target is None or not len(rows):
        return False
    _, ph, whey, spread = rows[np.argmax(rows[:, 0])]
    apart = OFFSET_PH * (whey - float(target.kind == "whey-ph")) - (spread - SENSOR_NOISE.sd)
    return bool(ph - apart <= target.high)


def _beside(whole: WholeMake, fitted: AcidFit, limit: AcidLimit) -> MissedLimit:
    ph = _drawn(whole, fitted, limit.hours, limit.whey)
    low, mid, high = np.quantile(ph, [0.1, 0.5, 0.9])
    expected = ExpectedPh(limit.hours, float(mid), float(low), float(high))
    return MissedLimit(limit, expected, float(np.mean(ph > limit.slow_ph)))


def _is_missed(whole: WholeMake, fitted: AcidFit, found: MissedLimit) -> bool:
    """A published limit counts from one half on, unless such a make usually misses it; any other
    only when it is as sure as a culture that is called, and not once the plan's target is met."""
    if not found.limit.published:
        return found.chance >= CALLED and not fitted.met
    usual = usual_of(whole.plan).mean
    at = np.array([culture_in_min(whole) + found.limit.hours * 60])
    ph = ph_at(usual, culture_time(whole).at(at), found.limit.whey)[0, 0]
    return found.chance > (LIKELY if ph <= found.limit.slow_ph else SURE)


def _drawn(whole: WholeMake, fitted: AcidFit, hours: float, whey: float) -> Floats:
    at = np.array([culture_in_min(whole) + hours * 60])
    tau = np.array([time.at(at) for time in culture_times(whole)])
    out: Floats = ph_of(fitted.draws, tau[np.arange(len(fitted.draws)) % len(tau)], whey)[:, 0]
    return out


def _chance(found: MissedLimit) -> float:
    return found.chance
