"""A sum for each row: kept whoever writes, tried whoever reads, and never made right by chance."""

from __future__ import annotations

import sqlite3
import struct
from contextlib import closing
from pathlib import Path
from zlib import crc32

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.keeping import DamageError, Journal, KeepingError
from journal.keeping.backups import restore
from journal.keeping.sums import row_sum, tables_of, unsound_rows
from journal.message import Message
from journal.records.makes import Make, Milk, Note
from journal.records.plans import Plan
from tests.refusals import refused

from .conftest import START

WHOLE = 2**63


def written(value: object) -> bytes:
    """The published writing of one value, byte by byte."""
    if value is None:
        return b"N"
    if isinstance(value, float):
        return b"g" + struct.pack("<d", value)
    if isinstance(value, bytes):
        return b"s" + struct.pack("<i", len(value)) + value
    if isinstance(value, str):
        return b"u" + struct.pack("<i", len(value.encode())) + value.encode()
    assert isinstance(value, int)
    if -(2**31) <= value < 2**31:
        return b"i" + struct.pack("<i", value)
    digits = []
    left = abs(value)
    while left:
        digits.append(struct.pack("<H", left & 0x7FFF))
        left >>= 15
    return b"l" + struct.pack("<i", len(digits) * (1 if value > 0 else -1)) + b"".join(digits)


@given(
    st.lists(
        st.none()
        | st.integers(-WHOLE, WHOLE - 1)
        | st.floats(allow_nan=False)
        | st.binary(max_size=40)
    )
)
def test_a_sum_is_that_of_the_published_writing(values: list[object]) -> None:
    row = ["make", *values]
    whole = b"(" + struct.pack("<i", len(row)) + b"".join(map(written, row))
    assert row_sum(*row) == crc32(whole)


def unsound(path: Path) -> list[tuple[str, int | str]]:
    with closing(sqlite3.connect(path)) as db:
        return [place for table in tables_of(db) for place in unsound_rows(db, table)]


def spoil(path: Path, statement: str) -> None:
    """Change a row as a damage would: its sum stays."""
    with closing(sqlite3.connect(path)) as db, db:
        db.execute(statement)


@pytest.fixture
def path(tmp_path: Path, plan: Plan) -> Path:
    """A closed journal with two makes, notes, wheels, a log and a block of readings."""
    where = tmp_path / "kitchen.vatside"
    with Journal.create(where, zone="Europe/London") as journal:
        for day in range(2):
            make = journal.makes.begin(plan, Milk(12.0), START + day * 86_400_000)
            at = make.started_ms + 60_000 * np.arange(300)
            journal.readings.add_many(make.id or 0, "milk-temp", at, 31 + at % 7 / 10, "log")
            journal.readings.log(make.id or 0, "milk-ph", 6.6, make.started_ms + 5)
            journal.notes.save(Note(make.started_ms, "clean cut", make_id=make.id))
            journal.makes.add_wheels(make, (1.25, 2), START + 10**8)
            journal.readings.strike(make.id or 0, "milk-temp", int(at[3]), 31 + int(at[3]) % 7 / 10)
        journal.notes.remove(1)
        journal.undo()
        journal.redo()
        journal.set_setting("lamp", "on")
        journal.set_setting("lamp", "off")
    return where


def test_every_row_has_its_sum_whoever_wrote_it(path: Path) -> None:
    assert unsound(path) == []
    with closing(sqlite3.connect(path)) as db:
        names = {r[0] for r in db.execute("select name from sqlite_master where type = 'table'")}
        assert names - set(tables_of(db)) == {"_sqlite_migrations"}


@pytest.mark.parametrize("read_only", [True, False])
def test_a_changed_number_is_never_shown(path: Path, read_only: bool) -> None:
    spoil(path, "update wheel set green_weight_kg = 1.75 where id = 2")
    with Journal.open(path, read_only=read_only) as journal:
        with refused(DamageError, "keeping.row-damaged", noun="wheel", key=2):
            journal.wheels.get(2)
        with refused(DamageError, "keeping.row-damaged", noun="wheel", key=2):
            journal.whole(1)
        assert len(journal.wheels.all()) == 3
        assert journal.left_out() == [Message("keeping.row-unsound", noun="wheel", key=2)]
        assert journal.check() == [Message("keeping.row-unsound", noun="wheel", key=2)]


