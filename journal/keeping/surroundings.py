"""What can go wrong where a journal lies: by its locks tried, its kind of disk, its neighbours."""

from __future__ import annotations

import os
import sqlite3
import sys
from contextlib import closing, suppress
from pathlib import Path
from tempfile import TemporaryFile

from journal.keeping.copies import as_it_lies, check_ours
from journal.keeping.errors import KeepingError
from journal.keeping.file import is_open, look
from journal.keeping.migrations import SCHEMA
from journal.keeping.origin import origin_of
from journal.keeping.wal import size_of_wal
from journal.message import Message

if sys.platform != "win32":
    import fcntl

MOUNTS = Path("/proc/self/mounts")
# Kinds of file systems, as the system names them, whose files lie on another computer.
_SHARES = frozenset(
    ("9p", "afs", "cifs", "davfs", "fuse.davfs", "fuse.sshfs", "nfs", "nfs4", "smb3", "smbfs")
)
_DRIVE_REMOTE = 4


def cautions(db: sqlite3.Connection, path: Path) -> list[Message]:
    """Warnings about the folder of an open journal, a message each."""
    file = path.resolve()
    found = []
    if not locks_hold(file.parent):
        found.append(Message("keeping.locks-do-not-hold", folder=str(file.parent)))
    kind = share_of(file)
    if kind:
        found.append(Message("keeping.on-a-share", file=file.name, kind=kind))
    others = _apart(db, file)
    if others:
        found.append(Message("keeping.copies-with-changes", file=file.name, others=others))
    return found


def locks_hold(folder: Path) -> bool:
    """Whether a lock on a file in this folder keeps another process out, as SQLite needs it: one is
    taken, and a child process tries to take it too. True where that cannot be tried."""
    if sys.platform == "win32" or not os.access(folder, os.W_OK):
        return True
    try:
        with TemporaryFile(dir=folder, prefix=".vatside-lock-") as file:
            try:
                fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, 1)
            except OSError:
                return False
            child = os.fork()
            if not child:
                os._exit(_is_refused(file.fileno()))
            return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 1
    except OSError:
        return True


def _is_refused(handle: int) -> int:
    """In the child: 1 when the parent's lock keeps it out. Locks are not inherited."""
    try:
        fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB, 1)
    except OSError:
        return 1
    return 0


def share_of(file: Path) -> str:
    """The kind of network share that a file lies on, as the system names it; "" for none, or where
    the system does not tell."""
    if sys.platform == "win32":
        import ctypes

        drive = ctypes.windll.kernel32.GetDriveTypeW(f"{file.drive}\\")
        return "SMB" if drive == _DRIVE_REMOTE or file.drive.startswith("\\\\") else ""
    best, kind = -1, ""
    with suppress(OSError):
        for line in MOUNTS.read_text(encoding="utf-8", errors="replace").splitlines():
            _, where, here, *_ = line.split(" ")
            root = Path(where.encode().decode("unicode_escape"))
            if file.is_relative_to(root) and len(root.parts) >= best:
                best, kind = len(root.parts), here
    return kind if kind in _SHARES else ""


def _apart(db: sqlite3.Connection, file: Path) -> list[str]:
    """Files beside a journal, called as it is and something more, that come from it and hold acts
    that it has not: as is made of it where two computers write to one folder."""
    origin = origin_of(db)
    mine: set[tuple[str, int]] | None = None
    found = []
    for each in sorted(file.parent.glob(f"*{file.suffix}")):
        begins = each.stem.startswith(file.stem) or file.stem.startswith(each.stem)
        if each == file or not begins or is_open(each) or size_of_wal(each):
            continue
        with suppress(KeepingError, sqlite3.Error, OSError):
            if look(each) < SCHEMA:
                continue
            with closing(sqlite3.connect(as_it_lies(each), uri=True)) as other:
                check_ours(other, each)
                if origin_of(other) != origin:
                    continue
                mine = _acts(db) if mine is None else mine
                if _acts(other) - mine:
                    found.append(each.name)
    return found


def _acts(db: sqlite3.Connection) -> set[tuple[str, int]]:
    """Who did what when: the acts that a file knows of."""
    return {(by, at_ms) for by, at_ms in db.execute('select "by", at_ms from main.act')}
