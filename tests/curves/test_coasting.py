"""What a coasting tells of a vessel's lag, on courses whose lag is known in closed form."""

from __future__ import annotations

import numpy as np
import pytest

from journal.curves.coasting import coasted
from journal.curves.vessel_fit import LAGS

DOWN, RATE = 30.0, 0.3


def climbed(lag: float, until: float = 90.0, every: float = 1.0, start: float = 0.0):
    """Milk that rises by RATE until DOWN and by lag times that after it: minutes, °C."""
    minutes = np.arange(0.0, until, every)
    since = minutes - DOWN
    rise = np.minimum(since, 0.0) - lag * np.expm1(-np.maximum(since, 0.0) / lag)
    read = 40.0 + RATE * rise + np.random.default_rng(7).normal(0, 0.03, len(minutes))
    return minutes + start, read


@pytest.mark.parametrize("lag", [2.6, 6.5, 11.7])
def test_it_tells_the_lag_and_when_the_heat_was_turned_down(lag: float) -> None:
    lags, down = coasted(*climbed(lag))
    assert down == pytest.approx(DOWN, abs=2.0)  # the moments tried lie up to 2 min apart
    likely = np.exp(lags)
    assert likely.sum() == pytest.approx(1.0)
    of = LAGS.tolist().index(lag)
    assert likely.argmax() == of
    # with its neighbours in the grid, as likely as what the ranges of 80 in 100 hold
    assert likely[of - 1 : of + 2].sum() > 0.8


def test_the_minute_from_which_it_is_counted_changes_nothing() -> None:
    lags, down = coasted(*climbed(6.5))
    for start in (-20.0, 300.0):
        moved, then = coasted(*climbed(6.5, start=start))
        assert then - start == pytest.approx(down)
        assert moved == pytest.approx(lags, abs=1e-6)


def test_a_climb_without_a_coasting_tells_nothing() -> None:
    lags, down = coasted(*climbed(6.5, until=7.0))
    assert (lags.tolist(), down) == ([0.0] * len(LAGS), 6.0)
