"""What was done: acts and the rows they changed, kept in the file; and how an act is taken back.

Triggers in the connection's temporary schema note what each row was before a change and after it,
as JSON; at the end of a unit they become one act, in the same transaction. Nothing of that is SQL:
an act is taken back by this program's own statements, each after a look whether the row still is
what the act made it.
"""

from __future__ import annotations

import json
import sqlite3
from base64 import b64decode, b64encode
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.seats import BIN, RESTORE
from journal.message import UNREADABLE, Instant, Message, plain, read_plain
from journal.records.instants import now_ms
from journal.records.plans import new_uuid

# Tables whose changes a person may take back. Folding readings into blocks is no change.
UNDOABLE = (
    "plan",
    "stage",
    "gate",
    "dose",
    "care_rule",
    "make",
    "stage_run",
    "addition",
    "ingredient",
    "generation",
    "brine",
    "brine_event",
    "brine_stay",
    "milk_lot",
    "milk_use",
    "note",
    "timer",
    "calibration",
    "tick",
    "entered",
    "comparison",
    "source",
    "trace",
    "reading_log",
    "reading_block",
    "room",
    "air_reading",
    "air_check",
    "away",
    "wheel",
    "weighing",
    "taken",
    "care",
    "own_care",
    "assessor",
    "tasting",
    "sample",
    "score",
    "defect_mark",
    "sample_note",
    "serving",
    "scale_word",
    "panel_test",
    "panel_item",
    "panel_set",
    "series",
    "series_make",
    "bin",
)
UNCOVERED = "sum"  # a row's checksum: it follows from the others, and its own triggers renew it

Row = dict[str, Any]


@dataclass(frozen=True)
class SavedAct:
    """One act as the file has it.

    Attributes
    ----------
    by : str
        The token of the journal that did it (`seats.py`).
    seat : str
        What that was: a window, a command.
    undoes : int | None
        The act that this one took back.
    undone_ms : int | None
        When this one was taken back; None while it stands.
    """

    id: int
    uuid: str
    at_ms: int
    name: Message
    by: str
    seat: str
    kinds: frozenset[str]
    makes: frozenset[int]
    undoes: int | None
    undone_ms: int | None


@dataclass(frozen=True)
class RowChange:
    """What an act did to one row: only the columns that changed, the whole row where it came or
    went. A blob stands in `before` as it was, in `after` as its digest.

    Attributes
    ----------
    noun : str
        The table.
    key : int
        The row's id then; `row_uuid` is "" where rows have none.
    before, after : dict | None
        None where the row was not there.
    """

    noun: str
    key: int
    row_uuid: str
    before: Row | None
    after: Row | None


# Noting


# A change is noted as two lines: the row before it and after it, empty where it was not there.
_NOTED = """
insert into history (act_id, noun, key, row_uuid, before, after)
select ?, noun, key, row_uuid, nullif(substr(change, 1, instr(change, char(10)) - 1), ''),
nullif(substr(change, instr(change, char(10)) + 1), '') from changed_row order by id
"""


def note_changes(db: sqlite3.Connection, noting: Callable[[], bool]) -> None:
    """Note each change of a row on this connection, for as long as `noting` says so."""
    db.execute("pragma temp_store = memory")
    db.execute(
        "create temp table changed_row (id integer primary key, noun text not null, "
        "key integer not null, row_uuid text not null, change text not null)"
    )
    for table in UNDOABLE:
        columns = columns_of(db, table)
        writer = _writer(columns, noting)
        db.create_function(f"changed_{table}", -1, writer, deterministic=False)
        for statement in _triggers(table, columns):
            db.execute(statement)


def columns_of(db: sqlite3.Connection, table: str) -> list[str]:
    """The columns of a table that the history has."""
    rows = db.execute(f'pragma main.table_info("{table}")').fetchall()
    return [row[1] for row in rows if row[1] != UNCOVERED]


