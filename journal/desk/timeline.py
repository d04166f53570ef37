"""The timeline: a make from milk in to its last tasting. The day is a block that unfolds to
minutes; what comes after it stands on calendar months, equal days taking equal room."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QPointF
from PySide6.QtWidgets import QWidget

from journal.curves.day import every_begin
from journal.desk.cells import line_high
from journal.desk.charts.days import months_between
from journal.desk.charts.marks import (
    MIDDLE,
    BoxMark,
    DotMark,
    LineMark,
    Mark,
    MarkScale,
    Scene,
    ScenePoint,
    TextMark,
    wash,
)
from journal.desk.charts.values import NOWHERE
from journal.desk.charts.view import REACH, SceneView
from journal.desk.theme import RADIUS, SMALL, scaled
from journal.records.instants import MINUTE_MS, local
from journal.records.whole import WholeMake
from journal.wording import worded
from journal.wording.care import care_name
from journal.wording.dates import format_day
from journal.wording.languages import translated
from journal.wording.sentences import word_of

_HOUR, _DAY = 60.0, 1440.0
_LEFT, _RIGHT = 84, 12  # px beside the axis
_FOLDED = 44.0  # px of the day while it is a block
_OPEN_SHARE = 0.62  # of the axis, of the day once it is unfolded
_HOURS = (1, 2, 3, 6, 12, 24, 48)
_TICK_PX = 60.0
_TURN = "turn"  # the key of where a click unfolds the day
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
class LifeSpan:
    """A part of the life: minutes from milk in; `state` is done, now or planned."""

    label: str
    from_min: float
    to_min: float
    state: str


@dataclass(frozen=True)
class LifeMark:
    """A moment of the life: a tasting (ring), care (tick), a photo or a note (square)."""

    label: str
    at_min: float
    kind: str  # tasting, due, care, seen, eat


@dataclass(frozen=True)
class Life:
    """Everything the strip shows; `zero_ms` is milk in. `ready` is when it is best eaten, minutes
    from milk in, None where nobody can say."""

    zero_ms: int
    spans: tuple[LifeSpan, ...] = ()
    marks: tuple[LifeMark, ...] = ()
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


class Timeline(SceneView):
    """Draws a Life; `went` carries the UTC milliseconds that were clicked. The day is unfolded
    while it runs; a click on it, or on the word at the left, unfolds and folds it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Timeline", parent=parent)
        self.life = _NO_LIFE
        self._opened: bool | None = None  # as somebody wants it, None: as the life does

    def show_life(self, life: Life | None) -> None:
        """Draw this life; None empties the strip."""
        self.life = life or _NO_LIFE
        self.tell(self._build_life, _description(life))

    @property
    def unfolded(self) -> bool:
        """The day is shown to its minutes."""
        life = self.life
        if self._opened is not None:
            return self._opened
        return life.now_min is not None and life.now_min <= life.day_min

    def turn(self) -> None:
        """Unfold the day, or fold it."""
        self._opened = not self.unfolded
        self.show_scene(self._build_life)

    def _build_life(self, wide: float, high: float) -> Scene:
        return life_scene(self.life, self.unfolded, wide, high)

    def axis(self) -> MarkScale:
        """Minutes from milk in, in px."""
        return life_axis(self.life, self.unfolded, self.width())

    def stops(self) -> list[ScenePoint]:
        shown = [s for s in self.life.spans if self.unfolded or s.label == _ROOM]
        middles = [(span, (span.from_min + span.to_min) / 2) for span in shown]
        at, axis = partial(_instant, self.life), self.axis()
        parts = [ScenePoint(axis.at(mid), NOWHERE, s.label, at(mid)) for s, mid in middles]
        return [*self.points(), *parts]

    def key_at(self, spot: QPointF) -> object:
        axis, near = self.axis(), self.point_at(spot)
        left, fold, right = axis.px
        if self.life is _NO_LIFE:
            return None
        if spot.x() < left - 4 or (not self.unfolded and spot.x() <= fold and near is None):
            return _TURN
        if near is not None:
            return near.key
        return _instant(self.life, axis.value(min(max(spot.x(), left), right)))

    def clicked_at(self, spot: QPointF) -> None:
        if self.key_at(spot) is _TURN:
            self.turn()
        else:
            super().clicked_at(spot)

    def words_at(self, spot: QPointF) -> str:
        near = [p.words for p in self.points() if abs(p.x - spot.x()) <= REACH]
        minutes = self.axis().value(spot.x())
        here = [s.label for s in self.life.spans if s.from_min <= minutes < s.to_min]
        return ", ".join(dict.fromkeys(near or here[:1]))


