"""Which stretch of a day its chart shows: the hours at the vat, and on with what runs after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from journal.curves.snapshot import MakeSnapshot
from journal.records.instants import MINUTE_MS

_MARGIN = 0.03
_WHOLE_MIN = 30 * 60.0  # up to so long a day is shown whole, with the night in the press
_WINDOW_MIN = 24 * 60.0  # of a longer one this much, with now in its last quarter
_AHEAD_MIN = 6 * 60.0
_ROOM_MIN = 15.0  # now never stands on the very edge
_SHARED_MOST = 1.9  # one clock over two days must not shrink either more than so

MinuteRange = tuple[float, float]


def stretch_of(day: MakeSnapshot) -> MinuteRange:
    """Minutes from the start to show of a day; now is within them while it runs."""
    low, high = replace(day, window=None).view()
    if not day.running:
        return low, high
    index = day.page_state.index
    end = day.now_min + _ROOM_MIN
    if index is not None:
        end = max(end, day.stage_ends[index])
    if end <= high:
        return low, high
    if end <= _WHOLE_MIN:
        return low, end * (1 + _MARGIN)
    last = min(end + _MARGIN * _WINDOW_MIN, day.now_min + _AHEAD_MIN)
    first = max(last - _WINDOW_MIN, 0.0)
    return first, first + _WINDOW_MIN


def around(day: MakeSnapshot, at_ms: int) -> MinuteRange:
    """The stretch to show so that an instant is in it, as wide as the usual one."""
    at = (at_ms - day.whole.make.started_ms) / MINUTE_MS
    low, high = stretch_of(day)
    if low <= at <= high:
        return low, high
    half = (high - low) / 2
    return at - half, at + half


def shared(stretches: Sequence[MinuteRange], starts_ms: Sequence[int]) -> list[MinuteRange]:
    """The same days over one clock, where that does not make them too small: then what falls
    together in time stands above each other. Else each as it was."""
    zero = min(starts_ms)
    shifts = [(start - zero) / MINUTE_MS for start in starts_ms]
    low = min(s[0] + shift for s, shift in zip(stretches, shifts, strict=True))
    high = max(s[1] + shift for s, shift in zip(stretches, shifts, strict=True))
    if high - low > _SHARED_MOST * min(s[1] - s[0] for s in stretches):
        return list(stretches)
    return [(low - shift, high - shift) for shift in shifts]
