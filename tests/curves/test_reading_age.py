"""How long a reading of the milk speaks for now."""

from __future__ import annotations

import pytest

from journal.curves.reading_age import fresh_for
from journal.records.plans import Stage

COOK = Stage("cook", 60, target_c=39.0, ramp_min=40)
HOLD = Stage("ripen", 60, target_c=31.0, ramp_min=0)


# 5, 15 and 30 minutes: common practice, no source.
@pytest.mark.parametrize(
    ("stage", "from_c", "since", "read_c", "speaks", "asked"),
    [
        (COOK, 31.0, 20, 35.0, 5.0, True),
        (COOK, 31.0, 20, 38.5, 5.0, True),  # there, but still to be warmed by the plan
        (COOK, 31.0, 45, 35.0, 5.0, True),  # overdue: it still climbs
        (COOK, 31.0, 45, 38.5, 15.0, True),
        (COOK, 38.5, 20, 35.0, 15.0, True),  # no ramp at all
        (HOLD, 31.0, 20, 31.0, 30.0, False),  # nobody need stand by
    ],
)
def test_a_few_minutes_where_it_is_warmed_and_longer_where_it_is_held(
    stage, from_c, since, read_c, speaks, asked
) -> None:
    assert fresh_for(stage, from_c, since, read_c) == (speaks, asked)


@pytest.mark.parametrize("stage", [Stage("cut", 10), Stage("press", 600, target_c=20.0)])
def test_where_no_milk_is_held_nothing_is_asked(stage) -> None:
    assert fresh_for(stage, 31.0, 5, 31.0) is None
