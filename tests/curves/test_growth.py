"""The growth model's limits, and what is known of the types of culture."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.curves import CurveError
from journal.curves.growth import CULTURES, ctmi, culture, pace
from tests.refusals import refused


@given(st.floats(-5, 15), st.floats(10, 30), st.floats(1, 9))
def test_the_limits_of_the_model(lowest: float, reach: float, above: float) -> None:
    best, highest = lowest + reach, lowest + reach + above
    assert ctmi(best, lowest, best, highest, 1.5) == pytest.approx(1.5)
    assert (
        ctmi([lowest, highest, lowest - 1, highest + 1], lowest, best, highest).tolist() == [0] * 4
    )
    inside = ctmi(np.linspace(lowest, highest, 101), lowest, best, highest)
    assert (inside >= 0).all()
    assert (inside <= 1 + 1e-9).all()


def test_below_the_best_it_rises_and_above_it_falls() -> None:
    for name, kind in CULTURES.items():
        up = pace(np.linspace(kind.lowest_c, kind.best_c, 50), name)
        down = pace(np.linspace(kind.best_c, kind.highest_c, 50), name)
        assert (np.diff(up) > 0).all()
        assert (np.diff(down) < 0).all()


def test_a_mesophilic_cultures_acid_slows_above_35_and_a_mixed_ones_does_not() -> None:
    """cheesescience.net (University College Cork): lactococci slow from about 35 °C."""
    hot = pace([35, 36, 37, 38, 39, 40], "mesophilic")
    assert (np.diff(hot) < 0).all()
    assert pace(39, "mixed") > pace(35, "mixed")
    assert pace(45, "thermophilic") > pace(35, "thermophilic")
    assert pace(53, "thermophilic") == 0  # the same source: none above about 52 °C


def test_an_unknown_culture_and_impossible_limits_are_refused() -> None:
    with refused(
        CurveError, "curves.no-culture-type", known=("mesophilic", "thermophilic", "mixed")
    ):
        culture("wild")
    with refused(CurveError, "curves.best-temperature"):
        ctmi(20, 10, 50, 40)