def _triggers(table: str, columns: list[str]) -> Iterator[str]:
    of = ' of "' + '", "'.join(columns) + '"'
    old, new = (", ".join(f'{row}."{c}"' for c in columns) for row in ("old", "new"))
    for event, only, row, values in (
        ("insert", "", "new", f"'insert', {new}"),
        ("update", of, "old", f"'update', {old}, {new}"),
        ("delete", "", "old", f"'delete', {old}"),
    ):
        uuid = f"{row}.uuid" if "uuid" in columns else "''"
        # Without the limit SQLite would ask the function twice, for the row and for whether it is.
        yield (
            f'create temp trigger "changed_{table}_{event}" after {event}{only} '
            f'on main."{table}" begin '
            "insert into changed_row (noun, key, row_uuid, change) "
            f"select '{table}', {row}.id, {uuid}, change from "
            f'(select "changed_{table}"({values}) as change limit 1) where change is not null; end'
        )


def _writer(columns: list[str], noting: Callable[[], bool]) -> Callable[..., str | None]:
    def write(event: str, *values: Any) -> str | None:
        if not noting():
            return None
        if event == "insert":
            return "\n" + _json(_digests(dict(zip(columns, values, strict=True))))
        if event == "delete":
            return _json(_whole(dict(zip(columns, values, strict=True)))) + "\n"
        count = len(columns)
        pairs = list(zip(columns, values[:count], values[count:], strict=True))
        before = {name: old for name, old, new in pairs if not _same(old, new)}
        after = {name: new for name, old, new in pairs if name in before}
        return f"{_json(_whole(before))}\n{_json(_digests(after))}" if before else None

    return write


def _same(old: Any, new: Any) -> bool:
    return type(old) is type(new) and bool(old == new)


_json = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode
_json_of_act = json.JSONEncoder(default=str).encode


def _whole(row: Row) -> Row:
    return {
        name: {"base64": b64encode(value).decode()} if isinstance(value, bytes) else value
        for name, value in row.items()
    }


def _digests(row: Row) -> Row:
    return {
        name: {"sha256": sha256(value).hexdigest()} if isinstance(value, bytes) else value
        for name, value in row.items()
    }


def forget_changes(db: sqlite3.Connection) -> None:
    """What was noted is no act."""
    db.execute("delete from changed_row")


def keep_act(db: sqlite3.Connection, act: SavedAct) -> int | None:
    """Make what was noted an act; its id, or None when no row was changed."""
    if db.execute("select 1 from changed_row").fetchone() is None:
        return None
    key = insert_act(db, act)
    db.execute(_NOTED, (key,))
    forget_changes(db)
    return key


def insert_act(db: sqlite3.Connection, act: SavedAct) -> int:
    """Keep an act's own row; its id."""
    cursor = db.execute(
        "insert into act (uuid, at_ms, stamp, name, by, seat, kinds, makes, undoes) "
        "values (?1, ?2, max(?2, (select coalesce(max(stamp), 0) + 1 from act)), "
        "?3, ?4, ?5, ?6, ?7, ?8)",
        (act.uuid, act.at_ms, _json_of_act(plain(act.name)), act.by, act.seat,
         _json_of_act(sorted(act.kinds)), _json_of_act(sorted(act.makes)), act.undoes),
    )  # fmt: skip
    return int(cursor.lastrowid or 0)


def new_act(
    name: Message, by: str, seat: str, kinds: frozenset[str], makes: frozenset[int],
    undoes: int | None = None,
) -> SavedAct:  # fmt: skip
    """An act of this moment, not kept yet."""
    return SavedAct(0, new_uuid(), now_ms(), name, by, seat, kinds, makes, undoes, None)


