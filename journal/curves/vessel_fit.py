"""A vessel's ramp as steps of heat through a slow vessel, weighed over how it loses and lags."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product

import numpy as np

from journal.records.traces import Floats

# dT/dt = a·H − k·(T − T_room), and H follows the heat P with a time constant (water bath, thick
# base): it is what lets the milk coast. k per minute, lag in minutes. A loss of 0 stands for a
# hand that keeps the milk's rate. Kitchen vats lose about half a degree an hour for each degree
# above the room's to a tenth, and coast for some minutes; both from memory.
LOSSES = np.array([0.0, 0.003, 0.007])
LAGS = np.array([1.2, 2.0, 3.0, 4.5, 7.0])
KEEPS = 0.5  # how likely a hand keeps the rate rather than leaves the heat
BREAK = 0.2  # how likely the heat was changed for good since the ramp began
READ_SD = 0.1  # of one reading of a kitchen thermometer, °C
WANDER_SD, WANDER_MIN = 0.12, 4.0  # what a hand's corrections do, and how soon they are forgotten
LOGGED_SD = 0.06  # the same where the heat is known
MOST = 90  # readings fitted
_WIDE = (3.0, 0.05, 0.02, 0.1)  # spreads of first °C, first rate, step, later step (°C/min)
_STEP = 0.3  # of the planned rate: the step's spread besides


def usual_belief() -> Floats:
    """Log chances of each loss and lag (3, 5) before any reading."""
    rest = np.exp(-(np.log(LOSSES[1:] / 0.005) ** 2) / 2 / 0.7**2)
    loss = np.r_[KEEPS, (1 - KEEPS) * rest / rest.sum()]
    lag = np.exp(-(np.log(LAGS / 3.0) ** 2) / 2 / 0.6**2)
    table: Floats = np.log(loss)[:, None] + np.log(lag / lag.sum())[None, :]
    return table


def response(minutes: Floats, loss: float, lag: float) -> Floats:
    """°C gained `minutes` after a step of heat worth 1 °C/min (any shape), 0 before it."""
    s = np.maximum(minutes, 0.0)
    gained = s if loss == 0 else -np.expm1(-loss * s) / loss
    late = (np.exp(-loss * s) - np.exp(-s / lag)) / (1 / lag - loss)
    out: Floats = gained - late
    return out


@dataclass(frozen=True)
class Ramp:
    """Readings of one ramp: `minutes` (n,) from its begin, °C (n,), and its begin's rate if kept.

    `heat`, when it was logged, is (m, 2): minutes from the begin, heat in percent from there on,
    the first row before the begin.
    """

    minutes: Floats
    value: Floats
    planned_rate: float
    heat: Floats | None = None


@dataclass(frozen=True)
class Way:
    """One way a ramp may have gone: loss, lag, when the heat was changed (None: not), and the
    coefficients' mean (p,) and the root (p, p) of their covariance."""

    loss: float
    lag: float
    later: float | None
    mean: Floats
    root: Floats
    heat: Floats | None = field(default=None, repr=False)

    def columns(self, minutes: Floats) -> Floats:
        """What the coefficients multiply, (n, p)."""
        if self.heat is not None:
            return heat_columns(minutes, self.loss, self.lag, self.heat)
        return _columns(minutes, self.loss, self.lag, self.later)


def ways(ramp: Ramp, belief: Floats) -> tuple[list[Way], Floats, Floats]:
    """Every way with its log weight (m,), and the log evidence of each loss and lag (3, 5)."""
    minutes, value = thinned(ramp.minutes, ramp.value)
    root = np.linalg.cholesky(_noise(minutes, WANDER_SD if ramp.heat is None else LOGGED_SD))
    white = np.linalg.solve(root, value - value[0])
    found, weights = [], []
    evidence = np.full((len(LOSSES), len(LAGS)), -np.inf)
    for (i, loss), (j, lag) in product(enumerate(LOSSES), enumerate(LAGS)):
        if ramp.heat is not None and loss == 0:
            continue
        for later, share in _laters(minutes, ramp.heat):
            x, spread, guess = _design(minutes, loss, lag, later, ramp)
            mean, half, log_evidence = _solve(np.linalg.solve(root, x), white, spread, guess)
            mean = mean + np.r_[value[0], np.zeros(len(mean) - 1)]
            found.append(Way(float(loss), float(lag), later, mean, half, ramp.heat))
            weights.append(belief[i, j] + np.log(share) + log_evidence)
            evidence[i, j] = np.logaddexp(evidence[i, j], np.log(share) + log_evidence)
    return found, np.array(weights), evidence


