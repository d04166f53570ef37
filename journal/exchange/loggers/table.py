"""A logger's file as a raw table: which lines come before, the header, and columns of text."""

from __future__ import annotations

import hashlib
import itertools
import json
import os
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from operator import itemgetter
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from journal.exchange import ExchangeError
from journal.exchange.loggers.cells import EMPTY, NUMBER, TIME, WORDS, looks, mostly
from journal.exchange.loggers.cut_numbers import rejoined
from journal.exchange.loggers.decoding import (
    MOST_COLUMNS,
    delimiter_of,
    encoding_of,
    no_collecting,
    refuse_more_cells,
    rows_of,
    sample_lines,
)
from journal.exchange.loggers.headers import is_unit_row
from journal.exchange.loggers.long_table import Sensors, sensors_of, widened
from journal.keeping import open_other, reason
from journal.message import Message

LARGEST_BYTES = 100_000_000
_BODY_ROWS = 200
_LONGEST_PREAMBLE = 1000


@dataclass(frozen=True)
class RawTable:
    """The text of a file, cut into columns; nothing is interpreted yet.

    `columns[i][row]` is a cell; `repeated` (rows,) marks rows that repeat the header or the
    lines before it; `uneven` counts rows with more or fewer cells than most; `sensors` says how
    a table with a row for each value was made wide, None where it was not.
    """

    encoding: str
    delimiter: str
    before: tuple[str, ...]
    header: tuple[str, ...]
    columns: tuple[list[str], ...] = field(repr=False)
    repeated: NDArray[np.bool_] = field(repr=False)
    uneven: int = 0
    named: bool = True
    sensors: Sensors | None = None

    @property
    def rows(self) -> int:
        """The number of rows below the header."""
        return len(self.repeated)

    @property
    def shape(self) -> str:
        """The fingerprint by which the next file of this shape is known."""
        text = json.dumps([self.delimiter, list(self.header)])
        return hashlib.sha256(text.encode()).hexdigest()[:16]


def read_table(source: str | os.PathLike[str] | bytes, *, of_makes: bool = False) -> RawTable:
    """Read a file, or its bytes, as a table of text; one `of_makes` has a make in each row, and
    words that come again are no names of sensors.

    Raises
    ------
    ExchangeError
        When it cannot be read, is too large, is not plain text, or holds no rows of readings.
    """
    data = (
        source if isinstance(source, bytes) else bytes_of(Path(source), LARGEST_BYTES, _too_large)
    )
    if len(data) > LARGEST_BYTES:
        raise _too_large(len(data))
    encoding = encoding_of(data)
    lines = sample_lines(data, encoding)
    if not lines:
        raise ExchangeError("exchange.file-empty")
    delimiter = delimiter_of(lines)
    with no_collecting():
        rows = rows_of(data, encoding, delimiter)
        return _table(rows, encoding.removesuffix("-sig"), delimiter, of_makes=of_makes)


def continued(raw: RawTable, data: bytes, encoding: str) -> RawTable:
    """Further rows of a file that was read before: whole lines, cut into the same columns.

    Raises
    ------
    ExchangeError
        When they are no rows of plain text.
    """
    header = raw.sensors.header if raw.sensors else raw.header
    rows = rows_of(data, encoding, raw.delimiter)
    rows = rejoined(rows, len(header) if raw.named else 0, raw.delimiter)
    columns, uneven = _columns(rows, len(header)) if rows else (tuple([] for _ in header), 0)
    repeated = [tuple(_clean(cell) for cell in row) == header for row in rows]
    if raw.sensors is not None:
        columns = widened(raw.sensors, columns)[1]
    return replace(
        raw, before=(), columns=columns, repeated=np.array(repeated, np.bool_), uneven=uneven
    )


def bytes_of(path: Path, most: int, too_large: Callable[[int], ExchangeError]) -> bytes:
    """A file as it is, at most so large; ExchangeError where it is larger, or cannot be read."""
    data = b""
    try:
        size = path.stat().st_size
        if size <= most:
            with open_other(path) as file:
                data = file.read(most + 1)
    except FileNotFoundError:
        raise ExchangeError("exchange.file-not-there", file=path.name) from None
    except (OSError, ValueError) as error:
        no_name = Message("exchange.no-files-name")
        why = reason(error) if isinstance(error, OSError) else no_name
        raise ExchangeError("keeping.file-not-read", file=path.name, why=why) from None
    if max(size, len(data)) > most:
        raise too_large(max(size, len(data)))
    return data


def _too_large(size: int) -> ExchangeError:
    return ExchangeError("exchange.file-too-large", mb=size / 1e6, most=LARGEST_BYTES / 1e6)


