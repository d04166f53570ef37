"""What was different, in words and numbers: facts with their units, and the most unusual one."""

from __future__ import annotations

from collections.abc import Sequence

from journal.curves.unusual import LEAST, Different
from journal.message import Message
from journal.wording import text_of
from journal.wording.numbers import minus

FAR = 2.0  # spreads from the usual from which a fact is called unusual
_DIGITS = {"min": 0, "°C": 1, "pH": 2, "°C/min": 2, "l": 1}


def fact_text(what: Message, unit: str, value: float) -> str:
    """A fact's value with its unit: "57 min", "+21 min" for a delay, "6.35" for a pH."""
    number = number_text(what, unit, value)
    return number if unit == "pH" else f"{number} {'L' if unit == 'l' else unit}"


def number_text(what: Message, unit: str, value: float) -> str:
    """A fact's bare number, with its sign where it is a delay."""
    number = f"{value:.{_DIGITS.get(unit, 2)}f}"
    if not number.strip("-0."):
        return number.removeprefix("-")
    signed = f"+{number}" if what.id == "curves.fact-slip" and value > 0 else number
    return minus(signed)


def standing_out(rows: Sequence[Different], comparison_set: int) -> str:
    """The sentence under the heading: the most unusual thing, or that there is none."""
    if comparison_set < LEAST:
        return "Choose at least three makes to compare with."
    top = rows[0] if rows else None
    if top is None or top.z is None:
        return "There are too few readings in these makes to say what was unusual."
    if abs(top.z) < FAR:
        return "Nothing was far from usual this time."
    here = fact_text(top.what, top.unit, top.value)
    usual = fact_text(top.what, top.unit, top.usual or 0.0)
    return f"Most unusual: {text_of(top.what)} {here}, usually {usual}."


def too_few_words(comparison_set: int) -> str:
    """Why there is no band, "" where there is one."""
    return "" if comparison_set > 1 else "A band needs at least two other makes."


def left_out_words(codes: Sequence[str], moment: str) -> str:
    """Which of the other makes never reached the moment, "" for none."""
    if not codes:
        return ""
    listed = codes[0] if len(codes) == 1 else f"{', '.join(codes[:-1])} and {codes[-1]}"
    if len(codes) > 4:
        listed = f"{len(codes)} makes"
    return f"{listed} never reached “{moment}” and {'is' if len(codes) == 1 else 'are'} left out."
