"""What the kitchen meant to do at each make: habits that are kept, now and then one changed on
purpose, a designed series, and what comes of hands that are not exact."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from journal.sample.seeds import DESIGN, key_of, stream

ROUND = 24  # makes after which the kitchen's habits come round again
NOTEBOOK = 16  # makes kept on paper before the journal began: numbers 0, -1, -2 … back in time
FAILED = 14  # the make of a round whose culture failed
HURRIED = 1  # the make of a round drained late and milled early, its curd sweet and hardly matted
HURRIED_PH = 6.13, 5.70  # at the drain, at the milling
DOUBLES = frozenset((2, 5, 7, 10, 12, 17, 19, 22))  # makes of a round with milk for two wheels
WASHED = frozenset((2, 3, 6, 7, 11, 12, 15, 16, 20, 21))  # makes of a round by the washed plan

# What the kitchen is used to, from which make on. Each change was made on purpose.
Habit = tuple[tuple[int, float], ...]
HABITS: dict[str, Habit] = {
    "cut_mm": ((-15, 12.0), (-4, 10.0), (12, 13.0), (23, 9.0)),
    "cook_rate": ((-15, 0.17), (-8, 0.25), (3, 0.18), (15, 0.25), (19, 0.182)),
    "cook_c": ((-15, 38.6), (-11, 38.0), (6, 38.4), (17, 38.2), (23, 37.4)),
    "press_kpa": ((-15, 12.0), (2, 16.0), (20, 22.0)),
    "ripening_min": ((-15, 40.0), (-2, 50.0), (10, 35.0), (20, 45.0), (23, 55.1)),
    "rennet_ml_per_l": ((-15, 0.20), (1, 0.19), (8, 0.178), (15, 0.236), (19, 0.17), (23, 0.164)),
    "drain_ph": ((-15, 6.27), (8, 6.22), (16, 6.30)),
    "mill_ph": ((-15, 5.50), (9, 5.44), (17, 5.48)),
    "salt_g_per_kg": ((-15, 22.5), (-9, 24.5), (1, 23.0), (11, 22.0), (19, 24.5)),
    "fat_pct": ((-15, 3.75), (-7, 4.0), (4, 3.7), (13, 4.05), (23, 3.71)),
}
# How far a make comes out from the habit, one standard deviation: by chance, not on purpose.
CHANCE = {
    "ripening_min": 4.0,
    "rennet_ml_per_l": 0.009,
    "drain_ph": 0.05,
    "mill_ph": 0.12,
    "salt_g_per_kg": 0.9,
    "fat_pct": 0.12,
}
# Of the ways chance may have it, one in which the findings of seed 1 hold what a newcomer is to
# see: one that is clear, one that leans, one with its best value in the middle.
_CHANCE_OF = 18
_MILL_PH = (5.27, 5.70)  # sourer or sweeter than this they never milled, but for the one hurried
_LARDER = 0.35  # of the makes, the cellar being full
_WASHED = {"cook_c": -0.8, "drain_ph": 0.04, "salt_g_per_kg": -1.0}  # the washed plan's habits


@dataclass(frozen=True)
class Version:
    """What a version of a plan settles: cut (mm), cook (°C and °C/min), press (kPa)."""

    washed: bool
    cut_mm: float
    cook_rate: float
    cook_c: float
    press_kpa: float


@dataclass(frozen=True)
class Intent:
    """What one make was meant to be, beside its plan."""

    version: Version
    litres: float
    wheels: int
    ripening_min: float
    rennet_ml_per_l: float
    drain_ph: float
    mill_ph: float
    salt_g_per_kg: float
    salt_off: float  # of it by chance
    room: int  # which of the kitchen's rooms its wheels ripen in
    fat_pct: float
    failing: bool


def place_of(number: int) -> int:
    """The place of a make in its round, 1 to 24; those of the notebook stand before it."""
    return number if number < 1 else (number - 1) % ROUND + 1


def numbers(makes: int) -> range:
    """The numbers of so many makes, oldest first: what goes beyond a round is in the notebook
    first."""
    noted = min(max(makes - ROUND, 0), NOTEBOOK)
    return range(1 - noted, makes - noted + 1)


def habit(name: str, place: int, *, washed: bool = False) -> float:
    """What the kitchen was used to at a make of a round."""
    found = [value for since, value in HABITS[name] if since <= place][-1]
    return round(found + (_WASHED.get(name, 0.0) if washed else 0.0), 3)


def version_at(number: int) -> Version:
    """The version of its plan that a make follows."""
    place = place_of(number)
    washed = place % ROUND in WASHED
    settled = {
        name: habit(name, place, washed=washed)
        for name in ("cut_mm", "cook_rate", "cook_c", "press_kpa")
    }
    return Version(washed=washed, **settled)


def intents(seed: int, makes: int) -> list[Intent]:
    """What each of `makes` makes was meant to be, oldest first; the newest one is still running,
    and has come out as it is always done."""
    known = numbers(makes)
    out = [_intent(stream(seed, DESIGN, _CHANCE_OF, key_of(number)), number) for number in known]
    if out:
        out[-1] = _as_always(known[-1], out[-1])
    return out


def _intent(rng: np.random.Generator, number: int) -> Intent:
    place, version = place_of(number), version_at(number)
    double = place % ROUND in DOUBLES
    off = dict(zip(CHANCE, rng.normal(0.0, 1.0, len(CHANCE)).tolist(), strict=True))
    real = {
        name: habit(name, place, washed=version.washed) + sd * off[name]
        for name, sd in CHANCE.items()
    }
    real["mill_ph"] = float(np.clip(real["mill_ph"], *_MILL_PH))
    if place == HURRIED:
        real["drain_ph"], real["mill_ph"] = HURRIED_PH
    failing = place == FAILED
    return Intent(
        version=version,
        litres=round(float(rng.normal(21.0, 0.5) if double else rng.normal(12.0, 0.35)), 1),
        wheels=2 if double else 1,
        ripening_min=real["ripening_min"],
        rennet_ml_per_l=round(real["rennet_ml_per_l"], 3),
        drain_ph=6.2 if failing else real["drain_ph"],
        mill_ph=real["mill_ph"],
        salt_g_per_kg=real["salt_g_per_kg"],
        salt_off=CHANCE["salt_g_per_kg"] * off["salt_g_per_kg"],
        room=int(rng.random() < _LARDER),
        fat_pct=round(real["fat_pct"], 2),
        failing=failing,
    )


def _as_always(number: int, intent: Intent) -> Intent:
    """The make without chance."""
    own = {
        name: habit(name, place_of(number), washed=intent.version.washed)
        for name in CHANCE
        if name != "mill_ph"
    }
    return replace(intent, **own, salt_off=0.0, litres=12.2, wheels=1, room=0, failing=False)  # type: ignore[arg-type]
