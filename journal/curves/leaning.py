"""What earlier makes say of a make's course of acid before any of its readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.curves.ends import UNKNOWN, End
from journal.curves.growth import culture
from journal.curves.sigmoid import NoisePrior, tau_when
from journal.curves.solver import Prior
from journal.records.traces import Floats

FEW = 3  # readings below which the past carries the forecast

# The wide prior. Fresh milk at pH 6.6 (University of Guelph 6.62, J. Milk Sci. Biotechnol.
# 35(2):85 6.59); where the acid ends is told by the family (ends.py); whey 0.1 to 0.2 above curd
# (Guelph). The shape is a logistic's, which fits Guelph's activity test best, with room for
# Gompertz's curve, which fits the journal's low-pH make best. A kitchen's culture does everything
# quicker or slower, beside what onset and fall vary of themselves. The spreads, and the middles and
# widths (growth.py), are from memory.
UPPER_PH, LOG_SHAPE, OFFSET_PH = 6.6, 0.0, 0.15
SPREAD = (0.08, 0.20, 0.30, 1.20, 0.05)  # without the end's, which is its family's
PACE_SPREAD = 0.45
# How far the makes of one kitchen with one plan lie apart, as sure as so many makes would tell;
# from memory.
WITHIN = (0.03, 0.06, 0.05, 0.08, 0.30, 0.03)
WITHIN_WEIGHT = 1.0
SENSOR_NOISE = NoisePrior(0.03, 6.0)  # a pH sensor's spread; from memory

# How likely a culture is to fail: one make in twelve, as sure as twelve makes would be; from
# memory, and soon replaced by the journal's own.
FAILS, FAILS_WEIGHT = 1 / 12, 12.0
# A culture so likely to have failed is said to: were the odds right, a sound make would come to it
# at any time in the day less than one in thirty times (Ville's inequality: odds times 33).
CALLED = 0.75
SLOWER = 1.3  # a past make this many times as slow as the middle of its kind was no sound one
# The falls in pH by which it is told: one slow from the start, and one that stalled on its way.
SLOW_FALLS_PH = (0.4, 1.0)


@dataclass(frozen=True)
class AcidFit:
    """One make's course of acid: `params` (6,) in the order of sigmoid.NAMES, as of a culture
    that works.

    `draws` (m, 8) are courses as likely as readings and past together hold them, working, slow
    and stalled (see stall.py). `stalled` is how likely it is that the culture is slow or has
    stalled by the last reading, never likelier than that a limit of its acid is missed, and 0
    once the plan's acid target is `met`. `sensor_sd` is the spread of the readings about the curve,
    in pH; `readings` how many were fitted, `titrated` how many of them were of titratable acidity,
    `past` how many earlier makes it leans on, `acid targets` how many acid targets of the plan led
    its wide prior.
    """

    params: Floats
    draws: Floats
    sensor_sd: float
    readings: int
    past: int
    culture_type: str
    plan: str = ""
    failed: bool = False
    stalled: float = 0.0
    acid_targets: int = 0
    met: bool = False
    titrated: int = 0

    @property
    def called(self) -> bool:
        """True when the culture is said to fail."""
        return self.stalled >= CALLED


def prior_of(
    past: Sequence[AcidFit], culture_type: str, plan: str = "", wide: Prior | None = None
) -> tuple[Prior, int]:
    """What past makes say about a working course of acid, and how many of them say it.

    Makes of the plan called `plan` where there are at least three (a washed curd ends sweeter),
    else all of that type of culture; failed or slow ones and those of too few readings never.
    Without any it is the prior `wide` (None: that of the type of culture). With some, the kitchen's
    own middle is found from them and from the wide prior; how far makes of one plan lie apart from
    them, from the makes of other plans with that culture, and from what is usual.
    """
    wide = Prior(*usual(culture_type)) if wide is None else wide
    fits, others = _alike(past, culture_type, plan)
    if not fits:
        return wide, 0
    found, count = _params(fits), len(fits)
    within, sure = _within(fits, others)
    outer, inner = wide.precision(), count * np.linalg.inv(within)
    unsure = np.linalg.inv(outer + inner)
    mean = unsure @ (outer @ wide.mean + inner @ found.mean(axis=0))
    few = (sure + 2) / sure  # a spread told from few makes is itself unsure
    return Prior(mean, few * within + unsure), count


def _within(fits: list[AcidFit], others: list[AcidFit]) -> tuple[Floats, float]:
    """How far makes of one plan lie apart (6, 6), and as sure as how many makes would tell.

    Makes of other plans tell it too, each about the middle of its own.
    """
    groups = [fits] + [[f for f in others if f.plan == p] for p in {f.plan for f in others}]
    apart = np.vstack([_params(g) - _params(g).mean(axis=0) for g in groups])
    sure = WITHIN_WEIGHT + len(apart) - len(groups)
    return (WITHIN_WEIGHT * np.diag(np.square(WITHIN)) + apart.T @ apart) / sure, sure


def _params(fits: list[AcidFit]) -> Floats:
    return np.array([f.params for f in fits])


def usual(culture_type: str, end: End = UNKNOWN) -> tuple[Floats, Floats]:
    """The wide prior of a culture whose acid ends at `end`: mean (6,) and covariance (6, 6)."""
    kind = culture(culture_type)
    pace = np.log([kind.middle_min, kind.width_min])
    centre = np.array([UPPER_PH, end.ph, *pace, LOG_SHAPE, OFFSET_PH])
    covariance = np.diag(np.square(np.insert(SPREAD, 1, end.spread)))
    covariance[2:4, 2:4] += PACE_SPREAD**2
    return centre, covariance


def chance_of_failing(past: Sequence[AcidFit], culture_type: str) -> float:
    """How likely a culture of that type fails, before any reading: from memory and the past."""
    mine = _of_type(past, culture_type)
    failed = np.count_nonzero(~_sound(mine))
    return (FAILS * FAILS_WEIGHT + failed) / (FAILS_WEIGHT + len(mine))


def _of_type(past: Sequence[AcidFit], culture_type: str) -> list[AcidFit]:
    return [f for f in past if f.readings >= FEW and f.culture_type == culture_type]


def _alike(
    past: Sequence[AcidFit], culture_type: str, plan: str
) -> tuple[list[AcidFit], list[AcidFit]]:
    """The past makes that say where such a make lies, and those that only say how far makes of
    one plan lie apart."""
    same_type = _of_type(past, culture_type)
    mine = [f for f, sound in zip(same_type, _sound(same_type), strict=True) if sound]
    same = [f for f in mine if f.plan == plan]
    if len(same) < FEW:
        return mine, []
    return same, [f for f in mine if f.plan != plan]


def _sound(fits: list[AcidFit]) -> npt.NDArray[np.bool_]:
    """Which of them (n,) had a working culture: not failed, not far slower than their middle."""
    kept = np.array([not f.failed for f in fits], bool)
    if kept.sum() < FEW:
        return kept
    params, sound = _params(fits), kept
    for fall in SLOW_FALLS_PH:
        sound = sound & ~_far_slower(_log_onset(params, fall), kept)
    return sound


def _log_onset(params: Floats, fall: float) -> Floats:
    """Logarithm of the culture time (n,) that courses (n, 6) take to fall so far, inf never."""
    level = params.copy()
    level[:, 0], level[:, 1] = fall, params[:, 1] - params[:, 0] + fall
    onset: Floats = np.log(np.maximum(tau_when(level, 0.0), 1.0))
    return onset


def _far_slower(onset: Floats, kept: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    slower: npt.NDArray[np.bool_] = onset >= np.median(onset[kept]) + np.log(SLOWER)
    return slower
