"""The warmth a culture had, between its readings and beyond them."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest

from journal.curves.culture_time import WAYS, temperature_course


@pytest.mark.parametrize(("last", "there"), [(90.0, 29.0), (90.5, 31.0)])
def test_readings_within_half_an_hour_are_joined_and_else_the_plan_is_believed(
    kitchen, last, there
) -> None:
    """The set is planned at 31 °C and was read at 29 °C."""
    whole = kitchen.make(kitchen.trace("milk-temp", [60, last], [29, 29]))
    assert temperature_course(whole, np.array([60.0, 75.0])) == pytest.approx([29, there])


def test_the_ways_a_day_may_go_are_the_middles_of_equal_parts_in_no_order() -> None:
    middles = [NormalDist().inv_cdf((i + 0.5) / len(WAYS)) for i in range(len(WAYS))]
    for column in np.array(WAYS).T:
        assert sorted(column) == pytest.approx(middles, abs=0.005)  # as rounded
    # the one tells at most 4 % of the other's variance: as much as we ask, no source
    assert abs(np.corrcoef(np.array(WAYS).T)[0, 1]) < 0.2
