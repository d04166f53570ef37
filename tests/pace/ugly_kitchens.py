"""Journals as homes keep them, with what is true of them: for the proof of the findings.

Nothing here knows how the journal reasons: no code and no prior is shared with it. What a home has:

* habits: a thing is done alike for months, then otherwise, often together with something else;
* milk that goes with the season, and a kitchen that drifts for reasons nobody noted;
* values rounded as they were written, forgotten, or noted only from some day on;
* two assessors, one of whom uses half the scale and one whose level drifts, in whole points, and a
  tenth of their scores missing;
* wrecked makes, one in fifteen; luck and effects with heavy tails.

Effects count in points as this panel gives them (three quarters of a point for one that is true,
since one of two uses half the scale) per sd of the variable in this journal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

VARIABLES, MATTER = 12, 4
SEASONAL = (10, 11)
LATE = (8, 9)
"""Variables that nobody noted in the first third of the makes."""
EVERY_DAYS, SESSION_DAYS = 21.0, 30.0
AGES = (90.0, 180.0)
CHANGES_HABIT, WITH_ANOTHER, BY_HAND = 0.15, 0.4, 0.25
LUCK, OF_WHEEL, OF_SESSION, OF_SCORE = 0.5, 0.2, 0.2, 0.5
DRIFT, LEVELS, LEVEL_DRIFT = 0.5, 0.5, 0.8
WRECKED, FORGOTTEN, UNSCORED = 1 / 15, 0.1, 0.1
SCALES = np.array([1.0, 0.5])
"""How much of the scale each assessor uses."""


@dataclass(frozen=True)
class UglyHome:
    """A home with so many makes; `effect` None draws effects with heavy tails, else four of that
    size."""

    makes: int
    effect: float | None = None


@dataclass(frozen=True)
class UglyJournal:
    """What stands in it, and what is true.

    Parameters
    ----------
    noted : ndarray (makes, 12)
        Values as they were written, NaN where nobody wrote them.
    singles : ndarray (6, scores)
        Make, wheel, assessor, session, age in days and value of each score.
    effect : ndarray (12,)
        Points per unit of each variable.
    change : ndarray (12,)
        A typical change of each, in its unit.
    """

    noted: np.ndarray
    singles: np.ndarray
    effect: np.ndarray
    change: np.ndarray


def ugly_journal(home: UglyHome, number: int, seed: int) -> UglyJournal:
    """The journal of that number."""
    rng = np.random.default_rng([seed, 8, home.makes, home.effect is None, number])
    done = _done(home.makes, rng)
    change = 2 ** rng.uniform(-1, 1, VARIABLES)
    effect = np.zeros(VARIABLES)
    own = rng.choice(VARIABLES, MATTER, replace=False)
    effect[own] = 0.35 * rng.standard_t(3, MATTER)
    if home.effect is not None:
        effect[own] = home.effect * rng.choice([-1, 1], MATTER)
    walk = np.cumsum(rng.normal(size=home.makes))
    walk = DRIFT * (walk - walk.mean()) / max(float(walk.std()), 1e-9)
    luck = LUCK * rng.standard_t(4, home.makes) / np.sqrt(2)
    wrecked = (rng.random(home.makes) < WRECKED) * rng.uniform(2, 4, home.makes)
    true = done @ effect / SCALES.mean() + walk + luck - wrecked
    singles = np.array(list(_tasted(true, rng))).T
    return UglyJournal(_noted(done, rng), singles, effect, change)


def _done(makes: int, rng: np.random.Generator) -> np.ndarray:
    """What was really done (makes, 12), of mean 0 and sd 1 in this journal."""
    habit = rng.normal(size=VARIABLES)
    done = np.empty((makes, VARIABLES))
    for i in range(makes):
        for j in np.flatnonzero(rng.random(VARIABLES) < CHANGES_HABIT):
            habit[j] = rng.normal()
            if rng.random() < WITH_ANOTHER:
                habit[(j + 1) % VARIABLES] = habit[j]
        done[i] = habit + BY_HAND * rng.normal(size=VARIABLES)
    days = EVERY_DAYS * np.arange(makes)
    for j in SEASONAL:
        late = rng.uniform(0, 0.5)
        done[:, j] = np.sin(2 * np.pi * days / 365 + late) + 0.4 * rng.normal(size=makes)
    return np.asarray((done - done.mean(axis=0)) / done.std(axis=0, ddof=1))


def _noted(done: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """What was written of it: every other variable rounded to half an sd, some of it never."""
    noted = done.copy()
    noted[:, ::2] = np.round(2 * noted[:, ::2]) / 2
    noted[rng.random(done.shape) < FORGOTTEN] = np.nan
    noted[: len(done) // 3, list(LATE)] = np.nan
    return noted


def _tasted(true: np.ndarray, rng: np.random.Generator) -> Iterator[list[float]]:
    """Every single score: two ages of a make, each another wheel, two assessors."""
    makes = len(true)
    level, way = LEVELS * rng.normal(size=2), rng.choice([-1.0, 1.0])
    mood = OF_SESSION * rng.normal(size=2 * makes + 40)
    for i, middle in enumerate(true):
        for a, days in enumerate(AGES):
            age = days + float(np.round(6 * rng.normal()))
            session = round((EVERY_DAYS * i + age) / SESSION_DAYS)
            score = middle + OF_WHEEL * rng.normal() + 0.2 * (age - 135) / 45 + mood[session]
            drifted = level + np.array([way * LEVEL_DRIFT * i / makes, 0.0])
            given = 6 + SCALES * score + drifted + OF_SCORE * rng.normal(size=2)
            for who in np.flatnonzero(rng.random(2) >= (UNSCORED if i else -1)):
                value = float(np.clip(np.round(given[who]), 0, 10))
                yield [i, 2 * i + a, int(who), session, age, value]
