"""One attribute of the sheet: its name, the slim line with a dot, the number."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.charts.marks import (
    RIGHT,
    BoxMark,
    DotMark,
    LineMark,
    Mark,
    MarkScale,
    Scene,
    TextMark,
)
from journal.desk.drawn import DrawnWidget
from journal.desk.form.line_field import TextLine
from journal.desk.tastings.drafts import points, written
from journal.desk.theme import RADIUS, STEP, TEXT, font
from journal.records import RecordError
from journal.records.tastings import SCORE_TOP
from journal.wording import text_of
from journal.wording.languages import translated

_NAME, _FIELD, SPREAD = 124, 56, 3 * STEP
LEAST, MOST = 28, 42
_STEPS: dict[int, int] = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}


class ScoreRow(DrawnWidget):
    """A score to type (or to point at). `moved` asks for the line below (+1) or above (−1);
    `changed` says that something was typed, `entered` carries the attribute when one comes to it.
    What does not fit stays, and says why."""

    moved = Signal(int)
    changed = Signal()
    entered = Signal(str)

    def __init__(self, attribute: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.attribute = attribute
        self.wrong = ""
        self.line = TextLine(TEXT, self)
        self.line.setAccessibleName(attribute)
        self.line.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.line.setMaxLength(8)
        self.line.setFont(font(TEXT, bold=True))
        self.setFocusProxy(self.line)
        self.setMinimumHeight(LEAST)
        self.setMaximumHeight(MOST)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.line.textChanged.connect(self._on_text)
        self.line.textEdited.connect(self.changed)
        self.line.returnPressed.connect(self._on_return)
        self.line.editingFinished.connect(self._on_finished)
        self.line.installEventFilter(self)

    def text(self) -> str:
        """What stands there."""
        return self.line.text().strip()

    def set_text(self, text: str) -> None:
        """Put a text there."""
        self.line.setText(text)
        self._judge()

    def value(self) -> float | None:
        """The score, None when there is none or it does not fit."""
        try:
            return points(self.text(), self.attribute) if self.text() else None
        except RecordError:
            return None

    def sizeHint(self) -> QSize:
        return QSize(400, MOST)

    # Drawing

    def scene(self) -> Scene:
        here, (_left, right), y = self.line.hasFocus(), self._ends(), self.height() / 2
        marks: list[Mark] = []
        if here:
            box = (0, self.width()), (0, self.height())
            marks.append(BoxMark(*box, "chosen", rounded=RADIUS))
        bold = here or self.attribute == "overall"
        room = _NAME - SPREAD
        marks.append(TextMark(SPREAD, y, self.attribute, "ink", bold=bold, size=TEXT, wide=room))
        if self.wrong:
            marks.append(TextMark(right, y, self.wrong, "attention", RIGHT))
        else:
            marks.append(self._scale(here, y))
        if here or self.wrong:
            field = QRectF(self.line.geometry()).adjusted(0.5, -0.5, -0.5, 0.5)
            x, ends = (field.left(), field.right()), (field.top(), field.bottom())
            edge = "attention" if self.wrong else "ink"
            marks.append(BoxMark(x, ends, "field", edge, 1.4, rounded=RADIUS))
        return Scene(marks)

    def _scale(self, here: bool, y: float) -> Scene:
        role, width = ("done", 1.4) if here else ("past_line", 1.0)
        marks: list[Mark] = [LineMark((0, SCORE_TOP), (y, y), role, width)]
        for score in (0, SCORE_TOP / 2, SCORE_TOP):
            marks.append(LineMark((score, score), (y - 4, y + 4), role, width))
        value = self.value()
        if value is not None:
            marks.append(DotMark(value, y, 12, "ink"))
        return Scene(marks, MarkScale((0, SCORE_TOP), self._ends()))

    def _ends(self) -> tuple[float, float]:
        return float(_NAME + STEP), float(self.width() - _FIELD - SPREAD - 2 * STEP)

    # Handlers

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        high = min(30, self.height() - 4)
        self.line.setTextMargins(2, 0, 2 * STEP, 0)
        self.line.setGeometry(
            self.width() - _FIELD - SPREAD + 2 * STEP, (self.height() - high) // 2, _FIELD, high
        )

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self.update()
        if event.type() == QEvent.Type.FocusIn:
            self.entered.emit(self.attribute)
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(event.key())
        if step is None:
            super().keyPressEvent(event)
            return
        self.moved.emit(step)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click on the line gives the nearest half point."""
        self.line.setFocus()
        left, right = self._ends()
        x = event.position().x()
        if left - 8 <= x <= right + 8 and not self.wrong:
            share = min(max((x - left) / (right - left), 0.0), 1.0)
            self.line.setText(written(round(share * SCORE_TOP * 2) / 2))
            self.changed.emit()

    def _on_text(self, _text: str) -> None:
        if self.wrong:
            self._judge()
        self.update()

    def _on_return(self) -> None:
        if self._judge():
            self.moved.emit(1)
        else:
            self.line.selectAll()  # typed over, not on

    def _on_finished(self) -> None:
        value = self.value()
        if self._judge() and value is not None:
            self.line.setText(written(value))

    def _judge(self) -> bool:
        """Say what does not fit; True when it does or nothing stands there."""
        try:
            if self.text():
                points(self.text(), self.attribute)
            self.wrong = ""
        except RecordError as error:
            self.wrong = "▲ 0 to 10 in halves, like 7 or 7.5"
            self.line.setAccessibleDescription(text_of(error))
        else:
            self.line.setAccessibleDescription(translated("0 to 10 in halves"))
        self.update()
        return not self.wrong
