"""One make: the day at the vat from cold milk to the press, stage by stage."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from journal.records.plans import Plan, Stage
from journal.sample.culture import SimulatedCulture, Souring, draw
from journal.sample.design import Intent
from journal.sample.hand import Hand
from journal.sample.plans import WASH_C, WASH_L, WHEY_L
from journal.sample.vat import Vat, drained, full, moulded

GIVEN_UP_MIN = 380.0  # after the culture went in, with the curd still too sweet
LATE_EVERY = 16  # about one stage in so many is begun well late
_LATEST_MIN = 150.0  # longest wait for an acid target


@dataclass
class SimulatedDay:
    """What happened, in minutes from the start. `begins` has one more entry than stages run."""

    plan: Plan
    intent: Intent
    room_c: float
    vat: Vat
    souring: Souring
    begins: list[float] = field(default_factory=list)
    lates: list[tuple[Stage, float, float]] = field(default_factory=list)  # stage, when, minutes
    failed: bool = False

    def begin_of(self, kind: str) -> float:
        """When the first stage of that kind began."""
        return self.begins[[s.kind for s in self.plan.stages].index(kind)]

    def end_of(self, kind: str) -> float:
        """When it ended."""
        return self.begins[[s.kind for s in self.plan.stages].index(kind) + 1]

    @property
    def ripening_min(self) -> float:
        """Culture in to rennet in."""
        return self.begin_of("set") - self.begin_of("ripen")

    @property
    def cook_rate(self) -> float:
        """Least-squares slope of the true temperature over the cook, °C/min."""
        begin, end = self.begin_of("cook"), self.end_of("cook")
        at = np.linspace(begin, end, 200)
        return float(np.polyfit(at - begin, self.vat.temperature_at(at), 1)[0])

    def ph_at(self, minutes: float) -> float:
        """Curd pH at a moment."""
        return float(self.souring.ph_at(np.array([minutes]))[0])


def live(
    rng: np.random.Generator,
    plan: Plan,
    intent: Intent,
    room_c: float,
    culture: SimulatedCulture | None = None,
) -> SimulatedDay:
    """Live through a make, with a culture of its own or (None) as it happens to be that day."""
    vat = Vat(full(intent.litres, room_c), float(rng.normal(plan.milk_c + 0.4, 0.6)))
    hand = Hand(rng, vat)
    drawn = draw(rng, washed=intent.version.washed, failing=intent.failing)
    culture = drawn if culture is None else culture
    day = SimulatedDay(plan, intent, room_c, vat, Souring(culture, 0.0))
    for stage in plan.stages:
        day.begins.append(hand.at_min)
        if stage.kind == "ripen":
            day.souring = hand.souring = Souring(culture, hand.at_min)
        _STAGES[stage.kind](day, hand, stage, rng)
        if day.failed:
            break
        if stage.kind not in ("warm", "ripen", "cook"):
            _late(day, hand, stage, rng)
    day.begins.append(hand.at_min)
    return day


def _late(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    """The minutes until the next stage really begins."""
    minutes = float(min(rng.exponential(1.5), 6.0))
    if rng.integers(LATE_EVERY) == 0:
        minutes = float(rng.uniform(10.0, 24.0))
        day.lates.append((stage, hand.at_min, minutes))
    hand.wait(minutes)


def _warm(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    goal = _target(stage)

    def close() -> bool:
        return hand.vat.temp_c > goal - 0.5

    hand.hold(80.0, lambda _: goal, every=3.0, enough=close)
    hand.hold(float(rng.uniform(2.0, 6.0)), lambda _: goal)


def _ripen(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    hand.hold(day.intent.ripening_min, lambda _: _target(stage), every=8.0)


def _set(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    """Setting time goes inversely with the dose of rennet (wide range, published)."""
    weaker = 0.20 / day.intent.rennet_ml_per_l
    minutes = stage.minutes * (0.35 + 0.65 * weaker) * float(rng.lognormal(0.0, 0.05))
    hand.hold(minutes, lambda _: _target(stage), every=10.0)


def _by_hand(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    hand.off(stage.minutes * float(rng.uniform(0.85, 1.25)))


def _heal(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    hand.hold(stage.minutes * float(rng.uniform(0.85, 1.25)), lambda _: _target(stage), every=3.0)


def _wash(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    share = WASH_L / (1.0 - WHEY_L + WASH_L) / 2
    water = WASH_C + float(rng.normal(0.0, 1.2))
    for minutes in (3.0, 5.0):
        hand.off(minutes)
        hand.vat.pour(water, share)
    hand.off(max(stage.minutes - 8.0, 2.0) * float(rng.uniform(0.9, 1.2)))


def _cook(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    begin, start, goal = hand.at_min, hand.vat.temp_c, _target(stage)
    rate = day.intent.version.cook_rate * float(rng.lognormal(0.05, 0.07))

    def ramp(at: float) -> float:
        return min(start + rate * (at - begin), goal + 0.1)

    def there() -> bool:
        return hand.vat.temp_c > goal - 0.25

    hand.hold(stage.minutes + 45.0, ramp, every=2.5, ahead=4.5, enough=there)


def _to_acid_target(day: SimulatedDay, hand: Hand, goal: float, sour: Callable[[], bool]) -> None:
    hand.hold(12.0, lambda _: goal)
    hand.hold(_LATEST_MIN, lambda _: goal, enough=sour)


def _under_whey(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    if "drain" in [s.kind for s in day.plan.stages[: len(day.begins)]]:
        return _mat(day, hand, stage, rng)
    goal, acid_target = _target(stage), day.intent.drain_ph
    _to_acid_target(day, hand, goal, lambda: hand.ph <= acid_target)
    if hand.ph > acid_target + 0.02:
        waited = hand.at_min - day.begin_of("ripen")
        hand.hold(max(GIVEN_UP_MIN - waited, 5.0), lambda _: goal)
        day.failed = True
    return None


def _drain(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    hand.vat.become(drained(hand.vat.vessel))
    _by_hand(day, hand, stage, rng)


def _mat(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    acid_target = day.intent.mill_ph
    _to_acid_target(day, hand, _target(stage), lambda: hand.ph <= acid_target)


def _mill(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    hand.vat.become(moulded(hand.vat.vessel))
    _by_hand(day, hand, stage, rng)


def _press(day: SimulatedDay, hand: Hand, stage: Stage, rng: np.random.Generator) -> None:
    long = stage.minutes > 120
    minutes = float(rng.normal(stage.minutes, 35.0 if long else 5.0))
    hand.off(max(minutes, 10.0))


def _target(stage: Stage) -> float:
    assert stage.target_c is not None
    return stage.target_c


_STAGES: dict[str, Callable[[SimulatedDay, Hand, Stage, np.random.Generator], None]] = {
    "warm": _warm,
    "ripen": _ripen,
    "set": _set,
    "cut": _by_hand,
    "heal": _heal,
    "wash": _wash,
    "cook": _cook,
    "pitch": _under_whey,
    "drain": _drain,
    "cheddar": _mat,
    "mill": _mill,
    "salt": _by_hand,
    "mould": _by_hand,
    "press": _press,
}
