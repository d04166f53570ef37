"""Local times of a zone as UTC, with the hour that comes twice and the hour that never comes."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from journal.exchange.loggers.patterns import Ints
from journal.wording import worded

_BLOCK_MS = 900_000  # zones change at whole quarters of an hour
_EPOCH = datetime(1970, 1, 1)


def to_utc(local_ms: Ints, zone: ZoneInfo) -> tuple[Ints, list[str]]:
    """UTC milliseconds of local times, and sentences on what had to be decided.

    Parameters
    ----------
    local_ms
        (n,) milliseconds on the zone's own clock, in the file's order.

    Notes
    -----
    The hour that comes twice in autumn: the first pass is summer time, and once the times step
    back, the second. The hour that never comes in spring: a clock that shows it was not put
    forward; it is read by the time before the change, and so are the rows that follow on it
    without a jump.
    """
    if not len(local_ms):
        return local_ms, []
    forward = local_ms if _runs_forward(local_ms) else local_ms[::-1]
    before, after = _offsets(forward, zone)
    offset = before.copy()
    notes: list[str] = []
    twice, never = before > after, before < after
    if twice.any():
        second = _second_pass(forward, twice, before - after)
        offset[second] = after[second]
        rows, later = int(twice.sum()), int(second.sum())
        notes.append(worded("exchange.clocks-repeat", rows=rows, second=later))
    if never.any():
        _hold(forward, never, before, after, offset)
        notes.append(worded("exchange.clocks-skip", rows=int(never.sum())))
    utc = forward - offset
    return (utc if forward is local_ms else utc[::-1]), notes


def local_midnight(at_ms: int, zone: ZoneInfo) -> int:
    """Milliseconds on the zone's own clock of the midnight before the instant `at_ms`."""
    day = datetime.fromtimestamp(at_ms / 1000, UTC).astimezone(zone).replace(tzinfo=None)
    return ((day - _EPOCH) // timedelta(days=1)) * 86_400_000


def local_clock(at_ms: int, zone: ZoneInfo) -> int:
    """Milliseconds since midnight on the zone's own clock at the instant `at_ms`."""
    when = datetime.fromtimestamp(at_ms / 1000, UTC).astimezone(zone).replace(tzinfo=None)
    return ((when - _EPOCH) % timedelta(days=1)) // timedelta(milliseconds=1)


def _runs_forward(local_ms: Ints) -> bool:
    steps = np.diff(local_ms)
    return bool((steps < 0).sum() <= (steps > 0).sum())


def _offsets(local_ms: Ints, zone: ZoneInfo) -> tuple[Ints, Ints]:
    """The offset from UTC in ms at each local time, taken as the first and as the second."""
    blocks, inverse = np.unique(local_ms // _BLOCK_MS, return_inverse=True)
    pair = np.zeros((2, len(blocks)), np.int64)
    for index, block in enumerate(blocks.tolist()):
        when = (_EPOCH + timedelta(milliseconds=block * _BLOCK_MS)).replace(tzinfo=zone)
        for fold in (0, 1):
            offset = when.replace(fold=fold).utcoffset() or timedelta()
            pair[fold, index] = offset // timedelta(milliseconds=1)
    return pair[0][inverse], pair[1][inverse]


def _second_pass(local_ms: Ints, twice: NDArray[np.bool_], overlap: Ints) -> NDArray[np.bool_]:
    """Which rows of the doubled hour come after the times stepped back."""
    second = np.zeros(len(local_ms), np.bool_)
    steps = np.abs(np.diff(local_ms))
    usual = float(np.median(steps)) if len(steps) else 0.0
    rows = np.flatnonzero(twice)
    for run in np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1):
        step = np.diff(local_ms[run], prepend=local_ms[run[0]])
        back = step < 0
        if usual >= overlap[run[0]]:
            back |= (step == 0) & (np.arange(len(run)) > 0)
        second[run] = np.maximum.accumulate(back)
    return second


def _hold(
    local_ms: Ints, never: NDArray[np.bool_], before: Ints, after: Ints, offset: Ints
) -> None:
    """Keep the offset before the change for rows that follow on a skipped hour without a jump."""
    rows = np.flatnonzero(never)
    usual = int(np.median(np.abs(np.diff(local_ms)))) if len(local_ms) > 1 else 0
    for run in np.split(rows, np.flatnonzero(np.diff(local_ms[rows]) > 86_400_000) + 1):
        last = int(run[-1])
        jump = int(after[last] - before[last])
        step = np.diff(local_ms[last:])
        moved = before[last + 1 :] != after[last]
        broken = np.flatnonzero((step < 0) | (step >= jump + usual) | moved)
        end = int(broken[0]) if len(broken) else len(step)
        offset[last + 1 : last + 1 + end] = before[last]
