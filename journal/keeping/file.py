"""Opening and making the file itself: what it must be, how durable it is, how it moves on.

Closing any descriptor of a file takes away every POSIX lock that the process has on it ("How to
corrupt an SQLite database file", section 2.2); another program then takes the `-wal` away under a
window that still writes to it. So the file is opened by other means than SQLite only while this
process has no connection on it.
"""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import stat
import struct
import sys
import time
import zlib
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path
from threading import RLock
from typing import Any, BinaryIO
from weakref import WeakSet

from journal.keeping.copies import as_it_lies, check_ours
from journal.keeping.disk import name_finished as name_finished
from journal.keeping.disk import number_anew
from journal.keeping.disk import sync as sync
from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.migrations import APPLICATION_ID, SCHEMA
from journal.keeping.moving_on import alone, apply, move_on
from journal.keeping.stopping import Progress, Stop, never, unseen
from journal.keeping.sums import SummedConnection, watch
from journal.keeping.wal import (
    COUNTER,
    is_cut,
    kept_from_others,
    read_wal,
    share,
    size_of_wal,
    wal_of,
    whole_file,
)
from journal.message import Message
from journal.records.instants import local, now_ms, system_zone

MAGIC = b"SQLite format 3\x00"
LARGE_WAL = 4_000_000  # bytes; then the changes beside a file are brought into it
_WAIT_S = 5.0  # for another program that writes
_TRIES = 5
_A_LITTLE = 65_536  # bytes
_A_MOMENT_S = 0.05
_NO_ROOM = (
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_READONLY,
)
_LEFT_OUT = "keeping.other-changes-left-out"
_STAMP = "%Y%m%d-%H%M%S"

_heads: dict[tuple[int, int], FileHeader] = {}  # of the files that are open here
_door = RLock()  # held while a file is opened, made or closed
_open_here: dict[tuple[int, int], WeakSet[Connection]] = {}


@dataclass
class FileHeader:
    """A way to the header of an open file that drops no lock, for it was there before and is closed
    after the last connection; and the counter of changes that was last in that header rightly."""

    handle: int
    counter: int

    def read(self) -> bytes:
        """The first 100 bytes, as they lie."""
        return os.pread(self.handle, 100, 0)


class Connection(SummedConnection):
    """A connection that is known in this process for as long as it is open.

    `path` and `identity` say which file it is on, `remarks` what is to be said of its opening;
    `folded` is how many rows it had changed when all was last in the file itself; `wal` is where
    SQLite writes its changes, and which file that was.
    """

    path: Path
    identity: tuple[int, int] | None = None
    wal: tuple[Path, tuple[int, int] | None]
    folded = 0
    closed = False
    version = SCHEMA  # of the file's format
    is_to_tidy = False  # what SQLite left beside the file is to go at the end
    is_moving = False  # it gives the file the format of today, which takes minutes
    is_released = False  # it has lost its name, and what is written yet goes to the file it was
    on_gone: Callable[[], None] | None = None
    on_large: Callable[[], None] | None = None  # who has a large `-wal` folded, elsewhere

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.remarks: list[Message] = []

    def close(self) -> None:
        """Close it; then the file may be opened by other means again."""
        with _door:
            self.closed = True
            super().close()
            for key, connections in list(_open_here.items()):
                connections.discard(self)
                if not connections:
                    del _open_here[key]
                    if (head := _heads.pop(key, None)) is not None:
                        os.close(head.handle)

    @property
    def head(self) -> FileHeader | None:
        """The way to the file's header; None where there is none."""
        return None if self.identity is None else _heads.get(self.identity)


def sqlite_version() -> str:
    """The release of SQLite that is in use."""
    return sqlite3.sqlite_version


def is_open(path: str | Path) -> bool:
    """Whether this process has a connection on the file, under this or any other name, or it is
    the `-shm` with its locks. It must not be opened by other means then."""
    if not _open_here:
        return False
    key = identity(os.fsdecode(path).removesuffix("-shm"))
    return key is not None and bool(_open_here.get(key))


