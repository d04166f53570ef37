"""Penalised nonlinear least squares for a handful of parameters."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.curves import CurveError
from journal.records.traces import Floats

STEPS = 200
NEAR_STEPS, NEAR = 25, 1e-3  # the same for a search that need not come to its end
FLAT = 1e-14  # a step that would lower the sum of squares by less than this share ends the search
TINY = 1e-28  # the same where nothing is left to lower

# From parameters (p,) to predictions (n,) and their derivatives (n, p).
Model = Callable[[Floats], tuple[Floats, Floats]]


@dataclass(frozen=True)
class Prior:
    """What is believed before any reading: `mean` (p,) and `covariance` (p, p)."""

    mean: Floats
    covariance: Floats

    def precision(self) -> Floats:
        """The inverse of the covariance, (p, p)."""
        return np.asarray(np.linalg.inv(self.covariance), dtype=np.float64)


@dataclass(frozen=True)
class Solution:
    """The least of the sum of squares: `params` (p,), `curvature` (p, p) at it, `rss`.

    `curvature` is JᵀJ/noise² plus the prior's precision; its inverse over the free parameters is
    their covariance when `noise` is the readings' real spread. `rss` is that of the readings
    alone, in their own unit squared.
    """

    params: Floats
    curvature: Floats
    rss: float
    free: npt.NDArray[np.bool_]

    def covariance(self) -> Floats:
        """Inverse curvature (p, p), zero for what was held."""
        out = np.zeros_like(self.curvature)
        pick = np.ix_(self.free, self.free)
        out[pick] = np.linalg.pinv(self.curvature[pick], hermitian=True)
        return out


def solve(
    model: Model,
    observed: Floats,
    start: npt.ArrayLike,
    *,
    noise: float = 1.0,
    prior: Prior | None = None,
    hold: npt.ArrayLike | None = None,
) -> Solution:
    """Minimise Σ((model − observed)/noise)² plus the prior's penalty, by damped Gauss–Newton.

    Parameters
    ----------
    model : gives predictions (n,) and derivatives (n, p) at parameters (p,)
    observed : (n,) readings, may be empty when there is a prior
    start : (p,) where to begin
    noise : the readings' standard deviation, weighs them against the prior
    prior : mean and covariance; None fits the readings alone
    hold : (p,) true where a parameter stays at its start

    Raises
    ------
    CurveError
        When the search does not settle.
    """
    found, settled = _search(model, observed, start, noise, prior, hold, STEPS, FLAT)
    if not settled:
        raise CurveError("curves.unsettled")
    return found


def approach(
    model: Model, observed: Floats, start: npt.ArrayLike, *, noise: float, prior: Prior
) -> Solution:
    """Go towards the least of the same sum for a few steps: near enough to try courses around.

    Raises
    ------
    CurveError
        When the start itself is no course.
    """
    return _search(model, observed, start, noise, prior, None, NEAR_STEPS, NEAR)[0]


def _search(
    model: Model,
    observed: Floats,
    start: npt.ArrayLike,
    noise: float,
    prior: Prior | None,
    hold: npt.ArrayLike | None,
    steps: int,
    flat: float,
) -> tuple[Solution, bool]:
    """The best found in so many steps, and whether the search had come to its end."""
    theta = np.array(start, dtype=float)
    free = np.ones(len(theta), bool) if hold is None else ~np.asarray(hold, bool)
    task = _Task(model, observed, noise, prior, free)
    damping = 1e-3
    cost, slope, curve = task.at(theta)
    if not np.isfinite(cost):
        raise CurveError("curves.unsettled")
    for _ in range(steps):
        step = _step(slope, curve, free, damping)
        new_cost, new_slope, new_curve = task.at(theta + step)
        if not new_cost <= cost:
            damping *= 8
            if damping > 1e15:
                return task.done(theta, curve), True
            continue
        settled = abs(float(slope @ step)) <= flat * cost + TINY
        damping = _next_damping(damping, (cost - new_cost) / _predicted(slope, curve, step))
        theta, cost, slope, curve = theta + step, new_cost, new_slope, new_curve
        if settled:
            return task.done(theta, curve), True
    return task.done(theta, curve), False


def _predicted(slope: Floats, curve: Floats, step: Floats) -> float:
    """By how much a step should lower the sum of squares, were the model straight."""
    return max(-float(2 * slope @ step + step @ curve @ step), 1e-300)


def _next_damping(damping: float, gain: float) -> float:
    """Less damping where a step did what was predicted, more where it fell short."""
    if gain > 0.75:
        return max(damping / 8, 1e-14)
    return max(damping, 1e-4) * 4 if gain < 0.5 else damping


def _step(slope: Floats, curve: Floats, free: npt.NDArray[np.bool_], damping: float) -> Floats:
    """The next move, zero for what is held."""
    out = np.zeros_like(slope)
    inner = curve[np.ix_(free, free)]
    scale = np.maximum(np.diag(inner), 1e-300)
    out[free] = -np.linalg.lstsq(inner + damping * np.diag(scale), slope[free], rcond=None)[0]
    return out


@dataclass
class _Task:
    """The sum of squares to be made least."""

    model: Model
    observed: Floats
    noise: float
    prior: Prior | None
    free: npt.NDArray[np.bool_]

    def __post_init__(self) -> None:
        self.precision = None if self.prior is None else self.prior.precision()

    def at(self, theta: Floats) -> tuple[float, Floats, Floats]:
        """Cost, half its slope (p,) and half its curvature (p, p)."""
        with np.errstate(over="ignore", invalid="ignore"):
            predicted, jacobian = self.model(theta)
            miss, jacobian = (predicted - self.observed) / self.noise, jacobian / self.noise
            cost, slope, curve = float(miss @ miss), jacobian.T @ miss, jacobian.T @ jacobian
        if self.prior is not None and self.precision is not None:
            away = theta - self.prior.mean
            pull = self.precision @ away
            cost, slope, curve = cost + float(away @ pull), slope + pull, curve + self.precision
        sound = np.isfinite(cost) and np.isfinite(slope).all() and np.isfinite(curve).all()
        return (cost if sound else np.inf), slope, curve

    def done(self, theta: Floats, curve: Floats) -> Solution:
        """The answer at `theta`."""
        miss = self.model(theta)[0] - self.observed
        return Solution(theta, curve, float(miss @ miss), self.free)
