"""The finder: any make, wheel, plan, place or command by typing a part of its name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtGui import QKeyEvent, Qt
from PySide6.QtWidgets import QListWidgetItem, QVBoxLayout, QWidget

from journal.desk.fields import FieldFrame, TextLine
from journal.desk.labels import Label
from journal.desk.spoken import announce
from journal.desk.theme import LEAD, STEP
from journal.desk.wordlist import Over, WordList
from journal.keeping import Journal

SHOWN = 10
_ROW = 9 * STEP


@dataclass(frozen=True)
class Findable:
    """Something that can be gone to: its words, what it is, and what the window does with it.

    `target` is ("place", key), ("command", name), ("make", id), ("wheel", make id) or
    ("plan", name).
    """

    words: str
    kind: str
    target: tuple[str, object]


class Finder(Over):
    """A line and a list over the window. `chosen` carries the target of what was picked."""

    chosen = Signal(object)

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self.line = TextLine(LEAD, name="Find", hint="A make, wheel, plan, place or command")
        self.list = WordList(_ROW, at_right=True)
        self.list.setAccessibleName("Results")
        self.none = Label("", role="quiet", wrap=True)
        self.none.hide()
        self._all: list[Findable] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(3 * STEP, 3 * STEP, 3 * STEP, 3 * STEP)
        column.addWidget(FieldFrame(self.line, 12 * STEP))
        column.addWidget(self.none)
        column.addWidget(self.list)
        self.line.textChanged.connect(self._on_text)
        self.line.installEventFilter(self)
        self.list.itemClicked.connect(self._on_item)
        self.hide()

    def open_with(self, things: Iterable[Findable]) -> None:
        """Show the finder over its parent with these things to find."""
        self._all = list(things)
        self.line.clear()
        self._on_text("")
        room = self._window.width()
        width = min(640, room - 16 * STEP)
        self.setGeometry((room - width) // 2, 16 * STEP, width, _ROW * SHOWN + 22 * STEP)
        self.show()
        self.raise_()
        self.line.setFocus()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._on_key(event)
        if event.type() == QEvent.Type.FocusOut and self.isVisible():
            self.hide()
        return False

    def _on_key(self, event: QKeyEvent) -> bool:
        if self.list.on_arrow(event):
            return True
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._on_item(self.list.currentItem())
        elif event.key() == Qt.Key.Key_Escape:
            self.hide()
        else:
            return False
        return True

    def _on_text(self, text: str) -> None:
        self.list.clear()
        found = matching(self._all, text, SHOWN)
        for thing in found:
            self.list.add(thing.words, thing.kind, thing.target)
        sentence = "" if found else f"Nothing matches “{text.strip()}”."
        self.none.say_if_any(sentence)
        announce(self.line, sentence)
        self.list.setCurrentRow(0)

    def _on_item(self, item: QListWidgetItem | None) -> None:
        target = self.list.meant(item)
        if target is not None:
            self.hide()
            self.chosen.emit(target)


def matching(things: list[Findable], text: str, most: int) -> list[Findable]:
    """Those whose words hold every typed word; a beginning counts more than a middle."""
    wanted = text.lower().split()
    if not wanted:
        return things[:most]
    scored = []
    for order, thing in enumerate(things):
        words = thing.words.lower()
        if all(word in words for word in wanted):
            begins = sum(words.startswith(w) or f" {w}" in words for w in wanted)
            scored.append((-begins, len(words) if words.startswith(wanted[0]) else 999, order))
    return [things[order] for _, _, order in sorted(scored)[:most]]


def things_of(journal: Journal) -> list[Findable]:
    """The makes, wheels and plans of a journal, newest make first."""
    rows = journal.makes.rows()
    out = [Findable(f"{r.code}  {r.name or r.plan}", "make", ("make", r.id)) for r in rows]
    out += [Findable(name, "plan", ("plan", name)) for name in journal.plans.names()]
    out += [Findable(w.code, "wheel", ("wheel", w.make_id)) for w in journal.wheels.all()]
    return out


def things_from(table: Iterable[tuple[str, str, object]], kind: str) -> list[Findable]:
    """Findables from (words, keys, target) rows."""
    return [
        Findable(words, f"{kind}  {keys}" if keys else kind, (kind, target))
        for words, keys, target in table
    ]
