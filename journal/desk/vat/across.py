"""Across the room: the step, the clocks and the two last values, as large as they go."""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import QEvent, QObject, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from journal.curves.snapshot import MakeSnapshot
from journal.desk.labels import draw_triangle
from journal.desk.theme import Colours, colours, font, is_dark
from journal.quantities.written import write
from journal.records.instants import MINUTE_MS
from journal.wording.clocks import clock_rows, other_row
from journal.wording.readings import value_text
from journal.wording.vat_stage import to_go

_KINDS = (("milk-temp", "temperature"), ("curd-ph", "acidity"))
_CENTRE = Qt.AlignmentFlag.AlignCenter


class AcrossTheRoom(QWidget):
    """Covers its window until F11 or Esc; any other key goes on to what lies under it."""

    def __init__(self, window: QWidget, under: QWidget) -> None:
        super().__init__(window)
        self._window, self._under = window, under
        self._day: MakeSnapshot | None = None
        self.neighbours: tuple[MakeSnapshot, ...] = ()  # the days of the makes beside it
        self._due = self._ask = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Large display")
        window.installEventFilter(self)
        self.hide()

    def open_with(self, day: MakeSnapshot, due: str = "", ask: str = "") -> None:
        """Cover the window."""
        self.show_day(day, due, ask)
        self.setGeometry(self._window.rect())
        self.show()
        self.raise_()
        self.setFocus()

    def show_day(self, day: MakeSnapshot, due: str = "", ask: str = "") -> None:
        """Show a make at a moment; with something due the page turns over, paper on ink. What is
        asked of the hand now stands in place of the step."""
        self._day, self._due, self._ask = day, due, ask
        self.setAccessibleDescription(", ".join([*([due] if due else []), *_words(day)]))
        self.update()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self.setGeometry(self._window.rect())
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        self.hide()
        self._under.setFocus()
        if event.key() not in (Qt.Key.Key_Escape, Qt.Key.Key_F11):
            event.ignore()

    def mousePressEvent(self, _event: QMouseEvent) -> None:
        self.hide()
        self._under.setFocus()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c = colours(is_dark(self.palette()) != bool(self._due))
        painter.fillRect(self.rect(), c.paper)
        if self._day is not None:
            self._draw_clocks(painter, c, self._day)
            self._draw_beside(painter, c, self._day)
            self._draw_values(painter, c, self._day)
        painter.end()

    def _draw_clocks(self, painter: QPainter, c: Colours, day: MakeSnapshot) -> None:
        """The step and its clock; beside it, narrower, that of another make."""
        width, high = self.width(), self.height()
        faces = _faces(day)
        if self._ask:
            faces[0] = replace(faces[0], step=self._ask)
        beside = any(row.figures for row in clock_rows(day))
        shares = (1.0,) if len(faces) == 1 else (0.5,) * len(faces)
        left = 0.0
        for face, share in zip(faces, shares, strict=False):
            wide = share * width
            step = QRectF(left, 0.03 * high, wide, 0.15 * high)
            painter.setPen(c.ink)
            _fit(painter, step, face.step, bold=True)
            clock = QRectF(left, 0.16 * high, wide, (0.38 if beside else 0.46) * high)
            painter.setPen(c.attention if face.over else c.ink)
            _fit(painter, clock, face.figures)
            foot = QRectF(left, clock.bottom(), wide, 0.07 * high)
            painter.setPen(c.attention if face.over else c.quiet)
            written = _fit(painter, foot, face.what)
            if face.over:
                side = 0.6 * foot.height()
                x = foot.center().x() - written / 2 - 1.6 * side
                draw_triangle(painter, x, foot.center().y() - side / 2, side, c.attention)
            left += wide

    def _draw_beside(self, painter: QPainter, c: Colours, day: MakeSnapshot) -> None:
        """The clocks beside the stage in one line: "stir 3:20 · turn 2 of 8 4:10"."""
        rows = [row for row in clock_rows(day) if row.figures]
        if rows:
            painter.setPen(c.attention if any(row.over for row in rows) else c.ink)
            box = QRectF(0, 0.625 * self.height(), self.width(), 0.075 * self.height())
            _fit(painter, box, "   ".join(f"{row.name} {row.figures}" for row in rows[:3]))

    def _draw_values(self, painter: QPainter, c: Colours, here: MakeSnapshot) -> None:
        """The two last values, each make's under its own clock."""
        days = [here]
        for other in here.others[:1]:
            days += [one for one in self.neighbours if one.make_id == other.make_id]
        width = self.width() / (1 if not here.others else 2)
        for index, day in enumerate(days):
            known = [kind for kind, _ in _KINDS if len(day.whole.trace(kind).sound())]
            rows = len(known) if here.others else 0
            for i, (kind, role) in enumerate(_KINDS):
                if kind in known:
                    painter.setPen(getattr(c, role))
                    at = known.index(kind) if here.others else i
                    cell = self._value_cell(index * width, width, at, rows)
                    _fit(painter, cell, _last_words(day, kind))

    def _value_cell(self, left: float, width: float, index: int, rows: int) -> QRectF:
        """Where a value stands: beside the other, or under it in `rows` where there are two
        makes."""
        top, high = 0.71 * self.height(), 0.25 * self.height() / max(rows, 1)
        if rows:
            return QRectF(left, top + index * high, width, high).adjusted(24, 0, -24, 0)
        half = width / 2
        return QRectF(left + index * half, top, half, high).adjusted(24, 0, -24, 0)


