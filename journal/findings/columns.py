"""Telling numbers, dates and row numbers apart in the columns of a foreign table."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Sequence
from itertools import pairwise

BLANKS = frozenset({"", "-", "–", "—", "na", "n/a", "nan", "none", "null", "?", "."})
NUMBER_NAMES = frozenset(
    {"id", "no", "no.", "nr", "nr.", "number", "case", "make", "batch", "code", "row", "sample"}
    | {"wheel", "index", "#", "obs", "observation", "lot", "n"}
)
NUMBER_ENDINGS = frozenset({"id", "no", "no.", "nr", "nr.", "number", "code", "index", "#"})
DATE_WORDS = frozenset({"date", "datum", "day made", "made on", "made at", "time", "when"})
SUMMING_WORDS = frozenset(
    {"mean", "means", "average", "avg", "avg.", "median", "total", "totals", "sum", "min", "max"}
    | {"minimum", "maximum", "sd", "s.d.", "std", "stdev", "st. dev.", "standard deviation"}
)
_DATE = re.compile(
    r"^(\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4}"
    r"|\d{1,2}[ -][A-Za-z]{3,9}\.?[ -]\d{2,4}|[A-Za-z]{3,9}\.? \d{1,2},? \d{4})([T ,].*)?$"
)


def is_blank(cell: object) -> bool:
    """Say whether a cell of a table holds nothing (empty, a dash, "n/a", not a number)."""
    if cell is None:
        return True
    if isinstance(cell, float):
        return math.isnan(cell)
    return isinstance(cell, str) and cell.strip().lower() in BLANKS


def number(cell: object) -> float | None:
    """Read one cell as a number; a decimal comma and a per cent sign will do, else None."""
    if isinstance(cell, bool):
        return float(cell)
    if isinstance(cell, int | float):
        return float(cell) if math.isfinite(cell) else None
    if not isinstance(cell, str):
        return None
    text = cell.strip().removesuffix("%").strip().replace("−", "-")
    if text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def numbers(cells: Sequence[object]) -> tuple[list[float], int] | None:
    """Read a column as numbers.

    Returns
    -------
    tuple of list and int, or None
        The values (NaN where blank or unreadable) and how many cells could not be read;
        None when fewer than four in five filled cells are numbers: such a column is a label.
    """
    values = [math.nan if is_blank(c) else number(c) for c in cells]
    filled = sum(not is_blank(c) for c in cells)
    unread = sum(v is None for v in values)
    if filled and unread > filled / 5:
        return None
    return [math.nan if v is None else v for v in values], unread


def is_date(name: str, cells: Sequence[object]) -> bool:
    """Say whether a column holds dates, by its cells or by its name."""
    filled = [c for c in cells if not is_blank(c)]
    if not filled:
        return False
    if all(isinstance(c, dt.date) for c in filled):
        return True
    if all(isinstance(c, str) and _DATE.match(c.strip()) for c in filled):
        return True
    plain = " ".join(re.split(r"[\s_]+", name.strip().lower()))
    if plain in DATE_WORDS or "date" in plain.split():
        return True
    return plain == "year" and all(1900 <= (number(c) or 0) <= 2100 for c in filled)


def summing_rows(columns: Sequence[Sequence[object]]) -> int:
    """Count the rows at the end of a table that sum the others up.

    Such a row has a cell like "Mean", "Average:" or "Total" and no other words.
    """
    rows = min((len(column) for column in columns), default=0)
    count = 0
    while count < rows and _sums([column[rows - 1 - count] for column in columns]):
        count += 1
    return count


def _sums(row: Sequence[object]) -> bool:
    words = [
        " ".join(cell.lower().strip(" :=").split())
        for cell in row
        if isinstance(cell, str) and not is_blank(cell) and number(cell) is None
    ]
    return bool(words) and all(word in SUMMING_WORDS for word in words)


def only_numbers_rows(name: str, values: Sequence[float], *, first: bool) -> bool:
    """Say whether a column merely numbers the rows.

    Whole numbers that rise (or fall) from row to row by one, beginning at 0 or 1 or going on
    for six rows or more, do; so do whole numbers that only rise or only fall in the first
    column of a table or under a name such as "case", "make" or "batch no", where cells may be
    empty too.
    """
    by_name = _names_a_number(name)
    if by_name:
        values = [v for v in values if not math.isnan(v)]
    if len(values) < 2 or any(math.isnan(v) or v != int(v) for v in values):
        return False
    steps = {b - a for a, b in pairwise(values)}
    if not (all(s > 0 for s in steps) or all(s < 0 for s in steps)):
        return False
    if steps in ({1.0}, {-1.0}):
        return by_name or first or min(values) in (0, 1) or len(values) >= 6
    return by_name or first


def _names_a_number(name: str) -> bool:
    words = re.split(r"[\s_]+", name.strip().lower())
    return " ".join(words) in NUMBER_NAMES or words[-1] in NUMBER_ENDINGS
