"""Blind codes: three random digits, each once in a session."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from journal.findings.error import FindingError

FIRST, LAST = 100, 999
_TELLING = frozenset(
    str(n)
    for n in range(FIRST, LAST + 1)
    if n % 100 == 0 or n % 111 == 0 or str(n) in "0123456789" or str(n) in "9876543210"
)
"""Round and runs of digits (500, 777, 123, 321) say more than a code should: common practice, no
source."""


def draw_codes(count: int, rng: np.random.Generator, taken: Iterable[str] = ()) -> tuple[str, ...]:
    """Draw so many codes of three digits, 100 to 999, none twice and none of those `taken`.

    ISO 13299:2016 codes samples with three-digit random numbers.

    Raises
    ------
    FindingError
        When there are not so many left.
    """
    gone = _TELLING | set(taken)
    free = [str(n) for n in range(FIRST, LAST + 1) if str(n) not in gone]
    if count > len(free):
        raise FindingError("findings.too-few-codes", free=len(free), wanted=count)
    return tuple(free[int(i)] for i in rng.choice(len(free), count, replace=False))
