"""Axes of our charts: clock times of a make's own zone, and plain numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF, QPainter

from journal.desk.charts.days import month_names, months_between
from journal.desk.theme import SMALL, Colours, font, scaled
from journal.records.instants import MINUTE_MS, local
from journal.wording.dates import clock, day_clock, format_day
from journal.wording.durations import from_start

# Steps at natural times, minutes: 5, 15, 60, then hours and days.
NATURAL_MIN = (1, 2, 5, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 7 * 1440, 14 * 1440)
_DAY_MIN = 1440
_MONTH_MIN = round(30.44 * _DAY_MIN)
_PX_A_TICK, _GAP_PX = 64, 20

PlacedText = tuple[QRectF, object, str]
Ticks = list[tuple[float, list[float]]]
"""Levels of ticks: how far apart they are, and where they stand."""


class NumberAxis(pg.AxisItem):  # type: ignore[misc] # pyqtgraph brings no types
    """A plain number axis: no prefixes on units, quiet ticks, hairlines across the page."""

    def __init__(self, orientation: str) -> None:
        super().__init__(orientation, pen=None, maxTickLength=0)
        self.covered = QRectF()  # of the scene: what lies over the chart there
        self.enableAutoSIPrefix(False)
        self.setStyle(tickFont=font(SMALL), tickTextOffset=8, hideOverlappingLabels=False)
        if orientation == "left":
            self.setStyle(tickAlpha=0)  # of no length they would still be dots

    def take_room(self) -> None:
        """Take the width or height it needs: while its plot was hidden it took none."""
        if self.orientation in ("left", "right"):
            self._updateWidth()
        else:
            self._updateHeight()

    def drawPicture(
        self, p: QPainter, axisSpec: object, tickSpecs: object, textSpecs: Sequence[PlacedText]
    ) -> None:
        """Draw it without the words that would look out from under what covers them."""
        over = self.mapRectFromScene(self.covered)
        free = [one for one in textSpecs if self.covered.isNull() or not over.intersects(one[0])]
        super().drawPicture(p, axisSpec, tickSpecs, free)

    def restyle(self, c: Colours) -> None:
        """Take the colours of the side shown."""
        self.setPen(pg.mkPen(None))
        self.setTickPen(pg.mkPen(c.hairline, width=1))
        self.setTextPen(pg.mkPen(c.quiet))


class ClockAxis(NumberAxis):
    """Minutes from `zero_ms`, ticking at natural times of the clock in `zone`."""

    def __init__(self, orientation: str = "bottom", zero_ms: int = 0, zone: str = "UTC") -> None:
        super().__init__(orientation)
        self.zero_ms = zero_ms
        self.zone = zone
        self.setStyle(tickLength=-4, tickTextOffset=6, hideOverlappingLabels=40)

    def set_clock(self, zero_ms: int, zone: str) -> None:
        """What 0 minutes is, and whose clock is read."""
        self.zero_ms, self.zone = zero_ms, zone
        self.picture = None
        self.update()

    def tickValues(self, minVal: float, maxVal: float, size: float) -> Ticks:
        span = maxVal - minVal
        most = size / self._px_a_tick(dated=False)
        step = natural_step(span, most)
        if step < _DAY_MIN < span:  # a time comes again the next day, and is named with its date
            most = size / self._px_a_tick(dated=True)
            step = natural_step(span, most)
        if step >= _MONTH_MIN:
            return [(step, self._months(minVal, maxVal, most))]
        return [(step, clock_ticks(minVal, maxVal, step, self.zero_ms, self.zone))]

    def _months(self, low: float, high: float, most: float) -> list[float]:
        """Minutes at which months begin, at most so many."""
        first, last = (self.zero_ms + round(at * MINUTE_MS) for at in (low, high))
        months = months_between(first, last, self.zone, most)
        return [(at_ms - self.zero_ms) / MINUTE_MS for at_ms, _ in months]

    def _px_a_tick(self, *, dated: bool) -> float:
        """Room for one tick's words, px."""
        words = (day_clock(self.zero_ms, self.zone, short=True) if dated
                 else clock(self.zero_ms, self.zone))  # fmt: skip
        wide = QFontMetricsF(font(SMALL)).horizontalAdvance(words)
        return max(_PX_A_TICK, wide + _GAP_PX)

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        if spacing >= _MONTH_MIN:
            at = (self.zero_ms + round(minutes * MINUTE_MS) for minutes in values)
            return month_names([local(ms, self.zone).date() for ms in at])
        again = len(values) > 1 and spacing < _DAY_MIN <= values[-1] - values[0]
        out: list[str] = []
        for minutes in values:
            words = self._dated(minutes) if again else self.say(minutes, spacing)
            if out and words == out[-1]:  # the hour that comes twice when the clocks go back
                at_ms = self.zero_ms + round(minutes * MINUTE_MS)
                words = f"{words} {local(at_ms, self.zone).tzname()}"
            out.append(words)
        return out

    def say(self, minutes: float, spacing: float = 1) -> str:
        """The clock at `minutes`, or the date where the steps are days."""
        at_ms = self.zero_ms + round(minutes * MINUTE_MS)
        if spacing >= _DAY_MIN:
            return format_day(local(at_ms, self.zone), short=True, year=False)
        return clock(at_ms, self.zone)

    def _dated(self, minutes: float) -> str:
        """The day and the clock; the day alone where it begins."""
        at_ms = self.zero_ms + round(minutes * MINUTE_MS)
        when = local(at_ms, self.zone)
        begins = when.hour == when.minute == 0
        return self.say(minutes, _DAY_MIN) if begins else day_clock(at_ms, self.zone, short=True)


