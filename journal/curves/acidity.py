"""The acidity of a make: a curve through its pH readings, and when it will pass an acid target.

Beside a culture at work stands one that is slow or stalls, weighed by how well each predicts the
readings: a failing starter looks like a healthy one for some three hours (University of Guelph,
Fig. 3.1), so what is said early is wide.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from journal.curves import CurveError, titration
from journal.curves.culture_time import CultureTime, culture_in_min, culture_time, culture_times
from journal.curves.day import day_line, every_begin
from journal.curves.growth import culture
from journal.curves.leaning import FEW as FEW
from journal.curves.leaning import SENSOR_NOISE, chance_of_failing
from journal.curves.leaning import AcidFit as AcidFit
from journal.curves.leaning import prior_of as prior_of
from journal.curves.plan_acid_targets import acid_targets_used, usual_of
from journal.curves.sigmoid import FitData, falling, fit_falling
from journal.curves.slow_acid import cautioned, failing, held_to_limits, is_met, is_slow, slow
from journal.curves.solver import Prior, Solution
from journal.curves.stall import ph_of, tau_of
from journal.curves.weighing import weigh
from journal.message import Message
from journal.records.kinds import ACIDITY_KINDS, PH_KINDS, TITRATED_KINDS
from journal.records.traces import Floats
from journal.records.whole import WholeMake

OF = ("curd", "whey")
MOST = 60  # readings of a kind that are fitted; more are averaged in runs
DRAWS = 1000
UNLIKELY = 0.1  # so seldom reached it is said that it will not be
NEAR_PH = 3 * SENSOR_NOISE.sd  # nearer the milk's own pH no sensor tells when a level is passed


@dataclass(frozen=True)
class Forecast:
    """When a pH will be (or was) reached, with the range that holds 8 times in 10.

    `reached_at_ms`, the middle, is None when it is more likely never reached than at all, and so
    is each end of the range when that is. `chance` is how likely it is reached
    at all, `tenths` the same in whole tenths (none where it will not be reached), and `by_at_ms`
    when so many tenths will have reached it. `stalled` is how
    likely the culture is slow or has stalled by the last reading, `called` true when slow acid is
    named; `message` says so, with the published caution (None while nothing speaks for it).
    """

    ph: float
    of: str
    reached_at_ms: int | None
    low_at_ms: int | None
    high_at_ms: int | None
    basis: Message
    chance: float
    stalled: float = 0.0
    called: bool = False
    message: Message | None = None
    tenths: int = 10
    by_at_ms: int | None = None


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
    whole : the make; milk, curd and whey pH are fitted together, whey with an offset, and what was
        titrated as the pH that it stands for, as surely as that is known (titration.py)
    past : fits of other makes, of which those like this one are used: see `prior_of`

    Raises
    ------
    CurveError
        When the plan's type of culture is unknown.
    """
    prior, used = prior_of(past, whole.plan.culture_type, whole.plan.name, usual_of(whole.plan))
    time, kinds = culture_time(whole), _readings(whole)
    data = _data(time, [_thinned(rows) for rows in kinds], SENSOR_NOISE.sd)
    solved = fit_falling(data, prior.mean, prior=prior)
    data = replace(data, noise=_spread(solved.rss, solved, prior, data.count))
    solved = fit_falling(data, solved.params, prior=prior)
    middle = culture(whole.plan.culture_type).middle_min
    chance = chance_of_failing(past, whole.plan.culture_type)
    weighed = weigh(data, solved, prior, SENSOR_NOISE, middle, chance, DRAWS)
    every, met = _data(time, kinds, SENSOR_NOISE.sd), is_met(whole.plan, np.vstack(kinds))
    rss = float(every.rss(falling(solved.params, every.tau, every.whey)[0]))
    found = AcidFit(
        params=solved.params,
        draws=weighed.courses,
        sensor_sd=_spread(rss, solved, prior, every.count),
        readings=len(every.ph),
        past=used,
        culture_type=whole.plan.culture_type,
        plan=whole.plan.name,
        failed=whole.make.failed,
        stalled=0.0 if met else weighed.failing,
        acid_targets=acid_targets_used(whole.plan),
        met=met,
        titrated=sum(len(rows) for rows in kinds[len(PH_KINDS) :]),
    )
    last = max((float(rows[-1, 0]) for rows in kinds if len(rows)), default=0.0)
    return found if met else replace(found, stalled=held_to_limits(whole, found, last))


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
    fitted : the make's own fit when there is one, to spare fitting again

    Raises
    ------
    CurveError
        When `of` is neither, or the level is no pH.
    """
    if not 2 <= ph <= 10:
        raise CurveError("curves.forecast-ph", ph=ph)
    whey = _whey(of)
    found = fit(whole, past) if fitted is None else fitted
    tau, drawn = tau_of(found.draws, ph, whey), np.empty(len(found.draws))
    times = culture_times(whole)
    for i, time in enumerate(times):
        drawn[i :: len(times)] = time.when(tau[i :: len(times)])
    low, best, high = _shares(drawn, 0.1, 0.5, 0.9)
    chance = float(np.mean(np.isfinite(drawn)))
    tenths = int(10 * chance) if chance > UNLIKELY else 0
    (by,) = _shares(drawn, tenths / 10)
    return Forecast(
        ph,
        of,
        _instant(whole, best),
        _instant(whole, low),
        _instant(whole, high),
        _basis(whole, found),
        chance,
        found.stalled,
        is_slow(whole, found),
        _failing(whole, found),
        tenths,
        _instant(whole, by) if tenths else None,
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
    times = culture_times(whole)
    minutes = np.linspace(first, max(first, min(last, times[0].minutes[-1])), points)
    tau = np.array([time.at(minutes) for time in times])
    tau = tau[np.arange(len(found.draws)) % len(times)]
    low, mid, high = np.quantile(ph_of(found.draws, tau, whey), [0.1, 0.5, 0.9], axis=0)
    return Fan(minutes, mid, low, high)


def basis(found: AcidFit) -> Message:
    """What a forecast rests on."""
    own = "curves.acidity-readings" if found.titrated else "curves.ph-readings"
    usual = "curves.usual-course-and-targets" if found.acid_targets else "curves.usual-course"
    if found.readings >= FEW:
        fills = "curves.basis-targets" if found.acid_targets else "curves.basis-usual"
        which = "curves.basis-past" if found.past else fills
    elif found.readings:
        which = "curves.basis-few-and-past" if found.past else "curves.basis-few"
    else:
        which = "curves.basis-none-but-past" if found.past else "curves.basis-none"
    return Message(
        which,
        own=Message(own, readings=found.readings),
        past=found.past,
        culture=found.culture_type,
        usual=Message(usual, culture=found.culture_type),
    )


def _basis(whole: WholeMake, found: AcidFit) -> Message:
    """What a forecast rests on, and what is left out."""
    left_out = _left_out(whole)
    sentence = basis(found)
    return Message("curves.basis-but", basis=sentence, titrated=left_out) if left_out else sentence


def _left_out(whole: WholeMake) -> int:
    """How often whey was titrated after water went into it, where no pH was read since; else 0."""
    washed = _washed_min(whole)
    since = {
        kind: int(np.sum(trace.minutes_from(whole.make.started_ms) >= washed))
        for kind in ACIDITY_KINDS
        for trace in (whole.trace(kind).sound(),)
    }
    return 0 if any(since[kind] for kind in PH_KINDS) else sum(since[k] for k in TITRATED_KINDS)


def _failing(whole: WholeMake, found: AcidFit) -> Message | None:
    """The message about a culture that fails or may fail, else about a limit that is missed."""
    sentence = None if found.called else slow(whole, found)
    if sentence is not None:
        return cautioned(sentence)
    sentence = failing(found.stalled, found.called)
    return cautioned(sentence) if sentence is not None and found.called else sentence


def tells_when(found: AcidFit, ph: float) -> bool:
    """False for a pH so near the milk's own that no sensor tells when it is passed.

    Such an acid target (milk at pH 6.5 to 6.6 when the rennet goes in) is to be checked, not
    awaited.
    """
    return bool(found.params[0] - ph > NEAR_PH)


def has_acid(whole: WholeMake) -> bool:
    """True when any sound pH or titrated acidity was read of milk that a culture sours."""
    return whole.plan.sours and any(len(whole.trace(kind).sound()) for kind in ACIDITY_KINDS)


def _whey(of: str) -> float:
    """1 for whey, 0 for curd; CurveError for anything else."""
    if of not in OF:
        raise CurveError("curves.forecast-of", of=of)
    return float(of == "whey")


def _readings(whole: WholeMake) -> list[Floats]:
    """The readings of each kind, (n, 4): minutes, pH, 1 for whey, spread; none from before the
    milk. What was titrated stands for the curd's pH; whey that was watered tells nothing."""
    first, washed = min(0.0, culture_in_min(whole)), _washed_min(whole)
    out = []
    for kind in ACIDITY_KINDS:
        trace = whole.trace(kind).sound()
        minutes = trace.minutes_from(whole.make.started_ms)
        titrated = kind in TITRATED_KINDS
        counted = (minutes >= first) & ((minutes < washed) | (not titrated))
        minutes, ph = minutes[counted], trace.value[counted]
        spread = np.full(len(ph), SENSOR_NOISE.sd)
        if titrated:
            ph = titration.ph_of_acidity(ph, whole.plan.animal, kind)
            spread = np.hypot(SENSOR_NOISE.sd, titration.spread_ph(ph))
        whey = np.full(len(ph), float(kind == "whey-ph"))
        out.append(np.column_stack([minutes, ph, whey, spread]))
    return out


