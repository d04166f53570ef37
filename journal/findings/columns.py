"""What the columns of a table kept elsewhere can be, and how their names and cells say it.

One table is read in one way, for findings and for an import (`exchange/past_columns.py`).
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

DATE, TASTED, GONE, AGE, NAME, MAKE, CODE, PLAN, MILK, WHEEL, THERE = (
    "date", "tasted", "gone", "age", "name", "make", "code", "plan", "milk", "wheel", "there",
)  # fmt: skip
REMARK, ROW_NUMBER, SCORE, VARIABLE, WORDS, LEFT_OUT, USED = (
    "remark", "row number", "score", "variable", "words", "left out", "used",
)  # fmt: skip
PERSON, SESSION, REPEAT = "taster", "session", "repeat"
BLANKS = frozenset({"", "-", "–", "—", "na", "n/a", "nan", "none", "null", "?", "."})
NUMBER_NAMES = frozenset(
    {"id", "no", "no.", "nr", "nr.", "number", "case", "make", "batch", "code", "row", "sample"}
    | {"wheel", "index", "#", "obs", "observation", "lot", "n"}
)
NUMBER_ENDINGS = frozenset({"id", "no", "no.", "nr", "nr.", "number", "code", "index", "#"})
PERSON_NAMES = frozenset(
    {"taster", "tasters", "assessor", "judge", "panelist", "panellist", "panel member", "rater"}
    | {"evaluator", "person", "who", "who tasted", "tasted by", "scored by", "tester", "subject"}
    | {"verkoster", "prüfer", "dégustateur", "assaggiatore", "catador", "proever"}
)
SESSION_NAMES = frozenset(
    {"session", "sitting", "tasting", "tasting session", "block", "replicate", "replicates"}
    | {"rep", "reps", "replication", "sitzung", "wiederholung", "bloc", "séance"}
)
REPEAT_NAMES = frozenset({"repeat", "repeats", "repetition", "duplicate", "cup", "portion"})
MAKE_NAMES = frozenset(
    {"make", "batch", "vat", "make no", "make no.", "batch no", "batch no.", "make number"}
    | {"batch number", "make nr", "batch nr", "make id", "batch id", "charge", "vat no"}
)
DATE_NAMES = frozenset({"date", "dates", "datum", "day made", "made on", "made at", "fecha"})
SUMMING_WORDS = frozenset(
    {"mean", "means", "average", "avg", "avg.", "median", "total", "totals", "sum", "min", "max"}
    | {"minimum", "maximum", "sd", "s.d.", "std", "stdev", "st. dev.", "standard deviation"}
)


def is_blank(cell: str) -> bool:
    """Say whether a cell of a table holds nothing (empty, a dash, "n/a")."""
    return cell.strip().lower() in BLANKS


def summing_rows(columns: Sequence[Sequence[str]]) -> int:
    """Count the rows at the end of a table that sum the others up.

    Such a row has a cell like "Mean", "Average:" or "Total" and no other words.
    """
    rows = min((len(column) for column in columns), default=0)
    count = 0
    while count < rows and _sums([column[rows - 1 - count] for column in columns]):
        count += 1
    return count


def _sums(row: Sequence[str]) -> bool:
    words = [
        " ".join(cell.lower().strip(" :=").split())
        for cell in row
        if not is_blank(cell) and not any(letter.isdigit() for letter in cell)
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


def only_numbers_makes(values: Sequence[float], makes: Sequence[Sequence[str]]) -> bool:
    """Say whether a column merely numbers what several people tasted: the bottles of a wine table.

    Whole numbers from 0 or 1 on without a gap, five or more, each first met in its turn and in
    several rows, and all rows of a number alike in the words of the other columns (`said`), of
    which there is one at least.
    """
    if not makes or any(math.isnan(v) or v != int(v) for v in values):
        return False
    counts = Counter(values)
    met = list(counts)
    if len(met) < 5 or met[0] not in (0, 1) or met != [met[0] + i for i in range(len(met))]:
        return False
    return min(counts.values()) > 1 and len(set(zip(values, *makes, strict=True))) == len(met)


def _names_a_number(name: str) -> bool:
    words = re.split(r"[\s_]+", name.strip().lower())
    return " ".join(words) in NUMBER_NAMES or words[-1] in NUMBER_ENDINGS
