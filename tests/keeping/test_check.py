"""What `check` finds beside damage: what cannot have been so, what is there twice, and photos that
are missing, damaged or spoken of by nothing."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from journal.keeping import Journal
from journal.keeping.check import bad_pages
from journal.keeping.improbable import twice
from journal.message import Message
from journal.records.brines import Brine
from journal.records.instants import DAY_MS
from journal.records.makes import Make, Milk, Note
from journal.records.plans import Plan
from tests.keeping.conftest import START
from tests.keeping.test_photos import PNG

YEAR_MS = 365 * DAY_MS
FIRST_MS = round(datetime(1990, 1, 1, tzinfo=UTC).timestamp() * 1000)


def output(messages: list[Message]) -> list[tuple[str, object]]:
    """The id of each message, and the noun or make it is of."""
    return [(one.id, one.values.get("noun") or one.values.get("make")) for one in messages]


def test_a_sound_journal_has_no_doubts(saved: Journal, make: Make) -> None:
    saved.readings.log(make.id, "milk-temp", 31.0, START + 60_000)
    saved.notes.save(Note(START, "clean break", make_id=make.id))
    saved.notes.save(Note(FIRST_MS, "from a notebook"))
    assert saved.check() == []
    assert saved.doubts() == []


@pytest.mark.parametrize("at", [0, FIRST_MS - 1, START + 60 * YEAR_MS])
def test_a_time_that_cannot_have_been_is_named(saved: Journal, make: Make, at: int) -> None:
    note = saved.notes.save(Note(START, "clean break", make_id=make.id))
    saved.notes.save(Note(at, "at no time", make_id=make.id))
    assert output(saved.doubts()) == [("keeping.time-impossible", "note")]
    assert saved.doubts()[0].values["key"] == note.id + 1
    saved.undo()
    assert saved.doubts() == []


@pytest.mark.parametrize(
    ("days", "is_odd"), [(-1.1, True), (-0.9, False), (59.0, False), (61.5, True)]
)
def test_readings_long_before_or_after_their_make_are_named(
    saved: Journal, make: Make, days: float, is_odd: bool
) -> None:
    saved.makes.finish(make.id, [1.0], START + DAY_MS // 2)
    at = START + round(days * DAY_MS) + (DAY_MS // 2 if days > 0 else 0)
    saved.readings.add_many(make.id, "milk-temp", np.array([at]), np.array([31.0]))
    saved.readings.log(make.id, "curd-ph", 6.2, at)  # in a block and in the log
    found = [(one.id, one.values["kind"]) for one in saved.doubts()]
    odd = [("keeping.readings-outside", kind) for kind in ("milk-temp", "curd-ph")]
    assert found == (odd if is_odd else [])


def test_an_end_before_its_beginning_is_named(saved: Journal, make: Make) -> None:
    saved.makes.finish(make.id, [1.0], START + DAY_MS)
    saved.brines.save(Brine("tub", 20.0, 20.0, START))
    path = saved.path
    saved.close()
    with Journal.open(path) as journal, journal.unit("by-hand"):
        db = journal._db
        db.execute("update make set finished_ms = started_ms - 1000")
        db.execute("update stage_run set began_ms = ?, ended_ms = ? where id = 1", (START, 2))
        db.execute("update brine set gone_ms = made_ms - 1")
    with Journal.open(path) as journal:
        assert output(journal.check()) == [
            ("keeping.finished-before-it-began", make.code),
            ("keeping.stage-ends-before-it-began", make.code),
        ]
        assert ("keeping.ends-before-it-began", "brine") in output(journal.doubts())


def test_readings_that_are_there_twice_are_counted(saved: Journal, make: Make) -> None:
    at, value = START + 60_000 * np.arange(50), np.linspace(30, 32, 50)
    saved.readings.add_many(make.id, "milk-temp", at, value)
    for n in (3, 17):  # once in a block, once in the log
        saved.readings.log(make.id, "milk-temp", float(value[n]), int(at[n]))
    saved.readings.log(make.id, "milk-temp", 20.0, int(at[5]))  # another value is another reading
    for _ in range(2):
        saved.readings.log(make.id, "curd-ph", 6.4, START)
    assert [(one.id, one.values["readings"], one.values["kind"]) for one in saved.doubts()] == [
        ("keeping.readings-twice", 1, "curd-ph"),
        ("keeping.readings-twice", 2, "milk-temp"),
    ]


def test_rows_of_one_uuid_or_code_are_found_though_an_index_hides_them(
    tmp_path: Path, plan: Plan
) -> None:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path, zone="Europe/London") as journal:
        first, second = (journal.makes.begin(plan, Milk(12.0), START + n) for n in (0, 1))
    with closing(sqlite3.connect(path)) as db:  # as a table whose index is lost
        db.execute("pragma legacy_alter_table = on")
        db.execute("alter table make rename to make_of_before")
        db.execute("create table make as select * from make_of_before")
        db.execute("update make set code = ?, uuid = (select min(uuid) from make)", [first.code])
        found = list(twice(db))
    assert {(one.id, one.values["value"]) for one in found} == {
        ("keeping.twice", min(first.uuid, second.uuid)),
        ("keeping.twice", first.code),
    }


def test_photos_that_are_missing_damaged_or_of_nothing_are_named(
    saved: Journal, tmp_path: Path
) -> None:
    picture = tmp_path / "cut.png"
    names = []
    for text in ("sound", "damaged", "missing"):
        picture.write_bytes(PNG + text.encode())
        names.append(saved.photos.save(Note(START, text), picture).photo)
    sound, damaged, missing = (saved.photos.folder / name for name in names)
    with damaged.open("r+b") as file:
        file.seek(100)
        file.write(b"\xff")
    missing.unlink()
    lone = saved.photos.folder / f"lone.{0:08x}.png"
    lone.write_bytes(PNG)
    assert {(one.id, one.values["photo"]) for one in saved.check()} == {
        ("keeping.photo-damaged", damaged.name),
        ("keeping.photo-missing", missing.name),
    }
    assert saved.photos.orphans() == [lone]
    assert saved.photos.all() == [sound]
    note = next(one for one in saved.notes.all() if one.text == "sound")
    saved.notes.remove(note.id)
    assert saved.photos.orphans() == [lone], "a note in the bin still speaks of its photo"


def test_of_a_file_that_is_damaged_in_many_places_twenty_are_told() -> None:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        db.execute("create table t (a int)")
        db.executemany("insert into t values (?)", [(None,)] * 30)
        db.execute("pragma writable_schema = on")
        db.execute("update sqlite_master set sql = 'create table t (a int not null)'")
        db.execute("pragma writable_schema = reset")
        (said_of_it,) = bad_pages(db)
    assert str(said_of_it.values["lines"]).split("; ") == ["NULL value in t.a"] * 20
