"""How old a cheese is, in words."""

from __future__ import annotations

from journal.records.dates import MONTH_DAYS
from journal.wording.sentences import worded


def age_words(days: float) -> str:
    """An age: days up to two months, months up to three years, then years."""
    if days < 1.5:
        return worded("wording.age-day" if days >= 0.5 else "wording.age-new")
    if days < 2 * MONTH_DAYS:
        return worded("wording.age-days", days=days)
    if days < 36 * MONTH_DAYS:
        return worded("wording.age-months", months=days / MONTH_DAYS)
    return worded("wording.age-years", years=days / 365.25)


def old_words(days: float) -> str:
    """An age as one says it of a wheel: "made today", "4 months old"."""
    said = "wording.age-today" if days < 0.5 else "wording.age-old"
    return worded(said, age=age_words(days))
