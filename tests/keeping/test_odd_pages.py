"""Pages as SQLite wrote them, read without SQLite: they say the same, and a broken one says so."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from journal.keeping.pages import INTERIOR, Pages

LONG = "ä" * 5000
ROWS = [
    (-5, None, 1.5, b"\x00\x01", 0), (1, "rind", -0.0, b"", 1), (2, LONG, 1e300, bytes(9000), 127),
    (300, "", 2.0, None, -(2**15)), (70_000, "x", 0.25, b"y", 2**23),
    (2**40, "z", 3.5, b"z", 2**47), (2**62, "last", 4.5, b"w" * 200, -(2**63)),
]  # fmt: skip


def made(path: Path, size: int, *, wal: bool = False) -> sqlite3.Connection:
    """A file with those rows, and pages that hold nothing any more."""
    db = sqlite3.connect(path, isolation_level=None)
    db.execute(f"pragma page_size = {size}")
    db.execute(f"pragma journal_mode = {'wal' if wal else 'delete'}")
    db.execute("create table t (id integer primary key, a text, b real, c blob, d integer)")
    db.execute("create table gone (id integer primary key, a text)")
    db.execute("begin")
    db.executemany("insert into t values (?, ?, ?, ?, ?)", ROWS)
    db.executemany("insert into gone values (?, ?)", [(n, "q" * 300) for n in range(60)])
    db.execute("commit")
    db.execute("drop table gone")
    return db


def read(path: Path) -> dict[int, list[object] | None]:
    """The rows of the table, by its root that the schema's page names."""
    pages = Pages(path)
    root = next(r[3] for _, r in pages.rows(1) if r is not None and r[1] == "t")
    return {key: row and row[1:] for leaf in pages.walk(root).leaves
            for key, row in pages.rows(leaf)}  # fmt: skip


@pytest.mark.parametrize("size", [512, 4096, 65_536])
@pytest.mark.parametrize("wal", [False, True])
def test_the_rows_are_those_that_sqlite_reads(tmp_path: Path, size: int, wal: bool) -> None:
    path = tmp_path / "t.db"
    with closing(made(path, size, wal=wal)) as db:
        assert read(path) == {row[0]: list(row[1:]) for row in ROWS}
        assert Pages(path).size == size
        free = db.execute("pragma freelist_count").fetchone()[0]
        assert len(Pages(path).free()) == free > 0


def test_an_overflowing_row_whose_pages_are_broken_is_none_and_the_others_stay(
    tmp_path: Path,
) -> None:
    path = tmp_path / "t.db"
    made(path, 512).close()
    whole = read(path)
    raw = bytearray(path.read_bytes())
    first = raw.index(LONG.encode()[:40]) // 512  # a leaf, or the first page that it goes on in
    chain = next(n for n in range(first, len(raw) // 512)
                 if raw[512 * n + 4 : 512 * n + 44] in LONG.encode()[:200])  # fmt: skip
    for following in (0, chain + 1, 2**31):  # nowhere, itself, past the end
        raw[512 * chain : 512 * chain + 4] = following.to_bytes(4, "big")
        path.write_bytes(raw)
        assert read(path) == whole | {2: None}
    assert 2 in whole


def test_a_record_that_does_not_end_with_its_cell_is_none(tmp_path: Path) -> None:
    path = tmp_path / "t.db"
    made(path, 4096).close()
    raw = path.read_bytes()
    at = raw.index(b"last")
    assert raw[at - 1] == 6  # the head's last type: an integer of 8 bytes
    path.write_bytes(raw[: at - 1] + b"\x05" + raw[at:])
    found = read(path)
    assert [key for key, row in found.items() if row is None] == [2**62]


def test_a_cell_that_leads_past_its_page_is_none(tmp_path: Path) -> None:
    path = tmp_path / "t.db"
    made(path, 4096).close()
    whole, raw = read(path), path.read_bytes()
    page = next(n for n in range(1, len(raw) // 4096) if b"last" in raw[4096 * n :][:4096])
    first = 4096 * page + 8  # where the page's first cell is said to begin
    for at in (4095, 4090):
        path.write_bytes(raw[:first] + at.to_bytes(2, "big") + raw[first + 2 :])
        found = read(path)
        assert {key: row for key, row in found.items() if row} == {
            key: row for key, row in whole.items() if found.get(key)
        }
        assert len([row for row in found.values() if row]) < len(whole)
    at = raw.index(b"last") - 18  # the cell: its length, its id, its head
    path.write_bytes(raw[:at] + b"\xff" * 8 + raw[at + 8 :])  # lengths of many pages
    assert None in read(path).values()


@pytest.mark.parametrize(
    ("at", "stays"), [(0, False), (8, False), (24, False), (32 + 8, False), (32 + 24 + 99, False)]
)
def test_a_log_beside_the_file_counts_as_far_as_its_sums_hold(
    tmp_path: Path, at: int, stays: bool
) -> None:
    path, log = tmp_path / "t.db", tmp_path / "t.db-wal"
    with closing(made(path, 4096, wal=True)) as db:
        db.execute("pragma wal_checkpoint(truncate)")
        before = read(path)
        db.execute("update t set a = 'dry' where id = 1")
        changed = read(path)
        kept, raw = path.read_bytes(), bytearray(log.read_bytes())
    raw[at] ^= 0xFF
    path.write_bytes(kept)
    log.write_bytes(raw)
    assert changed == before | {1: ["dry", *before[1][1:]]}
    assert (read(path) == changed) is stays
    assert read(path) == before


def test_what_is_no_database_has_no_rows(tmp_path: Path) -> None:
    path = tmp_path / "t.db"
    for data in (b"", b"\x00" * 100, b"\x05" * 5000, b"SQLite format 3\0" + b"\xff" * 9000):
        path.write_bytes(data)
        pages = Pages(path)
        assert not pages.walk(2).whole
        assert pages.kind(99) == 0
        assert [row for number in pages.numbers() if pages.kind(number) != INTERIOR
                for _, row in pages.rows(number) if row] == []  # fmt: skip
