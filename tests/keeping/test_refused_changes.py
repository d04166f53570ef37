"""What cannot have been is refused, and each of the world's faults has a name; nothing changes."""

from __future__ import annotations

import sqlite3

import pytest

from journal.keeping import Journal, KeepingError
from journal.keeping.changes import fault
from journal.records.makes import Make
from tests.keeping.conftest import START
from tests.refusals import refused

MIN = 60_000


@pytest.mark.parametrize(
    ("code", "id_"),
    [
        (sqlite3.SQLITE_BUSY, "keeping.busy"),
        (sqlite3.SQLITE_BUSY_SNAPSHOT, "keeping.busy"),
        (sqlite3.SQLITE_LOCKED, "keeping.busy"),
        (sqlite3.SQLITE_FULL, "keeping.disk-full"),
        (sqlite3.SQLITE_READONLY, "keeping.not-writable-here"),
        (sqlite3.SQLITE_READONLY_DBMOVED, "keeping.not-writable-here"),
        (sqlite3.SQLITE_CANTOPEN, "keeping.not-writable-here"),
        (sqlite3.SQLITE_CORRUPT, "keeping.journal-damaged"),
        (sqlite3.SQLITE_NOTADB, "keeping.journal-damaged"),
        (sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY, "keeping.something-hangs-on-it"),
        (sqlite3.SQLITE_CONSTRAINT_UNIQUE, "keeping.there-by-now"),
        (sqlite3.SQLITE_IOERR, "keeping.disk-faulty"),
        (sqlite3.SQLITE_IOERR_FSYNC, "keeping.disk-faulty"),
        (sqlite3.SQLITE_CONSTRAINT_CHECK, "keeping.change-refused"),
        (None, "keeping.change-refused"),
    ],
)
def test_each_fault_of_the_world_has_its_sentence(code: int | None, id_: str) -> None:
    error = sqlite3.OperationalError("as SQLite says it")
    if code is not None:
        error.sqlite_errorcode = code
    found = fault(error)
    assert found.id == id_
    assert found.values.get("why", "as SQLite says it") == "as SQLite says it"


@pytest.fixture
def over(saved: Journal, make: Make) -> Make:
    """A make whose second stage ran from minute 30 to 70, where the make was over."""
    saved.makes.end_stage(make.id, START + 30 * MIN)
    saved.makes.finish(make.id, [], START + 70 * MIN)
    return saved.makes.get(make.id)


def times(journal: Journal, make: Make) -> list[tuple[int | None, int | None]]:
    return [(run.began_ms, run.ended_ms) for run in journal.runs.where(make_id=make.id)][:2]


def test_times_that_cannot_have_been_are_refused(saved, over) -> None:
    before, act = times(saved, over), saved.undo_name
    for begins, ends, why in (
        ({3: START + MIN}, None, "keeping.not-begun"),
        ({1: START - MIN}, None, "keeping.before-it-began-later"),
        ({1: START + 71 * MIN}, None, "keeping.stage-ends-early"),
        ({}, START + 29 * MIN, "keeping.stage-ends-early"),
    ):
        with refused(KeepingError, why):
            saved.day.set_times(over.id, begins, ends)
    with refused(KeepingError, "keeping.stage-ends-early"):
        saved.day.set_start(over.id, START + 31 * MIN)
    with refused(KeepingError, "keeping.no-stage-runs"):
        saved.day.running(over.id)
    saved.day.set_times(over.id, {1: START + 30 * MIN}, START + 70 * MIN)
    saved.day.set_start(over.id, START)
    assert (times(saved, over), saved.undo_name) == (before, act), "as it was, and no act"


def test_another_end_of_the_last_stage_is_taken(saved, over) -> None:
    saved.day.set_times(over.id, {1: START + 25 * MIN}, START + 65 * MIN)
    assert times(saved, over) == [
        (START, START + 25 * MIN), (START + 25 * MIN, START + 65 * MIN)
    ]  # fmt: skip
    saved.undo()
    assert times(saved, over)[1] == (START + 30 * MIN, START + 70 * MIN)
