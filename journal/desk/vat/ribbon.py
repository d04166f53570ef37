"""The ribbon of stages across the middle of the day: planned above, real below."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QTransform

from journal.curves.snapshot import MakeSnapshot
from journal.curves.surface import Span
from journal.desk.charts.item import SceneItem
from journal.desk.charts.marks import Mark, Scene, TextMark
from journal.desk.charts.strip import strip_marks
from journal.desk.theme import SMALL, Colours, font
from journal.wording import worded
from journal.wording.numbers import signed

PLAN_ROW, DAY_ROW = 1.5, 0.5


@dataclass(frozen=True)
class Strip:
    """One stage on a row: minutes, its name, and how it is drawn (planned, done, now)."""

    row: float
    from_min: float
    to_min: float
    label: str
    state: str
    delay: str = ""  # how much longer or shorter than planned, shown where there is room


class Ribbon(SceneItem):
    """Draws strips in screen pixels over a panel whose x is minutes and y is 0 to 2."""

    def __init__(
        self, strips: list[Strip], late: str, late_min: float, last_min: float, c: Colours
    ) -> None:
        super().__init__(c)
        self._last_min = last_min
        self._strips = strips
        self._late = late
        self._late_min = late_min

    def boundingRect(self) -> QRectF:
        low = min([s.from_min for s in self._strips], default=0.0)
        high = max([*(s.to_min for s in self._strips), self._late_min, low + 1])
        return QRectF(low, 0, (high - low) * 1.5 + 1, 2)

    def scene_on(self, to_screen: QTransform) -> Scene:
        held, marks = "", list[Mark]()
        for strip in self._strips:
            left, right = (
                to_screen.map(QPointF(at, strip.row)) for at in (strip.from_min, strip.to_min)
            )
            more, held = self._marks(strip, (left.x() + 1, right.x() - 1), left.y(), held)
            marks += more
        spot = self.late_at(to_screen) if self._late else None
        if spot is not None:
            marks.append(TextMark(spot.x(), spot.y(), self._late, "attention", base=True))
        return Scene(marks)

    def late_at(self, to_screen: QTransform) -> QPointF | None:
        """Where it says how late the day is: after the current stage or before the end of the day,
        but never on a stage that is filled; None where there is no room, for the page says it
        too."""
        spot = to_screen.map(QPointF(self._late_min, DAY_ROW))
        edge = to_screen.map(QPointF(self._last_min, DAY_ROW)).x()
        wide = QFontMetricsF(font(SMALL)).horizontalAdvance(self._late)
        if spot.x() + 8 + wide <= edge:
            return QPointF(spot.x() + 8, spot.y() + 4)
        left = min(spot.x() - 8, edge) - wide
        filled = [s.to_min for s in self._strips if s.row == DAY_ROW and s.state != "planned"]
        free = to_screen.map(QPointF(max(filled, default=0.0), DAY_ROW)).x()
        return QPointF(left, spot.y() + 4) if left >= free + 4 else None

    def _marks(self, strip: Strip, x: Span, y: float, held: str) -> tuple[list[Mark], str]:
        """A strip, and the name of the current stage where it had no room, for the rest of the
        stage, which is handed it as `held`."""
        if x[1] - x[0] < 1:
            return [], strip.label if strip.state == "now" else ""
        filled = {"done": "done", "now": "ink"}.get(strip.state)
        plan, rest, name = (
            strip.row == PLAN_ROW,
            bool(held) and not strip.label,
            strip.label or held,
        )
        marks = strip_marks(
            x, y, [f"{name} {strip.delay}", name] if strip.delay else [name],
            edge=filled or ("planned" if plan else "done"), fill=filled or "paper",
            ink="paper" if filled else "ink" if rest else "planned" if plan else "quiet",
            bold=strip.state == "now" or rest,
        )  # fmt: skip
        return marks, strip.label if strip.state == "now" and len(marks) == 1 else ""


def strips_of(day: MakeSnapshot) -> list[Strip]:
    """The plan's stages on its own clock, and the day's as they were and are; those to come are
    the plan's business."""
    stages, out = day.whole.plan.stages, []
    first, last = day.view()
    for stage, start in zip(stages, day.whole.plan.starts(), strict=True):
        if start < last and start + stage.minutes > first:
            end = min(start + stage.minutes, last)
            out.append(Strip(PLAN_ROW, max(start, first), end, stage.label, "planned"))
    ends = [min(end, last) for end in day.stage_ends]
    delays = {
        delay.position: signed(delay.minutes, 0) for delay in day.delays if abs(delay.minutes) >= 1
    }
    for index, begin in enumerate(day.begins):
        state = _state(day, index)
        if state == "planned" or begin >= last or ends[index] <= first:
            continue
        begin = max(begin, first)
        if state == "now":
            out.append(Strip(DAY_ROW, begin, day.now_min, stages[index].label, "now"))
            if ends[index] > day.now_min + 0.5:
                out.append(Strip(DAY_ROW, day.now_min, ends[index], "", "planned"))
            continue
        delay = delays.get(index, "")
        out.append(Strip(DAY_ROW, begin, ends[index], stages[index].label, state, delay))
    return out


def to_come(day: MakeSnapshot) -> list[Strip]:
    """The stages to come where the day as it goes has them: for a ribbon without the plan's row."""
    first, last = day.view()
    out = []
    for index, (begin, end) in enumerate(zip(day.begins, day.stage_ends, strict=False)):
        skipped = index < len(day.whole.runs) and day.whole.runs[index].skipped
        if _state(day, index) == "planned" and not skipped and begin < last and end > first:
            label = day.whole.plan.stages[index].label
            out.append(Strip(DAY_ROW, max(begin, first), min(end, last), label, "planned"))
    return out


def late_at(day: MakeSnapshot) -> float:
    """The minute at which it is said how late the day is; beyond all where no stage runs."""
    index = day.page_state.index
    return inf if index is None else day.stage_ends[index]


def stage_at(day: MakeSnapshot, at_min: float) -> str:
    """The stage of the day at a minute, its delay, and why: "cook, +6 min: the fire was low"."""
    index = stage_index(day, at_min)
    if index is None:
        return ""
    delay = next((one for one in day.delays if one.position == index), None)
    label = day.whole.plan.stages[index].label
    if delay is None:
        return label
    if abs(delay.minutes) >= 1:
        label = worded("desk.stage-moved", stage=label, delay=signed(delay.minutes, 0))
    return f"{label}{': ' if delay.reason else ''}{delay.reason}"


def stage_index(day: MakeSnapshot, at_min: float) -> int | None:
    """The place of the stage of the day at a minute."""
    ends = zip(day.begins, day.stage_ends, strict=False)
    return next((i for i, (a, b) in enumerate(ends) if a <= at_min < b), None)


def _state(day: MakeSnapshot, index: int) -> str:
    runs = day.whole.runs
    run = runs[index] if index < len(runs) else None
    if run is not None and run.skipped:
        return "planned"
    if run is None or run.began_ms is None:
        return "planned" if day.running else "done"
    if run.ended_ms is not None or not day.running:
        return "done"
    return "now" if index == day.page_state.index else "done"
