"""Following a file that grows: what was added, through rotation, truncation and restarts."""

from __future__ import annotations

import os
from collections.abc import Generator, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from journal.exchange.sensors.sensor import SensorFault
from journal.keeping import open_other, reason

CHUNK = 1 << 16  # bytes taken at once
_HEAD = 1024  # by its first bytes a file is known again under another name
_TAIL = 64  # and by the last ones that were read of it
_LONGEST_LINE = 1 << 20
_SIBLINGS = 200  # files looked at in the folder for the rest of a rotated one


@dataclass(frozen=True)
class AddedLines:
    """Whole lines added to a file; `fresh` when they are the first of a new or emptied one."""

    data: bytes
    fresh: bool


class Tail:
    """Reads what is added to the file at `path`, whole lines only.

    A file that was renamed and begun again, or emptied in place, is read to its end first, where
    that can still be found: through the handle that is held (not on Windows, where it would keep
    the logger from renaming), else beside it under another name.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: IO[bytes] | None = None
        self._begin()

    def _begin(self) -> None:
        self._identity: tuple[int, int] | None = None
        self._offset = 0  # bytes taken of the file, the half line included
        self._head = b""
        self._tail = b""
        self._half = b""
        self._fresh = True
        self._newline = b""

    def read(self) -> Iterator[AddedLines]:
        """What was added since the last call, in parts; nothing when there is no file."""
        try:
            found = self._path.stat()
        except FileNotFoundError:
            yield from self._finish()
            return
        except OSError as error:
            raise self._unread(error) from None
        if self._identity is not None and not self._goes_on(found):
            yield from self._finish()
        self._identity = (found.st_dev, found.st_ino)
        yield from self._take()

    def close(self) -> None:
        """Let the file go."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def _goes_on(self, found: os.stat_result) -> bool:
        """Whether the file there still begins and goes on with what was read of it."""
        if self._identity != (found.st_dev, found.st_ino) or found.st_size < self._offset:
            return False
        try:
            with open_other(self._path, buffered=False) as file:
                return self._is_same(file)
        except FileNotFoundError:
            return False
        except OSError as error:
            raise self._unread(error) from None

    def _unread(self, error: OSError) -> SensorFault:
        return SensorFault("keeping.file-not-read", file=self._path.name, why=reason(error))

    def _is_same(self, file: IO[bytes]) -> bool:
        if file.read(len(self._head)) != self._head:
            return False
        file.seek(self._offset - len(self._tail))
        return file.read(len(self._tail)) == self._tail

    def _take(self) -> Iterator[AddedLines]:
        """Read on from where it was left."""
        try:
            if self._file is None:
                self._file = open_other(self._path, buffered=False)
            yield from self._lines(self._file)
        except FileNotFoundError:
            return
        except OSError as error:
            self.close()
            raise self._unread(error) from None
        finally:
            if os.name == "nt":
                self.close()

    def _lines(self, file: IO[bytes]) -> Iterator[AddedLines]:
        while data := self._added(file):
            if len(self._head) < _HEAD and self._offset == len(self._head):
                self._head = (self._head + data)[:_HEAD]
            self._offset += len(data)
            self._tail = (self._tail + data)[-_TAIL:]
            whole, self._half = self._cut(self._half + data)
            if whole:
                yield self._part(whole)
            if len(self._half) > _LONGEST_LINE:
                raise SensorFault(
                    "exchange.no-table-of-readings", file=self._path.name, mb=_LONGEST_LINE >> 20
                )

    def _added(self, file: IO[bytes]) -> bytes:
        """What follows the last bytes that were read: read together with them, for the file
        may be emptied and written again at any moment. Nothing where they are no longer there."""
        file.seek(self._offset - len(self._tail))
        found = file.read(len(self._tail) + CHUNK)
        return found[len(self._tail) :] if found.startswith(self._tail) else b""

    def _part(self, data: bytes) -> AddedLines:
        fresh, self._fresh = self._fresh, False
        return AddedLines(data, fresh)

    def _cut(self, data: bytes) -> tuple[bytes, bytes]:
        """Whole lines, and the half one behind them (two bytes a letter in UTF-16)."""
        newline = self._newline or _newline_of(self._head)
        self._newline = newline
        end = data.rfind(newline)
        while end > 0 and len(newline) == 2 and end % 2:
            end = data.rfind(newline, 0, end)
        return (b"", data) if end < 0 else (data[: end + len(newline)], data[end + len(newline) :])

    def _finish(self) -> Iterator[AddedLines]:
        """The rest of a file that is no longer there under this name; then begin again. Where that
        file is not found, nothing says how its half line ended: half a number is none."""
        if self._identity is None:
            return
        found = yield from self._rest()
        if found and self._half.strip(b"\0\r\n\t "):
            yield self._part(self._half + self._newline)
        self.close()
        self._begin()

    def _rest(self) -> Generator[AddedLines, None, bool]:
        held = self._file
        if held is not None and os.fstat(held.fileno()).st_size >= self._offset:
            held.seek(0)
            if self._is_same(held):
                yield from self._lines(held)
                return True
        for other in self._siblings() if self._offset else ():
            try:
                with open_other(other, buffered=False) as file:
                    if self._is_same(file):
                        yield from self._lines(file)
                        return True
            except OSError:
                continue
        return False

    def _siblings(self) -> list[Path]:
        """Other files in the folder that are long enough to be the one that was read: the same
        file under its new name first, then the newest."""
        found = []
        try:
            with os.scandir(self._path.parent) as entries:
                for entry in entries:
                    if entry.name != self._path.name and entry.is_file(follow_symlinks=False):
                        stat = entry.stat(follow_symlinks=False)
                        if stat.st_size >= self._offset:
                            same = (stat.st_dev, stat.st_ino) == self._identity
                            found.append((same, stat.st_mtime_ns, Path(entry.path)))
        except OSError:
            return []
        return [path for _, _, path in sorted(found, reverse=True)[:_SIBLINGS]]


def _newline_of(head: bytes) -> bytes:
    """How a line ends in a file that begins so."""
    start = head[:_HEAD]
    if start.startswith(b"\xff\xfe") or start[1::2].count(0) > len(start) // 4:
        return b"\n\0"
    if start.startswith(b"\xfe\xff") or start[0::2].count(0) > len(start) // 4:
        return b"\0\n"
    return b"\n"
