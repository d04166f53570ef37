"""One of two journals that are merged: its rows by their UUIDs, and when what of them was written.

Ids differ between two copies of a journal, so that here a reference is the UUID of the row meant.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from typing import Any

from journal.keeping.history import UNDOABLE, columns_of

MERGE = "keeping.act-merge"
STREAMED = ("trace", "reading_log", "reading_block")  # readings are merged by what they say
LISTED = tuple(table for table in UNDOABLE if table not in STREAMED)
CODED = {"make": "code", "wheel": "code", "plan": "version"}  # what a merge may give anew

Cells = dict[str, Any]
RowsByTable = dict[str, dict[str, Cells]]


@dataclass(frozen=True, order=True)
class Write:
    """When something was written, and the UUID of the act that did it. The stamp of an act is its
    instant (UTC ms), but above those of all acts that were known when it was done."""

    stamp: int
    act: str


@dataclass
class Writes:
    """The last writes of a row's columns; `gone` is the act that deleted it, where it is."""

    cells: dict[str, Write] = field(default_factory=dict)
    gone: Write | None = None

    @property
    def last(self) -> Write | None:
        """The last of all."""
        found = [*self.cells.values(), *([self.gone] if self.gone is not None else [])]
        return max(found, default=None)


class MergeSide:
    """A journal as it stands.

    Attributes
    ----------
    rows : dict
        Table, then the row's UUID, then its columns without id, UUID and checksum.
    ids : dict
        Table, then the row's UUID; the id it has in this journal.
    acts : dict
        Every act that this journal knows; `done` are those that are no merge.
    """

    def __init__(self, db: sqlite3.Connection) -> None:
        self.db = db
        tables = (*LISTED, *STREAMED)
        self.parents = {table: _parents(db, table) for table in tables}
        self.ids = {t: _ids(db, t) for t in tables if t != "reading_log"}
        self.uuids = {t: {key: uuid for uuid, key in ids.items()} for t, ids in self.ids.items()}
        self.rows: RowsByTable = {table: dict(self._read(table)) for table in LISTED}
        self.acts = {
            uuid: Write(stamp, uuid) for uuid, stamp in db.execute("select uuid, stamp from act")
        }
        self.done = {uuid for (uuid,) in db.execute(
            "select uuid from act where undoes is not null or json_extract(name, '$.id') <> ?",
            (MERGE,),
        )}  # fmt: skip
        self._writes: dict[tuple[str, str], Writes] = {}
        self.cancelled: set[str] = set()

    def beside(self, other: MergeSide) -> None:
        """Leave out of what was written each act that was taken back here, with its taking back:
        together they are nothing, to a side that never knew of them and to one that knows of both.
        What took back an act that the other side knows is news there. (Not so a merge.)"""
        pairs = self.db.execute(
            "select u.uuid, x.uuid from act u join act x on x.id = u.undoes "
            "where x.undone_ms is not null and u.undone_ms is null "
            "and not (x.undoes is null and json_extract(x.name, '$.id') = ?)",
            (MERGE,),
        )
        alike = (pair for pair in pairs if len({uuid in other.acts for uuid in pair}) == 1)
        self.cancelled = {uuid for pair in alike for uuid in pair}

    def writes(self, table: str, uuid: str) -> Writes:
        """When the columns of a row were last written, as far as the history knows. What a merge
        wrote counts by the acts it came from."""
        if (table, uuid) not in self._writes:
            found = self._writes[table, uuid] = Writes()
            for act, stamp, before, after in self.db.execute(
                "select a.uuid, a.stamp, h.before is not null, h.after from history h "
                "join act a on a.id = h.act_id where h.row_uuid = ? and h.noun = ? "
                "and not (a.undoes is null and json_extract(a.name, '$.id') = ?) "
                "order by a.stamp, a.uuid, h.id",
                (uuid, table, MERGE),
            ):
                if act in self.cancelled:
                    continue
                write = Write(stamp, act)
                if after is None or not before:
                    found.gone = write if after is None else None
                found.cells |= dict.fromkeys(json.loads(after or "{}"), write)
        return self._writes[table, uuid]

    def key_of(self, table: str, value: Any) -> str | None:
        """The UUID of the row with that id; None where there is none."""
        return self.uuids[table].get(value)

    def _read(self, table: str) -> Iterator[tuple[str, Cells]]:
        columns = [c for c in columns_of(self.db, table) if c not in ("id", "uuid")]
        quoted = ", ".join(f'"{c}"' for c in columns)
        parents = self.parents[table]
        for uuid, *values in self.db.execute(f'select uuid, {quoted} from "{table}" order by id'):
            cells = dict(zip(columns, values, strict=True))
            for column, parent in parents.items():
                cells[column] = self.key_of(parent, cells[column])
            if table == "bin":
                cells["row"] = self._portable(cells["noun"], cells["row"])
            yield uuid, cells

    def _portable(self, noun: str, row: str) -> str:
        """A deleted row, as JSON, with UUIDs in place of ids."""
        return json.dumps(self.refer(noun, json.loads(row), self.key_of), sort_keys=True)

    def refer(self, noun: str, row: Cells, key_of: Any) -> Cells:
        """A row whose references to others are what `key_of` makes of them."""
        parents = self.parents.get(noun, {})
        return {
            name: key_of(parents[name], value) if name in parents and value is not None else value
            for name, value in row.items()
        }


def unknown_to(side: MergeSide, write: Write | None) -> bool:
    """Whether there is a write of which that side never heard."""
    return write is not None and write.act not in side.acts


def referrers(side: MergeSide, tables: Collection[str]) -> list[tuple[str, str, str]]:
    """Which columns refer to these tables: table, column, table referred to."""
    return [
        (table, column, parent)
        for table in LISTED
        for column, parent in side.parents[table].items()
        if parent in tables
    ]


def _parents(db: sqlite3.Connection, table: str) -> dict[str, str]:
    found = db.execute(f'pragma main.foreign_key_list("{table}")').fetchall()
    return {row[3]: row[2] for row in found}


def _ids(db: sqlite3.Connection, table: str) -> dict[str, int]:
    return dict(db.execute(f'select uuid, id from "{table}"').fetchall())
