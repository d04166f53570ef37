"""Every table row by row, as the file has it: out of a journal, and into a new one."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from journal.keeping.check import quick_faults
from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.file import name_finished, reason, sync
from journal.keeping.leftovers import half_of, take_halves_away
from journal.keeping.moving_on import make
from journal.keeping.stopping import Stop, never, stopping
from journal.keeping.sums import SUM, damaged_row, tables_of, unsound_rows

RowValues = Iterable[Sequence[Any]]
TableRows = tuple[str, list[str], RowValues]  # a table, its columns with the sum last, its rows


def read_tables(db: sqlite3.Connection) -> Iterator[TableRows]:
    """All tables in order, rows by id; DamageError where one has a row whose sum does not hold."""
    for table, names in columns_of(db).items():
        for place in unsound_rows(db, table):
            raise DamageError(damaged_row(place))
        quoted = ", ".join(f'"{name}"' for name in names)
        yield table, names, db.execute(f'select {quoted} from main."{table}" order by rowid')


def columns_of(db: sqlite3.Connection) -> dict[str, list[str]]:
    """The columns of each table as `read_tables` gives them."""
    return {table: [*columns, SUM] for table, columns in tables_of(db).items()}


def write_journal(
    out: Path, fill: Callable[[sqlite3.Connection], None], stop: Stop = never
) -> None:
    """Make a new journal of what `fill` writes into its empty tables; it has its name only when it
    is whole, and an existing file is never overwritten.

    Raises
    ------
    KeepingError
        When it cannot be written, or is not sound, or `stop` said so; nothing is left then.
    """
    if out.exists():
        raise KeepingError("keeping.file-exists", file=out.name)
    take_halves_away(out.parent, f"{out.name}.")
    half = half_of(out)
    half.unlink(missing_ok=True)
    try:
        make(half, {})
    except KeepingError as error:  # by the name that was asked for
        raise KeepingError(error.id, **{**error.message.values, "file": out.name}) from error
    try:
        with closing(sqlite3.connect(half, isolation_level=None)) as db, stopping(stop, db):
            db.execute("begin")
            db.execute("delete from setting")
            fill(db)
            if stop():
                raise sqlite3.OperationalError("interrupted")
            db.execute("commit")
            db.execute("pragma journal_mode = delete")
            broken = db.execute("pragma foreign_key_check").fetchone()
            if broken is not None or quick_faults(db, thorough=True):
                raise KeepingError("keeping.copy-unsound")
        sync(half)
        if not name_finished(half, out):
            raise KeepingError("keeping.file-exists", file=out.name)
        sync(out.parent)
    except (sqlite3.Error, OSError) as error:
        why = reason(error) if isinstance(error, OSError) else str(error)
        raise KeepingError("keeping.not-made-here", file=out.name, why=why) from error
    finally:
        for left in (half, Path(f"{half}-wal"), Path(f"{half}-shm"), Path(f"{half}-journal")):
            left.unlink(missing_ok=True)


def write_tables(out: Path, rows_of: Callable[[str, list[str]], RowValues]) -> None:
    """Make a new journal of the rows that `rows_of` gives for each table and its columns, the sum
    last; KeepingError as `write_journal`, and when two rows have one id or uuid."""

    def fill(db: sqlite3.Connection) -> None:
        for table, columns in columns_of(db).items():
            marks, names = ", ".join("?" * len(columns)), ", ".join(f'"{c}"' for c in columns)
            asked = f'insert into "{table}" ({names}) values ({marks})'
            db.executemany(asked, rows_of(table, columns))

    write_journal(out, fill)


def put_rows(db: sqlite3.Connection, table: str, columns: Sequence[str], rows: RowValues) -> int:
    """Put rows into a table with their ids and sums, but those that are there; how many came."""
    marks, names = ", ".join("?" * len(columns)), ", ".join(f'"{name}"' for name in columns)
    asked = f'insert or ignore into "{table}" ({names}) values ({marks})'
    return max(0, db.executemany(asked, rows).rowcount)
