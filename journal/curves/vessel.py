"""The vat as a vessel: how it warms, and what would still bring the milk there in time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.curves import CurveError
from journal.records.traces import Floats


@dataclass(frozen=True)
class Advice:
    """How the milk stands to its ramp.

    `behind_c` is how far it lags in the ramp's own direction (below zero: ahead), `rate_needed`
    the °C per minute that would still arrive on time (None: the time is up, or it is a hold),
    `limit` the rate the plan allows (None on a hold), `longer_min` how much longer the ramp takes
    at that rate. Rates are sizes,
    whichever way the ramp goes; `rising` tells the way.
    """

    behind_c: float
    rate_needed: float | None
    limit: float | None
    longer_min: float | None
    rising: bool = True

    @property
    def on_plan(self) -> bool:
        """Whether the milk is as near the plan as a thermometer tells."""
        return abs(self.behind_c) < 0.05

    @property
    def too_quick(self) -> bool:
        """Whether a ramp is ahead of its plan, so that it is to be slowed down."""
        return not self.on_plan and self.limit is not None and self.behind_c < 0


def warm(
    times: npt.ArrayLike,
    heat: npt.ArrayLike,
    a: float,
    k: float,
    t_room: npt.ArrayLike,
    t0: float,
) -> Floats:
    """Temperature of a vessel that is heated and loses warmth: dT/dt = a·P − k·(T − T_room).

    Parameters
    ----------
    times : (n,) minutes, ascending
    heat : (n,) or one number; each value holds from its time until the next
    a : °C per minute for one unit of heat
    k : loss per minute
    t_room : °C, (n,) or one number, held like the heat
    t0 : °C at the first time

    Returns
    -------
    (n,) °C, exact for heat and room held as said
    """
    at = np.asarray(times, dtype=float)
    power = np.broadcast_to(np.asarray(heat, dtype=float), at.shape)
    room = np.broadcast_to(np.asarray(t_room, dtype=float), at.shape)
    if at.ndim != 1 or (np.diff(at) < 0).any():
        raise CurveError("curves.vessel-instants")
    if k < 0:
        raise CurveError("curves.vessel-gains")
    step = np.diff(at)
    kept = np.exp(-k * step)
    gain = step if k < 1e-15 else -np.expm1(-k * step) / k  # so little loss is none
    push = (gain * (a * power[:-1] + k * room[:-1])).tolist()
    out = [float(t0)] if len(at) else []
    for share, more in zip(kept.tolist(), push, strict=True):
        out.append(out[-1] * share + more)
    return np.array(out, dtype=float)


def advise(
    read_c: float,
    planned_c: float,
    target_c: float,
    minutes_left: float,
    *,
    limit: float | None = None,
    rising: bool = True,
) -> Advice:
    """How a reading stands to its ramp, and what would still arrive on time.

    Parameters
    ----------
    read_c, planned_c : read and planned °C at the same instant
    target_c : where the ramp ends
    minutes_left : until it should be there; 0 or less, the time is up
    limit : the greatest °C per minute the plan allows, or its own rate; None on a hold
    rising : False when the ramp goes down
    """
    way = 1.0 if rising else -1.0
    remaining = max((target_c - read_c) * way, 0.0)
    needed = longer = None
    if limit is not None and limit > 0:
        needed = remaining / minutes_left if minutes_left > 0 else None
        longer = max(remaining / limit - max(minutes_left, 0.0), 0.0)
    return Advice((planned_c - read_c) * way, needed, limit, longer, rising)
