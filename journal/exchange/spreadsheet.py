"""Tables of other people's making, CSV or XLSX, as columns of text; hostile until parsed."""

from __future__ import annotations

import csv
import datetime as dt
import io
import itertools
import re
import warnings
from collections.abc import Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from journal.exchange import ExchangeError
from journal.exchange.loggers.decoding import MOST_COLUMNS
from journal.exchange.loggers.table import RawTable, bytes_of, read_table
from journal.exchange.past_cells import two_readings
from journal.exchange.sheet_limits import TooLarge, refuse_bomb

LARGEST_BYTES = 30_000_000
MOST_ROWS = 100_000
MOST_CELLS = 1_000_000
_MOST_TEXT = 20_000_000  # letters; a text that many cells share counts for each
_LONGEST_CELL = 2000
_TWO_READINGS = re.compile(r"([+\-−]?[1-9][0-9]{0,2},[0-9]{3})(?: ?[^0-9 ]{1,10})?")
_ZIP = b"PK\x03\x04"
# What is said of a file without readings, where makes are looked for.
_NO_READINGS = (
    "exchange.file-empty", "exchange.no-numbers", "exchange.no-rows", "exchange.line-too-long",
)  # fmt: skip


def read_foreign(path: str | Path) -> RawTable:
    """Read a table from a spreadsheet: delimited text, or the first filled sheet of an XLSX.

    Raises
    ------
    ExchangeError
        When the file is missing, too large, damaged or holds no table.
    """
    where = Path(path)
    data = _bytes(where)
    if data.startswith(_ZIP):
        data = _sheet_as_text(data, where.name)
    table = _table(data, where.name)
    if table.rows > MOST_ROWS:
        raise ExchangeError(
            "exchange.too-many-rows", file=where.name, rows=table.rows, most=MOST_ROWS
        )
    if table.rows * len(table.columns) > MOST_CELLS:
        raise ExchangeError("exchange.more-cells", file=where.name, most=MOST_CELLS)
    return table


def _table(data: bytes, name: str) -> RawTable:
    """The table; what is no table of makes is refused in words about makes."""
    try:
        return read_table(data, of_makes=True)
    except ExchangeError as error:
        if error.id not in _NO_READINGS:
            raise
        raise ExchangeError("exchange.no-table-of-makes", file=name) from error


def _bytes(path: Path) -> bytes:
    if path.is_dir():
        raise ExchangeError("exchange.table-is-folder", file=path.name)
    return bytes_of(path, LARGEST_BYTES, partial(_too_many_bytes, path.name))


def _too_many_bytes(name: str, size: int) -> ExchangeError:
    most = LARGEST_BYTES / 1e6
    return ExchangeError("exchange.table-too-large", file=name, mb=size / 1e6, most=most)


def _sheet_as_text(data: bytes, name: str) -> bytes:
    """The first filled sheet as tab-separated text, with values in place of formulas."""
    try:
        refuse_bomb(data)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            rows = _filled_rows(data)
    except ExchangeError:
        raise
    except TooLarge as error:
        raise ExchangeError(error.id, **error.values, file=name) from None
    except Exception as error:
        raise ExchangeError("exchange.no-spreadsheet", file=name) from error
    if not rows:
        raise ExchangeError("exchange.no-filled-sheet", file=name)
    out = io.StringIO("sep=\t\n")
    out.seek(0, io.SEEK_END)
    csv.writer(out, delimiter="\t", lineterminator="\n").writerows(rows)
    return out.getvalue().encode()


def _filled_rows(data: bytes) -> list[list[str]]:
    import openpyxl

    if not openpyxl.DEFUSEDXML:
        raise ExchangeError("exchange.no-defusedxml")
    book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    try:
        for sheet in book.worksheets:
            rows = list(itertools.islice(_rows(sheet.iter_rows()), MOST_ROWS + 1))
            if len(rows) > MOST_ROWS:
                name = sheet.title[:40]
                raise ExchangeError("exchange.sheet-too-long", sheet=name, most=MOST_ROWS)
            if len(rows) > 1:
                return _squared(rows)
    finally:
        book.close()
    return []


def _rows(rows: Iterable[Iterable[Any]]) -> Iterator[list[str]]:
    """Rows that hold anything, without the empty cells at their end."""
    letters = 0
    for count, row in enumerate(rows):
        if count > 10 * MOST_ROWS:
            return
        cells = [_text(cell) for cell in itertools.islice(row, MOST_COLUMNS)]
        while cells and not cells[-1]:
            cells.pop()
        letters += sum(map(len, cells))
        if letters > _MOST_TEXT:
            raise TooLarge("exchange.too-much-text")
        if cells:
            yield cells


def _squared(rows: list[list[str]]) -> list[list[str]]:
    width = max(map(len, rows))
    return [row + [""] * (width - len(row)) for row in rows]


def _text(cell: Any) -> str:
    """A cell as a person would write it in a CSV file: ISO dates, decimal points."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(int(value))
    if isinstance(value, dt.datetime):
        whole = value.time() == dt.time()
        return value.date().isoformat() if whole else value.isoformat(sep=" ", timespec="seconds")
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, dt.timedelta):
        return f"{value.total_seconds() / 60:.10g}"
    if isinstance(value, int | float):
        percent = str(getattr(cell, "number_format", "")).endswith("%")
        return f"{value * 100:.12g}%" if percent else f"{value:.15g}"
    text = " ".join(str(value).split())[:_LONGEST_CELL]
    two = _TWO_READINGS.fullmatch(text)
    if two:  # the numbers beside it show no mark, whatever the sheet shows
        raise two_readings("exchange.cell-two-readings", cell.coordinate, two[1])
    return text