def note_restore(db: sqlite3.Connection) -> None:
    """A backup was written over the journal: undo ends there. (One of format 1 has no acts.)"""
    if db.execute("select 1 from sqlite_master where name = 'act'").fetchone() is not None:
        kinds = frozenset((*UNDOABLE, "reading"))
        insert_act(db, new_act(Message("keeping.act-restore"), "", RESTORE, kinds, frozenset()))


def bury(db: sqlite3.Connection, rows: Sequence[tuple[str, int, str]]) -> None:
    """Rows (table, id, uuid) were deleted for good: nothing is left of them but that they were,
    and what changed them cannot be taken back."""
    kinds = frozenset(noun for noun, _, _ in rows)
    act = insert_act(db, new_act(Message("keeping.act-bin-empty"), "", BIN, kinds, frozenset()))
    theirs = "where row_uuid = ? and (row_uuid <> '' or (noun = ? and key = ?))"
    for noun, key, uuid in rows:
        db.execute(
            f"update act set undone_ms = ? where undone_ms is null "
            f"and id in (select act_id from history {theirs})",
            (now_ms(), uuid, noun, key),
        )
        db.execute(f"delete from history {theirs}", (uuid, noun, key))
        db.execute(
            "insert into history (act_id, noun, key, row_uuid, before) values (?, ?, ?, ?, '{}')",
            (act, noun, key, uuid),
        )


# Reading

_ACTS = "select id, uuid, at_ms, name, by, seat, kinds, makes, undoes, undone_ms from act"


def acts(
    db: sqlite3.Connection,
    clause: str = "where id is not null order by id",
    values: Sequence[Any] = (),
) -> Iterator[SavedAct]:
    """The acts by a clause of SQL behind `from act`; DamageError when one is unreadable."""
    for row in db.execute(f"{_ACTS} {clause}", values):
        key, uuid, at_ms, name, by, seat, kinds, makes, undoes, undone_ms = row
        try:
            yield SavedAct(
                key, uuid, at_ms, _message(name), by, seat,
                frozenset(map(str, json.loads(kinds))), frozenset(map(int, json.loads(makes))),
                undoes, undone_ms,
            )  # fmt: skip
        except UNREADABLE as error:
            raise DamageError("keeping.records-damaged") from error


def _message(kept: str) -> Message:
    found = read_plain(json.loads(kept))
    if not isinstance(found, Message):
        raise TypeError
    return found


def rows_of(db: sqlite3.Connection, act_id: int, most: int = -1) -> list[RowChange]:
    """What an act changed, in order, at most so many; DamageError when it is unreadable."""
    rows = db.execute(
        "select noun, key, row_uuid, before, after from history where act_id = ? "
        "order by id limit ?",
        (act_id, most),
    )
    return [_row_change(*row) for row in rows]


def _row_change(noun: str, key: int, uuid: str, before: str | None, after: str | None) -> RowChange:
    try:
        sides = [None if side is None else dict(json.loads(side)) for side in (before, after)]
    except UNREADABLE as error:
        raise DamageError("keeping.records-damaged") from error
    return RowChange(noun, key, uuid, *sides)


# Taking back


_HELD = (
    "select 1 from reading_log where trace_id = ? union all "
    "select 1 from reading_block where trace_id = ?"
)


