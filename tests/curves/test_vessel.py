"""The vessel against its own closed form, and the advice against sums done by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.curves import CurveError
from journal.curves.vessel import advise, warm
from tests.refusals import refused
from tests.vat_page import advice_text


def test_left_alone_it_cools_to_the_room_exponentially() -> None:
    t = np.linspace(0, 300, 61)
    got = warm(t, 0.0, 0.01, 0.005, 20.0, 38.0)
    assert got == pytest.approx(20 + 18 * np.exp(-0.005 * t), rel=1e-12)


def test_held_heat_ends_where_gain_meets_loss() -> None:
    got = warm([0.0, 1e5], [50.0, 50.0], 0.004, 0.008, 18.0, 5.0)
    assert got[-1] == pytest.approx(18 + 0.004 * 50 / 0.008)


def test_without_loss_it_climbs_straight() -> None:
    assert warm([0, 10, 25], [100, 0, 0], 0.003, 0.0, 20.0, 31.0) == pytest.approx([31, 34, 34])


@given(st.lists(st.floats(0.01, 30), min_size=1, max_size=20), st.floats(0, 0.05))
def test_finer_steps_change_nothing(steps: list[float], k: float) -> None:
    coarse = np.r_[0.0, np.cumsum(steps)]
    heat = np.where(np.arange(len(coarse)) % 2, 80.0, 10.0)
    fine = np.unique(np.r_[coarse, (coarse[1:] + coarse[:-1]) / 2])
    held = heat[np.searchsorted(coarse, fine, side="right") - 1]
    whole = warm(fine, held, 0.01, k, 19.0, 30.0)
    part = warm(coarse, heat, 0.01, k, 19.0, 30.0)
    assert whole[np.searchsorted(fine, coarse)] == pytest.approx(part, rel=1e-9)


def test_an_impossible_vessel_is_refused() -> None:
    with refused(CurveError, "curves.vessel-instants"):
        warm([0, 2, 1], 0.0, 0.1, 0.1, 20.0, 30.0)
    with refused(CurveError, "curves.vessel-gains"):
        warm([0, 1], 0.0, 0.1, -0.1, 20.0, 30.0)
    assert len(warm([], 0.0, 0.1, 0.1, 20.0, 30.0)) == 0


def test_the_advice_when_it_lags() -> None:
    # 4.2 °C in 16 min is 0.2625 °C/min; at the plan's 0.22 it takes 19.1 min, 3.1 longer.
    got = advise(34.3, 35.5, 38.5, 16.0, limit=0.22)
    assert got.behind_c == pytest.approx(1.2)
    assert got.rate_needed == pytest.approx(0.2625)
    assert got.longer_min == pytest.approx(4.2 / 0.22 - 16)
    assert advice_text(got) == (
        "1.2 °C behind the plan. At 0.22 °C/min, the most the plan allows, 3 min longer."
    )


def test_the_advice_when_it_can_still_be_made_good() -> None:
    got = advise(34.3, 35.5, 38.5, 16.0, limit=0.3)
    assert got.longer_min == 0.0
    assert advice_text(got) == "1.2 °C behind the plan. 0.26 °C/min to arrive on time."


def test_the_advice_when_the_time_is_up_when_ahead_and_on_a_hold() -> None:
    late = advise(37.5, 38.5, 38.5, 0.0, limit=0.25)
    assert late.rate_needed is None
    assert advice_text(late) == "1.0 °C behind the plan. Let it run 4 min longer."
    ahead = advise(36.0, 35.0, 38.5, 16.0, limit=0.22)
    assert advice_text(ahead) == "1.0 °C ahead of the plan. Turn the heat down a little."
    assert advice_text(advise(30.4, 31.0, 31.0, 20.0)) == "0.6 °C below the plan."
    assert advice_text(advise(31.6, 31.0, 31.0, 20.0)) == "0.6 °C above the plan."
    assert advice_text(advise(31.02, 31.0, 31.0, 20.0)) == "On the plan."


def test_a_ramp_that_goes_down_is_behind_when_it_is_too_warm() -> None:
    got = advise(34.0, 33.0, 30.0, 10.0, limit=0.3, rising=False)
    assert got.behind_c == pytest.approx(1.0)
    assert got.rate_needed == pytest.approx(0.4)
    assert got.longer_min == pytest.approx(4 / 0.3 - 10)
