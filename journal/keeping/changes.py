"""Units of change: one transaction, one undo step, one notice of what changed."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from typing import Any

from journal.keeping.errors import KeepingError
from journal.message import Message

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
    "note",
    "timer",
    "calibration",
    "tick",
    "entered",
    "source",
    "trace",
    "reading_log",
    "reading_block",
    "room",
    "air_reading",
    "wheel",
    "weighing",
    "care",
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


STEPS_KEPT = 200  # how far back undo goes


@dataclass(frozen=True)
class Change:
    """What a unit changed: the tables, the makes concerned, who began it, and its name."""

    kinds: frozenset[str]
    makes: frozenset[int]
    name: Message
    initiator: object | None = None


@dataclass
class _Step:
    change: Change
    reverse: list[str]


@dataclass
class _Open:
    name: Message
    initiator: object | None
    kinds: set[str] = field(default_factory=set)
    makes: set[int] = field(default_factory=set)


class Changes:
    """The journal's transactions on one connection, and the way back.

    Triggers in the connection's temporary schema write, for every change of a row, the statement
    that reverses it. A unit takes its statements away when it commits; undo runs them in reverse
    order as a unit of its own, whose reverse is the redo.
    """

    def __init__(self, connection: sqlite3.Connection, *, reversible: bool) -> None:
        self._db = connection
        self._open: _Open | None = None
        self._listeners: list[Callable[[Change], None]] = []
        self._done: list[_Step] = []
        self._undone: list[_Step] = []
        self._reversible = reversible
        self._shape = _shape_of(connection)
        if reversible:
            _create_triggers(connection)

    @property
    def undo_name(self) -> Message | None:
        """What undo would take back."""
        self._drop_if_restored()
        return self._done[-1].change.name if self._done else None

    @property
    def redo_name(self) -> Message | None:
        """What redo would bring back."""
        self._drop_if_restored()
        return self._undone[-1].change.name if self._undone else None

    def listen(self, callback: Callable[[Change], None]) -> None:
        """Call `callback` with each Change after it is durable."""
        self._listeners.append(callback)

    def unlisten(self, callback: Callable[[Change], None]) -> None:
        """Stop calling `callback`."""
        if callback in self._listeners:
            self._listeners.remove(callback)

    def touch(self, table: str, make_id: int | None = None) -> None:
        """Note within a unit that `table` changed, for the notice; raises outside of one."""
        if self._open is None:
            raise RuntimeError(f"{table} was changed outside a unit")
        self._open.kinds.add(table)
        if make_id is not None:
            self._open.makes.add(make_id)

    @contextmanager
    def unit(
        self, name: str | Message, /, initiator: object | None = None, **values: Any
    ) -> Iterator[None]:
        """One transaction, named by a message. A unit inside a unit joins it."""
        if self._open is not None:
            yield
            return
        with self._transaction(_named(name, values), initiator) as box:
            yield
        if box:
            self._drop_if_restored()
            self._done.append(box[0])
            del self._done[:-STEPS_KEPT]
            self._undone.clear()
            self._tell(box[0].change)

    @contextmanager
    def appending(
        self, name: str | Message, /, initiator: object | None = None, **values: Any
    ) -> Iterator[None]:
        """One transaction that only adds: told like a unit, but no step to undo, and what was
        undone can still be done again. Within a unit or another it joins that one."""
        if self._open is not None:
            yield
            return
        with self._transaction(_named(name, values), initiator) as box:
            yield
        if box:
            self._tell(box[0].change)

    @property
    def within(self) -> bool:
        """True while a unit is open."""
        return self._open is not None

    def undo(self) -> Message | None:
        """Take the last unit back; returns its name, None when there is nothing to undo."""
        return self._turn(self._done, self._undone)

    def redo(self) -> Message | None:
        """Bring the last undone unit back; returns its name, None when there is none."""
        return self._turn(self._undone, self._done)

    def _turn(self, source: list[_Step], target: list[_Step]) -> Message | None:
        self._drop_if_restored()
        if not source:
            return None
        step = source[-1]
        with self._transaction(step.change.name, None) as box:
            self._db.execute("pragma defer_foreign_keys = on")
            for statement in step.reverse:
                self._db.execute(statement)
            opened = self._open
            if opened is not None:
                opened.kinds |= step.change.kinds
                opened.makes |= step.change.makes
        source.pop()
        if box:
            target.append(box[0])
        self._tell(replace(step.change, initiator=None))  # nobody has it before their eyes yet
        return step.change.name

    @contextmanager
    def _transaction(self, name: Message, initiator: object | None) -> Iterator[list[_Step]]:
        box: list[_Step] = []
        try:
            self._db.execute("begin immediate")
        except sqlite3.Error as error:
            raise KeepingError(fault(error)) from error
        self._open = _Open(name, initiator)
        try:
            yield box
            step = self._take_step()
            self._db.execute("commit")
            if step is not None:
                box.append(step)
        except sqlite3.Error as error:
            self._roll_back()
            raise KeepingError(fault(error)) from error
        except BaseException:
            self._roll_back()
            raise
        finally:
            self._open = None

    def _take_step(self) -> _Step | None:
        opened = self._open
        if opened is None or not opened.kinds:
            return None
        reverse: list[str] = []
        if self._reversible:
            rows = self._db.execute("select reverse from way_back order by id desc")
            reverse = [row[0] for row in rows]
            self._db.execute("delete from way_back")
        change = Change(
            frozenset(opened.kinds), frozenset(opened.makes), opened.name, opened.initiator
        )
        return _Step(change, reverse)

    def _drop_if_restored(self) -> None:
        """A backup was restored since, perhaps by another program: the ways back lead to rows that
        are no more, or are others now."""
        with suppress(sqlite3.Error):
            shape = _shape_of(self._db)
            if shape != self._shape:
                self._shape = shape
                self._done.clear()
                self._undone.clear()

    def _roll_back(self) -> None:
        if self._db.in_transaction:
            self._db.execute("rollback")

    def _tell(self, change: Change) -> None:
        for callback in list(self._listeners):
            callback(change)


def _shape_of(db: sqlite3.Connection) -> int:
    """SQLite's count of the changes of a schema; its online backup is one for the file written."""
    return int(db.execute("pragma main.schema_version").fetchone()[0])


