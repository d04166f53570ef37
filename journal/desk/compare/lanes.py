"""One ribbon drawn: its stages, off the plan above, acidity below, its score and its cut."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF

from journal.curves.course import MISSED, CourseReadings, StageSpan
from journal.curves.reduce import Reduced, reduce
from journal.curves.registration import AS_IT_WAS
from journal.curves.surface import Span
from journal.desk.charts.marks import RIGHT as RIGHT_ALIGNED
from journal.desk.charts.marks import (
    AreaMark,
    BoxMark,
    DotMark,
    LineMark,
    Mark,
    MarkScale,
    PhotoMark,
    Scene,
    TextMark,
    TriangleMark,
    wash,
)
from journal.desk.charts.strip import strip_marks
from journal.desk.theme import LEAD, SMALL, STEP, TEXT, font, scaled
from journal.desk.thumbnails import Thumbnails
from journal.reports.ribbons import Lane, RibbonScene
from journal.wording import worded
from journal.wording.dates import short_day
from journal.wording.numbers import signed
from journal.wording.scales import finite_runs

LEFT, RIGHT, CUT = 30 * STEP, 17 * STEP, 12 * STEP  # px of the code, the score, the cut
BAR = 18  # px
_LEAST_DELAY = 5.0  # minutes a stage took longer or shorter by that are worth a word
_COLUMNS = 700
_OFF_SHARE = 0.34  # of a lane's height, above the stages


class LaneMarks:
    """The marks of the lanes of a scene, between `left` and `right` px of the page."""

    def __init__(
        self, scene: RibbonScene, shown: Span, width: int, photos: Thumbnails,
        file_of: Callable[[str], Path | None], known: dict[tuple[int, str], Reduced],
    ) -> None:  # fmt: skip
        self.scene, self.shown = scene, shown
        self._photos, self._file_of, self._known = photos, file_of, known
        self.has_cut = any(lane.ribbon.photo for lane in scene.lanes)
        self.left = float(scaled(LEFT))
        self.right = float(width - scaled(RIGHT) - (scaled(CUT) if self.has_cut else 0))
        self.x = MarkScale(shown, (self.left, self.right))

    def position(self, x: float) -> float:
        """The position under a px, within what is shown."""
        return min(max(self.x.value(x), self.shown[0]), self.shown[1])

    def marks(self, lane: Lane, box: QRectF) -> list[Mark]:
        """A lane in its box."""
        middle = box.top() + box.height() * (_OFF_SHARE + 0.06) + scaled(BAR) / 2
        inner = [
            *self._off(lane, middle - scaled(BAR) / 2 - 3, box.height() * _OFF_SHARE),
            Scene(self._stages(lane, middle)),
            *self._acid(lane, middle + scaled(BAR) / 2 + 5, box.bottom() - 6),
        ]
        clip = QRectF(self.left - 6, box.top(), self.right - self.left + 10, box.height())
        row = lane.ribbon.row
        day, below = short_day(row.started_ms, row.zone), middle + scaled(16)
        return [
            TextMark(4 * STEP, middle + 1, row.code, "ink", size=TEXT, bold=lane.mine, base=True),
            TextMark(4 * STEP, below, day, base=True),
            Scene(inner, self.x, clip=clip),
            *self._end(lane, box, middle),
        ]

    def _off(self, lane: Lane, base: float, height: float) -> list[Mark]:
        """How far it was off its plan: above the line warmer, below it colder."""
        drawn = self._reduced(lane, "off", lane.course.off)
        zero = base - height * 0.42
        shown = float(self.scene.off_c)
        scale = height * 0.55 / shown
        x = np.asarray(lane.axis.to_position(drawn.at), float)
        y = zero - np.clip(drawn.value, -0.75 * shown, 1.05 * shown) * scale
        out: list[Mark] = []
        for run in finite_runs(y, 2):
            corners = np.r_[x[run], x[run][-1], x[run][0]]
            ink = "temperature" if lane.mine else wash("temperature", 0.62)
            out.append(AreaMark(corners, np.r_[y[run], zero, zero], ink))
        if len(x):
            role = "temperature" if lane.mine else "past_line"
            out.append(LineMark((float(x[0]), float(x[-1])), (zero, zero), role, 0.8))
        return out

    def _stages(self, lane: Lane, middle: float) -> list[Mark]:
        as_it_was, out = self.scene.choice.time == AS_IT_WAS, list[Mark]()
        fill, half = "ink" if lane.mine else "done", scaled(BAR) / 2
        for stage in lane.course.stages:
            ends = np.asarray(lane.axis.to_position([stage.begin, stage.end]), float)
            first, last = self.x.all_at(ends)
            if first > self.right or last < self.left:
                continue
            x = max(first, self.left - 40) + 0.5, min(last, self.right + 40) - 1.0
            if x[1] - x[0] < 1:
                out.append(BoxMark((x[0] - 0.5, x[0] + 0.5), (middle - half, middle + half), fill))
                continue
            out += strip_marks(
                x, middle, stage_names(stage, as_it_was and stage.done), edge=fill, fill=fill,
                ink="paper", bold=lane.mine, high=2 * half,
                seen=(max(x[0], self.left), min(x[1], self.right)),
            )  # fmt: skip
        return out

    def _acid(self, lane: Lane, top: float, bottom: float) -> list[Mark]:
        acid, (low, high) = lane.course.acid, self.scene.acid
        if acid.kind != self.scene.lanes[0].course.acid.kind:
            return []
        titrated = not acid.kind.endswith("-ph")

        def y(value: npt.ArrayLike) -> np.ndarray:
            share = np.clip((np.asarray(value, float) - low) / (high - low), 0.0, 1.0)
            out: np.ndarray = bottom - (bottom - top) * (1 - share if titrated else share)
            return out

        drawn = self._reduced(lane, "acid", acid)
        ink = "acidity" if lane.mine else wash("acidity", 0.75)
        x, heights = np.asarray(lane.axis.to_position(drawn.at), float), y(drawn.value)
        width = 1.8 if lane.mine else 1.3
        out: list[Mark] = [
            LineMark(x[run], heights[run], ink, width) for run in finite_runs(heights)
        ]
        for target in lane.course.targets:
            at = float(lane.axis.to_position(target.minute)), float(y(target.value))
            if target.state == MISSED:
                out.append(DotMark(*at, 8, "paper", "attention", 1.8))
            else:
                out.append(DotMark(*at, 8, ink, ink, 1.8))
        return out

    def _end(self, lane: Lane, box: QRectF, middle: float) -> list[Mark]:
        row, edge = lane.ribbon.row, self.right + scaled(RIGHT) - 6
        out: list[Mark] = []
        if row.failed:
            failed = worded("wording.make-failed")
            wide = QFontMetricsF(font(SMALL, bold=True)).horizontalAdvance(failed)
            out.append(TriangleMark(edge - wide - 12, middle - 4, 9))
            out.append(TextMark(edge, middle, failed, "attention", RIGHT_ALIGNED, bold=True))
        elif row.best_score is not None:
            size, words = LEAD if lane.mine else TEXT, f"{row.best_score:.1f}"
            out.append(TextMark(edge, middle, words, "ink", RIGHT_ALIGNED, bold=True, size=size))
        else:
            words = "running" if row.finished_ms is None else "–"
            out.append(TextMark(edge, middle, words, align=RIGHT_ALIGNED))
        file = self._file_of(lane.ribbon.photo) if lane.ribbon.photo else None
        if file is not None:
            side = min(box.height() - 10, 38.0)
            x, y = self.right + scaled(RIGHT) + 4, middle - side / 2
            out.append(DotMark(x + side / 2, middle, side, "curd", "rind", 1.5))
            photo = self._photos.of(file, round(side))
            if photo is not None:
                across, down = (x + 1, x + side - 1), (y + 1, y + side - 1)
                out.append(PhotoMark(across, down, photo, round_off=True))
        return out

    def _reduced(self, lane: Lane, what: str, read: CourseReadings) -> Reduced:
        """What is drawn of readings between the edges, and the one beyond either; worked out once
        for what is shown."""
        key = (lane.make_id, what)
        if key not in self._known:
            first, last = (float(lane.axis.to_minutes(edge)) for edge in self.shown)
            low = max(int(np.searchsorted(read.minutes, first)) - 1, 0)
            high = int(np.searchsorted(read.minutes, last, side="right"))
            if self.shown[1] < self.scene.positions[1]:
                high += 1
            self._known[key] = reduce(
                read.minutes[low:high], read.value[low:high], _COLUMNS, gap=read.gap_min
            )
        return self._known[key]


def stage_names(stage: StageSpan, with_delay: bool) -> list[str]:
    """What is written on a stage, the longest that has room: "cook +9", "cook", "+9"."""
    if not with_delay or abs(stage.delay) < _LEAST_DELAY:
        return [stage.label]
    delay = signed(stage.delay, 0)
    return [f"{stage.label} {delay}", delay, stage.label]
