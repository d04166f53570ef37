"""The falling course of pH in culture time, and when it passes a level."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from journal.curves.solver import Model, Prior, Solution, solve
from journal.records.traces import Floats

# Order of the parameters: where pH begins and ends; the natural logarithms of the middle and the
# width of its fall (minutes of culture time) and of its lopsidedness (0: a logistic, as steep
# before its middle as after; far below 0: Gompertz's curve, a sharp onset and a long tail); and
# by how much whey reads above curd once the two have parted.
NAMES = ("upper", "lower", "log_middle", "log_width", "log_shape", "whey_offset")
PARTED_PH = 0.25  # whey and curd read alike in sweet milk and part as it sours; from memory
STEEP = 500.0  # where an exponential is as good as its limit


def falling(theta: Floats, tau: Floats, whey: Floats) -> tuple[Floats, Floats]:
    """pH on its way down, and its derivatives.

    Curd pH = upper − fall, fall = (upper − lower) · S with S = (1 + ν exp(−u))^(−1/ν) and
    u = (τ − middle) / width: a logistic at ν = 1, Gompertz's curve as ν goes to 0. Whey reads
    offset · (1 − exp(−fall / 0.25)) above it.

    Parameters
    ----------
    theta : (6,) parameters in the order of `NAMES`
    tau : (n,) culture time, minutes
    whey : (n,) 1 for a whey reading, else 0

    Returns
    -------
    (n,) pH and (n, 6) derivatives
    """
    upper, lower, log_middle, log_width, log_shape, offset = theta
    middle, width, shape = np.exp(log_middle), np.exp(log_width), np.exp(log_shape)
    u = (tau - middle) / width
    fallen = _fallen(u, shape)
    climb = fallen / (np.exp(np.clip(u, -STEEP, STEEP)) + shape)
    drop = upper - lower
    twist = -fallen * np.log(fallen) - climb
    falls = np.column_stack(
        [fallen, -fallen, -drop * climb * middle / width, -drop * climb * u, drop * twist, 0 * u]
    )
    alike = np.exp(-drop * fallen / PARTED_PH)
    slopes = falls * (whey * offset * alike / PARTED_PH - 1)[:, None]
    slopes[:, 0] += 1
    slopes[:, 5] = whey * (1 - alike)
    return upper - drop * fallen + offset * whey * (1 - alike), slopes


def ph_at(draws: Floats, tau: Floats, whey: float | Floats = 0.0) -> Floats:
    """pH of many courses at once: draws (m, 6), tau (n,) or (m, n), whey one or (n,) → (m, n)."""
    upper, lower, log_middle, log_width, log_shape, offset = np.atleast_2d(draws).T[:, :, None]
    u = (np.atleast_2d(tau) - np.exp(log_middle)) / np.exp(log_width)
    fall = (upper - lower) * _fallen(u, np.exp(log_shape))
    value: Floats = upper - fall - offset * whey * np.expm1(-fall / PARTED_PH)
    return value


def tau_when(draws: Floats, ph: float, whey: float = 0.0) -> Floats:
    """Culture time at which each course (m, 6) passes `ph`: 0 when it starts below, inf never."""
    upper, lower, log_middle, log_width, log_shape, offset = np.atleast_2d(draws).T
    level, shape = _curd_when(ph, upper, lower, offset * whey), np.exp(log_shape)
    above, below = upper - level, level - lower
    falls = (above > 0) & (below > 0)
    share = np.where(falls, above, 1.0) / np.where(falls, upper - lower, 2.0)
    tau = np.exp(log_middle) - np.exp(log_width) * np.log(np.expm1(-shape * np.log(share)) / shape)
    tau = np.where(above <= 0, 0.0, np.maximum(tau, 0.0))
    return np.where((above > 0) & (below <= 0), np.inf, tau)


def _curd_when(ph: float, upper: Floats, lower: Floats, offset: Floats) -> Floats:
    """The curd's pH (m,) when what reads `offset` above it shows `ph`, by halving."""
    if not offset.any():
        return np.full_like(lower, ph)
    low, high = np.minimum(lower, ph) - 1, np.maximum(upper, ph)
    for _ in range(50):
        middle = (low + high) / 2
        shown = middle - offset * np.expm1(np.minimum(middle - upper, 0) / PARTED_PH)
        low, high = np.where(shown < ph, middle, low), np.where(shown < ph, high, middle)
    return np.where(offset == 0, ph, (low + high) / 2)


def _fallen(u: Floats, shape: Floats | float) -> Floats:
    """The share of the whole fall that is done, never quite 0."""
    grown = np.exp(np.minimum(-u, STEEP))
    share: Floats = np.exp(np.maximum(-np.log1p(shape * grown) / shape, -STEEP))
    return share


@dataclass(frozen=True)
class FitData:
    """What is fitted, each (n,): culture time, pH and 1 for whey; `noise` is the sensor's sd and
    `trust` (n,) the share of a sensor's sureness that each has, 1 for all without it."""

    tau: Floats
    ph: Floats
    whey: Floats
    noise: float = 1.0
    trust: Floats | None = None

    @property
    def count(self) -> float:
        """As how many readings of a sensor they count."""
        return float(len(self.ph)) if self.trust is None else float(np.sum(self.trust**2))

    def seen(self, model: Model) -> Model:
        """A model of their pH, each weighed by its trust."""
        if self.trust is None:
            return model
        trust = self.trust

        def weighed(theta: Floats) -> tuple[Floats, Floats]:
            ph, slopes = model(theta)
            return ph * trust, slopes * trust[:, None]

        return weighed

    @property
    def observed(self) -> Floats:
        """Their pH, weighed alike."""
        return self.ph if self.trust is None else self.ph * self.trust

    def rss(self, ph: Floats) -> Floats:
        """The sum of squares (m,) that courses (m, n) leave, weighed alike."""
        apart = ph - self.ph
        out: Floats = np.sum((apart if self.trust is None else apart * self.trust) ** 2, axis=-1)
        return out


class NoisePrior(NamedTuple):
    """What a sensor's standard deviation usually is, as sure as `weight` readings would be."""

    sd: float
    weight: float


def fit_falling(
    data: FitData,
    start: npt.ArrayLike,
    *,
    prior: Prior | None = None,
    hold: npt.ArrayLike | None = None,
) -> Solution:
    """Fit the falling course to readings; without a prior it is plain least squares."""

    def model(theta: Floats) -> tuple[Floats, Floats]:
        return falling(theta, data.tau, data.whey)

    return solve(data.seen(model), data.observed, start, noise=data.noise, prior=prior, hold=hold)
