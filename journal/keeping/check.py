"""Whether a journal is sound: the file, its references, its blocks, its records."""

from __future__ import annotations

import sqlite3
import zlib
from typing import TYPE_CHECKING

import numpy as np

from journal.keeping.blocks import unpack
from journal.records import RecordError

if TYPE_CHECKING:
    from journal.keeping.journal import Journal


def faults(journal: Journal, db: sqlite3.Connection) -> list[str]:
    """What is not sound, a sentence each; empty when all is well."""
    found = [
        f"The file itself: {row[0]}."
        for row in db.execute("pragma integrity_check(20)")
        if row[0] != "ok"
    ]
    for table, row, parent, _ in db.execute("pragma foreign_key_check"):
        found.append(f"Row {row} of {table} refers to a {parent} that is not there.")
    found.extend(_bad_blocks(db))
    found.extend(_bad_records(journal, db))
    found.extend(
        f"The photo {name} is not in {journal.photos.folder.name}."
        for name in journal.photos.missing()
    )
    return found


def _bad_blocks(db: sqlite3.Connection) -> list[str]:
    found = []
    rows = db.execute(
        'select id, first_ms, last_ms, "count", coding, "at", value, flags from reading_block'
    )
    for key, first, last, count, coding, at, value, flags in rows:
        try:
            instants, values, _ = unpack(first, count, coding, at, value, flags)
        except (zlib.error, ValueError) as error:
            found.append(f"Block {key} of readings cannot be read: {error}.")
            continue
        whole = len(instants) == len(values) == count
        if not whole or instants[-1] != last or np.any(np.diff(instants) < 0):
            found.append(f"Block {key} of readings does not hold what it says it holds.")
    return found


def _bad_records(journal: Journal, db: sqlite3.Connection) -> list[str]:
    found = []
    for keeper in journal.keepers():
        try:
            keeper.all()
        except RecordError as error:
            found.append(f"A {keeper.noun} is impossible: {error}")
    codes = [row[0] for row in db.execute("select id from plan order by id")]
    for key in codes:
        try:
            journal.plans.get(key)
        except RecordError as error:
            found.append(f"Plan {key} is impossible: {error}")
    for (code,) in db.execute(
        "select code from make where finished_ms is not null and finished_ms < started_ms"
    ):
        found.append(f"{code} is finished before it began.")
    for code, kind in db.execute(
        "select m.code, r.kind from stage_run r join make m on m.id = r.make_id "
        "where r.ended_ms is not null and (r.began_ms is null or r.ended_ms < r.began_ms)"
    ):
        found.append(f"The {kind} of {code} ends before it began.")
    return found