@pytest.mark.parametrize(
    "statement",
    [
        "update reading_log set value = 6.5 where id = 1",
        "update reading_log set sum = null where id = 1",
        "update trace set kind = 'curd-ph' where kind = 'milk-ph' and make_id = 1",
        "update make set code = cast(code as blob) where id = 1",
        "update make set milk_litres = 12.000000000000002 where id = 1",
        "update reading_log set id = 77 where id = 1",
    ],
)
def test_whatever_is_changed_the_make_is_not_read(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("pragma writable_schema = on")
        db.execute("update sqlite_master set sql = replace(sql, ') STRICT', ')')")
    spoil(path, statement)
    with Journal.open(path) as journal, pytest.raises(DamageError):
        journal.whole(1)


def test_a_list_goes_without_a_damaged_make_and_says_so(path: Path) -> None:
    spoil(path, "update make set milk_litres = 13 where id = 1")
    output: list[int] = []
    with Journal.open(path) as journal:
        journal.on_left_out(lambda: output.append(1))
        assert [row.id for row in journal.makes.rows()] == [2]
        assert [row.id for row in journal.makes.rows()] == [2]
        assert journal.left_out() == [Message("keeping.row-unsound", noun="make", key=1)]
    assert output == [1]


def test_no_change_makes_a_damaged_row_right(path: Path, plan: Plan) -> None:
    spoil(path, "update note set text = 'clean cat' where id = 2")
    with Journal.open(path) as journal:
        note = Note(START, "another", make_id=2, id=2)
        with refused(DamageError, "keeping.row-damaged", noun="note", key=2):
            journal.notes.save(note)
        with refused(DamageError, "keeping.row-damaged", noun="note", key=2), journal.unit("all"):
            journal.notes.all()
        assert journal.makes.begin(plan, Milk(9.0), START).code == "HL-0003"
    assert unsound(path) == [("note", 2)]


def test_a_damaged_reading_is_not_folded_away(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("journal.keeping.readings.FOLD_AT", 1)
    spoil(path, "update reading_log set value = 6.5 where id = 1")
    Journal.open(path).close()
    assert ("reading_log", 1) in unsound(path)


def test_a_plan_with_a_damaged_stage_is_left_out_whole(path: Path, plan: Plan) -> None:
    with Journal.open(path) as journal:
        journal.plans.save(Plan("other", plan.stages))
    spoil(path, "update stage set minutes = 300 where id = 2")
    with Journal.open(path) as journal:
        assert [one.name for one in journal.plans.latest()] == ["other"]
        assert journal.left_out() == [Message("keeping.row-unsound", noun="stage", key=2)]
        with pytest.raises(KeepingError):
            journal.plans.by_name(plan.name)


def test_no_statement_reads_a_table_beside_its_sums(path: Path) -> None:
    """Every read of a table goes through its view, but for the reads that an index answers."""
    past: set[tuple[str, str]] = set()
    index_only = {"reading_log", "reading_block", "trace"}
    aside = "sqlite_", "way_", "check", "json_each"  # not tables of ours; the last is a function

    def look(action: int, table: str, column: str, base: str, view: str) -> int:
        if action == sqlite3.SQLITE_READ and base == "main" and view is None and column != "id":
            past.add((table, column))
        return sqlite3.SQLITE_OK

    with Journal.open(path) as journal:
        make: Make = journal.makes.by_code("latest")
        journal._db.set_authorizer(look)
        journal.makes.rows()
        journal.whole(make.id or 0)
        journal.care_tasks.lives()
        for keeper in journal.keepers():
            keeper.all()
        journal.plans.in_use()
        journal.sessions.wheels()
        journal._db.set_authorizer(None)
    assert {table for table, _ in past if not table.startswith(aside)} <= index_only


def test_a_damaged_journal_makes_no_backup_and_a_backup_takes_its_place(path: Path) -> None:
    with Journal.open(path) as journal:
        sound = journal.back_up(START)
    spoil(path, "update wheel set green_weight_kg = 1.75 where id = 2")
    with Journal.open(path) as window:
        with refused(KeepingError, "keeping.not-backed-up"):
            window.back_up(START + 10**6)
        assert window.backups() == [sound]
        assert restore(path, sound.path, START + 2 * 10**6) is None
        assert window.wheels.get(2).green_weight_kg == 2.0
    (kept,) = path.parent.glob("kitchen-damaged-*.vatside")
    assert unsound(kept) == [("wheel", 2)]
    assert unsound(path) == []


def test_a_fault_of_a_statement_is_no_damage_of_the_file(path: Path) -> None:
    with Journal.open(path) as journal:
        with pytest.raises(sqlite3.OperationalError, match="no such function"):
            journal._db.execute("select nosuch(1)").fetchall()
        with pytest.raises(DamageError):
            journal._db.execute("select nosuch from make").fetchall()
