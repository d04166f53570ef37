"""A make's milk and plan put right: the readings stay, and undo takes it back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from journal.keeping import Journal, KeepingError
from journal.keeping.make_corrections import matched
from journal.records import RecordError
from journal.records.makes import Make
from journal.records.milk_lots import MilkLot
from journal.records.plans import Dose, Plan, Stage
from tests.refusals import refused

MINUTE = 60_000
OTHER = Plan(
    "washed curd",
    (Stage("warm", 20, target_c=30.0), Stage("ripen", 20), Stage("set", 35), Stage("cut", 10),
     Stage("wash", 20), Stage("press", 300)),
    milk_l=12,
)  # fmt: skip


@pytest.fixture
def day(saved: Journal, make: Make) -> Make:
    """The make some stages on, with readings."""
    for minutes in (30, 60):
        saved.makes.end_stage(make.id, make.started_ms + minutes * MINUTE)
    for minutes, temp in ((5, 20.0), (29, 31.0), (70, 31.1)):
        saved.readings.log(make.id, "milk-temp", temp, make.started_ms + minutes * MINUTE)
    return saved.makes.get(make.id)


def test_the_milk_changes_what_is_to_come_and_nothing_that_was(saved: Journal, day: Make) -> None:
    put_in = saved.additions.where(make_id=day.id)
    saved.corrections.set_milk(day.id, 3 * day.milk.litres)
    whole = saved.whole(day.id)
    assert whole.make.milk.litres == 3 * day.milk.litres
    assert whole.make.milk.animal == day.milk.animal
    assert list(whole.additions) == put_in
    assert len(whole.trace("milk-temp")) == 3
    assert [run.began_ms is None for run in whole.runs[:4]] == [False, False, False, True]
    saved.undo()
    assert saved.makes.get(day.id) == day


def test_no_milk_can_be_less_than_its_lots_or_nothing(saved: Journal, day: Make) -> None:
    with pytest.raises(RecordError):
        saved.corrections.set_milk(day.id, 0.0)
    lot = saved.milk_lots.save(MilkLot("Upper Field", day.started_ms, 5.0))
    saved.milk.pour(day.id, lot.id, 5.0)
    with refused(KeepingError, "keeping.milk-lots-are-more", code=day.code, litres=5.0):
        saved.corrections.set_milk(day.id, 4.0)


def test_another_plan_keeps_readings_times_and_what_went_in(saved: Journal, day: Make) -> None:
    saved.stock.put_in(day, 1, ("rennet", "rennet", "ml"), 2.0, day.started_ms + 31 * MINUTE)
    before = saved.whole(day.id)
    saved.corrections.set_plan(day.id, OTHER)
    whole = saved.whole(day.id)
    assert whole.plan.name == "washed curd"
    assert [run.kind for run in whole.runs] == [stage.kind for stage in OTHER.stages]
    began = [run.began_ms for run in whole.runs if run.began_ms is not None]
    assert began == [run.began_ms for run in before.runs if run.began_ms is not None]
    assert whole.running_index == 3
    assert whole.runs[1].planned_begin_ms == day.started_ms + 20 * MINUTE
    assert whole.trace("milk-temp").value.tolist() == before.trace("milk-temp").value.tolist()
    assert [(a.name, a.amount) for a in whole.additions] == [
        (a.name, a.amount) for a in before.additions
    ]
    assert [whole.runs[a.position].kind for a in whole.additions] == ["warm", "set"]
    saved.undo()
    back = saved.whole(day.id)
    assert back.plan.name == before.plan.name
    assert [(r.kind, r.began_ms, r.ended_ms) for r in back.runs] == [
        (r.kind, r.began_ms, r.ended_ms) for r in before.runs
    ]


def test_stages_the_other_plan_has_not_are_gone_and_passed_ones_are_skipped(
    saved: Journal, day: Make
) -> None:
    short = replace(OTHER, name="short", stages=(
        Stage("pasteurise", 30, target_c=63.0), Stage("warm", 20, target_c=30.0),
        Stage("cool", 15, target_c=31.0, doses=(Dose("culture", "culture", 0.02, "g"),)),
        Stage("set", 35), Stage("cut", 10),
    ))  # fmt: skip
    saved.corrections.set_plan(day.id, short)
    runs = saved.runs.where(make_id=day.id)
    assert [run.skipped for run in runs] == [True, False, True, False, False]
    assert runs[1].began_ms == day.started_ms
    assert runs[1].ended_ms == runs[3].began_ms == day.started_ms + 30 * MINUTE
    assert saved.day.running(day.id).kind == "cut"
    saved.makes.end_stage(day.id, day.started_ms + 100 * MINUTE)
    with refused(KeepingError, "keeping.plan-has-no-stage", plan="none", code=day.code):
        saved.corrections.set_plan(day.id, replace(OTHER, name="none", stages=(Stage("smoke", 9),)))


def test_the_most_stages_in_order_are_matched() -> None:
    assert matched(["warm", "ripen", "stir", "drain"], ["warm", "stir", "ripen", "stir"]) == {
        0: 0, 1: 2, 2: 3,
    }  # fmt: skip
    assert matched(["cook"], ["warm"]) == {}
