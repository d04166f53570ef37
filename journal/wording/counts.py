"""How many of something there are: one rule everywhere."""

from __future__ import annotations

from collections.abc import Mapping


def counted(count: float, one: str, many: str) -> str:
    """A count with its noun: "1 row", "2 rows", "1,204 readings", "1 batch", "3 batches".

    Parameters
    ----------
    count
        How many; a float is written with the digits it has.
    one, many
        The noun for one, and for any other count.
    """
    number = f"{int(count):,}" if float(count).is_integer() else f"{count:g}"
    return f"{number} {one if count == 1 else many}"


def reasons_words(reasons: Mapping[str, int]) -> str:
    """Why rows were skipped: ": empty value 3, duplicate 1", "" where none was."""
    found = ", ".join(f"{reason} {count:,}" for reason, count in reasons.items())
    return f": {found}" if found else ""
