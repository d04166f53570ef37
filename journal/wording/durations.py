"""How long something takes or is over: figures that run, hours of a day, minutes of a table."""

from __future__ import annotations

from journal.records.instants import DAY_MS, MINUTE_MS
from journal.wording.shown import write

_HOUR_MS = 60 * MINUTE_MS
_DAY = DAY_MS // MINUTE_MS  # minutes


def countdown(ms: int) -> str:
    """A span to the second, from two days on to the hour: "2:10", "1:23:45", "3 d 4 h"."""
    if ms >= 48 * _HOUR_MS:
        days, rest = divmod(ms // _HOUR_MS, 24)
        return f"{days} d {rest} h"
    hours, rest = divmod(ms, _HOUR_MS)
    minutes, rest = divmod(rest, MINUTE_MS)
    if hours:
        return f"{hours}:{minutes:02d}:{rest // 1000:02d}"
    return f"{minutes}:{rest // 1000:02d}"


def from_start(minutes: float) -> str:
    """Time from the start, or before it: "−0:30", "1:30", from two days on "2 d 6 h"."""
    whole, sign = round(abs(minutes)), "−" if minutes < 0 else ""
    if whole < 2 * _DAY:
        return f"{sign}{whole // 60}:{whole % 60:02d}"
    days, rest = divmod(whole, _DAY)
    return f"{sign}{days} d {rest // 60} h" if rest >= 60 else f"{sign}{days} d"


def minutes_text(minutes: float) -> str:
    """Minutes, or hours and days where minutes would be hard to read."""
    if minutes < 3 * 60:
        return f"{minutes:g}"
    words = write(minutes, "duration")
    return words.removesuffix(" min") if " h " in words else words


def hours_text(minutes: float) -> str:
    """Hours and minutes, never days: "12 min", "2 h", "62 h 5 min"."""
    hours, left = divmod(round(minutes), 60)
    return f"{hours} h {left} min" if hours and left else f"{hours} h" if hours else f"{left} min"


def span_text(ms: int) -> str:
    """A span in words: "45 s", "12 min", "2 h 5 min"."""
    seconds = round(abs(ms) / 1000)
    return f"{seconds} s" if seconds < 120 else hours_text(seconds // 60)