def _table(
    rows: list[list[str]], encoding: str, delimiter: str, *, of_makes: bool = False
) -> RawTable:
    body = rows[len(rows) - max(1, len(rows) // 3) :][:_BODY_ROWS] if rows else []
    width = Counter(map(len, body)).most_common(1)[0][0] if body else 0
    if width > MOST_COLUMNS:
        raise ExchangeError("exchange.too-many-columns", columns=width, most=MOST_COLUMNS)
    first = _first_data_row(rows, body, width)
    named = _named(rows, first)
    below = rows[first:]
    whole = rejoined(below, named, delimiter)
    if whole is not below and list(map(len, whole)) != list(map(len, below)):
        rows, below, width = rows[:first] + whole, whole, named
    names, head = _header(rows, first, width)
    columns, uneven = _columns(below, width)
    repeated = _repeats(rows[:first], below)
    sensors = sensors_of(names, columns) if head and not of_makes else None
    if sensors is not None:
        names, columns = _widened(sensors, columns)
    return RawTable(
        encoding=encoding,
        delimiter=delimiter,
        before=tuple(delimiter.join(row)[:200] for row in rows[: first - head][:40]),
        header=names,
        columns=columns,
        repeated=repeated,
        uneven=uneven,
        named=head > 0,
        sensors=sensors,
    )


def _widened(
    sensors: Sensors, columns: tuple[list[str], ...]
) -> tuple[tuple[str, ...], tuple[list[str], ...]]:
    names, wide = widened(sensors, columns)
    return _unique(list(names)), wide


def _first_data_row(rows: list[list[str]], body: list[list[str]], width: int) -> int:
    """The first row whose cells look like those further down."""
    usual = [mostly(row[i] for row in body if i < len(row)) for i in range(width)]
    if NUMBER not in usual:
        raise ExchangeError("exchange.no-numbers")
    for at, row in enumerate(rows[:_LONGEST_PREAMBLE]):
        if _is_data(row, usual):
            return at
    raise ExchangeError("exchange.no-rows")


def _is_data(row: list[str], usual: list[str]) -> bool:
    """Whether the times are times and most numbers numbers; empty cells say nothing."""
    pairs = [
        (looks(cell), want)
        for cell, want in zip(row, usual, strict=False)
        if want in (NUMBER, TIME)
    ]
    known = [(seen, want) for seen, want in pairs if seen != EMPTY]
    if not known or (len(row) < 2 <= len(usual)):
        return False
    times = [seen == want for seen, want in known if want == TIME]
    if TIME in usual and not times:
        return False
    return all(times) and 2 * sum(seen == want for seen, want in known) > len(known)


def _named(rows: list[list[str]], first: int) -> int:
    """How many columns the row above the readings names; 0 where there is no such row."""
    above = [_clean(cell) for cell in rows[first - 1]] if first else []
    while above and not above[-1]:
        above.pop()
    return len(above) if all(above) and _is_header(above, len(above)) else 0


def _header(rows: list[list[str]], first: int, width: int) -> tuple[tuple[str, ...], int]:
    """The names of the columns, each once, and how many rows they took."""
    if first == 0 or not _is_header(rows[first - 1], width):
        return tuple(f"column {i + 1}" for i in range(width)), 0
    last = [_clean(cell) for cell in rows[first - 1]]
    taken = 1
    if first > 1 and is_unit_row(last) and _is_header(rows[first - 2], width):
        above = [_clean(cell) for cell in rows[first - 2]]
        last = [
            f"{name} ({unit.strip('()[] ')})" if unit else name
            for name, unit in itertools.zip_longest(above, last, fillvalue="")
        ]
        taken = 2
    last = (last + [""] * width)[:width]
    return _unique([name or f"column {i + 1}" for i, name in enumerate(last)]), taken


def _is_header(row: list[str], width: int) -> bool:
    kinds = Counter(looks(cell) for cell in row if cell.strip())
    filled = sum(kinds.values())
    return 2 * filled >= width and kinds[WORDS] * 2 >= filled and kinds[TIME] == 0


def _clean(cell: str) -> str:
    """A name on one line, without the traces of a wrongly read degree sign."""
    text = cell.replace("Â°", "°").replace("\ufffd", "°").replace("º", "°")
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())[:120]


def _unique(names: list[str]) -> tuple[str, ...]:
    seen: Counter[str] = Counter()
    found = []
    for name in names:
        seen[name.lower()] += 1
        count = seen[name.lower()]
        found.append(name if count == 1 else f"{name} ({count})")
    return tuple(found)


def _columns(rows: list[list[str]], width: int) -> tuple[tuple[list[str], ...], int]:
    refuse_more_cells(len(rows), width)
    uneven = len(rows) - list(map(len, rows)).count(width)
    if uneven:
        rows = [
            row if len(row) == width else (row + [""] * (width - len(row)))[:width] for row in rows
        ]
    return tuple(list(map(itemgetter(at), rows)) for at in range(width)), uneven


def _repeats(above: list[list[str]], below: list[list[str]]) -> NDArray[np.bool_]:
    """Which rows of the body are the header, or a line before it, once more."""
    known = {tuple(cell.strip() for cell in row) for row in above}
    starts = {row[0] for row in known}
    marks = np.zeros(len(below), dtype=np.bool_)
    heads = map(str.strip, map(itemgetter(0), below))
    for at in [at for at, head in enumerate(heads) if head in starts] if known else ():
        marks[at] = tuple(cell.strip() for cell in below[at]) in known
    return marks
