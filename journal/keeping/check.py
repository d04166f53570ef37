"""Whether a journal is sound: the file, its references, its blocks, its records."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import numpy as np

from journal.keeping import DamageError
from journal.keeping.blocks import unpack
from journal.quantities.counts import counted
from journal.records import RecordError
from journal.records.instants import local

if TYPE_CHECKING:
    from journal.keeping.journal import Journal


_DAMAGED = (
    "The file itself is damaged. Copy it away before anything else; what still opens can be "
    "exported."
)


def faults(journal: Journal, db: sqlite3.Connection) -> list[str]:
    """What is not sound, a sentence each; empty when all is well."""
    found: list[str] = []
    damaged = False
    for look in (_bad_pages, _bad_references, _bad_blocks, _bad_records(journal), _gone(journal)):
        try:
            found.extend(look(db))
        except sqlite3.DatabaseError:
            damaged = True
    if damaged and not (found and found[0].startswith(_DAMAGED)):
        found.insert(0, _DAMAGED)
    return found


def _bad_pages(db: sqlite3.Connection) -> list[str]:
    rows = [row[0] for row in db.execute("pragma integrity_check(20)") if row[0] != "ok"]
    lines = [" ".join(line.split()) for row in rows for line in row.splitlines()]
    return [f"{_DAMAGED} In it: {'; '.join(lines[:20])}."] if lines else []


def _bad_references(db: sqlite3.Connection) -> Iterator[str]:
    for table, row, parent, _ in db.execute("pragma foreign_key_check"):
        yield f"Row {row} of {table} refers to a {parent} that is not there."


def _gone(journal: Journal) -> Callable[[sqlite3.Connection], list[str]]:
    def look(_: sqlite3.Connection) -> list[str]:
        folder = journal.photos.folder.name
        return [f"The photo {name} is not in {folder}." for name in journal.photos.missing()]

    return look


def _bad_blocks(db: sqlite3.Connection) -> Iterator[str]:
    rows = db.execute(
        'select b.first_ms, b.last_ms, b."count", b.coding, b."at", b.value, b.flags, '
        "t.kind, m.code, m.zone from reading_block b left join trace t on t.id = b.trace_id "
        "left join make m on m.id = t.make_id order by b.id"
    )
    for first, last, count, coding, at, value, flags, *of in rows:
        which = _readings(count, first, *of)
        try:
            instants, _, _ = unpack(first, count, coding, at, value, flags)
        except DamageError:
            yield f"{which} are damaged and cannot be read."
            continue
        if not count or instants[-1] != last or np.any(np.diff(instants) < 0):
            yield f"{which} are not in order, or not from the time they are said to be from."


def _readings(count: int, first_ms: int, kind: str | None, code: str | None, zone: str) -> str:
    """ "48 milk-temp readings of HL-0001, from 2026-07-14 08:00 on," """
    begins = local(first_ms, zone or "UTC").strftime("%Y-%m-%d %H:%M")
    return f"{counted(count, f'{kind} reading')} of {code or 'no make'}, from {begins} on,"


def _bad_records(journal: Journal) -> Callable[[sqlite3.Connection], Iterator[str]]:
    def look(db: sqlite3.Connection) -> Iterator[str]:
        yield from _impossible(journal, db)
        yield from _out_of_order(db)

    return look


def _impossible(journal: Journal, db: sqlite3.Connection) -> Iterator[str]:
    for keeper in journal.keepers():
        try:
            keeper.all()
        except RecordError as error:
            yield f"A {keeper.noun} is impossible: {error}"
        except DamageError:
            yield f"A {keeper.noun} is damaged and cannot be read."
    codes = [row[0] for row in db.execute("select id from plan order by id")]
    for key in codes:
        try:
            journal.plans.get(key)
        except RecordError as error:
            yield f"Plan {key} is impossible: {error}"
        except DamageError:
            yield f"Plan {key} is damaged and cannot be read."


def _out_of_order(db: sqlite3.Connection) -> Iterator[str]:
    for (code,) in db.execute(
        "select code from make where finished_ms is not null and finished_ms < started_ms"
    ):
        yield f"{code} is finished before it began."
    for code, kind in db.execute(
        "select m.code, r.kind from stage_run r join make m on m.id = r.make_id "
        "where r.ended_ms is not null and (r.began_ms is null or r.ended_ms < r.began_ms)"
    ):
        yield f"The {kind} of {code} ends before it began."
