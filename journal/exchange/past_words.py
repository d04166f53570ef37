"""Sentences about a table of past makes: what each column is taken as, and what is wrong."""

from __future__ import annotations

from collections.abc import Sequence

from journal.exchange.past_columns import ChosenColumns, PastColumn, plain_name
from journal.findings.columns import (
    AGE,
    CODE,
    DATE,
    GONE,
    LEFT_OUT,
    MAKE,
    MILK,
    NAME,
    PERSON,
    PLAN,
    REMARK,
    REPEAT,
    ROW_NUMBER,
    SCORE,
    SESSION,
    TASTED,
    THERE,
    USED,
    VARIABLE,
    WHEEL,
    WORDS,
)
from journal.quantities.units import unit_named
from journal.wording.counts import listed


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
    CODE: "the make's code",
    MAKE: "which rows are one make",
    GONE: "the day the wheel was gone",
    PERSON: "who tasted",
    SESSION: "the session of tasting",
    REPEAT: "the number of a repeat",
    PLAN: "the plan",
    MILK: "the milk",
    WHEEL: "the wheel's weight",
    THERE: "whether the wheel is still there",
    REMARK: "a remark",
    ROW_NUMBER: "the number of the row",
    WORDS: "text, saved with the make",
    LEFT_OUT: "left out",
}


def understood(columns: Sequence[PastColumn], *, milk_given: bool) -> list[str]:
    """What each column was taken as, and what is missing."""
    found = []
    for column in columns:
        if column.who:
            found.append(f"“{column.header}” is what {column.who} gave for “{column.name}”.")
        elif column.role == USED:
            found.append(f"“{column.header}” is how much {column.name} was used.")
        elif column.meaning is not None:
            unit = f", in {column.unit}" if column.unit else ""
            found.append(f"“{column.header}” is this journal's {column.name}{unit}.")
        elif column.role in (SCORE, VARIABLE):
            unit = f" in {column.unit}" if column.unit else ""
            found.append(f"“{column.header}” is the {column.role} “{column.name}”{unit}.")
        else:
            found.append(f"“{column.header}” is {_IN_WORDS[column.role]}.")
    if not any(column.role == SCORE for column in columns):
        found.append("No column was recognised as a score. Choose the one that is.")
    if not any(column.role in (THERE, GONE) for column in columns):
        found.append(
            "No column says which wheels are still there, so all count as gone. Name a column "
            "“still there”, with yes or no."
        )
    if not milk_given and not any(column.role == MILK for column in columns):
        found.append("No column gives the milk, so the plan's usual amount is used.")
    return found


def questions(columns: Sequence[PastColumn], chosen: ChosenColumns) -> tuple[str, ...]:
    """What a person should say once, of columns for which nothing was chosen yet, or before."""
    answered = {name.casefold() for name in
            (*chosen.columns, *chosen.scores, *chosen.apart, *chosen.known)}  # fmt: skip
    found = []
    open_ = [column for column in columns if column.header.casefold() not in answered]
    meant = [_meant(column) for column in open_ if column.meaning is not None]
    if meant:
        found.append(
            f"Read as this journal's own: {listed(meant)}. Where one is something else, choose "
            "“variable” for it."
        )
    for column in open_:
        if column.role == VARIABLE and plain_name(column.header) == "time":
            found.append(
                f"“{column.header}” is read as a length of time, a variable. Is it the date of the "
                "make? Then choose that."
            )
        elif column.role == MAKE:
            found.append(
                f"Rows with one entry under “{column.header}” become one make. Choose otherwise "
                "where it says something else."
            )
    return tuple(found)


def _meant(column: PastColumn) -> str:
    """What a column is taken for: “Salz %” as salt in curd, in %."""
    assert column.meaning is not None
    unit = unit_named(column.meaning.quantity, column.meaning.written).label
    what = f"{column.name} used" if column.role == USED else column.name
    return f"“{column.header}” as {what}{f' (in {unit})' if unit else ''}"
