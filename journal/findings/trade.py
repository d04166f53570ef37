"""What the trade has published of causes, effects and ranges: the tables, row by row.

The words of a row stand in its table and are read by `wording`; here a row is its id and values.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from journal.findings.error import FindingError
from journal.findings.table import snake
from journal.records.plans import Plan
from journal.records.tables import table

LESS, MORE, EITHER, NO_EFFECT = "less", "more", "too_far_from", "none_found"
"""Which way of a variable brings a defect: less or more of it, another than usual, or none seen."""
TRIAL = "trial"
GRADES = (TRIAL, "textbook", "extension", "case", "practice")
"""How a cause is known, the surest first."""
EVERY = "all"
PRESSED = ("cheddar-type", "washed-curd", "alpine", "pressed")
SAME, NEAR, FAR = 2, 1, 0
"""How close the family that a row is of is to a plan's: the same, both pressed, another."""


@dataclass(frozen=True)
class Cause:
    """A published cause of a defect: which way of which variable brings it, known how, of what."""

    id: str
    defect: str
    variable: str
    direction: str
    family: str
    evidence: str
    source: str

    def fits(self, family: str) -> int:
        """How close the families are."""
        return closeness(self.family, family)


@dataclass(frozen=True)
class PublishedEffect:
    """A published effect on a score: which way more of the variable moves it ("less", "more",
    "middle", "none_found"; "" where the row says no way)."""

    id: str
    kind: str
    score: str
    variable: str
    expects: str
    family: str
    source: str


@dataclass(frozen=True)
class PublishedRange:
    """Where a variable is to lie by a published row, in its unit; None where a side is open."""

    variable: str
    defects: tuple[str, ...]
    family: str
    low: float | None
    high: float | None
    row: str
    source: str


@dataclass(frozen=True)
class GradeRange:
    """Composition tied to a grade, %: of which parameter, and the row it is from. `is_found` says
    that it is a mean as found, no range."""

    row: str
    parameter: str
    family: str
    low: float | None
    high: float | None
    source: str
    is_found: bool


@dataclass(frozen=True)
class Disagreement:
    """Where what is published disagrees, and the variables or defects it is about."""

    id: str
    variables: tuple[str, ...]
    defects: tuple[str, ...]


@cache
def causes() -> tuple[Cause, ...]:
    """Every published cause, as in its table."""
    names = ("id", "defect", "variable", "direction", "family", "evidence", "source")
    return tuple(Cause(*row) for row in _rows("causes", *names))


@cache
def effects() -> tuple[PublishedEffect, ...]:
    """Every published effect on a score."""
    names = ("id", "kind", "score", "variable", "expects", "family", "source")
    return tuple(PublishedEffect(*row) for row in _rows("effects", *names))


@cache
def published_ranges() -> tuple[PublishedRange, ...]:
    """Every published range of a make variable."""
    names = ("variable", "defects", "family", "low", "high", "row", "source")
    return tuple(
        PublishedRange(key, tuple(filter(None, defects.split(";"))), family, _number(low),
                       _number(high), row, source)
        for key, defects, family, low, high, row, source in _rows("trade_ranges", *names)
    )  # fmt: skip


@cache
def grade_ranges() -> tuple[GradeRange, ...]:
    """Composition by grade: the rows of the table that give a figure in %."""
    names = ("id", "parameter", "family", "low", "high", "source", "unit", "note", "status")
    return tuple(
        GradeRange(row, parameter, family, _number(low), _number(high), source,
                   note.startswith(_FOUND) or status.startswith(_FOUND))
        for row, parameter, family, low, high, source, unit, note, status
        in _rows("grading", *names)
        if unit.startswith("%") and (low or high)
    )  # fmt: skip


_FOUND = ("CV ", "mean", "typical")


@cache
def plan_variable_ranges() -> dict[tuple[str, str], tuple[float, float, str]]:
    """How far published schedules of a family go: low, high and source, by variable and family."""
    names = ("key", "family", "low", "high", "source")
    return {
        (key, family): (float(low), float(high), source)
        for key, family, low, high, source in _rows("lever_ranges", *names)
    }


@cache
def disagreements() -> tuple[Disagreement, ...]:
    """Where the books disagree."""
    return tuple(
        Disagreement(
            one, tuple(filter(None, keys.split(";"))), tuple(filter(None, words.split(";")))
        )
        for one, keys, words in _rows("disagreements", "id", "variables", "defects")
    )


@cache
def defects_with_causes() -> tuple[str, ...]:
    """Every word that has a cause, each once."""
    return tuple(dict.fromkeys(row.defect for row in causes()))


def defect_word(text: str) -> str:
    """The word of the tables that is meant, in whatever capitals.

    Raises
    ------
    FindingError
        When there is none.
    """
    found = next((word for word in defects_with_causes() if snake(word) == snake(text)), None)
    if found is None:
        known = defects_with_causes()
        small = {word.lower(): word for word in known}
        alike = difflib.get_close_matches(text.lower(), small, 3, 0.5)
        near = [small[one] for one in alike or sorted(small)[:8]]
        raise FindingError("findings.no-such-defect", defect=text, known=near)
    return found


def family_of(plan: Plan) -> str:
    """The family of cheese that a plan's name and style say it is of, "" where they do not."""
    words = f"{plan.name} {plan.style}".lower().replace(",", " ").split()
    for family, named_by in _rows("trade_families", "family", "named_by"):
        if set(named_by.split()) <= set(words):
            return family
    return ""


def family_of_all(plans: Iterable[Plan]) -> str:
    """The one family that all plans are of, "" where there are several."""
    found = {family_of(plan) for plan in plans}
    return found.pop() if len(found) == 1 else ""


def families(written: str) -> tuple[str, ...]:
    """The families a row is of, without what stands in brackets."""
    return tuple(part.strip() for part in re.sub(r"\([^)]*\)", "", written).split(";"))


def closeness(written: str, family: str) -> int:
    """How close the families of a row are to a plan's; a plan of no known family is near all."""
    found = families(written)
    if EVERY in found or family in found:
        return SAME
    if not family or (family in PRESSED and any(one in PRESSED for one in found)):
        return NEAR
    return FAR


@cache
def _rows(name: str, *columns: str) -> tuple[tuple[str, ...], ...]:
    found = table(name)
    return tuple(zip(*(found[column] for column in columns), strict=True))


def _number(cell: str) -> float | None:
    return float(cell) if cell else None
