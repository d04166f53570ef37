"""What a cell looks like: a number, a time, nothing, or text."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import islice

from journal.exchange.loggers.stamps import is_stamp

NUMBER, TIME, EMPTY, WORDS = "number", "time", "empty", "words"

# What loggers write where there is no value (common practice, no source).
NOTHING = frozenset(
    ("", "-", "--", "---", "----", "—", "–", "n/a", "na", "nan", "null", "none", "nil", "#n/a",
     "err", "error", "#error", "fault", "fail", "ol", "o.l", "over", "under", "open", "short",
     "no data", "nodata", "missing", "*", "**", "***", "****", "?", "invalid", "inf", "-inf")
)  # fmt: skip
_NUMBER = re.compile(
    r"[+\-−]?(?:[0-9][0-9.,' ]*|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?\s*[^0-9]{0,10}"
)
_TWO_MARKS = re.compile(
    r"[0-9]{1,4}\.[0-9]{1,2}\.[0-9]{2,4}\b.*|[0-9]{1,2} [0-9]{1,2} [0-9]{4}\b.*"
)


def looks(cell: str) -> str:
    """One of NUMBER, TIME, EMPTY, WORDS."""
    cell = cell.strip()
    if cell.lower() in NOTHING:
        return EMPTY
    if len(cell) > 60:
        return WORDS
    if _NUMBER.fullmatch(cell) and not _TWO_MARKS.fullmatch(cell) and ":" not in cell:
        return NUMBER
    return TIME if is_stamp(cell) else WORDS


def mostly(cells: Iterable[str]) -> str:
    """What most cells that are not empty look like; EMPTY when all are."""
    counts = Counter(looks(cell) for cell in cells)
    counts.pop(EMPTY, None)
    return counts.most_common(1)[0][0] if counts else EMPTY


def sample_of(cells: Sequence[str], most: int) -> list[str]:
    """Cells spread over the column, or the first that hold anything where those are all empty."""
    found = spread(cells, most)
    if all(looks(cell) == EMPTY for cell in found):
        found = list(islice((cell for cell in cells if looks(cell) != EMPTY), most)) or found
    return found


def spread(cells: Sequence[str], most: int) -> list[str]:
    """At most `most` cells, evenly spread, the first and last among them."""
    if len(cells) <= most:
        return list(cells)
    step = (len(cells) - 1) / (most - 1)
    return [cells[round(i * step)] for i in range(most)]
