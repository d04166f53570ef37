"""What the vat's page says at an instant."""

from __future__ import annotations

from dataclasses import replace

import pytest

from journal.curves.page_state import page_state, steepest
from journal.records.plans import Stage
from tests.vat_page import advice_text

LATE = {4: 14.0, 5: 14.0, 6: 14.0}


def cooking(kitchen, *traces):
    """A make whose cook began 14 min late, at 118 min, and still runs."""
    return kitchen.make(*traces, delays=LATE, begun=5, finished=False)


def test_in_the_middle_of_a_late_cook(kitchen) -> None:
    log = kitchen.trace("milk-temp", [118, 130, 138], [31.0, 32.9, 33.8])
    got = page_state(cooking(kitchen, log), kitchen.at(138))
    assert got.index == 4
    assert got.stage.kind == "cook"
    assert got.next_stage.kind == "pitch"
    assert got.ends_ms == kitchen.at(158)
    assert got.minutes_to_go == pytest.approx(20)
    assert got.planned_c == pytest.approx(35.0)
    assert (got.last_c, got.last_at_ms) == (33.8, kitchen.at(138))
    assert got.delay_min == pytest.approx(14)
    assert got.behind_c == pytest.approx(1.2)
    assert got.rate_needed == pytest.approx(5.2 / 20)
    assert got.advice.limit == pytest.approx(0.2)
    assert got.advice.longer_min == pytest.approx(6)


def test_a_reading_is_compared_with_the_plan_of_its_own_instant(kitchen) -> None:
    log = kitchen.trace("milk-temp", [128], [33.0])
    got = page_state(cooking(kitchen, log), kitchen.at(132))
    assert got.planned_c == pytest.approx(33.8)
    assert got.behind_c == pytest.approx(0.0)
    assert got.rate_needed == pytest.approx(6.0 / 30)  # as of the reading: the clock adds nothing
    later = page_state(cooking(kitchen, log), kitchen.at(134))
    assert (later.advice, later.is_old(kitchen.at(134))) == (None, True)


def test_an_overdue_cook_is_held_at_its_target(kitchen) -> None:
    log = kitchen.trace("milk-temp", [160], [38.0])
    got = page_state(cooking(kitchen, log), kitchen.at(163))
    assert got.minutes_to_go == pytest.approx(-5)
    assert got.planned_c == pytest.approx(39.0)
    assert got.rate_needed is None
    assert got.advice.longer_min == pytest.approx(5)


def test_old_readings_and_those_of_the_stage_before_advise_nothing(kitchen) -> None:
    before = kitchen.trace("milk-temp", [117], [31.0])
    assert page_state(cooking(kitchen, before), kitchen.at(120)).advice is None
    old = kitchen.trace("milk-temp", [119], [31.0])
    assert page_state(cooking(kitchen, old), kitchen.at(124.5)).behind_c is None
    assert page_state(cooking(kitchen), kitchen.at(120)).last_c is None


def test_readings_of_the_future_are_not_looked_at(kitchen) -> None:
    log = kitchen.trace("milk-temp", [120, 140], [31.4, 36.0])
    assert page_state(cooking(kitchen, log), kitchen.at(121)).last_c == 31.4


def test_a_stage_without_a_temperature(kitchen) -> None:
    log = kitchen.trace("milk-temp", [98], [31.0])
    got = page_state(kitchen.make(log, begun=4, finished=False), kitchen.at(100))
    assert got.stage.kind == "cut"
    assert got.planned_c is None
    assert got.advice is None
    assert got.minutes_to_go == pytest.approx(4)


def test_a_hold_says_above_or_below(kitchen) -> None:
    log = kitchen.trace("milk-temp", [40], [30.4])
    got = page_state(kitchen.make(log, begun=2, finished=False), kitchen.at(41))
    assert got.advice.limit is None
    assert advice_text(got.advice) == "0.6 °C below the plan."


