"""Common schedules: each is read whole, has its source, and its caution where the danger is."""

from __future__ import annotations

import pytest

from journal.records.care_days import due_days, horizon_days
from journal.records.care_typed import Ending, read_schedule
from journal.records.care_written import AgeLine
from journal.records.plans import UNTIL_GONE, CareRule
from journal.records.schedules import CommonSchedule, common_schedules


@pytest.mark.parametrize("common", common_schedules(), ids=lambda one: one.family)
def test_each_is_read_whole_and_names_its_source(common: CommonSchedule) -> None:
    read = read_schedule(common.schedule, Ending(1, 1))
    assert read.loose == ""
    kinds = [line.kind for line in read.lines]
    assert {"taste", "eat"} <= set(kinds)
    assert "common practice, no source" in common.source
    soft = common.family in ("washed rind", "bloomy rind", "blue", "fresh or in brine")
    assert ("pasteurised" in common.caution) == soft
    assert ("Listeria" in common.caution) == (
        common.family in ("washed rind", "bloomy rind", "blue")
    )


def test_the_days_that_care_falls_due_on() -> None:
    assert due_days(CareRule("turn", 1, 4, 1), 90) == [1, 2, 3, 4]
    assert due_days(CareRule("turn", 4, UNTIL_GONE, 7), 26) == [4, 11, 18, 25]
    assert due_days(CareRule("bandage", 3, 4, 1), 26) == [3]
    assert due_days(CareRule("wax", 30, 30, 1), 26) == []
    assert horizon_days([AgeLine("taste", (91, 183))], 1) == pytest.approx(183 * 1.06)
    assert horizon_days([CareRule("turn", 4, UNTIL_GONE, 7)], 1) == pytest.approx(124 * 1.06)
