"""The strip of a cause: the usual range, the published one, the plan's value, this make."""

from __future__ import annotations

import math

from journal.curves.surface import Span
from journal.desk.charts.marks import BoxMark, DotMark, LineMark, Mark, MarkScale, Scene
from journal.findings.why import SuspectedCause

HIGH, INSET = 22, 8
_BAND, _BAR, _DOT = 8.0, 3.0, 9.0
_AROUND = 0.12  # of what is shown, either side


def cause_scene(one: SuspectedCause, wide: float) -> Scene:
    """Where a value lies among the kitchen's own and the published ones."""
    x, middle = MarkScale(span_of(one), (INSET, wide - INSET)), HIGH / 2 - 2
    edges = x.value(0.0), x.value(wide)
    marks: list[Mark] = [BoxMark(edges, (middle, middle + 1), "hairline")]
    if one.usual is not None and math.isfinite(one.usual.low):
        y = middle - _BAND / 2 + 0.5
        marks.append(BoxMark((one.usual.low, one.usual.high), (y, y + _BAND), "past", least=2.0))
    if one.published is not None:
        ends = one.published.low, one.published.high
        x0, x1 = (edge if end is None else end for end, edge in zip(ends, edges, strict=True))
        y = HIGH - _BAR - 1
        marks.append(BoxMark((x0, x1), (y, y + _BAR), "planned", least=2.0))
    if one.planned is not None:
        ends = one.planned, one.planned
        marks.append(LineMark(ends, (1, HIGH - _BAR - 3), "planned", 1.4, "dash"))
    here, y = one.here, middle + 0.5
    if here is not None and math.isfinite(here.value):
        if here.high > here.low:
            marks.append(LineMark((here.low, here.high), (y, y), "ink", 1.4))
        marks.append(DotMark(here.value, y, _DOT, "ink", "paper", 1.5))
    return Scene(marks, x)


def span_of(one: SuspectedCause) -> Span:
    """From where to where a strip goes."""
    values: list[float | None] = [one.planned]
    if one.here is not None:
        values += [one.here.value, one.here.low, one.here.high]
    if one.usual is not None:
        values += [one.usual.low, one.usual.high]
    if one.published is not None:
        values += [one.published.low, one.published.high]
    known = [v for v in values if v is not None and math.isfinite(v)]
    if not known:
        return 0.0, 1.0
    low, high = min(known), max(known)
    room = _AROUND * (high - low) or abs(high) * _AROUND or 1.0
    return low - room, high + room
