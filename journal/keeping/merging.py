"""One journal takes what another copy of it has: rows, readings, photos, and the acts they came of.

`merged.py` says what both are together; here the receiving journal is made that, as one act.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from journal.keeping.backups import Backup
from journal.keeping.changes import Changes
from journal.keeping.errors import KeepingError
from journal.keeping.history import insert_act, new_act
from journal.keeping.merge_readings import MergedReadings
from journal.keeping.merge_side import CODED, LISTED, Cells, MergeSide
from journal.keeping.merged import Merged, Renamed, Stay, TwoValues
from journal.keeping.seats import COPY
from journal.keeping.streaming import Ids
from journal.message import Message

CHOICE = "keeping.act-merge-choice"
CODES = "keeping.act-merge-codes"
Choices = Collection[tuple[str, str, str]]  # noun, UUID, column: the other value is to stand


@dataclass(frozen=True)
class Merge:
    """What a merge brings or brought: rows that came, changed and went by their table; readings
    that came, and those that were struck or went; acts of the other's; photos; what both wrote,
    what stays though one deleted it, new codes; and the backup of what was before (None: nothing
    was done yet, or nothing came)."""

    came: Mapping[str, int]
    changed: Mapping[str, int]
    went: Mapping[str, int]
    readings: int
    marked: int
    acts: int
    photos: int
    differences: tuple[TwoValues, ...]
    stay: tuple[Stay, ...]
    renamed: tuple[Renamed, ...]
    backup: Backup | None = None

    @property
    def empty(self) -> bool:
        """Whether there is nothing that comes, changes or goes."""
        rows = self.came or self.changed or self.went
        return not (rows or self.readings or self.marked or self.acts or self.photos)


class Merging:
    """Two copies of a journal, as they stand now."""

    def __init__(self, here: sqlite3.Connection, there: sqlite3.Connection) -> None:
        self._db = here
        self._seen = _versions(here, there)
        self._here, self._there = MergeSide(here), MergeSide(there)
        self._here.beside(self._there)
        self._there.beside(self._here)
        self._readings = MergedReadings(self._here, self._there)
        self._merged = Merged(self._here, self._there, self._readings.makes)
        self._new: dict[str, dict[str, Cells]] = {}
        self._changed: dict[str, dict[str, Cells]] = {}
        self._gone: dict[str, list[str]] = {}
        for table in LISTED:
            self._compare(table, self._here.rows[table], self._merged.rows[table])

    def _compare(self, table: str, before: dict[str, Cells], after: dict[str, Cells]) -> None:
        self._gone[table] = [uuid for uuid in before if uuid not in after]
        self._new[table] = {uuid: cells for uuid, cells in after.items() if uuid not in before}
        self._changed[table] = {
            uuid: {c: v for c, v in cells.items() if v != before[uuid].get(c)}
            for uuid, cells in after.items()
            if uuid in before and cells != before[uuid]
        }

    def is_old(self) -> bool:
        """Whether another connection wrote to one of the files since."""
        return self._seen != _versions(self._db, self._there.db)

    def found(self, photos: int, backup: Backup | None = None) -> Merge:
        """What comes, in numbers, with what is to be said."""
        came, changed, went = (
            {table: len(rows) for table, rows in each.items() if rows}
            for each in (self._new, self._changed, self._gone)
        )
        return Merge(
            came, changed, went, *self._readings.counted(self._merged.rows["make"]),
            len(self._there.done - self._here.acts.keys()), photos, tuple(self._merged.differences),
            tuple(self._merged.stay), tuple(self._merged.renamed), backup,
        )  # fmt: skip

    def write(self, changes: Changes) -> None:
        """Make the receiving journal what both are, within a unit that is open."""
        self._db.execute("pragma defer_foreign_keys = on")
        ids = Ids(self._db)
        keys = {table: dict(found) for table, found in self._here.ids.items()}
        for table, rows in self._new.items():
            keys[table] |= dict(zip(rows, ids.fresh_run(table, len(rows)), strict=True))
        for table, gone in self._gone.items():
            self._db.executemany(f'delete from "{table}" where uuid = ?', [(u,) for u in gone])
        for table, rows in self._changed.items():
            for uuid, cells in rows.items():
                self._update(table, keys[table][uuid], self._own(table, cells, keys))
        for table, rows in self._new.items():
            for uuid, cells in rows.items():
                row = {"id": keys[table][uuid], "uuid": uuid, **self._own(table, cells, keys)}
                names = ", ".join(f'"{name}"' for name in row)
                marks = ", ".join("?" * len(row))
                self._db.execute(
                    f'insert into "{table}" ({names}) values ({marks})', list(row.values())
                )
        makes = {uuid: keys["make"][uuid] for uuid in self._merged.rows["make"]}
        touched = self._readings.write(self._db, makes, self._here)
        self._copy_verdicts()
        self._copy_acts(keys)
        self._note_renamed(keys)
        self._touch(changes, touched, keys)

    def _update(self, table: str, key: int, row: Cells) -> None:
        assign = ", ".join(f'"{name}" = ?' for name in row)
        self._db.execute(f'update "{table}" set {assign} where id = ?', [*row.values(), key])

    def _own(self, table: str, cells: Cells, keys: dict[str, dict[str, int]]) -> Cells:
        """A row with this journal's ids in place of UUIDs."""

        def key_of(parent: str, uuid: Any) -> int | None:
            return keys[parent].get(uuid)

        row = self._here.refer(table, cells, key_of)
        if table == "bin" and "row" in row:
            noun = str(cells.get("noun") or "")
            row["row"] = json.dumps(self._here.refer(noun, json.loads(row["row"]), key_of))
        return row

    def _touch(
        self, changes: Changes, touched: set[str], keys: dict[str, dict[str, int]]
    ) -> None:  # fmt: skip
        for each in (self._new, self._changed, self._gone):
            for table, rows in each.items():
                if rows:
                    changes.touch(table)
        for uuid in (*touched, *self._new["make"], *self._changed["make"]):
            changes.touch("reading" if uuid in touched else "make", keys["make"].get(uuid))

    def _copy_verdicts(self) -> None:
        """What was said of eating a make is kept as a setting; all others stay as they are."""
        rows = self._there.db.execute("select key, value from setting where key like 'verdict %'")
        self._db.executemany("insert or ignore into setting (key, value) values (?, ?)", rows)

    # Acts

    def _copy_acts(self, keys: dict[str, dict[str, int]]) -> None:
        """The other's acts come along with what they changed, so that each journal knows what the
        other knew; undo leaves them alone."""
        there = self._there
        own = {
            table: {key: keys[table].get(uuid, -key) for key, uuid in found.items()}
            for table, found in there.uuids.items()
        }
        known = dict(self._db.execute("select uuid, id from act").fetchall())
        names = dict(there.db.execute("select id, uuid from act").fetchall())
        ids = Ids(self._db)
        for row in there.db.execute(
            "select id, uuid, at_ms, stamp, name, by, kinds, makes, undoes, undone_ms from act "
            "order by stamp, uuid"
        ).fetchall():
            key, uuid, at_ms, stamp, name, by, kinds, makes, undoes, undone_ms = row
            if uuid in known:
                continue
            known[uuid] = ids.fresh("act")
            mapped = [own["make"].get(one, -one) for one in json.loads(makes)]
            self._db.execute(
                "insert into act (id, uuid, at_ms, stamp, name, by, seat, kinds, makes, undoes, "
                "undone_ms) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (known[uuid], uuid, at_ms, stamp, name, by, COPY, kinds, json.dumps(mapped),
                 known.get(names.get(undoes, "")), undone_ms),
            )  # fmt: skip
            self._copy_rows(key, known[uuid], own)
        self._mark_undone()

    def _note_renamed(self, keys: dict[str, dict[str, int]]) -> None:
        """New codes are written by nobody but the merge: an act that counts, beside it."""
        if not self._merged.renamed:
            return
        nouns = frozenset(one.noun for one in self._merged.renamed)
        act = insert_act(self._db, new_act(Message(CODES), "", COPY, nouns, frozenset()))
        for one in self._merged.renamed:
            now = self._merged.rows[one.noun][one.uuid][CODED[one.noun]]
            was = type(now)(one.was)
            sides = (json.dumps({CODED[one.noun]: value}) for value in (was, now))
            self._db.execute(
                "insert into history (act_id, noun, key, row_uuid, before, after) "
                "values (?, ?, ?, ?, ?, ?)",
                (act, one.noun, keys[one.noun][one.uuid], one.uuid, *sides),
            )

    def _copy_rows(self, act: int, into: int, own: dict[str, dict[int, int]]) -> None:
        def key_of(parent: str, key: Any) -> Any:
            return own[parent].get(key, -key) if isinstance(key, int) else key

        rows = []
        for noun, key, row_uuid, *sides in self._there.db.execute(
            "select noun, key, row_uuid, before, after from history where act_id = ? order by id",
            (act,),
        ):
            texts = [side and json.dumps(self._portable(noun, side, key_of)) for side in sides]
            rows.append((into, noun, own.get(noun, {}).get(key, -key), row_uuid, *texts))
        self._db.executemany(
            "insert into history (act_id, noun, key, row_uuid, before, after) "
            "values (?, ?, ?, ?, ?, ?)", rows,
        )  # fmt: skip

    def _portable(self, noun: str, side: str, key_of: Any) -> Cells:
        row = self._there.refer(noun, json.loads(side), key_of)
        if isinstance(row.get("id"), int):
            row["id"] = key_of(noun, row["id"]) if noun != "reading_log" else -row["id"]
        return row

    def _mark_undone(self) -> None:
        """An act is undone where the last that took it back was not taken back itself."""
        rows = self._db.execute("select id, undoes, at_ms from act order by stamp desc, uuid desc")
        undone: dict[int, int | None] = {}
        for key, undoes, at_ms in rows.fetchall():
            if undoes is not None:
                undone.setdefault(undoes, at_ms if undone.get(key) is None else None)
        self._db.executemany(
            "update act set undone_ms = ? where id = ? and (undone_ms is null) <> (? is null)",
            [(at_ms, key, at_ms) for key, at_ms in undone.items()],
        )

    def choose(self, changes: Changes, choices: Choices) -> None:
        """Let the other value of these differences stand; an act of its own."""
        wanted = [one for one in self._merged.differences
                  if (one.noun, one.uuid, one.column) in choices]  # fmt: skip
        if not wanted:
            return
        ids = {table: dict(self._db.execute(f'select uuid, id from "{table}"').fetchall())
               for table in LISTED}  # fmt: skip
        with changes.unit(CHOICE):
            for one in wanted:
                other = self._merged.values[one.noun, one.uuid, one.column]
                row = self._own(one.noun, {one.column: other}, ids)
                self._update(one.noun, ids[one.noun][one.uuid], row)
                changes.touch(one.noun)


def _versions(*files: sqlite3.Connection) -> list[int]:
    return [int(db.execute("pragma data_version").fetchone()[0]) for db in files]


def check_mergeable(here: Path, there: Path, origins: tuple[str, str]) -> None:
    """KeepingError when two journals are no copies of each other, or are one file."""
    if here.samefile(there):
        raise KeepingError("keeping.merge-itself", file=there.name)
    if origins[0] != origins[1]:
        raise KeepingError("keeping.other-origin", file=here.name, other=there.name)
