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
        place = kitchen_of(rng, delay, delay, loss=0.0, bath_loss=0.0, lid=0.0)
        run = _Run(rng, place)
        run.go_on(BEGIN_MIN)
        run.turn(0.5)
        run.go_on(BEGIN_MIN + 8 * delay)
        rate = (run.milk[-1] - run.milk[-11]) / 1.0
        below, at = run.nodes[BATH], run.nodes[MILK]
        run.turn(0.0)
        run.go_on(run.now + 12 * delay)
        assert below > at
        assert (run.milk[-1] - at) / rate == pytest.approx(run.place.delay_min, rel=0.02)