def test_the_last_stage_has_none_after_it_and_a_finished_make_none_running(kitchen) -> None:
    assert page_state(kitchen.make(finished=False), kitchen.at(170)).next_stage is None
    done = kitchen.make(kitchen.trace("milk-temp", [20], [30.0]))
    got = page_state(done, kitchen.at(500))
    assert (got.index, got.stage, got.ends_ms, got.advice) == (None,) * 4
    assert got.last_c == 30.0
    ended = kitchen.make(finished=False)
    last = replace(ended.runs[-1], ended_ms=kitchen.at(180))
    assert replace(ended, runs=(*ended.runs[:-1], last)).running_index is None


@pytest.mark.parametrize(("read", "on_plan"), [(18.0, True), (18.1, None), (16.0, False)])
def test_milk_that_warms_up_is_told_to_be_on_its_plan_or_behind_but_never_ahead(
    kitchen, read, on_plan
) -> None:
    """It warms from 5 to 31 °C in 26 min: halfway it is to be at 18."""
    make = kitchen.make(kitchen.trace("milk-temp", [13], [read]), begun=1, finished=False)
    advice = page_state(make, kitchen.at(13)).advice
    assert (advice and advice.on_plan) == on_plan


def test_the_rate_a_stage_allows() -> None:
    assert steepest(Stage("cook", 40, target_c=39.0), 31.0) == pytest.approx(0.2)
    assert steepest(Stage("cook", 40, target_c=39.0, limit_c_per_min=0.22), 31.0) == 0.22
    assert steepest(Stage("cook", 60, target_c=39.0, ramp_min=40), 31.0) == pytest.approx(0.2)
    # 0.2 °C/min for 15 min is 3 °C; the 5 left in 25 min are 0.2, in 10 min 0.5.
    for minutes, rate in ((40, 0.2), (25, 0.5)):
        cook = Stage("cook", minutes, target_c=39.0, first_c_per_min=0.2, first_min=15)
        assert steepest(cook, 31.0) == pytest.approx(rate)
    assert steepest(Stage("ripen", 60, target_c=31.0), 31.0) is None
    assert steepest(Stage("drain", 60), 31.0) is None


def test_milk_past_its_target_is_above_or_below_and_no_longer_on_a_ramp(kitchen) -> None:
    log = kitchen.trace("milk-temp", [150, 160], [38.5, 40.1])
    got = page_state(cooking(kitchen, log), kitchen.at(161))
    assert advice_text(got.advice) == "1.1 °C above the plan."
    assert got.advice.limit is None
    down = replace(kitchen.plan, stages=_cooled(kitchen.plan.stages))
    make = cooking(kitchen, kitchen.trace("milk-temp", [150, 160], [31.0, 28.9]))
    got = page_state(replace(make, plan=down), kitchen.at(161))
    assert advice_text(got.advice) == "1.1 °C below the plan."


def test_after_its_ramp_the_rest_of_a_stage_is_a_hold(kitchen) -> None:
    """Curd that should have cooled in the first 10 min is too warm; more minutes are no remedy."""
    for target, read, output in ((30.0, 33.0, "above"), (39.0, 36.0, "below")):
        plan = replace(kitchen.plan, stages=_cooled(kitchen.plan.stages, target, ramp_min=10.0))
        make = replace(
            cooking(kitchen, kitchen.trace("milk-temp", [127, 138], [31, read])), plan=plan
        )
        assert "the plan" in advice_text(page_state(make, kitchen.at(127)).advice)
        assert page_state(make, kitchen.at(127)).advice.limit == pytest.approx(
            abs(target - 31) / 10
        )
        got = page_state(make, kitchen.at(139)).advice
        assert (advice_text(got), got.limit) == (f"3.0 °C {output} the plan.", None)
        there = kitchen.trace("milk-temp", [127, 128], [31, read])  # the minute the ramp ends
        got = page_state(replace(make, traces={"milk-temp": there}), kitchen.at(128)).advice
        assert (advice_text(got), got.limit) == (
            f"{abs(target - read):.1f} °C {output} the plan.",
            None,
        )
        late = kitchen.trace("milk-temp", [127, 159], [31, read])
        overdue = page_state(replace(make, traces={"milk-temp": late}), kitchen.at(160)).advice
        assert (overdue.limit is None) == (target < 31)


def _cooled(stages, target=30.0, **changes):
    """The cook's stage, cooling to 30 °C instead."""
    return tuple(replace(s, target_c=target, **changes) if s.kind == "cook" else s for s in stages)
