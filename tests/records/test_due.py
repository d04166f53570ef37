"""What is due: days of care and tasting on the kitchen's calendar, shortages, the running step."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.records.due import (
    TASTE,
    WheelLife,
    cares_due,
    errands,
    shortages,
    step_of,
    tastings_due,
)
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso
from journal.records.makes import Ingredient, Make, Milk, StageRun
from journal.records.plans import UNTIL_GONE, CareRule, Plan, Stage
from journal.records.wheels import Wheel

ZONE = "Europe/London"
BEGUN = from_iso("2026-03-01T09:00", ZONE)
TURN = CareRule("turn", 1, 14, 2, "and look underneath")


def life(*rules, tastes=(), done=None, tasted=None, make_id=1, code="HL-0001-A"):
    ages = {kind: BEGUN + day * DAY_MS for kind, day in (done or {}).items()}
    return WheelLife(
        wheel=Wheel(make_id, code, 1.2, id=make_id),
        plan="hard",
        started_ms=BEGUN,
        zone=ZONE,
        rules=rules,
        taste_at_days=tastes,
        done=ages,
        tasted_ms=None if tasted is None else BEGUN + tasted * DAY_MS,
    )


def at(day: float) -> int:
    return BEGUN + round(day * DAY_MS)


def test_care_falls_due_on_its_first_day_and_then_after_the_last_time():
    assert [d.on for d in cares_due(life(TURN), at(0))] == [date(2026, 3, 2)]
    assert [d.on for d in cares_due(life(TURN, done={"turn": 4}), at(5))] == [date(2026, 3, 7)]


def test_care_done_a_little_early_still_counts():
    assert cares_due(life(TURN, done={"turn": 0}), at(0))[0].on == date(2026, 3, 3)


def test_care_twice_a_day_waits_half_a_day():
    twice = CareRule("turn", 1, 4, 0.5)
    assert cares_due(life(twice, done={"turn": 1}), at(1))[0].on == date(2026, 3, 2)  # at 9
    assert cares_due(life(twice, done={"turn": 1.5}), at(1.5))[0].on == date(2026, 3, 3)  # at 21
    assert cares_due(life(twice, done={"turn": 1.5}), at(3))[0].on == date(2026, 3, 3)  # missed


def test_a_drying_is_asked_for_once_and_what_goes_on_has_no_end():
    dry, weekly = CareRule("dry", 1, 4, 2), CareRule("turn", 4, UNTIL_GONE, 7)
    assert [d.kind for d in cares_due(life(dry), at(3))] == ["dry"]
    assert cares_due(life(dry, done={"dry": 1}), at(3)) == []
    assert cares_due(life(weekly, done={"turn": 900}), at(905))[0].on == date(2028, 8, 24)


def test_care_that_is_over_is_not_asked_for():
    assert cares_due(life(TURN), at(15)) == []
    assert cares_due(life(TURN, done={"turn": 13}), at(13)) == []


def test_the_next_rule_of_the_same_kind_takes_over():
    later = CareRule("turn", 21, 300, 14)
    assert cares_due(life(TURN, later, done={"turn": 14}), at(15))[0].on == date(2026, 3, 22)
    assert cares_due(life(TURN, later, done={"turn": 22}), at(23))[0].on == date(2026, 4, 6)


def test_a_care_given_once_waits_for_two_weeks_and_is_not_asked_for_again():
    wax = CareRule("wax", 11, 11, 1)
    assert cares_due(life(wax), at(20))[0].on == date(2026, 3, 12)
    assert cares_due(life(wax), at(26)) == []
    assert cares_due(life(wax, done={"wax": 9}), at(12)) == []


def test_days_are_those_of_the_kitchens_calendar_over_a_change_of_clocks():
    # British summer time begins on 29 March 2026.
    rule = CareRule("rub", 28, 60, 5)
    late_evening = from_iso("2026-03-28T23:30", ZONE)
    one = WheelLife(Wheel(1, "HL-0001-A"), "hard", late_evening, ZONE, (rule,))
    assert one.age_days(from_iso("2026-03-29T00:30", ZONE)) == 1
    assert cares_due(one, late_evening)[0].on == date(2026, 4, 25)


@given(
    start=st.integers(0, 60),
    every=st.integers(1, 30),
    length=st.integers(0, 200),
    done=st.none() | st.integers(0, 300),
    age=st.integers(0, 300),
)
def test_a_due_day_lies_in_its_rule_and_never_before_the_last_time(start, every, length, done, age):
    rule = CareRule("rub", start, start + length, every)
    known = {} if done is None or done > age else {"rub": done}
    for due in cares_due(life(rule, done=known), at(age)):
        day = (due.on - date(2026, 3, 1)).days
        assert start <= day <= start + length
        assert day > known.get("rub", -1)


@pytest.mark.parametrize(
    ("tasted", "age", "expected"),
    [
        (None, 10, 60),  # to come
        (None, 61, 60),  # waits
        (None, 95, 120),  # let go: more than half of its age has passed
        (52, 61, 120),  # a week early counts
        (40, 61, 60),  # too early does not
        (120, 125, None),  # nothing more is wanted
    ],
)
def test_tastings_follow_the_plans_ages(tasted, age, expected):
    found = tastings_due([life(tastes=(60.0, 120.0), tasted=tasted)], at(age))
    days = [(d.on - date(2026, 3, 1)).days for d in found]
    assert days == ([] if expected is None else [expected])
    assert all((d.kind, d.at_days) == (TASTE, expected) for d in found)


def test_a_make_with_two_wheels_is_tasted_once():
    wheels = [life(tastes=(60.0,)), life(tastes=(60.0,), code="HL-0001-B")]
    assert len(tastings_due(wheels, at(61))) == 1


def test_the_same_care_of_several_wheels_is_one_errand():
    wheels = [life(TURN), life(TURN, CareRule("rub", 1, 9, 3), make_id=2, code="HL-0002-A")]
    found = errands(d for w in wheels for d in cares_due(w, at(1)))
    assert [(e.kind, len(e.dues)) for e in found] == [("rub", 1), ("turn", 2)]


def test_what_is_past_its_date_or_not_enough_for_two_makes_is_short():
    today = date(2026, 3, 1)
    shelf = [
        Ingredient("rennet", "calf rennet", expires_ms=at(-2), amount_left=40.0, unit="ml", id=1),
        Ingredient("rennet", "calf rennet", expires_ms=at(90), amount_left=30.0, unit="ml", id=2),
        Ingredient("culture", "mix", expires_ms=at(-2), amount_left=0.0, id=3),
        Ingredient("salt", "dairy salt", amount_left=55.0, id=4),
        Ingredient("other", "wax", amount_left=3.0, id=5),
    ]
    used = {("rennet", "calf rennet"): 2.4, ("salt", "dairy salt"): 33.0}
    found = shortages(shelf, used, today, ZONE)
    assert [(s.ingredient.id, s.left, s.took) for s in found] == [(1, 40.0, 2.4), (4, 55.0, 33.0)]
    assert found[0].past == date(2026, 2, 27)


def test_a_running_make_is_at_the_stage_that_began_and_has_not_ended():
    plan = Plan("hard", (Stage("warm", 30.0, target_c=31.0), Stage("ripen", 60.0)))
    make = Make("HL-0001", 1, Milk(12), BEGUN, ZONE, id=1)
    half = BEGUN + 30 * MINUTE_MS
    runs = [
        StageRun(1, 0, "warm", BEGUN, half, BEGUN, half + MINUTE_MS),
        StageRun(1, 1, "ripen", half, half, half + MINUTE_MS),
    ]
    step = step_of(make, plan, runs)
    assert (step.stage.kind, step.ends_ms, step.next_stage) == (
        "ripen",
        half + 61 * MINUTE_MS,
        None,
    )
    assert step_of(make, plan, runs[:1]).stage is None