def open_other(path: Path, *, buffered: bool = True) -> BinaryIO:
    """Open a file that somebody chose, for reading; OSError too when it is an open journal, or no
    plain file: a pipe or a device may never come to an end, and a look at it may set it off.
    A file that others write to meanwhile is better read without a buffer, which would go stale.

    The `strerror` of the refusal is a message's id: `reason` reads it, and the system's own.
    """
    if is_open(path):
        raise OSError(errno.EBUSY, "keeping.is-open-here")
    if not stat.S_ISREG(path.stat().st_mode):
        raise OSError(errno.EINVAL, "keeping.no-plain-file")
    return open(path, "rb", -1 if buffered else 0, opener=_at_once)


def _at_once(path: str, flags: int) -> int:
    """Open without waiting for anybody, should a pipe lie there by now."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def reason(error: OSError) -> Message:
    """Why a file could not be opened, read or written, the system's own words as they stand."""
    return Message(error.strerror or str(error))


def identity(path: str | Path) -> tuple[int, int] | None:
    """The device and the number of the file of that name; None where there is none."""
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return found.st_dev, found.st_ino


def older(path: Path) -> Message | None:
    """What to say of a journal of an earlier format, which opening it to write moves on; None of
    every other file, and of one that may only be read."""
    with suppress(KeepingError):
        if not is_open(path) and look(path) < SCHEMA and _writable(path):
            return Message("keeping.moving-on", file=path.name)
    return None


def connect(
    path: Path, *, read_only: bool = False, stop: Stop = never, progress: Progress = unseen
) -> Connection:
    """A connection to a journal of the present schema, with its promises switched on.

    Raises
    ------
    KeepingError
        When the file is missing, of another kind, newer, damaged (`DamageError`), or cannot be
        written where it lies, or an older one was to be moved on and `stop` said so; the file is
        unchanged then, and nothing is left beside it.
    """
    with _door:
        found = _connect(path, read_only=read_only)
    if not found.is_moving:
        return found
    try:  # others open and close their files meanwhile
        with closing(found):
            move_on(found, path, found.version, stop, progress)
    except KeepingError as error:
        if error.id != "keeping.older-in-use" or look(path) < SCHEMA:
            raise
    with _door:
        db = _connect(path, read_only=False)
    db.remarks = [*found.remarks, *db.remarks]
    return db


def _connect(path: Path, *, read_only: bool) -> Connection:
    """The connection, or to an older file that is to be written one that moves it on."""
    known = is_open(path)
    version = SCHEMA if known else look(path)
    _check_name(path, known=known)
    if not read_only:
        _check_writable(path)
    remark = None if known else _set_aside_foreign(path)
    left_out = remark is not None and remark.id == _LEFT_OUT
    alone = left_out or not size_of_wal(path)
    if alone and not known:
        _try(path)
    try:
        if read_only:
            db = _to_read(path, version, known=known, left_out=left_out)
        elif version < SCHEMA:
            db = _to_move_on(path, version)
        else:
            db = _switch_on(path, "rw")
    except sqlite3.Error as error:
        tidy(path)
        raise _not_opened(path, error) from error
    except OSError as error:
        raise KeepingError("keeping.file-not-read", file=path.name, why=reason(error)) from error
    db.remarks += [remark] if remark is not None else []
    return db


def _to_move_on(path: Path, version: int) -> Connection:
    """A connection that is known here, so that nothing here opens the file by other means."""
    db = alone(path, Connection)
    db.path, db.identity, db.version, db.is_moving = path, identity(path), version, True
    db.wal = wal_of(path), identity(wal_of(path))
    if db.identity is not None:
        _open_here.setdefault(db.identity, WeakSet()).add(db)
    return db


