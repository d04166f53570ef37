"""One or two lines asked for in the page: how much longer and why, a note, a timer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.fields import Box, Line
from journal.desk.labels import Label
from journal.desk.theme import SMALL, STEP
from journal.wording import text_of

_MOST = 2


@dataclass(frozen=True)
class Part:
    """One line to fill: its name, what it may look like, what stands there already."""

    name: str
    hint: str = ""
    text: str = ""
    stretch: int = 1


class AskRow(QWidget):
    """Asks in place. On the last Enter the answer goes to whoever asked; what that raises as a
    ValueError is said under the line, and what was typed stays. `closed` comes when it is over."""

    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._then: Callable[..., None] | None = None
        self._count = 0
        self._given: tuple[str, ...] = ()  # what stood in the lines when it was asked
        self.unfinished: dict[str, tuple[str, ...]] = {}  # by who gets the answer
        self.title = Label("", bold=True, wrap=True)
        self.said = Label("", SMALL, role="quiet", wrap=True)
        self.lines = tuple(Line() for _ in range(_MOST))
        self._names = tuple(Label("", SMALL, role="quiet") for _ in range(_MOST))
        self._cells = tuple(QWidget() for _ in range(_MOST))
        self._build()
        self.hide()

    def _build(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(3 * STEP)
        for line, name, cell in zip(self.lines, self._names, self._cells, strict=True):
            box = Box(line, inset=2 * STEP)
            column = QVBoxLayout(cell)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(STEP // 2)
            column.addWidget(name)
            column.addWidget(box)
            line.installEventFilter(self)
            line.textEdited.connect(self._on_edited)
            row.addWidget(cell)
        self._row = row
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        column.addWidget(self.title)
        column.addLayout(row)
        column.addWidget(self.said)

    @property
    def asking(self) -> bool:
        """True while something is asked for."""
        return self._then is not None

    @property
    def answer_to(self) -> str:
        """The name of whoever gets the answer, "" while nothing is asked."""
        return getattr(self._then, "__name__", "")

    @property
    def texts(self) -> tuple[str, ...]:
        """What stands in the lines."""
        return tuple(line.text() for line in self.lines[: self._count])

    @property
    def touched(self) -> bool:
        """Something is typed that did not stand there when it was asked."""
        return self.asking and self.texts != self._given

    def put_texts(self, texts: Sequence[str]) -> None:
        """Put back what was typed before."""
        for line, text in zip(self.lines[: self._count], texts, strict=False):
            line.setText(text)

    def ask(
        self, title: str, parts: Sequence[Part], then: Callable[..., None], keys: str = ""
    ) -> None:
        """Ask; `then` is called with one text a part. What was typed to another question waits
        until that is asked again."""
        if self.touched:
            self.unfinished[self.answer_to] = self.texts
        self._then, self._count = then, len(parts)
        self._given = tuple(part.text for part in parts)
        self._hint = keys or "Enter keeps it, Esc leaves it."
        self.title.setText(title)
        self._say(self._hint)
        for i, (line, name, cell) in enumerate(
            zip(self.lines, self._names, self._cells, strict=True)
        ):
            cell.setVisible(i < len(parts))
            if i < len(parts):
                self._row.setStretch(i, parts[i].stretch)
                name.setText(parts[i].name)
                line.setAccessibleName(parts[i].name)
                line.setPlaceholderText(parts[i].hint)
                line.setText(parts[i].text)
        self.put_texts(self.unfinished.pop(self.answer_to, ()))
        self.show()
        self.lines[0].setFocus()
        self.lines[0].selectAll()

    def leave(self) -> None:
        """Ask no more; what was typed goes."""
        self._then = None
        self.hide()
        self.closed.emit()

    def answer(self) -> None:
        """Hand over what is typed."""
        if self._then is None:
            return
        texts = [line.text().strip() for line in self.lines[: self._count]]
        try:
            self._then(*texts)
        except ValueError as error:
            self._say(f"▲ {text_of(error)}", wrong=True)
            self.lines[0].setFocus()
            return
        self.leave()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._on_key(watched, event)
        return False

    def _on_key(self, line: QObject, event: QKeyEvent) -> bool:
        plain = not event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
            return True
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            here = self.lines.index(line)
            if here + 1 < self._count and not self.lines[here + 1].text():
                self.lines[here + 1].setFocus()
            else:
                self.answer()
            return True
        if event.key() in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab) and self._count > 1:
            other = self.lines[1 - self.lines.index(line)]
            other.setFocus()
            return True
        return False

    def _on_edited(self, _text: str) -> None:
        self._say(self._hint)

    def _say(self, sentence: str, *, wrong: bool = False) -> None:
        self.said.set_role("attention" if wrong else "quiet")
        self.said.setText(sentence)
