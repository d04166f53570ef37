"""A ramp's advice against ramps made by the vessel's own closed form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.heating import BEYOND, GRID, NEAR, _coasting_lags, heating, vessel_of
from journal.curves.vessel import warm
from journal.curves.vessel_fit import LAGS, LOSSES, RampFits, response, usual_belief, ways
from journal.curves.vessel_fit import Ramp as FittedRamp
from journal.records.plans import Plan, Stage
from tests.vat_page import page_of

STAGES = (
    Stage("ripen", 60, target_c=31.0, ramp_min=0),
    Stage("cook", 40, target_c=39.0, limit_c_per_min=0.25),
    Stage("pitch", 60, target_c=39.0, ramp_min=0),
)
PLAN = Plan("Cooked", STAGES, milk_c=31.0)
BEGIN = 60.0
_EARLY = "perhaps too early: this vessel's lag is not known yet"


@pytest.fixture
def kitchen(kitchen_of):
    return kitchen_of(plan=PLAN)


def climbing(minutes, rate, lag=3.0, loss=0.005):
    """°C after a step of heat that warms by `rate` at first, from a hold at 31 °C."""
    return 31.0 + rate * response(np.asarray(minutes, float) - BEGIN, loss, lag)


def cooking(kitchen, until, rate, *, noise=0.03, lag=3.0, heat=None):
    minutes = np.arange(30.0, until + 0.01)
    value = climbing(minutes, rate, lag) + np.random.default_rng(2).normal(0, noise, len(minutes))
    traces = [kitchen.trace("milk-temp", minutes, value)]
    if heat is not None:
        traces.append(kitchen.trace("heat", [0.0, BEGIN], heat))
    return kitchen.make(*traces, begun=2, finished=False)


def minutes(kitchen, at_ms):
    return (at_ms - kitchen.start_ms) / 60_000


def true_arrival(rate, near, lag=3.0):
    at = np.arange(BEGIN, 300, 0.02)
    return float(at[np.argmax(climbing(at, rate, lag) >= 39.0 - near)])


def test_a_step_of_heat_answers_as_the_vessel_with_a_lagging_heat_does() -> None:
    at, lag, loss = np.linspace(0, 60, 6001), 3.0, 0.006
    follows = 1 - np.exp(-at / lag)
    stepped = warm(at, follows, 1.0, loss, 20.0, 20.0) - 20.0
    assert response(at, loss, lag) == pytest.approx(stepped, abs=0.01)
    assert response(at, 0.0, lag) == pytest.approx(at - lag * (1 - np.exp(-at / lag)))
    assert response(np.array([-5.0]), loss, lag) == pytest.approx(0.0)


def test_it_arrives_when_told_from_halfway_on(kitchen) -> None:
    for until in (82, 88, 94):
        got = heating(cooking(kitchen, until, 0.26), kitchen.at(until))
        true = true_arrival(0.26, NEAR)
        assert minutes(kitchen, got.arrives_ms) == pytest.approx(true, abs=2.0)
        assert got.low <= got.arrives_ms <= got.high


def test_turned_down_when_said_it_coasts_in(kitchen) -> None:
    """After the heat is turned down to what holds the milk, it rises by lag times its rate."""
    for lag in (2.0, 4.0):
        got = heating(cooking(kitchen, 92, 0.26, lag=lag), kitchen.at(92))
        down = minutes(kitchen, got.turn_down_ms)
        rate = (climbing(down + 0.1, 0.26, lag) - climbing(down, 0.26, lag)) / 0.1
        assert climbing(down, 0.26, lag) + lag * rate == pytest.approx(39.0, abs=0.3)
        assert got.coast_c == pytest.approx(lag * rate, abs=0.3)


def test_the_rate_lands_on_the_plan_but_never_beyond_its_limit(kitchen) -> None:
    behind = heating(cooking(kitchen, 80, 0.15), kitchen.at(80))
    assert behind.limit == 0.25
    assert behind.rate == 0.25
    output = page_of(cooking(kitchen, 80, 0.15), kitchen.at(80))
    assert "At 0.25 °C/min, the most the plan allows" in output
    near = heating(cooking(kitchen, 80, 0.24), kitchen.at(80))
    here = climbing(80, 0.24)
    assert near.rate == pytest.approx((39.0 - here) / 20, abs=0.02)
    assert near.rate <= near.limit
    late = heating(cooking(kitchen, 105, 0.15), kitchen.at(105))
    assert late.rate == late.limit


def test_late_is_against_the_plan_at_the_same_nearness(kitchen) -> None:
    """The plan climbs 0.2 °C/min and comes to within `NEAR` of 39 °C in 40 - NEAR/0.2 minutes."""
    for rate, in_time in ((0.27, True), (0.15, False)):
        got = heating(cooking(kitchen, 90, rate), kitchen.at(90))
        planned = BEGIN + 40 - NEAR / 0.2
        assert got.late_min == pytest.approx(minutes(kitchen, got.arrives_ms) - planned, abs=0.01)
        assert got.target_c == 39.0
        assert got.in_time is in_time
    assert got.late_min > 5


def test_the_hold_before_a_ramp_tells_where_it_began(kitchen) -> None:
    """Read every five minutes, the readings before the ramp bring its arrival nearer."""
    at, true, off = np.arange(32.0, 81.0, 5.0), true_arrival(0.24, NEAR), {0: [], 1: []}
    for seed in range(32):
        noise = np.random.default_rng(seed).normal(0, 0.1, len(at))
        trace = kitchen.trace("milk-temp", at, climbing(at, 0.24) + noise)
        whole = kitchen.make(trace, begun=2, finished=False)
        part = trace.between(kitchen.at(BEGIN), kitchen.at(81))
        for which, read in enumerate((part, trace)):
            got = heating(replace(whole, traces={"milk-temp": read}), kitchen.at(81))
            off[which].append(minutes(kitchen, got.arrives_ms) - true)
    without, with_hold = (np.sqrt(np.mean(np.square(off[which]))) for which in (0, 1))
    assert with_hold < without


def test_a_ramp_after_a_ramp_has_no_hold_before_it(kitchen_of) -> None:
    """Milk still warming when the next ramp begins is not taken for a hold."""
    stages = (
        Stage("warm", 60, target_c=31.0),
        Stage("cook", 40, target_c=39.0, limit_c_per_min=0.25),
    )
    kitchen = kitchen_of(plan=Plan("Straight on", stages, milk_c=5.0))
    at = np.arange(30.0, 85.0, 2.0)
    value = np.where(at < BEGIN, 5 + 26 * at / 60, climbing(at, 0.24))
    trace = kitchen.trace("milk-temp", at, value)
    whole = kitchen.make(trace, begun=2, finished=False)
    ramp_only = trace.between(kitchen.at(BEGIN), kitchen.at(85))
    alone = replace(whole, traces={"milk-temp": ramp_only})
    assert heating(whole, kitchen.at(84)) == heating(alone, kitchen.at(84))


def test_a_logged_heat_tells_it_more_narrowly(kitchen) -> None:
    plain = heating(cooking(kitchen, 78, 0.22), kitchen.at(78))
    logged = heating(cooking(kitchen, 78, 0.22, heat=[8.0, 40.0]), kitchen.at(78))
    assert logged.high - logged.low < plain.high - plain.low
    true = true_arrival(0.22, NEAR)
    assert minutes(kitchen, logged.arrives_ms) == pytest.approx(true, abs=2.0)


def test_a_ramp_that_will_not_come_there_says_so(kitchen) -> None:
    got = heating(cooking(kitchen, 90, 0.005), kitchen.at(90))
    assert got.arrives_ms is None
    assert got.turn_down_ms is None
    assert got.coast_c is None
    output = page_of(cooking(kitchen, 90, 0.005), kitchen.at(90))
    assert "At this rate the milk does not reach 39.0 °C" in output


@pytest.mark.parametrize("end_c", [38.65, 38.7])
def test_a_milk_that_creeps_towards_its_bath_may_be_there_sooner_or_never(kitchen, end_c) -> None:
    """Where a tenth of a degree is several minutes, the range holds the arrival all the same."""
    slow, now = 16.0, 52.0
    at = np.arange(BEGIN - 30, BEGIN + now + 0.1)
    value = 31.0 - (end_c - 31.0) * np.expm1(-np.maximum(at - BEGIN, 0.0) / slow)
    read = np.round(value + np.random.default_rng(4).normal(0, 0.05, len(at)), 1)
    trace = kitchen.trace("milk-temp", at, read)
    got = heating(kitchen.make(trace, begun=2, finished=False), kitchen.at(BEGIN + now))
    true = BEGIN - slow * np.log((end_c - 39.0 + NEAR) / (end_c - 31.0))
    assert minutes(kitchen, got.low) <= true
    assert got.high is None or true <= minutes(kitchen, got.high)


def test_where_no_ramp_runs_nothing_is_said(kitchen) -> None:
    whole = cooking(kitchen, 90, 0.2)
    assert heating(replace(whole, runs=()), kitchen.at(90)) is None
    assert heating(kitchen.make(begun=1, finished=False), kitchen.at(30)) is None
    assert heating(kitchen.make(begun=2, finished=False), kitchen.at(80)) is None
    assert heating(whole, kitchen.at(125)) is None  # not read for over half an hour


def test_readings_to_come_are_not_looked_at(kitchen) -> None:
    whole = cooking(kitchen, 95, 0.2)
    assert heating(whole, kitchen.at(80)) == heating(cooking(kitchen, 80, 0.2), kitchen.at(80))


def over(kitchen, rate, lag):
    """A cook turned down at 37.5 °C to what holds it, then pitched."""
    at = np.arange(30.0, 115.0)
    fine = np.arange(BEGIN, 200, 0.01)
    down = float(fine[np.argmax(climbing(fine, rate, lag) >= 37.5)])
    value = climbing(at, rate, lag)
    slope = (climbing(down + 0.01, rate, lag) - climbing(down, rate, lag)) / 0.01
    after = at > down
    value[after] = 37.5 + slope * lag * (1 - np.exp(-(at[after] - down) / lag))
    return kitchen.make(kitchen.trace("milk-temp", at, value), begun=3, finished=False)


def test_earlier_ramps_tell_how_long_the_heat_lags(kitchen) -> None:
    quick = [vessel_of(over(kitchen, 0.25, 1.2)) for _ in range(6)]
    slow = [vessel_of(over(kitchen, 0.25, 7.0)) for _ in range(6)]
    assert all(len(v.ramps) == 1 for v in quick + slow)
    lag = [np.sum(v[0].ramps[0][1] * LAGS) for v in (quick, slow)]
    assert lag[0] < 3.0 < lag[1]
    whole = cooking(kitchen, 75, 0.25)
    coasts = [heating(whole, kitchen.at(75), v).coast_c for v in (quick, slow)]
    assert coasts[0] < coasts[1]


def test_while_the_lag_is_not_known_the_early_end_is_taken_and_that_is_said(kitchen) -> None:
    """Once earlier ramps tell the lag, nothing of the kind is said."""
    whole = cooking(kitchen, 70, 0.26)
    first = heating(whole, kitchen.at(70))
    assert first.early
    assert _EARLY in page_of(whole, kitchen.at(70))
    assert first.down_c + first.coast_c < 39.0
    past = [vessel_of(over(kitchen, 0.25, 3.0)) for _ in range(5)]
    known = heating(whole, kitchen.at(70), past)
    assert not known.early
    assert _EARLY not in page_of(whole, kitchen.at(70), past)
    assert known.down_c > first.down_c


def test_a_lag_at_the_slow_end_is_not_taken_for_known(kitchen) -> None:
    got = heating(cooking(kitchen, 95, 0.26, lag=35.0), kitchen.at(95))
    assert got.early


def test_earlier_ramps_teach_a_long_lag_whatever_their_heat(kitchen) -> None:
    """A can in a sink bath: the lag is found to within a third, from one make."""
    for lag in (9.0, 14.0):
        share = vessel_of(over(kitchen, 0.25, lag)).ramps[0][1]
        assert np.exp(share @ np.log(LAGS)) == pytest.approx(lag, rel=1 / 3)


def test_a_ramp_still_running_tells_nothing_of_its_vat(kitchen) -> None:
    assert vessel_of(cooking(kitchen, 80, 0.2)).ramps == ()


def test_the_weights_of_all_ways_are_those_of_their_losses_and_lags() -> None:
    at = np.arange(0.0, 30.0)
    ramp = FittedRamp(at, climbing(at + BEGIN, 0.2), 0.2)
    belief = usual_belief()
    assert np.exp(belief).sum() == pytest.approx(1.0)
    found, evidence = ways(ramp, belief)
    assert len(found.loss) == len(found.log_weight) == len(found.mean)
    assert evidence.shape == (len(LOSSES), len(LAGS))
    total = np.logaddexp.reduce(found.log_weight)
    assert total == pytest.approx(np.logaddexp.reduce((belief + evidence).ravel()))


def test_a_climb_that_tells_nothing_leaves_the_lags_as_they_were_believed() -> None:
    """Of a hand that keeps its rate; the drawn ones stray between the steps of their grid."""
    belief, at = usual_belief(), np.arange(3.0)
    bare = np.zeros(len(LAGS))
    found = RampFits(bare, LAGS, bare, belief[0], bare, bare)
    drawn = np.zeros(20_000, np.intp)
    ramp = FittedRamp(at, at, 0.2)
    lags = np.log(_coasting_lags(found, drawn, ramp, belief, np.random.default_rng(1)))
    share = np.exp(belief[0] - np.logaddexp.reduce(belief[0]))
    beyond = np.log(LAGS[-1] * np.linspace(1.0, BEYOND, 10_001))  # the longest stands for more
    each = np.r_[np.log(LAGS[:-1]), beyond]
    share = np.r_[share[:-1], np.full(len(beyond), share[-1] / len(beyond))]
    middle = share @ each
    spread = np.sqrt(share @ (each - middle) ** 2 + GRID**2)
    # four standard errors of so many draws
    assert lags.mean() == pytest.approx(middle, abs=4 * spread / np.sqrt(len(lags)))
    off = (lags - lags.mean()) ** 2
    assert off.mean() == pytest.approx(spread**2, abs=4 * off.std() / np.sqrt(len(lags)))


def test_milk_that_coasts_in_comes_there_after_its_heat_is_down(kitchen) -> None:
    """It rises by lag times its rate and fades with the lag, from when the heat is turned down."""
    lag = 8.0
    past = [vessel_of(over(kitchen, 0.25, lag)) for _ in range(6)]
    got = heating(cooking(kitchen, 90, 0.26, lag=lag), kitchen.at(90), past)
    down = minutes(kitchen, got.turn_down_ms)
    rate = (climbing(down + 0.1, 0.26, lag) - climbing(down, 0.26, lag)) / 0.1
    short = 39.0 - NEAR - climbing(down, 0.26, lag)
    fades = -lag * np.log1p(-short / (lag * rate))
    assert fades > 4
    assert minutes(kitchen, got.arrives_ms) == pytest.approx(down + fades, abs=2.0)
