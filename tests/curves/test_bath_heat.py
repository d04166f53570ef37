"""What a thermometer in the bath tells of a ramp, on vessels of three nodes that are stepped by a
matrix of their own (tests/pace/heating_nodes.py), not by the journal's sums."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from journal.curves.bath_heat import NOTHING, _resistance, bath_lags, with_bath
from journal.curves.vessel_fit import LAGS, usual_belief

PACE = str(Path(__file__).parents[1] / "pace")
SEEDS = range(3000, 3024)


@pytest.fixture(scope="module")
def nodes() -> Iterator[object]:
    """The vessels' own module."""
    sys.path.insert(0, PACE)
    try:
        import heating_nodes

        yield heating_nodes
    finally:
        sys.path.remove(PACE)


def climb(nodes, seed: int, minutes: float = 25.0, **how) -> tuple[object, tuple[np.ndarray, ...]]:
    """A ramp's first minutes: the vessel, and what milk and bath were read as."""
    rng = np.random.default_rng(seed)
    run = nodes._Run(rng, nodes.kitchen_of(rng, 1.5, 16.0, bath_read=True, **how))
    run.begin()
    run.go_on(nodes.BEGIN_MIN + minutes)
    traces = run.whole().traces
    zero = nodes.START_MS + round(nodes.BEGIN_MIN * 60_000)
    milk, bath = traces["milk-temp"], traces["bath-temp"]
    read = milk.minutes_from(zero), milk.value, bath.minutes_from(zero), bath.value
    return run.place, read


def test_the_lag_of_a_burner_is_told_within_a_step_and_a_half_of_its_grid(nodes) -> None:
    """The grid's steps are of 1.35: nine in ten lie within 1.35 ** 1.5 of the truth."""
    off = []
    for seed in SEEDS:
        place, read = climb(nodes, seed)
        share = np.exp(bath_lags(*read))
        off.append(abs(float(share @ np.log(LAGS) / share.sum()) - np.log(place.delay_min)))
    assert np.mean(np.array(off) <= 1.5 * np.log(1.35)) >= 0.9, np.sort(off)


def test_a_bath_that_a_thermostat_holds_tells_nothing_and_a_burner_does(nodes) -> None:
    """Nine in ten of each, ten minutes after a quick bath is warm."""
    held = [bath_lags(*climb(nodes, seed, 30.0, thermostat=True)[1]).any() for seed in SEEDS]
    left = [bath_lags(*climb(nodes, seed, 30.0)[1]).any() for seed in SEEDS]
    assert np.mean(held) <= 0.1
    assert np.mean(left) >= 0.9


def test_too_little_tells_nothing_and_leaves_the_belief_as_it_was(nodes) -> None:
    _, (at, milk, bath_at, bath) = climb(nodes, 3100)
    few = bath_lags(at, milk, bath_at[:3], bath[:3])
    none = bath_lags(at, milk, bath_at[:0], bath[:0])
    cold = bath_lags(at, milk, bath_at, np.interp(bath_at, at, milk))
    for output in (few, none, cold, NOTHING):
        assert not output.any()
    belief = usual_belief()
    np.testing.assert_allclose(with_bath(belief, NOTHING), belief, atol=1e-12)


def test_what_a_hand_does_is_as_likely_with_a_bath_as_without(nodes) -> None:
    _, read = climb(nodes, 3101)
    belief = usual_belief()
    weighed = with_bath(belief, bath_lags(*read))
    for part in (slice(0, 1), slice(1, 3), slice(3, 6)):
        before, after = (np.logaddexp.reduce(one[part].ravel()) for one in (belief, weighed))
        assert after == pytest.approx(before, abs=1e-9)


def evenly(rate: float, resistance: float = 8.0) -> tuple[np.ndarray, ...]:
    """Milk that rises by `rate` under a bath that holds as much as it, each read to 0.02 °C."""
    at, lag = np.arange(0.0, 41.0), resistance / 2
    gap = resistance * rate * -np.expm1(-at / lag)
    milk = 31.0 + rate * (at + lag * np.expm1(-at / lag))
    noise = np.random.default_rng(3).normal(0, 0.02, (2, len(at)))
    return at, milk + noise[0], at, milk + gap + noise[1]


def test_a_bath_half_a_degree_over_the_milk_tells_something_and_a_nearer_one_nothing() -> None:
    output = bath_lags(*evenly(0.1))  # 0.8 °C over it
    assert LAGS[output.argmax()] in (3.5, 4.8)  # on either side of 4 in the grid
    assert not bath_lags(*evenly(0.05)).any()  # 0.4 °C


def test_what_is_known_of_a_vats_loss_helps_where_little_was_read() -> None:
    """Against plain least squares of the same readings, over ten minutes of a climb."""
    off: list[tuple[float, float]] = []
    for seed in range(60):
        rng = np.random.default_rng(seed)
        at = np.arange(0.0, 11.0)
        gap = 2.0 * -np.expm1(-at / 4.0)
        given = np.r_[0.0, np.cumsum((gap[1:] + gap[:-1]) / 2)]
        milk = 31.0 + given / 8.0 - 0.02 * at + rng.normal(0, 0.03, len(at))
        columns = np.column_stack([np.ones(len(at)), given, at])
        plain = np.linalg.lstsq(columns, milk, rcond=None)[0][1]
        output = _resistance(at, milk, milk + gap)
        off.append((plain - 1 / 8, 1 / output - 1 / 8))
    plain_off, told_off = np.sqrt(np.mean(np.square(off), axis=0))
    assert told_off < plain_off
