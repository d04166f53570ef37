"""Opening and making the file itself: what it must be, how durable it is, how it moves on.

Closing any descriptor of a file takes away every POSIX lock that the process has on it ("How to
corrupt an SQLite database file", section 2.2); another program then takes the `-wal` away under a
window that still writes to it. So the file is opened by other means than SQLite only while this
process has no connection on it.
"""

from __future__ import annotations

import errno
import os
import sqlite3
import struct
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from threading import RLock
from typing import BinaryIO
from weakref import WeakSet

from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.leftovers import half_of
from journal.keeping.migrations import APPLICATION_ID, SCHEMA, TABLES, migrations
from journal.keeping.sums import SummedConnection, add_sums, watch
from journal.message import Message

MAGIC = b"SQLite format 3\x00"
_TRIES = 5

_door = RLock()  # held while a file is opened, made or closed
_open_here: dict[tuple[int, int], WeakSet[Connection]] = {}


class Connection(SummedConnection):
    """A connection that is known in this process for as long as it is open."""

    def close(self) -> None:
        """Close it; then the file may be opened by other means again."""
        with _door:
            super().close()
            for key, connections in list(_open_here.items()):
                connections.discard(self)
                if not connections:
                    del _open_here[key]


def is_open(path: str | Path) -> bool:
    """Whether this process has a connection on the file, under this or any other name, or it is
    the `-shm` with its locks. It must not be opened by other means then."""
    if not _open_here:
        return False
    key = _identity(os.fsdecode(path).removesuffix("-shm"))
    return key is not None and bool(_open_here.get(key))


def open_other(path: Path, *, buffered: bool = True) -> BinaryIO:
    """Open a file that somebody chose, for reading; OSError too when it is an open journal.
    A file that others write to meanwhile is better read without a buffer, which would go stale.

    The `strerror` of the refusal is a message's id: `reason` reads it, and the system's own.
    """
    if is_open(path):
        raise OSError(errno.EBUSY, "keeping.is-open-here")
    return path.open("rb", buffering=-1 if buffered else 0)


def reason(error: OSError) -> Message:
    """Why a file could not be opened, read or written, the system's own words as they stand."""
    return Message(error.strerror or str(error))


def _identity(path: str | Path) -> tuple[int, int] | None:
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return found.st_dev, found.st_ino


def connect(path: Path, *, read_only: bool = False) -> Connection:
    """A connection to a journal of the present schema, with its promises switched on.

    Raises
    ------
    KeepingError
        When the file is missing, of another kind, newer, damaged (`DamageError`), or cannot be
        written where it lies; the file is unchanged then, and nothing is left beside it.
    """
    with _door:
        return _connect(path, read_only=read_only)


def _connect(path: Path, *, read_only: bool) -> Connection:
    known = is_open(path)
    version = SCHEMA if known else look(path)
    alone = not _wal_beside(path)
    if alone and not known:
        _try(path)
    if not read_only:
        _check_writable(path)
        if version < SCHEMA:
            _move_on(path, version)
    elif alone and version < SCHEMA:
        raise _older(path, version)
    mode = "ro" if read_only else "rw"
    if read_only and alone and not _writable(path):
        mode = "ro&immutable=1"
    try:
        return _switch_on(path, mode)
    except sqlite3.Error as error:
        raise _not_opened(path, error) from error


def _wal_beside(path: Path) -> bool:
    """Whether changes that are not yet in the file itself lie beside it."""
    try:
        return Path(f"{path.resolve()}-wal").stat().st_size > 0
    except OSError:
        return False


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
        db = sqlite3.connect(_address(path, "ro&immutable=1"), uri=True, isolation_level=None)
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
    for each in (path, Path(f"{path.resolve()}-wal")):
        with suppress(OSError):
            stat = each.stat()
            found += [stat.st_size, stat.st_mtime_ns]
    return tuple(found)


