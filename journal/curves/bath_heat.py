"""What a thermometer in the bath tells of a ramp: how long the milk will coast.

The milk takes its warmth through the vessel from the bath, dT/dt = (B − T)/R − loss, and bath and
milk together hold what was put in, b·B + T, where b is what the bath holds beside the milk. So the
climb tells R, and that b·B + T goes as straight as the heat was left tells b. Once the heat is
down, what the bath has more than the milk is shared out: the milk coasts with L = R·b/(1 + b).
A bath that a thermostat holds tells nothing of that: the readings of the milk are left alone there.
"""

from __future__ import annotations

import numpy as np

from journal.curves.vessel_fit import BATH, LAGS
from journal.records.traces import Floats

# What follows without a source is this journal's own choice, tried on simulated kitchens.
LEAST = 8  # readings of milk and bath in a ramp from which the bath tells something
APART_C = 0.5  # bath over milk: less tells nothing
OFF_C = 0.15  # how far a bath strays from its course: stirring, the place it is read at
COUNTS = 16  # so many readings at most count as told apart, for the strays go together
TURNED_MIN = (-1.0, 2.0, 0.5)  # when the heat may have been turned up, from the stage's begin
HELD, HELD_MIN = 0.6, 10.0  # a bath whose rate is less of the milk's over so long is held
STANDS = 0.02  # °C/min: milk that rises more slowly has come to its bath
HINGES = 2.0  # logarithm of the odds against one more change of the heat
RULED_OUT = 6.0  # no lag is less likely by more than that: nothing is quite ruled out
MOST_B = 12.0  # times the milk: no bath holds more


NOTHING = np.zeros(len(LAGS))


def bath_lags(minutes: Floats, milk: Floats, bath_min: Floats, bath: Floats) -> Floats:
    """How likely the bath makes each lag of a ramp (11,), as logarithms; all zero for nothing.

    Parameters
    ----------
    minutes, milk : (n,) the milk's readings, minutes from the ramp's begin
    bath_min, bath : (m,) the bath's, ascending
    """
    known = (minutes >= bath_min[0]) & (minutes <= bath_min[-1]) if len(bath_min) else minutes < 0
    at, t = minutes[known], milk[known]
    if len(at) < LEAST or len(bath_min) < LEAST or at[-1] <= 0:
        return NOTHING
    b = np.interp(at, bath_min, bath)
    resistance = _resistance(at, t, b)
    if resistance is None or _is_held(at, t, b) or b.max() - b.min() < APART_C:
        return NOTHING
    return _lags(at, _under(at, b - t) / resistance, b, resistance)


def with_bath(belief: Floats, lags: Floats) -> Floats:
    """Log chances of losses and lags (6, 11) with what the bath tells of the lag; how likely a
    hand, left heat and a thermostat are beside each other stays as it was."""
    table = belief.copy()
    table[: BATH.start] += lags
    for row in range(BATH.start):
        table[row] += _all_of(belief[row]) - _all_of(table[row])
    return table


def _all_of(log_chance: Floats) -> float:
    return float(np.logaddexp.reduce(log_chance.ravel()))


def _resistance(at: Floats, t: Floats, b: Floats) -> float | None:
    """Minutes in which the milk would come to its bath, from what it gained under it."""
    gap = b - t
    if gap[at > 0].max(initial=0.0) < APART_C:
        return None
    columns = np.column_stack([np.ones(len(at)), _under(at, gap), at])
    # A little is known beforehand: the milk loses some hundredths of a degree a minute.
    weight = np.diag([0.0, 0.0, (0.1 / 0.04) ** 2])
    found = np.linalg.solve(columns.T @ columns + weight + 1e-9 * np.eye(3), columns.T @ t)
    return float(1 / found[1]) if found[1] > 1 / 400 else None


def _under(at: Floats, gap: Floats) -> Floats:
    """What the bath was over the milk, added up: °C times minutes."""
    out: Floats = np.r_[0.0, np.cumsum(np.diff(at) * (gap[1:] + gap[:-1]) / 2)]
    return out


def _is_held(at: Floats, t: Floats, b: Floats) -> bool:
    """Whether a thermostat holds the bath: it stands, and the milk comes to it."""
    late = at >= at[-1] - HELD_MIN
    if at[-1] < HELD_MIN or late.sum() < LEAST // 2:
        return False
    rate, comes = (np.polyfit(at[late], one[late], 1)[0] for one in (b, t))
    return bool(rate < HELD * max(comes, STANDS))


def _lags(at: Floats, given: Floats, b: Floats, resistance: float) -> Floats:
    """How likely the bath's course makes each lag, log; `given` is what it gave to the milk, °C of
    the milk.

    What both hold, b·B + T, is a hold, a climb from when the heat was turned up, and one more
    change of the heat where that says much. What is left of it is linear in B and T, so that the
    fits are made once for all lags.
    """
    holds = np.full(len(LAGS), np.inf)
    near = resistance > LAGS
    holds[near] = LAGS[near] / (resistance - LAGS[near])
    may = holds <= MOST_B
    if not may.any():
        return np.zeros(len(LAGS))
    scale = min(COUNTS / len(at), 1.0) / (2 * OFF_C**2)
    best = np.full(len(LAGS), -np.inf)
    for on in np.arange(*TURNED_MIN):
        for hinge in (np.inf, *np.arange(on + 6.0, at[-1] - 4.0, 4.0)):
            left_b, left_t = _left(at, b, given, on, hinge)
            off = (
                left_b @ left_b + (2 * left_b @ left_t + left_t @ left_t / holds[may]) / holds[may]
            )
            chance = -scale * off - HINGES * np.isfinite(hinge)
            best[may] = np.maximum(best[may], chance)
    floor = best[may].max() - RULED_OUT
    found: Floats = np.maximum(best, floor) - best[may].max()
    return found


def _left(at: Floats, b: Floats, given: Floats, on: float, hinge: float) -> tuple[Floats, Floats]:
    """What a hold, a climb from `on` and a change at `hinge` leave of the bath and of what it
    gave."""
    columns = [np.ones(len(at)), at, np.maximum(at - on, 0.0)]
    if np.isfinite(hinge):
        columns.append(np.maximum(at - hinge, 0.0))
    made, both = np.column_stack(columns), np.column_stack([b, given])
    left = both - made @ np.linalg.lstsq(made, both, rcond=None)[0]
    return left[:, 0], left[:, 1]
