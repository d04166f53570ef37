"""Numbers that were cut in two, because the decimal mark and the mark between cells are both a
comma: joined again where that can be done in one way only, else refused."""

from __future__ import annotations

import re
from collections.abc import Sequence

from journal.exchange import ExchangeError

_WHOLE = re.compile(r"\s*[+\-−]?[0-9]{1,4}\s*")
_REST = re.compile(r"[0-9]{1,6}\s*")
_POINT = re.compile(r"\s*[+\-−]?[0-9]+\.[0-9]+\s*")


def rejoined(rows: list[list[str]], named: int, delimiter: str) -> list[list[str]]:
    """The rows with their numbers whole again, `named` being how many columns have a name.

    A row with as many cells as names is left as it is, and so is a file whose numbers have a point.

    Raises
    ------
    ExchangeError
        When the parts could belong together in more than one way.
    """
    longer = [row for row in rows if len(row) > named] if delimiter == "," and named else []
    if not any(_is_cut(row, named) for row in longer):
        return rows
    if any(_POINT.fullmatch(cell) for row in rows for cell in row):
        return rows
    return [_joined(row, named) if _is_cut(row, named) else row for row in rows]


def _is_cut(row: Sequence[str], named: int) -> bool:
    """Whether a row has cells too many and all of them hold something."""
    return len(row) > named and all(cell.strip() for cell in row[named:]) and bool(_runs(row))


def _runs(row: Sequence[str]) -> list[tuple[int, int]]:
    """Where parts of numbers are neighbours, two cells or more: first and behind the last."""
    found, first = [], None
    for at, cell in enumerate([*row, "-"]):
        part = _WHOLE if first is None else _REST
        if part.fullmatch(cell) or _WHOLE.fullmatch(cell):
            first = at if first is None else first
            continue
        if first is not None and at - first > 1:
            found.append((first, at))
        first = None
    return found


def _joined(row: list[str], named: int) -> list[str]:
    """One row put together: its runs are pairs throughout, and so it has as many cells as names."""
    runs = _runs(row)
    pairs = [at for first, end in runs for at in range(first, end, 2)]
    even = all((end - first) % 2 == 0 for first, end in runs)
    if (
        not even
        or len(row) - len(pairs) != named
        or not all(_REST.fullmatch(row[at + 1]) for at in pairs)
    ):
        raise ExchangeError("exchange.comma-in-numbers")
    found = list(row)
    for at in reversed(pairs):
        found[at : at + 2] = [f"{found[at].strip()},{found[at + 1].strip()}"]
    return found
