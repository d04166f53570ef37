"""Chips in a row that wraps, and a line after them to type the next: several names in one field."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, is_dataclass
from typing import Any, TypeVar

from PySide6.QtCore import QEvent, QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.buttons import PLAIN, Button
from journal.desk.events import pressed_key
from journal.desk.form.line_field import FieldFrame, TextLine
from journal.desk.form.suggest import LookUp, Suggestions
from journal.desk.labels import plain_tip
from journal.desk.theme import SMALL, STEP, font
from journal.wording.languages import translated

Meant = TypeVar("Meant")
HIGH, _GAP = 7 * STEP + 2, 2 * STEP
_TYPING = 168


class Chip(Button):
    """One entry; `removed` says that Delete or Backspace was pressed on it."""

    removed = Signal(object)

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(words, PLAIN, parent=parent)
        self.setFont(font(SMALL))

    def sizeHint(self) -> QSize:
        width = QFontMetricsF(self.font()).horizontalAdvance(self.text())
        return QSize(round(width) + 5 * STEP, HIGH)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removed.emit(self)
            return
        super().keyPressEvent(event)


class ChipLine(QWidget):
    """`changed` says that an entry came or went; `done` that Enter was pressed with nothing
    typed. Suggestions stand under the line, `typing_px` wide."""

    changed = Signal()
    done = Signal()

    def __init__(
        self,
        name: str,
        hint: str,
        page: QWidget,
        look: LookUp,
        typing_px: int,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._typing_px = typing_px
        self._chips: list[Chip] = []
        self.line = TextLine(name=name, hint=hint)
        self._box = FieldFrame(self.line, HIGH, self, inset=2 * STEP)
        self.list = Suggestions(self.line, page, look, 104 * STEP)
        self.setFocusProxy(self.line)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.line.returnPressed.connect(self._on_return)
        self.line.installEventFilter(self)
        self._place()

    def show_chips(self, chips: Sequence[Chip]) -> None:
        """Show these instead of those there are."""
        for chip in self._chips:
            chip.hide()
            chip.deleteLater()
        self._chips = list(chips)
        before: QWidget = self._box
        for chip in reversed(self._chips):
            chip.show()
            QWidget.setTabOrder(chip, before)
            before = chip
        self._place()

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
            width = self._typing_px if widget is self._box else widget.sizeHint().width()
            if x and x + width > self.width():
                x, y = 0, y + HIGH + STEP
            widget.setGeometry(QRect(x, y, min(width, max(self.width(), 40)), HIGH))
            x += width + _GAP
        self.setFixedHeight(y + HIGH)

    def _on_return(self) -> None:
        if not self.line.text().strip():
            self.done.emit()


@dataclass(frozen=True)
class ChipEntry:
    """An entry of the list: the text of its chip, and what it means."""

    words: str
    means: object


class _EntryChip(Chip):
    """Delete or a click takes it away."""

    def __init__(self, entry: ChipEntry, parent: QWidget | None = None) -> None:
        super().__init__(entry.words, parent)
        self.entry = entry
        self.setAccessibleDescription(translated("Delete removes it"))
        self.setToolTip(plain_tip("Click or Delete: remove it."))
        self.clicked.connect(self._on_clicked)

    def _on_clicked(self) -> None:
        self.removed.emit(self)


class Chips(ChipLine):
    """Names in a row: what is picked under the line is added. A picked suggestion means a
    ChipEntry; `of` builds again what a chip means, from what `half_typed` said of it."""

    def __init__(
        self,
        name: str,
        hint: str,
        page: QWidget,
        look: LookUp,
        *,
        twice: bool = False,
        of: Callable[..., object] = str,
    ) -> None:
        super().__init__(name, hint, page, look, _TYPING)
        self._twice, self._of = twice, of
        self._entries: list[ChipEntry] = []
        self.list.picked.connect(self.add)

    def entries(self) -> list[ChipEntry]:
        """What is listed."""
        return list(self._entries)

    def meant(self, kind: type[Meant]) -> list[Meant]:
        """What the chips of that kind mean, in order."""
        return [entry.means for entry in self._entries if isinstance(entry.means, kind)]

    def names(self) -> list[str]:
        """The names that are listed, in order."""
        return self.meant(str)

    def half_typed(self) -> dict[str, Any]:
        """What is listed and what is typed in the line."""
        return {
            "entries": [[entry.words, _as_stored(entry.means)] for entry in self._entries],
            "line": self.line.text(),
        }

    def recall(self, half: dict[str, Any]) -> None:
        """List and type again what `half_typed` said; raises where that was no such thing."""
        self.show_entries([
            ChipEntry(str(words), str(words) if means is None else self._of(**means))
            for words, means in half["entries"]
        ])  # fmt: skip
        self.line.setText(str(half["line"]))

    def show_entries(self, entries: Sequence[ChipEntry]) -> None:
        """List these."""
        self._entries = list(entries)
        chips = [_EntryChip(entry, self) for entry in self._entries]
        for chip in chips:
            chip.removed.connect(self._on_removed)
        self.show_chips(chips)

    def add(self, entry: ChipEntry) -> None:
        """Add one; the same again only where that is meant."""
        self.line.clear()
        known = [e.means for e in self._entries]
        if entry.means in known and (not self._twice or known.count(entry.means) > 1):
            return
        self.show_entries([*self._entries, entry])
        self.line.setFocus()
        self.changed.emit()

    def _on_removed(self, chip: _EntryChip) -> None:
        at = self._chips.index(chip)
        self.show_entries([e for i, e in enumerate(self._entries) if i != at])
        self.line.setFocus()
        self.changed.emit()


def _as_stored(means: object) -> dict[str, Any] | None:
    return asdict(means) if is_dataclass(means) and not isinstance(means, type) else None
