"""Hours on paper: the day at the vat to scale, and what follows it to a scale of its own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from journal.records.instants import MINUTE_MS, from_datetime, local
from journal.wording.dates import clock, weekday_name
from journal.wording.durations import from_start

_STEPS = (5, 10, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 10080)  # natural ticks, min
_DAY = 1440
_AFTER_SHARE = 0.27  # of the width, for what follows the vat
_BREAK_SHARE = 0.02


@dataclass(frozen=True)
class Stretch:
    """Minutes from the start and the part of the width they take, both from and to."""

    first: float
    last: float
    left: float
    right: float

    def place(self, minute: float) -> float:
        """Where a minute lies, as a share of the width."""
        part = (minute - self.first) / (self.last - self.first)
        return self.left + part * (self.right - self.left)


@dataclass(frozen=True)
class AxisTick:
    """A minute with its words; `day` marks a midnight."""

    minute: float
    words: str
    day: bool = False


@dataclass(frozen=True)
class Hours:
    """Stretches of the day in order. With `start_ms` they are said on the clock of `zone`, else
    in hours from the start."""

    stretches: tuple[Stretch, ...]
    start_ms: int | None = None
    zone: str = "UTC"

    def ticks(self, stretch: Stretch, wide: float) -> list[AxisTick]:
        """Natural ticks of a stretch that is `wide` mm, 13 mm or more apart."""
        most = max(2.0, wide / 13.0)
        length = stretch.last - stretch.first
        step = next((s for s in _STEPS if length / s <= most), _STEPS[-1])
        minutes = self._minutes(step, stretch)
        return [self._tick(m, step) for m in minutes]

    def _minutes(self, step: int, stretch: Stretch) -> list[float]:
        if self.start_ms is None:
            first = -(-stretch.first // step)
            count = int(stretch.last // step - first) + 1
            return [(first + i) * step for i in range(max(0, count))]
        day = local(self.start_ms, self.zone).replace(tzinfo=None)
        midnight = day.replace(hour=0, minute=0, second=0, microsecond=0)
        before = (day - midnight).total_seconds() / 60
        first = int((before + stretch.first) // step)
        last = int((before + stretch.last) // step) + 1
        found = [
            (from_datetime(midnight + timedelta(minutes=i * step), self.zone) - self.start_ms)
            / MINUTE_MS
            for i in range(first, last + 1)
        ]
        return [m for m in found if stretch.first <= m <= stretch.last]

    def _tick(self, minute: float, step: int) -> AxisTick:
        if self.start_ms is None:
            return AxisTick(minute, from_start(minute), bool(minute) and minute % _DAY == 0)
        at = self.start_ms + round(minute * MINUTE_MS)
        here = local(at, self.zone)
        midnight = (here.hour, here.minute) == (0, 0)
        if midnight or step >= _DAY:
            return AxisTick(minute, weekday_name(local(at, self.zone), short=True), True)
        return AxisTick(minute, clock(at, self.zone), False)


def hours_for(vat_min: float, whole_min: float, start_ms: int | None, zone: str) -> Hours:
    """One scale while the rest is short beside the day at the vat, else two with a break."""
    vat_min, whole_min = max(vat_min, 1.0), max(whole_min, 1.0)
    if whole_min <= vat_min * 1.35:
        return Hours((Stretch(0.0, whole_min, 0.0, 1.0),), start_ms, zone)
    middle = 1.0 - _AFTER_SHARE
    day = Stretch(0.0, vat_min, 0.0, middle - _BREAK_SHARE)
    return Hours((day, Stretch(vat_min, whole_min, middle, 1.0)), start_ms, zone)
