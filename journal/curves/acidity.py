"""The acidity of a make: a curve through its pH readings, and when it will pass a gate.

One course is fitted here, that of a culture at work. A second one (a culture that stalls or is
slow) is to stand beside it: another function like `sigmoid.falling` with its own prior, weighed
against this one by how well each foretells the readings; `AcidFit.course` names which it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from journal.curves import CurveError
from journal.curves.culture_time import CultureTime, culture_in_min, culture_time
from journal.curves.day import day_line
from journal.curves.growth import culture
from journal.curves.sigmoid import Data, Probe, falling, fit_falling, likely, ph_at, tau_when
from journal.curves.solver import Prior, Solved
from journal.records.traces import Floats
from journal.records.whole import WholeMake

OF = ("curd", "whey")
KINDS = ("milk-ph", "curd-ph", "whey-ph")
FEW = 3  # readings below which the past carries the forecast
MOST = 100  # readings of a kind that are fitted; more are averaged in runs
DRAWS = 400

# The wide prior. Fresh milk at pH 6.6 (University of Guelph 6.62, J. Milk Sci. Biotechnol.
# 35(2):85 6.59); the end between 4.4 (feta) and 5.1 (cheddar at 14 days), University of Guelph;
# whey 0.1 to 0.2 above curd, the same. The shape lies between a logistic, which fits Guelph's
# activity test best, and Gompertz's curve, which fits the journal's low-pH make best. The spreads,
# and the middles and widths (growth.py), are from memory.
UPPER_PH, LOWER_PH, LOG_SHAPE, OFFSET_PH = 6.6, 4.75, -0.8, 0.15
SPREAD = (0.08, 0.22, 0.40, 0.40, 1.40, 0.05)
PRIOR_WEIGHT = 0.5  # the wide prior counts as this many past makes; our choice
PROBE = Probe(0.03, 6.0)  # a pH probe's spread; from memory


@dataclass(frozen=True)
class AcidFit:
    """One make's course of acid: `params` (6,) in the order of sigmoid.NAMES.

    `draws` (400, 6) are courses as likely as readings and past together hold them. `probe_sd` is
    the spread of the readings about the curve, in pH; `readings` how many were fitted, `past` how
    many earlier makes it leans on.
    """

    params: Floats
    draws: Floats
    probe_sd: float
    readings: int
    past: int
    culture_type: str
    plan: str = ""
    failed: bool = False
    course: str = "working"


@dataclass(frozen=True)
class Forecast:
    """When a pH will be (or was) reached, with the range that holds 8 times in 10.

    All three instants are None when it will not be reached; `high_at_ms` alone is None when that
    is more likely than one in ten. `chance` is how likely it is reached at all.
    """

    ph: float
    of: str
    reached_at_ms: int | None
    low_at_ms: int | None
    high_at_ms: int | None
    basis: str
    chance: float


class Fan(NamedTuple):
    """The forecast as a curve: `minutes` (n,) from the make's start, pH `mid`, `low`, `high`."""

    minutes: Floats
    mid: Floats
    low: Floats
    high: Floats


def fit(whole: WholeMake, past: Sequence[AcidFit] = ()) -> AcidFit:
    """Fit the make's sound pH readings, leaning on past makes with that type of culture.

    Parameters
    ----------
    whole : the make; milk, curd and whey pH are fitted together, whey with an offset
    past : fits of other makes, of which those like this one are used: see `prior_of`

    Raises
    ------
    CurveError
        When the plan's type of culture is unknown.
    """
    prior, used = prior_of(past, whole.plan.culture_type, whole.plan.name)
    time, kinds = culture_time(whole), _readings(whole)
    data = _data(time, [_thinned(rows) for rows in kinds], PROBE.sd)
    solved = fit_falling(data, prior.mean, prior=prior)
    data = replace(data, noise=_spread(solved.rss, solved, prior, len(data.ph)))
    solved = fit_falling(data, solved.params, prior=prior)
    drawn = likely(data, solved, prior, PROBE, DRAWS)
    every = _data(time, kinds, PROBE.sd)
    rss = float(np.sum((falling(solved.params, every.tau, every.whey)[0] - every.ph) ** 2))
    return AcidFit(
        params=solved.params,
        draws=drawn,
        probe_sd=_spread(rss, solved, prior, len(every.ph)),
        readings=len(every.ph),
        past=used,
        culture_type=whole.plan.culture_type,
        plan=whole.plan.name,
        failed=whole.make.failed,
    )


