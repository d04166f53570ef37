"""A short list under a line: what could be meant by what is typed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.form.line_field import TextLine
from journal.desk.layouts import in_column
from journal.desk.theme import STEP, scaled
from journal.desk.wordlist import PopupFrame, WordList, WordRow
from journal.wording import worded

SHOWN = 7
_ROW = 8 * STEP


@dataclass(frozen=True)
class Suggestion:
    """A line of the list: its words, a text about them, and the value it stands for."""

    words: str
    says: str
    means: object


LookUp = Callable[[str], list[Suggestion]]


class Suggestions(PopupFrame):
    """Hangs under `line`, above everything in `page`; `look` gives what fits a text.

    Down opens it, typing narrows it, Enter picks, Esc puts it away. `picked` carries what the
    picked line means.
    """

    picked = Signal(object)

    def __init__(self, line: TextLine, page: QWidget, look: LookUp, width: int) -> None:
        super().__init__(page)
        self._line, self._page, self._look, self._width = line, page, look, width
        name = worded("desk.suggestions", field=line.accessibleName())
        self.list = WordList(name, _ROW)
        in_column(self.list, of=self, margins=(2, 3, 2, 3))
        line.installEventFilter(self)
        line.textEdited.connect(self.open)
        self.list.taken.connect(self._on_taken)
        self.hide()

    def open(self) -> None:
        """Show what fits the text; hidden when nothing does."""
        found = self._look(self._line.text())
        self.list.show_lines([WordRow(one.words, one.says, one.means) for one in found[:40]])
        self.setVisible(bool(found))
        if found:
            self._stand(min(len(found), SHOWN) * scaled(_ROW) + 10)

    def take(self) -> bool:
        """Pick the current line; False when the list is not to be seen."""
        if not self.isVisible():
            return False
        self._on_taken(self.list.meant())
        return True

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._on_key(event)
        if event.type() == QEvent.Type.FocusOut:
            self.hide()
        return False

    def _on_key(self, event: QKeyEvent) -> bool:
        key = event.key()
        if key == Qt.Key.Key_Down and not self.isVisible():
            self.open()
            return self.isVisible()
        if not self.isVisible():
            return False
        if self.list.on_arrow(event):
            return True
        if key == Qt.Key.Key_Escape:
            self.hide()
            return True
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        return plain and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.take()

    def _on_taken(self, means: object) -> None:
        if means is not None:
            self.hide()
            self.picked.emit(means)

    def _stand(self, high: int) -> None:
        """Under the line, or above it where there is more room."""
        page = self._page
        box = self._line.parentWidget() or self._line
        corner = box.mapTo(page, QPoint(0, box.height() + 2))
        if corner.y() + high > page.height() and corner.y() - box.height() > high:
            corner.setY(corner.y() - box.height() - high - 4)
        width = min(self._width, page.width() - corner.x() - 2 * STEP)
        self.setGeometry(corner.x(), corner.y(), width, min(high, page.height() - corner.y()))
        self.raise_()
