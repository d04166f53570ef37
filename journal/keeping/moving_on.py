"""The schema of today: in a new file, and in one that an older program wrote."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Mapping
from contextlib import closing, suppress
from pathlib import Path
from typing import TypeVar

from journal.keeping.copies import PAGES, beside, check_ours, keep_copy
from journal.keeping.disk import name_finished, number_anew, sync
from journal.keeping.errors import KeepingError
from journal.keeping.leftovers import half_of
from journal.keeping.migrations import APPLICATION_ID, SCHEMA, migrations, note_steps
from journal.keeping.origin import give_origin
from journal.keeping.stopping import Progress, Stop, never, part_of, stopping, unseen
from journal.keeping.sums import add_sums, keep_unsound, take_sums_away

_WAIT_S = 5
_KEPT = 0.45  # of the time: to keep a copy, and try it
_Connection = TypeVar("_Connection", bound=sqlite3.Connection)

_SCHEMA = Path(__file__).with_name("schema.sql")


def make(path: Path, settings: Mapping[str, str]) -> None:
    """Make a new, empty journal file with its settings; it has its name only when it is whole,
    and an existing file is never overwritten."""
    if path.exists():
        raise KeepingError("keeping.file-exists", file=path.name)
    folder = path.parent
    if not folder.is_dir():
        raise KeepingError("keeping.no-folder", folder=str(folder))
    if not os.access(folder, os.W_OK):
        raise KeepingError("keeping.folder-not-writable", folder=str(folder))
    half = half_of(path)
    try:
        half.unlink(missing_ok=True)
        build(half, settings)
        number_anew(half)
        sync(half)
        made = name_finished(half, path)
        sync(folder)
    except (sqlite3.Error, OSError, KeepingError) as error:
        for leftover in beside(half):
            leftover.unlink(missing_ok=True)
        why = error.message if isinstance(error, KeepingError) else str(error)
        raise KeepingError("keeping.not-made-here", file=path.name, why=why) from error
    if not made:
        raise KeepingError("keeping.file-exists", file=path.name)


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


def move_on(
    db: sqlite3.Connection,
    path: Path,
    version: int,
    stop: Stop = never,
    progress: Progress = unseen,
) -> None:
    """Give an older file the format of today, whole or not at all, once a copy of it as it was is
    kept beside it. The steps are taken by a copy in memory, which is written back as one
    transaction, while no other program has the file: `db` is from `alone`.

    Raises
    ------
    KeepingError
        When another program has it open, it cannot be moved on, or `stop` said so; the file is as
        it was then.
    """
    copy, path = None, path.resolve()  # beside the file itself, and by its name, lies the copy
    before: set[Path] = set()
    try:
        before = set(path.parent.iterdir())
        for setting in ("locking_mode = exclusive", "synchronous = full", "fullfsync = on"):
            db.execute(f"pragma {setting}")
        check_ours(db, path)
        if db.execute("pragma user_version").fetchone()[0] >= SCHEMA:
            return  # another program did it meanwhile
        db.execute("pragma journal_mode = wal")
        name = path.with_name(f"{path.stem}.format-{version}{path.suffix}")
        copy = keep_copy(db, name, stop, part_of(progress, 0, _KEPT))
        _rewrite(db, stop, part_of(_or_stopped(stop, progress), _KEPT, 1))
    except (sqlite3.Error, OSError, KeepingError) as error:
        if stop():
            if copy is not None and copy not in before:
                with suppress(OSError):
                    copy.unlink()
            raise KeepingError("keeping.moving-on-stopped", file=path.name) from error
        if getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY:
            raise KeepingError("keeping.older-in-use", file=path.name) from error
        why = error.message if isinstance(error, KeepingError) else str(error)
        if copy is None:
            raise KeepingError("keeping.not-copied-to-move", file=path.name, why=why) from error
        raise KeepingError(
            "keeping.not-moved-on", file=path.name, copy=copy.name, why=why
        ) from error


def _rewrite(db: sqlite3.Connection, stop: Stop, progress: Progress) -> None:
    with closing(sqlite3.connect(":memory:")) as new, stopping(stop, new):
        db.backup(new, pages=PAGES, progress=_asked(part_of(progress, 0, 0.1)))
        apply(new, progress=part_of(progress, 0.1, 0.7))
        if new.execute("pragma integrity_check(1)").fetchone()[0] != "ok":
            raise KeepingError("keeping.copy-unsound")
        new.backup(db, pages=PAGES, progress=_asked(part_of(progress, 0.8, 1)))


def _or_stopped(stop: Stop, progress: Progress) -> Progress:
    """How far it is; breaks off until it is done: of what is written back nothing counts before."""

    def report(share: float) -> None:
        if share < 1 and stop():
            raise sqlite3.OperationalError("interrupted")
        progress(share)

    return report


def _asked(progress: Progress) -> Callable[[int, int, int], None]:
    """What SQLite calls after each piece."""
    return lambda _status, left, pages: progress(1 - left / max(1, pages))


def apply(db: sqlite3.Connection, version: int = 0, progress: Progress = unseen) -> None:
    """Take the steps to a format, today's if none is named, that a file of an earlier one, or an
    empty one, has not taken; raises KeepingError and sqlite3.Error."""
    from sqlite_utils import Database

    version = version or SCHEMA
    wrapped = Database(db, strict=True, execute_plugins=False)
    wrapped.enable_wal()
    db.execute("pragma wal_autocheckpoint = 0")
    db.execute("pragma synchronous = full")
    db.execute("pragma foreign_keys = off")
    unsound = take_sums_away(db, part_of(progress, 0, 0.4))
    migrations(version).apply(wrapped)
    add_sums(db, part_of(progress, 0.5, 1))
    keep_unsound(db, unsound)
    broken = db.execute("pragma foreign_key_check").fetchall()
    if broken:
        raise KeepingError("keeping.rows-refer-to-nothing", rows=len(broken))
    db.execute("pragma foreign_keys = on")
    db.execute(f"pragma user_version = {version}")
    db.commit()


def alone(path: Path, factory: type[_Connection]) -> _Connection:
    """A connection for `move_on`, which sees to it that there is no other, of any program."""
    address = f"{path.resolve().as_uri()}?mode=rw"
    return sqlite3.connect(
        address, uri=True, timeout=_WAIT_S, isolation_level=None, factory=factory
    )
