"""The `-wal` beside a file, read by its published format: what is in it, and whether it is this
file's (https://www.sqlite.org/fileformat2.html#walformat).

The change counter in a file's header goes up by one in each new era of its `-wal` (`folding.py`),
and every change of a journal writes the page it stands on. So a `-wal` continues the file beside
it when the file's counter is the one before its first, or one of its own; else an older or newer
copy was laid there, or the `-wal` is another file's, and SQLite would mix the two.
"""

from __future__ import annotations

import os
import struct
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

if sys.platform != "win32":
    import fcntl

Uint32s = NDArray[np.uint32]
Bytes = NDArray[np.uint8]

COUNTER = slice(24, 28)  # of the file's header
_HEAD, _FRAME, _MAGIC, _VERSION = 32, 24, 0x377F0682, 3_007_000
_AT_ONCE = 2048  # frames
_SIZES = tuple(2**power for power in range(9, 17))  # of a page
_SHARED_FIRST, _SHARED_SIZE = 0x40000002, 510  # what a connection locks while it is open


@dataclass(frozen=True)
class Wal:
    """The whole commits of a `-wal`: a row a frame, head and page, and the file's pages after."""

    page_size: int
    frames: Bytes
    pages: int

    @property
    def counters(self) -> list[int]:
        """The change counters of the first and the last time that page 1 was written, if ever."""
        at = np.flatnonzero(_numbers(self.frames, 0) == 1)
        start = _FRAME + COUNTER.start
        return (
            [int(_numbers(self.frames[[row]], start)[0]) for row in at[[0, -1]]] if len(at) else []
        )

    def belongs_to(self, head: bytes) -> bool:
        """Whether these changes continue the file with that header of 100 bytes."""
        size = struct.unpack(">H", head[16:18])[0]
        if (65_536 if size == 1 else size) != self.page_size:
            return False
        counters = self.counters
        counter: int = struct.unpack(">I", head[COUNTER])[0]
        return not counters or counters[0] - 1 <= counter <= counters[1]


def wal_of(path: Path) -> Path:
    """Where the changes lie that are not in the file yet."""
    return Path(f"{path.resolve()}-wal")


def size_of_wal(path: Path) -> int:
    """Its bytes; 0 where there is none."""
    try:
        return wal_of(path).stat().st_size
    except OSError:
        return 0


def read_wal(path: Path) -> Wal | None:
    """The whole commits beside a file; None where SQLite too would find none.

    Raises
    ------
    OSError
        When it cannot be read.
    """
    data = wal_of(path).read_bytes() if size_of_wal(path) else b""
    start = _begin(data)
    if start is None:
        return None
    magic, _, page_size = struct.unpack(">III", data[:12])
    frames = _frames(data, page_size)
    frames = frames[: _first_false(_of_era(frames, data[16:24]))]
    frames = frames[: _valid(frames, start, ">" if magic & 1 else "<")]
    commits = np.flatnonzero(_numbers(frames, 4))
    if not len(commits):
        return None
    frames = frames[: commits[-1] + 1]
    return Wal(page_size, frames, int(_numbers(frames[-1:], 4)[0]))


def is_cut(path: Path) -> bool:
    """Whether changes lie beside a file that SQLite does not reach any more: behind what was
    damaged in the `-wal`, or not written to the end.

    A frame is of its era by its salts, and its sum goes on from that of the frame before it. So a
    frame after the first unsound one that does so was part of the same changes; and an unsound one
    that ends a change was meant to. What a transaction that did not end left behind is neither.
    """
    data = wal_of(path).read_bytes() if size_of_wal(path) else b""
    start, size = _begin(data), struct.unpack(">I", data[8:12])[0] if len(data) >= _HEAD else 0
    if start is None:
        frames = _frames(data, size if size in _SIZES else _SIZES[3])
        return any(_follow(frames, order).any() for order in "<>")
    order = ">" if data[3] & 1 else "<"
    frames = _frames(data, size)
    mine = _of_era(frames, data[16:24])
    sound = _valid(frames[: _first_false(mine)], start, order)
    if sound == len(frames):
        rest = data[_HEAD + frames.size :]  # one that was cut within its page
        return len(rest) > _FRAME and rest[8:16] == data[16:24] and any(rest[4:8])
    after = mine[sound + 1 :] & _follow(frames[sound:], order)
    ends = bool(mine[sound]) and bool(_numbers(frames[sound : sound + 1], 4)[0])
    return ends or bool(after.any())


def share(path: Path) -> None:
    """Give what SQLite made beside a file the file's group, where the folder does not: its owner
    and the others of the group could not go on with it after a crash."""
    if sys.platform != "win32":
        for each in (wal_of(path), Path(f"{path.resolve()}-shm")):
            with suppress(OSError):
                if each.stat().st_gid != (group := path.stat().st_gid):
                    os.chown(each, -1, group)


def whole_file(path: Path, wal: Wal | None) -> bytes:
    """The bytes of a file with the changes beside it, in a form that needs no `-wal`."""
    data = bytearray(path.read_bytes())
    if wal is not None:
        size = wal.page_size
        data[wal.pages * size :] = b""
        data.extend(bytes(wal.pages * size - len(data)))
        for page, frame in zip(_numbers(wal.frames, 0).tolist(), wal.frames, strict=True):
            if page <= wal.pages:
                data[(page - 1) * size : page * size] = frame[_FRAME:].tobytes()
    data[18:20] = b"\x01\x01"
    return bytes(data)


