"""Sentences about a table of past makes: what each column is taken as, and what is wrong."""

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
    """Why scores off the scale are refused, and what to do."""
    return (
        f"The scores under “{header}” go from {least:g} to {most:g}, outside {low:g} to {high:g}. "
        "Give their scale, and they are rescaled to 0–10; or choose another meaning for the column."
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
    WORDS: "text, saved with the make",
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
        found.append("No column was recognised as a score. Choose the one that is.")
    if not any(column.role == THERE for column in columns):
        found.append(
            "No column says which wheels are still there, so all count as gone. Name a column "
            "“still there”, with yes or no."
        )
    if not milk_said and not any(column.role == MILK for column in columns):
        found.append("No column gives the milk, so the plan's usual amount is used.")
    return found
