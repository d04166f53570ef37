"""The reading of all wheels at once: what each wants, what was done, what is gone left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.records.instants import DAY_MS
from journal.records.makes import Addition, Ingredient, Milk
from journal.records.plans import CareRule, Plan, Stage
from journal.records.tastings import Assessor, Sample, Score, Tasting
from journal.records.wheels import AirReading, Care, Room, Weighing

BEGUN = 1_770_000_000_000
PLAN = Plan(
    "hard",
    (Stage("warm", 30.0, target_c=31.0),),
    care=(CareRule("turn", 1, 14, 2), CareRule("move", 20, 20, 1, room_c=6.0)),
    taste_at_days=(60.0, 120.0),
)


def made(saved, weights):
    make = saved.makes.begin(PLAN, Milk(12), BEGUN)
    return make, saved.makes.finish(make.id, weights, BEGUN + DAY_MS)


def test_each_wheel_has_its_rules_and_what_was_last_done(saved):
    _, (first, second) = made(saved, [1.2, 1.1])
    room = saved.rooms.save(Room("Cellar"))
    saved.wheels.save(replace(first, room_id=room.id))
    for day in (1, 3):
        saved.cares.save(Care(first.id, "turn", BEGUN + day * DAY_MS))
    saved.weighings.save(Weighing(first.id, BEGUN + 9 * DAY_MS, 1.05))
    one, other = saved.care_tasks.lives()
    assert (one.wheel.code, other.wheel.code) == (first.code, second.code)
    assert one.rules == PLAN.care
    assert one.taste_at_days == (60.0, 120.0)
    assert one.done == {"turn": BEGUN + 3 * DAY_MS, "weigh": BEGUN + 9 * DAY_MS}
    assert (one.weight_kg, one.weighed_ms, one.room) == (1.05, BEGUN + 9 * DAY_MS, "Cellar")
    assert (other.weight_kg, other.done, other.room) == (1.1, {"weigh": BEGUN + DAY_MS}, "")


def test_a_sitting_counts_for_every_wheel_of_the_make(saved):
    _, (first, second) = made(saved, [1.2, 1.1])
    session = saved.tastings.save(Tasting(BEGUN + 61 * DAY_MS, lifted_ms=BEGUN + 62 * DAY_MS))
    sample = saved.samples.save(Sample(session.id, second.id))
    assert [life.tasted_ms for life in saved.care_tasks.lives()] == [None, None]
    who = saved.assessors.save(Assessor("Ann"))
    saved.scores.save(Score(sample.id, who.id, "overall", 7.0))
    assert {life.tasted_ms for life in saved.care_tasks.lives()} == {BEGUN + 61 * DAY_MS}
    assert first.make_id == second.make_id


def test_wheels_that_are_gone_and_failed_makes_want_nothing(saved):
    make, (first, second) = made(saved, [1.2, 1.1])
    saved.wheels.save(replace(first, gone_ms=BEGUN + 90 * DAY_MS, gone_why="eaten"))
    assert [life.wheel.code for life in saved.care_tasks.lives()] == [second.code]
    saved.makes.save(replace(saved.makes.get(make.id), failed=True))
    assert saved.care_tasks.lives() == []


def test_what_the_last_make_took_is_told_in_the_shelfs_unit(saved):
    make, _ = made(saved, [1.2])
    later = saved.makes.begin(PLAN, Milk(12), BEGUN + DAY_MS)
    saved.ingredients.save_many(
        [
            Ingredient("salt", "Dairy salt", amount_left=0.09, unit="kg"),
            Ingredient("rennet", "calf", amount_left=90.0, unit="g"),
        ]
    )
    for one, amount in ((later, 20.0), (later, 13.0), (make, 30.0)):
        at_ms = one.started_ms
        saved.additions.save(Addition(one.id, 0, "salt", "dairy salt", amount, "g", at_ms))
    saved.additions.save(Addition(make.id, 0, "rennet", "calf", 2.4, "ml", BEGUN))
    assert saved.care_tasks.last_used() == {("salt", "dairy salt"): pytest.approx(0.033)}


def test_the_air_of_a_room_comes_in_order_from_an_instant_on(saved):
    room = saved.rooms.save(Room("Cellar"))
    for day, temp, humidity in ((3, 11.5, 84.0), (1, 11.0, 82.0), (2, 11.2, None)):
        saved.airs.save(AirReading(room.id, BEGUN + day * DAY_MS, temp, humidity))
    air = saved.care_tasks.air(room.id, BEGUN + 2 * DAY_MS)
    assert air.at_ms.tolist() == [BEGUN + 2 * DAY_MS, BEGUN + 3 * DAY_MS]
    assert air.temp_c.tolist() == [11.2, 11.5]
    assert np.isnan(air.humidity_pct[0])
    assert air.humidity_pct[1] == 84.0
