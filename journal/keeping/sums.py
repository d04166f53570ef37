"""A sum for each row, kept by every connection that writes and tried whenever a row is read.

The sum is the CRC-32 (`zlib.crc32`) of the row's exact writing: the table's name and then each
column but `sum`, in the table's order, as `marshal` version 2 writes a tuple (a letter for the
type, integers, 8-byte floats, bytes with their length; text as its UTF-8 bytes). A test writes it
a second way, so that another Python's `marshal` cannot change it unseen.

Temporary triggers keep the sums, and temporary views (`sound_TABLE`) give only rows whose sum
holds. Every `select` that says `from TABLE` or `join TABLE` reads through the view; one that says
`main.TABLE` reads the table itself, which is right only where an index alone answers, or damage is
what is looked for.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from functools import lru_cache
from marshal import dumps
from typing import Any
from zlib import crc32

from journal.keeping.errors import DamageError
from journal.keeping.migrations import TABLES
from journal.keeping.stopping import Progress, unseen
from journal.message import Message

SUM = "sum"
SUMMED = TABLES - {"_sqlite_migrations"}
TypeNames = dict[str, str]  # the type of each column but the sum, by its name, in the table's order
RowKey = tuple[str, int | str]  # a table, and which row of it: its id, of a setting its key

_READS = re.compile(rf'\b(from|join)\s+"?({"|".join(sorted(SUMMED))})\b"?', re.IGNORECASE)
_CORRUPT = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
_NONE_SUCH = (["no", "such", "table:"], ["no", "such", "column:"])  # the file says so of itself


def row_sum(*row: Any) -> int:
    """The sum of a row: the table's name, then its columns, text as bytes."""
    return crc32(dumps(row, 2))


class Rows(sqlite3.Cursor):
    """What a statement gives; damage met on the way is a DamageError."""

    def fetchall(self) -> list[Any]:
        """All rows that are left."""
        try:
            return super().fetchall()
        except sqlite3.DatabaseError as error:
            raise _damage_of(self.connection, error) from error

    def fetchone(self) -> Any:
        """The next row; None at the end."""
        try:
            return super().fetchone()
        except sqlite3.DatabaseError as error:
            raise _damage_of(self.connection, error) from error

    def __iter__(self) -> Any:
        """All rows that are left, read at once."""
        return iter(self.fetchall())