def _to_read(path: Path, version: int, *, known: bool, left_out: bool) -> Connection:
    """A connection that reads, and leaves nothing beside a file of another person's: what SQLite
    makes there belongs to the reader, and would lock the owner out. An older file is moved on in
    memory alone; so is read what lies beside a file where SQLite cannot make its index of it, on a
    full disk or in a folder that cannot be written to.
    """
    mine = _is_mine(path)
    if version == SCHEMA and not left_out and (known or mine or _is_live(path)):
        try:
            db = _switch_on(path, "ro" if mine else "ro&readonly_shm=1")
        except sqlite3.Error as error:
            if getattr(error, "sqlite_errorcode", 0) & 0xFF not in _NO_ROOM:
                raise
            tidy(path)
        else:
            db.is_to_tidy = mine
            return db
    return _read_alone(path, version, left_out=left_out)


def _read_alone(path: Path, version: int, *, left_out: bool) -> Connection:
    """A connection on a file as it lies, or on its bytes with the changes beside it."""
    for _ in range(_TRIES):
        before = _state(path)
        wal = None if left_out else read_wal(path)
        if wal is None and version == SCHEMA:
            return _switch_on(path, "ro&immutable=1")
        data = whole_file(path, wal)
        if _state(path) == before:
            break
    else:
        raise KeepingError("keeping.busy")
    db = sqlite3.connect(":memory:", isolation_level=None, factory=Connection)
    try:
        db.deserialize(_of_today(data, path))
        watch(db, writing=False)
    except BaseException:
        db.close()
        raise
    db.path = path
    return db


def _of_today(data: bytes, path: Path) -> bytes:
    """The bytes of a file in the format of today."""
    with closing(sqlite3.connect(":memory:")) as db:
        db.deserialize(data)
        check_ours(db, path)
        if db.execute("pragma user_version").fetchone()[0] == SCHEMA:
            return data
        apply(db)
        return db.serialize()


def _is_mine(path: Path) -> bool:
    """Whether what SQLite makes beside a file belongs to who has the file, and can be made."""
    if not _writable(path):
        return False
    return os.name == "nt" or os.geteuid() in (0, path.stat().st_uid)


def _is_live(path: Path) -> bool:
    with kept_from_others(path) as head:
        return head is None


def _check_name(path: Path, *, known: bool) -> None:
    """KeepingError where a file is open under another name: after a renaming, or by a second link.
    Its changes lie beside that name then, and SQLite would not find them ("How to corrupt an SQLite
    database file", section 2.5)."""
    key = identity(path)
    if known and key is not None:
        if any(each.is_moving for each in _open_here[key]):
            raise KeepingError("keeping.moved-on-here", file=path.name)
        others = any(each.wal[0] != wal_of(path) for each in _open_here[key])
    else:
        others = _is_open_without_wal(path)
    if others:
        raise KeepingError("keeping.open-under-other-name", file=path.name)


def _is_open_without_wal(path: Path) -> bool:
    """Asked again where another program may be just about to begin its `-wal`."""
    for _ in range(_TRIES):
        try:
            with kept_from_others(path) as head:
                if head is not None or wal_of(path).exists():
                    return False
        except OSError:
            return False
        time.sleep(_A_MOMENT_S)
    return True


def _set_aside_foreign(path: Path) -> Message | None:
    """Rename a `-wal` that is not this file's, before SQLite meets it; what to say of that."""
    wal = wal_of(path)
    if not size_of_wal(path):
        return None
    try:
        with kept_from_others(path) as head:
            if head is None:
                _check_continued(path)
                return None  # whoever has it open looked
            found = read_wal(path)
            if found is None or found.belongs_to(head):
                return _keep_what_is_cut(path, wal)
            aside = Path(f"{wal}-{local(now_ms(), system_zone()):{_STAMP}}")
            wal.rename(aside)
            Path(f"{path.resolve()}-shm").unlink(missing_ok=True)
    except PermissionError:
        # On Windows what is open cannot be renamed: then it is in use, and whoever does looked.
        return None if os.name == "nt" else Message(_LEFT_OUT, file=path.name, wal=wal.name)
    except OSError as error:
        raise KeepingError("keeping.file-not-read", file=path.name, why=reason(error)) from error
    return Message("keeping.other-changes-set-aside", file=path.name, aside=aside.name)


