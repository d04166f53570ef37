"""Tables for spreadsheets: CSV and XLSX, with no cell that a spreadsheet takes for a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from pathlib import Path

from journal.exchange import ExchangeError

CSV, XLSX = ".csv", ".xlsx"
# Where a cell may begin for a spreadsheet: at the text's head, and behind what it may take for the
# end of a cell or a line.
_FORMULA = re.compile(r"(^|[;,|\t\r\n])(?=[=+\-@\t\r])")
_NUMBER = re.compile(r"[+-]?\d{1,15}(?:\.\d{1,12})?")
_UNWRITABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")  # of which XML has no letter
_LONGEST_SHEET = 31

TextRows = Sequence[Sequence[str]]


def write_table(path: str | Path, name: str, titles: Sequence[str], rows: TextRows) -> Path:
    """Write a table as CSV or XLSX, by the ending of the path.

    Raises
    ------
    ExchangeError
        When the ending is another.
    OSError
        When the file cannot be written.
    """
    where = Path(path)
    kind = where.suffix.lower()
    if kind == CSV:
        where.write_bytes(as_csv(titles, rows))
    elif kind == XLSX:
        where.write_bytes(as_xlsx(name, titles, rows))
    else:
        raise ExchangeError("exchange.no-table-suffix", file=where.name)
    return where


def as_csv(titles: Sequence[str], rows: TextRows) -> bytes:
    """The table as UTF-8 text with commas; numbers as numbers, other text safe in a spreadsheet."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([_safe(title) for title in titles])
    writer.writerows([_safe(cell) for cell in row] for row in rows)
    return out.getvalue().encode("utf-8-sig")


def as_xlsx(name: str, titles: Sequence[str], rows: TextRows) -> bytes:
    """The table as the one sheet of a workbook; text is text, never a formula."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Font

    book = Workbook(write_only=True)
    sheet = book.create_sheet(re.sub(r"[\[\]:*?/\\]", " ", name)[:_LONGEST_SHEET] or "Table")
    sheet.freeze_panes = "A2"

    def cell(text: str, bold: bool) -> WriteOnlyCell:
        made = WriteOnlyCell(sheet)
        value = None if bold else number_of(text)
        if value is not None:
            made.value = value
        else:
            made.value = _UNWRITABLE.sub("", text)
            made.data_type = "s"
        if bold:
            made.font = Font(bold=True)
        return made

    sheet.append([cell(title, True) for title in titles])
    for row in rows:
        sheet.append([cell(text, False) for text in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def number_of(text: str) -> float | int | None:
    """The number a cell is, None for any other text: "1,204" and "−0.5" are, "HL-1" is none."""
    plain = text.replace("−", "-").replace(",", "") if _grouped(text) else text.replace("−", "-")
    if not _NUMBER.fullmatch(plain) or (plain.lstrip("+-")[:1] == "0" and plain.isdigit()
                                        and len(plain) > 1):  # fmt: skip
        return None
    return float(plain) if "." in plain else int(plain)


def _grouped(text: str) -> bool:
    return bool(re.fullmatch(r"[+−-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?", text))


def _safe(text: str) -> str:
    value = number_of(text)
    return str(value) if value is not None else safe_text(text)


def safe_text(text: str) -> str:
    """A text with an apostrophe before what a spreadsheet would take for a formula."""
    return _FORMULA.sub(r"\1'", text)
