"""Makes on the calendar: each day of the kitchen with its date, its salt, its wheels."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta

import numpy as np

from journal.records.instants import DAY_MS, MINUTE_MS, from_datetime, local
from journal.records.plans import Plan
from journal.sample.day import SimulatedDay, live
from journal.sample.design import NOTEBOOK, ROUND, Intent, Version, intents, numbers, version_at
from journal.sample.plans import plan_of
from journal.sample.ripening import ROOMS
from journal.sample.seeds import MAKE, identity, key_of, stream
from journal.sample.series import MAKES, SimulatedSeries, set_up_series
from journal.sample.truth import GASSY_BELOW_MIN, MAKE_SD, WHEEL_SD, Facts

ZONE = "Europe/London"
LAST_BEFORE_DAYS = 42.0  # how long ago the newest finished make was
APART_DAYS = 609.0 / 22  # between two makes: 22 in twenty months
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

    number: int  # 1 for the first in the journal; 0, -1, -2 … back in time in the notebook
    started_ms: int
    day: SimulatedDay
    salt_g: float
    facts: Facts | None  # None where it never came so far
    cheeses: tuple[SimulatedCheese, ...] = ()
    until_min: float = field(default=float("inf"))

    @property
    def code(self) -> str:
        """Its code: those of the notebook are N01 and on."""
        number = self.number
        return f"HL-{number:04d}" if number > 0 else f"HL-N{NOTEBOOK + number:02d}"

    @property
    def noted(self) -> bool:
        """Whether it is of the notebook, written down by hand and brought in afterwards."""
        return self.number < 1

    @property
    def gassy(self) -> bool:
        """Whether its wheels blow up with gas."""
        return self.facts is not None and self.facts.matted_min < GASSY_BELOW_MIN

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
    plans = _plans(seed, makes)
    return [
        _one(seed, i, number, plans[i], (makes, now_ms)) for i, number in enumerate(numbers(makes))
    ]


def series_of(seed: int, makes: int) -> SimulatedSeries | None:
    """The kitchen's series; None before its first make."""
    if MAKES[0] not in numbers(makes):
        return None
    version = version_at(MAKES[0])
    return set_up_series(seed, _versions(seed, makes)[version])


def _versions(seed: int, makes: int) -> dict[Version, Plan]:
    """The plan of each version: those of a name are numbered as they first come up."""
    known: dict[Version, Plan] = {}
    for number in numbers(makes):
        version = version_at(number)
        if version not in known:
            count = 1 + sum(v.washed == version.washed for v in known)
            uuid = identity(stream(seed, MAKE, 0, len(known)))
            known[version] = plan_of(version, count, uuid)
    return known


def _plans(seed: int, makes: int) -> list[tuple[Plan, Intent]]:
    """Each make's plan, and what was meant: those of the series have plans of their own."""
    known, planned = _versions(seed, makes), series_of(seed, makes)
    out: list[tuple[Plan, Intent]] = []
    for number, intent in zip(numbers(makes), intents(seed, makes), strict=True):
        if planned is not None and number in MAKES:
            out.append((planned.plans[MAKES.index(number)], planned.meant(number, intent)))
        else:
            out.append((known[intent.version], intent))
    return out


def _one(
    seed: int, i: int, number: int, planned: tuple[Plan, Intent], until_when: tuple[int, int]
) -> Made:
    makes, now_ms = until_when
    rng = stream(seed, MAKE, 1, key_of(number) - 1)
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
    return Made(number, started, day, salt, facts, cheeses, until)


def _morning(rng: np.random.Generator, i: int, makes: int, now_ms: int) -> int:
    """When the i-th make begins: about nine in the morning of its date."""
    span = APART_DAYS * min(makes - 2, ROUND + NOTEBOOK - 2)
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
        matted_min=day.begin_of("mill") - day.end_of("drain"),
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