def _named(name: str | Message, values: dict[str, Any]) -> Message:
    return name if isinstance(name, Message) else Message(name, **values)


def fault(error: sqlite3.Error) -> Message:
    """The world's faults as a message, decided by SQLite's primary code."""
    code = getattr(error, "sqlite_errorcode", None)
    primary = code & 0xFF if code is not None else None
    if primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return Message("keeping.busy")
    if primary == sqlite3.SQLITE_FULL:
        return Message("keeping.disk-full")
    if primary in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_CANTOPEN):
        return Message("keeping.not-writable-here")
    if primary in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return Message("keeping.journal-damaged")
    if code == sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY:
        return Message("keeping.something-hangs-on-it")
    if primary == sqlite3.SQLITE_IOERR:
        return Message("keeping.disk-faulty")
    return Message("keeping.change-refused", why=str(error))


def _create_triggers(connection: sqlite3.Connection) -> None:
    connection.execute("pragma temp_store = memory")
    connection.execute("create temp table way_back (id integer primary key, reverse text not null)")
    for table in UNDOABLE:
        columns = [row[1] for row in connection.execute(f'pragma main.table_info("{table}")')]
        for trigger in _triggers(table, columns):
            connection.execute(trigger)


def _triggers(table: str, columns: list[str]) -> Iterator[str]:
    names = ", ".join(f'"{c}"' for c in columns)
    assign = " || ', ' || ".join(f'\'"{c}" = \' || quote(old."{c}")' for c in columns)
    values = " || ', ' || ".join(f'quote(old."{c}")' for c in columns)
    say = "insert into way_back (reverse) values"
    events: tuple[tuple[str, Any], ...] = (
        ("insert", f"'delete from \"{table}\" where id = ' || new.id"),
        ("update", f"'update \"{table}\" set ' || {assign} || ' where id = ' || old.id"),
        ("delete", f"'insert into \"{table}\" ({names}) values (' || {values} || ')'"),
    )
    for event, reverse in events:
        yield (
            f'create temp trigger "back_{table}_{event}" after {event} on main."{table}" '
            f"begin {say} ({reverse}); end"
        )
