"""Copies of a journal, tried before they count: what a backup is, and what a migration begins with.

A copy is made by SQLite's online backup (https://sqlite.org/backup.html), so that what other
programs write meanwhile cannot come half into it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from itertools import count
from pathlib import Path

from journal.keeping.disk import name_finished, number_anew, sync
from journal.keeping.errors import KeepingError
from journal.keeping.leftovers import half_of
from journal.keeping.migrations import TABLES
from journal.keeping.stopping import Progress, Stop, never, part_of, stopping, unseen
from journal.keeping.sums import tables_of, unsound_rows

PAGES = 256  # are copied at once, a megabyte
_SYNC_EVERY = 32  # times that
_COPIED = 0.4  # of the time: to try a copy takes longer


def check_ours(db: sqlite3.Connection, path: Path) -> None:
    """Trust nothing that a file brings along: KeepingError when it holds a trigger, a view or a
    table that no journal has. Asked before any statement that could set one of them off."""
    db.execute("pragma trusted_schema = off")
    db.execute("pragma cell_size_check = on")
    try:
        found = db.execute("select type, name from sqlite_master where type <> 'index'").fetchall()
    except UnicodeDecodeError as error:  # in what SQLite says of a schema that is spoilt
        raise sqlite3.DatabaseError from error
    for kind, name in found:
        if kind != "table" or not (name in TABLES or name.startswith("sqlite_")):
            raise KeepingError("keeping.not-ours", file=path.name, noun=kind, name=name)


def copy_whole(
    db: sqlite3.Connection, half: Path, stop: Stop = never, progress: Progress = unseen
) -> None:
    """Write a copy of what a connection sees, try it, and have the disk hold it.

    Raises
    ------
    KeepingError
        When the copy is not sound, or not what was copied.
    sqlite3.Error, OSError
        When it cannot be written, or `stop` said so.
    """
    counted = _copy(db, half, stop, part_of(progress, 0, _COPIED))
    try_copy(half, counted, stop, part_of(progress, _COPIED, 1))
    number_anew(half)
    sync(half)


def _copy(db: sqlite3.Connection, half: Path, stop: Stop, progress: Progress) -> dict[str, int]:
    """Write the copy in pieces; gives the rows of each table as they are in it. The disk takes
    them as they come: at the end, when nobody can be asked any more, little is left to wait for."""
    half.write_bytes(b"")  # there before its name is taken, and after
    db.execute("begin")  # so that what is counted is what is copied, in whatever pieces
    try:
        with (
            closing(sqlite3.connect(half, isolation_level=None)) as copy,
            stopping(stop, db, copy),
        ):
            counted = _rows(db)
            copy.execute("pragma synchronous = off")  # `sync` does it
            pieces = count(1)

            def asked(_status: int, left: int, pages: int) -> None:
                if next(pieces) % _SYNC_EVERY == 0:
                    sync(half)
                if stop():
                    raise sqlite3.OperationalError("interrupted")
                progress(1 - left / max(1, pages))

            db.backup(copy, pages=PAGES, progress=asked)
            copy.execute("pragma journal_mode = delete")  # one file, with nothing beside it
    finally:
        db.execute("commit")
    return counted


def keep_copy(
    db: sqlite3.Connection, path: Path, stop: Stop = never, progress: Progress = unseen
) -> Path:
    """A copy under a name of its own; it has it only when it is whole. One that is there already
    stays: where it is the same it will do, and where it is another journal's or another day's this
    one gets a number. One that is not sound is written anew. Raises as `copy_whole`."""
    half = half_of(path)
    try:
        copy_whole(db, half, stop, progress)
        for number in range(1, 1000):
            named = path if number == 1 else path.with_name(f"{path.stem}-{number}{path.suffix}")
            if not named.exists():
                name_finished(half, named)
            elif not _same(half, named):
                if _is_sound(named):
                    continue
                half.replace(named)
            sync(named.parent)
            return named
    finally:
        for left in beside(half):
            left.unlink(missing_ok=True)
    raise KeepingError("keeping.file-exists", file=path.name)


def try_copy(
    copy: Path, counted: dict[str, int] | None, stop: Stop = never, progress: Progress = unseen
) -> None:
    """KeepingError when a copy is not sound, or not what was counted; sqlite3.Error when it
    cannot even be asked, or `stop` said so."""
    with closing(sqlite3.connect(as_it_lies(copy), uri=True)) as db, stopping(stop, db):
        check_ours(db, copy)
        found = [row[0] for row in db.execute("pragma integrity_check(1)")]
        if found != ["ok"] or db.execute("pragma foreign_key_check").fetchone() is not None:
            raise KeepingError("keeping.copy-unsound")
        tables = tables_of(db)
        for done, table in enumerate(tables):
            progress((done + len(tables)) / (2 * len(tables)))
            if unsound_rows(db, table):
                raise KeepingError("keeping.copy-unsound")
        rows = _rows(db)
        if not rows:
            raise KeepingError("keeping.copy-unsound")
        if counted is not None and rows != counted:
            raise KeepingError("keeping.copy-differs")


def as_it_lies(file: Path) -> str:
    """A file that nobody writes to, with nothing beside it, as SQLite is to open it."""
    return f"{file.resolve().as_uri()}?mode=ro&immutable=1"


def beside(half: Path) -> list[Path]:
    """A half written file, and what SQLite may have left beside it."""
    return [Path(f"{half}{ending}") for ending in ("", "-wal", "-shm", "-journal")]


def _is_sound(copy: Path) -> bool:
    try:
        try_copy(copy, None)
    except (KeepingError, sqlite3.Error):
        return False
    return True


def _same(one: Path, other: Path) -> bool:
    """Whether two copies differ in nothing but the header, which has the counter of changes."""
    return one.read_bytes()[100:] == other.read_bytes()[100:]


def _rows(db: sqlite3.Connection) -> dict[str, int]:
    """How many rows each table has."""
    names = db.execute(
        "select name from sqlite_master where type = 'table' and name not like 'sqlite_%'"
    ).fetchall()
    return {
        name: db.execute(f'select count(*) from main."{name}"').fetchone()[0] for (name,) in names
    }
