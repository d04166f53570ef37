"""Working, slow or stalled: which courses of acid readings and past make likely, and how likely."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from journal.curves.sampling import sampled
from journal.curves.sigmoid import FitData, NoisePrior, falling
from journal.curves.solver import Prior, Solution, approach
from journal.curves.stall import ph_of, stalling, working
from journal.records.traces import Floats

SEED = 1903

# What a failing culture does. A starter hit by phage looked sound for about three hours at 37 °C
# (University of Guelph, Fig. 3.1), which is 0.7 of the usual middle of the fall; the spread about
# it, the share of the pace that is left, and how slow a slow one is are from memory.
STALL_AT, STALL_AT_SPREAD = 0.70, 0.35  # of the culture's usual middle
LEFT, LEFT_SPREAD = np.log(0.1), 0.8
SLOWER, SLOWER_SPREAD = 0.8, 0.35  # logarithm of how many times the minutes
SLOW_SHARE = 0.5  # of failing cultures: slow from the start


@dataclass(frozen=True)
class TriedCourses:
    """Courses tried (m, 8) under one hypothesis and the logarithms of their weights (m,)."""

    courses: Floats
    log_weight: Floats


class WeighedCourses(NamedTuple):
    """Courses (count, 8) as likely as all holds them; `failing` (0 to 1), how likely it is that
    the culture is slow or has stalled by the last reading."""

    courses: Floats
    failing: float


def weigh(
    data: FitData,
    solved: Solution,
    prior: Prior,
    sensor: NoisePrior,
    middle: float,
    chance: float,
    count: int,
) -> WeighedCourses:
    """Weigh a working culture against a slow and a stalled one, and draw courses of all three.

    Parameters
    ----------
    data : the readings
    solved : the solution for a working culture
    prior : what is believed of a working one
    sensor : what a sensor's spread usually is; its own is not taken as known
    middle : the culture's usual middle of the fall, minutes of culture time
    chance : how likely a culture fails, before any reading
    count : how many courses are drawn; the same ones each time
    """
    rng = np.random.default_rng(SEED)
    slow = slow_prior(prior)
    slowly = _solved(data, slow)
    parts = [
        _tried_plain(data, solved, prior, sensor, rng),
        _tried_plain(data, slowly, slow, sensor, rng),
        _tried_stalled(data, solved, stall_prior(prior, middle), sensor, rng),
    ]
    shares = np.log([1 - chance, chance * SLOW_SHARE, chance * (1 - SLOW_SHARE)])
    log_weight = np.concatenate([p.log_weight + s for p, s in zip(parts, shares, strict=True)])
    courses = np.vstack([p.courses for p in parts])
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    fails = np.ones(len(weight), bool)
    fails[: len(parts[0].courses)] = False
    now = data.tau.max() if len(data.tau) else 0.0
    fails[-len(parts[2].courses) :] = parts[2].courses[:, 6] < now
    rungs = (np.arange(count) + 0.5) / count
    drawn = courses[np.minimum(np.searchsorted(np.cumsum(weight), rungs), len(courses) - 1)]
    return WeighedCourses(drawn, float(weight[fails].sum()))


def slow_prior(prior: Prior) -> Prior:
    """A culture that does everything in more minutes, from the start."""
    along = np.zeros(len(prior.mean))
    along[2:4] = 1.0
    wider = prior.covariance + SLOWER_SPREAD**2 * np.outer(along, along)
    return Prior(prior.mean + SLOWER * along, wider)


def stall_prior(prior: Prior, middle: float) -> Prior:
    """A culture that works and then all but stops, (8,)."""
    covariance = np.zeros((8, 8))
    covariance[:6, :6] = prior.covariance
    covariance[6, 6], covariance[7, 7] = (STALL_AT_SPREAD * middle) ** 2, LEFT_SPREAD**2
    return Prior(np.r_[prior.mean, STALL_AT * middle, LEFT], covariance)


def _solved(data: FitData, prior: Prior) -> Solution:
    def model(theta: Floats) -> tuple[Floats, Floats]:
        return falling(theta, data.tau, data.whey)

    return approach(data.seen(model), data.observed, prior.mean, noise=data.noise, prior=prior)


def _tried_plain(
    data: FitData, solved: Solution, prior: Prior, sensor: NoisePrior, rng: np.random.Generator
) -> TriedCourses:
    def target(trial: Floats) -> Floats:
        return _log_fit(working(trial), data, sensor) + _log_normal(trial, prior)

    trial, log_weight = sampled([solved], prior, target, rng)
    return TriedCourses(working(trial), log_weight)


def _tried_stalled(
    data: FitData, solved: Solution, prior: Prior, sensor: NoisePrior, rng: np.random.Generator
) -> TriedCourses:
    def model(course: Floats) -> tuple[Floats, Floats]:
        return stalling(course, data.tau, data.whey)

    def target(trial: Floats) -> Floats:
        return _log_fit(trial, data, sensor) + _log_normal(trial, prior)

    last = data.tau.max() if len(data.tau) else 0.0
    middle, spread = prior.mean[6], np.sqrt(prior.covariance[6, 6])
    modes = [
        approach(
            data.seen(model),
            data.observed,
            np.r_[solved.params, at, prior.mean[7]],
            noise=data.noise,
            prior=prior,
        )
        for at in middle + spread * np.array([-1.5, -0.5, 0.5, 1.5])
        if at < last
    ]
    return TriedCourses(*sampled(modes, prior, target, rng))


def _log_fit(courses: Floats, data: FitData, sensor: NoisePrior) -> Floats:
    """Log likelihood (m,) of the readings, the sensor's spread averaged over."""
    rss = data.rss(ph_of(courses, data.tau, data.whey))
    usual = sensor.weight * sensor.sd**2
    out: Floats = -(sensor.weight + data.count) / 2 * np.log1p(rss / usual)
    return out


def _log_normal(trial: Floats, prior: Prior) -> Floats:
    root = np.linalg.cholesky(prior.covariance)
    z = np.linalg.solve(root, (trial - prior.mean).T)
    scale = np.log(np.diag(root)).sum() + trial.shape[1] / 2 * np.log(2 * np.pi)
    out: Floats = -np.sum(z**2, axis=0) / 2 - scale
    return out
