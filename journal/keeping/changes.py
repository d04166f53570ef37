"""Units of change: one transaction, one undo step, one notice of what changed."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from typing import Any

from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.file import Connection
from journal.keeping.folding import begin, end
from journal.keeping.history import Reversal, SavedAct, acts, keep_act, new_act, note_changes
from journal.keeping.seats import BIN, RESTORE, WINDOW, is_seated, leave_seat, take_seat
from journal.message import Message
from journal.records.instants import now_ms

STEPS_KEPT = 200  # how far back undo goes
_PAGE = 10  # acts that are read at once, mostly for the first of them
_NO_ACT = 2**62  # an id that no act reaches
STREAMED = frozenset(("reading", "air_reading"))  # what may come without an act
_STREAMS = Message("keeping.act-come-in")


@dataclass(frozen=True)
class Change:
    """What a unit changed: the tables, the makes concerned, who began it, and its name."""

    kinds: frozenset[str]
    makes: frozenset[int]
    name: Message
    initiator: object | None = None


@dataclass
class _Open:
    name: Message
    initiator: object | None
    undoes: int | None = None
    kinds: set[str] = field(default_factory=set)
    makes: set[int] = field(default_factory=set)


class Changes:
    """The journal's transactions on one connection, and the way back.

    Each unit that changes rows is kept in the file as an act (`history.py`). Undo takes back the
    last act that stands of this journal's own; a window goes on with those of windows that were
    closed before it was opened. What takes an act back is an act as well, and redo takes that one
    back.
    """

    def __init__(
        self, connection: Connection, *, reversible: bool, seat: str = WINDOW, token: str = ""
    ) -> None:
        self._db = connection
        self._open: _Open | None = None
        self._listeners: list[Callable[[Change], None]] = []
        self._noting = False
        self._reversible = reversible
        self._seat = seat
        self._by = token or (take_seat() if reversible else "")
        self._is_guest = bool(token)  # of the journal that has the seat
        self._closed: dict[str, bool] = {self._by: False}
        self._shape = _shape_of(connection)
        self.passed_over: frozenset[str] = frozenset()  # kinds whose acts undo leaves alone
        self._before_me = self._seen = self._last_act()
        self._version, self._streams = self._data_version(), self._ends_of_streams()
        if reversible:
            note_changes(connection, lambda: self._noting)

    @property
    def undo_name(self) -> Message | None:
        """What undo would take back."""
        return self._name_of(self._to_undo)

    @property
    def redo_name(self) -> Message | None:
        """What redo would bring back."""
        return self._name_of(self._to_redo)

    def _name_of(self, act: Callable[[], SavedAct | None]) -> Message | None:
        """The name of an act to take back; None too where damage hides it."""
        try:
            found = act()
        except DamageError:
            return None
        return found.name if found is not None else None

    @property
    def token(self) -> str:
        """What its acts are known by."""
        return self._by

    def end(self) -> None:
        """The journal is closed: another window may go on with what was done here."""
        if not self._is_guest:
            leave_seat(self._by)

    def listen(self, callback: Callable[[Change], None]) -> None:
        """Call `callback` with each Change after it is durable."""
        self._listeners.append(callback)

    def unlisten(self, callback: Callable[[Change], None]) -> None:
        """Stop calling `callback`."""
        if callback in self._listeners:
            self._listeners.remove(callback)

    def touch(self, table: str, make_id: int | None = None) -> None:
        """Note within a unit that `table` changed, for the notice."""
        assert self._open is not None, table
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
        with self._transaction(_Open(_named(name, values), initiator), noting=True) as box:
            yield
        self._tell_of(box)

    @contextmanager
    def appending(
        self, name: str | Message, /, initiator: object | None = None, **values: Any
    ) -> Iterator[None]:
        """One transaction that only adds: announced like a unit, but no step to undo, and what was
        undone can still be done again. Within a unit or another it joins that one."""
        if self._open is not None:
            yield
            return
        with self._transaction(_Open(_named(name, values), initiator), noting=False) as box:
            yield
        self._tell_of(box)

    @property
    def within(self) -> bool:
        """True while a unit is open."""
        return self._open is not None

    def undo(self) -> Message | None:
        """Take the last act back; returns its name, None when there is nothing to undo.

        Raises
        ------
        KeepingError
            When something else was done to the same rows since; nothing is changed then.
        """
        act = self._to_undo()
        return self._turn(act) if act is not None else None

    def redo(self) -> Message | None:
        """Bring the last undone act back; returns its name, None when there is none."""
        act = self._to_redo()
        return self._turn(act) if act is not None else None

    def take_back(self, act_id: int) -> Message:
        """Take back any act that stands, however long ago; returns its name. KeepingError as
        `undo`, or when it does not stand."""
        for act in acts(self._db, "where id = ?", [act_id]):
            return self._turn(act)
        raise KeepingError("keeping.no-act", key=act_id)

    def look_for_others(self) -> bool:
        """Tell the listeners what other programs and windows wrote since it was last asked;
        whether there was any. KeepingError when the file cannot be read."""
        if self._open is not None:
            return False
        try:
            found = self._by_others()
        except sqlite3.Error as error:
            raise KeepingError(fault(error)) from error
        for change in found:
            self.tell(change)
        return bool(found)

    def _by_others(self) -> list[Change]:
        version = self._data_version()
        if version == self._version:
            return []
        self._version = version
        self._notice_restore()
        found = list(
            acts(self._db, "where not by = ? and id > ? order by id", (self._by, self._seen))
        )
        self._seen = self._last_act()
        before, self._streams = self._streams, self._ends_of_streams()
        if not found and self._streams != before:
            rows = self._db.execute(
                "select distinct make_id from trace where id in (select trace_id from reading_log "
                "where id > ?) or id in (select trace_id from reading_block where id > ?)",
                before[:2],
            )
            return [Change(STREAMED, frozenset(row[0] for row in rows), _STREAMS)]
        return [Change(act.kinds, act.makes, act.name) for act in found]

    def _to_undo(self) -> SavedAct | None:
        for act in self._own_acts():
            if act.undoes is None and act.undone_ms is None and not self._is_passed(act):
                return act
        return None

    def _is_passed(self, act: SavedAct) -> bool:
        return bool(act.kinds) and act.kinds <= self.passed_over

    def _to_redo(self) -> SavedAct | None:
        """The last undoing that stands, if no newer act does."""
        for act in self._own_acts():
            if act.undone_ms is not None or self._is_passed(act):
                continue
            if act.undoes is None:
                return None
            if self._is_ordinary(act.undoes):
                return act
        return None

    def _is_ordinary(self, act_id: int) -> bool:
        row = self._db.execute("select undoes from act where id = ?", (act_id,)).fetchone()
        return row is not None and row[0] is None

    def _own_acts(self) -> Iterator[SavedAct]:
        """This journal's acts and those it goes on with, the newest first, as far as undo goes."""
        self._notice_restore()
        clause = (
            "where id < ? and (by = ? or (seat = ? and id <= ?)) and "
            "id > (select coalesce(max(id), 0) from act where seat = ?) order by id desc limit ?"
        )
        first = self._before_me if self._seat == WINDOW else 0
        steps, before, page = 0, _NO_ACT, _PAGE
        while page == _PAGE:
            found = list(acts(self._db, clause, (before, self._by, WINDOW, first, RESTORE, _PAGE)))
            page = len(found)
            for act in found:
                before = act.id
                if act.by != self._by and not self._is_closed(act.by):
                    continue
                steps += act.undoes is None
                if steps > STEPS_KEPT:
                    return
                yield act

    def _is_closed(self, by: str) -> bool:
        if not self._closed.get(by, False):
            self._closed[by] = not is_seated(by)
        return self._closed[by]

    def _turn(self, act: SavedAct) -> Message:
        if act.seat in (RESTORE, BIN):
            raise KeepingError("keeping.not-to-be-taken-back")
        opened = _Open(act.name, None, act.id, set(act.kinds), set(act.makes))
        with self._transaction(opened, noting=True) as box:
            stands = "update act set undone_ms = ? where id = ? and undone_ms is null"
            if self._db.execute(stands, (now_ms(), act.id)).rowcount != 1:
                raise KeepingError("keeping.taken-back-already")
            self._db.execute("update act set undone_ms = null where id = ?", (act.undoes,))
            self._db.execute("pragma defer_foreign_keys = on")
            Reversal(self._db, act)
        self._tell_of(box)  # nobody has it before their eyes yet: no initiator
        return act.name

    @contextmanager
    def _transaction(self, opened: _Open, *, noting: bool) -> Iterator[list[Change]]:
        box: list[Change] = []
        try:
            begin(self._db)
        except sqlite3.Error as error:
            raise KeepingError(fault(error)) from error
        self._open, self._noting = opened, noting and self._reversible
        try:
            yield box
            change = self._keep(opened)
            end(self._db)
            if change is not None:
                box.append(change)
        except sqlite3.Error as error:
            self._roll_back()
            raise KeepingError(fault(error)) from error
        except BaseException:
            self._roll_back()
            raise
        finally:
            self._open, self._noting = None, False

    def _keep(self, opened: _Open) -> Change | None:
        kinds, makes = frozenset(opened.kinds), frozenset(opened.makes)
        if self._noting:
            act = new_act(opened.name, self._by, self._seat, kinds, makes, opened.undoes)
            keep_act(self._db, act)
        return Change(kinds, makes, opened.name, opened.initiator) if kinds else None

    def _notice_restore(self) -> None:
        """A backup was restored since, perhaps by another program: it has acts of its own."""
        with suppress(sqlite3.Error):
            shape = _shape_of(self._db)
            if shape != self._shape:
                self._shape = shape
                self._before_me = self._seen = 0

    def _last_act(self) -> int:
        row = self._db.execute("select coalesce(max(id), 0) from main.act").fetchone()
        return int(row[0])

    def _data_version(self) -> int:
        return int(self._db.execute("pragma data_version").fetchone()[0])

    def _ends_of_streams(self) -> tuple[int, int, int]:
        """The last rows of the tables that grow without acts."""
        row = self._db.execute(
            "select coalesce((select max(id) from main.reading_log), 0), "
            "coalesce((select max(id) from main.reading_block), 0), "
            "coalesce((select max(id) from main.air_reading), 0)"
        ).fetchone()
        return int(row[0]), int(row[1]), int(row[2])

    def _roll_back(self) -> None:
        if self._db.in_transaction:
            self._db.execute("rollback")

    def _tell_of(self, box: list[Change]) -> None:
        for change in box:
            self.tell(change)

    def tell(self, change: Change) -> None:
        """Tell the listeners of a change that is durable."""
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
    if code == sqlite3.SQLITE_CONSTRAINT_UNIQUE:
        return Message("keeping.there-by-now")
    if primary == sqlite3.SQLITE_IOERR:
        return Message("keeping.disk-faulty")
    return Message("keeping.change-refused", why=str(error))
