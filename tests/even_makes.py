"""Makes as no home has them, for proofs of the vat: each variable spread evenly, apart from the
rest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from journal.sample.design import Intent, Version
from journal.sample.seeds import DESIGN, stream

Floats = npt.NDArray[np.float64]

BLOCK = 24  # makes in a round: within one, each variable goes once through its whole range
FAILED_AT = 13  # the make of a round whose culture failed
DOUBLES = frozenset((1, 4, 6, 9, 11, 16, 18, 21))  # makes of a round with milk for two wheels
WASHED = frozenset((1, 2, 5, 6, 10, 11, 14, 15, 19, 20))  # makes of a round by the washed plan
OWN = ("ripening", "rennet", "drain", "mill", "salt", "room", "fat")
VERSION = ("cut", "cook_rate", "cook", "press")
_TRIES = 400


def spread(rng: np.random.Generator, beside: Floats, columns: int) -> Floats:
    """A Latin hypercube (rows, columns) in 0 to 1: the one of many drawn that is the least
    correlated, within itself and with what stands `beside` it (rows, any)."""
    rows = len(beside)
    fixed = beside.T
    best, least = np.empty((rows, columns)), np.inf
    grid = np.tile(np.arange(rows, dtype=float), (columns, 1))
    for _ in range(_TRIES):
        drawn = rng.permuted(grid, axis=1)
        together = np.abs(np.corrcoef(np.concatenate([fixed, drawn])))[:, len(fixed) :]
        worst = np.sort(together, axis=0)[-2].max()  # the last is its own, 1
        if worst < least:
            best, least = drawn.T, worst
    return (best + rng.uniform(0.1, 0.9, (rows, columns))) / rows


def versions(seed: int) -> list[Version]:
    """The version each make of a round follows; two makes in a row share one."""
    pool = np.repeat([0.0, 1.0], [(BLOCK - len(WASHED)) // 2, len(WASHED) // 2])
    quantile = spread(stream(seed, DESIGN, 0), pool[:, None], len(VERSION))
    hard = iter(np.repeat(quantile[pool == 0], 2, axis=0))
    washed = iter(np.repeat(quantile[pool == 1], 2, axis=0))
    return [
        _version(next(washed if i in WASHED else hard), washed=i in WASHED) for i in range(BLOCK)
    ]


def _version(quantile: Floats, *, washed: bool) -> Version:
    cut, rate, cook, press = (float(q) for q in quantile)
    low_c = 36.4 if washed else 37.2
    return Version(
        washed=washed,
        cut_mm=float(round(7 + 8 * cut)),
        cook_rate=round(0.13 + 0.17 * rate, 3),
        cook_c=round((low_c + 2.8 * cook) * 5) / 5,
        press_kpa=float(round(9 + 13 * press)),
    )


def intents(seed: int, makes: int) -> list[Intent]:
    """What each of `makes` makes was meant to be, oldest first."""
    settled = versions(seed)
    beside = np.array([(v.washed, v.cut_mm, v.cook_rate, v.cook_c, v.press_kpa) for v in settled])
    out: list[Intent] = []
    for round_number in range(-(-makes // BLOCK)):
        rng = stream(seed, DESIGN, 1 + round_number)
        quantiles = spread(rng, beside, len(OWN))
        out += [_intent(rng, i, settled[i], quantiles[i]) for i in range(BLOCK)]
    out = out[:makes]
    if out and out[-1].failing:  # the newest one is still running
        out[-1] = replace(out[-1], failing=False)
    return out


def _intent(rng: np.random.Generator, i: int, version: Version, quantile: Floats) -> Intent:
    ripening, rennet, drain, mill, salt, room, fat = (float(q) for q in quantile)
    washed = version.washed
    milk = rng.normal(21.0, 0.5) if i in DOUBLES else rng.normal(12.0, 0.35)
    return Intent(
        version=version,
        litres=round(float(milk), 1),
        wheels=2 if i in DOUBLES else 1,
        ripening_min=28.0 + 32.0 * ripening,
        rennet_ml_per_l=round(0.16 + 0.08 * rennet, 3),
        drain_ph=6.2 if i == FAILED_AT else (6.20 if washed else 6.15) + 0.27 * drain,
        mill_ph=(5.36 if washed else 5.26) + 0.40 * mill,
        salt_g_per_kg=(18.0 if washed else 20.0) + 10.0 * salt,
        salt_off=0.0,
        room=int(room > 0.5),
        fat_pct=round(3.4 + 0.9 * fat, 2),
        failing=i == FAILED_AT,
    )
