"""The right page of the vat: the day of the current make, and those of makes beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.curves.snapshot import MakeSnapshot
from journal.curves.stretch import around, shared, stretch_of
from journal.desk.charts.marks import RIGHT, BoxMark, Mark, Scene, TextMark, TriangleMark
from journal.desk.commands import Command
from journal.desk.drawn import PaintedWidget
from journal.desk.labels import plain_tip
from journal.desk.layouts import in_column
from journal.desk.theme import LEAD, SMALL, STEP, TEXT, font
from journal.wording import worded
from journal.wording.keys import key_of, key_words
from journal.wording.vat_stage import to_go

if TYPE_CHECKING:
    from journal.desk.vat.chart import VatChart  # loaded once the page can be typed in

CHART_MODULE = "journal.desk.vat.chart"

SLIM_MOST = 2  # so many makes beside the current one have a chart; more have their clock alone
_ROOM_FOR_MORE = 680  # px; a lower page has room for one of them
_LEAST, _SLIM_LEAST = 200, 120  # px
_HIGH = 8 * STEP
_CURRENT, _BESIDE = 5, 3  # how the height is shared
HERE = "what is typed goes here"


@dataclass(frozen=True)
class ChartHeading:
    """What stands over a chart: the make, its step and its clock."""

    code: str
    name: str
    step: str
    figures: str
    what: str
    over: bool
    key: str  # how it comes to hand; "" for the one that is

    @property
    def is_current(self) -> bool:
        """What is typed goes to it."""
        return not self.key

    @property
    def words(self) -> str:
        """It read aloud."""
        key = self.key or HERE
        parts = (self.code, self.name, self.step, f"{self.figures} {self.what}".strip(), key)
        return ", ".join(part for part in parts if part)


class MakeHead(PaintedWidget):
    """The line over a chart: filled with ink over the make that takes what is typed."""

    pressed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.face: ChartHeading | None = None
        self.setFixedHeight(_HIGH)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_face(self, face: ChartHeading) -> None:
        """Show this."""
        if face == self.face:
            return
        self.face = face
        self.setAccessibleName(face.words)
        tip = worded("desk.type-into", key=face.key, code=face.code)
        self.setToolTip(plain_tip("" if face.is_current else tip))
        shape = Qt.CursorShape.ArrowCursor if face.is_current else Qt.CursorShape.PointingHandCursor
        self.setCursor(shape)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(100 * STEP, _HIGH)

    def mousePressEvent(self, _event: QMouseEvent) -> None:
        self.pressed.emit()

    def scene(self) -> Scene:
        face, y = self.face, self.height() / 2
        if face is None:
            return Scene()
        box = (0, self.width()), (0, self.height())
        right, key = self.width() - 6.0 * STEP, face.key or HERE
        marks: list[Mark] = [
            BoxMark(*box, "ink" if face.is_current else "chosen"),
            TextMark(right, y, key, "paper" if face.is_current else "quiet", RIGHT),
        ]
        right -= QFontMetricsF(font(SMALL)).horizontalAdvance(key) + 4 * STEP
        left = 4.0 * STEP
        for words, size, bold, role in _parts(face):
            wide = QFontMetricsF(font(size, bold=bold)).horizontalAdvance(words)
            if not words or left + wide > right:
                continue
            if words == face.figures and face.over and not face.is_current:
                marks.append(TriangleMark(left, y - 5, 11))
                left += 4 * STEP
            marks.append(TextMark(left, y, words, role, bold=bold, size=size))
            left += wide + (2 if words == face.figures else 3) * STEP
        return Scene(marks)


def _parts(face: ChartHeading) -> list[tuple[str, int, bool, str]]:
    """The words from left to right; the name of the cheese goes first where room lacks."""
    ink, quiet = ("paper", "chosen") if face.is_current else ("ink", "quiet")
    clock = "attention" if face.over and not face.is_current else ink
    return [
        (face.code, TEXT, True, ink),
        (face.step, TEXT, True, ink),
        (face.figures, LEAD, True, clock),
        (face.what, TEXT, False, clock if face.over else quiet),
        (face.name, TEXT, False, quiet),
    ]


class Days(QWidget):
    """The charts under each other in the order the makes began, so that none changes its place
    when another is typed into; the current one is the larger. `picked` carries the make whose
    line or chart was clicked, `dropped` the path of a file let fall on the chart,
    `went` the instant that was clicked.

    The charts come last, after the page beside them can be typed in: with `build`, or when somebody
    asks for the `chart`. `offers` says what can be done with what is drawn.
    """

    picked = Signal(int)
    dropped = Signal(str)
    went = Signal(object)
    roomier = Signal()  # there is room for more charts, or for fewer

    def __init__(
        self, offers: Callable[[str, float], list[Command]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._offers = offers
        self._chart: VatChart | None = None
        self.head = MakeHead()
        self.beside: list[VatChart] = []  # built as makes come to run beside the current one
        self.heads: list[MakeHead] = []
        self.moment_ms: int | None = None
        self._most = 1
        self._day: MakeSnapshot | None = None
        self._shown: list[MakeSnapshot] = []
        self._column = in_column(self.head, of=self, margins=0, gap=0)
        self.head.hide()

    @property
    def chart(self) -> VatChart:
        """The chart of the current make."""
        return self._chart or self._build()

    def build(self) -> None:
        """Build the charts, and draw what is to be shown."""
        if self._chart is None:
            self._build()

    def _build(self) -> VatChart:
        from journal.desk.vat.chart import VatChart

        self._chart = chart = VatChart()
        chart.setMinimumHeight(_LEAST)
        chart.offers = self._offers
        chart.dropped.connect(self.dropped)
        chart.went.connect(self.went)
        self._column.addWidget(chart)
        self._draw()
        return chart

    @property
    def shown(self) -> tuple[MakeSnapshot, ...]:
        """The days beside the current one, as they are drawn."""
        return tuple(self._shown)

    def show_days(self, day: MakeSnapshot, others: Sequence[MakeSnapshot]) -> MakeSnapshot:
        """Draw the current day, and those of others that run; returns the first as it is drawn."""
        others = sorted(others, key=_begun)[: self._most]
        self._day, self._shown = self._over_one_clock(day, others)
        self._draw()
        return self._day

    def show_none(self) -> None:
        """Nothing is in the vat."""
        self._day, self._shown = None, []
        self._draw()

    def _draw(self) -> None:
        """Draw what is to be shown, once the charts are there."""
        if self._chart is None:
            return
        while len(self.beside) < len(self._shown):
            self._add_beside()
        self._chart.show_day(self._day, self.moment_ms)
        self._arrange(self._chart)
        for chart, other in zip(self.beside, self._shown, strict=False):
            chart.show_day(other, self.moment_ms)
        if self._day is not None:
            self.tick(self._day, self._day.now_ms)

    def tick(self, day: MakeSnapshot, now_ms: int) -> None:
        """The clocks over the charts, every second."""
        if self._shown:
            self.head.show_face(face_of(day, now_ms))
        for head, other in zip(self.heads, self._shown, strict=False):
            head.show_face(face_of(other, now_ms, self._key(day, other)))

    def _key(self, day: MakeSnapshot, other: MakeSnapshot) -> str:
        """F3 goes round in the order the makes began."""
        ids = sorted(one.make_id for one in (day, *self._shown))
        steps = (ids.index(other.make_id) - ids.index(day.make_id)) % len(ids)
        return key_of("other") if steps == 1 else f"{steps} × {key_words('other')}"

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        most = SLIM_MOST if self.height() >= _ROOM_FOR_MORE else 1
        if most != self._most:
            self._most = most
            self.roomier.emit()

    def _over_one_clock(
        self, day: MakeSnapshot, others: list[MakeSnapshot]
    ) -> tuple[MakeSnapshot, list[MakeSnapshot]]:
        days = [day, *others]
        stretches = [stretch_of(one) for one in days]
        if self.moment_ms is not None:
            stretches[0] = around(day, self.moment_ms)
        found = shared(stretches, [one.whole.make.started_ms for one in days])
        drawn = [replace(one, window=window) for one, window in zip(days, found, strict=True)]
        return drawn[0], drawn[1:]

    def _add_beside(self) -> None:
        """One more chart with its line, hidden yet."""
        from journal.desk.vat.chart import VatChart

        chart, head = VatChart(slim=True), MakeHead()
        chart.setMinimumHeight(_SLIM_LEAST)
        for part in (head, chart):
            part.hide()
            part.pressed.connect(self._on_pressed)
            self._column.addWidget(part)
        self.heads.append(head)
        self.beside.append(chart)

    def _arrange(self, mine: VatChart) -> None:
        """Put the charts in the order their makes began."""
        pairs = [(self.head, mine, self._day)] if self._day is not None else []
        pairs += list(zip(self.heads, self.beside, self._shown, strict=False))
        wanted: list[QWidget] = []
        for head, chart, _ in sorted(pairs, key=_pair_begun):
            wanted += [head, chart]
        here = [self._column.indexOf(part) for part in wanted]
        if here != list(range(len(wanted))):
            for index, part in enumerate(wanted):
                self._column.removeWidget(part)
                self._column.insertWidget(index, part)
        for index, (head, chart) in enumerate(zip(self.heads, self.beside, strict=True)):
            head.setVisible(index < len(self._shown))
            chart.setVisible(index < len(self._shown))
            self._column.setStretchFactor(chart, _BESIDE)
        self.head.setVisible(bool(self._shown))
        self._column.setStretchFactor(mine, _CURRENT)
        self._column.activate()

    def _on_pressed(self) -> None:
        for head, chart, other in zip(self.heads, self.beside, self._shown, strict=False):
            if self.sender() in (head, chart):
                self.picked.emit(other.make_id)
                return


def face_of(day: MakeSnapshot, now_ms: int, key: str = "") -> ChartHeading:
    """The line over a day's chart at a moment."""
    make, page_state = day.whole.make, day.page_state
    if page_state.stage is None or page_state.ends_ms is None:
        return ChartHeading(make.code, make.name, "weigh its wheels", "", "", over=False, key=key)
    figures, what = to_go(page_state.ends_ms, now_ms)
    step, over = page_state.stage.label.capitalize(), page_state.ends_ms < now_ms
    return ChartHeading(make.code, make.name, step, figures, what, over=over, key=key)


def _begun(day: MakeSnapshot) -> tuple[int, int]:
    return day.whole.make.started_ms, day.make_id


def _pair_begun(pair: tuple[MakeHead, VatChart, MakeSnapshot]) -> tuple[int, int]:
    return _begun(pair[2])
