"""From bytes to rows of cells: the encoding, the delimiter, quotes that were never closed."""

from __future__ import annotations

import codecs
import csv
import gc
import io
import itertools
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import numpy as np

from journal.exchange import ExchangeError

MOST_COLUMNS = 256
MOST_ROWS = 3_000_000
_MOST_CELLS = 10_000_000  # of all rows, those that are filled up included
# Of memory: a row, a cell in it, a text that was not there shortly before (bytes, CPython 3.11).
_MOST_BYTES, _ROW, _CELL, _FRESH = 330_000_000, 72, 16, 56
_FOUR_BYTES = 0xF0  # such a byte of UTF-8 begins a letter of four
_DIFFER, _AGAIN = 0.9, 15  # of a column's texts; so many times of rows until it is looked at again
_KNOWN = 1 << 14  # texts by which an equal one is known again
_LONGEST_LINE = 1 << 20
_SHORT_LINE, _AT_ONCE = 1 << 12, 512  # bytes; rows of short lines that are looked at in one go
_SAMPLE_BYTES = 1 << 18
_SAMPLE_LINES = 400
_BOMS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_NOT_TEXT = (
    (b"PK\x03\x04", "exchange.is-a-spreadsheet"),
    (b"\xd0\xcf\x11\xe0", "exchange.is-an-old-spreadsheet"),
    (b"SQLite format 3", "exchange.is-a-database"),
    (b"%PDF", "exchange.is-a-pdf"),
    (b"\x1f\x8b", "exchange.is-compressed"),
    (b"\x89PNG", "exchange.is-a-picture"),
    (b"\xff\xd8\xff", "exchange.is-a-picture"),
)
_WIDE = ("utf-16", "utf-32")
_SEPARATOR_LINE = re.compile(r'"?sep=(.)"?\s*', re.IGNORECASE)


def encoding_of(data: bytes) -> str:
    """The name of the encoding: by its mark, by its zero bytes, UTF-8 if it is, else Latin-1."""
    for start, what in _NOT_TEXT:
        if data.startswith(start):
            raise ExchangeError(what)
    for mark, name in _BOMS:
        if data.startswith(mark):
            return name
    head = data[:4096]
    even, odd = head[0::2].count(0), head[1::2].count(0)
    if odd > len(head) // 5 and odd > 4 * even:
        return "utf-16-le"
    if even > len(head) // 5 and even > 4 * odd:
        return "utf-16-be"
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        for at in range(0, len(data), _SAMPLE_BYTES):
            decoder.decode(data[at : at + _SAMPLE_BYTES])
    except UnicodeDecodeError:
        return "latin-1"
    return "utf-8"


def lines_of(data: bytes, encoding: str) -> Iterator[str]:
    """The lines of the text with their ends; zero bytes left over are dropped."""
    wide = encoding.startswith(_WIDE)
    if not wide and b"\0" in data:
        data = data.replace(b"\0", b"")
    text = io.TextIOWrapper(io.BytesIO(data), encoding, errors="replace", newline="")
    return text if not wide and _short_lines(data) else _lines(text, zeros=wide)


def _lines(text: io.TextIOWrapper, *, zeros: bool) -> Iterator[str]:
    while line := text.readline(_LONGEST_LINE):
        if len(line) == _LONGEST_LINE:
            raise ExchangeError("exchange.line-too-long")
        yield line.replace("\0", "") if zeros else line


def _short_lines(data: bytes) -> bool:
    """Whether no line is long, looked for in steps as long as one may be."""
    start = 0
    while len(data) - start > _SHORT_LINE:
        start = data.rfind(b"\n", start, start + _SHORT_LINE) + 1
        if not start:
            return False
    return True


def sample_lines(data: bytes, encoding: str) -> list[str]:
    """The first lines that hold anything, without their ends."""
    found: list[str] = []
    for line in lines_of(data[:_SAMPLE_BYTES], encoding):
        if line.strip():
            found.append(line.rstrip("\r\n"))
        if len(found) == _SAMPLE_LINES:
            break
    return found


