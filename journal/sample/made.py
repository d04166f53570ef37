"""Makes on the calendar: each day of the kitchen with its date, its salt, its wheels."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta

import numpy as np

from journal.records.instants import DAY_MS, MINUTE_MS, from_datetime, local
from journal.records.plans import Plan
from journal.sample.day import SimulatedDay, live
from journal.sample.design import BLOCK, Intent, Version, intents
from journal.sample.plans import plan_of
from journal.sample.ripening import ROOMS
from journal.sample.seeds import MAKE, identity, stream
from journal.sample.truth import MAKE_SD, WHEEL_SD, Facts

ZONE = "Europe/London"
LAST_BEFORE_DAYS = 42.0  # how long ago the newest finished make was
SPAN_DAYS = 609.0  # twenty months
MOST_DAYS = 14_610.0  # forty years: 10,000 makes are made more often
KG_PER_L = 1.032  # cold milk (published table: 1.033 at 10 °C, 1.030 at 20 °C)


@dataclass(frozen=True)
class SimulatedCheese:
    """A wheel as it truly is; `random_effect` is the random effect of the make and its own, in
    points."""

    make: int  # 0 for the oldest
    letter: str
    green_kg: float
    random_effect: float


@dataclass(frozen=True)
class Made:
    """One make on the calendar. `until_min`: what is later than that has not happened yet."""

    number: int  # 1 for the oldest
    started_ms: int
    day: SimulatedDay
    salt_g: float
    facts: Facts | None  # None where it never came so far
    cheeses: tuple[SimulatedCheese, ...] = ()
    until_min: float = field(default=float("inf"))

    @property
    def intent(self) -> Intent:
        """What it was meant to be."""
        return self.day.intent

    @property
    def running(self) -> bool:
        """True while it is under way."""
        return self.until_min < float("inf")

    def at_ms(self, minutes: float) -> int:
        """The instant `minutes` after its start, to the second."""
        return self.started_ms + round(minutes * 60) * 1000


def made(seed: int, makes: int, now_ms: int) -> list[Made]:
    """All makes of the kitchen, oldest first; the newest is in its cook at `now_ms`."""
    plans = _plans(seed, intents(seed, makes))
    return [_one(seed, i, makes, plans[i], now_ms) for i in range(makes)]


def _plans(seed: int, meant: list[Intent]) -> list[tuple[Plan, Intent]]:
    """Each make's plan: a version of its name is numbered when it first comes up."""
    known: dict[Version, Plan] = {}
    out: list[tuple[Plan, Intent]] = []
    for intent in meant:
        version = intent.version
        if version not in known:
            number = 1 + sum(v.washed == version.washed for v in known)
            uuid = identity(stream(seed, MAKE, 0, len(known)))
            known[version] = plan_of(version, number, uuid)
        out.append((known[version], intent))
    return out


def _one(seed: int, i: int, makes: int, planned: tuple[Plan, Intent], now_ms: int) -> Made:
    rng = stream(seed, MAKE, 1, i)
    plan, intent = planned
    running = i == makes - 1
    guess = now_ms if running else _morning(rng, i, makes, now_ms)
    day = live(rng, plan, intent, _kitchen_c(guess, rng))
    green = _green_kg(rng, intent)
    salt = float(round(intent.salt_g_per_kg * green))
    until, started = float("inf"), guess
    if running:
        begin, end = day.begin_of("cook"), day.end_of("cook")
        until = begin + 0.6 * (end - begin)
        started = (now_ms - round(until * MINUTE_MS)) // 1000 * 1000
        until = (now_ms - started) / MINUTE_MS
    facts = None if day.failed else _facts(day, salt / green)
    cheeses = () if day.failed or running else _cheeses(rng, i, intent.wheels, green)
    return Made(i + 1, started, day, salt, facts, cheeses, until)


def _morning(rng: np.random.Generator, i: int, makes: int, now_ms: int) -> int:
    """When the i-th make begins: about nine in the morning of its date."""
    span = SPAN_DAYS * min(1.0, (makes - 2) / (BLOCK - 2)) if makes > 2 else 0.0
    span = max(span, min(3.65 * (makes - 2), MOST_DAYS))
    ago = LAST_BEFORE_DAYS + span * (1.0 - i / max(makes - 2, 1))
    date = local(now_ms - round(ago * DAY_MS), ZONE)
    nine = date.replace(hour=9, minute=0, second=0, microsecond=0, fold=0)
    shift = timedelta(minutes=int(rng.integers(-50, 70)))
    return from_datetime((nine + shift).replace(tzinfo=None), ZONE)


def _kitchen_c(at_ms: int, rng: np.random.Generator) -> float:
    """The kitchen's air: warmest in late July."""
    season = np.cos(2 * np.pi * (local(at_ms, ZONE).timetuple().tm_yday - 207) / 365.25)
    return float(19.5 + 2.3 * season + rng.normal(0.0, 0.6))


def _green_kg(rng: np.random.Generator, intent: Intent) -> float:
    """Weight out of the press by Van Slyke and Price (University of Guelph), at the moisture of
    the day."""
    casein, moisture = rng.normal(2.45, 0.04), rng.normal(0.395, 0.008)
    percent = (0.93 * intent.fat_pct + casein - 0.1) * 1.09 / (1.0 - moisture)
    return float(intent.litres * KG_PER_L * percent / 100.0)


def _facts(day: SimulatedDay, salt_g_per_g: float) -> Facts:
    intent = day.intent
    return Facts(
        washed=intent.version.washed,
        ripening_min=day.ripening_min,
        rennet_ml_per_l=intent.rennet_ml_per_l,
        cut_mm=intent.version.cut_mm,
        cook_rate=day.cook_rate,
        cook_c=intent.version.cook_c,
        drain_ph=day.ph_at(day.begin_of("drain")),
        mill_ph=day.ph_at(day.begin_of("mill")),
        salt_g_per_kg=salt_g_per_g,
        press_kpa=intent.version.press_kpa,
        room_humidity_pct=ROOMS[intent.room].humidity_pct,
        milk_fat_pct=intent.fat_pct,
    )


def _cheeses(
    rng: np.random.Generator, i: int, wheels: int, green: float
) -> tuple[SimulatedCheese, ...]:
    make_effect = rng.normal(0.0, MAKE_SD)
    shares = np.array([1.0]) if wheels == 1 else np.array([1.0, 1.0]) + rng.normal(0, 0.02, 2)
    weights = np.round(green * shares / shares.sum(), 3)
    return tuple(
        SimulatedCheese(i, "AB"[k], float(weight), float(make_effect + rng.normal(0.0, WHEEL_SD)))
        for k, weight in enumerate(weights)
    )
