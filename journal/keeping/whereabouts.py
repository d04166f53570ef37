"""A file that is renamed, deleted or replaced while it is open: noticed by its name, and said."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from contextlib import suppress
from pathlib import Path

from journal.keeping.errors import KeepingError
from journal.keeping.file import Connection, identity, sync
from journal.keeping.leftovers import half_of
from journal.keeping.wal import COUNTER, read_wal
from journal.message import Message

_COUNTS = 2**32
_TRIES, _A_MOMENT_S = 5, 0.05
_STEP = 1 << 20
_DESCRIPTORS = Path("/proc/self/fd")


def gone(db: Connection) -> Message | None:
    """What became of the file since it was opened, None where its name still leads to it.

    What lies beside it is folded into it first: the name of the `-wal` did not go with it. No other
    program writes then, for each looks at the name before; so no lock is asked for.
    """
    if db.identity is None or db.closed:
        return None
    if identity(db.path) == db.identity:
        if not _is_written_over(db):
            return None
        _set_apart(db)
    if not db.in_transaction:
        fold_whole(db)
    now = now_at(db)
    if now is not None:
        return Message("keeping.renamed-while-open", file=db.path.name, now=str(now))
    if db.path.exists():
        return Message("keeping.replaced-while-open", file=db.path.name)
    return Message("keeping.deleted-while-open", file=db.path.name)


def check_there(db: Connection) -> None:
    """KeepingError where the file lost the name it was opened by, unless it was released."""
    found = None if db.is_released else gone(db)
    if found is not None:
        if db.on_gone is not None:
            db.on_gone()
        raise KeepingError(found)


def note_fold(db: Connection) -> None:
    """The file was folded here: the counter in its header is right."""
    if db.head is not None:
        db.head.counter = _counter(db.head.read())


def _is_written_over(db: Connection) -> bool:
    """Whether another file was copied into this one (`cp`), by the counter of changes: it only
    grows, and what wrote it last lies in the `-wal`."""
    head = db.head
    if head is None:
        return False
    for _ in range(_TRIES):
        found = head.read()
        if len(found) == 100 and _counter(found) == head.counter:
            return False
        wal = read_wal(db.path)
        if head.read() != found:
            continue  # others fold it at this moment, or it is being copied
        ahead = (_counter(found) - head.counter) % _COUNTS < _COUNTS // 2
        if len(found) == 100 and ahead and (wal is None or wal.belongs_to(found)):
            head.counter = _counter(found)
            return False
        time.sleep(_A_MOMENT_S)
    return True


def _set_apart(db: Connection) -> None:
    """Give what was copied into the open file a file of its own under that name, so that neither
    comes into the other. From here on it is as if that one had been put in its place."""
    head, half = db.head, half_of(db.path)
    if head is None:
        return
    try:
        with half.open("wb") as out:
            size = os.fstat(head.handle).st_size
            for at in range(0, size, _STEP):
                out.write(os.pread(head.handle, _STEP, at))
            os.fsync(out.fileno())
        shutil.copymode(db.path, half)
        half.replace(db.path.resolve())
        sync(db.path.resolve().parent)
    except OSError:
        half.unlink(missing_ok=True)


def _counter(head: bytes) -> int:
    return int.from_bytes(head[COUNTER], "big")


def leave(db: Connection) -> None:
    """Close a file that is gone from its name. SQLite leaves the `-wal` there then; it goes where
    all of it is in the file, and no other file has come to that name."""
    whole = fold_whole(db)
    wal, key = db.wal
    db.close()
    if whole and not db.path.exists() and identity(wal) == key:
        for left in (wal, Path(f"{str(wal).removesuffix('-wal')}-shm")):
            with suppress(OSError):
                left.unlink()


def fold_whole(db: Connection) -> bool:
    """Fold what lies beside a file that is gone from its name into it; whether that is all."""
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
