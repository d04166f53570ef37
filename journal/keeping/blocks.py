"""Blocks: some thousands of readings of one trace as columns, packed small and read fast.

A block holds instants as differences (32 bit milliseconds) and values either as differences of
thousandths, where that gives the very same numbers back, or as the floats they are. Both columns
are deflated. The outline keeps the lowest and highest value of each short run, so a picture of a
long trace needs no block to be opened.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from journal.keeping.errors import DamageError
from journal.records.traces import STRUCK, Flags, Floats, Instants

BLOCK = 8192  # readings in a full block
RUN = 256  # readings behind one pair of the outline
_LONGEST_GAP = 2**31 - 1  # milliseconds that fit a difference: a longer gap begins a new block
_LEVEL = 1


@dataclass(frozen=True)
class Packed:
    """The columns of a `reading_block` row but for its keys."""

    first_ms: int
    last_ms: int
    count: int
    low: float
    high: float
    coding: str
    at: bytes
    value: bytes
    flags: bytes | None
    outline: bytes


def split(at_ms: Instants) -> Iterator[slice]:
    """Where an ascending column is cut into blocks."""
    gaps = np.flatnonzero(np.diff(at_ms) > _LONGEST_GAP) + 1
    for begin, end in zip([0, *gaps], [*gaps, len(at_ms)], strict=True):
        for low in range(int(begin), int(end), BLOCK):
            yield slice(low, min(low + BLOCK, int(end)))


def pack(at_ms: Instants, value: Floats, flags: Flags) -> Packed:
    """Pack ascending readings, shapes (n,), n at least 1, into one block."""
    thousandths = np.round(value * 1000)
    exact = bool(np.all(np.abs(thousandths) < 2**30) and np.all(thousandths / 1000 == value))
    body = _differences(thousandths.astype(np.int64), 0) if exact else value.astype("<f8").tobytes()
    sound = value[(flags & STRUCK) == 0]
    spread = sound if len(sound) else value
    return Packed(
        first_ms=int(at_ms[0]),
        last_ms=int(at_ms[-1]),
        count=len(at_ms),
        low=float(spread.min()),
        high=float(spread.max()),
        coding="milli" if exact else "float",
        at=zlib.compress(_differences(at_ms, int(at_ms[0])), _LEVEL),
        value=zlib.compress(body, _LEVEL),
        flags=zlib.compress(flags.tobytes(), _LEVEL) if flags.any() else None,
        outline=_outline(at_ms, value, flags),
    )


def unpack(
    first_ms: int, count: int, coding: str, at: bytes, value: bytes, flags: bytes | None
) -> tuple[Instants, Floats, Flags]:
    """The columns of a block, shapes (count,).

    Raises
    ------
    DamageError
        When the block does not hold what it says it holds.
    """
    try:
        columns = _columns(first_ms, count, coding, at, value, flags)
    except (zlib.error, ValueError) as error:
        raise DamageError("keeping.readings-damaged") from error
    if any(len(column) != count for column in columns):
        raise DamageError("keeping.readings-damaged")
    return columns


def _columns(
    first_ms: int, count: int, coding: str, at: bytes, value: bytes, flags: bytes | None
) -> tuple[Instants, Floats, Flags]:
    at_ms = first_ms + np.cumsum(np.frombuffer(zlib.decompress(at), "<i4"), dtype=np.int64)
    body = zlib.decompress(value)
    if coding == "milli":
        values = np.cumsum(np.frombuffer(body, "<i4"), dtype=np.int64) / 1000
    else:
        values = np.frombuffer(body, "<f8").astype(np.float64)
    if flags is None:
        return at_ms, values, np.zeros(count, np.uint8)
    return at_ms, values, np.frombuffer(zlib.decompress(flags), np.uint8).copy()


def read_outline(raw: bytes) -> np.ndarray[Any, np.dtype[np.float64]]:
    """The outline as rows (middle instant ms, low, high), shape (runs, 3).

    Raises
    ------
    DamageError
        When it holds no such rows.
    """
    try:
        return np.frombuffer(raw, "<f8").reshape(-1, 3)
    except ValueError as error:
        raise DamageError("keeping.readings-damaged") from error


def _differences(column: Instants, before: int) -> bytes:
    return np.diff(column, prepend=before).astype("<i4").tobytes()


def _outline(at_ms: Instants, value: Floats, flags: Flags) -> bytes:
    sound = np.where((flags & STRUCK) == 0, value, np.nan)
    cuts = np.arange(0, len(value), RUN)
    low = np.fmin.reduceat(sound, cuts)
    high = np.fmax.reduceat(sound, cuts)
    ends = np.minimum(cuts + RUN, len(value)) - 1
    middle = (at_ms[cuts] + at_ms[ends]) / 2
    return np.column_stack([middle, low, high]).astype("<f8").tobytes()
