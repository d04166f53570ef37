"""The falling course of pH in culture time, and when it passes a level."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from journal.curves.solver import Prior, Solved, solve
from journal.records.traces import Floats

# Order of the parameters: where pH begins and ends, the natural logarithms of the middle and the
# width of its fall (minutes of culture time), and by how much whey reads above curd.
NAMES = ("upper", "lower", "log_middle", "log_width", "whey_offset")
SEED = 1903
TAILS, TRIALS = 5.0, 4000  # degrees of freedom and number of the courses tried by `likely`


def falling(theta: Floats, tau: Floats, whey: Floats) -> tuple[Floats, Floats]:
    """pH on its way down, and its derivatives.

    pH = lower + (upper − lower) / (1 + exp((τ − middle) / width)) + offset · whey

    Parameters
    ----------
    theta : (5,) parameters in the order of `NAMES`
    tau : (n,) culture time, minutes
    whey : (n,) 1 for a whey reading, else 0

    Returns
    -------
    (n,) pH and (n, 5) derivatives
    """
    upper, lower, log_middle, log_width, offset = theta
    middle, width = np.exp(log_middle), np.exp(log_width)
    u = (tau - middle) / width
    left = 0.5 * (1 - np.tanh(u / 2))
    bend = -(upper - lower) * left * (1 - left)
    slopes = np.column_stack([left, 1 - left, -bend * middle / width, -bend * u, whey])
    return lower + (upper - lower) * left + offset * whey, slopes


def ph_at(draws: Floats, tau: Floats, whey: float | Floats = 0.0) -> Floats:
    """pH of many courses at once: draws (m, 5), tau (n,), whey one or (n,) → (m, n)."""
    upper, lower, log_middle, log_width, offset = np.atleast_2d(draws).T[:, :, None]
    u = (tau[None, :] - np.exp(log_middle)) / np.exp(log_width)
    value: Floats = lower + (upper - lower) * 0.5 * (1 - np.tanh(u / 2)) + offset * whey
    return value


def tau_when(draws: Floats, ph: float, whey: float = 0.0) -> Floats:
    """Culture time at which each course (m, 5) passes `ph`: 0 when it starts below, inf never."""
    upper, lower, log_middle, log_width, offset = np.atleast_2d(draws).T
    level = ph - offset * whey
    above, below = upper - level, level - lower
    falls = (above > 0) & (below > 0)
    ratio = np.where(falls, above, 1.0) / np.where(falls, below, 1.0)
    tau = np.exp(log_middle) + np.exp(log_width) * np.log(ratio)
    tau = np.where(above <= 0, 0.0, np.maximum(tau, 0.0))
    return np.where((above > 0) & (below <= 0), np.inf, tau)


@dataclass(frozen=True)
class Data:
    """What is fitted, each (n,): culture time, pH and 1 for whey; `noise` is the probe's sd."""

    tau: Floats
    ph: Floats
    whey: Floats
    noise: float = 1.0


class Probe(NamedTuple):
    """What a probe's standard deviation usually is, as sure as `weight` readings would be."""

    sd: float
    weight: float


def likely(data: Data, solved: Solved, prior: Prior, probe: Probe, count: int) -> Floats:
    """Courses (count, 5) as likely as readings and prior together hold them, the same each time.

    Drawn around the solution with a t distribution's tails, weighed by readings and prior, and
    drawn again by weight: the true range is lopsided when the fall has not yet begun. The probe's
    own spread is not taken as known but weighed by what it usually is.
    """
    rng = np.random.default_rng(SEED)
    values, vectors = np.linalg.eigh(solved.covariance())
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    stretch = np.sqrt(rng.chisquare(TAILS, TRIALS) / TAILS)
    z = rng.standard_normal((TRIALS, len(solved.params))) / stretch[:, None]
    trial = solved.params + z @ root.T
    rss = np.sum((ph_at(trial, data.tau, data.whey) - data.ph) ** 2, axis=1)
    away = trial - prior.mean
    fitting = -(probe.weight + len(data.ph)) / 2 * np.log(probe.weight * probe.sd**2 + rss)
    leaning = -np.sum(away @ prior.precision() * away, axis=1) / 2
    tail = (TAILS + z.shape[1]) / 2 * np.log1p(np.sum(z**2, axis=1) / TAILS)
    log_weight = fitting + leaning + tail
    weight = np.cumsum(np.exp(log_weight - log_weight.max()))
    rungs = (np.arange(count) + 0.5) / count * weight[-1]
    drawn: Floats = trial[np.searchsorted(weight, rungs)]
    return drawn


def fit_falling(
    data: Data,
    start: npt.ArrayLike,
    *,
    prior: Prior | None = None,
    hold: npt.ArrayLike | None = None,
) -> Solved:
    """Fit the falling course to readings; without a prior it is plain least squares."""

    def model(theta: Floats) -> tuple[Floats, Floats]:
        return falling(theta, data.tau, data.whey)

    return solve(model, data.ph, start, noise=data.noise, prior=prior, hold=hold)
