"""The schema of today: in a new file, and in one that an older program wrote."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

from journal.keeping.copies import check_ours, keep_copy
from journal.keeping.errors import KeepingError
from journal.keeping.migrations import APPLICATION_ID, SCHEMA, migrations, note_steps
from journal.keeping.origin import give_origin
from journal.keeping.sums import add_sums, keep_unsound, take_sums_away

_WAIT_S = 5


_SCHEMA = Path(__file__).with_name("schema.sql")


def build(path: Path, settings: Mapping[str, str]) -> None:
    """The schema of today in a new file: what all steps come to, as `schema.sql` has it."""
    db = sqlite3.connect(path, timeout=5)
    try:
        for setting in (
            f"application_id = {APPLICATION_ID}", "journal_mode = wal",
            "wal_autocheckpoint = 0", "synchronous = full",
        ):  # fmt: skip
            db.execute(f"pragma {setting}")
        db.execute("begin")
        for statement in _SCHEMA.read_text("utf-8").split(";\n"):
            db.execute(statement)
        note_steps(db)
        give_origin(db)
        db.executemany("insert into setting (key, value) values (?, ?)", settings.items())
        add_sums(db)
        db.execute(f"pragma user_version = {SCHEMA}")
        db.commit()
    finally:
        db.close()


def write_schema() -> None:
    """Write `schema.sql` anew, by the steps that an old file takes: when a step was added."""
    with closing(sqlite3.connect(":memory:")) as db:
        apply(db)
        rows = db.execute("select sql from sqlite_master where sql is not null order by rowid")
        _SCHEMA.write_text("".join(f"{sql};\n" for (sql,) in rows), "utf-8")


def move_on(path: Path, version: int) -> None:
    """Give an older file the format of today, whole or not at all, once a copy of it as it was is
    kept beside it. The steps are taken by a copy in memory, which is written back as one
    transaction, while no other program has the file.

    Raises
    ------
    KeepingError
        When another program has it open, or it cannot be moved on; the file is as it was then.
    """
    copy, path = None, path.resolve()  # beside the file itself, and by its name, lies the copy
    try:
        with closing(_alone(path)) as db:
            check_ours(db, path)
            if db.execute("pragma user_version").fetchone()[0] >= SCHEMA:
                return  # another program did it meanwhile
            db.execute("pragma journal_mode = wal")
            name = path.with_name(f"{path.stem}.format-{version}{path.suffix}")
            copy = keep_copy(db, name)
            _rewrite(db)
    except (sqlite3.Error, OSError, KeepingError) as error:
        if getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY:
            raise KeepingError("keeping.older-in-use", file=path.name) from error
        why = error.message if isinstance(error, KeepingError) else str(error)
        if copy is None:
            raise KeepingError("keeping.not-copied-to-move", file=path.name, why=why) from error
        raise KeepingError(
            "keeping.not-moved-on", file=path.name, copy=copy.name, why=why
        ) from error


def _rewrite(db: sqlite3.Connection) -> None:
    with closing(sqlite3.connect(":memory:")) as new:
        db.backup(new)
        apply(new)
        if new.execute("pragma integrity_check(1)").fetchone()[0] != "ok":
            raise KeepingError("keeping.copy-unsound")
        new.backup(db)


def apply(db: sqlite3.Connection, version: int = 0) -> None:
    """Take the steps to a format, today's if none is named, that a file of an earlier one, or an
    empty one, has not taken; raises KeepingError and sqlite3.Error."""
    from sqlite_utils import Database

    version = version or SCHEMA
    wrapped = Database(db, strict=True, execute_plugins=False)
    wrapped.enable_wal()
    db.execute("pragma wal_autocheckpoint = 0")
    db.execute("pragma synchronous = full")
    db.execute("pragma foreign_keys = off")
    unsound = take_sums_away(db)
    migrations(version).apply(wrapped)
    add_sums(db)
    keep_unsound(db, unsound)
    broken = db.execute("pragma foreign_key_check").fetchall()
    if broken:
        raise KeepingError("keeping.rows-refer-to-nothing", rows=len(broken))
    db.execute("pragma foreign_keys = on")
    db.execute(f"pragma user_version = {version}")
    db.commit()


def _alone(path: Path) -> sqlite3.Connection:
    """A connection beside which there is no other, of any program."""
    address = f"{path.resolve().as_uri()}?mode=rw"
    db = sqlite3.connect(address, uri=True, timeout=_WAIT_S, isolation_level=None)
    for setting in ("locking_mode = exclusive", "synchronous = full", "fullfsync = on"):
        db.execute(f"pragma {setting}")
    return db
