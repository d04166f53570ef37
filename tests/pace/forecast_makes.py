"""Whole makes of the sample's kitchen for the forecast's proof, whose true course is known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from journal.curves.until import whole_until
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.sample.culture import SimulatedCulture, Souring, draw
from journal.sample.day import SimulatedDay, live
from journal.sample.entries import additions, make_entry, run_entries
from journal.sample.made import Made
from journal.sample.plans import plan_of
from journal.sample.sensors import loggers, typed
from tests.even_makes import intents

START_MS = 1_760_000_000_000
FAILING = 0.1  # share of makes whose culture stalls or is slow, half of them each
LONGEST_MIN = 48 * 60.0  # how long the true course is followed after the culture went in
SHOWN_PH = 0.1  # a failing culture shows once it lies so far above what it would have been
STALL, SLOW, SOUND = "stalling", "slow", "sound"


@dataclass(frozen=True)
class Simulated:
    """A make with its truth: `whole` has all that was read, `day` what happened."""

    whole: WholeMake
    day: SimulatedDay
    fate: str
    culture_min: float  # when the culture went in, minutes from the start
    course: Callable[[np.ndarray], np.ndarray]  # minutes from the start → true curd pH
    twin: Callable[[np.ndarray], np.ndarray]  # the same had the culture not failed

    def passes(self, ph: float, *, twin: bool = False) -> float:
        """Minutes from the start at which the curd truly passes a pH; inf when not in two days."""
        at = self.culture_min + np.arange(0.0, LONGEST_MIN, 0.25)
        below = np.flatnonzero((self.twin if twin else self.course)(at) <= ph)
        return float(at[below[0]]) if len(below) else np.inf

    def shows(self) -> float:
        """Minutes from the start at which the failing shows; inf for a sound culture."""
        at = self.culture_min + np.arange(0.0, LONGEST_MIN, 0.25)
        apart = np.flatnonzero(self.course(at) - self.twin(at) >= SHOWN_PH)
        return float(at[apart[0]]) if len(apart) else np.inf

    def until(self, minutes: float) -> WholeMake:
        """The make as the journal held it `minutes` from the start."""
        return whole_until(self.whole, START_MS + round(minutes * 60_000))

    def ph_minutes(self) -> np.ndarray:
        """When pH was read after the culture went in, minutes from the start."""
        read = [
            self.whole.trace(kind).minutes_from(START_MS)
            for kind in ("milk-ph", "curd-ph", "whey-ph")
        ]
        at = np.unique(np.concatenate(read))
        return at[at > self.culture_min]


def kitchen(seed: int, makes: int) -> list[Simulated]:
    """Makes of one kitchen in their order; what varies from make to make does so as in the
    sample, but that a tenth of the cultures stall or are slow."""
    rng = np.random.default_rng([seed, 77])
    meant = [replace(intent, failing=False) for intent in intents(seed, makes)]
    return [_simulated(rng, intent, i + 1) for i, intent in enumerate(meant)]


def _simulated(rng: np.random.Generator, intent, number: int) -> Simulated:
    plan = plan_of(intent.version, 1, f"plan-{number}")
    sound = draw(rng, washed=intent.version.washed, failing=False)
    fate, culture = _fated(rng, sound)
    room_c = float(rng.normal(19.5, 1.6))
    day = live(rng, plan, replace(intent, failing=fate != SOUND), room_c, culture)
    one = Made(number, START_MS, day, 0.0, None)
    return Simulated(
        _whole(rng, one),
        day,
        fate,
        day.begin_of("ripen"),
        _course(day, culture),
        _course(day, sound),
    )


def _fated(rng: np.random.Generator, sound: SimulatedCulture) -> tuple[str, SimulatedCulture]:
    """What becomes of a culture: a stall comes at 100 to 260 min and leaves 2 to 20 % of its
    rate, a slow one has 30 to 60 % from the start."""
    random_effect, when, stalled, slow = rng.random(4)
    if random_effect > FAILING:
        return SOUND, sound
    if random_effect > FAILING / 2:
        failing = replace(sound, fails_after_min=0.0, fails_to=0.3 + 0.3 * slow)
        return SLOW, replace(failing, failing=True)
    failing = replace(sound, fails_after_min=100 + 160 * when, fails_to=0.02 + 0.18 * stalled)
    return STALL, replace(failing, failing=True)


def _course(day: SimulatedDay, culture: SimulatedCulture) -> Callable[[np.ndarray], np.ndarray]:
    """The true pH of a culture in that day's vat, which is held where it is after the day."""
    begun, end = day.begin_of("ripen"), day.begins[-1]
    souring = Souring(culture, begun)
    at = np.arange(begun, begun + LONGEST_MIN + 2.0, 2.0)
    temp = day.vat.temperature_at(np.minimum(at, end))
    for minutes, before, after in zip(at[1:], temp[:-1], temp[1:], strict=True):
        souring.run(float(minutes), float(before), float(after))
    return souring.ph_at


def _whole(rng: np.random.Generator, one: Made) -> WholeMake:
    plan = replace(one.day.plan, id=1)
    read = [*loggers(rng, one, None), *typed(rng, one, plan.mould_mm or 0.0)]
    traces = {
        r.kind: Trace(r.kind, r.at_ms, r.value, np.zeros(len(r.at_ms), np.uint8)) for r in read
    }
    return WholeMake(
        replace(make_entry(rng, one, plan), id=1),
        plan,
        tuple(run_entries(rng, one, 1)),
        tuple(additions(rng, one, 1, [])),
        traces=traces,
    )
