"""The timeline: a make from milk in to its last tasting, on one logarithmic time axis."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.curves.day import every_begin
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import SMALL, Colours, font
from journal.records.instants import MINUTE_MS
from journal.records.whole import WholeMake
from journal.wording.counts import counted

FIRST_MIN = 10.0
_HOUR, _DAY = 60.0, 1440.0
_TICKS = (
    (10.0, "10 min"), (_HOUR, "1 h"), (6 * _HOUR, "6 h"), (_DAY, "1 day"), (7 * _DAY, "1 week"),
    (30.4375 * _DAY, "1 month"), (182.6 * _DAY, "6 months"), (365.25 * _DAY, "1 year"),
    (2 * 365.25 * _DAY, "2 years"), (5 * 365.25 * _DAY, "5 years"),
)  # fmt: skip
# Stages by what a person calls that part of a life.
_PARTS = (
    ("milk", ("warm", "ripen", "set")),
    ("curd", ("cut", "heal", "stir", "wash", "cook", "pitch", "drain", "cheddar", "mill", "salt")),
    ("press", ("mould", "press")),
    ("brine", ("brine",)),
    ("dry", ("dry",)),
)


@dataclass(frozen=True)
class Span:
    """A part of the life: minutes from milk in; `state` is done, now or planned."""

    label: str
    from_min: float
    to_min: float
    state: str


@dataclass(frozen=True)
class Mark:
    """A moment of the life: a tasting (ring) or care (tick)."""

    label: str
    at_min: float
    kind: str  # tasting, due, care


@dataclass(frozen=True)
class Life:
    """Everything the strip shows; `zero_ms` is milk in."""

    zero_ms: int
    spans: tuple[Span, ...] = ()
    marks: tuple[Mark, ...] = ()
    now_min: float | None = None


_NO_LIFE = Life(0)


class Timeline(DrawnWidget):
    """Draws a Life; `instant` carries the UTC milliseconds that were clicked."""

    instant = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._life = _NO_LIFE
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Timeline")

    def show_life(self, life: Life | None) -> None:
        """Draw this life; None empties the strip."""
        self._life = life or _NO_LIFE
        self.setAccessibleDescription(_in_words(life))
        self.setCursor(Qt.CursorShape.PointingHandCursor if life else Qt.CursorShape.ArrowCursor)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, 72)

    def draw(self, painter: QPainter, c: Colours) -> None:
        painter.setPen(c.quiet)
        middle = self.height() / 2
        if self._life is not _NO_LIFE:
            name = QRectF(0, middle - 10, 76, 20)
            painter.drawText(name, Qt.AlignmentFlag.AlignVCenter, "Timeline")
            self._draw_axis(painter, c, middle)
            self._draw_spans(painter, c, middle)
            self._draw_marks(painter, c, middle)
        painter.end()

    def _draw_axis(self, painter: QPainter, c: Colours, middle: float) -> None:
        painter.setPen(QPen(c.quiet, 1))
        painter.drawLine(
            QPointF(self._x(FIRST_MIN), middle), QPointF(self._x(self._last()), middle)
        )
        free = -math.inf
        for minutes, label in _TICKS:
            if minutes > self._last() * 1.001:
                break
            x = self._x(minutes)
            width = QFontMetricsF(painter.font()).horizontalAdvance(label)
            painter.setPen(QPen(c.quiet, 1))
            painter.drawLine(QPointF(x, middle - 4), QPointF(x, middle + 4))
            left = min(x - width / 2, self.width() - width)
            if left > free:
                _draw_words(painter, left, middle + 12, label)
                free = left + width + 12

    def _draw_spans(self, painter: QPainter, c: Colours, middle: float) -> None:
        for span in sorted(self._life.spans, key=_importance):
            x0 = self._x(max(span.from_min, FIRST_MIN))
            x1 = max(self._x(max(span.to_min, FIRST_MIN)), x0 + 3)
            edge = {"done": c.done, "now": c.ink}.get(span.state, c.planned)
            fill = {"done": c.done, "now": c.ink}.get(span.state, c.paper)
            painter.setPen(QPen(edge, 1))
            painter.setBrush(fill)
            painter.drawRoundedRect(QRectF(x0 + 0.5, middle - 7, x1 - x0 - 1, 14), 3, 3)
        for span, left in self._label_places(painter):
            painter.setFont(font(SMALL, bold=span.state == "now"))
            painter.setPen(c.ink if span.state != "planned" else c.quiet)
            _draw_words(painter, left, middle - 28, span.label)
        painter.setFont(font(SMALL))

    def _label_places(self, painter: QPainter) -> list[tuple[Span, float]]:
        """Where each part's name goes: the present one first, the others where there is room."""
        taken: list[tuple[float, float]] = []
        out: list[tuple[Span, float]] = []
        metrics = QFontMetricsF(font(SMALL, bold=True))
        for span in sorted(self._life.spans, key=_importance, reverse=True):
            x0, x1 = (self._x(max(m, FIRST_MIN)) for m in (span.from_min, span.to_min))
            width = metrics.horizontalAdvance(span.label)
            left = min(max((x0 + x1 - width) / 2, self._x(FIRST_MIN)), self.width() - width)
            if all(left > b + 6 or left + width < a - 6 for a, b in taken):
                taken.append((left, left + width))
                out.append((span, left))
        return sorted(out, key=_by_left)

    def _draw_marks(self, painter: QPainter, c: Colours, middle: float) -> None:
        for mark in self._life.marks:
            x = self._x(max(mark.at_min, FIRST_MIN))
            if mark.kind == "care":
                painter.setPen(QPen(c.quiet, 1))
                painter.drawLine(QPointF(x, middle - 4), QPointF(x, middle + 4))
                continue
            due = mark.kind == "due"
            pen = QPen(c.planned if due else c.ink, 1.6)
            if due:
                pen.setStyle(Qt.PenStyle.DotLine)
            painter.setPen(pen)
            painter.setBrush(c.paper)
            painter.drawEllipse(QPointF(x, middle), 5.5, 5.5)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self._life is not _NO_LIFE and event.button() == Qt.MouseButton.LeftButton:
            x = event.position().x()
            self.instant.emit(self._instant_at(self._near(x) or x))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        words = self._words_at(event.position().x()) if self._life is not _NO_LIFE else ""
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)

    def _near(self, x: float) -> float | None:
        """The x of a mark within reach of the pointer."""
        spots = [self._x(max(m.at_min, FIRST_MIN)) for m in self._life.marks]
        close = [spot for spot in spots if abs(spot - x) <= 7]
        return min(close, key=lambda spot: abs(spot - x)) if close else None

    def _words_at(self, x: float) -> str:
        for mark in self._life.marks:
            if abs(self._x(max(mark.at_min, FIRST_MIN)) - x) <= 7:
                return mark.label
        minutes = self._minutes(x)
        for span in self._life.spans:
            if span.from_min <= minutes < span.to_min:
                return span.label
        return ""

    def _instant_at(self, x: float) -> int:
        return self._life.zero_ms + round(self._minutes(x) * MINUTE_MS)

    def _last(self) -> float:
        ends = [s.to_min for s in self._life.spans] + [m.at_min for m in self._life.marks]
        ends.append(self._life.now_min or 0.0)
        furthest = max(max(ends), _DAY)
        return next((t for t, _ in _TICKS if t >= furthest * 1.02), furthest * 1.2)

    def _x(self, minutes: float) -> float:
        share = math.log(minutes / FIRST_MIN) / math.log(self._last() / FIRST_MIN)
        return 84 + share * (self.width() - 84 - 10)

    def _minutes(self, x: float) -> float:
        share = min(max((x - 84) / (self.width() - 94), 0.0), 1.0)
        return FIRST_MIN * math.exp(share * math.log(self._last() / FIRST_MIN))