@dataclass(frozen=True)
class _Face:
    step: str
    figures: str
    what: str
    over: bool


def _faces(day: MakeSnapshot) -> list[_Face]:
    """The clock of this make, and of the next one that runs beside it."""
    ends, stage = day.standing.ends_ms, day.standing.stage
    figures, what = to_go(ends, day.now_ms) if ends is not None else ("", "")
    found = [_Face(_step_words(day), figures, what, what == "over")]
    for other in day.others[:1]:
        row = other_row(other, day.now_ms)
        label = other.step.stage.label.capitalize() if other.step.stage else "Finish"
        words = f"{what}, {day.whole.make.code}" if stage is not None else day.whole.make.code
        found[0] = replace(found[0], what=words)
        now = row.what.rpartition(", ")[2]
        found.append(_Face(label, row.figures, f"{now}, {row.name}", row.over))
    return found


def _step_words(day: MakeSnapshot) -> str:
    stage = day.standing.stage
    return stage.label.capitalize() if stage is not None else "Finished"


def _fit(painter: QPainter, box: QRectF, words: str, *, bold: bool = False) -> float:
    """Write words as large as the box lets them be; returns how wide they are."""
    face = font(max(12, round(box.height() * 0.86)), bold=bold)
    wide = QFontMetricsF(face).horizontalAdvance(words)
    if wide > box.width() * 0.94:
        face.setPixelSize(max(12, round(face.pixelSize() * box.width() * 0.94 / wide)))
    painter.setFont(face)
    painter.drawText(box, _CENTRE, words)
    return QFontMetricsF(face).horizontalAdvance(words)


def _last_words(day: MakeSnapshot, kind: str) -> str:
    """The last value of a kind, with its age once the milk's says nothing of now."""
    message = value_text(kind, day.whole.trace(kind).sound().value[-1])
    at_ms = day.standing.last_at_ms
    if kind != "milk-temp" or at_ms is None or not day.standing.is_old(day.now_ms):
        return message
    return f"{message}, {write((day.now_ms - at_ms) // MINUTE_MS, 'duration')} ago"


def _words(day: MakeSnapshot) -> list[str]:
    """What is to be seen, read aloud."""
    out = [_step_words(day)]
    if day.standing.ends_ms is not None:
        out.append(" ".join(to_go(day.standing.ends_ms, day.now_ms)))
    for kind, _role in _KINDS:
        trace = day.whole.trace(kind).sound()
        if len(trace):
            out.append(_last_words(day, kind))
    out += [row.words for row in clock_rows(day) if row.figures]
    out += [other_row(other, day.now_ms).words for other in day.others[:1]]
    return out
