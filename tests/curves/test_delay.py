"""Delay by stage and in all, worked out by hand."""

from __future__ import annotations

import pytest

from journal.curves.day import stage_times
from journal.curves.delay import delays, spoken, total_delay
from journal.curves.page_state import page_state
from journal.records.makes import Make, Milk, StageRun
from journal.records.plans import Plan, Stage
from journal.records.whole import WholeMake

MINUTE = 60_000
PLAN = Plan("hard", (Stage("warm", 30), Stage("heal", 5), Stage("cook", 40), Stage("drain", 15)))


def whole(*times: tuple[float | None, float | None], **changes: dict) -> WholeMake:
    """A make whose stages began and ended at these minutes; `s2={...}` changes the third run."""
    runs, at = [], 0
    for index, stage in enumerate(PLAN.stages):
        began, ended = times[index] if index < len(times) else (None, None)
        runs.append(
            StageRun(
                1, index, stage.kind, at * MINUTE, (at + int(stage.minutes)) * MINUTE,
                None if began is None else round(began * MINUTE),
                None if ended is None else round(ended * MINUTE),
                **changes.get(f"s{index}", {}),
            )
        )  # fmt: skip
        at += int(stage.minutes)
    return WholeMake(Make("HL-0001", 1, Milk(12.0), 0), PLAN, runs=tuple(runs))


def report(make: WholeMake, now: float | None = None) -> list[tuple[str, float]]:
    return [(delay.label, delay.minutes) for delay in delays(make, now)]


def test_on_time_says_nothing() -> None:
    make = whole((0, 30), (30, 35), (35, None))
    assert spoken(delays(make, 50.0)) == []
    assert total_delay(make, 50.0) == 0.0


def test_each_stage_has_its_own_slip_and_they_add_up() -> None:
    make = whole((0, 39), (39, 42), (42, None), s2={"extra_min": 6.0, "reason": "low fire"})
    assert report(make, 60.0) == [("warm", 9.0), ("heal", -2.0), ("cook", 6.0)]
    assert total_delay(make, 60.0) == 13.0
    assert delays(make, 60.0)[2].reason == "low fire"


def test_a_stage_that_overruns_counts_what_it_has_taken() -> None:
    make = whole((0, 30), (30, 35), (35, None))
    assert report(make, 79.0)[2] == ("cook", 4.0)
    assert total_delay(make, 79.0) == 4.0


def test_a_skipped_stage_makes_the_day_shorter() -> None:
    make = whole((0, 30), (None, None), (30, None), s1={"skipped": True})
    assert report(make, 40.0) == [("warm", 0.0), ("heal", -5.0), ("cook", 0.0)]
    assert total_delay(make, 40.0) == -5.0


def test_the_day_to_come_moves_with_it() -> None:
    make = whole((0, None), s0={"extra_min": 10.0}, s1={"skipped": True})
    assert stage_times(make, 5.0) == ([0.0, 40.0, 40.0, 80.0], 95.0)
    here = page_state(make, 5 * MINUTE)
    assert here.ends_ms == 40 * MINUTE
    assert here.next_stage is PLAN.stages[2]


def test_a_stage_begun_again_lasts_its_length_from_then() -> None:
    make = whole((0, 30), (30, 35), (35, None), s2={"again_ms": (50 * MINUTE,)})
    assert page_state(make, 55 * MINUTE).ends_ms == 90 * MINUTE
    assert report(make, 55.0)[2] == ("cook", pytest.approx(15.0))
