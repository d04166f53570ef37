"""The coming week as seven columns, with what falls due on each day."""

from __future__ import annotations

from collections.abc import Sequence

from journal.desk.charts.marks import BoxMark, Mark, Scene, ScenePoint, TextMark
from journal.desk.charts.view import SceneView
from journal.desk.theme import RADIUS, STEP, scaled
from journal.reports.shelves import WEEK, CareDay
from journal.wording import worded
from journal.wording.dates import weekday_name
from journal.wording.languages import translated

_LINE = 4 * STEP
_TIGHT = 150 * STEP  # px; a narrower strip has its days closer


class WeekStrip(SceneView):
    """Draws a week, at most so many lines a day; it is read whole in its description. Where a day
    `leads` somewhere it is a point's key."""

    def __init__(
        self, lines: int = 2, nothing: str = "no care this week", *, leads: bool = False
    ) -> None:
        high = scaled(6 * STEP + (lines + 1) * _LINE + 4 * STEP)
        super().__init__(translated("Next seven days"), high=high)
        self._days: list[CareDay] = []
        self._lines, self._nothing, self._leads = lines, nothing, leads

    def show_week(self, days: Sequence[CareDay]) -> None:
        """Draw these."""
        self._days = list(days)
        lines = [_read(day) for day in self._days if day.words]
        self.tell(self._build_week, "; ".join(lines) or self._nothing)

    def _build_week(self, width: float, height: float) -> Scene:
        tight = width < scaled(_TIGHT)
        gap, inset = (STEP, STEP) if tight else (2 * STEP, 2 * STEP)
        wide = (width - 6 * STEP - (WEEK - 1) * gap) / WEEK
        top, foot, high = scaled(6 * STEP), height - scaled(STEP), scaled(_LINE)
        points = []
        marks: list[Mark] = [
            TextMark(3 * STEP, scaled(4 * STEP), translated("Next seven days"), base=True)
        ]
        for number, day in enumerate(self._days):
            left = 3 * STEP + number * (wide + gap)
            fill = "field" if day.words else "paper"
            box = (left, left + wide), (top, foot)
            marks.append(BoxMark(*box, fill, "hairline", rounded=RADIUS))
            words, down = _read(day) if day.words else _day(day), (top + foot) / 2
            key = day.on if self._leads else None
            points.append(ScenePoint(left + wide / 2, down, words, key, wide, foot - top))
            x, y, room = left + inset, top + STEP + high / 2, wide - inset - STEP // 2
            role, name = ("quiet", _day(day)) if number else ("ink", translated("Today"))
            marks.append(TextMark(x, y, name, role, bold=number == 0))
            more = len(day.words) - self._lines
            rest = [worded("desk.so-many-more", more=more + 1)] if more > 0 else []
            for line, shown in enumerate((*day.words[: self._lines - (more > 0)], *rest), 1):
                marks.append(TextMark(x, y + line * high, shown, "ink", wide=room))
        return Scene(marks, points=points)


def _day(day: CareDay) -> str:
    return f"{weekday_name(day.on, short=True)} {day.on.day}"


def _read(day: CareDay) -> str:
    return f"{_day(day)}: {', '.join(day.words)}"
