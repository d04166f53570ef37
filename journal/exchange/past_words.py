"""What is said of a table of past makes: how each column was taken, and what is amiss."""

from __future__ import annotations

from collections.abc import Sequence

from journal.exchange.past_columns import (
    AGE,
    DATE,
    LEFT_OUT,
    MILK,
    NAME,
    PLAN,
    REMARK,
    ROW_NUMBER,
    SCORE,
    TASTED,
    THERE,
    VARIABLE,
    WHEEL,
    WORDS,
    PastColumn,
)


def off_scale(header: str, least: float, most: float, low: float, high: float) -> str:
    """Why scores off the scale are not taken, and what would do."""
    return (
        f"The scores under “{header}” go from {least:g} to {most:g}, outside {low:g} to {high:g}. "
        "Say the scale they were given on and they are brought to 0 to 10, or take the column for "
        "something else."
    )


_IN_WORDS = {
    DATE: "the date of the make",
    TASTED: "the date of the tasting",
    AGE: "the age at tasting",
    NAME: "the make's name",
    PLAN: "the plan",
    MILK: "the milk",
    WHEEL: "the wheel's weight",
    THERE: "whether the wheel is still there",
    REMARK: "a remark",
    ROW_NUMBER: "the number of the row",
    WORDS: "words, kept with the make",
    LEFT_OUT: "left out",
}


def understood(columns: Sequence[PastColumn], *, milk_said: bool) -> list[str]:
    """What each column was taken as, and what is missing."""
    found = []
    for column in columns:
        if column.role in (SCORE, VARIABLE):
            unit = f" in {column.unit}" if column.unit else ""
            found.append(f"“{column.header}” is the {column.role} “{column.name}”{unit}.")
        else:
            found.append(f"“{column.header}” is {_IN_WORDS[column.role]}.")
    if not any(column.role == SCORE for column in columns):
        found.append("No column was known as a score. Say which one is.")
    if not any(column.role == THERE for column in columns):
        found.append(
            "The wheels count as gone, since no column says which are still there (name one “still "
            "there”, with yes or no)."
        )
    if not milk_said and not any(column.role == MILK for column in columns):
        found.append("No column says how much milk: the plan's usual amount stands in.")
    return found