def _not_opened(path: Path, error: sqlite3.Error) -> KeepingError:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_CANTOPEN:
        return _no_writing(path.parent)
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR):
        return damaged(path)
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

    The last connection to close does this by itself, but only when it may write.
    """
    with _door, suppress(sqlite3.Error):
        db = sqlite3.connect(_address(path, "rw"), uri=True, timeout=0)
        try:
            db.execute("select 1 from sqlite_master limit 1").fetchall()
        finally:
            db.close()


def sync(path: Path) -> None:
    """Have the disk hold a file that is no open journal, or the names in a folder."""
    if path.is_dir() and os.name == "nt":
        return  # a folder cannot be opened there
    handle = os.open(path, os.O_RDWR if os.name == "nt" else os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def name_finished(half: Path, path: Path) -> bool:
    """Give a file that is written whole its name; one that another program made stays, and False
    is returned."""
    try:
        os.link(half, path)
    except FileExistsError:
        return False
    except OSError:  # a disk without links
        if path.exists():
            return False
        half.rename(path)
    finally:
        half.unlink(missing_ok=True)
    return True


def make(path: Path, settings: Mapping[str, str]) -> None:
    """Make a new, empty journal file with its settings; it has its name only when it is whole,
    and an existing file is never overwritten."""
    if path.exists():
        raise KeepingError("keeping.file-exists", file=path.name)
    folder = path.parent
    if not folder.is_dir():
        raise KeepingError("keeping.no-folder", folder=str(folder))
    if not os.access(folder, os.W_OK):
        raise _no_writing(folder)
    half = half_of(path)
    try:
        with _door:
            half.unlink(missing_ok=True)
            _build(half, settings)
            sync(half)
            made = name_finished(half, path)
            sync(folder)
    except (sqlite3.Error, OSError, KeepingError) as error:
        for leftover in (half, Path(f"{half}-wal"), Path(f"{half}-shm")):
            leftover.unlink(missing_ok=True)
        raise KeepingError("keeping.not-made-here", file=path.name, why=_why(error)) from error
    if not made:
        raise KeepingError("keeping.file-exists", file=path.name)


def look(path: Path) -> int:
    """The schema of the file, read from its header alone, so that nothing is touched."""
    try:
        if path.is_dir():
            raise KeepingError("keeping.is-folder", file=path.name)
        with path.open("rb") as file:
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


def _address(path: Path, mode: str) -> str:
    return f"{path.resolve().as_uri()}?mode={mode}"


def _switch_on(path: Path, mode: str) -> Connection:
    db = sqlite3.connect(
        _address(path, mode), uri=True, timeout=5, isolation_level=None, factory=Connection
    )
    try:
        check_ours(db, path)
        if mode == "rw":
            db.execute("pragma journal_mode = wal")
            db.execute("pragma synchronous = full")
            db.execute("pragma fullfsync = on")
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
    key = _identity(path)
    if key is not None:
        _open_here.setdefault(key, WeakSet()).add(db)
    return db


def check_ours(db: sqlite3.Connection, path: Path) -> None:
    """Trust nothing that a file brings along: KeepingError when it holds a trigger, a view or a
    table that no journal has. Asked before any statement that could set one of them off."""
    db.execute("pragma trusted_schema = off")
    db.execute("pragma cell_size_check = on")
    for kind, name in db.execute("select type, name from sqlite_master where type <> 'index'"):
        if kind != "table" or not (name in TABLES or name.startswith("sqlite_")):
            raise KeepingError("keeping.not-ours", file=path.name, noun=kind, name=name)


def _older(path: Path, version: int) -> KeepingError:
    return KeepingError("keeping.older", file=path.name, version=version, known=SCHEMA)


def _build(path: Path, settings: Mapping[str, str]) -> None:
    """The schema of today in a new file, by the same steps an old file would take."""
    db = sqlite3.connect(path, timeout=5)
    try:
        db.execute(f"pragma application_id = {APPLICATION_ID}")
        _apply(db)
        with db:
            db.executemany("insert into setting (key, value) values (?, ?)", settings.items())
            add_sums(db)
    finally:
        db.close()


def _move_on(path: Path, version: int) -> None:
    """Copy first, then migrate, then check; on a fault the copy stays and the file is as it was."""
    copy = path.with_name(f"{path.stem}.format-{version}{path.suffix}")
    half = half_of(copy)
    db = sqlite3.connect(path, timeout=5)
    try:
        check_ours(db, path)
        if not copy.exists():
            db.execute("vacuum into ?", (str(half),))
            sync(half)
            name_finished(half, copy)
            sync(copy.parent)
        _apply(db)
    except (sqlite3.Error, KeepingError) as error:
        raise KeepingError(
            "keeping.not-moved-on", file=path.name, copy=copy.name, why=_why(error)
        ) from error
    finally:
        db.close()
        half.unlink(missing_ok=True)


def _why(error: Exception) -> str | Message:
    return error.message if isinstance(error, KeepingError) else str(error)


def _apply(db: sqlite3.Connection) -> None:
    from sqlite_utils import Database

    wrapped = Database(db, strict=True, execute_plugins=False)
    wrapped.enable_wal()
    db.execute("pragma synchronous = full")
    db.execute("pragma foreign_keys = off")
    migrations().apply(wrapped)
    add_sums(db)
    broken = db.execute("pragma foreign_key_check").fetchall()
    if broken:
        raise KeepingError("keeping.rows-refer-to-nothing", rows=len(broken))
    db.execute("pragma foreign_keys = on")
    db.execute(f"pragma user_version = {SCHEMA}")
    db.commit()
    db.execute("pragma wal_checkpoint(truncate)")
