"""A vessel's ramp as steps of heat through a slow vessel, weighed over how it loses and lags."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from journal.records.traces import Floats

# dT/dt = a·H − k·(T − T_room), and H follows the heat P with a time constant (water bath, thick
# base): it is what lets the milk coast. k per minute, lag in minutes. A loss of 0 stands for a
# hand that keeps the milk's rate; the great ones for a bath that a thermostat holds: the milk
# comes to it by k, and how far it coasts is not to be seen in its climb. Kitchen vats lose about
# half a degree an hour for each degree above the room's to a tenth; a thin base coasts for a
# minute, a can in a sink or a large jacket for a quarter of an hour; all of it from memory.
LOSSES = np.array([0.0, 0.003, 0.007, 0.02, 0.04, 0.08])
LAGS = np.array([1.0, 1.4, 1.9, 2.6, 3.5, 4.8, 6.5, 8.7, 11.7, 15.8, 21.0])
KEPT, LEFT, BATH = slice(0, 1), slice(1, 3), slice(3, 6)  # rows of LOSSES
HABITS = (0.4, 0.4, 0.2)  # how likely a hand keeps the rate, leaves the heat, has a thermostat
LAG_MIN, LAG_SPREAD = 4.0, 0.9  # the usual lag, and the spread of its logarithm
WARMS_MIN, WARMS_SPREAD = 2.5, 0.7  # how soon a bath with a thermostat is warm itself
LATE_MIN = 0.9  # after the stage's begin the heat is turned up, and the thermometer lags
BREAK = 0.3  # how likely the heat was changed for good since the ramp began
BREAKS = 5  # moments at which it may have been
# What a hand's corrections, lids and stirring do, of one reading of a kitchen thermometer, °C,
# and how likely; how soon the former are forgotten.
NOISES = ((0.03, 0.06, 0.35), (0.08, 0.08, 0.4), (0.18, 0.11, 0.25))
WANDER_MIN = 4.0
MOST = 60  # readings fitted
_WIDE = np.array([3.0, 0.05, 0.02, 0.1])  # spreads of first °C, first rate, step, later step
SOON_MIN, LEAST_STEP = 4.0, 0.03  # about a ramp's begin; of full heat: so much tells a gain
_STEP = 0.3  # of the planned rate: the step's spread besides
_BATH_STEP = (1.5, 0.6)  # of the planned rate: a bath that is warm warms the milk so much, ±
_HEAT_WIDE = np.array([3.0, 0.12, 2.0])  # spreads where the heat is known


def usual_belief() -> Floats:
    """Log chances of each loss and lag (6, 11) before any reading."""
    return belief_of(np.log(np.array(HABITS)), usual_lags())


def usual_lags() -> Floats:
    """How likely each lag is before anything was read, (11,)."""
    return _bell(LAGS, LAG_MIN, LAG_SPREAD)


def belief_of(habits: Floats, lags: Floats) -> Floats:
    """Log chances of each loss and lag from those of the habits (3,) and the lags' (11,).

    A bath that is held by a thermostat is warm sooner than it lags.
    """
    rest = _bell(LOSSES[LEFT], 0.005, 0.7)
    loss = np.exp(habits - np.logaddexp.reduce(habits)).repeat((1, 2, 3))
    loss = loss * np.r_[1.0, rest, np.full(3, 1 / 3)]
    table: Floats = np.log(loss)[:, None] + np.log(lags / lags.sum())[None, :]
    table[BATH] = np.log(loss[BATH])[:, None] + np.log(_bell(LAGS, WARMS_MIN, WARMS_SPREAD))
    return table


def _bell(at: Floats, middle: float, spread: float) -> Floats:
    share = np.exp(-(np.log(at / middle) ** 2) / 2 / spread**2)
    out: Floats = share / share.sum()
    return out


def response(minutes: Floats, loss: float | Floats, lag: float | Floats) -> Floats:
    """°C gained `minutes` after a step of heat worth 1 °C/min (any shape), 0 before it.

    `loss` and `lag` are numbers, or of shapes that go with the minutes'.
    """
    s = np.maximum(minutes, 0.0)
    k = np.where(np.asarray(loss) < 1e-9, 1e-9, loss)  # so little loss is none
    k = np.where(np.abs(k * lag - 1) < 1e-3, k * 1.002, k)
    kept = np.exp(-k * s)
    out: Floats = -np.expm1(-k * s) / k - (kept - np.exp(-s / lag)) / (1 / np.asarray(lag) - k)
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
class RampFits:
    """Ways a ramp may have gone, each (w,): loss, lag, when the heat was changed (NaN: not), the
    log of its weight, and the coefficients' mean (w, p) and the root (w, p, p) of their
    covariance."""

    loss: Floats
    lag: Floats
    later: Floats
    log_weight: Floats
    mean: Floats
    root: Floats
    heat: Floats | None = field(default=None, repr=False)

    def columns(self, minutes: Floats, which: npt.NDArray[np.intp]) -> Floats:
        """What the coefficients of some ways multiply, (len(which), n, p)."""
        if self.heat is not None:
            return heat_columns(minutes, self.loss[which], self.lag[which], self.heat)
        return _columns(minutes, self.loss[which], self.lag[which], self.later[which])


def ways(ramp: Ramp, belief: Floats) -> tuple[RampFits, Floats]:
    """Every way, and the log evidence of each loss and lag (6, 11)."""
    minutes, value = thinned(ramp.minutes, ramp.value)
    later, share = _laters(minutes, ramp.heat)
    shape = (len(LOSSES), len(LAGS), len(later))
    i, j, b = (axis.ravel() for axis in np.indices(shape))
    if ramp.heat is not None:
        kept = i > 0
        i, j, b = i[kept], j[kept], b[kept]
    loss, lag, when = LOSSES[i], LAGS[j], later[b]
    x = (
        _columns(minutes, loss, lag, when)
        if ramp.heat is None
        else heat_columns(minutes, loss, lag, ramp.heat)
    )
    guess, spread = _prior(loss, ramp)
    weights, means, roots = [], [], []
    for wander, read, chance in NOISES:
        mean, root, log_evidence = weighed(
            minutes, value - value[0], x, guess, spread, wander, read
        )
        weights.append(log_evidence + np.log(chance))
        means.append(mean)
        roots.append(root)
    count = len(NOISES)
    alone = np.array(weights) + np.log(share)[b]
    evidence = np.full(shape[:2], -np.inf)
    np.logaddexp.at(evidence, (i, j), np.logaddexp.reduce(alone, axis=0))
    mean = np.concatenate(means)
    mean[:, 0] += value[0]
    found = RampFits(
        np.tile(loss, count),
        np.tile(lag, count),
        np.tile(when, count),
        (alone + belief[i, j]).ravel(),
        mean,
        np.concatenate(roots),
        ramp.heat,
    )
    return found, evidence


def thinned(minutes: Floats, value: Floats) -> tuple[Floats, Floats]:
    """At most `MOST` readings: means of even runs where there are more."""
    if len(minutes) <= MOST:
        return minutes, value
    edges = np.linspace(0, len(minutes), MOST + 1).astype(int)[:-1]
    sizes = np.diff(np.r_[edges, len(minutes)])
    return np.add.reduceat(minutes, edges) / sizes, np.add.reduceat(value, edges) / sizes


def heat_columns(minutes: Floats, loss: Floats, lag: Floats, heat: Floats) -> Floats:
    """Columns of a ramp whose heat is known, (w, n, 3): 1, what cooling takes, what heat gave."""
    k, late = loss[:, None], lag[:, None]
    given = np.zeros((len(loss), len(minutes)))
    before = np.zeros((len(loss), 1))
    for at, step in zip(heat[:, 0], np.diff(np.r_[0.0, heat[:, 1]]) / 100, strict=True):
        given += step * response(minutes - at, k, late)
        before += step * response(np.array([-at]), k, late)
    gone = -np.expm1(-k * minutes) / k
    return np.stack([np.ones_like(gone), gone, given - before * np.exp(-k * minutes)], axis=2)


def _columns(minutes: Floats, loss: Floats, lag: Floats, later: Floats) -> Floats:
    k, late = np.maximum(loss, 1e-9)[:, None], lag[:, None]
    since = minutes - np.where(np.isnan(later), np.inf, later)[:, None]
    gone = -np.expm1(-k * minutes) / k
    risen = response(minutes - LATE_MIN, k, late)
    return np.stack([np.ones_like(gone), gone, risen, response(since, k, late)], axis=2)


def _prior(loss: Floats, ramp: Ramp) -> tuple[Floats, Floats]:
    """Guess and spread of each way's coefficients, (w, p)."""
    wide, step = (_WIDE, 1.0) if ramp.heat is None else (_HEAT_WIDE, turned_up(ramp.heat) / 100)
    guess, spread = np.zeros((len(loss), len(wide))), np.tile(wide, (len(loss), 1))
    bath = loss >= LOSSES[BATH][0]
    if step >= LEAST_STEP and ramp.planned_rate > 0:
        rate = ramp.planned_rate / step
        guess[:, 2] = rate * np.where(bath, _BATH_STEP[0], 1.0)
        spread[:, 2] = _WIDE[2] / step + rate * np.where(bath, _BATH_STEP[1], _STEP)
    if ramp.heat is not None:
        spread[bath, 1] *= 5
    return guess, spread


