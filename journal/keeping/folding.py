"""How a change is begun and ended, and how what lies in the `-wal` is brought into the file itself.

SQLite before 3.51.3 may lose changes when one connection checkpoints a `-wal` while another begins
it anew (https://www.sqlite.org/wal.html#walresetbug). So no connection checkpoints by itself, and
here a second connection does it while the first holds the lock of those who write: nobody can
begin the `-wal` anew meanwhile, in any process. (FULL and TRUNCATE would not do: where the lock is
taken they go on as PASSIVE does.) The last connection to close does it under a lock that no other
connection can stand beside.

Nobody who types waits for that: a window has it done in another thread (`Connection.on_large`), and
a change that is begun meanwhile breaks it off, to be done later. What was copied until then is the
same as what is copied again. The disk takes it while it is copied, so that little is left for the
end, which cannot be broken off.
"""

from __future__ import annotations

import os
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from functools import partial
from pathlib import Path
from threading import RLock

from journal.keeping.errors import KeepingError
from journal.keeping.file import LARGE_WAL, Connection, address, connect
from journal.keeping.migrations import SCHEMA
from journal.keeping.stopping import now_and_then
from journal.keeping.wal import size_of_wal
from journal.keeping.whereabouts import check_there, gone, note_fold

_TRIES = 5
_SYNC_EVERY_S = 0.05

_door = RLock()
_under_way: dict[tuple[int, int], sqlite3.Connection] = {}  # what folds a file in this process
_waiting: Counter[tuple[int, int]] = Counter()  # changes that are to begin on it
_CHECKPOINT = "pragma wal_checkpoint(passive)"


def begin(db: Connection) -> None:
    """Begin a change.

    Raises
    ------
    KeepingError
        When the file was renamed, deleted or replaced, or a newer program has given it another
        format meanwhile.
    sqlite3.Error
        When another program writes, or the file cannot be written.
    """
    if db.identity is None:
        raise KeepingError("keeping.not-writable-here")
    check_there(db)
    with _broken_off(db.identity):
        db.execute("begin immediate")
    found = db.execute("pragma user_version").fetchone()[0]
    if found != SCHEMA:
        db.execute("rollback")
        raise KeepingError("keeping.format-changed", version=found, known=SCHEMA)


def end(db: Connection) -> None:
    """Commit a change, and fold a `-wal` that has grown large, or have it folded."""
    _mark(db)
    db.execute("commit")
    if _size_beside(db) > LARGE_WAL:
        (db.on_large or partial(fold, db))()


def has_more(db: Connection) -> bool:
    """Whether the `-wal` may hold what is not in the file, of this connection or another."""
    if db.closed:
        return False
    if db.total_changes != db.folded:
        return True
    try:
        beside = db.wal[0].stat()
        return beside.st_size > 0 and beside.st_mtime_ns >= db.path.stat().st_mtime_ns
    except OSError:
        return False


def fold(db: Connection) -> bool:
    """Bring what lies in the `-wal` into the file, so that a copy of the file alone has all.

    Returns
    -------
    bool
        Whether it is all there; False where another program writes or reads: try again later.
    """
    if not has_more(db):
        return True
    if db.in_transaction or gone(db) is not None:
        return False
    wait = db.execute("pragma busy_timeout").fetchone()[0]
    db.execute("pragma busy_timeout = 0")
    try:
        whole = _fold(db)
    except (sqlite3.Error, KeepingError):
        return False
    finally:
        if db.in_transaction:
            db.execute("rollback")
        db.execute(f"pragma busy_timeout = {wait}")
    if whole:
        db.folded = db.total_changes
    return whole


def fold_beside(path: Path) -> bool:
    """Fold by a connection of its own a file that others have open, or this process in another
    thread; whether all is in the file."""
    if size_of_wal(path):
        with suppress(KeepingError, sqlite3.Error), closing(connect(path)) as db:
            return fold(db)
    return False


def _fold(db: Connection) -> bool:
    """The counter of changes is raised first, by a change that nobody's memory is newer than: so
    each era of the `-wal` begins higher than the one before, whoever begins it (`wal.py`)."""
    for _ in range(_TRIES):
        db.execute("pragma shrink_memory")  # what is in memory is read again, and page 1 with it
        db.execute("begin immediate")
        _mark(db)
        db.execute("commit")
        seen = _version(db)
        db.execute("begin immediate")
        if _version(db) == seen:
            whole = _checkpoint(db)
            note_fold(db)
            db.execute("rollback")
            db.execute("pragma shrink_memory")
            return whole
        db.execute("rollback")  # another wrote in between
    return False


def _checkpoint(db: Connection) -> bool:
    with (
        closing(sqlite3.connect(address(db.path, "rw"), uri=True, timeout=0)) as second,
        _known(db, second),
        _synced(db),
    ):
        second.execute("pragma checkpoint_fullfsync = on")
        busy, there, done = second.execute(_CHECKPOINT).fetchone()
    return not busy and there == done


@contextmanager
def _broken_off(file: tuple[int, int]) -> Iterator[None]:
    """Ask another thread of this process to stop folding a file."""
    with _door:
        _waiting[file] += 1
        if (second := _under_way.get(file)) is not None:
            second.interrupt()
    try:
        yield
    finally:
        with _door:
            _waiting[file] -= 1
            if not _waiting[file]:
                del _waiting[file]


@contextmanager
def _known(db: Connection, second: sqlite3.Connection) -> Iterator[None]:
    """So that it is broken off where a change waits, before it copies or while it does."""
    file = db.identity
    if file is None:
        yield
        return
    second.set_progress_handler(lambda: _waiting[file], 1)
    with _door:
        _under_way[file] = second
    try:
        yield
    finally:
        with _door:
            _under_way.pop(file, None)


@contextmanager
def _synced(db: Connection) -> Iterator[None]:
    """Write through to the disk what comes into a file: a large `-wal` would leave all of
    that to the end. By the handle that was there before SQLite's, so that no lock is dropped."""
    head = db.head
    if head is None or _size_beside(db) <= LARGE_WAL:
        yield
        return

    def sync_it() -> None:
        with suppress(OSError):
            os.fsync(head.handle)

    with now_and_then(sync_it, _SYNC_EVERY_S, "sync"):
        yield


def _size_beside(db: Connection) -> int:
    try:
        return os.stat(db.wal[0]).st_size
    except OSError:
        return 0


def _mark(db: Connection) -> None:
    """Write page 1, and with it the file's counter of changes."""
    db.execute(f"pragma user_version = {SCHEMA}")


def _version(db: Connection) -> int:
    return int(db.execute("pragma data_version").fetchone()[0])
