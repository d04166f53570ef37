"""Across the room: the step, the clocks and the two last values, as large as they go."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Signal, SignalInstance
from PySide6.QtGui import QFont, QFontMetricsF, QKeyEvent, QMouseEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from journal.curves.snapshot import MakeSnapshot
from journal.desk.buttons import Button
from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import MIDDLE, BoxMark, Mark, Scene, TextMark, TriangleMark
from journal.desk.theme import LEAD, STEP, colours, font, is_dark, is_high, turned
from journal.wording import worded
from journal.wording.clocks import clock_rows, other_row
from journal.wording.languages import translated
from journal.wording.readings import value_text
from journal.wording.stages import finish_words
from journal.wording.vat_day import running_stage_words, seen_words
from journal.wording.vat_stage import next_words, out_of_range, range_words, read_words, to_go

_KINDS = (("milk-temp", "temperature"), ("curd-ph", "acidity"))


# Shares of the height: the step, the clock, what it counts, clocks beside it, the next step, the
# values, how they stand to the plan, the buttons.
_STEP, _CLOCK, _COUNTS = (0.02, 0.12), (0.14, 0.38), (0.52, 0.05)
_BESIDE, _NEXT = (0.575, 0.05), (0.628, 0.05)
_VALUES, _STANDS, _BUTTONS = (0.68, 0.2), (0.88, 0.05), (0.935, 0.06)
_DIGITS, _UNIT = 1.05, 0.5  # figures have nothing below the line; a unit is smaller
_TARGET = 12 * STEP  # px; a button is hit with a wet finger


class AcrossTheRoom(QWidget):
    """Covers its window until F11, Esc or a touch beside its buttons; any other key goes on to
    what lies under it. `end_asked` and `answer_asked` come from the buttons."""

    end_asked = Signal()
    answer_asked = Signal()
    closing = Signal()

    def __init__(self, window: QWidget, under: QWidget) -> None:
        super().__init__(window)
        self._window, self._under = window, under
        self._day: MakeSnapshot | None = None
        self.neighbours: tuple[MakeSnapshot, ...] = ()  # the days of the makes beside it
        self._due = self._ask = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(translated("Large display"))
        window.installEventFilter(self)
        self.closing.connect(self._leave)
        self.end = self._button("", self.end_asked)
        self.answer = self._button("Silence", self.answer_asked)
        self.back = self._button("Back", self.closing)
        self.hide()

    def _button(self, words: str, act: SignalInstance) -> Button:
        made = Button(words, parent=self)
        made.setFont(font(LEAD))
        made.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # a key goes to what lies under it
        made.clicked.connect(act)
        return made

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
        self.setAccessibleDescription(
            ", ".join([*([due] if due else []), *seen_words(day, [kind for kind, _ in _KINDS])])
        )
        self._place_buttons()
        self.update()

    def _place_buttons(self) -> None:
        """Along the lower edge, from the right; those that do nothing now are away."""
        day = self._day
        stage = day.page_state.stage if day is not None else None
        following = day.page_state.next_stage if day is not None else None
        self.end.setVisible(stage is not None)
        if stage is not None:
            words = "Finish the make" if following is None else finish_words(stage.label)
            self.end.set_label(words, "main")
        self.answer.setVisible(bool(self._due))
        self.answer.set_label("Done" if self._ask else "Silence", "Esc" if self._due else "")
        self.back.set_label("Back", "" if self._due else "Esc")
        colours_now = turned(self.palette()) if self._due else self.palette()
        right = self.width() - 6 * STEP
        high, top = self._buttons()
        for button in (self.back, self.answer, self.end):
            button.setPalette(colours_now)
            wide = button.sizeHint().width() + 6 * STEP
            if button.isVisibleTo(self):
                button.setGeometry(right - wide, top, wide, high)
                right -= wide + 3 * STEP

    def _buttons(self) -> tuple[int, int]:
        """How high they are, and where they begin."""
        high = max(_TARGET, round(_BUTTONS[1] * self.height()) - STEP)
        return high, self.height() - high - 2 * STEP

    def _high(self) -> float:
        """The height that is shared: all of it, unless the last line would reach the buttons."""
        return min(float(self.height()), self._buttons()[1] / sum(_STANDS))

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self.setGeometry(self._window.rect())
        return False

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place_buttons()

    def _leave(self) -> None:
        self.hide()
        self._under.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._due:
            self.answer_asked.emit()
            return
        self._leave()
        if event.key() not in (Qt.Key.Key_Escape, Qt.Key.Key_F11):
            event.ignore()

    def mousePressEvent(self, _event: QMouseEvent) -> None:
        self._leave()

    def paintEvent(self, _event: QPaintEvent) -> None:
        shown = turned(self.palette()) if self._due else self.palette()
        paint_scene(self, self.scene(), colours(is_dark(shown), is_high(shown)))

    def scene(self) -> Scene:
        """The page and its content."""
        page, day = BoxMark((0, self.width()), (0, self.height()), "paper"), self._day
        if day is None:
            return Scene([page])
        parts = self._clocks(day), self._clocks_beside(day), self._next(day), self._values(day)
        return Scene([page, *(mark for part in parts for mark in part)])

    def _clocks(self, day: MakeSnapshot) -> Iterator[Mark]:
        """The step and its clock; beside it, narrower, that of another make."""
        high, faces = self._high(), _faces(day)
        if self._ask:
            faces[0] = replace(faces[0], step=self._ask)
        wide = self.width() * (1.0 if len(faces) == 1 else 0.5)
        for number, face in enumerate(faces):
            left = number * wide
            yield _fit(_part(left, wide, high, _STEP), face.step, "ink", bold=True)
            clock, foot = (_part(left, wide, high, part) for part in (_CLOCK, _COUNTS))
            yield _fit(clock, face.figures, "attention" if face.over else "ink", share=_DIGITS)
            words = _fit(foot, face.what, "attention" if face.over else "quiet")
            yield words
            if face.over:
                side = 0.6 * foot.height()
                written = QFontMetricsF(words.face or font(LEAD)).horizontalAdvance(face.what)
                x = foot.center().x() - written / 2 - 1.6 * side
                yield TriangleMark(x, foot.center().y() - side / 2, side)

    def _clocks_beside(self, day: MakeSnapshot) -> Iterator[Mark]:
        """The clocks beside the stage in one line: "stir 3:20 · turn 2 of 8 4:10"."""
        rows = [row for row in clock_rows(day) if row.figures]
        if rows:
            role = "attention" if any(row.over for row in rows) else "ink"
            words = "   ".join(f"{row.name} {row.figures}" for row in rows[:3])
            yield _fit(_part(0, self.width(), self._high(), _BESIDE), words, role)

    def _next(self, day: MakeSnapshot) -> Iterator[Mark]:
        """The next step, where this one runs and no other make takes half of the page."""
        if day.page_state.stage is not None and not day.others:
            words = " · ".join(part for part in next_words(day.page_state.next_stage) if part)
            yield _fit(
                _part(0, self.width(), self._high(), _NEXT),
                worded("desk.next-step", step=words),
                "ink",
            )

    def _values(self, here: MakeSnapshot) -> Iterator[Mark]:
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
                    at = known.index(kind) if here.others else i
                    cell = self._value_cell(index * width, width, at, rows)
                    last = day.whole.trace(kind).sound().value[-1]
                    yield from _fit_value(cell, value_text(kind, last), role)
                    yield from self._stands(day, kind, cell)

    def _stands(self, day: MakeSnapshot, kind: str, cell: QRectF) -> Iterator[Mark]:
        """Under a value how it stands to the plan, and its age, marked where it is out of range;
        where two makes share the page, that of the milk alone."""
        milk = kind == "milk-temp"
        if day.others and not milk:
            return
        trace = day.whole.trace(kind).sound()
        words = range_words(day) if milk else read_words(int(trace.at_ms[-1]), day.now_ms)
        out, box = (
            milk and out_of_range(day),
            _part(cell.left(), cell.width(), self._high(), _STANDS),
        )
        yield _fit(box, f"▲ {words}" if out else words, "attention" if out else "ink")

    def _value_cell(self, left: float, width: float, index: int, rows: int) -> QRectF:
        """Where a value stands: beside the other, or under it in `rows` where there are two
        makes."""
        top, high = _VALUES[0] * self._high(), _VALUES[1] * self._high() / max(rows, 1)
        if rows:
            return QRectF(left, top + index * high, width, high).adjusted(8, 0, -8, 0)
        half = width / 2
        return QRectF(left + index * half, top, half, high).adjusted(8, 0, -8, 0)


def _part(left: float, wide: float, high: float, share: tuple[float, float]) -> QRectF:
    """A line across the page: where it begins and how high it is, as shares of the height."""
    return QRectF(left, share[0] * high, wide, share[1] * high)


@dataclass(frozen=True)
class _Face:
    step: str
    figures: str
    what: str
    over: bool


def _faces(day: MakeSnapshot) -> list[_Face]:
    """The clock of this make, and of the next one that runs beside it."""
    ends, stage = day.page_state.ends_ms, day.page_state.stage
    figures, what = to_go(ends, day.now_ms) if ends is not None else ("", "")
    over = ends is not None and ends < day.now_ms
    found = [_Face(running_stage_words(day), figures, what, over)]
    for other in day.others[:1]:
        row = other_row(other, day.now_ms)
        label = other.step.stage.label.capitalize() if other.step.stage else "Finish"
        words = f"{what}, {day.whole.make.code}" if stage is not None else day.whole.make.code
        found[0] = replace(found[0], what=words)
        now = row.what.rpartition(", ")[2]
        found.append(_Face(label, row.figures, f"{now}, {row.name}", row.over))
    return found


def _fit(
    box: QRectF, words: str, role: str, *, bold: bool = False, share: float = 0.86
) -> TextMark:
    """Words as large as the box lets them be."""
    face = _face(box.height() * share, bold=bold)
    wide = QFontMetricsF(face).horizontalAdvance(words)
    if wide > box.width() * 0.94:
        face.setPixelSize(max(12, round(face.pixelSize() * box.width() * 0.94 / wide)))
    return TextMark(box.center().x(), box.center().y(), words, role, MIDDLE, face=face)


def _fit_value(box: QRectF, words: str, role: str) -> Iterator[TextMark]:
    """A value as large as it goes, its unit smaller beside it."""
    parts = words.split()
    sizes = [1.0 if part[0].isdigit() or part[0] in "−-" else _UNIT for part in parts]
    gap = 0.12
    wide = sum(
        QFontMetricsF(_face(100)).horizontalAdvance(part) / 100 * size
        for part, size in zip(parts, sizes, strict=True)
    ) + gap * (len(parts) - 1)
    size = min(box.height() * _DIGITS, box.width() * 0.94 / max(wide, 0.1))
    base = box.center().y() + QFontMetricsF(_face(size)).capHeight() / 2
    left = box.center().x() - wide * size / 2
    for part, share in zip(parts, sizes, strict=True):
        face = _face(size * share)
        yield TextMark(left, base, part, role, face=face, base=True)
        left += QFontMetricsF(face).horizontalAdvance(part) + gap * size


def _face(px: float, *, bold: bool = False) -> QFont:
    """Letters so high, whatever the text size: they are as large as the page lets them be."""
    face = font(LEAD, bold=bold)
    face.setPixelSize(max(12, round(px)))
    return face
