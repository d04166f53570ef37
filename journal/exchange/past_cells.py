"""The cells of a table of past makes as numbers and as text that can be shown."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.exchange.loggers.cells import NOTHING
from journal.exchange.loggers.numbers import EMPTY, GOOD, decimal_mark, read_values
from journal.exchange.loggers.table import RawTable
from journal.findings.columns import summing_rows

_LONGEST = 200
_LAST = 20  # more rows than these at the end are no sums
_MOSTLY = 0.8  # this share of the filled cells must be numbers, or the column is words


@dataclass(frozen=True)
class Numbers:
    """A column as numbers, NaN where there is none; `unread` cells were no number at all.

    `unit` is what stood behind all the numbers ("%", "min"), "" when nothing did.
    """

    values: list[float]
    unread: int
    unit: str


def numeric(cells: Sequence[str], decimal: str = "") -> Numbers | None:
    """The column as numbers, None when it holds words.

    `decimal` is the table's mark, found in the cells themselves when left out.
    """
    unit = _common_unit(cells)
    bare = [cell.strip().removesuffix(unit).strip() if unit else cell for cell in cells]
    mark = decimal or decimal_mark(bare, "")
    values, fared = read_values(bare, mark, "number", "")
    filled = int((fared != EMPTY).sum())
    good = int((fared == GOOD).sum())
    if not good or good < _MOSTLY * filled:
        return None
    return Numbers(values.tolist(), filled - good, unit)


def table_mark(raw: RawTable) -> str:
    """The decimal mark of the whole table."""
    columns = [column for column in raw.columns if numeric(column) is not None]
    return decimal_mark([cell for column in columns for cell in column], raw.delimiter)


def clean(cell: str, longest: int = _LONGEST) -> str:
    """A cell's text on one line, without what cannot be shown; "" for what says nothing."""
    text = " ".join("".join(c if c.isprintable() else " " for c in cell).split())
    return "" if text.lower() in NOTHING else text[:longest]


def sound_rows(raw: RawTable) -> list[int]:
    """The rows that are no repeat of the header."""
    return np.flatnonzero(~raw.repeated).tolist()


def summing(raw: RawTable) -> int:
    """How many rows at the end of the table sum the others up."""
    return summing_rows([[clean(cell) for cell in column[-_LAST:]] for column in raw.columns])


def _common_unit(cells: Sequence[str]) -> str:
    """What stands behind the number in every filled cell, "" when it differs or is nothing."""
    ends: Counter[str] = Counter()
    for cell in cells:
        text = cell.strip()
        if text.lower() not in NOTHING:
            ends[text.lstrip("+-−").lstrip("0123456789., '").strip()] += 1
    if len(ends) != 1:
        return ""
    end = next(iter(ends))
    return end if 0 < len(end) <= 10 else ""
