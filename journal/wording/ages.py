"""How old a cheese is, in words."""

from __future__ import annotations

from journal.records.dates import MONTH_DAYS


def age_words(days: float) -> str:
    """An age: days up to two months, months up to three years, then years."""
    if days < 1.5:
        return "1 day" if days >= 0.5 else "new"
    if days < 2 * MONTH_DAYS:
        return f"{days:.0f} days"
    if days < 36 * MONTH_DAYS:
        return f"{days / MONTH_DAYS:.0f} months"
    return f"{days / 365.25:.1f} years"


def old_words(days: float) -> str:
    """An age as one says it of a wheel: "made today", "4 months old"."""
    return "made today" if days < 0.5 else f"{age_words(days)} old"
