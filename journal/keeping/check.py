"""Whether a journal is sound: the file, its references, its blocks, its records."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from journal.keeping.all_keepers import Keepers
from journal.keeping.blocks import unpack
from journal.keeping.errors import DamageError
from journal.message import Instant, Message
from journal.records import RecordError

_DAMAGED = "keeping.pages-damaged"


def faults(journal: Keepers, db: sqlite3.Connection) -> list[Message]:
    """What is not sound, a message each; empty when all is well."""
    found: list[Message] = []
    damaged = False
    for look in (_bad_pages, _bad_references, _bad_blocks, _bad_records(journal), _gone(journal)):
        try:
            found.extend(look(db))
        except sqlite3.DatabaseError:
            damaged = True
    if damaged and not (found and found[0].id == _DAMAGED):
        found.insert(0, Message("keeping.file-itself-damaged"))
    return found


def _bad_pages(db: sqlite3.Connection) -> list[Message]:
    rows = [row[0] for row in db.execute("pragma integrity_check(20)") if row[0] != "ok"]
    lines = [" ".join(line.split()) for row in rows for line in row.splitlines()]
    return [Message(_DAMAGED, lines="; ".join(lines[:20]))] if lines else []


def _bad_references(db: sqlite3.Connection) -> Iterator[Message]:
    for table, row, parent, _ in db.execute("pragma foreign_key_check"):
        yield Message("keeping.row-refers-to-nothing", row=row, noun=table, parent=parent)


def _gone(journal: Keepers) -> Callable[[sqlite3.Connection], list[Message]]:
    def look(_: sqlite3.Connection) -> list[Message]:
        lost = journal.photos.lost()
        if lost is not None:
            return [lost]
        folder = journal.photos.folder.name
        return [
            Message("keeping.photo-missing", photo=name, folder=folder)
            for name in journal.photos.missing()
        ]

    return look


def _bad_blocks(db: sqlite3.Connection) -> Iterator[Message]:
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
            yield Message("keeping.block-damaged", **which)
            continue
        if not count or instants[-1] != last or np.any(np.diff(instants) < 0):
            yield Message("keeping.block-unordered", **which)


def _readings(
    count: int, first_ms: int, kind: str | None, code: str | None, zone: str | None
) -> dict[str, Any]:
    """Which readings a block holds: how many, of what, of which make, from when on."""
    make = code or Message("keeping.of-no-make")
    since = Instant(first_ms, zone or "UTC")
    return {"readings": count, "kind": kind, "make": make, "since": since}


def _bad_records(journal: Keepers) -> Callable[[sqlite3.Connection], Iterator[Message]]:
    def look(db: sqlite3.Connection) -> Iterator[Message]:
        yield from _impossible(journal, db)
        yield from _out_of_order(db)

    return look


def _impossible(journal: Keepers, db: sqlite3.Connection) -> Iterator[Message]:
    for keeper in journal.keepers():
        try:
            keeper.all()
        except RecordError as error:
            yield Message("keeping.record-impossible", noun=keeper.noun, why=error.message)
        except DamageError:
            yield Message("keeping.record-damaged", noun=keeper.noun)
    codes = [row[0] for row in db.execute("select id from plan order by id")]
    for key in codes:
        try:
            journal.plans.get(key)
        except RecordError as error:
            yield Message("keeping.plan-impossible", key=key, why=error.message)
        except DamageError:
            yield Message("keeping.plan-damaged", key=key)


def _out_of_order(db: sqlite3.Connection) -> Iterator[Message]:
    for (code,) in db.execute(
        "select code from make where finished_ms is not null and finished_ms < started_ms"
    ):
        yield Message("keeping.finished-before-it-began", make=code)
    for code, kind in db.execute(
        "select m.code, r.kind from stage_run r join make m on m.id = r.make_id "
        "where r.ended_ms is not null and (r.began_ms is null or r.ended_ms < r.began_ms)"
    ):
        yield Message("keeping.stage-ends-before-it-began", stage=kind, make=code)
