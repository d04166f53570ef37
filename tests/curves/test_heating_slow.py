"""The ramp's promises in vessels of three nodes that lag long (a short run of the proof).

Bounds are the promises widened by three standard errors of so many makes.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

PACE = str(Path(__file__).parents[1] / "pace")
PROMISED = 0.9


@pytest.fixture(scope="module")
def proof() -> Iterator[object]:
    """The proof's own module, whose parts import each other by their plain names."""
    sys.path.insert(0, PACE)
    try:
        import heating_slow

        yield heating_slow
    finally:
        sys.path.remove(PACE)


def least(trials: int) -> float:
    """The promised share less three binomial standard errors."""
    return PROMISED - 3 * math.sqrt(PROMISED * (1 - PROMISED) / trials)


def test_a_slow_vessel_is_turned_down_in_time_and_its_own_makes_teach_it(proof) -> None:
    line = proof.Line(delay=proof.SLOW)
    kitchens = proof.trials(range(601, 605), line, proof.OWN)
    for own in (1, proof.OWN):
        past_c = np.array([makes[own - 1].past_c for makes in kitchens])
        assert np.mean(past_c <= line.most_c(own)) >= least(len(past_c)), past_c


def test_a_bath_with_a_thermostat_is_turned_down_in_time(proof) -> None:
    line = proof.Line(thermostat=True, delay=proof.SLOW)
    past_c = np.array([makes[0].past_c for makes in proof.trials(range(611, 616), line, 1)])
    assert np.mean(past_c <= line.most_c(1)) >= least(len(past_c)), past_c


def test_the_kitchen_coasts_by_its_delay(proof) -> None:
    """The simulated vessel is what it is said to be: °C coasted over °C a minute climbed."""
    from heating_nodes import BATH, BEGIN_MIN, MILK, _Run, kitchen_of

    for seed, delay in ((1, 2.0), (2, 6.0), (3, 12.0)):
        rng = np.random.default_rng(seed)
        index = kitchen_of(rng, delay, delay, loss=0.0, bath_loss=0.0, lid=0.0)
        run = _Run(rng, index)
        run.go_on(BEGIN_MIN)
        run.turn(0.5)
        run.go_on(BEGIN_MIN + 8 * delay)
        rate = (run.milk[-1] - run.milk[-11]) / 1.0
        below, at = run.nodes[BATH], run.nodes[MILK]
        run.turn(0.0)
        run.go_on(run.now + 12 * delay)
        assert below > at
        assert (run.milk[-1] - at) / rate == pytest.approx(run.place.delay_min, rel=0.02)


def test_a_second_heating_takes_as_long_as_is_thought(proof) -> None:
    """Kitchens that nobody advises, turned down 1 to 2.5 °C early: half of the waits are longer
    than the middle that an arrival counts with, and eight in ten lie in its range."""
    from heating_nodes import BEGIN_MIN, MILK, Cook, _coast, _report, _Run, kitchen_of

    from journal.curves.heating import AGAIN_LAGS, AGAIN_MIN, AGAIN_SPREAD, AGAIN_TIMES, NEAR

    off = []
    for seed in range(801, 841):
        rng = np.random.default_rng(seed)
        index = kitchen_of(rng, *((1.0, 8.0) if seed % 2 else (8.0, 16.0)), thermostat=seed % 4 > 1)
        early_c, run, out = float(rng.uniform(1.0, 2.5)), _Run(rng, index), Cook()
        run.begin()
        coasts, rate = 0.0, 0.0
        while run.nodes[MILK] + coasts < run.target - early_c or run.now < BEGIN_MIN + 6:
            run.go_on(run.now + 1.0)
            rate = (run.milk[-1] - run.milk[-31]) / 3.0
            coasts = run.place.delay_min * rate
        out.down_min, here = run.now, float(run.nodes[MILK])
        _coast(run, out)
        _report(run, out)
        missed = (run.target - NEAR - here - coasts) / rate
        thought = AGAIN_MIN + AGAIN_LAGS * run.place.delay_min + AGAIN_TIMES * missed
        off.append(np.log((out.arrived_min - out.down_min) / thought) / AGAIN_SPREAD)
    assert abs(np.mean(np.array(off) > 0) - 0.5) <= 3 * 0.5 / math.sqrt(len(off)), off
    inside = np.mean(np.abs(off) <= 1.2816)
    assert abs(inside - 0.8) <= 3 * math.sqrt(0.8 * 0.2 / len(off)), off
