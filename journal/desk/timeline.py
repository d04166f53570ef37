"""The timeline: a make from milk in to its last tasting. The day is a block that unfolds to
minutes; what comes after it stands on calendar months, equal days taking equal room."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.curves.day import every_begin
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import SMALL, Colours, font, scaled
from journal.records.instants import MINUTE_MS, local
from journal.records.whole import WholeMake
from journal.wording import worded
from journal.wording.care import care_name
from journal.wording.dates import format_day, month_name

_HOUR, _DAY = 60.0, 1440.0
_LEFT, _RIGHT = 84, 12  # px beside the axis
_FOLDED = 44.0  # px of the day while it is a block
_OPEN_SHARE = 0.62  # of the axis, of the day once it is unfolded
_HOURS = (1, 2, 3, 6, 12, 24, 48)
_TICK_PX = 60.0
_REACH = 7  # px about the pointer
# Stages by what a person calls that part of a life.
_PARTS = (
    ("milk", ("warm", "pasteurise", "cool", "ripen", "set")),
    ("curd", ("cut", "heal", "stir", "wash", "cook", "pitch", "drain", "cheddar", "mill", "salt")),
    ("curd", ("scald", "stretch", "churn")),
    ("press", ("mould", "press")),
    ("brine", ("brine",)),
    ("dry", ("dry", "smoke")),
)
_ROOM = "room"


@dataclass(frozen=True)
class Span:
    """A part of the life: minutes from milk in; `state` is done, now or planned."""

    label: str
    from_min: float
    to_min: float
    state: str


@dataclass(frozen=True)
class Mark:
    """A moment of the life: a tasting (ring), care (tick), a photo or a note (square)."""

    label: str
    at_min: float
    kind: str  # tasting, due, care, seen, eat


@dataclass(frozen=True)
class Life:
    """Everything the strip shows; `zero_ms` is milk in. `ready` is when it is best eaten, minutes
    from milk in, None where nobody can say."""

    zero_ms: int
    spans: tuple[Span, ...] = ()
    marks: tuple[Mark, ...] = ()
    now_min: float | None = None
    zone: str = "UTC"
    ready: tuple[float, float] | None = None

    @property
    def day_min(self) -> float:
        """Where the day at the vat ends."""
        return max((s.to_min for s in self.spans if s.label != _ROOM), default=0.0)

    @property
    def last_min(self) -> float:
        """The last moment there is anything to show."""
        ends: list[float] = [s.to_min for s in self.spans]
        ends += [m.at_min for m in self.marks]
        return max(0.0, self.now_min or 0.0, *ends, *(self.ready or ()))


_NO_LIFE = Life(0)


class Timeline(DrawnWidget):
    """Draws a Life; `instant` carries the UTC milliseconds that were clicked. The day is unfolded
    while it runs; a click on it, or on the word at the left, unfolds and folds it."""

    instant = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._life = _NO_LIFE
        self._opened: bool | None = None  # as somebody wants it, None: as the life does
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Timeline")

    def show_life(self, life: Life | None) -> None:
        """Draw this life; None empties the strip."""
        self._life = life or _NO_LIFE
        self.setAccessibleDescription(_description(life))
        self.setCursor(Qt.CursorShape.PointingHandCursor if life else Qt.CursorShape.ArrowCursor)
        self.update()

    @property
    def unfolded(self) -> bool:
        """The day is shown to its minutes."""
        life = self._life
        if self._opened is not None:
            return self._opened
        return life.now_min is not None and life.now_min <= life.day_min

    def turn(self) -> None:
        """Unfold the day, or fold it."""
        self._opened = not self.unfolded
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, 72)

    # Places on the axis

    def _fold(self) -> float:
        """The x at which the day ends."""
        life, whole = self._life, self.width() - scaled(_LEFT) - scaled(_RIGHT)
        if life.last_min <= life.day_min + _HOUR:
            return float(self.width() - scaled(_RIGHT))
        return scaled(_LEFT) + (_OPEN_SHARE * whole if self.unfolded else scaled(_FOLDED))

    def _x(self, minutes: float) -> float:
        day, fold = max(self._life.day_min, 1.0), self._fold()
        if minutes <= day:
            return scaled(_LEFT) + max(minutes, 0.0) / day * (fold - scaled(_LEFT))
        return fold + (minutes - day) / self._beyond() * (self.width() - scaled(_RIGHT) - fold)

    def _minutes(self, x: float) -> float:
        day, fold = max(self._life.day_min, 1.0), self._fold()
        x = min(max(x, scaled(_LEFT)), self.width() - scaled(_RIGHT))
        if x <= fold:
            return (x - scaled(_LEFT)) / (fold - scaled(_LEFT)) * day
        return day + (x - fold) / (self.width() - scaled(_RIGHT) - fold) * self._beyond()

    def _beyond(self) -> float:
        """Minutes from the end of the day to the end of the axis."""
        return max(1.03 * (self._life.last_min - self._life.day_min), 14 * _DAY)

    # Drawing

    def draw(self, painter: QPainter, c: Colours) -> None:
        painter.setPen(c.quiet)
        middle = self.height() / 2
        if self._life is not _NO_LIFE:
            side = QRectF(0, middle - scaled(18), scaled(_LEFT) - 8, scaled(18))
            painter.drawText(side, Qt.AlignmentFlag.AlignVCenter, "Timeline")
            painter.setPen(c.ink)
            way = "− the day" if self.unfolded else "+ the day"
            painter.drawText(side.translated(0, scaled(18)), Qt.AlignmentFlag.AlignVCenter, way)
            self._draw_axis(painter, c, middle)
            self._draw_spans(painter, c, middle)
            self._draw_marks(painter, c, middle)
        painter.end()

    def _draw_axis(self, painter: QPainter, c: Colours, middle: float) -> None:
        painter.setPen(QPen(c.quiet, 1))
        end = self.width() - scaled(_RIGHT)
        painter.drawLine(QPointF(scaled(_LEFT), middle), QPointF(end, middle))
        ready = self._life.ready
        if ready is not None:
            box = QRectF(
                self._x(ready[0]),
                middle - scaled(9),
                self._x(ready[1]) - self._x(ready[0]),
                scaled(18),
            )
            painter.fillRect(box, c.wash("forecast", 0.28))
        free = -math.inf
        for minutes, label in [*self._hours(), *self._months()]:
            x = self._x(minutes)
            painter.drawLine(QPointF(x, middle - 4), QPointF(x, middle + 4))
            width = QFontMetricsF(painter.font()).horizontalAdvance(label)
            left = min(max(x - width / 2, scaled(_LEFT)), self.width() - width)
            if label and left > free:
                _draw_text(painter, left, middle + scaled(12), label)
                free = left + width + 12

    def _hours(self) -> list[tuple[float, str]]:
        """Ticks of the unfolded day, hours from milk in."""
        if not self.unfolded:
            return []
        day = max(self._life.day_min, 1.0)
        a_px = day / max(self._fold() - scaled(_LEFT), 1.0)
        step = next((h for h in _HOURS if h * _HOUR / a_px >= scaled(_TICK_PX)), _HOURS[-1])
        count = int((day - scaled(_TICK_PX) * a_px / 2) // (step * _HOUR))
        return [(n * step * _HOUR, f"{n * step} h") for n in range(count + 1)]

    def _months(self) -> list[tuple[float, str]]:
        """The first days of months after the day, named as far as there is room."""
        life, fold = self._life, self._fold()
        if fold >= self.width() - scaled(_RIGHT):
            return []
        begun = local(life.zero_ms, life.zone)
        into = begun.hour * _HOUR + begun.minute  # what of its day was over at milk in
        end = life.day_min + self._beyond()
        a_px = self._beyond() / (self.width() - scaled(_RIGHT) - fold)
        step = next((n for n in (1, 2, 3, 6, 12) if n * 30 * _DAY / a_px >= scaled(_TICK_PX)), 24)
        out: list[tuple[float, str]] = []
        number = begun.year * 12 + begun.month
        while True:
            on = date(number // 12, number % 12 + 1, 1)
            at = (on - begun.date()).days * _DAY - into
            if at > end:
                return out
            year = f" {on.year}" if on.month == 1 else ""
            if at > life.day_min:
                named = on.month % step == 1 % step
                out.append((at, f"{month_name(on, short=True)}{year}" if named else ""))
            number += 1

    def _draw_spans(self, painter: QPainter, c: Colours, middle: float) -> None:
        for span in self._life.spans:
            x0 = self._x(span.from_min)
            x1 = max(self._x(span.to_min), x0 + (3 if self.unfolded else 0))
            edge = {"done": c.done, "now": c.ink}.get(span.state, c.planned)
            fill = {"done": c.done, "now": c.ink}.get(span.state, c.paper)
            if span.label == _ROOM:
                now = self._x(min(max(self._life.now_min or 0.0, span.from_min), span.to_min))
                painter.fillRect(QRectF(x0, middle - 1.5, now - x0, 3), c.done)
                continue
            if not self.unfolded:
                continue
            painter.setPen(QPen(edge, 1))
            painter.setBrush(fill)
            painter.drawRoundedRect(
                QRectF(x0 + 0.5, middle - scaled(7), x1 - x0 - 1, scaled(14)), 3, 3
            )
        if not self.unfolded:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(c.done)
            block = QRectF(
                scaled(_LEFT), middle - scaled(7), self._fold() - scaled(_LEFT), scaled(14)
            )
            painter.drawRoundedRect(block, 3, 3)
        for span, left in self._label_places(painter):
            painter.setFont(font(SMALL, bold=span.state == "now"))
            painter.setPen(c.ink if span.state != "planned" else c.quiet)
            _draw_text(painter, left, middle - scaled(28), span.label)
        painter.setFont(font(SMALL))

    def _named(self) -> list[Span]:
        """The parts that are named over the axis: of a folded day the day, and what is at hand."""
        if self.unfolded:
            return [s for s in self._life.spans if s.label != _ROOM]
        day = Span("day", 0.0, self._life.day_min, "done")
        return [day, *(s for s in self._life.spans if s.state == "now" and s.label != _ROOM)]

    def _label_places(self, painter: QPainter) -> list[tuple[Span, float]]:
        """Where each part's name goes: the present one first, then what is to come, the others
        where there is room."""
        taken: list[tuple[float, float]] = []
        out: list[tuple[Span, float]] = []
        metrics = QFontMetricsF(font(SMALL, bold=True))
        coming = [m for m in self._life.marks if m.kind in ("due", "eat")]
        nexts = [Span(m.label, m.at_min, m.at_min, "planned") for m in coming]
        for span in [*sorted(self._named(), key=_importance, reverse=True), *nexts]:
            x0, x1 = self._x(span.from_min), self._x(span.to_min)
            width = metrics.horizontalAdvance(span.label)
            left = min(max((x0 + x1 - width) / 2, scaled(_LEFT)), self.width() - width)
            if all(left > b + 6 or left + width < a - 6 for a, b in taken):
                taken.append((left, left + width))
                out.append((span, left))
        return sorted(out, key=_by_left)

    def _draw_marks(self, painter: QPainter, c: Colours, middle: float) -> None:
        now = self._life.now_min
        if now is not None:
            painter.fillRect(QRectF(self._x(now) - 1, middle - scaled(10), 2, scaled(20)), c.ink)
        for mark in self._life.marks:
            x = self._x(mark.at_min)
            if mark.kind in ("care", "eat"):
                painter.setPen(QPen(c.quiet if mark.kind == "care" else c.ink, 1))
                painter.drawLine(QPointF(x, middle - 7), QPointF(x, middle - 1))
                continue
            due, seen = mark.kind == "due", mark.kind == "seen"
            pen = QPen(c.planned if due else c.ink, 1.6)
            if due:
                pen.setStyle(Qt.PenStyle.DotLine)
            painter.setPen(pen)
            painter.setBrush(c.ink if mark.kind == "tasting" else c.paper)
            if seen:
                painter.drawRect(QRectF(x - 3, middle + 2, 6, 6))
            else:
                painter.drawEllipse(QPointF(x, middle), scaled(11) / 2, scaled(11) / 2)

    # Handlers

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self._life is _NO_LIFE or event.button() != Qt.MouseButton.LeftButton:
            return
        x = event.position().x()
        if x < scaled(_LEFT) - 4 or (
            not self.unfolded and x <= self._fold() and self._near(x) is None
        ):
            self.turn()
        else:
            self.instant.emit(self._instant_at(self._near(x) or x))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        words = self._words_at(event.position().x()) if self._life is not _NO_LIFE else ""
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)

    def _near(self, x: float) -> float | None:
        """The x of a mark within reach of the pointer."""
        spots = [self._x(m.at_min) for m in self._life.marks]
        close = [spot for spot in spots if abs(spot - x) <= _REACH]
        return min(close, key=lambda spot: abs(spot - x)) if close else None

    def _words_at(self, x: float) -> str:
        near = [m.label for m in self._life.marks if abs(self._x(m.at_min) - x) <= _REACH]
        if near:
            return ", ".join(dict.fromkeys(near))
        minutes = self._minutes(x)
        for span in self._life.spans:
            if span.from_min <= minutes < span.to_min:
                return span.label
        return ""

    def _instant_at(self, x: float) -> int:
        return self._life.zero_ms + round(self._minutes(x) * MINUTE_MS)


def life_of(whole: WholeMake, now_ms: int, wheel_id: int | None = None) -> Life:
    """The life of a make: its stages by part, its care and tastings, what is planned of them. With
    `wheel_id` what was done to that wheel only."""
    zero, zone = whole.make.started_ms, whole.make.zone
    now = (now_ms - zero) / MINUTE_MS
    spans = tuple(_spans(whole, now))
    end = spans[-1].to_min if spans else 0.0
    tasted: dict[int, float] = {}
    for given in whole.scores:
        day = round((given.at_ms - zero) / MINUTE_MS / _DAY)
        tasted.setdefault(day, (given.at_ms - zero) / MINUTE_MS)
    marks = [Mark(worded("desk.tasted-at", days=day), at, "tasting") for day, at in tasted.items()]
    marks += [m for m in _done(whole, wheel_id) if m.at_min > 0]
    last_tasted = max(tasted.values(), default=0.0)
    eaten = whole.verdict is None and not whole.make.failed
    for days in whole.plan.taste_at_days if eaten else ():
        if days * _DAY > max(now, last_tasted):
            marks.append(Mark(worded("desk.tasting-due", days=days), days * _DAY, "due"))
    eat = whole.plan.eat_from_days
    if eat is not None and eaten and eat * _DAY > now:
        on = format_day(local(round(zero + eat * _DAY * MINUTE_MS), zone), short=True, year=False)
        marks.append(Mark(worded("desk.eat-from", on=on), eat * _DAY, "eat"))
    furthest = max([end, *(m.at_min for m in marks)])
    if furthest > end:
        over = whole.make.finished_ms is not None
        state = "done" if over and now >= furthest else ("now" if over else "planned")
        spans += (Span(_ROOM, end, furthest, state),)
    return Life(zero, spans, tuple(marks), now, zone)


def _done(whole: WholeMake, wheel_id: int | None) -> Iterable[Mark]:
    """What was done to its wheels and seen of them, each with its day."""
    found: dict[tuple[int, str], Mark] = {}
    parts = [(c.wheel_id, c.at_ms, care_name(c.kind), "care") for c in whole.care]
    parts += [
        (w.wheel_id, w.at_ms, worded("desk.weighed", kg=w.weight_kg), "care")
        for w in whole.weighings
    ]
    parts += [
        (n.wheel_id, n.at_ms, "photo" if n.photo else "note", "seen")
        for n in whole.notes
        if n.wheel_id is not None
    ]
    for wheel, at_ms, what, kind in parts:
        if wheel_id in (None, wheel):
            at = local(at_ms, whole.make.zone)
            label = f"{what} {format_day(at, short=True, year=False)}"
            minutes = (at_ms - whole.make.started_ms) / MINUTE_MS
            found.setdefault((round(minutes), what), Mark(label, minutes, kind))
    return found.values()


def _spans(whole: WholeMake, now: float) -> Iterable[Span]:
    """The stages, neighbours of one part together; the current stage alone and by its own name."""
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
    return math.inf if span.state == "now" else span.to_min - span.from_min


def _by_left(place: tuple[Span, float]) -> float:
    return place[1]


def _draw_text(painter: QPainter, left: float, top: float, words: str) -> None:
    metrics = QFontMetricsF(painter.font())
    painter.drawText(QPointF(left, top + metrics.ascent()), words)


def _description(life: Life | None) -> str:
    if life is None:
        return "nothing to show yet"
    parts = [f"{s.label}: {s.state}" for s in life.spans]
    tasted = sum(m.kind == "tasting" for m in life.marks)
    return "; ".join([*parts, worded("desk.tastings", count=tasted)])
