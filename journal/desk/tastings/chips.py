"""A list made by typing: each entry a chip, a line after them for the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from PySide6.QtCore import QEvent, QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.buttons import PLAIN, Button
from journal.desk.events import pressed_key
from journal.desk.fields import Box, Line
from journal.desk.form.suggest import Suggestion, Suggestions
from journal.desk.tastings.defects import HIGH
from journal.desk.theme import SMALL, STEP, font
from journal.keeping.blind import Cheese

_GAP, _TYPING = 2 * STEP, 168


@dataclass(frozen=True)
class Entry:
    """One of the list: what stands on its chip, and what it means."""

    words: str
    means: str | Cheese


class _Chip(Button):
    """Delete or a click takes it away."""

    removed = Signal(object)

    def __init__(self, entry: Entry, parent: QWidget | None = None) -> None:
        super().__init__(entry.words, PLAIN, parent=parent)
        self.entry = entry
        self.setFont(font(SMALL))
        self.setAccessibleDescription("Delete takes it away")
        self.setToolTip("Click or Delete: take it away.")
        self.clicked.connect(self._on_clicked)

    def sizeHint(self) -> QSize:
        width = QFontMetricsF(self.font()).horizontalAdvance(self.text())
        return QSize(round(width) + 5 * STEP, HIGH)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removed.emit(self)
            return
        super().keyPressEvent(event)

    def _on_clicked(self) -> None:
        self.removed.emit(self)


class ChipsField(QWidget):
    """`changed` says that an entry came or went; `done` that Enter was pressed with nothing
    typed. A picked suggestion means an Entry."""

    changed = Signal()
    done = Signal()

    def __init__(
        self,
        name: str,
        hint: str,
        page: QWidget,
        look: Callable[[str], list[Suggestion]],
        *,
        twice: bool = False,
        most: int = 0,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._twice, self._most = twice, most
        self._entries: list[Entry] = []
        self._chips: list[_Chip] = []
        self.line = Line(name=name, hint=hint)
        self._box = Box(self.line, HIGH, self, inset=2 * STEP)
        self.list = Suggestions(self.line, page, look, 104 * STEP)
        self.setFocusProxy(self.line)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.list.picked.connect(self.add)
        self.line.returnPressed.connect(self._on_return)
        self.line.installEventFilter(self)
        self._place()

    def entries(self) -> list[Entry]:
        """What is listed."""
        return list(self._entries)

    def names(self) -> list[str]:
        """The names that are listed, in order."""
        return [entry.means for entry in self._entries if isinstance(entry.means, str)]

    def cheeses(self) -> list[Cheese]:
        """The cheeses that are listed, in order."""
        return [entry.means for entry in self._entries if isinstance(entry.means, Cheese)]

    def half_typed(self) -> dict[str, Any]:
        """What is listed and what is typed in the line."""
        return {
            "entries": [
                [entry.words, asdict(entry.means) if isinstance(entry.means, Cheese) else None]
                for entry in self._entries
            ],
            "line": self.line.text(),
        }

    def recall(self, half: dict[str, Any]) -> None:
        """List and type again what `half_typed` said; raises where that was no such thing."""
        self.show_entries([
            Entry(str(words), str(words) if means is None else Cheese(**means))
            for words, means in half["entries"]
        ])  # fmt: skip
        self.line.setText(str(half["line"]))

    def show_entries(self, entries: Sequence[Entry]) -> None:
        """List these."""
        self._entries = list(entries)
        for chip in self._chips:
            chip.hide()
            chip.deleteLater()
        self._chips = [_Chip(entry, self) for entry in self._entries]
        before: QWidget = self._box
        for chip in reversed(self._chips):
            chip.removed.connect(self._on_removed)
            chip.show()
            QWidget.setTabOrder(chip, before)
            before = chip
        self._place()

    def add(self, entry: Entry) -> None:
        """Add one; the same again only where that is meant."""
        self.line.clear()
        known = [e.means for e in self._entries]
        if entry.means in known and (not self._twice or known.count(entry.means) > 1):
            return
        kept = self._entries[-(self._most - 1) :] if self._most > 1 else self._entries
        full = self._most and len(self._entries) >= self._most
        self.show_entries([*(kept if full else self._entries), entry])
        self.line.setFocus()
        self.changed.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        back = pressed_key(event) == Qt.Key.Key_Backspace
        if back and not self.line.text() and self._chips:
            self._chips[-1].setFocus()
            return True
        return False

    def _place(self) -> None:
        """Chips from the left, the line after them, wrapped where there is no room."""
        x = y = 0
        for widget in (*self._chips, self._box):
            width = _TYPING if widget is self._box else widget.sizeHint().width()
            if x and x + width > self.width():
                x, y = 0, y + HIGH + STEP
            widget.setGeometry(QRect(x, y, min(width, max(self.width(), 40)), HIGH))
            x += width + _GAP
        self.setFixedHeight(y + HIGH)

    def _on_return(self) -> None:
        if not self.line.text().strip():
            self.done.emit()

    def _on_removed(self, chip: _Chip) -> None:
        at = self._chips.index(chip)
        self.show_entries([e for i, e in enumerate(self._entries) if i != at])
        self.line.setFocus()
        self.changed.emit()