def _keep_what_is_cut(path: Path, wal: Path) -> Message | None:
    """Keep a copy of a `-wal` from which changes are lost, once, and say so."""
    if not is_cut(path):
        return None
    whole = wal.read_bytes()
    aside = Path(f"{wal}-damaged-{zlib.crc32(whole):08x}")
    if not aside.exists():
        with suppress(OSError):
            aside.write_bytes(whole)
    return Message("keeping.changes-cut", file=path.name, aside=aside.name)


def _check_continued(path: Path) -> None:
    """KeepingError where another program has a file open over which another was laid meanwhile."""
    for _ in range(_TRIES):
        with path.open("rb") as file:
            before = file.read(100)
        wal = read_wal(path)
        if wal is None or wal.belongs_to(before):
            return
        time.sleep(_A_MOMENT_S)
    raise KeepingError("keeping.replaced-elsewhere", file=path.name)


def _try(path: Path) -> None:
    """Read the schema and the settings without a file beside; raises what a damage says.

    It takes no locks: where another program wrote to the file meanwhile, that says nothing.
    """
    for _ in range(_TRIES):
        before = _state(path)
        try:
            _try_once(path)
        except KeepingError:
            if _state(path) == before:
                raise
        else:
            return


def _try_once(path: Path) -> None:
    try:
        db = sqlite3.connect(as_it_lies(path), uri=True, isolation_level=None)
        try:
            check_ours(db, path)
            db.execute("select * from sqlite_master").fetchall()
            db.execute("select key, value from setting").fetchall()
        finally:
            db.close()
    except sqlite3.Error as error:
        raise _not_opened(path, error) from error
    if _cut_short(path):
        raise damaged(path)


def _state(path: Path) -> tuple[object, ...]:
    """What changes when another program writes to the file."""
    found: list[object] = []
    for each in (path, wal_of(path)):
        with suppress(OSError):
            stat = each.stat()
            found += [stat.st_size, stat.st_mtime_ns]
    return tuple(found)


def _not_opened(path: Path, error: sqlite3.Error) -> KeepingError:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_CANTOPEN:
        return _no_writing(path.parent)
    if code in (0, sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR):
        return damaged(path)
    if code == sqlite3.SQLITE_IOERR and shutil.disk_usage(path.parent).free < _A_LITTLE:
        return KeepingError("keeping.disk-full")  # SQLite has no room for its index of changes
    return KeepingError("keeping.not-opened", file=path.name, why=str(error))


def damaged(path: Path) -> DamageError:
    """What to say of a journal that cannot be opened for its damage."""
    cut = _cut_short(path)
    if cut is None:
        return DamageError("keeping.file-damaged", file=path.name)
    return DamageError("keeping.file-cut-short", file=path.name, there=cut[0], whole=cut[1])


def _cut_short(path: Path) -> tuple[int, int] | None:
    """How many bytes are there, and of how many, where the header speaks of more."""
    with _door:
        if is_open(path):
            return None
        with path.open("rb") as file:
            head = file.read(100)
    page, pages = struct.unpack(">H", head[16:18])[0], struct.unpack(">I", head[28:32])[0]
    whole, there = (65_536 if page == 1 else page) * pages, path.stat().st_size
    if there >= whole or head[24:28] != head[92:96]:
        return None
    return there, whole


def tidy(path: Path) -> None:
    """Take away what a connection that could not write left beside the file, where that goes.

    The last connection to close does this by itself, but only when it may write, and not where the
    disk is full.
    """
    with _door:
        with suppress(sqlite3.Error):
            db = sqlite3.connect(address(path, "rw"), uri=True, timeout=0)
            try:
                db.execute("select 1 from sqlite_master limit 1").fetchall()
            finally:
                db.close()
        if is_open(path):
            return
        with suppress(OSError), kept_from_others(path) as head:
            if head is not None and not size_of_wal(path):
                wal_of(path).unlink(missing_ok=True)
            if head is not None:
                Path(f"{path.resolve()}-shm").unlink(missing_ok=True)


