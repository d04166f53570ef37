"""Where a journal comes from: a UUID that all its copies share."""

from __future__ import annotations

import sqlite3
from uuid import NAMESPACE_URL, uuid5

from journal.records.plans import new_uuid

_FIRST = ("make", "plan", "ingredient", "wheel", "assessor")


def origin_of(db: sqlite3.Connection) -> str:
    """A journal's UUID. One of format 1 has none of its own: it is that of its first record, so
    that two copies of an older journal share it; "" for an empty one.

    Raises
    ------
    sqlite3.Error
        When it is no journal, or cannot be read.
    """
    found = setting_of(db, "uuid")
    for table in () if found else _FIRST:
        row = db.execute(f'select uuid from "{table}" order by id limit 1').fetchone()
        if row is not None:
            return uuid5(NAMESPACE_URL, str(row[0])).hex
    return found


def give_origin(db: sqlite3.Connection) -> None:
    """Write down the UUID of a journal that has none yet."""
    if not setting_of(db, "uuid"):
        values = ["uuid", origin_of(db) or new_uuid()]
        db.execute("insert into setting (key, value) values (?, ?)", values)


def setting_of(db: sqlite3.Connection, key: str) -> str:
    """A setting of a journal's file, "" where it is not set."""
    row = db.execute("select value from setting where key = ?", [key]).fetchone()
    return str(row[0]) if row is not None else ""