def prior_of(past: Sequence[AcidFit], culture_type: str, plan: str = "") -> tuple[Prior, int]:
    """What past makes say about a course of acid, and how many of them say it.

    Makes of the plan called `plan` where there are at least three (a washed curd ends sweeter),
    else all of that type of culture; failed ones and those of too few readings never. The wide
    prior stands in as half a make, which keeps the spread wide after one or two.
    """
    kind = culture(culture_type)
    pace = np.log([kind.middle_min, kind.width_min])
    centre = np.array([UPPER_PH, LOWER_PH, *pace, LOG_SHAPE, OFFSET_PH])
    wide = np.diag(np.square(SPREAD))
    fits = _alike(past, culture_type, plan)
    if not fits:
        return Prior(centre, wide), 0
    found, total = np.array([f.params for f in fits]), PRIOR_WEIGHT + len(fits)
    mean = (PRIOR_WEIGHT * centre + found.sum(axis=0)) / total
    apart, shift = found - mean, centre - mean
    scatter = apart.T @ apart + PRIOR_WEIGHT * (wide + np.outer(shift, shift))
    return Prior(mean, scatter / total * (1 + 1 / total)), len(fits)


def _alike(past: Sequence[AcidFit], culture_type: str, plan: str) -> list[AcidFit]:
    """The past makes that say something of such a make."""
    known = [f for f in past if f.readings >= FEW and not f.failed]
    mine = [f for f in known if f.culture_type == culture_type]
    same = [f for f in mine if f.plan == plan]
    return same if len(same) >= FEW else mine


def forecast(
    whole: WholeMake,
    ph: float,
    of: str = "curd",
    past: Sequence[AcidFit] = (),
    *,
    fitted: AcidFit | None = None,
) -> Forecast:
    """When curd or whey passes a pH on its way down.

    Parameters
    ----------
    whole : the make
    ph : the level asked for
    of : "curd" (as milk before the cut) or "whey"
    past : fits of earlier makes to lean on
    fitted : the make's own fit when it is at hand, to spare fitting again

    Raises
    ------
    CurveError
        When `of` is neither, or the level is no pH.
    """
    if not 2 <= ph <= 10:
        raise CurveError(f"pH {ph:g} cannot be forecast: give one between 2 and 10, like 5.4.")
    whey = _whey(of)
    found = fit(whole, past) if fitted is None else fitted
    time = culture_time(whole)
    best = float(time.when(tau_when(found.params, ph, whey))[0])
    drawn = time.when(tau_when(found.draws, ph, whey))
    low, high = _eighty(drawn)
    reached = bool(np.isfinite(best))
    return Forecast(
        ph,
        of,
        _instant(whole, best),
        _instant(whole, min(low, best)) if reached else None,
        _instant(whole, max(high, best)) if reached else None,
        basis(found),
        float(np.mean(np.isfinite(drawn))),
    )


def fan(
    whole: WholeMake,
    of: str = "curd",
    past: Sequence[AcidFit] = (),
    *,
    fitted: AcidFit | None = None,
    from_min: float | None = None,
    to_min: float | None = None,
    points: int = 160,
) -> Fan:
    """The forecast as a curve with its 80 % range, for the chart.

    From `from_min` (None: the last pH reading, else when the culture went in) to `to_min` (None:
    the end of the day's plan), minutes from the make's start, in `points` even steps.
    """
    whey = _whey(of)
    found = fit(whole, past) if fitted is None else fitted
    first = _last_ph_min(whole) if from_min is None else from_min
    last = _end_min(whole) if to_min is None else to_min
    time = culture_time(whole)
    minutes = np.linspace(first, max(first, min(last, time.minutes[-1])), points)
    tau = time.at(minutes)
    many = ph_at(found.draws, tau, whey)
    low, high = np.quantile(many, [0.1, 0.9], axis=0)
    return Fan(minutes, ph_at(found.params, tau, whey)[0], low, high)


