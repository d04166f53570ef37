"""The pages of a journal's file read without SQLite, for when a tree of it is broken.

By the published format, https://www.sqlite.org/fileformat2.html: the header (1.3), the freelist
(1.5), b-tree pages (1.6), overflow pages (1.7), records (2.1), the write-ahead log (4). Whatever a
damage has made of a page, reading it ends, and gives at most rows that are none.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

LEAF, INTERIOR, INDEX_LEAF, INDEX_INTERIOR = 0x0D, 0x05, 0x0A, 0x02
_TREES = {LEAF: 8, INTERIOR: 12, INDEX_LEAF: 8, INDEX_INTERIOR: 12}  # bytes of a page's head
_PAGE = 4096
_ASK_EVERY = 256  # pages
_WAL_MAGIC = (0x377F0682, 0x377F0683)
_SIZES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}  # bytes of an integer by its serial type
CellValues = list[int | float | bytes | str | None]  # text is str where it is UTF-8, else bytes


class BrokenPage(ValueError):
    """A page that is not what it should be."""


@dataclass
class ReachedPages:
    """The leaves of a tree that can be reached, and whether that were all."""

    leaves: list[int] = field(default_factory=list)
    inner: list[int] = field(default_factory=list)
    whole: bool = True


class Pages:
    """A file's pages, with what lies in its write-ahead log in place of what it replaces. `on_look`
    is called after some hundred that were looked at, with how many those are."""

    on_look: Callable[[int], None] | None = None

    def __init__(self, path: Path) -> None:
        raw = path.read_bytes()
        size = struct.unpack(">H", raw[16:18].ljust(2, b"\0"))[0]
        size = 65_536 if size == 1 else size
        self.size = size if 512 <= size <= 65_536 and size & (size - 1) == 0 else _PAGE
        self._usable = self.size - (raw[20] if len(raw) > 20 and raw[20] < 33 else 0)
        self._pages = {
            number + 1: raw[at : at + self.size].ljust(self.size, b"\0")
            for number, at in enumerate(range(0, len(raw), self.size))
        }
        self._looked_at = 0
        log = Path(f"{path.resolve()}-wal")
        if log.is_file():
            self._pages.update(_logged(log.read_bytes(), self.size))

    def numbers(self) -> list[int]:
        """The numbers of all pages, from 1."""
        return sorted(self._pages)

    def kind(self, number: int) -> int:
        """What a page says it is, `LEAF` or another; 0 for none."""
        page = self._pages.get(number, b"")
        return page[self._head(number)] if page else 0

    def version(self) -> int:
        """The format the file's header names."""
        return _four(self._pages.get(1, b"").ljust(100, b"\0"), 60)

    def free(self) -> set[int]:
        """The pages that hold nothing any more, as far as their list can be read."""
        found: set[int] = set()
        trunk = _four(self._pages.get(1, b"").ljust(100, b"\0"), 32)
        while trunk in self._pages and trunk not in found:
            found.add(trunk)
            page = self._pages[trunk]
            count = min(_four(page, 4), self.size // 4 - 2)
            found.update(_four(page, 8 + 4 * index) for index in range(count))
            trunk = _four(page, 0)
        return found

    def walk(self, root: int, *, index: bool = False) -> ReachedPages:
        """Go down a table's tree, or an index's, from its root, past what is broken."""
        kinds = (INDEX_LEAF, INDEX_INTERIOR) if index else (LEAF, INTERIOR)
        found, seen, left = ReachedPages(), set[int](), [root]
        while left:
            number = left.pop()
            kind = self.kind(number)
            if number in seen or kind not in kinds:
                found.whole = False
                continue
            seen.add(number)
            if kind in (INTERIOR, INDEX_INTERIOR):
                found.inner.append(number)
                left += self._children(number)
            else:
                found.leaves.append(number)
        return found

    def rows(self, number: int) -> Iterator[tuple[int, CellValues | None]]:
        """The rows of a table's leaf: the id, and the record, None where it cannot be read."""
        for at in self._cells(number):
            page, rowid = self._pages[number], 0
            try:
                length, at = _varint(page, at)
                rowid, at = _varint(page, at)
                payload = self._payload(page, at, length, self._usable - 35)
                yield _signed(rowid), _record(payload)
            except (BrokenPage, IndexError, struct.error):
                yield _signed(rowid), None

    def entries(self, number: int) -> Iterator[CellValues | None]:
        """The entries of an index's page, None where one cannot be read; the last column is the
        row's id."""
        most = (self._usable - 12) * 64 // 255 - 23
        skip = 4 if self.kind(number) == INDEX_INTERIOR else 0
        for at in self._cells(number):
            page = self._pages[number]
            try:
                length, begin = _varint(page, at + skip)
                yield _record(self._payload(page, begin, length, most))
            except (BrokenPage, IndexError, struct.error):
                yield None

    def _head(self, number: int) -> int:
        return 100 if number == 1 else 0

    def _cells(self, number: int) -> list[int]:
        self._looked_at += 1
        if self.on_look is not None and self._looked_at % _ASK_EVERY == 0:
            self.on_look(self._looked_at)
        page, head = self._pages[number], self._head(number)
        begin = head + _TREES.get(page[head], self.size)
        count = min(struct.unpack(">H", page[head + 3 : head + 5])[0], (self.size - begin) // 2)
        if count <= 0:
            return []
        return list(struct.unpack_from(f">{count}H", page, begin))

    def _children(self, number: int) -> list[int]:
        page = self._pages[number]
        found = [_four(page, at) for at in self._cells(number) if at + 4 <= self.size]
        return [*found, _four(page, self._head(number) + 8)]

    def _payload(self, page: bytes, at: int, length: int, most: int) -> bytes:
        if length <= most:
            return self._part(page, at, length)
        least = (self._usable - 12) * 32 // 255 - 23
        local = least + (length - least) % (self._usable - 4)
        local = local if local <= most else least
        if length > self.size * len(self._pages):
            raise BrokenPage
        parts, left = [self._part(page, at, local)], length - local
        following, seen = _four(page, at + local), set[int]()
        while left > 0:
            if following not in self._pages or following in seen:
                raise BrokenPage
            seen.add(following)
            page = self._pages[following]
            parts.append(page[4 : min(self._usable, 4 + left)])
            left -= self._usable - 4
            following = _four(page, 0)
        return b"".join(parts)

    @staticmethod
    def _part(page: bytes, at: int, length: int) -> bytes:
        if at + length > len(page):
            raise BrokenPage
        return page[at : at + length]


def _logged(log: bytes, size: int) -> dict[int, bytes]:
    """The pages of a write-ahead log as of its last commit; none where it is not whole."""
    if len(log) < 32 or _four(log, 0) not in _WAL_MAGIC or _four(log, 8) != size:
        return {}
    order = ">" if _four(log, 0) & 1 else "<"
    sums = _log_sums(log[:24], (0, 0), order)
    if sums != struct.unpack(">II", log[24:32]):
        return {}
    kept: dict[int, bytes] = {}
    since: dict[int, bytes] = {}
    for at in range(32, len(log) - size - 23, size + 24):
        page = log[at + 24 : at + 24 + size]
        sums = _log_sums(log[at : at + 8] + page, sums, order)
        if log[at + 8 : at + 16] != log[16:24] or sums != struct.unpack_from(">II", log, at + 16):
            break
        since[_four(log, at)] = page
        if _four(log, at + 4):
            kept.update(since)
            since = {}
    return kept


def _log_sums(data: bytes, sums: tuple[int, int], order: str) -> tuple[int, int]:
    one, two = sums
    words = struct.unpack(f"{order}{len(data) // 4}I", data)
    for index in range(0, len(words), 2):
        one = (one + words[index] + two) & 0xFFFFFFFF
        two = (two + words[index + 1] + one) & 0xFFFFFFFF
    return one, two


def _record(payload: bytes) -> CellValues:
    head, at = _varint(payload, 0)
    kinds = []
    while at < head:
        kind, at = _varint(payload, at)
        kinds.append(kind)
    found: CellValues = []
    at = head
    for kind in kinds:
        value, at = _value(payload, at, kind)
        found.append(value)
    if at != len(payload):
        raise BrokenPage
    return found


def _value(payload: bytes, at: int, kind: int) -> tuple[int | float | bytes | str | None, int]:
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    size = _SIZES.get(kind, 8 if kind == 7 else (kind - 12) // 2 if kind >= 12 else -1)
    part = payload[at : at + size]
    if size < 0 or len(part) != size:
        raise BrokenPage
    if kind in _SIZES:
        return int.from_bytes(part, "big", signed=True), at + size
    if kind == 7:
        return float(struct.unpack(">d", part)[0]), at + size
    return (part if kind % 2 == 0 else _text(part)), at + size


def _text(part: bytes) -> str:
    try:
        return part.decode()
    except UnicodeDecodeError:
        raise BrokenPage from None


def _varint(data: bytes, at: int) -> tuple[int, int]:
    found = 0
    for index in range(8):
        byte = data[at + index]
        found = found << 7 | byte & 0x7F
        if byte < 0x80:
            return found, at + index + 1
    return found << 8 | data[at + 8], at + 9


def _signed(number: int) -> int:
    return number - (1 << 64) if number >= 1 << 63 else number


def _four(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 4], "big")
