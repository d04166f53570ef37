"""Where to weigh the scatters: a grid over all there could be, or about the likeliest."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import TypeVar

import numpy as np

from journal.findings.table import Floats

GRIDS = {1: (17, 33), 2: (9, 13), 3: (7, 8)}
"""Points along each axis of the grid of scatters, first round and last, by number of axes."""
DEEP = 9.0

Weighed = TypeVar("Weighed")
Weigh = Callable[[tuple[float, ...]], tuple[float, Weighed]]
ACROSS = 4
"""Points along each axis of the grid about the likeliest scatters."""
FALLS = 2.5
"""How far (in log weight) that grid goes down along each axis."""


def around_the_likeliest(weigh: Weigh[Weighed], axes: int) -> list[tuple[float, Weighed]]:
    """Weigh a small grid about the likeliest scatters (in spreads of the score)."""
    from scipy.optimize import minimize

    low, high = float(np.log(0.01)), float(np.log(3.0))

    def loss(at: Floats) -> float:
        return -weigh(tuple(np.exp(np.clip(at, low, high))))[0]

    begin = np.full(axes, np.log(0.3))
    found = minimize(loss, begin, method="L-BFGS-B", bounds=[(low, high)] * axes,
                     options={"ftol": 1e-6, "eps": 1e-3, "maxiter": 40})  # fmt: skip
    middle, best = np.asarray(found.x), float(found.fun)
    ends = [[_end(loss, middle, best, a, way, low, high) for way in (-1, 1)] for a in range(axes)]
    lines = [np.exp(np.linspace(first, last, ACROSS)) for first, last in ends]
    return [weigh(point) for point in product(*lines)]


def _end(
    loss: Callable[[Floats], float], middle: Floats, best: float, axis: int, way: int,
    low: float, high: float,
) -> float:  # fmt: skip
    """Where along an axis the log weight has fallen by `FALLS`, doubling the step until it has."""
    step = 0.05
    while True:
        at = middle.copy()
        at[axis] = np.clip(middle[axis] + way * step, low, high)
        fallen = loss(at) - best
        if fallen >= FALLS or at[axis] in (low, high):
            share = np.sqrt(FALLS / fallen) if fallen > FALLS else 1.0
            return float(middle[axis] + (at[axis] - middle[axis]) * share)
        step *= 2


def grid_of(weigh: Weigh[Weighed], axes: int) -> list[tuple[float, Weighed]]:
    """Weigh a grid of scatters (in spreads of the score) twice, the second time where it counts."""
    first, last = GRIDS[axes]
    lines = [np.geomspace(0.01, 3.0, first)] * axes
    for count in (last, 0):
        found = [weigh(point) for point in product(*lines)]
        logs = np.array([f[0] for f in found]).reshape([len(line) for line in lines])
        if count:
            lines = [_closer(line, logs, a, count) for a, line in enumerate(lines)]
    return found


def _closer(line: Floats, logs: Floats, axis: int, count: int) -> Floats:
    best = np.moveaxis(logs, axis, 0).reshape(len(line), -1).max(axis=1)
    worth = np.flatnonzero(best > best.max() - DEEP)
    low, high = max(worth[0] - 1, 0), min(worth[-1] + 1, len(line) - 1)
    return np.geomspace(line[low], line[high], count)
