"""What a name on the disk leads to: written whole before it has it, and durable once it has."""

from __future__ import annotations

import os
import secrets
import sys
from contextlib import suppress
from pathlib import Path

from journal.keeping.wal import COUNTER


def sync(path: Path) -> None:
    """Write through to the disk a file that is no open journal, or the names in a folder."""
    if path.is_dir() and os.name == "nt":
        return  # a folder cannot be opened there
    handle = os.open(path, os.O_RDWR if os.name == "nt" else os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def make_folder(path: Path) -> None:
    """Make a folder, and those above it, unless they are there, and have the disk hold its name."""
    made = [each for each in path.parents if not each.exists()]
    path.mkdir(parents=True, exist_ok=True)
    for each in (path, *made):
        with suppress(PermissionError):  # a folder in which nothing of one's own could be made
            sync(each.parent)


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


def number_anew(path: Path, after: int | None = None) -> None:
    """Let the change counter of a file that nobody has open begin anywhere, or go on by some
    thousands: a `-wal` that another left under its name, or that was written to a twin of this file
    meanwhile, does not follow it then."""
    number = secrets.randbits(30) + 1 if after is None else after + 1 + secrets.randbits(16)
    handle = os.open(path, os.O_RDWR | getattr(os, "O_BINARY", 0))
    try:
        head = bytearray(os.read(handle, 100))
        for offset in (COUNTER.start, 92):  # and the count that the size in the header is valid for
            head[offset : offset + 4] = (number % 2**32).to_bytes(4, "big")
        if sys.platform == "win32":
            os.lseek(handle, 0, os.SEEK_SET)
            os.write(handle, head)
        else:
            os.pwrite(handle, head, 0)
        os.fsync(handle)
    finally:
        os.close(handle)
