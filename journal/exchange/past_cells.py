"""The cells of a table of past makes as numbers and as text that can be shown."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.exchange import ExchangeError
from journal.exchange.loggers.cells import NOTHING
from journal.exchange.loggers.numbers import EMPTY, GOOD, decimal_mark, read_values
from journal.exchange.loggers.table import RawTable
from journal.findings.columns import summing_rows
from journal.quantities import QuantityError
from journal.quantities.numerals import has_fraction, read_number, tidy

_LONGEST = 200
_LAST = 20  # more rows than these at the end are no sums
_MOSTLY = 0.8  # this share of the filled cells must be numbers, or the column is text


@dataclass(frozen=True)
class NumberColumn:
    """A column as numbers, NaN where there is none; `unread` cells were no number at all.

    `unit` is what stood behind all the numbers ("%", "min"), "" when nothing did.
    """

    values: list[float]
    unread: int
    unit: str


def numeric(cells: Sequence[str], decimal: str = "") -> NumberColumn | None:
    """The column as numbers, None when it holds text.

    `decimal` is the table's mark, for cells that do not show their own.
    """
    parts = [_split(cell) for cell in cells]
    unit = _common_unit(parts)
    bare = [
        number if rest == unit else cell for cell, (number, rest) in zip(cells, parts, strict=True)
    ]
    mark = _shown_mark(bare) or decimal or decimal_mark(bare, "")
    bare = [_decimal(cell, mark) for cell in bare]
    values, fared = read_values(bare, mark, "number", "")
    filled = int((fared != EMPTY).sum())
    good = int((fared == GOOD).sum())
    if not good or good < _MOSTLY * filled:
        return None
    return NumberColumn(values.tolist(), filled - good, unit)


def table_mark(raw: RawTable, *, but: Sequence[int] = ()) -> str:
    """The decimal mark of the whole table, without the columns in `but`.

    Raises
    ------
    ExchangeError
        When a number like 1,234 is in a column that does not show which mark it has, nor does
        any other.
    """
    found: list[str] = []
    unclear: ExchangeError | None = None
    for index, column in enumerate(raw.columns):
        if index in but or numeric(column) is None:
            continue
        cells = [_split(cell)[0] for cell in column]
        found += [cell for cell in cells if not _TWO_READINGS.fullmatch(cell)]
        two = next((cell for cell in cells if _TWO_READINGS.fullmatch(cell)), "")
        if two and not unclear and not _shown_mark(cells):
            unclear = two_readings("exchange.column-two-readings", raw.header[index], two)
    shows = any(re.search(r"[0-9][.,][0-9]", cell) for cell in found)
    if unclear and not shows:
        raise unclear
    return decimal_mark(found, "") if shows else "."


def two_readings(which: str, where: str, number: str) -> ExchangeError:
    """The refusal of a number that is 1.234 to some and 1234 to others."""
    left, right = number.lstrip("+-−").split(",")
    return ExchangeError(which, where=where, number=number, left=left, right=right)


def out_of(cells: Sequence[str]) -> tuple[list[str], float] | None:
    """Scores written "8/10": what is before the stroke, and the top that all share."""
    found = [_OUT_OF.fullmatch(cell) for cell in cells if clean(cell)]
    tops = {one[2] if one else "" for one in found}
    if len(tops) != 1 or "" in tops:
        return None
    return [cell.partition("/")[0] for cell in cells], float(tops.pop())


# What comes after one comma may be thousandths or the rest of a thousand.
_TWO_READINGS = re.compile(r"[+\-−]?[1-9][0-9]{0,2},[0-9]{3}")
_OPEN_MARK = re.compile(r"[+\-−]?[1-9][0-9]{0,2}[.,][0-9]{3}")
_OUT_OF = re.compile(r"\s*([0-9]{1,3}(?:[.,][0-9]+)?)\s*/\s*(5|10|20|50|100)\s*")


def _shown_mark(cells: Sequence[str]) -> str:
    """The decimal mark that the cells themselves show, "" where they leave it open."""
    sure = [cell for cell in cells if not _OPEN_MARK.fullmatch(cell.strip())]
    shows = any(re.search(r"[0-9][.,][0-9]", cell) for cell in sure)
    return decimal_mark(sure, "") if shows else ""


def _split(cell: str) -> tuple[str, str]:
    """The number at the front of a cell as written, and what follows it."""
    text = cell.strip()
    if has_fraction(text):
        try:
            rest = read_number(tidy(text))[1]
        except QuantityError:
            return text, ""
        return tidy(text).removesuffix(rest).strip(), rest
    rest = text.lstrip("+-−").lstrip("0123456789., '").strip()
    return text.removesuffix(rest).strip(), rest


def _decimal(cell: str, mark: str) -> str:
    """A cell whose fraction is written out: "1.5" for "1 1/2", with the table's mark."""
    if not has_fraction(cell):
        return cell
    try:
        value, rest = read_number(tidy(cell))
    except QuantityError:
        return cell
    return cell if rest else f"{value:.10g}".replace(".", mark)


def with_mark(cell: str, mark: str) -> str:
    """A cell whose number has no marks between its thousands and a decimal point, where the
    table's mark says which is which; any other as it is."""
    number, rest = _split(cell)
    if has_fraction(cell) or not _OPEN_MARK.fullmatch(number):
        return cell
    other = "," if mark == "." else "."
    return f"{number.replace(other, '').replace(mark, '.')} {rest}".strip()


def clean(cell: str, longest: int = _LONGEST) -> str:
    """A cell's text on one line, without what cannot be shown; "" for what says nothing."""
    text = " ".join("".join(c if c.isprintable() else " " for c in cell).split())
    return "" if text.lower() in NOTHING else text[:longest]


def first_unit(cells: Sequence[str]) -> str:
    """What stands behind the first number, where cells may have different units."""
    parts = (_split(cell) for cell in cells if cell.strip())
    number, rest = next(parts, ("", ""))
    return rest if number else ""


def sound_rows(raw: RawTable) -> list[int]:
    """The rows that are no repeat of the header."""
    return np.flatnonzero(~raw.repeated).tolist()


def summing(raw: RawTable) -> int:
    """How many rows at the end of the table sum the others up."""
    return summing_rows([[clean(cell) for cell in column[-_LAST:]] for column in raw.columns])


def _common_unit(parts: Sequence[tuple[str, str]]) -> str:
    """What follows the number in every filled cell, "" when it differs or is nothing."""
    ends: Counter[str] = Counter(
        rest for number, rest in parts if f"{number} {rest}".strip().lower() not in NOTHING
    )
    if len(ends) != 1:
        return ""
    end = next(iter(ends))
    return end if 0 < len(end) <= 10 else ""
