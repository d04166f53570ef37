"""What the journal's proposals are held against: five ways to choose the next make.

None of them shares code with the journal. Each is given what a maker has on paper (`Seen`) and
dice, and says the settings of the next make, and at the end those it would settle on.
"""

from __future__ import annotations

import numpy as np

from tests.pace.circle_worlds import AGES, CHANGES, Numbers, Seen

NOISE = 0.62  # sd of a make's mean score about what is true
SLOPE, BEND = 0.2, 0.07  # prior sds a typical change: near the truth, to the rivals' advantage


def make_scores(seen: Seen) -> tuple[Numbers, Numbers, Numbers]:
    """Makes with scores (n,), their mean score levelled for assessor and age (n,), and how many
    scores each has (n,)."""
    rows = seen.scores
    if not len(rows):
        return np.empty(0, int), np.empty(0), np.empty(0)
    makes, at = np.unique(rows[:, 0].astype(int), return_inverse=True)
    young = rows[:, 4] < sum(AGES) / 2
    nuisance = np.column_stack([young - 0.5, rows[:, 2] - 0.5])
    design = np.column_stack([np.eye(len(makes))[at], nuisance])
    weak = np.diag([*np.full(len(makes), 1e-6), 1.0, 1.0])
    found = np.linalg.solve(design.T @ design + weak, design.T @ rows[:, 5])
    return makes, found[: len(makes)], np.bincount(at).astype(float)


