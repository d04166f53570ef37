"""Schedules of a make's and a wheel's own, over the one of their plan; its plan stays as it ran."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.keeping import Journal
from journal.message import Message
from journal.records.care_typed import Ending, read_schedule
from journal.records.care_written import AgeLine, CareLine, care_lines, schedule_text
from journal.records.instants import DAY_MS
from journal.records.makes import Make, Milk
from journal.records.own_care import own_fields, own_rows
from journal.records.plans import CareRule, Plan
from tests.records.test_care_typed import OUT, WHOLE, age_lines, rules

BEGUN = 1_790_000_000_000
BRUSH: list[CareLine] = [
    CareRule("brush", 3, 30, 3, "with a soft brush"),
    AgeLine("taste", (45.0,)),
]


@pytest.fixture
def journal(saved: Journal) -> Journal:
    return saved


@pytest.fixture
def make(journal: Journal, plan: Plan) -> Make:
    """A make of two wheels that came out on its second day."""
    made = journal.makes.begin(plan, Milk(10.0), BEGUN)
    journal.makes.finish(made.id or 0, [1.2, 1.1], BEGUN + DAY_MS)
    return made


def wants(journal: Journal) -> list[tuple[str, list[str], tuple[float, ...]]]:
    return [
        (life.wheel.code, [rule.kind for rule in life.rules], life.taste_at_days)
        for life in journal.care_tasks.lives()
    ]


def test_a_wheels_own_goes_over_its_makes_and_that_over_its_plans(
    journal: Journal, plan: Plan, make: Make
) -> None:
    by_plan = [rule.kind for rule in plan.care]
    first, second = journal.wheels.all()
    journal.schedules.give_make(make, BRUSH)
    assert [kinds for _, kinds, _ in wants(journal)] == [["brush"], ["brush"]]
    journal.schedules.give_wheel(second, [CareRule("wax", 10, 10, 1)])
    assert wants(journal) == [(first.code, ["brush"], (45.0,)), (second.code, ["wax"], ())]
    assert journal.schedules.of_wheel(first) == BRUSH
    # The plan it was run by is the same, and so is what the make says of its day.
    kept = journal.plans.get(make.plan_id)
    assert [rule.kind for rule in kept.care] == by_plan
    whole = journal.whole(make.id or 0)
    assert (whole.plan.stages, whole.plan.taste_at_days) == (kept.stages, (45.0,))
    assert journal.check() == []
    # Both are taken back, one act each.
    assert journal.undo() == Message("keeping.act-schedule", what=second.code)
    assert journal.undo() == Message("keeping.act-schedule", what=make.code)
    assert [kinds for _, kinds, _ in wants(journal)] == [by_plan, by_plan]
    journal.redo()
    assert [kinds for _, kinds, _ in wants(journal)] == [["brush"], ["brush"]]


def test_it_is_there_after_closing_and_without_lines_the_plans_counts_again(
    journal: Journal, make: Make, plan: Plan
) -> None:
    journal.schedules.give_make(make, BRUSH)
    with Journal.open(journal.path, read_only=True) as again:
        assert again.schedules.of_make(again.makes.get(make.id or 0)) == BRUSH
    journal.schedules.give_make(make, [])
    assert journal.schedules.of_make(make) == care_lines(journal.plans.get(make.plan_id))


lines_of = st.lists(rules() | age_lines, min_size=1, max_size=5)


@given(lines_of)
def test_rows_give_back_what_the_lines_say(lines: list[CareLine]) -> None:
    rows = own_rows(lines, make_id=1)
    care, taste, eat, output = own_fields(rows)
    assert care == tuple(line for line in lines if isinstance(line, CareRule))
    ages = [line for line in lines if isinstance(line, AgeLine)]
    assert taste == tuple(sorted({d for line in ages if line.kind == "taste" for d in line.days}))
    noted = {note for one in output for note in one.split("; ")} - {""}
    assert noted == {line.note for line in ages if line.kind == "taste"} - {""}
    assert (eat is not None) == any(line.kind == "eat" for line in ages)


@given(lines_of)
def test_one_text_says_it_all_and_is_read_back(lines: list[CareLine]) -> None:
    text = schedule_text(lines)
    read = read_schedule(text, Ending(1, 1))
    assert (read.loose, list(read.lines)) == ("", lines)


def test_a_whole_schedule_is_written_as_one_text() -> None:
    text = schedule_text(read_schedule(WHOLE, OUT).lines)
    assert text == (
        "air dry for 2 to 3 days from day 1 at 16.0 °C; turn day 1 to 4, twice a day; "
        "bandage day 3 to 4: cloth and fat; turn from day 4, weekly; "
        "taste at 3 and 6 months; eat from 6 months"
    )