def thinned(minutes: Floats, value: Floats) -> tuple[Floats, Floats]:
    """At most `MOST` readings: means of even runs where there are more."""
    if len(minutes) <= MOST:
        return minutes, value
    edges = np.linspace(0, len(minutes), MOST + 1).astype(int)[:-1]
    sizes = np.diff(np.r_[edges, len(minutes)])
    return np.add.reduceat(minutes, edges) / sizes, np.add.reduceat(value, edges) / sizes


def heat_columns(minutes: Floats, loss: float, lag: float, heat: Floats) -> Floats:
    """Columns of a ramp whose heat is known: 1, what cooling takes, and what the heat gave."""
    steps = np.diff(np.r_[0.0, heat[:, 1]]) / 100
    given = sum(
        step * response(minutes - at, loss, lag) for at, step in zip(heat[:, 0], steps, strict=True)
    )
    before = sum(
        step * response(-at, loss, lag) for at, step in zip(heat[:, 0], steps, strict=True)
    )
    cooled = -np.expm1(-loss * minutes) / loss if loss else minutes
    return np.column_stack(
        [np.ones_like(minutes), cooled, given - before * np.exp(-loss * minutes)]
    )


def _columns(minutes: Floats, loss: float, lag: float, later: float | None) -> Floats:
    gone = minutes if loss == 0 else -np.expm1(-loss * minutes) / loss
    columns = [np.ones_like(minutes), gone, response(minutes, loss, lag)]
    if later is not None:
        columns.append(response(minutes - later, loss, lag))
    return np.column_stack(columns)


def _design(
    minutes: Floats, loss: float, lag: float, later: float | None, ramp: Ramp
) -> tuple[Floats, Floats, Floats]:
    if ramp.heat is not None:
        x = heat_columns(minutes, loss, lag, ramp.heat)
        return x, np.array([3.0, 0.3, 2.0]), np.zeros(3)
    x = _columns(minutes, loss, lag, later)
    guess = np.zeros(x.shape[1])
    guess[2] = ramp.planned_rate
    spread = np.array(_WIDE[: x.shape[1]])
    spread[2] += _STEP * ramp.planned_rate
    return x, spread, guess


def _laters(minutes: Floats, heat: Floats | None) -> list[tuple[float | None, float]]:
    """When the heat may have been changed for good, and how likely."""
    span = minutes[-1]
    if heat is not None or span < 6:
        return [(None, 1.0)]
    at = np.linspace(0.15 * span, span - 2.0, int(np.clip(span / 4, 3, 7)))
    return [(None, 1 - BREAK), *((float(b), BREAK / len(at)) for b in at)]


def _noise(minutes: Floats, wander: float) -> Floats:
    apart = np.abs(minutes[:, None] - minutes[None, :])
    out: Floats = wander**2 * np.exp(-apart / WANDER_MIN) + READ_SD**2 * np.eye(len(minutes))
    return out


def _solve(x: Floats, y: Floats, spread: Floats, guess: Floats) -> tuple[Floats, Floats, float]:
    """Mean and root of the covariance of the coefficients, and the log evidence but a constant."""
    away = y - x @ guess
    inner = x.T @ x + np.diag(spread**-2.0)
    lower = np.linalg.cholesky(inner)
    pull = np.linalg.solve(lower, x.T @ away)
    half = np.linalg.inv(lower).T
    log_evidence = (
        -float(away @ away) / 2
        + float(pull @ pull) / 2
        - float(np.log(np.diag(lower)).sum())
        - float(np.log(spread).sum())
    )
    return guess + half @ pull, half, log_evidence
