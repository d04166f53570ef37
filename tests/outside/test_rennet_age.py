"""What a lot of rennet has lost, by its own sets, against scipy's slope of Sen (1968) and a world
that knows the loss. No loss is published that would hold for every rennet: those here are made up.
"""

from __future__ import annotations

import numpy as np
import pytest

from journal.reckoning.rennet_age import LEAST_DAYS, LEAST_SETS, rennet_kept


def sets(rng, count: int, loss_a_month: float, noise: float = 0.08):
    """Days, minutes, ml/L and activity of sets of a lot in milk that is not always the same."""
    days = np.sort(rng.choice(np.arange(1, 300), count, replace=False)).astype(float)
    dose, activity = rng.choice([0.2, 0.25], count), rng.choice([70.0, 80.0], count)
    left = (1 - loss_a_month) ** ((days - days[0]) / 30.44)
    minutes = 240.0 / (left * dose * activity) * np.exp(noise * rng.standard_normal(count))
    return days, minutes, dose, activity


@pytest.mark.parametrize("seed", range(12))
def test_slope_and_range_are_those_of_sen_as_scipy_has_them(seed) -> None:
    from scipy.stats import theilslopes

    rng = np.random.default_rng(seed)
    days, minutes, dose, activity = sets(rng, int(rng.integers(4, 15)), 0.02)
    strength = -np.log(minutes * dose * activity)
    slope, _, low, high = theilslopes(strength, days, alpha=0.8)
    found = rennet_kept(days, minutes, dose, activity, days[0] + 200)
    assert found is not None
    assert found.share == pytest.approx(min(1.0, np.exp(200 * slope)), rel=1e-9)
    assert found.low == pytest.approx(np.exp(200 * low), rel=1e-9)
    assert found.high == pytest.approx(np.exp(200 * high), rel=1e-9)


@pytest.mark.parametrize("loss", [0.0, 0.02])
def test_the_range_holds_the_true_share_four_times_in_five(loss) -> None:
    """Within three standard errors of a share of 80 % in 600 lots; it may hold it more often."""
    rng, held, weaker, lots = np.random.default_rng(7), 0, 0, 600
    for _ in range(lots):
        days, *others = sets(rng, 8, loss)
        found = rennet_kept(days, *others, days[-1])
        assert found is not None
        truth = (1 - loss) ** ((days[-1] - days[0]) / 30.44)
        held += found.low <= truth <= found.high
        weaker += found.weaker
    assert held / lots >= 0.80 - 3 * np.sqrt(0.8 * 0.2 / lots)
    if loss == 0:
        assert weaker / lots <= 0.10 + 3 * np.sqrt(0.1 * 0.9 / lots)  # one side of the range
    else:
        assert weaker / lots > 0.5


def test_few_sets_and_sets_of_one_month_say_nothing() -> None:
    """Of four sets the six slopes have a range within their ends; of three they have none."""
    assert LEAST_SETS == 4
    assert rennet_kept(*sets(np.random.default_rng(1), 4, 0.05), 300.0) is not None
    days, *others = sets(np.random.default_rng(1), LEAST_SETS - 1, 0.05)
    assert rennet_kept(days, *others, 300.0) is None
    days, *others = sets(np.random.default_rng(1), 8, 0.05)
    assert rennet_kept(days * (LEAST_DAYS - 1) / np.ptp(days), *others, 300.0) is None


def test_a_rennet_gains_no_strength() -> None:
    days = np.array([0.0, 60.0, 120.0, 180.0, 240.0])
    found = rennet_kept(days, 14 - days / 100, np.full(5, 0.2), np.full(5, 70.0), 240.0)
    assert found is not None
    assert found.share == 1.0
    assert not found.weaker
