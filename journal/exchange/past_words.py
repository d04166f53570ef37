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
from journal.wording import worded

_TAKEN_AS = {
    DATE: "exchange.is-date",
    TASTED: "exchange.is-date-tasted",
    AGE: "exchange.is-age",
    NAME: "exchange.is-name",
    CODE: "exchange.is-code",
    MAKE: "exchange.is-make",
    GONE: "exchange.is-gone",
    PERSON: "exchange.is-person",
    SESSION: "exchange.is-session",
    REPEAT: "exchange.is-repeat",
    PLAN: "exchange.is-plan",
    MILK: "exchange.is-milk",
    WHEEL: "exchange.is-weight",
    THERE: "exchange.is-there",
    REMARK: "exchange.is-remark",
    ROW_NUMBER: "exchange.is-row-number",
    WORDS: "exchange.is-text",
    LEFT_OUT: "exchange.column-left-out",
}


def understood(columns: Sequence[PastColumn], *, milk_given: bool) -> list[str]:
    """What each column was taken as, and what is missing."""
    found = [
        worded(_taken_as(one), column=one.header, person=one.who, name=one.name, unit=one.unit,
               score=one.role == SCORE)
        for one in columns
    ]  # fmt: skip
    if not any(column.role == SCORE for column in columns):
        found.append(worded("exchange.no-score-column"))
    if not any(column.role in (THERE, GONE) for column in columns):
        found.append(worded("exchange.all-count-as-gone"))
    if not milk_given and not any(column.role == MILK for column in columns):
        found.append(worded("exchange.milk-of-the-plan"))
    return found


def _taken_as(column: PastColumn) -> str:
    """The id of the sentence about a column."""
    if column.who:
        return "exchange.is-persons-score"
    if column.role == USED:
        return "exchange.is-amount-used"
    if column.meaning is not None:
        return "exchange.is-own-in" if column.unit else "exchange.is-own"
    if column.role in (SCORE, VARIABLE):
        return "exchange.is-the-in" if column.unit else "exchange.is-the"
    return _TAKEN_AS[column.role]


def questions(columns: Sequence[PastColumn], chosen: ChosenColumns) -> tuple[str, ...]:
    """What a person should say once, of columns for which nothing was chosen yet, or before."""
    answered = {name.casefold() for name in
            (*chosen.columns, *chosen.scores, *chosen.apart, *chosen.known)}  # fmt: skip
    found = []
    open_ = [column for column in columns if column.header.casefold() not in answered]
    meant = [_meant(column) for column in open_ if column.meaning is not None]
    if meant:
        found.append(worded("exchange.read-as-own", columns=meant))
    for column in open_:
        if column.role == VARIABLE and plain_name(column.header) == "time":
            found.append(worded("exchange.length-of-time", column=column.header))
        elif column.role == MAKE:
            found.append(worded("exchange.one-make-by", column=column.header))
    return tuple(found)


def _meant(column: PastColumn) -> str:
    """What a column is taken for: “Salz %” as salt in curd, in %."""
    assert column.meaning is not None
    unit = unit_named(column.meaning.quantity, column.meaning.written).label
    used = column.role == USED
    which = "exchange.as-used" if used else "exchange.as-own"
    if unit:
        which = "exchange.as-used-in" if used else "exchange.as-own-in"
    return worded(which, column=column.header, name=column.name, unit=unit)
