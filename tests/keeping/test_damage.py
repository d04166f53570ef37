"""Damaged files and files that may only be read: a sentence, and nothing left beside them."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from journal.keeping import DamageError, Journal, KeepingError
from journal.keeping.sums import add_sums, tables_of
from journal.message import Message
from journal.records.makes import Make, Milk
from journal.records.plans import Plan
from journal.wording import text_of
from tests.refusals import refused

from .conftest import START

N = 600


@pytest.fixture
def path(tmp_path: Path, plan: Plan) -> Path:
    """A closed journal, alone in its folder, with one block of readings."""
    where = tmp_path / "dairy" / "kitchen.vatside"
    where.parent.mkdir()
    with Journal.create(where, zone="Europe/London") as journal:
        make = journal.makes.begin(plan, Milk(12.0), START)
        at = START + 60_000 * np.arange(N)
        journal.readings.add_many(make.id or 0, "milk-temp", at, 31 + np.arange(N) / 1000, "log")
    return where


def spoil(path: Path, statement: str) -> None:
    """Change a row and its sum with it, as a program with a fault would."""
    db = sqlite3.connect(path)
    db.execute(statement)
    for table in tables_of(db):
        db.execute(f'update "{table}" set sum = null')
    add_sums(db)
    db.commit()
    db.close()


def alone(path: Path) -> bool:
    return [one.name for one in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize(
    "change",
    [
        "\"at\" = x'0011'",
        "value = x'0011'",
        "flags = x'0011'",
        "value = (select \"at\" from reading_block), coding = 'float'",
        '"count" = "count" + 1',
    ],
)
def test_a_damaged_block_is_a_sentence_and_check_says_whose(path: Path, change: str) -> None:
    spoil(path, f"update reading_block set {change}")
    with Journal.open(path, read_only=True) as journal:
        make: Make = journal.makes.by_code("latest")
        with refused(DamageError, "keeping.readings-damaged"):
            journal.whole(make.id or 0)
        found = journal.check()
    assert [one.values["make"] for one in found] == ["HL-0001"]
    output = text_of(found[0])
    assert f"{N:,} milk-temp readings" in output or "601 milk-temp readings" in output
    assert "HL-0001, from 2025-10-09 09:53 on" in output


def test_a_damaged_outline_is_a_sentence(path: Path) -> None:
    spoil(path, "update reading_block set outline = x'001122'")
    with Journal.open(path) as journal, refused(DamageError, "keeping.readings-damaged"):
        journal.readings.outline(1, "milk-temp")


def test_a_damaged_list_in_a_row_is_a_sentence(path: Path) -> None:
    with Journal.open(path) as journal:
        tables = journal._db.execute("select count(*) from reading_block").fetchone()
        assert tables == (1,)
    spoil(path, "update plan set taste_at_days = '[60'")
    with Journal.open(path, read_only=True) as journal:
        assert journal.check() == [Message("keeping.plan-damaged", key=1)]
        with refused(DamageError, "keeping.records-damaged"):
            journal.plans.get(1)
    spoil(path, "update plan set taste_at_days = '[60]'")
    spoil(path, "update stage_run set again_ms = '[60' where position = 1")
    with Journal.open(path, read_only=True) as journal:
        assert journal.check() == [Message("keeping.record-damaged", noun="stage_run")]


@pytest.mark.parametrize("left", [100, 2000, 5000, 0.5, -1])
@pytest.mark.parametrize("read_only", [True, False])
def test_a_file_cut_short_is_told_and_left_alone(path: Path, left: float, read_only: bool) -> None:
    whole = path.read_bytes()
    size = int(left if left >= 1 else len(whole) * left if left > 0 else len(whole) + left)
    path.write_bytes(whole[:size])
    with refused(DamageError, "keeping.file-cut-short", there=size, whole=len(whole)):
        Journal.open(path, read_only=read_only)
    assert path.read_bytes() == whole[:size]
    assert alone(path)


def test_a_page_overwritten_anywhere_leaves_nothing_behind(path: Path) -> None:
    whole = path.read_bytes()
    report = 0
    for page in range(1, len(whole) // 4096, 7):
        spoilt = bytearray(whole)
        spoilt[page * 4096 : (page + 1) * 4096] = bytes(range(256)) * 16
        path.write_bytes(spoilt)
        try:
            with Journal.open(path, read_only=True) as journal:
                report += bool(journal.check())
        except DamageError:
            report += 1
        assert alone(path), page
    assert report > 0


def test_opening_for_writing_says_what_a_spoilt_page_spoils(path: Path) -> None:
    whole = path.read_bytes()
    for page in range(1, len(whole) // 4096, 3):
        spoilt = bytearray(whole)
        spoilt[page * 4096 : (page + 1) * 4096] = bytes(range(256)) * 16
        path.write_bytes(spoilt)
        output = ""
        try:
            Journal.open(path).close()
        except KeepingError as error:
            output = text_of(error)
        assert not output or "damaged" in output
        assert alone(path), page


Locked = Callable[[str], str]


@pytest.fixture
def locked(path: Path, tmp_path: Path) -> Locked:
    """Runs Python on the journal in a folder that cannot be written to, without root's rights."""

    def run(body: str) -> str:
        for parent in (tmp_path, *tmp_path.parents):  # whoever else tests closes the one they share
            if os.access(parent, os.W_OK) and parent != Path("/"):
                parent.chmod(parent.stat().st_mode | 0o055)
        path.chmod(0o444)
        path.parent.chmod(0o555)
        say = (
            "import os, sys\nfrom journal.keeping import Journal, KeepingError\n"
            "from journal.wording import text_of\n"
            "if os.getuid() == 0: os.setuid(65534)\n"
            f"try:\n    {body}\nexcept KeepingError as error: print(text_of(error))\n"
        )
        words = [sys.executable, "-c", say, str(path)]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        path.parent.chmod(0o755)
        assert not done.stderr, done.stderr
        return done.stdout.strip()

    return run


