"""The keeper of a simple noun: keep, get, find, and put in the bin."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from typing import Any, Generic, TypeVar

from journal.keeping.changes import Changes
from journal.keeping.errors import KeepingError
from journal.keeping.rows import Noun, with_id
from journal.keeping.sums import leaving_out
from journal.records.instants import now_ms

R = TypeVar("R")

# Which make a row of a table belongs to, for the notice.
_MAKE_OF = {
    "wheel": "select make_id from wheel where id = ?",
    "sample": "select make_id from wheel where id = (select wheel_id from sample where id = ?)",
}


class Keeper(Generic[R]):
    """Keeps the records of one noun in its table."""

    def __init__(self, db: sqlite3.Connection, changes: Changes, noun: Noun[R]) -> None:
        self._db = db
        self._changes = changes
        self._noun = noun
        self._columns = noun.columns()
        self._quoted = ", ".join(f'"{c}"' for c in self._columns)

    @property
    def noun(self) -> str:
        """The noun as its table is called."""
        return self._noun.table

    def save(self, record: R) -> R:
        """Insert (id None) or update; returns the record with its id. Durable when it returns.

        Raises
        ------
        KeepingError
            When the file refuses it; nothing is changed then.
        """
        return self.save_many([record])[0]

    def save_many(self, records: Iterable[R]) -> list[R]:
        """Keep several as one unit."""
        table = self._noun.table
        with self._changes.unit("keeping.act-keep", noun=table):
            return [self._save_one(record) for record in records]

    def get(self, key: int) -> R:
        """The record with that id; raises KeepingError when there is none."""
        found = self._select("id = ?", (key,))
        if not found:
            raise KeepingError("keeping.no-record", noun=self._noun.table, key=key)
        return found[0]

    def binned(self, key: int) -> R:
        """The record with that id wherever it is, also in the bin; KeepingError without one."""
        rows = self._db.execute(
            f'select {self._quoted}, id from "{self._noun.table}" where id = ?', (key,)
        ).fetchall()
        if not rows:
            raise KeepingError("keeping.no-record", noun=self._noun.table, key=key)
        return self._noun.back(rows[0])

    def all(self) -> list[R]:
        """All records outside the bin, in the order they were made; damaged ones are left out."""
        with leaving_out(self._db):
            return self._select("true", ())

    def where(self, **columns: Any) -> list[R]:
        """The records whose columns have these values; raises KeepingError for an unknown one."""
        unknown = set(columns) - {*self._columns, "id"}
        if unknown:
            raise KeepingError(
                "keeping.no-column", noun=self._noun.table, columns=tuple(sorted(unknown))
            )
        clause = " and ".join(f'"{c}" is ?' for c in columns)
        return self._select(clause or "true", tuple(columns.values()))

    def of_any(self, column: str, keys: Iterable[int | None], **also: Any) -> list[R]:
        """The records whose column has one of these values, and others the one named."""
        clauses = [
            f'"{column}" in (select value from json_each(?))',
            *(f'"{c}" is ?' for c in also),
        ]
        return self._select(" and ".join(clauses), (json.dumps(list(keys)), *also.values()))

    def remove(self, key: int) -> None:
        """Put the record in the bin (it can be brought back by undo)."""
        table = self._noun.table
        record = self.get(key)
        with self._changes.unit("keeping.act-remove", noun=table):
            self._touch(record, key)
            if self._noun.soft:
                self._db.execute(
                    f'update "{table}" set binned_ms = ? where id = ?', (now_ms(), key)
                )
                return
            self._to_bin(record, key)

    def _to_bin(self, record: R, key: int) -> None:
        table = self._noun.table
        row = json.dumps(dict(zip(self._columns, self._noun.values(record), strict=True)))
        self._db.execute(
            "insert into bin (uuid, noun, row, binned_ms) values (?, ?, ?, ?)",
            (f"{table}-{record.uuid}-{now_ms()}", table, row, now_ms()),  # type: ignore[attr-defined]
        )
        self._db.execute(f'delete from "{table}" where id = ?', (key,))

    def _select(self, clause: str, values: tuple[Any, ...]) -> list[R]:
        live = " and binned_ms is null" if self._noun.soft else ""
        rows = self._db.execute(
            f'select {self._quoted}, id from "{self._noun.table}" where ({clause}){live} '
            "order by id",
            values,
        )
        return [self._noun.back(row) for row in rows]

    def _save_one(self, record: R) -> R:
        table, values = self._noun.table, self._noun.values(record)
        key: int | None = record.id  # type: ignore[attr-defined]
        if key is None:
            marks = ", ".join("?" * len(values))
            cursor = self._db.execute(
                f'insert into "{table}" ({self._quoted}) values ({marks})', values
            )
            key = int(cursor.lastrowid or 0)
        else:
            assign = ", ".join(f'"{c}" = ?' for c in self._columns)
            done = self._db.execute(f'update "{table}" set {assign} where id = ?', [*values, key])
            if done.rowcount != 1:
                raise KeepingError("keeping.no-record", noun=table, key=key)
        self._touch(record, key)
        return with_id(record, key)

    def _touch(self, record: R, key: int) -> None:
        table = self._noun.table
        make_id = key if table == "make" else getattr(record, "make_id", None)
        if make_id is None:
            for owner, column in (("wheel", "wheel_id"), ("sample", "sample_id")):
                owner_id = getattr(record, column, None)
                if owner_id is not None:
                    row = self._db.execute(_MAKE_OF[owner], (owner_id,)).fetchone()
                    make_id = row[0] if row else None
        self._changes.touch(table, make_id)
