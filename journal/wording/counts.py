"""How many of something there are, in words or digits, and several names: one rule everywhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

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


def counted(count: float, one: str, many: str | None = None) -> str:
    """A count with its noun: "1 row", "2 rows", "1,204 readings", "1 batch", "3 batches".

    Parameters
    ----------
    count
        How many; a float is written with the digits it has.
    one, many
        The noun for one, and for any other count; `many` is `one` with an s when None.
    """
    number = f"{int(count):,}" if float(count).is_integer() else f"{count:g}"
    return f"{number} {one if count == 1 else (many or f'{one}s')}"


def reasons_words(reasons: Mapping[str, int]) -> str:
    """Why rows were skipped: ": empty value 3, duplicate 1", "" where none was."""
    found = ", ".join(f"{reason} {count:,}" for reason, count in reasons.items())
    return f": {found}" if found else ""


def listed(names: Sequence[str]) -> str:
    """Names one after another: "salt", "salt and rennet", "salt, rennet and set"; "" for none."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