def number_on(path: Path) -> None:
    """After the last connection was closed that changed the file: let its counter of changes jump,
    so that of two copies that were gone on with apart each has counts of its own."""
    with _door, suppress(OSError):
        if not is_open(path) and not wal_of(path).exists():
            with kept_from_others(path) as head:
                if head is not None and not wal_of(path).exists():
                    number_anew(path, int.from_bytes(head[COUNTER], "big"))


def look(path: Path) -> int:
    """The schema of the file, read from its header alone, so that nothing is touched."""
    try:
        if path.is_dir():
            raise KeepingError("keeping.is-folder", file=path.name)
        with open_other(path) as file:
            head = file.read(100)
    except FileNotFoundError:
        raise KeepingError("keeping.no-file", file=str(path)) from None
    except OSError as error:
        raise KeepingError("keeping.file-not-read", file=path.name, why=reason(error)) from error
    if len(head) < 100 or not head.startswith(MAGIC):
        raise KeepingError("keeping.other-kind", file=path.name)
    version, kind = struct.unpack(">I", head[60:64])[0], struct.unpack(">I", head[68:72])[0]
    if kind != APPLICATION_ID:
        raise KeepingError("keeping.other-database", file=path.name)
    if version > SCHEMA:
        raise KeepingError("keeping.newer", file=path.name, version=version, known=SCHEMA)
    return int(version)


def _writable(path: Path) -> bool:
    return os.access(path.parent, os.W_OK) and os.access(path, os.W_OK)


def _check_writable(path: Path) -> None:
    if not os.access(path.parent, os.W_OK):
        raise _no_writing(path.parent)
    if not os.access(path, os.W_OK):
        raise KeepingError("keeping.write-protected", file=path.name)


def _no_writing(folder: Path) -> KeepingError:
    return KeepingError("keeping.folder-not-writable", folder=str(folder))


def address(path: Path, mode: str) -> str:
    """What SQLite is to open: the file itself where a link is named."""
    return f"{path.resolve().as_uri()}?mode={mode}"


def _switch_on(path: Path, mode: str) -> Connection:
    head = _head(path)
    try:
        db = _switched_on(path, mode)
    except BaseException:
        if head is not None:
            os.close(head.handle)
        raise
    if db.identity is not None:
        _open_here.setdefault(db.identity, WeakSet()).add(db)
        if head is not None:
            _heads[db.identity] = head
    return db


def _head(path: Path) -> FileHeader | None:
    """The way to a file's header, before this process has a connection on it. On Windows there is
    none: what is open cannot be written over there."""
    if sys.platform == "win32" or is_open(path):
        return None
    try:
        handle = os.open(path, os.O_RDONLY)
    except OSError:
        return None
    return FileHeader(handle, int.from_bytes(os.pread(handle, 100, 0)[COUNTER], "big"))


def _switched_on(path: Path, mode: str) -> Connection:
    db = sqlite3.connect(
        address(path, mode), uri=True, timeout=_WAIT_S, isolation_level=None, factory=Connection
    )
    try:
        check_ours(db, path)
        if mode == "rw":
            db.execute("pragma journal_mode = wal")
            db.execute("pragma synchronous = full")
            db.execute("pragma fullfsync = on")
            db.execute("pragma checkpoint_fullfsync = on")
            db.execute("pragma wal_autocheckpoint = 0")  # `folding.py` says when, and how
            db.execute(f"pragma journal_size_limit = {LARGE_WAL}")
            share(path)
        db.execute("pragma foreign_keys = on")
        found = db.execute("pragma user_version").fetchone()[0]
        if found == SCHEMA:
            watch(db, writing=mode == "rw")
    except BaseException:
        db.close()
        raise
    if found != SCHEMA:
        db.close()
        raise _older(path, found)
    db.path, db.identity = path, identity(path)
    db.wal = wal_of(path), identity(wal_of(path))
    return db


def _older(path: Path, version: int) -> KeepingError:
    return KeepingError("keeping.older", file=path.name, version=version, known=SCHEMA)