def delimiter_of(lines: list[str]) -> str:
    """Tab, semicolon or comma: the one that cuts the later lines into equally many cells."""
    text = _SEPARATOR_LINE.fullmatch(lines[0]) if lines else None
    if text:
        return text[1]
    later = lines[len(lines) // 2 :]
    scores = {mark: _evenness(later, mark) for mark in ("\t", ";", ",")}
    for mark, share in scores.items():
        if share >= 0.8:
            return mark
    best = max(scores, key=lambda mark: scores[mark])
    return best if scores[best] >= 0.3 else ","


def _evenness(lines: list[str], delimiter: str) -> float:
    """The share of lines with the usual number of cells, 0 when that is one."""
    try:
        counts = Counter(len(row) for row in csv.reader(lines, delimiter=delimiter))
    except csv.Error:
        counts = Counter(line.count(delimiter) + 1 for line in lines)
    if not counts:
        return 0.0
    usual, times = counts.most_common(1)[0]
    return times / len(lines) if usual > 1 else 0.0


@contextmanager
def no_collecting() -> Iterator[None]:
    """Hold the cycle collector off while many rows are made; they hold only text, no cycles.

    A million rows are read about four times as fast so.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def rows_of(data: bytes, encoding: str, delimiter: str) -> list[list[str]]:
    """Every row that holds anything, as cells.

    A quote that is never closed would swallow the rest of the file; then quotes are read as
    plain characters.
    """
    try:
        rows = _read(data, encoding, delimiter, csv.QUOTE_MINIMAL)
        if not any(cell.count("\n") > 3 for row in rows[-1:] for cell in row):
            return rows
    except csv.Error:
        pass
    try:
        return _read(data, encoding, delimiter, csv.QUOTE_NONE)
    except csv.Error:
        raise ExchangeError("exchange.line-too-long") from None


def refuse_more_cells(rows: int, columns: int) -> None:
    """Refuse a table that would take too much memory once each of its rows is filled up."""
    if rows * columns > _MOST_CELLS:
        raise ExchangeError("exchange.file-more-cells", most=_MOST_CELLS)


def _width(data: bytes, encoding: str) -> int:
    """How many bytes of memory a byte of the file may take as text: one letter of a wide script
    makes the whole cell wide."""
    if encoding.startswith("utf-8") and not data.isascii():
        return 4 if np.frombuffer(data, np.uint8).max() >= _FOUR_BYTES else 2
    return 2 if encoding.startswith("utf-16") else 1


class _Texts:
    """Rows with each text once in memory. A column in which every text is another, such as that of
    the time, is left as it is, and looked at again every few rows."""

    def __init__(self, known: dict[str, str]) -> None:
        self._known = known
        self._apart: list[bool] = []  # of each column
        self._since = 0

    def held_once(self, rows: list[list[str]]) -> tuple[list[list[str]], int]:
        """The rows, and how many of their texts were not looked at."""
        try:
            columns = list(zip(*rows, strict=True)) if len(rows) > 1 else []
        except ValueError:
            columns = []
        if not columns:
            return [list(self._once(row)) for row in rows], 0
        if len(self._apart) != len(columns) or self._since == _AGAIN:
            return self._looked_at(columns), 0
        self._since += 1
        held = [
            column if apart else self._once(column)
            for column, apart in zip(columns, self._apart, strict=True)
        ]
        return list(map(list, zip(*held, strict=True))), sum(self._apart) * len(rows)

    def _looked_at(self, columns: list[tuple[str, ...]]) -> list[list[str]]:
        self._apart, self._since = [], 0
        held = []
        for column in columns:
            before = len(self._known)
            held.append(list(self._once(column)))
            self._apart.append(len(self._known) - before > _DIFFER * len(column))
        return list(map(list, zip(*held, strict=True)))

    def _once(self, texts: Sequence[str]) -> Iterator[str]:
        return map(self._known.setdefault, texts, texts)


def _read(data: bytes, encoding: str, delimiter: str, quoting: int) -> list[list[str]]:
    reader = csv.reader(
        lines_of(data, encoding),
        delimiter=delimiter,
        quoting=quoting,  # type: ignore[arg-type]
        skipinitialspace=True,
    )
    rows: list[list[str]] = []
    known: dict[str, str] = {}  # a text that comes again is held once
    texts = _Texts(known)
    spent = len(data) * (1 + _width(data, encoding))
    at_once = _AT_ONCE if _short_lines(data) else 1
    while some := list(itertools.islice(reader, at_once)):
        before = len(known)
        full, apart = texts.held_once(list(filter(any, some)))
        rows += full
        cells = sum(map(len, full))
        spent += _ROW * len(full) + _CELL * cells + _FRESH * (len(known) - before + apart)
        if len(rows) > MOST_ROWS:
            raise ExchangeError("exchange.file-more-rows", most=MOST_ROWS)
        if spent > _MOST_BYTES:
            raise ExchangeError("exchange.more-than-at-once")
        if len(known) > _KNOWN:
            known.clear()
    if rows and _SEPARATOR_LINE.fullmatch(delimiter.join(rows[0])):
        del rows[0]
    return rows
