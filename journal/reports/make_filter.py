"""What a make is found by: words of its record, a year, a month, a state, a score, a yield."""

from __future__ import annotations

import operator
import re
from collections.abc import Callable
from dataclasses import replace

from journal.keeping import MakeRow
from journal.quantities.conversion import convert
from journal.records.makes import tags_of
from journal.wording.dates import day_words, iso_day
from journal.wording.makes import make_state_words
from journal.wording.shown import YIELD, figure

_LIMITS: dict[str, Callable[[float, float], bool]] = {
    ">": operator.gt, "<": operator.lt, ">=": operator.ge, "<=": operator.le, "=": operator.eq,
}  # fmt: skip
_SIGNS = str.maketrans({"≥": ">=", "≤": "<=", ",": "."})
# ">7" is the score; "yield>9", "milk<12" name what is meant, in the unit it is shown in or the one
# that is typed behind it.
_LIMIT = re.compile(r"(score|yield|milk|wheels)?([<>]=?|=)(\d+(?:\.\d+)?)(l|kg|%|gal)?")
_STORED = ("l", "kg", "%")


def findable(row: MakeRow) -> str:
    """Everything a make can be found by, in lower case."""
    days = (iso_day(row.started_ms, row.zone), day_words(row.started_ms, row.zone))
    milk = (row.animal, row.treatment, row.source, row.culture, row.culture_lot)
    tags = (f"#{tag}" for tag in tags_of(row.remark))
    words = (
        row.code,
        row.name,
        row.plan,
        *days,
        make_state_words(row, row.verdict),
        row.why_failed,
        *milk,
        *tags,
    )
    return " ".join(words).lower()


def fits(row: MakeRow, typed: str) -> bool:
    """Whether a make fits all that is typed: words of its record, and limits such as ">7" (of the
    score), "yield>=9", "milk<12"."""
    return filter_of(typed)(row)


def filter_of(typed: str) -> Callable[[MakeRow], bool]:
    """The same as a question to many makes: what is typed is read once."""
    words = typed.casefold().split()
    limits = [limit for limit in map(limit_of, words) if limit is not None]
    plain = [word for word in words if limit_of(word) is None]
    of_failed = "failed" in plain  # a failed make has a score only where such makes are meant

    def asks(row: MakeRow) -> bool:
        meant = replace(row, failed=False) if of_failed and row.failed else row
        if not all(limit(meant) for limit in limits):
            return False
        text = findable(row) if plain else ""
        return all(word in text for word in plain)

    return asks


def limit_of(word: str) -> Callable[[MakeRow], bool] | None:
    """What a word such as ">7" asks of a make; None for any other word."""
    found = _LIMIT.fullmatch(word.translate(_SIGNS))
    if found is None:
        return None
    read, holds, number = _VALUES[found[1] or "score"], _LIMITS[found[2]], float(found[3])
    if found[4] == "gal":
        number = convert(number, "gal", "L")
    elif found[1] in _UNITS and found[4] not in _STORED:
        number /= figure(1.0, _UNITS[found[1]], 1).value

    def asks(row: MakeRow) -> bool:
        value = read(row)
        return value is not None and holds(value, number)

    return asks


def own_score(row: MakeRow) -> float | None:
    """The best score of a make that did not fail."""
    return None if row.failed else row.best_score


def _yield(row: MakeRow) -> float | None:
    return row.yield_pct


def _litres(row: MakeRow) -> float | None:
    return row.milk_l


def _wheels(row: MakeRow) -> float | None:
    return row.wheels


_UNITS = {"yield": YIELD, "milk": "L"}
_VALUES: dict[str, Callable[[MakeRow], float | None]] = {
    "score": own_score, "yield": _yield, "milk": _litres, "wheels": _wheels,
}  # fmt: skip