def test_reading_works_where_writing_does_not(path: Path, locked: Locked) -> None:
    output = locked(
        "j = Journal.open(sys.argv[1], read_only=True); "
        "print(j.makes.rows()[0].readings, j.check()); j.close()"
    )
    assert output == f"{N} []"
    assert alone(path)


def test_writing_there_is_refused_with_what_to_do(path: Path, locked: Locked) -> None:
    assert "cannot be written to" in locked("Journal.open(sys.argv[1])")
    assert alone(path)


def test_open_changes_beside_a_locked_file_are_read(path: Path, locked: Locked) -> None:
    whole = path.read_bytes()
    with Journal.open(path) as journal:
        journal.set_setting("zone", "Europe/Rome")
        beside = path.with_name(f"{path.name}-wal").read_bytes()
    path.write_bytes(whole)
    path.with_name(f"{path.name}-wal").write_bytes(beside)
    before = {entry.name: entry.read_bytes() for entry in path.parent.iterdir()}
    output = locked("print(Journal.open(sys.argv[1], read_only=True).zone)")
    assert output == "Europe/Rome"
    assert "cannot be written to" in locked("Journal.open(sys.argv[1])")
    assert {entry.name: entry.read_bytes() for entry in path.parent.iterdir()} == before


def test_damage_is_an_error_of_this_room() -> None:
    assert issubclass(DamageError, KeepingError)


def test_a_schema_with_letters_of_no_language_is_said(path: Path) -> None:
    """SQLite's own words about it have those letters too."""
    whole = path.read_bytes()
    spoilt = whole.replace(b"INTEGER PRIMARY KEY", b"INTEGER\xa0PRIMARY KEY", 1)
    assert spoilt != whole
    path.write_bytes(spoilt)
    for read_only in (True, False):
        with pytest.raises(DamageError) as error:
            Journal.open(path, read_only=read_only)
        refused(error, "keeping.file-damaged", file=path.name)
    assert path.read_bytes() == spoilt


@pytest.mark.parametrize(
    ("table", "now", "then"),
    [("make", '"zone" TEXT', '"zonf" TEXT'), ("plan", '"mould_mm" REAL', '"mould_mm" TEXT')],
)
def test_a_damaged_word_about_a_table_is_said_as_damage(path, table, now, then) -> None:
    spoil(path, "update plan set mould_mm = 200")
    with sqlite3.connect(path) as db:
        db.execute("pragma writable_schema = on")
        (sql,) = db.execute("select sql from sqlite_master where name = ?", (table,)).fetchone()
        assert now in sql
        hurt = sql.replace(now, then)
        db.execute("update sqlite_master set sql = ? where name = ?", (hurt, table))
    db.close()
    with Journal.open(path, read_only=True) as journal:
        assert journal.check()
        with pytest.raises(DamageError, match="damaged"):
            assert journal.makes.rows() == [journal.whole(1)]