def basis(found: AcidFit) -> str:
    """A sentence that says what a forecast rests on."""
    usual = f"the usual course of a {found.culture_type} culture"
    past = _counted(found.past, "past make")
    leans_on = past if found.past else usual
    own = _counted(found.readings, "pH reading")
    if found.readings >= FEW and found.past:
        return f"From {own}, leaning a little on {past}."
    if found.readings >= FEW:
        return f"From {own} and no past make; {usual} fills in the rest."
    few = f"only {own}" if found.readings else "no pH reading yet"
    alone = "" if found.past else " and no past make"
    return f"From {few}{alone}, so it leans on {leans_on}."


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _whey(of: str) -> float:
    """1 for whey, 0 for curd; CurveError for anything else."""
    if of not in OF:
        raise CurveError(f"A forecast is of curd or of whey, not of “{of}”.")
    return float(of == "whey")


def _readings(whole: WholeMake) -> list[Floats]:
    """The readings of each kind, (n, 3): minutes, pH and 1 for whey; none from before the milk."""
    first = min(0.0, culture_in_min(whole))
    out = []
    for kind in KINDS:
        trace = whole.trace(kind).sound()
        minutes = trace.minutes_from(whole.make.started_ms)
        whey = np.full(len(trace), float(kind == "whey-ph"))
        out.append(np.column_stack([minutes, trace.value, whey])[minutes >= first])
    return out


def _data(time: CultureTime, kinds: list[Floats], noise: float) -> Data:
    """Readings of all kinds together, in culture time."""
    minutes, ph, whey = np.concatenate(kinds).T
    return Data(time.at(minutes), ph, whey, noise)


def _thinned(rows: Floats) -> Floats:
    """At most `MOST` rows: the means of even runs where there are more."""
    if len(rows) <= MOST:
        return rows
    edges = np.linspace(0, len(rows), MOST + 1).astype(int)[:-1]
    sizes = np.diff(np.r_[edges, len(rows)])
    means: Floats = np.add.reduceat(rows, edges, axis=0) / sizes[:, None]
    return means


def _spread(rss: float, solved: Solved, prior: Prior, count: int) -> float:
    """The probe's standard deviation from residuals, held by what a probe usually does.

    The readings the curve has used up for itself do not count.
    """
    used = len(solved.params) - float(np.sum(prior.precision() * solved.covariance()))
    total = PROBE.weight * PROBE.sd**2 + rss
    return float(np.sqrt(total / (PROBE.weight + max(count - used, 0.0))))


def _eighty(values: Floats) -> tuple[float, float]:
    """The tenth and ninetieth of a hundred, taken from those values that are really there."""
    ordered, last = np.sort(values), len(values) - 1
    return float(ordered[round(0.1 * last)]), float(ordered[round(0.9 * last)])


def _instant(whole: WholeMake, minutes: float) -> int | None:
    """UTC milliseconds of minutes from the make's start, None for never."""
    return whole.make.started_ms + round(minutes * 60_000) if np.isfinite(minutes) else None


def _last_ph_min(whole: WholeMake) -> float:
    """Minutes from the start of the last pH reading, or of the culture without one."""
    zero = whole.make.started_ms
    last = [float(t[-1]) for k in KINDS if len(t := whole.trace(k).sound().minutes_from(zero))]
    return max(last, default=culture_in_min(whole))


def _end_min(whole: WholeMake) -> float:
    """Minutes from the start at which the day's plan ends, or its last stage."""
    line = day_line(whole)
    ends = [line.minutes[-1]] if len(line.minutes) else []
    return float(max([*ends, whole.begins_min()[-1] + whole.plan.stages[-1].minutes]))
