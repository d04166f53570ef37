"""The months after the day: the make as a block, then the care, tastings and least age to eat on
calendar months."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.theme import STEP
from journal.records.care_days import due_days, horizon_days
from journal.records.care_written import EAT, TASTE, care_lines
from journal.records.dates import MONTH_DAYS
from journal.records.instants import local
from journal.records.plans import CareRule, Plan
from journal.wording import worded
from journal.wording.care import care_name, lines_words
from journal.wording.dates import format_day, month_name

_ROW_PX, _REST_PX = 22, 74  # of a kind of care; of the axis and the room about them
_CLOSE_PX = 7.5  # marks nearer than this run into a line
_MONTH_PX = 45  # "Jan 2027" beside "Feb"
_BLOCK_PX = 9.0  # of the make before its own day, so that it is seen
_DAY_MIN = 1440.0


@dataclass(frozen=True)
class CareScene:
    """What is drawn of a plan's care: the day of the make, how long the make takes (days), the last
    day shown, and a row a kind of care with its rules; ages to taste and to eat at."""

    plan: Plan
    begun: date
    make_days: float
    last_day: float
    rows: tuple[tuple[str, tuple[CareRule, ...]], ...]
    taste: tuple[float, ...]
    eat: float | None

    def on(self, day: float) -> date:
        """The day on the calendar."""
        return self.begun + timedelta(days=int(day))


def care_scene(plan: Plan, start_ms: int, zone: str) -> CareScene | None:
    """The care of a plan begun at an instant; None where it says nothing of it."""
    lines = care_lines(plan)
    if not lines:
        return None
    at = local(start_ms, zone)
    begin = (at.hour * 60 + at.minute + plan.minutes) / _DAY_MIN
    kinds: dict[str, list[CareRule]] = {}
    for rule in plan.care:
        kinds.setdefault(rule.kind, []).append(rule)
    rows = tuple((kind, tuple(rules)) for kind, rules in kinds.items())
    last = horizon_days(lines, begin)
    return CareScene(plan, at.date(), begin, last, rows, plan.taste_at_days, plan.eat_from_days)


class CareChart(Chart):
    """Shows a CareScene."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("The months after the day", "no care", parent)
        self._scene: CareScene | None = None
        self.months = NumberAxis("bottom")
        self.months.setStyle(tickLength=-4, tickTextOffset=6)
        self.plot = self.add_plot(bottom=self.months)
        self.setMinimumHeight(24 * STEP)

    def show_scene(self, scene: CareScene | None) -> None:
        """Draw this; None: nothing."""
        self._scene = scene
        self.about(None if scene is None else scene.plan.name)
        self.setVisible(scene is not None)
        if scene is not None:
            self.setFixedHeight(_ROW_PX * len(self._rows()) + _REST_PX)
            self.describe(f"{scene.plan.name}: {lines_words(care_lines(scene.plan))}")
        self.refresh()

    def _rows(self) -> list[str]:
        """The kinds of care from the top, tastings and eating last."""
        scene = self._scene
        if scene is None:
            return []
        names = [kind for kind, _ in scene.rows]
        return [
            *names,
            *([TASTE] if scene.taste else []),
            *([EAT] if scene.eat is not None else []),
        ]

    def draw(self) -> None:
        self.plot.wipe()
        scene = self._scene
        if scene is None:
            return
        rows = self._rows()
        wide = max(self.plot.pane(0).wide, 1.0)
        whole = (-_BLOCK_PX * scene.last_day / wide, scene.last_day)
        view = self.seen(whole)
        a_px = (view[1] - view[0]) / wide
        self.plot.show_range(view, (-len(rows) + 0.3, 1.4))
        self.plot.left_axis.setTicks([[(-i, care_name(name)) for i, name in enumerate(rows)]])
        self.months.setTicks([self._month_ticks(scene)])
        for i in range(len(rows)):
            self.plot.line(np.array(whole), np.array([-i, -i]), "hairline", width=1, level=-20)
        for at, _ in self._month_ticks(scene)[1:]:
            self.plot.upright(at, "hairline")
        block = (whole[0], scene.make_days)
        self.plot.box(block, (-len(rows) + 0.55, 0.45), "done", fill="done")
        if view[0] < scene.make_days:
            self.plot.words(view[0], 0.5, "the make", anchor=(0, 1))
        for i, (_, rules) in enumerate(scene.rows):
            for rule in rules:
                self._draw_rule(scene, rule, -i, a_px)
        if scene.taste:
            days = np.array(scene.taste)
            level = np.full(len(days), -rows.index(TASTE))
            self.plot.points(days, level, "ink", size=10, hollow=True)
        if scene.eat is not None:
            self._draw_eat(scene, scene.eat, -rows.index(EAT))

    def _draw_rule(self, scene: CareScene, rule: CareRule, y: float, a_px: float) -> None:
        """A mark a time; as a line where they would run into each other."""
        days = np.array(due_days(rule, scene.last_day))
        if not len(days):
            return
        ends = (rule.from_day, min(rule.to_day, scene.last_day))
        if rule.once and ends[1] > ends[0]:
            self.plot.line(np.array(ends), np.array([y, y]), "planned", width=1.4)
        if len(days) > 1 and rule.every_days < _CLOSE_PX * a_px:
            self.plot.line(days[[0, -1]], np.array([y, y]), "planned", width=4.0)
            return
        size = 8 if rule.once else 5
        self.plot.points(days, np.full(len(days), y), "planned", symbol="s", size=size)

    def _draw_eat(self, scene: CareScene, day: float, y: float) -> None:
        """From the least age on."""
        ends = np.array([day, scene.last_day])
        self.plot.line(ends, np.array([y, y]), "ink", width=3.0)
        self.plot.points(ends[:1], np.array([y]), "ink", size=9)
        words = worded("desk.from-origin", origin=format_day(scene.on(day), short=True)) + " "
        self.plot.words(day, y, words, "ink", anchor=(1.0, 0.5), on_paper=True)

    def _month_ticks(self, scene: CareScene) -> list[tuple[float, str]]:
        """The first days of months by their names, as many as there is room for, with the year
        where it begins."""
        most = max(1.0, self.plot.pane(0).wide / _MONTH_PX)
        first, last = scene.begun, scene.on(scene.last_day)
        shown = self.lens.shown
        months = (shown[1] - shown[0]) / MONTH_DAYS
        step = next((s for s in (1, 2, 3, 6, 12) if months / s <= most), 24)
        out: list[tuple[float, str]] = []
        for number in range(first.year * 12 + first.month, last.year * 12 + last.month):
            if number % step == 0:
                day = date(number // 12, number % 12 + 1, 1)
                year = f" {day.year}" if day.month == 1 else ""
                name = f"{month_name(day, short=True)}{year}"
                out.append((float((day - first).days), name))
        return [(0.0, ""), *out]

    def table(self) -> ValueTable:
        """Each time that something is due, in the order of the days."""
        scene = self._scene
        if scene is None:
            return ValueTable()
        rows = []
        for index, kind in enumerate(self._rows()):
            for day in self._marks(scene, kind):
                when = format_day(scene.on(day), short=True)
                words = worded("desk.care-on-day", care=care_name(kind), day=day, when=when)
                cells = (when, f"{day:g}", care_name(kind))
                rows.append(ValueRow(cells, day, float(-index), words=words))
        return table_of_rows(("date", "day", "care"), sorted(rows, key=_when_due))

    def _marks(self, scene: CareScene, kind: str) -> list[float]:
        """The days on which a kind of care is due."""
        if kind in (TASTE, EAT):
            return [*scene.taste] if kind == TASTE else [scene.eat or 0.0]
        return [day for r in dict(scene.rows)[kind] for day in due_days(r, scene.last_day)]


def _when_due(row: ValueRow) -> tuple[float, float]:
    return row.x, -row.y