class Reversal:
    """One act taken back within a transaction that is open.

    Raises
    ------
    KeepingError
        When a row is no longer what the act made it; the transaction is to be rolled back.
    """

    def __init__(self, db: sqlite3.Connection, act: SavedAct) -> None:
        self._db = db
        self._act = act
        self._moved: dict[tuple[str, int], int] = {}  # rows that came back under another id
        self._columns: dict[str, list[str]] = {}
        self._parents: dict[str, dict[str, str]] = {}
        for row in reversed(rows_of(db, act.id)):
            self._reverse(row)

    def _reverse(self, row: RowChange) -> None:
        named = {*(row.before or {}), *(row.after or {})}
        if not named or row.noun not in UNDOABLE or not named <= set(self._known(row.noun)):
            raise DamageError("keeping.records-damaged")
        if row.after is None:
            self._bring_back(row, row.before or {})
            return
        key = self._unchanged(row, row.after)
        if row.noun == "trace" and self._db.execute(_HELD, [key, key]).fetchone() is not None:
            return  # others have put readings of their own into it
        if row.before is None:
            self._db.execute(f'delete from "{row.noun}" where id = ?', (key,))
            return
        before = self._readable(row.noun, row.before)
        assign = ", ".join(f'"{name}" = ?' for name in before)
        self._db.execute(f'update "{row.noun}" set {assign} where id = ?', [*before.values(), key])

    def _unchanged(self, row: RowChange, after: Row) -> int:
        """The id of the row, which is what the act made it."""
        names = [name for name in after if name != "id"]
        quoted = "".join(f', "{name}"' for name in names)
        way, value = ("uuid", row.row_uuid) if row.row_uuid else ("id", row.key)
        if "uuid" in after:  # it is what the row was called after the act
            value = after["uuid"]
        found = self._db.execute(
            f'select id{quoted} from "{row.noun}" where "{way}" = ?', (value,)
        ).fetchone()
        if found is None:
            raise self._changed(row)
        now = _digests(dict(zip(names, found[1:], strict=True)))
        if any(now[name] != after[name] for name in names):
            raise self._changed(row)
        return int(found[0])

    def _bring_back(self, row: RowChange, before: Row) -> None:
        """The row that was deleted; under another id where another row has its own by now."""
        whole = self._readable(row.noun, before)
        if row.row_uuid and self._there(row.noun, "uuid", row.row_uuid):
            raise self._changed(row)
        if self._there(row.noun, "id", row.key):
            if not row.row_uuid:
                raise self._changed(row)
            del whole["id"]
        marks = ", ".join("?" * len(whole))
        quoted = ", ".join(f'"{name}"' for name in whole)
        cursor = self._db.execute(
            f'insert into "{row.noun}" ({quoted}) values ({marks})', list(whole.values())
        )
        if cursor.lastrowid != row.key:
            self._moved[row.noun, row.key] = int(cursor.lastrowid or 0)

    def _there(self, noun: str, column: str, value: object) -> bool:
        asked = f'select 1 from "{noun}" where "{column}" = ?'
        return self._db.execute(asked, (value,)).fetchone() is not None

    def _readable(self, noun: str, row: Row) -> Row:
        """A row as it was, its blobs themselves, what it refers to where that is now."""
        parents = self._parents[noun]
        try:
            return {
                name: b64decode(value["base64"])
                if isinstance(value, dict)
                else self._moved.get((parents.get(name, ""), value), value)
                for name, value in row.items()
            }
        except UNREADABLE as error:
            raise DamageError("keeping.records-damaged") from error

    def _known(self, noun: str) -> list[str]:
        if noun not in self._columns:
            self._columns[noun] = columns_of(self._db, noun)
            refers = self._db.execute(f'pragma main.foreign_key_list("{noun}")').fetchall()
            self._parents[noun] = {row[3]: row[2] for row in refers}
        return self._columns[noun]

    def _changed(self, row: RowChange) -> KeepingError:
        """Who changed the row since, as far as it is known."""
        clause = (
            "where id > ? and id in (select act_id from history where row_uuid = ? "
            "and noun = ? and (row_uuid <> '' or key = ?)) order by id desc limit 1"
        )
        values = (self._act.id, row.row_uuid, row.noun, row.key)
        for later in acts(self._db, clause, values):
            zone = self._db.execute("select value from setting where key = 'zone'").fetchone()
            return KeepingError(
                "keeping.changed-since", noun=row.noun, act=later.name, seat=later.seat,
                at=Instant(later.at_ms, zone[0] if zone else "UTC"),
            )  # fmt: skip
        return KeepingError("keeping.not-as-it-was", noun=row.noun)
