"""What a type of culture may do on a plan's own temperatures: the range of its usual course."""

from __future__ import annotations

from functools import cache

import numpy as np

from journal.curves.acid_limits import family_of
from journal.curves.acidity import Fan
from journal.curves.culture_time import CultureTime, culture_time
from journal.curves.ends import UNKNOWN, End, end_of
from journal.curves.leaning import usual
from journal.curves.sigmoid import ph_at, tau_when
from journal.curves.solver import Prior
from journal.records.makes import Make, Milk
from journal.records.plans import Plan
from journal.records.traces import Floats
from journal.records.whole import WholeMake

COURSES = 400
SEED = 1867
EARLY, LATE = 0.025, 0.975  # nearly every course of that type lies between


def planned_make(plan: Plan) -> WholeMake:
    """A make of the plan that went as planned and was never read."""
    return WholeMake(Make("plan", 0, Milk(plan.milk_l), 0), plan)


@cache
def usual_courses(culture_type: str, end: End = UNKNOWN) -> Floats:
    """Courses of acid (400, 6) as a type of culture may take, drawn from the wide prior.

    The same ones each time; parameters in the order of `sigmoid.NAMES`.
    """
    prior = Prior(*usual(culture_type, end))
    rng = np.random.default_rng(SEED)
    root = np.linalg.cholesky(prior.covariance)
    drawn: Floats = prior.mean + rng.standard_normal((COURSES, len(prior.mean))) @ root.T
    return drawn


def planned_time(plan: Plan) -> CultureTime:
    """Culture time along the plan's own temperatures."""
    return culture_time(planned_make(plan))


def reached_min(
    plan: Plan, ph: float, *, whey: bool = False, time: CultureTime | None = None
) -> tuple[float, float]:
    """The earliest and the latest minute of the plan at which such a culture comes down to a pH.

    19 courses in 20 lie between the two; infinite where it is never reached.
    """
    clock = planned_time(plan) if time is None else time
    at = np.sort(
        clock.when(
            tau_when(
                usual_courses(plan.culture_type, end_of(plan, family_of(plan))), ph, float(whey)
            )
        )
    )
    last = len(at) - 1
    return float(at[round(EARLY * last)]), float(at[round(LATE * last)])


def usual_fan(plan: Plan, to_min: float, points: int = 120) -> Fan:
    """The usual course of curd pH over the plan, with the range of 8 courses in 10."""
    time = planned_time(plan)
    first = float(time.minutes[0])
    minutes = np.linspace(first, max(first + 1, to_min), points)
    courses = ph_at(
        usual_courses(plan.culture_type, end_of(plan, family_of(plan))), time.at(minutes)
    )
    low, mid, high = np.quantile(courses, [0.1, 0.5, 0.9], axis=0)
    return Fan(minutes, mid, low, high)
