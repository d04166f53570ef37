"""Which acid targets a make missed, told by what was read about their time."""

from __future__ import annotations

import pytest

from journal.curves.acid_targets import missed_targets
from journal.records.plans import AcidTarget, Plan, Stage


@pytest.mark.parametrize(("last", "missed"), [(5.6, False), (6.3, True)])
def test_a_target_met_on_the_line_between_two_readings_is_met(kitchen_of, last, missed) -> None:
    """Its hour ends at 60 min, between the readings of 40 and 80: pH 6.03 there, or 6.38."""
    asked = AcidTarget("curd-ph", 6.0, 6.1)
    stages = (Stage("ripen", 60, target_c=31.0, acid_target=asked), Stage("drain", 60))
    kitchen = kitchen_of(plan=Plan("One target", stages))
    whole = kitchen.make(kitchen.trace("curd-ph", [20, 40, 80], [6.5, 6.45, last]))
    assert [one.values["stage"] for one in missed_targets(whole)] == ["ripen"] * missed
