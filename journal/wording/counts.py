"""Counts as words."""

from __future__ import annotations

_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def count(number: int) -> str:
    """Write a number up to ten as a word."""
    return _COUNTS[number] if 0 <= number < len(_COUNTS) else str(number)


def count_first(number: int) -> str:
    """The same at the head of a sentence: "Three"."""
    return count(number).capitalize()


def noun(number: int, one: str, many: str) -> str:
    """The noun alone, for one or for any other number."""
    return one if number == 1 else many
