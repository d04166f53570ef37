"""The coming week as seven columns, with what falls due on each day."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QMouseEvent

from journal.desk.charts.marks import BoxMark, Mark, Scene, TextMark
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import RADIUS, STEP, scaled
from journal.reports.shelves import WEEK, CareDay
from journal.wording import worded
from journal.wording.dates import weekday_name

_LINE = 4 * STEP
_TIGHT = 150 * STEP  # px; a narrower strip has its days closer


class WeekStrip(DrawnWidget):
    """Draws a week, at most so many lines a day; it is read whole in its description. `picked`
    carries the day that was clicked."""

    picked = Signal(object)

    def __init__(self, lines: int = 2, nothing: str = "no care this week") -> None:
        super().__init__()
        self._days: list[CareDay] = []
        self._lines, self._nothing = lines, nothing
        self.setAccessibleName("Next seven days")
        self.setFixedHeight(scaled(6 * STEP + (lines + 1) * _LINE + 4 * STEP))

    def show_week(self, days: Sequence[CareDay]) -> None:
        """Draw these."""
        self._days = list(days)
        lines = [f"{_day(day)}: {', '.join(day.words)}" for day in self._days if day.words]
        self.setAccessibleDescription("; ".join(lines) or self._nothing)
        self.setToolTip(plain_tip("\n".join(lines)))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(400, self.height())

    def scene(self) -> Scene:
        tight = self.width() < scaled(_TIGHT)
        gap, inset = (STEP, STEP) if tight else (2 * STEP, 2 * STEP)
        wide = (self.width() - 6 * STEP - (WEEK - 1) * gap) / WEEK
        top, foot, high = scaled(6 * STEP), self.height() - scaled(STEP), scaled(_LINE)
        marks: list[Mark] = [TextMark(3 * STEP, scaled(4 * STEP), "Next seven days", base=True)]
        for number, day in enumerate(self._days):
            left = 3 * STEP + number * (wide + gap)
            fill = "field" if day.words else "paper"
            box = (left, left + wide), (top, foot)
            marks.append(BoxMark(*box, fill, "hairline", rounded=RADIUS))
            x, y, room = left + inset, top + STEP + high / 2, wide - inset - STEP // 2
            role, name = ("quiet", _day(day)) if number else ("ink", "Today")
            marks.append(TextMark(x, y, name, role, bold=number == 0))
            more = len(day.words) - self._lines
            rest = [worded("desk.so-many-more", more=more + 1)] if more > 0 else []
            for line, words in enumerate((*day.words[: self._lines - (more > 0)], *rest), 1):
                marks.append(TextMark(x, y + line * high, words, "ink", wide=room))
        return Scene(marks)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        share = (event.position().x() - 3 * STEP) / max(self.width() - 6 * STEP, 1)
        number = int(share * WEEK)
        if 0 <= number < len(self._days):
            self.picked.emit(self._days[number].on)


def _day(day: CareDay) -> str:
    return f"{weekday_name(day.on, short=True)} {day.on.day}"
