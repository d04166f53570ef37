"""How long a reading of the milk speaks for now."""

from __future__ import annotations

import pytest

from journal.curves.reading_age import HELD_MIN, LEFT_MIN, WARMED_MIN, fresh_for
from journal.records.plans import Stage

COOK = Stage("cook", 60, target_c=39.0, ramp_min=40)
HOLD = Stage("ripen", 60, target_c=31.0, ramp_min=0)


@pytest.mark.parametrize(
    ("stage", "from_c", "since", "read_c", "speaks", "asked"),
    [
        (COOK, 31.0, 20, 35.0, WARMED_MIN, True),
        (COOK, 31.0, 20, 38.5, WARMED_MIN, True),  # there, but still to be warmed by the plan
        (COOK, 31.0, 45, 35.0, WARMED_MIN, True),  # overdue: it still climbs
        (COOK, 31.0, 45, 38.5, HELD_MIN, True),
        (COOK, 38.5, 20, 35.0, HELD_MIN, True),  # no ramp at all
        (HOLD, 31.0, 20, 31.0, LEFT_MIN, False),  # nobody need stand by
    ],
)
def test_a_few_minutes_where_it_is_warmed_and_longer_where_it_is_held(
    stage, from_c, since, read_c, speaks, asked
) -> None:
    assert fresh_for(stage, from_c, since, read_c) == (speaks, asked)


@pytest.mark.parametrize("stage", [Stage("cut", 10), Stage("press", 600, target_c=20.0)])
def test_where_no_milk_is_held_nothing_is_asked(stage) -> None:
    assert fresh_for(stage, 31.0, 5, 31.0) is None
