"""A designed series is kept, taken back, and comes again as it was."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from journal.exchange.export import export_journal
from journal.keeping import Journal
from journal.message import Message
from journal.records import RecordError
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.records.series import Series, SeriesMake
from tests.refusals import refused


def test_a_series_is_kept_with_its_makes_and_undone_as_one(tmp_path):
    path = tmp_path / "j.vatside"
    with Journal.create(path, letters="HL", zone="Europe/London") as journal:
        with journal.unit("lay out a series"):
            series = journal.series.save(
                Series(
                    "salt and cut", 1_000, ("salt_in_curd", "curd_size"), (2.1, 8.0), (2.9, 14.0)
                )
            )
            journal.series_makes.save_many(
                SeriesMake(series.id, i, i // 2, (2.1 + 0.8 * (i % 2), 8.0)) for i in range(4)
            )
        assert journal.undo() == Message("lay out a series")
        assert journal.series.all() == []
        journal.redo()
        assert journal.check() == []
    with Journal.open(path, read_only=True) as journal:
        assert journal.series.all() == [series]
        makes = journal.series_makes.where(series_id=series.id)
        assert [m.wanted for m in makes] == [(2.1, 8.0), (2.9000000000000004, 8.0)] * 2
        assert [m.block for m in makes] == [0, 0, 1, 1]
        assert all(m.make_id is None for m in makes)


def test_what_is_no_series_is_refused():
    with refused(RecordError, "records.series-variables"):
        Series("one", 0, ("salt",), (1.0,), (2.0,))
    with refused(RecordError, "records.series-low-above-high"):
        Series("turned", 0, ("a", "b"), (1.0, 2.0), (2.0, 1.0))
    with refused(RecordError, "records.series-name"):
        Series(" ", 0, ("a", "b"), (1.0, 1.0), (2.0, 2.0))


PLAN = Plan(
    "kitchen hard",
    (Stage("warm", 30, target_c=31.0), Stage("set", 40), Stage("cut", 10, size_mm=10.0)),
)


def lay(journal: Journal, sizes=(8.0, 12.0, 8.0, 12.0), base: Plan = PLAN):
    plans = [replace(PLAN, stages=(*PLAN.stages[:2], Stage("cut", 10, size_mm=s))) for s in sizes]
    wanted = [(40.0 + i, size) for i, size in enumerate(sizes)]
    series = Series("set and cut", 1_000, ("set", "curd_size"), (40.0, 8.0), (44.0, 12.0), "full")
    return journal.designs.set_up(series, base, plans, wanted, [0, 0, 1, 1])


@pytest.fixture
def kitchen(tmp_path):
    with Journal.create(tmp_path / "j.vatside", letters="HL", zone="Europe/London") as journal:
        yield journal


def test_a_series_is_laid_out_with_a_plan_for_each_make_set_aside(kitchen):
    base = kitchen.plans.save(PLAN)
    full_series = lay(kitchen, base=base)
    assert full_series.series.plan_id == base.id
    assert [one.one.position for one in full_series.makes] == [0, 1, 2, 3]
    assert [kitchen.designs.plan_of(one.one).stages[2].size_mm for one in full_series.makes] == [
        8.0, 12.0, 8.0, 12.0,
    ]  # fmt: skip
    assert kitchen.plans.by_name(PLAN.name) == base
    assert kitchen.plans.latest() == [base]
    assert full_series.next == full_series.makes[0]
    assert full_series.parts == 2
    assert kitchen.check() == []
    assert kitchen.undo() == Message("keeping.act-lay-out-series")
    assert kitchen.designs.all() == []
    assert kitchen.plans.versions(PLAN.name) == [base]


def test_a_make_begun_by_a_plan_of_the_series_takes_its_place(kitchen):
    base = kitchen.plans.save(PLAN)
    full_series = lay(kitchen, base=base)
    plan = kitchen.designs.plan_of(full_series.makes[1].one)
    make = kitchen.makes.begin(plan, Milk(10), 5_000)
    assert make.plan_id == plan.id
    now = kitchen.designs.get(full_series.series.id)
    assert [one.make for one in now.makes] == [None, make, None, None]
    assert now.next == full_series.makes[0]
    assert kitchen.plans.by_name(PLAN.name) == base
    assert kitchen.undo() == Message("keeping.act-begin-make")
    assert kitchen.designs.get(full_series.series.id) == full_series
    kitchen.redo()
    assert kitchen.designs.get(full_series.series.id).made == 1


def test_a_changed_plan_of_the_series_joins_too_and_is_kept_as_it_was_changed(kitchen):
    full_series = lay(kitchen)
    plan = replace(kitchen.designs.plan_of(full_series.makes[0].one), note="with the new knife")
    make = kitchen.makes.begin(plan, Milk(10), 5_000)
    assert kitchen.plans.get(make.plan_id).note == "with the new knife"
    assert kitchen.designs.get(full_series.series.id).makes[0].make == make


def test_a_make_that_failed_or_lies_in_the_bin_is_made_again(kitchen):
    full_series = lay(kitchen)
    plan = kitchen.designs.plan_of(full_series.makes[0].one)
    first = kitchen.makes.begin(plan, Milk(10), 5_000)
    kitchen.makes.save(replace(first, failed=True))
    assert kitchen.designs.get(full_series.series.id).next.one.position == 0
    second = kitchen.makes.begin(plan, Milk(10), 6_000)
    assert kitchen.designs.get(full_series.series.id).makes[0].make == second
    kitchen.makes.begin(plan, Milk(10), 7_000)  # made already: a make like it, not of the series
    assert kitchen.designs.get(full_series.series.id).makes[0].make == second
    kitchen.makes.remove(second.id)
    assert kitchen.designs.get(full_series.series.id).makes[0].make is None


def test_a_series_put_away_takes_no_more_makes_and_comes_back(kitchen):
    full_series = lay(kitchen)
    plan = kitchen.designs.plan_of(full_series.makes[0].one)
    kitchen.designs.put_away(full_series.series.id)
    assert kitchen.designs.all() == []
    make = kitchen.makes.begin(plan, Milk(10), 5_000)
    kitchen.makes.remove(make.id)
    kitchen.undo()
    kitchen.undo()
    assert kitchen.undo() == Message("keeping.act-put-series-away")
    assert kitchen.designs.all() == [full_series]


def test_an_id_that_undo_has_freed_is_read_anew(kitchen):
    first = lay(kitchen)
    assert kitchen.designs.plan_of(first.makes[0].one).stages[2].size_mm == 8.0
    kitchen.undo()
    second = lay(kitchen, (15.0, 16.0, 15.0, 16.0))
    assert kitchen.designs.plan_of(second.makes[0].one).stages[2].size_mm == 15.0


def test_an_export_has_the_plans_of_a_series_too(kitchen, tmp_path):
    full_series = lay(kitchen)
    kitchen.makes.begin(kitchen.designs.plan_of(full_series.makes[0].one), Milk(10), 5_000)
    export_journal(kitchen, tmp_path / "out")
    whole = json.loads((tmp_path / "out" / "journal.json").read_text(encoding="utf-8"))
    plans = {plan["id"]: plan["uuid"] for plan in whole["plan"]}
    assert {one.one.uuid for one in full_series.makes} <= set(plans.values())
    assert all(make["plan_id"] in plans for make in whole["make"])
    assert [one["wanted"] for one in whole["series_make"]] == [
        list(one.one.wanted) for one in full_series.makes
    ]
