"""A spreadsheet looked through piece by piece before it is read: it may unpack to anything."""

from __future__ import annotations

import io
import zipfile
from dataclasses import dataclass
from typing import Any
from xml.parsers import expat

from journal.message import MessageError

# A sheet holds what a table of past makes may hold; every other part is small in an honest file.
_MOST_UNPACKED = 300_000_000  # bytes, pictures and all
_MOST_READ = 150_000_000  # bytes of the parts that are XML
_MOST_CELLS = 1_000_000
_MOST_IN_A_ROW = 16_384  # as in any spreadsheet
_MOST_ROWS = 1_048_576
_MOST_ELEMENTS = 65_536  # in a part that is neither a sheet nor its texts
_MOST_NAMED = 4_000  # in the part that names the sheets
_MOST_TEXT = 40_000_000  # letters of all parts
_LONGEST_TEXT = 65_536  # letters of a cell, or of one name
_DEEPEST = 64
_PIECE = 1 << 16


class TooLarge(MessageError):
    """What a file does or holds too much of, without the file's name."""


def refuse_bomb(data: bytes) -> None:
    """Look through all parts of a zipped file that are XML, without keeping any of it.

    Raises
    ------
    TooLarge
        When reading it would take far more memory or time than its like.
    zipfile.BadZipFile, zlib.error, OSError, …
        When it is damaged.
    """
    seen = _Seen()
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        unpacked = sum(entry.file_size for entry in archive.infolist())
        if unpacked > _MOST_UNPACKED:
            raise TooLarge("exchange.unpacks-to", mb=unpacked / 1e6)
        for entry in archive.infolist():
            with archive.open(entry) as part:
                _PackedPart(seen).read(part)


@dataclass
class _Seen:
    """What all parts together held so far."""

    read: int = 0
    text: int = 0
    cells: int = 0


class _PackedPart:
    """One part as it is unpacked: how deep, how many elements, how much text in one of them."""

    def __init__(self, seen: _Seen) -> None:
        self._seen = seen
        self._depth = self._elements = self._rows = self._in_row = self._letters = 0
        self._root = ""
        self._parser = expat.ParserCreate()
        self._parser.buffer_text = False
        self._parser.StartElementHandler = self._on_start
        self._parser.EndElementHandler = self._on_end
        self._parser.CharacterDataHandler = self._on_text

    def read(self, part: Any) -> None:
        """Unpack it; what is no XML is left at its first letters, as every reader does."""
        while piece := part.read(_PIECE):
            try:
                self._parser.Parse(piece, False)
            except expat.ExpatError:
                return
            self._seen.read += len(piece)
            if self._seen.read > _MOST_READ:
                raise TooLarge("exchange.unpacks-to-more", mb=_MOST_READ / 1e6)

    def _on_start(self, tag: str, given: dict[str, str]) -> None:
        name = tag.rpartition(":")[2]
        self._root = self._root or name
        self._depth += 1
        self._elements += 1
        if self._depth > _DEEPEST:
            raise TooLarge("exchange.too-deep")
        if sum(map(len, given.values())) > _LONGEST_TEXT:
            raise TooLarge("exchange.name-without-end")
        if self._root == "worksheet":
            self._on_sheet(name)
        elif self._root == "sst":
            self._count_cell(name == "si")
        elif self._elements > (_MOST_NAMED if self._root == "workbook" else _MOST_ELEMENTS):
            raise TooLarge("exchange.too-many-parts")
        if name in ("c", "si"):
            self._letters = 0

    def _on_sheet(self, name: str) -> None:
        if name == "row":
            self._in_row = 0
            self._rows += 1
        elif name == "c":
            self._in_row += 1
        self._count_cell(name == "c")
        if self._in_row > _MOST_IN_A_ROW:
            raise TooLarge("exchange.row-too-long", most=_MOST_IN_A_ROW)
        if self._rows > _MOST_ROWS:
            raise TooLarge("exchange.more-rows", most=_MOST_ROWS)

    def _count_cell(self, one: bool) -> None:
        """Count a cell; what is around cells may be a few times as many."""
        self._seen.cells += one
        if self._seen.cells > _MOST_CELLS or self._elements > 4 * _MOST_CELLS:
            raise TooLarge("exchange.more-cells", most=_MOST_CELLS)

    def _on_end(self, _tag: str) -> None:
        self._depth -= 1

    def _on_text(self, text: str) -> None:
        self._letters += len(text)
        self._seen.text += len(text)
        if self._seen.text > _MOST_TEXT or (text.strip() and self._letters > _LONGEST_TEXT):
            raise TooLarge("exchange.text-without-end")
