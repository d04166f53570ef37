"""Cards of a session on a real file: kept whole, changed, taken back, and read for the screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from journal.keeping import Journal, KeepingError
from journal.keeping.session_rows import OpenServing
from journal.keeping.sessions import ScoredSample
from journal.message import Message
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from tests.refusals import refused

ZONE = "Europe/London"
MADE = from_iso("2026-03-01T08:00", ZONE)
EVENING = from_iso("2026-06-01T19:30", ZONE)
FULL = ScoredSample({"overall": 7.5, "bitter": 1.0}, (("flavour", "bitter", "slight"),), "nutty")


@pytest.fixture
def journal(tmp_path: Path):
    with Journal.create(tmp_path / "kitchen.vatside", letters="HL", zone=ZONE) as made:
        plan = Plan("Plain", (Stage("warm", 30.0, target_c=31.0),))
        make = made.makes.begin(plan, Milk(12.0), MADE)
        made.makes.finish(make.id, [0.6, 0.5], MADE + DAY_MS // 4)
        yield made


def test_a_card_is_kept_whole_and_read_back(journal):
    a = journal.wheel_by_code("HL-0001-A")
    journal.sessions.give(OpenServing(a.id, "Orla", EVENING), FULL)
    assert journal.sessions.scored(OpenServing(a.id, "  ORLA ", EVENING)) == FULL
    assert journal.sessions.scored(OpenServing(a.id, "Tam", EVENING)) is None
    row = journal.sessions.wheels()[0]
    assert (row.code, row.plan, row.tasted, row.last_ms) == ("HL-0001-A", "Plain", 1, EVENING)
    assert journal.undo_name == Message("keeping.act-score", code="HL-0001-A")
    assert journal.undo() == Message("keeping.act-score", code="HL-0001-A")
    assert journal.assessors.all() == journal.tastings.all() == journal.scores.all() == []


def test_one_day_is_one_sitting(journal):
    a, b = journal.wheels.all()
    journal.sessions.give(OpenServing(a.id, "Orla", EVENING), FULL)
    journal.sessions.give(OpenServing(b.id, "Tam", EVENING + 3_600_000), FULL)
    journal.sessions.give(OpenServing(a.id, "Tam", EVENING + 30 * DAY_MS), FULL)
    sessions = journal.sessions.all()
    assert [(s.wheels, s.assessors) for s in sessions] == [(2, 2), (1, 1)]
    assert {g.wheel_code for g in journal.sessions.of_session(sessions[0].id)} == {a.code, b.code}
    assert [g.at_ms for g in journal.sessions.of_wheel(a.id)] == [EVENING] * 2 + [
        EVENING + 30 * DAY_MS
    ] * 2
    assert journal.sessions.attributes() == [("overall", 3), ("bitter", 3)]


def test_a_second_card_takes_the_place_of_the_first(journal):
    a = journal.wheels.all()[0]
    journal.sessions.give(OpenServing(a.id, "Orla", EVENING), FULL)
    uuids = {s.attribute: s.uuid for s in journal.scores.all()}
    later = ScoredSample({"overall": 8.0}, (("flavour", "flat", "definite"),))
    journal.sessions.give(OpenServing(a.id, "Orla", EVENING), later)
    assert journal.sessions.scored(OpenServing(a.id, "Orla", EVENING)) == later
    assert [s.uuid for s in journal.scores.all()] == [uuids["overall"]]
    journal.undo()
    assert journal.sessions.scored(OpenServing(a.id, "Orla", EVENING)) == FULL
    assert journal.check() == []


@pytest.mark.parametrize(
    ("who", "at_ms", "card", "output"),
    [
        ("Orla", EVENING, ScoredSample(), "keeping.sample-empty"),
        ("  ", EVENING, FULL, "keeping.nobody-tastes"),
        ("Orla", MADE - DAY_MS, FULL, "keeping.tasted-before-made"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_changes(journal, who, at_ms, card, output):
    with refused(KeepingError, output):
        journal.sessions.give(OpenServing(journal.wheels.all()[0].id, who, at_ms), card)
    assert journal.tastings.all() == journal.assessors.all() == []
