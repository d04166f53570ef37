"""What the window asks of the keepers, and what it is told where there is nothing."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from journal.keeping import Journal, KeepingError
from journal.records import id_of
from journal.records.makes import Make, Milk
from journal.records.milk_lots import MilkLot
from journal.records.plans import Plan
from tests.keeping.conftest import START
from tests.refusals import refused

DAY_MS = 86_400_000


def test_tags_are_given_and_taken_back_in_one_step(saved: Journal, make: Make) -> None:
    before = saved.makes.get(id_of(make))
    tagged = saved.makes.tag(id_of(make), ["goat", "smoked"])
    assert "#goat" in tagged.remark
    assert "#smoked" in tagged.remark
    assert saved.makes.get(id_of(make)) == tagged
    assert saved.undo().id == "keeping.act-tags"
    assert saved.makes.get(id_of(make)) == before


def test_the_makes_begun_last_come_newest_first(saved: Journal, plan: Plan) -> None:
    codes = [saved.makes.begin(plan, Milk(12.0), START + day * DAY_MS).code for day in range(4)]
    assert [make.code for make in saved.makes.newest(3)] == codes[:0:-1]
    saved.outcomes.delete(saved.makes.by_code(codes[-1]).id)
    assert [make.code for make in saved.makes.newest(3)] == codes[-2::-1]


def test_a_lot_of_milk_is_poured_as_far_as_it_goes(saved: Journal, make: Make) -> None:
    farm = saved.milk_lots.save(MilkLot("Hill", START - DAY_MS))
    other = saved.milk_lots.save(MilkLot("Dale", START - DAY_MS))
    saved.milk.pour(make.id, farm.id, 5.0)
    saved.milk.pour(make.id, farm.id, 7.0)
    assert [(lot.farm, litres) for lot, litres in saved.milk.of(make.id)] == [("Hill", 7.0)]
    for litres in (5.1, 0.0, -1.0):
        with refused(KeepingError, "keeping.too-much-of-a-lot", left=5.0):
            saved.milk.pour(make.id, other.id, litres)
    saved.milk.pour(make.id, other.id)
    assert [litres for _, litres in saved.milk.of(make.id)] == [7.0, 5.0]
    assert [(one.code, litres) for one, litres in saved.milk.makes_of(other.id)] == [
        (make.code, 5.0)
    ]
    with refused(KeepingError, "keeping.milk-lots-are-more", litres=12.0):
        saved.corrections.set_milk(make.id, 11.9)


def test_milk_and_plan_of_a_make_are_put_right_in_one_step(saved: Journal, make: Make) -> None:
    before = saved.makes.get(make.id)
    now = saved.corrections.correct(make.id, 14.0)
    assert (now.milk.litres, now.plan_id) == (14.0, before.plan_id)
    assert saved.corrections.set_milk(make.id, 14.0) == now
    assert saved.undo().id == "keeping.act-correct-make"
    assert saved.makes.get(make.id) == before


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        (lambda journal: journal.makes.get(999), "keeping.no-record"),
        (lambda journal: journal.makes.binned(999), "keeping.no-record"),
        (lambda journal: journal.makes.where(colour="red"), "keeping.no-column"),
        (lambda journal: journal.plans.get(999), "keeping.no-record"),
        (lambda journal: journal.plans.by_name("none"), "keeping.no-plan-yet"),
        (lambda journal: journal.makes.by_code("latest"), "keeping.no-make-yet"),
        (lambda journal: journal.makes.by_code("HL-0009"), "keeping.no-make"),
        (lambda journal: journal.wheel_by_code("HL-0009-A"), "keeping.no-wheel"),
        (lambda journal: journal.sessions.known_or_new("  "), "keeping.nobody-tastes"),
        (lambda journal: journal.take_back(999), "keeping.no-act"),
        (lambda journal: journal.outcomes.undelete("HL-0009"), "keeping.bin-empty"),
    ],
)
def test_what_is_not_there_is_said(
    saved: Journal, asked: Callable[[Journal], object], why: str
) -> None:
    with refused(KeepingError, why):
        asked(saved)
    assert saved.undo_name is None


def test_a_plan_or_a_make_by_a_wrong_name_is_answered_with_those_there_are(
    saved: Journal, make: Make
) -> None:
    with refused(KeepingError, "keeping.no-plan", plan="soft", plans=("kitchen hard",)):
        saved.plans.by_name("soft")
    with refused(KeepingError, "keeping.not-in-bin", make=make.code):
        saved.outcomes.undelete(make.code.lower())
    saved.outcomes.delete(make.id)
    with refused(KeepingError, "keeping.make-in-bin", make=make.code):
        saved.makes.by_code(make.code.lower())
    with refused(KeepingError, "keeping.bin-lacks", makes=(make.code,)):
        saved.outcomes.undelete("HL-0077")
    assert saved.outcomes.undelete(make.code).id == make.id
