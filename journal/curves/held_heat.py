"""Heat as it was read while a make pasteurises, against the published pairs for its milk."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.curves.plan_heat import pairs_of
from journal.curves.plan_safety import NOT_PASTEURISED
from journal.reckoning.pasteurise import THERMOMETER_C, Pair, longest_at_s
from journal.records.makes import StageRun
from journal.records.traces import Floats
from journal.records.whole import WholeMake


@dataclass(frozen=True)
class HeldHeat:
    """What the readings of a stage say of one pair of temperature and time.

    `pair` is the one that was kept whole (`met`), else the one that lacks least; `held_min` is the
    longest time without a break at its temperature or above, straight from reading to reading;
    `off_c` was taken off each reading for a thermometer that nobody checked. `over` says that
    the stage has ended, `just` that the next one runs, `raw` that the milk came unpasteurised.
    """

    pair: Pair
    held_min: float
    met: bool
    off_c: float
    over: bool
    just: bool
    raw: bool


def held_heat(whole: WholeMake, now_ms: int) -> HeldHeat | None:
    """What the last stage that pasteurises, and has begun, has kept by now; None without one.

    Nothing counts after the last reading, and no pair is put together from parts
    (`journal.reckoning.pasteurise.pairs_met`, with its source).
    """
    runs = [
        (index, run) for index, run in enumerate(whole.runs[: len(whole.plan.stages)])
        if whole.plan.stages[index].kind == "pasteurise" and run.began_ms is not None
    ]  # fmt: skip
    if not runs:
        return None
    index, run = runs[-1]
    off_c = 0.0 if _checked(whole, run.began_ms or 0) else THERMOMETER_C
    minutes, temp_c = _read(whole, run, now_ms)
    found = []
    for pair in pairs_of(whole.plan, whole.make.milk):
        held_s = longest_at_s(minutes, temp_c - off_c, pair.temp_c) if len(minutes) > 1 else 0.0
        found.append((pair, held_s))
    met = [one for one in found if one[1] >= one[0].hold_s]
    touched = [one for one in found if one[1] > 0]
    pair, held_s = (met or [max(touched, key=_share, default=found[0])])[0]
    raw = whole.make.milk.treatment in NOT_PASTEURISED
    over, just = run.ended_ms is not None, whole.running_index == index + 1
    return HeldHeat(pair, held_s / 60, bool(met), off_c, over, just, raw)


def _checked(whole: WholeMake, by_ms: int) -> bool:
    """Whether each thermometer that has checks was last checked before an instant, and not freed
    of its correction since."""
    last = {
        one.source: one for one in sorted(whole.calibrations, key=lambda one: one.at_ms)
        if one.instrument == "thermometer" and one.at_ms <= by_ms
    }  # fmt: skip
    return bool(last) and not any(one.corrects_nothing for one in last.values())


def _read(whole: WholeMake, run: StageRun, now_ms: int) -> tuple[Floats, Floats]:
    """Minutes and °C that were read in a stage."""
    until = now_ms if run.ended_ms is None else min(now_ms, run.ended_ms)
    trace = whole.trace("milk-temp").sound().between(run.began_ms or 0, until)
    return trace.minutes_from(run.began_ms or 0), np.asarray(trace.value, float)


def _share(one: tuple[Pair, float]) -> float:
    return one[1] / one[0].hold_s