class ElapsedAxis(NumberAxis):
    """Minutes from a chosen moment, written as hours and minutes with their sign."""

    def __init__(self, orientation: str = "bottom") -> None:
        super().__init__(orientation)
        self.setStyle(tickLength=-4, tickTextOffset=6, hideOverlappingLabels=40)

    def tickValues(self, minVal: float, maxVal: float, size: float) -> Ticks:
        step = natural_step(maxVal - minVal, size / scaled(_PX_A_TICK))
        first = math.ceil(minVal / step)
        return [(step, [i * step for i in range(first, math.floor(maxVal / step) + 1)])]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        return [from_start(minutes) for minutes in values]


def natural_step(span_min: float, most: float) -> int:
    """The smallest natural step, minutes, that needs at most `most` ticks over the span."""
    for step in NATURAL_MIN:
        if span_min / step <= max(most, 1):
            return step
    return _MONTH_MIN * max(1, math.ceil(span_min / _MONTH_MIN / max(most, 1)))


def clock_ticks(low: float, high: float, step: int, zero_ms: int, zone: str) -> list[float]:
    """Minutes from `zero_ms` in [low, high] at which the zone's clock stands at a multiple of
    `step` minutes (counted from midnight; over a day, from the first midnight)."""
    grain = (
        1 if step < 5 else 5 if step < 15 else 15
    )  # every zone's offset is a multiple of 15 min today
    first = math.floor((zero_ms / MINUTE_MS + low) / grain) * grain
    out, midnights = [], 0
    at = first
    while at <= zero_ms / MINUTE_MS + high:
        when = local(round(at * MINUTE_MS), zone)
        of_day = when.hour * 60 + when.minute
        if of_day % min(step, _DAY_MIN) == 0:
            wanted = step <= _DAY_MIN or midnights % (step // _DAY_MIN) == 0
            midnights += 1
            minutes = at - zero_ms / MINUTE_MS
            if wanted and low <= minutes <= high:
                out.append(minutes)
            at += grain if step < 120 else 60 if of_day % 60 == 0 else grain
        else:
            at += grain
    return out
