"""One of several: from a list that opens, or of words in a row, or from a menu."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QKeyEvent,
    QPaintEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QButtonGroup, QComboBox, QMenu, QWidget

from journal.desk.buttons import LEAST_TARGET, WordButton
from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import BoxMark, LineMark, Scene, TextMark
from journal.desk.layouts import WrappedRow
from journal.desk.theme import RADIUS, STEP, TEXT, colours_of, font, scaled
from journal.wording.languages import translated

_GAP = 5 * STEP
_STEPS: dict[int, int] = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}


class ChoiceOption(NamedTuple):
    """One choice: its key in the program and its words."""

    key: str
    words: str


class ComboBox(QComboBox):
    """A small choice; the wheel changes it only while it has the focus."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFont(font(TEXT))
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)

    def offer(self, options: Sequence[tuple[str, str]], key: str) -> None:
        """Offer these with `key` selected; no signal is sent."""
        self.blockSignals(True)
        self.clear()
        for which, words in options:
            self.addItem(words, which)
        self.setCurrentIndex(max(0, self.findData(key)))
        self.blockSignals(False)

    def key(self) -> str:
        """The key of the choice made."""
        return str(self.currentData() or "")

    def paintEvent(self, _event: QPaintEvent) -> None:
        wide, high, on = self.width(), self.height(), self.isEnabled()
        edge, width = ("ink", 2.6) if self.hasFocus() else ("frame", 1.0)
        box, fill = ((1, wide - 1), (1, high - 1)), "field" if on else "paper"
        left, y = 1 + 2 * STEP, high / 2
        words = TextMark(
            left, y, self.currentText(), "ink" if on else "quiet", face=self.font(),
            wide=wide - 2 - 8 * STEP,
        )  # fmt: skip
        x, top = wide - 1 - 3.5 * STEP, y - 1.5
        arrow = LineMark((x - 4, x, x + 4), (top, top + 4, top), "quiet", 1.4)
        frame = BoxMark(*box, fill, edge, width, rounded=RADIUS)
        paint_scene(self, Scene([frame, words, arrow]), colours_of(self))

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        return QSize(hint.width() + 4 * STEP, max(hint.height(), scaled(LEAST_TARGET)))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def wheelEvent(self, event: QWheelEvent) -> None:
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class ChoiceList(WrappedRow):
    """Words in a row that wraps, the chosen one underlined, arrows go along. `changed` carries the
    key of what was chosen; `done` says that Enter was pressed on it."""

    changed = Signal(str)
    done = Signal()

    def __init__(
        self, name: str, options: Sequence[tuple[str, str]], parent: QWidget | None = None
    ) -> None:
        super().__init__(_GAP, parent=parent)
        self.setAccessibleName(name)
        self._keys = [key for key, _ in options]
        self._words: list[WordButton] = []
        group = QButtonGroup(self)
        for key, words in options:
            word = WordButton(words, self)
            word.setCheckable(True)
            word.setAutoExclusive(True)
            word.setObjectName(key)
            word.toggled.connect(self._on_toggled)
            group.addButton(word)
            self._words.append(word)
        self._words[0].setChecked(True)
        self.setFocusProxy(self._words[0])
        self.show_row(self._words)

    def chosen(self) -> str:
        """The key of what is chosen."""
        return next(k for k, w in zip(self._keys, self._words, strict=True) if w.isChecked())

    def choose(self, key: str) -> None:
        """Choose one."""
        self._words[self._keys.index(key)].setChecked(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.done.emit()
            return
        step = _STEPS.get(event.key())
        if step is None:
            super().keyPressEvent(event)
            return
        at = min(max(self._keys.index(self.chosen()) + step, 0), len(self._keys) - 1)
        self._words[at].setChecked(True)
        self._words[at].setFocus()

    def _on_toggled(self, on: bool) -> None:
        if on:
            self.setFocusProxy(next(word for word in self._words if word.isChecked()))
            self.changed.emit(self.chosen())


def ask_menu(
    button: QWidget,
    name: str,
    options: Sequence[tuple[str, str]],
    key: str,
    chosen: Callable[[str], None],
) -> None:
    """Open a menu of choices under a button, the one of that key marked; `chosen` is called with
    the one picked."""
    menu = QMenu(button)
    menu.setAccessibleName(translated(name))
    for which, words in options:
        action = QAction(words.replace("&", "&&"), menu)
        action.setData(which)
        action.setCheckable(True)
        action.setChecked(which == key)
        menu.addAction(action)
        if which == key:
            menu.setActiveAction(action)
    menu.triggered.connect(lambda action: chosen(str(action.data())))
    menu.aboutToHide.connect(menu.deleteLater)
    menu.popup(button.mapToGlobal(button.rect().bottomLeft()))
