"""Two versions side by side: what changed, what came, what went, what moved."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from journal.records.plan_text import builtin_plan
from journal.records.plans import Plan, Stage
from journal.wording.plan_changes import ADDED, CHANGED, GONE, MOVED, SAME, differences

OLD = builtin_plan("cheddar type")


def _with(plan: Plan, index: int, **changed) -> Plan:
    stages = list(plan.stages)
    stages[index] = replace(stages[index], **changed)
    return replace(plan, stages=tuple(stages))


def _news(new: Plan):
    return [d for d in differences(OLD, new) if d.how != SAME]


def test_nothing_differs_from_itself() -> None:
    assert {d.how for d in differences(OLD, OLD)} == {SAME}


def test_one_number_is_one_line() -> None:
    (one,) = _news(_with(OLD, 5, target_c=38.0))
    assert (one.how, one.label, one.old, one.new) == (CHANGED, "cook", 5, 5)
    assert (one.was, one.now) == ("39.0 °C", "38.0 °C")


def test_the_line_of_the_milk() -> None:
    (one,) = _news(replace(OLD, mould_mm=165.0, animal="goat"))
    assert (one.label, one.new) == ("milk", -1)
    assert one.was == "cow; mould 150 mm"
    assert one.now == "goat; mould 165 mm"


def test_lines_that_came_and_went() -> None:
    stages = (*OLD.stages[:4], Stage("heal", 5, target_c=30.0), *OLD.stages[5:])
    came, went = sorted(_news(replace(OLD, stages=stages)), key=lambda d: d.how)
    assert (came.how, came.label, came.new) == (ADDED, "heal", 4)
    assert (went.how, went.label, went.old) == (GONE, "stir before the cook", 4)
    assert "heal" in came.now
    assert "15 min" in went.was


def test_a_line_that_moved() -> None:
    stages = list(OLD.stages)
    stages.insert(3, stages.pop(0))
    (one,) = _news(replace(OLD, stages=tuple(stages)))
    assert (one.how, one.label) == (MOVED, "warm")
    assert (one.was, one.now) == ("was line 1", "is line 4")


@given(st.permutations(range(len(OLD.stages))), st.integers(1, len(OLD.stages)))
def test_every_stage_of_both_stands_there_once(order, count) -> None:
    new = replace(OLD, stages=tuple(OLD.stages[i] for i in order[:count]))
    found = differences(OLD, new)
    assert sorted(d.new for d in found if d.new is not None) == list(range(count))
    assert sorted(d.old for d in found if d.old is not None) == list(range(len(OLD.stages)))


def test_the_care_after_the_vat_is_a_line_of_its_own() -> None:
    later = replace(OLD, taste_at_days=(60.0, 183.0), eat_from_days=183.0)
    (one,) = _news(later)
    assert (one.label, one.how) == ("care", CHANGED)
    assert one.was == "Taste on day 60, 120, 180 and 270.; Eat from day 60."
    assert one.now == "Taste on day 60 and 183.; Eat from day 183."