def _washed_min(whole: WholeMake) -> float:
    """Minutes from the start at which water first goes in, inf for never."""
    stages = zip(every_begin(whole), whole.plan.stages, strict=True)
    return min((at for at, s in stages if s.water_added_per_l > 0), default=np.inf)


def _data(time: CultureTime, kinds: list[Floats], noise: float) -> FitData:
    """Readings of all kinds together, in culture time."""
    minutes, ph, whey, spread = np.concatenate(kinds).T
    return FitData(time.at(minutes), ph, whey, noise, SENSOR_NOISE.sd / spread)


def _thinned(rows: Floats) -> Floats:
    """At most `MOST` rows: the means of even runs where there are more."""
    if len(rows) <= MOST:
        return rows
    edges = np.linspace(0, len(rows), MOST + 1).astype(int)[:-1]
    sizes = np.diff(np.r_[edges, len(rows)])
    means: Floats = np.add.reduceat(rows, edges, axis=0) / sizes[:, None]
    return means


def _spread(rss: float, solved: Solution, prior: Prior, count: float) -> float:
    """The sensor's standard deviation from residuals, held by what a sensor usually does.

    The readings the curve has used up for itself do not count.
    """
    used = len(solved.params) - float(np.sum(prior.precision() * solved.covariance()))
    total = SENSOR_NOISE.weight * SENSOR_NOISE.sd**2 + rss
    return float(np.sqrt(total / (SENSOR_NOISE.weight + max(count - used, 0.0))))


def _shares(values: Floats, *shares: float) -> list[float]:
    """Of values (n,) those below which such shares of them lie; values that are really there."""
    ordered, last = np.sort(values), len(values) - 1
    return [float(ordered[round(share * last)]) for share in shares]


def _instant(whole: WholeMake, minutes: float) -> int | None:
    """UTC milliseconds of minutes from the make's start, None for never."""
    return whole.make.started_ms + round(minutes * 60_000) if np.isfinite(minutes) else None


def _last_ph_min(whole: WholeMake) -> float:
    """Minutes from the start of the last pH reading, or of the culture without one."""
    zero = whole.make.started_ms
    traces = [whole.trace(kind).sound().minutes_from(zero) for kind in ACIDITY_KINDS]
    last = [float(minutes[-1]) for minutes in traces if len(minutes)]
    return max(last, default=culture_in_min(whole))


def _end_min(whole: WholeMake) -> float:
    """Minutes from the start at which the day's plan ends, or its last stage."""
    line = day_line(whole)
    ends = [line.minutes[-1]] if len(line.minutes) else []
    return float(max([*ends, every_begin(whole)[-1] + whole.plan.stages[-1].minutes]))
