"""What the next make should try, in numbers: the best known settings, and the changes that pay.

All is in typical changes from one origin. The base is the best known settings: each change at
the value that promises most, a little held back by how unsure that is, and never farther than a
step beyond what was made. From there as much is tried as the manner allows.

*careful*: up to three changes of one step. What a trial may teach is worth what knowing the change
would add, in the share of it that one make can teach, for the makes that come after; what it costs
is what it is expected to lose. Makes that wait for scores count as what they will teach, so that
the next ones look elsewhere, and other way round.
*bold*: as many changes as pay. What may be true is drawn from what the scores leave open, and the
best is made of it, over all changes at once (so each is tried as often as it may be the better
one), half a step beyond what was made at most; as far as it is expected to lose no more than
`MOST_LOST` against the best known settings.
*one*: a single change.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from journal.findings.additive import AdditiveFit, features
from journal.findings.table import Floats

CAREFUL, BOLD, ONE = "careful", "bold", "one"
MANNERS = (CAREFUL, BOLD, ONE)
MOST_CHANGES = {CAREFUL: 3, ONE: 1}
HELD_BACK = 0.1
"""Of the sd of a gain, before a change counts as promising."""
LEAST_GAIN = 0.03
"""Points below which a change is not worth the trouble."""
BEYOND, BOLD_BEYOND = 1.0, 0.5
"""Steps outside what was made."""
LEAST_STEP = 0.4
"""Steps below which a bold make leaves a change alone: nobody sets 57 minutes instead of 56."""
MOST_LOST = 0.7
"""Points a bold make may be expected to lose."""
YEARS_AHEAD = 5.0
"""What a make teaches serves the makes of so many years."""
OWN_SCATTER2 = 0.1
"""Variance of a make's mean score beside the make's random effect."""
GRID, DRAWS = 25, 400
FARTHEST = 3.0
SAME = 0.25
"""Steps within which two makes are the same."""


@dataclass(frozen=True)
class Trials:
    """Every make so far, scored or not.

    Parameters
    ----------
    settings : ndarray (makes, changes)
        What was done, or meant where nobody knows, in their order.
    scored : ndarray of bool (makes,)
    low, high : ndarray (changes,)
        How far each change may go.
    a_year : float
        Makes a year.
    """

    settings: Floats
    scored: NDArray[np.bool_]
    low: Floats
    high: Floats
    a_year: float

    @property
    def waiting(self) -> Floats:
        """The makes that have no score yet (makes, changes)."""
        return self.settings[~self.scored]

    def reach(self, beyond: float) -> tuple[Floats, Floats]:
        """Lowest and highest settings, so many steps outside what was made."""
        made = np.vstack([self.settings, np.zeros((1, self.low.size))])
        return (
            np.clip(made.min(axis=0) - beyond, self.low, 0),
            np.clip(made.max(axis=0) + beyond, 0, self.high),
        )


def best_settings(fit: AdditiveFit, trials: Trials) -> Floats:
    """The best known settings (changes,)."""
    low, high = trials.reach(BEYOND)
    at = np.arange(low.size)
    grid = _grid(low, high)
    grid = np.vstack([np.zeros((1, low.size)), grid])  # the origin is always one of them
    gain, sd = fit.each_gain(grid)
    best = np.argmax(gain - HELD_BACK * sd, axis=0)
    return np.where(gain[best, at] >= LEAST_GAIN, grid[best, at], 0.0)


def choose(fit: AdditiveFit, trials: Trials, manner: str, rng: np.random.Generator) -> Floats:
    """The settings of the next make (changes,); those of the best known where nothing pays."""
    base = best_settings(fit, trials)
    if manner == BOLD:
        return _bold(fit, trials, base, rng)
    return _Few(fit, trials, base, fit.draws(rng, DRAWS)).settings(MOST_CHANGES[manner])


def _grid(low: Floats, high: Floats) -> Floats:
    return np.asarray(low + np.linspace(0, 1, GRID)[:, None] * (high - low))


def _bold(fit: AdditiveFit, trials: Trials, base: Floats, rng: np.random.Generator) -> Floats:
    k = fit.changes
    grid = _grid(*trials.reach(BOLD_BEYOND))
    true = fit.draws(rng, 1)[0]
    gain = true[1 : 1 + k] * grid + true[1 + k :] * grid**2
    there = grid[np.argmax(gain, axis=0), np.arange(k)]
    ways = base + np.linspace(1, 0, 21)[:, None] * (there - base)
    kept = fit.scores(ways) >= float(fit.scores(base)[0]) - MOST_LOST
    chosen = ways[int(np.argmax(kept))]
    return np.where(np.abs(chosen - base) < LEAST_STEP, base, chosen)


@dataclass(frozen=True)
class _Few:
    """A few changes of one step about the base; `drawn` holds draws of what may be true."""

    fit: AdditiveFit
    trials: Trials
    base: Floats
    drawn: Floats

    @cached_property
    def open(self) -> Floats:
        """Covariance once the makes that wait have scores."""
        c = self.fit.covariance
        for row in features(self.trials.waiting) if len(self.trials.waiting) else ():
            across = c @ row
            c = c - np.outer(across, across) / (self.noise2 + row @ across)
        return np.asarray(c)

    @property
    def noise2(self) -> float:
        """Variance of a make's mean score about what its settings are worth."""
        return self.fit.random_effect_variance + OWN_SCATTER2

    @cached_property
    def knowing(self) -> Floats:
        """What it would add to know all about each change (changes,), points."""
        k, far = self.fit.changes, np.linspace(-FARTHEST, FARTHEST, 9)[:, None]
        there = np.clip(self.base + far, self.trials.low, self.trials.high)
        off, bent = there - self.base, there**2 - self.base**2
        gains = self.drawn[:, None, 1 : 1 + k] * off + self.drawn[:, None, 1 + k :] * bent
        blind = np.maximum(gains.mean(axis=0).max(axis=0), 0)
        return np.asarray(np.maximum(gains.max(axis=1), 0).mean(axis=0) - blind)

    def settings(self, most: int) -> Floats:
        """The base with so many changes, each the one that pays most beside those before."""
        settings, moved = self.base.copy(), np.zeros(self.base.size, bool)
        for _ in range(most):
            worth = self._worth(settings)
            worth[:, moved] = -np.inf
            way, j = np.unravel_index(int(np.argmax(worth)), worth.shape)
            if worth[way, j] <= 0:
                break
            settings[j] = self.base[j] + (-1.0, 1.0)[way]
            moved[j] = True
        return settings

    def _worth(self, settings: Floats) -> Floats:
        """What a step down and up of each change is worth beside settings (2, changes), points."""
        low, high = self.trials.reach(1.0)
        k, out = self.fit.changes, np.empty((2, self.base.size))
        for i, step in enumerate((-1.0, 1.0)):
            value = self.base + step
            made = np.tile(settings, (k, 1))
            np.fill_diagonal(made, value)
            rows = features(made)
            across = rows @ self.open
            noise = self.noise2 + (across * rows).sum(axis=1)
            j = np.arange(k)
            bent = value**2 - self.base**2
            tells = step * across[j, 1 + j] + bent * across[j, 1 + k + j]
            own = (
                self.open[1 + j, 1 + j]
                + 2 * step * bent * self.open[1 + j, 1 + k + j]
                + bent**2 * self.open[1 + k + j, 1 + k + j]
            )
            share = tells**2 / (own * noise)
            lost = step * self.fit.mean[1 + j] + bent * self.fit.mean[1 + k + j]
            out[i] = self.knowing * share * YEARS_AHEAD * self.trials.a_year + lost
            out[i, (value < low - 1e-9) | (value > high + 1e-9) | self._again(made)] = -np.inf
        return out

    def _again(self, made: Floats) -> NDArray[np.bool_]:
        """Which of these (n, changes) are makes that wait already."""
        off = np.abs(made[:, None] - self.trials.waiting[None]).max(axis=2, initial=0)
        return np.asarray((off < SAME).any(axis=1))