class Never:
    """Makes the same again and again."""

    name = "never changing"

    def choose(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        return np.zeros(CHANGES)

    def settle(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        return np.zeros(CHANGES)


class KeepWhatBeats:
    """One random change a make; a make that beats the mean of the rest becomes the plan."""

    name = "keep what beats"

    def choose(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        settings = self.settle(seen, rng).copy()
        j = int(rng.integers(CHANGES))
        settings[j] = np.clip(settings[j] + rng.choice([-1.0, 1.0]), -seen.reach, seen.reach)
        return settings

    def settle(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        makes, score, _ = make_scores(seen)
        if makes.size < 2:
            return np.zeros(CHANGES)
        best = int(np.argmax(score))
        rest = float(np.delete(score, best).mean())
        return seen.settings[makes[best]] if score[best] > rest + 0.3 else np.zeros(CHANGES)


def _features(settings: Numbers) -> Numbers:
    return np.hstack([np.ones((len(settings), 1)), settings, settings**2 - 2.0])


def _posterior(seen: Seen) -> tuple[Numbers, Numbers]:
    """Mean and covariance of level, slopes and bends."""
    makes, score, count = make_scores(seen)
    precision = np.diag([0.1, *np.full(CHANGES, SLOPE**-2), *np.full(CHANGES, BEND**-2)])
    mean = np.zeros(len(precision))
    if makes.size:
        carried = np.where(np.isfinite(seen.carried), seen.carried, seen.settings)[makes]
        f = _features(carried)
        weight = 1 / (0.5**2 + 0.5 / count)
        precision = precision + (f * weight[:, None]).T @ f
        mean = np.linalg.solve(precision, (f * weight[:, None]).T @ (score - 6.0))
    return mean, np.linalg.inv(precision)


def _best(mean: Numbers, reach: float) -> Numbers:
    """The settings with the best sum of line and bend, each within ±reach."""
    slope, bend = mean[1 : 1 + CHANGES], mean[1 + CHANGES :]
    grid = np.linspace(-reach, reach, 61)[:, None]
    return np.asarray(grid[np.argmax(slope * grid + bend * grid**2, axis=0), 0])


class Thompson:
    """Draws what may be true and makes the best of it, over all changes; the reach grows."""

    name = "Thompson draws"

    def choose(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        mean, covariance = _posterior(seen)
        drawn = rng.multivariate_normal(mean, covariance, method="cholesky")
        reach = 1.0 + 2.0 * min(seen.makes / 15, 1.0)
        return _best(drawn, min(reach, seen.reach))

    def settle(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        return _best(_posterior(seen)[0], seen.reach)


class Screening:
    """All changes at once by small balanced steps for 16 makes (a folded-over two-level plan), then
    the best that is known."""

    name = "balanced screening"
    makes = 16

    def choose(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        n = seen.makes
        if n < self.makes:
            return _sylvester(4)[n, 1 : 1 + CHANGES]
        return self.settle(seen, rng)

    def settle(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        return _best(_posterior(seen)[0], seen.reach)


def _sylvester(twice: int) -> Numbers:
    square = np.ones((1, 1))
    for _ in range(twice):
        square = np.block([[square, square], [square, -square]])
    return square


class GaussianProcess:
    """A Gaussian process (squared exponential, its length and size by likelihood) with expected
    improvement; makes not yet scored are believed to come as it expects."""

    name = "Gaussian process"
    lengths = (3.0, 5.0, 8.0, 12.0)
    sizes = (0.5, 1.0, 2.0)

    def choose(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        makes, score, _ = make_scores(seen)
        if makes.size < 3:
            return self._near(np.zeros(CHANGES), seen, rng, 1)[0]
        length, size = self._likeliest(seen.settings[makes], score)
        level = float(score.mean())
        waiting = np.setdiff1d(np.arange(seen.makes), makes)
        x, y = seen.settings[makes], score - level
        if waiting.size:
            believed = self._at(x, y, seen.settings[waiting], length, size)[0]
            x, y = np.vstack([x, seen.settings[waiting]]), np.append(y, believed)
        known = self._at(x, y, x, length, size)[0]
        top = x[int(np.argmax(known))]
        tried = np.vstack([self._near(top, seen, rng, 600), rng.uniform(
            -seen.reach, seen.reach, (200, CHANGES))])  # fmt: skip
        mean, sd = self._at(x, y, tried, length, size)
        return tried[int(np.argmax(_improvement(mean, sd, float(known.max()))))]

    def settle(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        makes, score, _ = make_scores(seen)
        if makes.size < 3:
            return np.zeros(CHANGES)
        x, y = seen.settings[makes], score - score.mean()
        length, size = self._likeliest(x, score)
        top = x[int(np.argmax(self._at(x, y, x, length, size)[0]))]
        for width in (1.0, 0.5):
            tried = np.vstack([top, self._near(top, seen, rng, 1500, width)])
            top = tried[int(np.argmax(self._at(x, y, tried, length, size)[0]))]
        return top

    def _near(
        self, top: Numbers, seen: Seen, rng: np.random.Generator, count: int, width: float = 1.0
    ) -> Numbers:
        moved = rng.random((count, CHANGES)) < rng.choice([0.15, 0.4, 1.0], (count, 1))
        steps = width * rng.normal(size=(count, CHANGES)) * moved
        return np.asarray(np.clip(top + steps, -seen.reach, seen.reach))

    def _likeliest(self, x: Numbers, score: Numbers) -> tuple[float, float]:
        y, found = score - score.mean(), []
        for length in self.lengths:
            for size in self.sizes:
                whole = _kernel(x, x, length, size) + NOISE**2 * np.eye(len(x))
                log = np.linalg.slogdet(whole)[1] + y @ np.linalg.solve(whole, y)
                found.append((float(log), length, size))
        return min(found)[1:]

    def _at(
        self, x: Numbers, y: Numbers, where: Numbers, length: float, size: float
    ) -> tuple[Numbers, Numbers]:
        whole = _kernel(x, x, length, size) + NOISE**2 * np.eye(len(x))
        across = _kernel(where, x, length, size)
        solved = np.linalg.solve(whole, across.T)
        variance = size**2 - np.einsum("ij,ji->i", across, solved)
        return solved.T @ y, np.sqrt(np.maximum(variance, 1e-9))


def _kernel(a: Numbers, b: Numbers, length: float, size: float) -> Numbers:
    far = (a**2).sum(axis=1)[:, None] + (b**2).sum(axis=1) - 2 * a @ b.T
    return np.asarray(size**2 * np.exp(-0.5 * far / length**2))


def _improvement(mean: Numbers, sd: Numbers, best: float) -> Numbers:
    from scipy.special import ndtr

    z = (mean - best) / sd
    return np.asarray((mean - best) * ndtr(z) + sd * np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi))


RIVALS = (Never, KeepWhatBeats, GaussianProcess, Thompson, Screening)
