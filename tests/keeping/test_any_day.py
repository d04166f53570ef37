"""What was wrong is taken back in another session, whatever was saved since beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from journal.keeping import Journal
from journal.records.makes import Addition, Make
from journal.records.tastings import Assessor, Score, Tasting
from journal.records.wheels import Weighing
from tests.keeping.conftest import START
from tests.keeping.test_bin import full as full
from tests.keeping.test_undo import image


def set_milk(journal: Journal) -> None:
    make = journal.makes.get(1)
    journal.makes.save(replace(make, milk=replace(make.milk, litres=21.0)))


def reveal_and_change(journal: Journal) -> None:
    score = journal.scores.all()[0]
    journal.scores.save(replace(score, value=2.0))


WRONG: dict[str, Callable[[Journal], object]] = {
    "a weight": lambda j: j.weighings.save(Weighing(1, START + 5, 0.2)),
    "a weight changed": lambda j: j.weighings.save(replace(j.weighings.all()[0], weight_kg=9.0)),
    "the count of wheels": lambda j: j.makes.add_wheels(j.makes.get(1), [0.6], START + 2000),
    "gone": lambda j: j.wheels.save(replace(j.wheels.get(1), gone_ms=START, gone_why="eaten")),
    "a score after revealing": reveal_and_change,
    "another score": lambda j: j.scores.save(Score(1, 1, "salt", 1.0)),
    "a stage's time": lambda j: j.runs.save(replace(j.runs.all()[0], ended_ms=START + 1)),
    "a dose": lambda j: j.additions.save(Addition(1, 0, "salt", "salt", 250.0, "g", START)),
    "the milk": set_milk,
    "a name": lambda j: j.makes.save(replace(j.makes.get(1), name="misnamed")),
    "a make begun by accident": lambda j: j.makes.begin(
        j.plans.latest()[0], j.makes.get(1).milk, START + 9
    ),
    "a make deleted": lambda j: j.outcomes.delete(1),
    "a plan": lambda j: j.plans.save(replace(j.plans.latest()[0], name="another", id=None)),
    "a plan removed": lambda j: j.plans.remove(j.plans.latest()[0].name),
    "a person": lambda j: j.assessors.save(replace(j.assessors.get(1), name="Bob")),
    "a session": lambda j: j.tastings.save(Tasting(START + 7, lifted_ms=START + 7)),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_it_is_taken_back_another_day(full: Journal, wrong: str) -> None:
    before = image(full)
    WRONG[wrong](full)
    act = full.history.all(1)[0]
    assert act.rows
    assert image(full) != before
    full.assessors.save(Assessor("who came after"))
    full.close()
    with Journal.open(full.path) as later:
        later.take_back(act.act.id)
        now = image(later)
        now["assessor"] = [row for row in now["assessor"] if "who came after" not in row]
        assert now == before
        assert later.check() == []


def test_its_fixture_is_whole(full: Journal, make: Make) -> None:
    assert full.wheels.where(make_id=make.id)
