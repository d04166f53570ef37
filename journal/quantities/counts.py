"""How many of something there are, in words, and several names: one rule, used everywhere."""

from __future__ import annotations

from collections.abc import Sequence


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


def listed(names: Sequence[str]) -> str:
    """Names one after another: "salt", "salt and rennet", "salt, rennet and set"; "" for none."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