def life_axis(life: Life, unfolded: bool, wide: float) -> MarkScale:
    """Minutes from milk in: the day, folded or not, and what comes after it."""
    left, right, day = scaled(_LEFT), wide - scaled(_RIGHT), max(life.day_min, 1.0)
    fold = left + (_OPEN_SHARE * (right - left) if unfolded else scaled(_FOLDED))
    if life.last_min <= life.day_min + _HOUR:
        fold = right
    beyond = max(1.03 * (life.last_min - life.day_min), 14 * _DAY)
    return MarkScale((0.0, day, day + beyond), (left, fold, right))


def life_scene(life: Life, unfolded: bool, wide: float, high: float) -> Scene:
    """The axis with its hours and months, the parts of the life on it, their names over it, and
    the moments."""
    if life is _NO_LIFE:
        return Scene()
    y, axis = high / 2, life_axis(life, unfolded, wide)
    way = translated("− the day" if unfolded else "+ the day")
    sides = [
        TextMark(0, y - scaled(9), translated("Timeline")),
        TextMark(0, y + scaled(9), way, "ink"),
    ]
    marks = [*_axis(life, unfolded, axis, y), *_parts(life, unfolded, axis, y)]
    marks += [*_names(life, unfolded, y), *_moments(life, y)]
    points = [ScenePoint(m.at_min, NOWHERE, m.label, _instant(life, m.at_min)) for m in life.marks]
    return Scene([*sides, Scene(marks, axis, within=(axis.px[0], axis.px[-1]), points=points)])


def _axis(life: Life, unfolded: bool, axis: MarkScale, y: float) -> Iterator[Mark]:
    """The line, when it is best eaten, and ticks with their names."""
    yield LineMark((axis.values[0], axis.values[-1]), (y, y), "quiet")
    if life.ready is not None:
        yield BoxMark(life.ready, (y - scaled(9), y + scaled(9)), wash("forecast", 0.28))
    below = y + scaled(12) + line_high(SMALL) / 2
    named = [*(_hours(axis) if unfolded else ()), *months_of(life, axis, scaled(_TICK_PX))]
    for minutes in [at for at, _ in (*named, *months_of(life, axis, 0.1))]:
        yield LineMark((minutes, minutes), (y - 4, y + 4), "quiet")
    for minutes, label in named:
        yield TextMark(minutes, below, label, align=MIDDLE, gap=12)


