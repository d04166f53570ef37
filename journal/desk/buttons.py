"""Buttons drawn with ink: the one main act of a page, the others, and the row of places."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import MIDDLE, BoxMark, Mark, Scene, TextMark
from journal.desk.theme import RADIUS, STEP, TEXT, colours_of, font, scaled
from journal.wording import worded
from journal.wording.keys import is_key_use, key_of
from journal.wording.languages import translated

LEAST_TARGET = 8 * STEP  # px; what a finger can hit
MAIN, PLAIN, FAINT = "main", "plain", "faint"


class Button(QAbstractButton):
    """A text button with its key beside the words: filled (main), framed (plain) or faint."""

    def __init__(
        self, text: str, kind: str = PLAIN, key: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.kind = kind
        self.key = key
        self.setFont(font(TEXT, bold=kind == MAIN))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.set_label(text, key)

    def set_label(self, text: str, key: str = "") -> None:
        """What it does, and the use of the key that does it (or the key itself, as "Esc")."""
        self.key = key = key_of(key) if is_key_use(key) else key
        self.setText(text)
        self.setAccessibleName(self.text())
        self.setAccessibleDescription(worded("desk.key-is", key=key) if key else "")
        self.updateGeometry()
        self.update()

    def setText(self, text: str) -> None:
        """Say it in the language in use."""
        super().setText(translated(text))

    def shown_label(self) -> str:
        """The words with the key behind them."""
        return f"{self.text()}  {self.key}" if self.key else self.text()

    def sizeHint(self) -> QSize:
        width = QFontMetricsF(self.font()).horizontalAdvance(self.shown_label())
        return QSize(round(width) + 8 * STEP, scaled(9 * STEP))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        on = self.isEnabled()
        filled, lit = self.kind == MAIN and on, self.isDown() or self.underMouse()
        edge = "ink" if filled or (self.kind == PLAIN and on) else "hairline"
        fill = ("done" if lit else "ink") if filled else "chosen" if lit else "paper"
        words = "quiet" if self.kind == FAINT or not on else "paper" if filled else "ink"
        wide, high, face = self.width(), self.height(), self.font()
        marks: list[Mark] = [BoxMark((1, wide - 1), (1, high - 1), fill, edge, rounded=RADIUS)]
        if self.hasFocus():
            box, ink = ((4, wide - 4), (4, high - 4)), "paper" if filled else "ink"
            marks.append(BoxMark(*box, edge=ink, dash="dots", rounded=RADIUS - 1))
        text = TextMark(wide / 2, high / 2, self.shown_label(), words, MIDDLE, face=face)
        paint_scene(self, Scene([*marks, text]), colours_of(self))


class WordButton(QAbstractButton):
    """A word that can be pressed: a place's name, underlined where one is; between two lines while
    it has the keys."""

    def __init__(self, text: str, parent: QWidget | None = None, *, size: int = TEXT) -> None:
        super().__init__(parent)
        self.setText(text)
        self.setAccessibleName(self.text())
        self._size = size
        self.setFont(font(size))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.toggled.connect(self._on_toggled)

    def setText(self, text: str) -> None:
        """Say it in the language in use."""
        super().setText(translated(text))

    def take_font(self) -> None:
        """Write the word in the size that is chosen now."""
        self._on_toggled(self.isChecked())
        self.updateGeometry()

    def _on_toggled(self, on: bool) -> None:
        self.setFont(font(self._size, bold=on))
        self.update()

    def sizeHint(self) -> QSize:
        metrics = QFontMetricsF(font(self._size, bold=True))
        wide = round(metrics.horizontalAdvance(self.text())) + 2
        return QSize(wide, max(LEAST_TARGET, round(metrics.height()) + 12))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        focused, high = self.hasFocus(), self.height()
        role = "ink" if self.isChecked() or self.underMouse() or focused else "quiet"
        marks: list[Mark] = [TextMark(0, high / 2, self.text(), role, face=self.font())]
        across = 0, QFontMetricsF(self.font()).horizontalAdvance(self.text())
        if self.isChecked() or focused:
            marks.append(BoxMark(across, (high - 3, high - 1), "ink"))
        if focused:  # one that is chosen has its line below in any case
            marks.append(BoxMark(across, (2, 4), "ink"))
        paint_scene(self, Scene(marks), colours_of(self))
