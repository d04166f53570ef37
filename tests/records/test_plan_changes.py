"""Two versions side by side: what changed, what came, what went, what moved."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.records.plan_changes import ADDED, CHANGED, GONE, MOVED, SAME, differences
from journal.records.plan_expected import expected
from journal.records.plan_text import builtin_plan
from journal.records.plans import Plan, Stage

OLD = builtin_plan("cheddar type")


def _with(plan: Plan, place: int, **changed) -> Plan:
    stages = list(plan.stages)
    stages[place] = replace(stages[place], **changed)
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


def test_what_a_milk_gives() -> None:
    plain = expected(OLD, 12.0)
    assert plain.cheese_kg == 12 * 1.03 * 0.10 or abs(plain.cheese_kg - 1.236) < 1e-9
    # 1.236 kg at 1.08 kg/L over 176.71 cm²: 64.8 mm
    assert abs(plain.height_mm - 64.8) < 0.1
    rich = expected(OLD, 12.0, 4.5)
    assert rich.cheese_kg > 1.15 * plain.cheese_kg
    assert "guessed from the fat" in rich.assumed[0]
    assert expected(OLD, 12.0, 3.5).cheese_kg == plain.cheese_kg
    # Skimming leaves the protein, 3.3 %: 0.93 × 1.5 + 2.5 of 0.93 × 3.5 + 2.5 (Van Slyke and Price)
    assert expected(OLD, 12.0, 1.5).cheese_kg == pytest.approx(plain.cheese_kg * 3.895 / 5.755)
    assert expected(builtin_plan("lactic"), 10.0).moulds == 3  # 80 mm would stand 284 mm high
