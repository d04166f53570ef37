"""A file that is renamed, deleted or replaced while it is open: noticed by its name, and said."""

from __future__ import annotations

import os
import sqlite3
from contextlib import suppress
from pathlib import Path

from journal.keeping.errors import KeepingError
from journal.keeping.file import Connection, identity
from journal.message import Message

_DESCRIPTORS = Path("/proc/self/fd")


def gone(db: Connection) -> Message | None:
    """What became of the file since it was opened, None where its name still leads to it.

    What lies beside it is folded into it first: the name of the `-wal` did not go with it. No other
    program writes then, for each looks at the name before; so no lock is asked for.
    """
    if db.identity is None or db.closed or identity(db.path) == db.identity:
        return None
    if not db.in_transaction:
        _fold(db)
    now = now_at(db)
    if now is not None:
        return Message("keeping.renamed-while-open", file=db.path.name, now=str(now))
    if db.path.exists():
        return Message("keeping.replaced-while-open", file=db.path.name)
    return Message("keeping.deleted-while-open", file=db.path.name)


def check_there(db: Connection) -> None:
    """KeepingError where the file has no longer the name it was opened by, unless it was let go."""
    found = None if db.is_let_go else gone(db)
    if found is not None:
        if db.on_gone is not None:
            db.on_gone()
        raise KeepingError(found)


def leave(db: Connection) -> None:
    """Close a file that is gone from its name. SQLite leaves the `-wal` there then; it goes where
    all of it is in the file, and no other file has come to that name."""
    whole = _fold(db)
    wal, key = db.wal
    db.close()
    if whole and not db.path.exists() and identity(wal) == key:
        for left in (wal, Path(f"{str(wal).removesuffix('-wal')}-shm")):
            with suppress(OSError):
                left.unlink()


def _fold(db: Connection) -> bool:
    try:
        busy, there, done = db.execute("pragma wal_checkpoint(passive)").fetchone()
    except (sqlite3.Error, KeepingError):
        return False
    return not busy and there == done


def now_at(db: Connection) -> Path | None:
    """Where an open file lies now: in its folder under another name, or where the system says."""
    beside, links = [], []
    with suppress(OSError):
        beside = [*db.path.parent.iterdir()]
    with suppress(OSError):
        links = [Path(os.readlink(each)) for each in _DESCRIPTORS.iterdir() if each.is_symlink()]
    return next((each for each in [*beside, *links] if identity(each) == db.identity), None)