class SummedConnection(sqlite3.Connection):
    """A connection that gives no row whose sum does not hold."""

    def __init__(self, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        self.left_out: dict[RowKey, None] = {}  # rows that lists went without, in the order met
        self.on_left_out: Callable[[], None] | None = None  # called when there are more of them
        self.met: RowKey | None = None
        self._leaves_out = False

    def execute(self, sql: str, parameters: Any = ()) -> Rows:
        """Run a statement.

        Raises
        ------
        DamageError
            When it meets a row whose sum does not hold, or a page that cannot be read.
        """
        try:
            return self.cursor(Rows).execute(_reading_sums(sql), parameters)
        except sqlite3.DatabaseError as error:
            raise _damage_of(self, error) from error

    @contextmanager
    def leaving_out(self) -> Iterator[None]:
        """Within it damaged rows are left out and noted, unless in a transaction."""
        before, known = self._leaves_out, len(self.left_out)
        self._leaves_out = not self.in_transaction
        try:
            yield
        finally:
            self._leaves_out = before
            if len(self.left_out) > known and self.on_left_out is not None:
                self.on_left_out()

    def holds(self, kept: Any, *row: Any) -> bool:
        """Whether a row's sum holds; called by SQLite for each row that is read."""
        if kept == crc32(dumps(row, 2)):
            return True
        key = _row_key(row)
        if self._leaves_out:
            self.left_out[key] = None
            return False
        self.met = key
        raise ValueError(key)


def leaving_out(db: sqlite3.Connection) -> AbstractContextManager[None]:
    """Within it a list goes without damaged rows, noted for a message. Within a transaction
    it does not: no change is made from a list that is not whole."""
    return db.leaving_out() if isinstance(db, SummedConnection) else nullcontext()


def note_left_out(db: sqlite3.Connection, error: DamageError) -> bool:
    """Whether a list may go without the row that the error names; it is noted for a message."""
    values = error.message.values
    if not isinstance(db, SummedConnection) or db.in_transaction or "key" not in values:
        return False
    with db.leaving_out():
        db.left_out[values["noun"], values["key"]] = None
    return True


def watch(db: SummedConnection, *, writing: bool) -> None:
    """Let the connection check each row that it reads and, when writing, keep the sums.

    Raises
    ------
    DamageError
        When the file lacks a table, or a table its sums.
    """
    tables = tables_of(db)
    if SUMMED - set(tables):
        raise DamageError("keeping.journal-damaged")
    db.create_function("row_sum", -1, row_sum, deterministic=True)
    db.create_function("row_holds", -1, db.holds, deterministic=True)
    db.execute("pragma temp_store = memory")
    for table, columns in tables.items():
        for statement in _statements(table, tuple(columns.items()), writing):
            db.execute(statement)


def tables_of(db: sqlite3.Connection) -> dict[str, TypeNames]:
    """The tables that have sums, each with its columns but the sum."""
    found: dict[str, TypeNames] = {}
    with_sum = set()
    for table, column, kind in db.execute(
        "select m.name, c.name, c.type from main.sqlite_master m join pragma_table_info(m.name) c "
        "where m.type = 'table' order by m.name, c.cid"
    ):
        if table in SUMMED and column == SUM:
            with_sum.add(table)
        elif table in SUMMED:
            found.setdefault(table, {})[column] = kind
    return {table: columns for table, columns in found.items() if table in with_sum}


def add_sums(db: sqlite3.Connection, progress: Progress = unseen) -> None:
    """Give each table its column of sums, and each row that has none yet its own."""
    db.create_function("row_sum", -1, row_sum, deterministic=True)
    there = {row[0] for row in db.execute("select name from sqlite_master where type = 'table'")}
    for table in sorted((SUMMED & there) - set(tables_of(db))):
        db.execute(f'alter table "{table}" add column "{SUM}" integer')
    for table, columns in _one_by_one(db, progress):
        db.execute(
            f'update "{table}" set "{SUM}" = row_sum({_writing(table, columns)}) '
            f'where "{SUM}" is null'
        )


def take_sums_away(db: sqlite3.Connection, progress: Progress = unseen) -> list[RowKey]:
    """Take the column of sums from each table, before steps give tables more columns and rows
    other values; the rows whose sum did not hold."""
    unsound = []
    for table, _columns in _one_by_one(db, progress):
        unsound += unsound_rows(db, table)
        db.execute(f'alter table "{table}" drop column "{SUM}"')
    return unsound


def _one_by_one(db: sqlite3.Connection, progress: Progress) -> Iterator[tuple[str, TypeNames]]:
    """The tables that have sums; how far it is goes by their rows."""
    tables, done = tables_of(db), 0
    rows = [db.execute(f'select count(*) from main."{one}"').fetchone()[0] for one in tables]
    for each, count in zip(tables.items(), rows, strict=True):
        yield each
        done += count
        progress(done / max(1, sum(rows)))


def keep_unsound(db: sqlite3.Connection, rows: Iterable[RowKey]) -> None:
    """Give the rows that were damaged before a sum that does not hold: that a file is given another
    format makes no damaged value a true one."""
    known = tables_of(db)
    for table, key in rows:
        first = next(iter(known[table]))
        db.execute(f'update "{table}" set "{SUM}" = ~"{SUM}" where "{first}" is ?', (key,))


def unsound_rows(db: sqlite3.Connection, table: str) -> list[RowKey]:
    """The rows of a table whose sum does not hold; sqlite3.Error where a page cannot be read."""
    db.create_function("row_sum", -1, row_sum, deterministic=True)
    columns = tables_of(db)[table]
    rows = db.execute(
        f'select "{next(iter(columns))}" from main."{table}" '
        f'where "{SUM}" is not row_sum({_writing(table, columns)})'
    )
    return [(table, row[0]) for row in rows]


def damaged_row(key: RowKey) -> Message:
    """The message about a row whose sum does not hold."""
    return Message("keeping.row-damaged", noun=key[0], key=key[1])


@lru_cache(maxsize=1024)
def _reading_sums(sql: str) -> str:
    head = sql.lstrip()[:6].lower()
    return _READS.sub(r"\1 sound_\2", sql) if head.startswith(("select", "with")) else sql


@lru_cache(maxsize=256)
def _statements(table: str, columns: Iterable[tuple[str, str]], writing: bool) -> list[str]:
    typed = dict(columns)
    names = ", ".join(f'"{name}"' for name in typed)
    found = [
        f"create temp view sound_{table} as select {names} from main.{table} "
        f'where (select row_holds("{SUM}", {_writing(table, typed)}))'
    ]
    if writing:
        set_sum = (
            f'update {table} set "{SUM}" = row_sum({_writing(table, typed, "new.")}) '
            "where rowid = new.rowid"
        )
        found += [
            f"create temp trigger sum_{table}_insert after insert on main.{table} "
            f"begin {set_sum}; end",
            f"create temp trigger sum_{table}_update after update of {names} on main.{table} "
            f'begin select row_holds(old."{SUM}", {_writing(table, typed, "old.")}); '
            f"{set_sum}; end",
        ]
    return found


def _writing(table: str, columns: TypeNames, of: str = "") -> str:
    """A row's writing as arguments; what is no text where text belongs is not written as text."""
    found = [f"'{table}'"]
    for name, kind in columns.items():
        value = f'{of}"{name}"'
        if kind.upper() == "TEXT":
            value = (
                f"case typeof({value}) when 'text' then cast({value} as blob) "
                f"when 'null' then null else 0 end"
            )
        found.append(value)
    return ", ".join(found)


def _row_key(row: tuple[Any, ...]) -> RowKey:
    key = row[1]
    return row[0], key.decode(errors="replace") if isinstance(key, bytes) else key


def _damage_of(db: sqlite3.Connection, error: sqlite3.DatabaseError) -> Exception:
    """The error as this room says it, where it is a damage."""
    met = db.met if isinstance(db, SummedConnection) else None
    if met is not None and isinstance(db, SummedConnection):
        db.met = None
        return DamageError(damaged_row(met))
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    is_damage = code in _CORRUPT or str(error).split()[:3] in _NONE_SUCH
    return DamageError("keeping.journal-damaged") if is_damage else error
