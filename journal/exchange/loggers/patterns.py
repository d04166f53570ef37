"""Cells of equal form taken together: each form is recognised once, its digits read as arrays."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
_WIDEST = 48
_CHUNK = 200_000
_MOST_FORMS = 2000
_ZERO = ord("0")


@dataclass(frozen=True)
class CellPattern:
    """Cells that differ only in their digits: their rows, one of them, and all their bytes."""

    at: Ints
    example: str
    codes: NDArray[np.uint8]

    def number(self, found: re.Match[str], name: str, most: int = 9) -> Ints:
        """The whole number in the group `name` (up to `most` digits) of every cell, (n,)."""
        start, end = found.span(name)
        value = np.zeros(len(self.at), np.int64)
        for index in range(start, min(end, start + most)):
            value = value * 10 + (self.codes[:, index] - _ZERO)
        return value


def forms(cells: Sequence[str]) -> Iterator[CellPattern]:
    """Each form among the cells; cells too long, empty or of a rare form are left out."""
    for start in range(0, len(cells), _CHUNK):
        yield from _forms(cells[start : start + _CHUNK], start)


def _forms(cells: Sequence[str], start: int) -> Iterator[CellPattern]:
    codes = _codes(cells)
    plain = np.where((codes >= _ZERO) & (codes <= _ZERO + 9), np.uint8(_ZERO), codes)
    keys = _keys(plain)
    _, first, inverse, counts = np.unique(
        keys, return_index=True, return_inverse=True, return_counts=True
    )
    order = np.argsort(inverse, kind="stable")
    ends = np.cumsum(counts)
    for group in np.argsort(-counts, kind="stable")[:_MOST_FORMS]:
        at = order[ends[group] - counts[group] : ends[group]]
        one = first[group]
        same = (plain[at] == plain[one]).all(axis=1)
        at = at if same.all() else at[same]
        example = codes[one].tobytes().rstrip(b"\0").decode("ascii", "replace")
        if example:
            yield CellPattern(at.astype(np.int64) + start, example, codes[at])


def _codes(cells: Sequence[str]) -> NDArray[np.uint8]:
    """The cells as ASCII bytes, shape (n, width), padded with zeros."""
    short = list(map(str.strip, cells))
    if max(map(len, short)) > _WIDEST:
        short = [cell if len(cell) <= _WIDEST else "" for cell in short]
    try:
        packed = np.array(short, dtype=np.bytes_)
    except UnicodeEncodeError:
        packed = np.array([_ascii(cell) for cell in short], dtype=np.bytes_)
    width = max(packed.dtype.itemsize, 1)
    return packed.view(np.uint8).reshape(len(cells), width)


def _ascii(cell: str) -> bytes:
    spaced = "".join(" " if c.isspace() else c for c in cell.replace("−", "-"))
    return spaced.encode("ascii", "replace")


def _keys(plain: NDArray[np.uint8]) -> NDArray[np.uint64]:
    """A 64-bit key of each row (n, width), by a fixed odd multiplier for each place."""
    key = np.zeros(len(plain), np.uint64)
    for index in range(plain.shape[1]):
        key = key * np.uint64(0x9E3779B97F4A7C15) + plain[:, index]
    return key
