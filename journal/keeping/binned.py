"""The bin: what was deleted, brought back whole, and the one way to delete it for good."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import Any

from journal.keeping.called import RowName, RowNamer
from journal.keeping.changes import Changes
from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.history import UNDOABLE, bury, columns_of
from journal.keeping.outcomes import OutcomeKeeper
from journal.keeping.photos import PhotoStore
from journal.keeping.rows import NOUNS
from journal.message import UNREADABLE

_SOFT = ("make", "plan", "wheel", "tasting", "panel_test", "series", "ingredient", "generation",
         "brine", "room", "assessor", "milk_lot")  # fmt: skip
# What refers to a row without being its own: it stays, and refers to nothing from then on.
_LOOSE = {
    ("addition", "ingredient_id"),
    ("addition", "generation_id"),
    ("brine_stay", "wheel_id"),
    ("care", "from_room_id"),
    ("care", "room_id"),
    ("generation", "from_make_id"),
    ("generation", "parent_id"),
    ("make", "whey_from_make_id"),
    ("series", "plan_id"),
    ("series_make", "make_id"),
    ("source", "make_id"),
    ("source", "room_id"),
    ("wheel", "cut_from_id"),
    ("wheel", "room_id"),
}
# What is not dropped with the row it refers to: that row stays for as long as this does.
_NEEDS = {
    ("brine_stay", "brine_id"),
    ("milk_use", "milk_lot_id"),
    ("calibration", "make_id"),
    ("defect_mark", "assessor_id"),
    ("panel_item", "wheel_id"),
    ("panel_set", "assessor_id"),
    ("sample_note", "assessor_id"),
    ("score", "assessor_id"),
    ("serving", "assessor_id"),
}
# Of plans those that were deleted, all versions of a name; one that is set aside is none.
_LISTED = {
    "plan": "t.binned_ms is not null and not exists (select 1 from plan o where o.name = t.name "
    "and (o.binned_ms is null or (o.binned_ms, o.id) > (t.binned_ms, t.id))) "
    "and uuid not in (select uuid from series_make)",
    "wheel": "t.binned_ms is not null and not exists "
    "(select 1 from make m where m.id = t.make_id and m.binned_ms = t.binned_ms)",
    "tasting": "t.binned_ms is not null and not exists "
    "(select 1 from make m where m.binned_ms = t.binned_ms)",
    "panel_test": "t.binned_ms is not null and not exists "
    "(select 1 from make m where m.binned_ms = t.binned_ms)",
}


@dataclass(frozen=True)
class Binned:
    """A record in the bin.

    Attributes
    ----------
    id : str
        What it is brought back by, "make-3".
    at_ms : int
        When it was deleted.
    """

    id: str
    called: RowName
    at_ms: int


@dataclass(frozen=True)
class _Gone:
    noun: str
    key: int
    uuid: str
    photo: str


class BinKeeper:
    """Lists what was deleted, brings it back, and deletes it for good."""

    def __init__(
        self,
        db: sqlite3.Connection,
        changes: Changes,
        outcomes: OutcomeKeeper,
        photos: PhotoStore,
    ) -> None:
        self._db = db
        self._photos = photos
        self._changes = changes
        self._outcomes = outcomes

    def all(self) -> list[Binned]:
        """What is in the bin, the last deleted first; what went with a make lies under it."""
        caller = RowNamer(self._db)
        found = []
        for noun in _SOFT:
            rows = self._db.execute(
                f'select id, binned_ms from "{noun}" t where binned_ms is not null '
                f"and {_LISTED.get(noun, 'true')}"
            )
            found += [Binned(f"{noun}-{k}", caller.of_key(noun, k), at) for k, at in rows]
        for key, noun, row, at_ms in self._db.execute("select id, noun, row, binned_ms from bin"):
            found.append(Binned(f"bin-{key}", caller.of_row(noun, _read(row)), at_ms))
        return sorted(found, key=lambda one: (-one.at_ms, one.id))

    def restore(self, ids: list[str]) -> None:
        """Bring records back with all that was deleted with them, as one change.

        Raises
        ------
        KeepingError
            When one is not in the bin, or lacks what it hangs on; nothing is changed then.
        """
        there = {one.id: one for one in self.all()}
        for wanted in ids:
            if wanted not in there:
                raise KeepingError("keeping.not-in-the-bin", what=wanted)
        with self._changes.unit("keeping.act-bin-restore"):
            for wanted in ids:
                noun, _, key = wanted.rpartition("-")
                if noun == "bin":
                    self._put_back(int(key))
                else:
                    self._unmark(noun, int(key), there[wanted].at_ms)

    def empty(self) -> int:
        """Delete what is in the bin for good, with what hangs on it, its photos and its history;
        how many records were deleted. What others cannot be without stays: a plan that makes were
        made by, a person who scored."""
        photos: set[str] = set()
        total = 0
        with self._changes.appending("keeping.act-bin-empty"):
            self._db.execute("pragma defer_foreign_keys = on")
            gone = [self._leaf(*row) for row in self._db.execute("select id, noun, row from bin")]
            self._db.execute("delete from bin where id is not null")
            total = len(gone)
            while doomed := self._doomed():
                total += sum(len(keys) for noun, keys in doomed.items() if noun in _SOFT)
                gone += self._delete(doomed)
            for noun in {row.noun for row in gone}:
                self._changes.touch(noun)
            photos = {row.photo for row in gone if row.photo}
            bury(self._db, [(row.noun, row.key, row.uuid) for row in gone])
        self._photos.drop(photos)
        return total

    def _leaf(self, key: int, noun: str, row: str) -> _Gone:
        kept = _read(row)
        return _Gone(noun, 0, str(kept.get("uuid", "")), str(kept.get("photo", "")))

    def _delete(self, doomed: dict[str, set[int]]) -> list[_Gone]:
        gone = []
        for noun, column in _LOOSE:
            keys = doomed.get(self._parents(noun)[column], ())
            self._db.executemany(
                f'update "{noun}" set "{column}" = null where "{column}" = ?', [(k,) for k in keys]
            )
        for noun, keys in doomed.items():
            known = columns_of(self._db, noun)
            uuid, photo = (each if each in known else "''" for each in ("uuid", "photo"))
            for key in keys:
                asked = f'select {uuid}, {photo} from "{noun}" where id = ?'
                gone.append(_Gone(noun, key, *self._db.execute(asked, (key,)).fetchone()))
                self._db.execute(f'delete from "{noun}" where id = ?', (key,))
        return gone

    def _doomed(self) -> dict[str, set[int]]:
        """The rows that go: those marked that nothing else needs, and what is theirs."""
        doomed: dict[str, set[int]] = {}
        for noun in _SOFT:
            rows = self._db.execute(f'select id from "{noun}" where binned_ms is not null')
            doomed[noun] = {row[0] for row in rows}
        while needed := self._needed(doomed):
            for noun, key in needed:
                doomed[noun].discard(key)
        fresh = True
        while fresh:
            fresh = False
            for noun, column, parent in self._ties():
                if noun in _SOFT or not doomed.get(parent):
                    continue
                there = doomed.setdefault(noun, set())
                new = self._referring(noun, column, doomed[parent]) - there
                there |= new
                fresh = fresh or bool(new)
        return {noun: keys for noun, keys in doomed.items() if keys}

    def _needed(self, doomed: dict[str, set[int]]) -> set[tuple[str, int]]:
        """Which of the marked rows a record that stays cannot be without."""
        return {
            (parent, key)
            for noun, column, parent in self._ties()
            if noun in _SOFT or (noun, column) in _NEEDS
            for key in doomed.get(parent, ())
            if self._referring(noun, column, {key}) - doomed.get(noun, set())
        }

    def _ties(self) -> list[tuple[str, str, str]]:
        """What cannot be without what: a table, its column, and the table that refers to."""
        return [
            (noun, column, parent)
            for noun in UNDOABLE
            for column, parent in self._parents(noun).items()
            if (noun, column) not in _LOOSE
        ]

    def _referring(self, noun: str, column: str, keys: set[int]) -> set[int]:
        rows = self._db.execute(
            f'select id from "{noun}" where "{column}" in (select value from json_each(?))',
            (json.dumps(sorted(keys)),),
        )
        return {row[0] for row in rows}

    def _parents(self, noun: str) -> dict[str, str]:
        refers = self._db.execute(f'pragma main.foreign_key_list("{noun}")').fetchall()
        return {row[3]: row[2] for row in refers}

    def _unmark(self, noun: str, key: int, at_ms: int) -> None:
        if noun == "make":
            self._outcomes.bring_back(key)
            return
        for column, parent in self._parents(noun).items():
            if parent == "plan" or parent not in _SOFT or (noun, column) in _LOOSE:
                continue
            lacking = self._db.execute(
                f'select 1 from "{parent}" p join "{noun}" t on t."{column}" = p.id '
                "where t.id = ? and p.binned_ms is not null",
                (key,),
            ).fetchone()
            if lacking:
                raise KeepingError("keeping.bin-needs", noun=noun, parent=parent)
        if noun == "plan":
            self._db.execute(
                "update plan set binned_ms = null where binned_ms = ? "
                "and name = (select name from plan where id = ?)",
                (at_ms, key),
            )
        else:
            self._db.execute(f'update "{noun}" set binned_ms = null where id = ?', (key,))
        self._changes.touch(noun)

    def _put_back(self, key: int) -> None:
        noun, kept = self._db.execute("select noun, row from bin where id = ?", (key,)).fetchone()
        row = _read(kept)
        if noun not in NOUNS or not set(row) <= set(NOUNS[noun].columns()):
            raise DamageError("keeping.records-damaged")
        quoted = ", ".join(f'"{column}"' for column in row)
        marks = ", ".join("?" * len(row))
        self._db.execute(f'insert into "{noun}" ({quoted}) values ({marks})', list(row.values()))
        self._db.execute("delete from bin where id = ?", (key,))
        make_id = row.get("make_id")
        self._changes.touch(noun, make_id if isinstance(make_id, int) else None)


def _read(row: str) -> dict[str, Any]:
    try:
        return dict(json.loads(row))
    except UNREADABLE as error:
        raise DamageError("keeping.records-damaged") from error
