"""Whether a journal is sound: the file, its references, its sums, its blocks, its records, its
photos. It looks at the tables themselves, and no damage ends it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any

import numpy as np

from journal.keeping.all_keepers import Keepers
from journal.keeping.blocks import unpack
from journal.keeping.errors import DamageError
from journal.keeping.improbable import ends_before, out_of_time, twice
from journal.keeping.sums import RowKey, leaving_out, tables_of, unsound_rows
from journal.message import Instant, Message
from journal.records import RecordError

DAMAGED = "keeping.pages-damaged"
Check = Callable[[sqlite3.Connection], Iterator[Message]]
_BLOCKS = """
select b.id, b.first_ms, b.last_ms, b."count", b.coding, b."at", b.value, b.flags,
       t.kind, m.code, m.zone
from main.reading_block b left join main.trace t on t.id = b.trace_id
left join main.make m on m.id = t.make_id
"""
_MOST_LINES = 20


def faults(journal: Keepers, db: sqlite3.Connection) -> list[Message]:
    """What is not sound, a message each; empty when all is well."""
    looks: list[Check] = [bad_pages, _bad_references, _unsound, _bad_blocks, _impossible(journal)]
    return gathered(db, [*looks, ends_before, _photos(journal)])


def doubts(db: sqlite3.Connection) -> list[Message]:
    """What can be read but cannot have been so: impossible times, the same thing twice."""
    return gathered(db, [out_of_time, twice])


def gathered(db: sqlite3.Connection, looks: list[Check]) -> list[Message]:
    """What the looks find; where one meets a page that cannot be read, that the file is damaged."""
    found: list[Message] = []
    damaged = False
    for look in looks:
        try:
            with leaving_out(db):
                found.extend(look(db))
        except (sqlite3.Error, ValueError, TypeError, OverflowError, AttributeError):
            damaged = True  # what another look has not named
    if damaged and not any(one.id in _NAMED for one in found):
        found.insert(0, Message("keeping.file-itself-damaged"))
    return found


_NAMED = (DAMAGED, "keeping.row-unsound", "keeping.block-damaged")


def quick_faults(db: sqlite3.Connection, *, thorough: bool) -> list[Message]:
    """The faults of the file and its sums alone; of its indexes too when `thorough`."""
    return gathered(db, [bad_pages if thorough else _broken_pages, _unsound])


def bad_pages(db: sqlite3.Connection) -> Iterator[Message]:
    """What SQLite's own check says of the pages and indexes."""
    return _pages(db, "integrity_check")


def _broken_pages(db: sqlite3.Connection) -> Iterator[Message]:
    return _pages(db, "quick_check")


def _pages(db: sqlite3.Connection, check: str) -> Iterator[Message]:
    found = db.execute(f"pragma {check}({_MOST_LINES})").fetchall()
    lines = [
        " ".join(str(line).split())
        for (row,) in found
        for line in str(row).splitlines()
        if row != "ok"
    ]
    if lines:
        yield Message(DAMAGED, lines="; ".join(lines[:_MOST_LINES]))


def _bad_references(db: sqlite3.Connection) -> Iterator[Message]:
    for table, row, parent, _ in db.execute("pragma foreign_key_check"):
        yield Message("keeping.row-refers-to-nothing", row=row, noun=table, parent=parent)


def _unsound(db: sqlite3.Connection) -> Iterator[Message]:
    for table in tables_of(db):
        try:
            for key in unsound_rows(db, table):
                yield _unsound_row(db, key)
        except sqlite3.Error:
            yield Message("keeping.rows-not-read", noun=table)


def _unsound_row(db: sqlite3.Connection, row_key: RowKey) -> Message:
    table, key = row_key
    if table == "reading_block":
        with suppress(sqlite3.Error, ValueError, TypeError):
            row = db.execute(f"{_BLOCKS} where b.id = ?", (key,)).fetchone()
            return Message("keeping.block-damaged", **_readings(row[3], row[1], *row[8:]))
    return Message("keeping.row-unsound", noun=table, key=key)


def _bad_blocks(db: sqlite3.Connection) -> Iterator[Message]:
    """Blocks that do not hold what they say they hold, though their sums hold."""
    unsound = {key for _, key in unsound_rows(db, "reading_block")}
    for (key,) in db.execute("select id from main.reading_block order by id").fetchall():
        if key in unsound:
            continue
        _, first, last, count, coding, at, value, flags, *of = db.execute(
            f"{_BLOCKS} where b.id = ?", (key,)
        ).fetchone()
        which = _readings(count, first, *of)
        try:
            instants, _, _ = unpack(first, count, coding, at, value, flags)
        except DamageError:
            yield Message("keeping.block-damaged", **which)
            continue
        if not count or instants[-1] != last or np.any(np.diff(instants) < 0):
            yield Message("keeping.block-unordered", **which)


def _readings(
    count: int, first_ms: int, kind: str | None, code: str | None, zone: str | None
) -> dict[str, Any]:
    """Which readings a block holds: how many, of what, of which make, from when on."""
    make = code or Message("keeping.of-no-make")
    since = Instant(int(first_ms), zone or "UTC")
    return {"readings": int(count), "kind": kind or "", "make": make, "since": since}


def _impossible(journal: Keepers) -> Check:
    def look(db: sqlite3.Connection) -> Iterator[Message]:
        for keeper in journal.keepers():
            try:
                keeper.all()
            except RecordError as error:
                yield Message("keeping.record-impossible", noun=keeper.noun, why=error.message)
            except DamageError as error:
                if not _is_named(error):
                    yield Message("keeping.record-damaged", noun=keeper.noun)
        for (key,) in db.execute("select id from main.plan order by id").fetchall():
            try:
                journal.plans.get(key)
            except RecordError as error:
                yield Message("keeping.plan-impossible", key=key, why=error.message)
            except DamageError as error:
                if not _is_named(error):
                    yield Message("keeping.plan-damaged", key=key)

    return look


def _is_named(error: DamageError) -> bool:
    """Whether the look at pages and sums names it."""
    return error.id in ("keeping.row-damaged", "keeping.journal-damaged")


def _photos(journal: Keepers) -> Check:
    def look(_: sqlite3.Connection) -> Iterator[Message]:
        photos = journal.photos
        lost = photos.lost()
        if lost is not None:
            yield lost
            return
        for name in photos.missing():
            yield Message("keeping.photo-missing", photo=name, folder=photos.folder.name)
        for path in photos.damaged():
            yield Message("keeping.photo-damaged", photo=path.name, folder=path.parent.name)

    return look
