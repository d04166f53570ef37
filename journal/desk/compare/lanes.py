"""One ribbon drawn: its stages, off the plan above, acidity below, its score and its cut."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from journal.curves.course import MISSED, CourseReadings, StageSpan
from journal.curves.reduce import Reduced, reduce
from journal.curves.registration import AS_IT_WAS
from journal.desk.charts.scales import finite_runs
from journal.desk.charts.strip import draw_strip
from journal.desk.charts.surface import Span
from journal.desk.labels import draw_triangle
from journal.desk.theme import LEAD, SMALL, STEP, TEXT, Colours, font, scaled
from journal.desk.thumbnails import Thumbnails, draw_covering
from journal.reports.ribbons import Lane, RibbonScene
from journal.wording.dates import short_day
from journal.wording.numbers import signed

LEFT, RIGHT, CUT = 30 * STEP, 17 * STEP, 12 * STEP  # px of the code, the score, the cut
BAR = 18  # px
_LEAST_DELAY = 5.0  # minutes a stage took longer or shorter by that are worth a word
_COLUMNS = 700
_OFF_SHARE = 0.34  # of a lane's height, above the stages


class LanePainter:
    """Draws lanes of a scene between `left` and `right` px of the page."""

    def __init__(
        self, scene: RibbonScene, shown: Span, width: int, c: Colours, photos: Thumbnails,
        file_of: Callable[[str], Path | None], known: dict[tuple[int, str], Reduced],
    ) -> None:  # fmt: skip
        self.scene, self.shown, self._c = scene, shown, c
        self._photos, self._file_of, self._known = photos, file_of, known
        has_cut = any(lane.ribbon.photo for lane in scene.lanes)
        self.left = float(scaled(LEFT))
        self.right = float(width - scaled(RIGHT) - (scaled(CUT) if has_cut else 0))
        self.has_cut = has_cut

    def x(self, place: npt.ArrayLike) -> np.ndarray:
        """px of places."""
        low, high = self.shown
        share = (np.asarray(place, float) - low) / (high - low)
        return np.asarray(self.left + share * (self.right - self.left))

    def place(self, x: float) -> float:
        """The place under a px, within what is shown."""
        low, high = self.shown
        share = (x - self.left) / max(self.right - self.left, 1.0)
        return low + min(max(share, 0.0), 1.0) * (high - low)

    def draw(self, painter: QPainter, lane: Lane, box: QRectF) -> None:
        """Draw a lane into its box."""
        middle = box.top() + box.height() * (_OFF_SHARE + 0.06) + scaled(BAR) / 2
        self._draw_code(painter, lane, box, middle)
        painter.save()
        shown = QRectF(self.left - 6, box.top(), self.right - self.left + 10, box.height())
        painter.setClipRect(shown, Qt.ClipOperation.IntersectClip)
        self._draw_off(painter, lane, middle - scaled(BAR) / 2 - 3, box.height() * _OFF_SHARE)
        self._draw_stages(painter, lane, middle)
        self._draw_acid(painter, lane, middle + scaled(BAR) / 2 + 5, box.bottom() - 6)
        painter.restore()
        self._draw_end(painter, lane, box, middle)

    def _draw_code(self, painter: QPainter, lane: Lane, box: QRectF, middle: float) -> None:
        row = lane.ribbon.row
        painter.setPen(self._c.ink)
        painter.setFont(font(TEXT, bold=lane.mine))
        painter.drawText(QPointF(4 * STEP, middle + 1), row.code)
        painter.setPen(self._c.quiet)
        painter.setFont(font(SMALL))
        painter.drawText(
            QPointF(4 * STEP, middle + scaled(16)), short_day(row.started_ms, row.zone)
        )

    def _draw_off(self, painter: QPainter, lane: Lane, base: float, height: float) -> None:
        """How far it was off its plan: above the line warmer, below it colder."""
        c, drawn = self._c, self._reduced(lane, "off", lane.course.off)
        zero = base - height * 0.42
        shown = float(self.scene.off_c)
        scale = height * 0.55 / shown
        x = self.x(lane.axis.to_place(drawn.at))
        y = zero - np.clip(drawn.value, -0.75 * shown, 1.05 * shown) * scale
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(c.temperature if lane.mine else c.wash("temperature", 0.62))
        for run in finite_runs(y, 2):
            corners = [QPointF(a, b) for a, b in zip(x[run], y[run], strict=True)]
            ends = [QPointF(float(x[run][-1]), zero), QPointF(float(x[run][0]), zero)]
            painter.drawPolygon(QPolygonF([*corners, *ends]))
        painter.setPen(QPen(c.temperature if lane.mine else c.past_line, 0.8))
        if len(x):
            painter.drawLine(QPointF(float(x[0]), zero), QPointF(float(x[-1]), zero))

    def _draw_stages(self, painter: QPainter, lane: Lane, middle: float) -> None:
        c, as_it_was = self._c, self.scene.choice.time == AS_IT_WAS
        fill = c.ink if lane.mine else c.done
        for stage in lane.course.stages:
            first, last = self.x(lane.axis.to_place([stage.begin, stage.end]))
            if first > self.right or last < self.left:
                continue
            first, last = max(first, self.left - 40), min(last, self.right + 40)
            box = QRectF(first + 0.5, middle - scaled(BAR) / 2, last - first - 1.5, scaled(BAR))
            if box.width() < 1:
                painter.fillRect(QRectF(first, middle - scaled(BAR) / 2, 1, scaled(BAR)), fill)
                continue
            seen = QRectF(QPointF(max(box.left(), self.left), box.top()),
                          QPointF(min(box.right(), self.right), box.bottom()))  # fmt: skip
            names = stage_names(stage, as_it_was and stage.done)
            draw_strip(painter, box, [], edge=fill, fill=fill, ink=c.paper)
            _write(painter, seen, names, c.paper, bold=lane.mine)

    def _draw_acid(self, painter: QPainter, lane: Lane, top: float, bottom: float) -> None:
        c, acid = self._c, lane.course.acid
        low, high = self.scene.acid
        if acid.kind != self.scene.lanes[0].course.acid.kind:
            return
        titrated = not acid.kind.endswith("-ph")

        def y(value: npt.ArrayLike) -> np.ndarray:
            share = np.clip((np.asarray(value, float) - low) / (high - low), 0.0, 1.0)
            out: np.ndarray = bottom - (bottom - top) * (1 - share if titrated else share)
            return out

        colour = c.acidity if lane.mine else c.wash("acidity", 0.75)
        drawn = self._reduced(lane, "acid", acid)
        painter.setPen(QPen(colour, 1.8 if lane.mine else 1.3))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        x, heights = self.x(lane.axis.to_place(drawn.at)), y(drawn.value)
        for run in finite_runs(heights):
            path = QPainterPath(QPointF(float(x[run][0]), float(heights[run][0])))
            for a, b in zip(x[run][1:], heights[run][1:], strict=True):
                path.lineTo(float(a), float(b))
            painter.drawPath(path)
        for target in lane.course.targets:
            at = QPointF(float(self.x(lane.axis.to_place(target.minute))), float(y(target.value)))
            missed = target.state == MISSED
            painter.setPen(QPen(c.attention if missed else colour, 1.8))
            painter.setBrush(c.paper if missed else colour)
            painter.drawEllipse(at, 4, 4)

    def _draw_end(self, painter: QPainter, lane: Lane, box: QRectF, middle: float) -> None:
        row, c = lane.ribbon.row, self._c
        at = QRectF(self.right + 8, middle - 14, scaled(RIGHT) - 14, 28)
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if row.failed:
            painter.setFont(font(SMALL, bold=True))
            wide = QFontMetricsF(painter.font()).horizontalAdvance("failed")
            draw_triangle(painter, at.right() - wide - 12, middle - 4, 9, c.attention)
            painter.setPen(c.attention)
            painter.drawText(at, right, "failed")
        elif row.best_score is not None:
            painter.setFont(font(LEAD if lane.mine else TEXT, bold=True))
            painter.setPen(c.ink)
            painter.drawText(at, right, f"{row.best_score:.1f}")
        else:
            painter.setFont(font(SMALL))
            painter.setPen(c.quiet)
            painter.drawText(at, right, "running" if row.finished_ms is None else "–")
        file = self._file_of(lane.ribbon.photo) if lane.ribbon.photo else None
        if file is not None:
            side = min(box.height() - 10, 38.0)
            circle = QRectF(self.right + scaled(RIGHT) + 4, middle - side / 2, side, side)
            photo = self._photos.of(file, round(side))
            painter.setPen(QPen(c.rind, 1.5))
            painter.setBrush(c.curd)
            painter.drawEllipse(circle)
            if photo is not None:
                draw_covering(painter, photo, circle.adjusted(1, 1, -1, -1), round_off=True)

    def _reduced(self, lane: Lane, what: str, read: CourseReadings) -> Reduced:
        """What is drawn of readings between the edges, and the one beyond either; worked out once
        for what is shown."""
        key = (lane.make_id, what)
        if key not in self._known:
            first, last = (float(lane.axis.to_minutes(edge)) for edge in self.shown)
            low = max(int(np.searchsorted(read.minutes, first)) - 1, 0)
            high = int(np.searchsorted(read.minutes, last, side="right"))
            if self.shown[1] < self.scene.places[1]:
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


def _write(painter: QPainter, box: QRectF, names: list[str], ink: QColor, *, bold: bool) -> None:
    face = font(SMALL, bold=bold)
    metrics = QFontMetricsF(face)
    name = next((n for n in names if metrics.horizontalAdvance(n) + 6 <= box.width()), None)
    if name is not None:
        painter.setFont(face)
        painter.setPen(ink)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, name)