def turned_up(heat: Floats) -> float:
    """By how many percent a logged heat was turned up about the begin of a ramp."""
    before = heat[heat[:, 0] < -SOON_MIN, 1]
    about = heat[np.abs(heat[:, 0]) <= SOON_MIN, 1]
    return float(about[-1] - before[-1]) if len(before) and len(about) else 0.0


def _laters(minutes: Floats, heat: Floats | None) -> tuple[Floats, Floats]:
    """When the heat may have been changed for good (NaN: not), and how likely."""
    span = minutes[-1]
    if heat is not None or span < 6:
        return np.array([np.nan]), np.ones(1)
    at = np.linspace(0.15 * span, span - 2.0, int(np.clip(span / 4, 3, BREAKS)))
    return np.r_[np.nan, at], np.r_[1 - BREAK, np.full(len(at), BREAK / len(at))]


def weighed(
    minutes: Floats,
    y: Floats,
    x: Floats,
    guess: Floats,
    spread: Floats,
    wander: float,
    read: float,
) -> tuple[Floats, Floats, Floats]:
    """Means (w, p) and roots (w, p, p) of the covariance of each way's coefficients, and the log
    evidence (w,) but a constant, for columns `x` (w, n, p)."""
    apart = np.abs(minutes[:, None] - minutes[None, :])
    noise = wander**2 * np.exp(-apart / WANDER_MIN) + read**2 * np.eye(len(minutes))
    lower = np.linalg.cholesky(noise)
    white = np.linalg.inv(lower)
    scaled = (white @ x) * spread[:, None, :]
    away = (y[None, :] - np.einsum("wnp,wp->wn", x, guess)) @ white.T
    inner = scaled.transpose(0, 2, 1) @ scaled + np.eye(x.shape[2])
    root = np.linalg.cholesky(inner)
    inverse = np.linalg.inv(root)
    pull = np.einsum("wpq,wq->wp", inverse, np.einsum("wnp,wn->wp", scaled, away))
    log_evidence = (
        -np.einsum("wn,wn->w", away, away) / 2
        + np.einsum("wp,wp->w", pull, pull) / 2
        - np.log(np.diagonal(root, axis1=1, axis2=2)).sum(axis=1)
        - np.log(np.diag(lower)).sum()
    )
    half = inverse.transpose(0, 2, 1)
    mean = guess + spread * np.einsum("wpq,wq->wp", half, pull)
    return mean, spread[:, :, None] * half, log_evidence