@contextmanager
def kept_from_others(path: Path) -> Iterator[bytes | None]:
    """Keeps other programs out of a file that this process has no connection on, and gives its
    first 100 bytes; None where another has it open. Where the system cannot tell (a disk without
    locks) nobody has.

    Raises
    ------
    OSError
        When the file cannot be read.
    """
    try:
        handle = os.open(path, os.O_RDWR | getattr(os, "O_BINARY", 0))
    except PermissionError:
        head = path.open("rb").read(100)
        yield None if _others_hold(path) else head
        return
    try:
        yield os.read(handle, 100) if _lock(handle) else None
    finally:
        os.close(handle)


def _lock(handle: int) -> bool:
    """Lock a file as SQLite does before it takes the `-wal` away; False where another has it."""
    if sys.platform == "win32":
        return True  # there what is open cannot be renamed
    try:
        fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB, _SHARED_SIZE, _SHARED_FIRST)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        pass
    return True


def _others_hold(path: Path) -> bool:
    """Whether another program has a file open, asked by one that may only read it."""
    if sys.platform != "linux":
        return False
    asked = struct.pack("@hhqqi4x", fcntl.F_WRLCK, 0, _SHARED_FIRST, _SHARED_SIZE, 0)
    with suppress(OSError), path.open("rb") as file:
        found = struct.unpack("@hhqqi4x", fcntl.fcntl(file, fcntl.F_GETLK, asked))
        return bool(found[0] != fcntl.F_UNLCK)
    return False


def _begin(data: bytes) -> Uint32s | None:
    """The sums with which the frames of a `-wal` begin; None where its head is none."""
    if len(data) < _HEAD:
        return None
    magic, version, page_size = struct.unpack(">III", data[:12])
    if magic & ~1 != _MAGIC or version != _VERSION or page_size not in _SIZES:
        return None
    head: Uint32s = np.frombuffer(data[:24], ">u4" if magic & 1 else "<u4").astype(np.uint32)
    start: Uint32s = (head @ _weights(3)).astype(np.uint32)
    return start if start.tolist() == list(struct.unpack(">II", data[24:32])) else None


def _frames(data: bytes, page_size: int) -> Bytes:
    """The whole frames, a row each."""
    each = _FRAME + page_size
    count = max(0, len(data) - _HEAD) // each
    return np.frombuffer(data, np.uint8, count * each, min(_HEAD, len(data))).reshape(-1, each)


def _of_era(frames: Bytes, salts: bytes) -> NDArray[np.bool_]:
    found: NDArray[np.bool_] = (frames[:, 8:16] == np.frombuffer(salts, np.uint8)).all(axis=1)
    return found


def _follow(frames: Bytes, order: str) -> NDArray[np.bool_]:
    """Of each frame but the first, whether its sum goes on from that of the frame before."""
    if len(frames) < 2:
        return np.zeros(0, bool)
    found = []
    for first in range(0, len(frames) - 1, _AT_ONCE):
        some = frames[first : first + _AT_ONCE + 1]
        found.append((_sums(some[1:], some[:-1, 16:24], order) == _written(some[1:])).all(axis=1))
    return np.concatenate(found)


def _numbers(frames: Bytes, start: int) -> NDArray[np.int64]:
    """The number of four bytes at one place of each frame."""
    return frames[:, start : start + 4].astype(np.int64) @ (256 ** np.arange(3, -1, -1))


def _first_false(rows: NDArray[np.bool_]) -> int:
    return len(rows) if rows.all() else int(np.argmin(rows))


def _valid(frames: Bytes, start: Uint32s, order: str) -> int:
    """How many frames carry the checksum that follows from the frame before."""
    before = start.astype(">u4").view(np.uint8)
    for first in range(0, len(frames), _AT_ONCE):
        some = frames[first : first + _AT_ONCE]
        seeds = np.concatenate([before[None], some[:-1, 16:24]])
        good = _first_false((_sums(some, seeds, order) == _written(some)).all(axis=1))
        if good < len(some):
            return first + good
        before = some[-1, 16:24]
    return len(frames)


def _written(frames: Bytes) -> Uint32s:
    """The sums that stand in frames."""
    return frames[:, 16:24].copy().view(">u4").astype(np.uint32)


def _sums(frames: Bytes, before: Bytes, order: str) -> Uint32s:
    """What the sums of frames come to, each after those written before it."""
    pairs = (frames.shape[1] - 16) // 8
    data = np.concatenate([frames[:, :8], frames[:, _FRAME:]], axis=1)
    seeds = before.copy().view(">u4").astype(np.uint32)
    sums: Uint32s = data.view(f"{order}u4").astype(np.uint32) @ _weights(pairs)
    return sums + seeds @ _power(pairs).T


def _power(n: int) -> Uint32s:
    """What n pairs of zeros make of the two sums: s0 += x0 + s1, s1 += x1 + s0, modulo 2^32."""
    found, step = np.eye(2, dtype=np.uint32), np.array([[1, 1], [1, 2]], np.uint32)
    for _ in range(n):
        found = step @ found
    return found


def _weights(pairs: int) -> Uint32s:
    """What each word of so many pairs adds to the two sums, (2 x pairs, 2)."""
    weights = np.empty((2 * pairs, 2), np.uint32)
    power, step = np.eye(2, dtype=np.uint32), np.array([[1, 1], [1, 2]], np.uint32)
    for pair in range(pairs - 1, -1, -1):
        weights[2 * pair] = power[:, 0] + power[:, 1]
        weights[2 * pair + 1] = power[:, 1]
        power = step @ power
    return weights
