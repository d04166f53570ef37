"""A make at a moment: its stages as they fall on the day, and what is expected of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from journal.background import State
from journal.curves.snapshot import Ahead, EarlierMakes, ahead_of, day_of
from journal.curves.stretch import stretch_of
from journal.records.plans import AcidTarget, Plan, Stage

LATE = {4: 14.0, 5: 14.0, 6: 14.0}


def at(kitchen, minute, *traces, **changes):
    """The snapshot of a make whose cook began 14 min late and still runs."""
    whole = kitchen.make(*traces, delays=LATE, begun=5, finished=False, **changes)
    return day_of(whole, kitchen.at(minute), EarlierMakes(), Ahead())


def test_the_day_of_a_running_make_moves_with_the_clock(kitchen) -> None:
    day = at(kitchen, 138)  # the cook began at 118 and lasts 40 min
    assert (day.now_min, day.delay_min) == (138.0, 14.0)
    assert day.begins[4:] == (118.0, 158.0, 178.0)
    overdue = at(kitchen, 170)
    assert overdue.begins[4:] == (118.0, 170.0, 190.0)
    assert (overdue.end_min, overdue.delay_min) == (205.0, 26.0)
    assert overdue.range_at(165.0) == pytest.approx((38.0, 39.0, 40.0))  # held on until now


def test_the_day_of_a_finished_make_does_not(kitchen) -> None:
    whole = kitchen.make(delays=LATE)
    for minute in (200, 5000):
        day = day_of(whole, kitchen.at(minute), EarlierMakes(), Ahead())
        assert (day.running, day.end_min, day.stage_ends[4]) == (False, 193.0, 158.0)


def test_what_is_shown_of_a_day_reaches_a_quarter_of_an_hour_beyond_now(kitchen) -> None:
    assert at(kitchen, 138).view() == (0.0, pytest.approx(193.0 * 1.03))  # the whole day
    whole = kitchen.make(finished=False)  # in the last stage, until 179
    late = day_of(whole, kitchen.at(300), EarlierMakes(), Ahead())
    assert late.view() == (0.0, pytest.approx(315.0 * 1.03))


PRESSED = Plan(
    "Pressed",
    (Stage("warm", 30, target_c=31.0), Stage("drain", 90), Stage("press", 6000)),
    milk_c=5.0,
)


@pytest.mark.parametrize(
    ("minute", "begun", "shown"),
    [
        (60, 2, (0.0, 120 * 1.03)),  # at the vat: until the press
        (125, 3, (0.0, 1440.0)),  # a day of four under the press, none of it before the make
        (5000, 3, (3920.0, 5360.0)),  # six hours ahead
        (6100, 3, (6120 + 0.03 * 1440 - 1440, 6120 + 0.03 * 1440)),  # or to the end
    ],
)
def test_of_a_day_that_lasts_for_days_one_is_shown(kitchen_of, minute, begun, shown) -> None:
    kitchen = kitchen_of(plan=PRESSED)
    whole = kitchen.make(begun=begun, finished=False)
    day = day_of(whole, kitchen.at(minute), EarlierMakes(), Ahead())
    assert stretch_of(day) == pytest.approx(shown)


def test_a_night_in_the_press_is_shown_whole_while_it_runs(kitchen_of) -> None:
    stages = (*PRESSED.stages[:2], replace(PRESSED.stages[2], minutes=720))
    kitchen = kitchen_of(plan=replace(PRESSED, stages=stages))
    whole = kitchen.make(finished=False)
    day = day_of(whole, kitchen.at(400), EarlierMakes(), Ahead())
    assert stretch_of(day) == (0.0, pytest.approx(840 * 1.03))
    done = day_of(kitchen.make(), kitchen.at(400), EarlierMakes(), Ahead())
    assert stretch_of(done) == (0.0, pytest.approx(120 * 1.03))


def soured(kitchen_of, first: AcidTarget, minutes, ph):
    """What is ahead of a make that stands in the first of two stages with an acid target."""
    stages = (
        Stage("warm", 20, target_c=31.0),
        Stage("ripen", 400, target_c=31.0, acid_target=first),
        Stage("drain", 300, target_c=31.0, acid_target=AcidTarget("curd-ph", 4.9, 5.1)),
    )
    kitchen = kitchen_of(plan=Plan("Soured", stages, milk_c=25.0))
    whole = kitchen.make(kitchen.trace("curd-ph", minutes, ph), begun=2, finished=False)
    now = kitchen.at(minutes[-1] + 1)
    return ahead_of(day_of(whole, now, EarlierMakes(), Ahead()), State(lambda share, words: None))


def test_the_acid_target_of_the_stage_that_runs_is_awaited_before_the_next(kitchen_of) -> None:
    ahead = soured(kitchen_of, AcidTarget("curd-ph", 5.3, 5.5), [30, 90, 150], [6.6, 6.55, 6.4])
    assert (ahead.acid_target_label, ahead.passed) == ("ripen", None)
    assert ahead.acid_target.ph == pytest.approx(5.4)


def test_acid_that_has_passed_the_target_is_told_with_its_last_reading(kitchen_of) -> None:
    minutes, ph = [30, 90, 150, 210], [6.6, 6.5, 6.25, 5.9]
    ahead = soured(kitchen_of, AcidTarget("curd-ph", 6.1, 6.3), minutes, ph)
    assert ahead.passed.values["ph"] == 5.9
    assert ahead.acid_target_label == "drain"
