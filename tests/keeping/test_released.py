"""Every released format stays openable: a real file of each is opened, moved on and compared."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from journal.keeping import Journal, KeepingError
from journal.keeping.migrations import SCHEMA
from journal.keeping.rescue import rescue
from journal.records.makes import Milk
from tests.keeping.released.write_format import given_back
from tests.refusals import refused

RELEASED = Path(__file__).parent / "released"
FORMATS = (1, 2, 3, 4)


@pytest.fixture(params=FORMATS)
def released(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A copy of a released file with its photos."""
    name = f"format_{request.param}.vatside"
    shutil.copytree(RELEASED / f"{name}.photos", tmp_path / f"{name}.photos")
    return Path(shutil.copy(RELEASED / name, tmp_path / name))


def rows(path: Path) -> dict[str, int]:
    """How many rows each table has."""
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)) as db:
        tables = [r[0] for r in db.execute("select name from sqlite_master where type = 'table'")]
        return {t: db.execute(f'select count(*) from "{t}"').fetchone()[0] for t in tables}


def schema(path: Path) -> set[tuple[str, str]]:
    with closing(sqlite3.connect(path)) as db:
        return set(db.execute("select name, coalesce(sql, '') from sqlite_master"))


def missing(then: Any, now: Any, where: str = "") -> Iterator[str]:
    """Where `now` does not have what `then` had; a later format may have more fields."""
    if isinstance(then, dict) and isinstance(now, dict):
        for key in then:
            yield from missing(then[key], now.get(key), f"{where}/{key}")
    elif isinstance(then, list) and isinstance(now, list) and len(then) == len(now):
        for place, (old, new) in enumerate(zip(then, now, strict=True)):
            yield from missing(old, new, f"{where}/{place}")
    elif then != now:
        yield f"{where}: {now!r}, not {then!r}"


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_a_file_of_each_format_up_to_today_is_kept() -> None:
    assert list(FORMATS) == list(range(1, SCHEMA + 1))
    for number in FORMATS:
        path = RELEASED / f"format_{number}.vatside"
        assert path.read_bytes()[60:64] == number.to_bytes(4, "big")
        assert [table for table, count in rows(path).items() if not count] == []


def test_it_gives_back_all_it_held_and_is_sound(released: Path) -> None:
    then = json.loads((RELEASED / f"{released.stem}.json").read_text(encoding="utf-8"))
    with Journal.open(released) as journal:
        assert journal.check() == []
        assert list(missing(then, given_back(journal))) == []
        for make in journal.makes.all():
            assert journal.whole(make.id or 0).make == make
        assert [path.read_bytes()[:4] for path in journal.photos.all()] == [b"\x89PNG"]
    assert released.read_bytes()[60:64] == SCHEMA.to_bytes(4, "big")


def test_it_has_the_schema_of_a_new_file(released: Path, tmp_path: Path) -> None:
    """So a step that was released is still the same step."""
    new = tmp_path / "new.vatside"
    Journal.create(new).close()
    Journal.open(released).close()
    assert schema(released) == schema(new)


def test_it_can_be_gone_on_with(released: Path) -> None:
    with Journal.open(released) as journal:
        before = given_back(journal)
        plan = journal.plans.latest()[0]
        make = journal.makes.begin(plan, Milk(10.0), 1_790_000_000_000)
        assert make.code == "HL-0004"
        journal.readings.log(make.id or 0, "milk-temp", 8.4, 1_790_000_001_000)
        journal.undo()
        journal.undo()
        assert given_back(journal) == before
        assert journal.check() == []


def test_opening_it_read_only_changes_nothing(released: Path, tmp_path: Path) -> None:
    before = contents(tmp_path)
    then = json.loads((RELEASED / f"{released.stem}.json").read_text(encoding="utf-8"))
    with Journal.open(released, read_only=True) as journal:
        assert journal.check() == []
        assert list(missing(then, given_back(journal))) == []
    assert contents(tmp_path) == before


def test_the_script_still_writes_what_a_file_of_its_format_holds(
    released: Path, tmp_path: Path
) -> None:
    """Only ids of the world (uuids, the times rows were kept) may differ."""
    from tests.keeping.released.write_format import write

    if released.stem != f"format_{SCHEMA}":
        pytest.skip("a file of an earlier format was written by the program of that format")
    (tmp_path / "again").mkdir()
    again = write(tmp_path / "again")
    assert rows(again) == rows(released)


def test_what_was_damaged_stays_so_in_the_format_of_today(tmp_path: Path) -> None:
    """A weight that was changed behind the program's back in an older file: the file is read
    without it, is not moved on, and is rescued without it."""
    path = Path(shutil.copy(RELEASED / "format_2.vatside", tmp_path / "kitchen.vatside"))
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("update weighing set weight_kg = weight_kg + 1 where id = 1")
    before = path.read_bytes()
    with Journal.open(path, read_only=True) as journal:
        unsound = [one for one in journal.check() if one.id == "keeping.row-unsound"]
        assert [one.values for one in unsound] == [{"noun": "weighing", "key": 1}]
        assert 1 not in {weighing.id for weighing in journal.weighings.all()}
        makes = journal.makes.all()
        moves = [care.room_id for care in journal.cares.all()]
    with refused(KeepingError, "keeping.not-copied-to-move"):
        Journal.open(path)
    assert path.read_bytes() == before
    rescue(path, tmp_path / "rescued.vatside")
    with Journal.open(tmp_path / "rescued.vatside") as journal:
        assert [one for one in journal.check() if one.id == "keeping.row-unsound"] == []
        assert journal.makes.all() == makes
        assert [care.room_id for care in journal.cares.all()] == moves
        assert [one.id for one in journal.weighings.all()] == [2, 3, 4]
    then, now = rows(path), rows(tmp_path / "rescued.vatside")
    assert {table: count - now[table] for table, count in then.items() if count > now[table]} == {
        "weighing": 1
    }
