"""A strip with the calendar as its axis: sessions or wheels on the days they fall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtWidgets import QWidget

from journal.desk.cells import line_high
from journal.desk.charts.days import months_between
from journal.desk.charts.marks import (
    MIDDLE,
    DotMark,
    LineMark,
    Mark,
    MarkScale,
    Scene,
    ScenePoint,
    TextMark,
)
from journal.desk.charts.values import NOWHERE
from journal.desk.charts.view import SceneView
from journal.desk.theme import SMALL, scaled
from journal.records.instants import DAY_MS
from journal.wording import worded
from journal.wording.languages import translated

DOT, RING, CHOSEN = "dot", "ring", "chosen"
_LEFT, _RIGHT = 96, 20
_MONTH_PX, _GAP = 110, 14


@dataclass(frozen=True)
class CalendarMark:
    """A mark on the line: when, what the pointer reads, and what a click hands out.

    `look` is a small dot, a ring, or chosen (a dot in a ring). `label` is written under it.
    """

    at_ms: int
    words: str
    key: object
    look: str = RING
    label: str = ""


class CalendarLine(SceneView):
    """Draws days on one line; `went` carries the key of the one that was clicked."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent=parent)
        self.show_days(name, (), "UTC")

    def show_days(self, title: str, days: Sequence[CalendarMark], zone: str) -> None:
        """Draw these days; `title` stands at the left."""
        ordered = sorted(days, key=_when)
        chosen = [day.words for day in ordered if day.look == CHOSEN]
        described = "; ".join([worded("desk.dates", count=len(ordered)), *chosen[:3]])
        build = partial(calendar_scene, translated(title), ordered, zone)
        self.tell(build, described if ordered else worded("wording.nothing-to-show"))


def calendar_scene(
    title: str, days: Sequence[CalendarMark], zone: str, wide: float, high: float
) -> Scene:
    """The days in their order over the months they fall in; names of days go before months."""
    left, y = scaled(_LEFT), high / 2
    name = TextMark(0, y, title)
    if not days:
        return Scene([name])
    first, last = days[0].at_ms, days[-1].at_ms
    x = MarkScale((first, max(last, first + DAY_MS)), (left + 10, wide - scaled(_RIGHT)))
    below = y + scaled(16) + line_high(SMALL) / 2
    marks: list[Mark] = [
        TextMark(day.at_ms, below, day.label, "ink", MIDDLE, gap=_GAP) for day in days if day.label
    ]
    for at_ms, words in months_between(first, last, zone, (wide - left) / scaled(_MONTH_PX)):
        tick = LineMark((at_ms, at_ms), (y - 3, y + 3), "quiet")
        marks.append(TextMark(at_ms, below, words, align=MIDDLE, gap=_GAP, tick=tick))
    for day in sorted(days, key=_is_chosen):
        ring = {DOT: 0.0, CHOSEN: 17.0}.get(day.look, 10.0)
        dot = {DOT: 7.0, CHOSEN: 8.0}.get(day.look, 0.0)
        if ring:
            marks.append(DotMark(day.at_ms, y, scaled(ring), "paper", "ink", 1.6))
        if dot:
            marks.append(DotMark(day.at_ms, y, scaled(dot), "ink"))
    points = [ScenePoint(day.at_ms, NOWHERE, day.words, day.key) for day in days]
    line = LineMark((left, wide), (y, y), "quiet")
    return Scene([name, line, Scene(marks, x, within=(left, wide), points=points)])


def _when(day: CalendarMark) -> int:
    return day.at_ms


def _is_chosen(day: CalendarMark) -> bool:
    return day.look == CHOSEN
