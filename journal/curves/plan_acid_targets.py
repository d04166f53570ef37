"""What a plan's acid targets say of its culture before any make: when it is to have come down to a
pH."""

from __future__ import annotations

import numpy as np

from journal.curves.acid_limits import family_of
from journal.curves.culture_time import culture_time
from journal.curves.ends import end_of
from journal.curves.leaning import UPPER_PH, usual
from journal.curves.sigmoid import falling
from journal.curves.solver import Prior, approach
from journal.records.kinds import PH_KINDS
from journal.records.makes import Make, Milk
from journal.records.plans import AcidTarget, Plan
from journal.records.traces import Floats
from journal.records.whole import WholeMake

# A plan is written with a culture of some pace in mind, but in a kitchen that has not made it yet
# its clock may be out by two thirds as much again (spread of the logarithm), and an acid target
# says no more than its own width, at least so much in pH: by when, and hardly how steeply. From
# memory.
CLOCK_SPREAD = 0.5
LEAST_WIDTH_PH = 0.3
NEAR_PH = 0.15  # an acid target so near the milk's own pH says nothing of when it is passed


def acid_targets_used(plan: Plan) -> int:
    """How many of a plan's acid targets say when its culture is to have come down to a pH."""
    return len(_acid_targets(plan))


def usual_of(plan: Plan) -> Prior:
    """The wide prior of the plan's type of culture and of where its kind of curd ends, led by the
    plan's own acid targets where it has any.

    One error of the plan's clock is shared by all acid targets; it is found along with the
    parameters and then left out.
    """
    mean, covariance = usual(plan.culture_type, end_of(plan, family_of(plan)))
    acid_targets = _acid_targets(plan)
    if not acid_targets:
        return Prior(mean, covariance)
    wide = np.zeros((7, 7))
    wide[:6, :6], wide[6, 6] = covariance, CLOCK_SPREAD**2
    minutes, levels, width, whey = np.array(acid_targets).T
    tau = culture_time(WholeMake(Make("plan", 0, Milk(plan.milk_l), 0), plan)).at(minutes)

    def model(theta: Floats) -> tuple[Floats, Floats]:
        late = tau * np.exp(theta[6])
        ph, slopes = falling(theta[:6], late, whey)
        along = -slopes[:, 2] / np.exp(theta[2]) * late
        return ph / width, np.column_stack([slopes, along]) / width[:, None]

    prior = Prior(np.r_[mean, 0.0], wide)
    found = approach(model, levels / width, prior.mean, noise=1.0, prior=prior)
    return Prior(found.params[:6], found.covariance()[:6, :6])


def _acid_targets(plan: Plan) -> list[tuple[float, float, float, float]]:
    """Of each acid target: minutes on the plan's clock, the middle of its pH, its width, 1 for
    whey."""
    out = []
    for begin, stage in zip(plan.starts(), plan.stages, strict=True):
        acid_target = stage.acid_target
        if acid_target is None or acid_target.kind not in PH_KINDS:
            continue
        level = (acid_target.low + acid_target.high) / 2
        if level < UPPER_PH - NEAR_PH:
            at = begin + _middle_min(acid_target, stage.minutes)
            width = max((acid_target.high - acid_target.low) / 2, LEAST_WIDTH_PH)
            out.append((at, level, width, float(acid_target.kind == "whey-ph")))
    return out


def _middle_min(acid_target: AcidTarget, minutes: float) -> float:
    """Minutes from its stage's begin at which an acid target stands open, midway."""
    first = 0.0 if acid_target.from_min is None else acid_target.from_min
    return (first + (minutes if acid_target.to_min is None else acid_target.to_min)) / 2