def _hours(axis: MarkScale) -> list[tuple[float, str]]:
    """Ticks of the unfolded day, hours from milk in."""
    day, wide = axis.values[1], axis.px[1] - axis.px[0]
    a_tick = scaled(_TICK_PX) * day / max(wide, 1.0)
    step = next((h for h in _HOURS if h * _HOUR >= a_tick), _HOURS[-1])
    count = int((day - a_tick / 2) // (step * _HOUR))
    return [(n * step * _HOUR, f"{n * step} h") for n in range(count + 1)]


def months_of(life: Life, axis: MarkScale, a_month: float) -> list[tuple[float, str]]:
    """The first days of months after the day, each so many px from the next at least."""
    first, last = (_instant(life, minutes) for minutes in axis.values[1:])
    most = (axis.px[2] - axis.px[1]) / a_month
    months = months_between(first, last, life.zone, most) if most else []
    return [((at_ms - life.zero_ms) / MINUTE_MS, name) for at_ms, name in months]


def _parts(life: Life, unfolded: bool, axis: MarkScale, y: float) -> Iterator[Mark]:
    bar = y - scaled(7), y + scaled(7)
    for span in life.spans:
        edge = {"done": "done", "now": "ink"}.get(span.state, "planned")
        if span.label == _ROOM:
            now = min(max(life.now_min or 0.0, span.from_min), span.to_min)
            yield BoxMark((span.from_min, now), (y - 1.5, y + 1.5), "done")
        elif unfolded:
            x0 = axis.at(span.from_min)
            x1 = max(axis.at(span.to_min), x0 + 3)
            ends = axis.value(x0 + 0.5), axis.value(x1 - 0.5)
            fill = "paper" if edge == "planned" else edge
            yield BoxMark(ends, bar, fill, edge, rounded=RADIUS)
    if not unfolded:
        yield BoxMark((0.0, axis.values[1]), bar, "done", rounded=RADIUS)


def _names(life: Life, unfolded: bool, y: float) -> list[Mark]:
    """The names of the parts, of a folded day of the day and what is current: the present one
    first, then what is to come, the others where there is room."""
    parts = [s for s in life.spans if s.label != _ROOM and (unfolded or s.state == "now")]
    if not unfolded:
        parts.append(LifeSpan("day", 0.0, life.day_min, "done"))
    coming = [m for m in life.marks if m.kind in ("due", "eat")]
    parts = sorted(parts, key=_importance, reverse=True)
    parts += [LifeSpan(m.label, m.at_min, m.at_min, "planned") for m in coming]
    height = y - scaled(28) + line_high(SMALL) / 2
    return [
        TextMark(
            (span.from_min + span.to_min) / 2, height, span.label,
            "quiet" if span.state == "planned" else "ink", MIDDLE, bold=span.state == "now", gap=6,
        )
        for span in parts
    ]  # fmt: skip


def _moments(life: Life, y: float) -> Iterator[Mark]:
    if life.now_min is not None:
        ends = life.now_min, life.now_min
        yield LineMark(ends, (y - scaled(10), y + scaled(10)), "ink", 2, flat=True)
    for mark in life.marks:
        at = mark.at_min
        if mark.kind in ("care", "eat"):
            role = "quiet" if mark.kind == "care" else "ink"
            yield LineMark((at, at), (y - 7, y - 1), role)
        elif mark.kind == "seen":
            yield DotMark(at, y + 5, 6, "paper", "ink", 1.6, square=True)
        elif mark.kind == "due":
            yield DotMark(at, y, scaled(11), "paper", "planned", 1.6, "dots")
        else:
            yield DotMark(at, y, scaled(11), "ink", "ink", 1.6)


def _instant(life: Life, minutes: float) -> int:
    return life.zero_ms + round(minutes * MINUTE_MS)


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
    marks = [
        LifeMark(worded("desk.tasted-at", days=day), at, "tasting") for day, at in tasted.items()
    ]
    marks += [m for m in _done(whole, wheel_id) if m.at_min > 0]
    last_tasted = max(tasted.values(), default=0.0)
    eaten = whole.verdict is None and not whole.make.failed
    for days in whole.plan.taste_at_days if eaten else ():
        if days * _DAY > max(now, last_tasted):
            marks.append(LifeMark(worded("desk.tasting-due", days=days), days * _DAY, "due"))
    eat = whole.plan.eat_from_days
    if eat is not None and eaten and eat * _DAY > now:
        on = format_day(local(round(zero + eat * _DAY * MINUTE_MS), zone), short=True, year=False)
        marks.append(LifeMark(worded("wording.eat-from-date", on=on), eat * _DAY, "eat"))
    furthest = max([end, *(m.at_min for m in marks)])
    if furthest > end:
        over = whole.make.finished_ms is not None
        state = "done" if over and now >= furthest else ("now" if over else "planned")
        spans += (LifeSpan(_ROOM, end, furthest, state),)
    return Life(zero, spans, tuple(marks), now, zone)


def _done(whole: WholeMake, wheel_id: int | None) -> Iterable[LifeMark]:
    """What was done to its wheels and seen of them, each with its day."""
    found: dict[tuple[int, str], LifeMark] = {}
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
            found.setdefault((round(minutes), what), LifeMark(label, minutes, kind))
    return found.values()


def _spans(whole: WholeMake, now: float) -> Iterable[LifeSpan]:
    """The stages, neighbours of one part together; the current stage alone and by its own name."""
    begins, running = every_begin(whole), whole.running_index
    held: LifeSpan | None = None
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
            held = LifeSpan(label, held.from_min, end, state)
            continue
        if held is not None:
            yield held
        held = LifeSpan(label, begins[i], max(end, now) if current else end, state)
    if held is not None:
        yield held


def _part(kind: str) -> str:
    return next((name for name, kinds in _PARTS if kind in kinds), kind)


def _importance(span: LifeSpan) -> float:
    return math.inf if span.state == "now" else span.to_min - span.from_min


def _description(life: Life | None) -> str:
    if life is None:
        return worded("wording.nothing-to-show")
    parts = [f"{s.label}: {word_of('desk.span-', s.state)}" for s in life.spans]
    tasted = sum(m.kind == "tasting" for m in life.marks)
    return "; ".join([*parts, worded("desk.tastings", count=tasted)])