def life_of(whole: WholeMake, now_ms: int) -> Life:
    """The life of a make: its stages by part, its care and tastings, what is planned of them."""
    zero = whole.make.started_ms
    now = (now_ms - zero) / MINUTE_MS
    spans = tuple(_spans(whole, now))
    end = spans[-1].to_min if spans else 0.0
    tasted: dict[int, float] = {}
    for given in whole.scores:
        day = round((given.at_ms - zero) / MINUTE_MS / _DAY)
        tasted.setdefault(day, (given.at_ms - zero) / MINUTE_MS)
    marks = [Mark(f"tasted at {counted(day, 'day')}", at, "tasting") for day, at in tasted.items()]
    cares = {round((c.at_ms - zero) / MINUTE_MS): c.kind for c in whole.care}
    marks += [Mark(kind, at, "care") for at, kind in cares.items() if at > 0]
    last_tasted = max(tasted.values(), default=0.0)
    to_taste = whole.plan.taste_at_days if whole.verdict is None and not whole.make.failed else ()
    for days in to_taste:
        if days * _DAY > max(now, last_tasted):
            marks.append(Mark(f"tasting due at {counted(days, 'day')}", days * _DAY, "due"))
    furthest = max([end, *(m.at_min for m in marks)])
    if furthest > end:
        over = whole.make.finished_ms is not None
        state = "done" if over and now >= furthest else ("now" if over else "planned")
        spans += (Span("room", end, furthest, state),)
    return Life(zero, spans, tuple(marks), now)


def _spans(whole: WholeMake, now: float) -> Iterable[Span]:
    """The stages, neighbours of one part together; the stage at hand alone and by its own name."""
    begins, running = every_begin(whole), whole.running_index
    held: Span | None = None
    for i, stage in enumerate(whole.plan.stages):
        run = whole.runs[i] if i < len(whole.runs) else None
        current, ended_ms = i == running, None
        if run is not None and run.began_ms is not None and not current:
            ended_ms = whole.make.finished_ms if run.ended_ms is None else run.ended_ms
        state = "done" if ended_ms is not None else ("now" if current else "planned")
        end = begins[i + 1] if i + 1 < len(begins) else begins[i] + stage.minutes
        if ended_ms is not None:
            end = (ended_ms - whole.make.started_ms) / MINUTE_MS
        label = stage.label if current else _part(stage.kind)
        if held is not None and (held.label, held.state) == (label, state):
            held = Span(label, held.from_min, end, state)
            continue
        if held is not None:
            yield held
        held = Span(label, begins[i], max(end, now) if current else end, state)
    if held is not None:
        yield held


def _part(kind: str) -> str:
    return next((name for name, kinds in _PARTS if kind in kinds), kind)


def _importance(span: Span) -> float:
    return (
        math.inf if span.state == "now" else math.log(max(span.to_min, 11) / max(span.from_min, 10))
    )


def _by_left(place: tuple[Span, float]) -> float:
    return place[1]


def _draw_words(painter: QPainter, left: float, top: float, words: str) -> None:
    metrics = QFontMetricsF(painter.font())
    painter.drawText(QPointF(left, top + metrics.ascent()), words)


def _in_words(life: Life | None) -> str:
    if life is None:
        return "nothing to show yet"
    parts = [f"{s.label}: {s.state}" for s in life.spans]
    tasted = sum(m.kind == "tasting" for m in life.marks)
    return "; ".join([*parts, f"{tasted} tastings"])
