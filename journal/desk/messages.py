"""Sentences shown in the place they belong to: each has a name, and goes by that name."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox, QSizePolicy, QWidget

from journal.desk.asked_help import bind_help
from journal.desk.buttons import WordButton
from journal.desk.labels import Hairline, Label, WarningMark
from journal.desk.layouts import in_column, in_row
from journal.desk.spoken import announce
from journal.desk.theme import STEP

Action = tuple[str, Callable[[], object]]  # a word to press, and what it does
Actions = Sequence[Action]


class _Sentence(QWidget):
    """One sentence with its mark and a word that puts it away."""

    def __init__(
        self, bar: MessageBar, name: str, text: str, attention: bool, acts: Actions
    ) -> None:
        super().__init__(bar)
        self._bar = bar
        self._name = name
        self.attention = attention
        self.label = Label(text, wrap=True)
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)  # a sentence of two lines has room for both
        self.label.setSizePolicy(policy)
        away = WordButton("Dismiss")
        away.clicked.connect(self._on_away)
        row = in_row(of=self, margins=(8 * STEP, STEP, 8 * STEP, STEP), gap=3 * STEP)
        if attention:
            row.addWidget(WarningMark())
        row.addWidget(self.label, 1)
        for words, act in acts:
            button = WordButton(words)
            button.clicked.connect(act)
            row.addWidget(button)
        row.addWidget(away)

    def _on_away(self) -> None:
        self._bar.clear(self._name)


def report(widget: QWidget, sentence: str, *, attention: bool) -> None:
    """Show what became of an act in the message bar above a widget, or in a box where a dialog
    has none."""
    here: QWidget | None = widget
    while here is not None:
        bar = here.findChild(MessageBar, options=Qt.FindChildOption.FindDirectChildrenOnly)
        if bar is not None:
            bar.show_message("report", sentence, attention=attention)
            return
        here = None if here.isWindow() else here.parentWidget()
    box = QMessageBox(QMessageBox.Icon.NoIcon, "Vatside", sentence, parent=widget)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    box.setTextFormat(Qt.TextFormat.PlainText)
    bind_help(box, "")
    box.open()


class MessageBar(QWidget):
    """The sentences of a place, above its pages; takes no room while there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown: dict[str, _Sentence] = {}
        self._column = in_column(Hairline(), of=self, margins=(0, STEP, 0, 0), gap=0)
        self.hide()

    def show_message(
        self, name: str, sentence: str, *, attention: bool = True, acts: Actions = ()
    ) -> None:
        """Show a sentence under a name, with words that do something about it; the same name again
        replaces it.

        News (no attention wanted) takes the place of earlier news, so that notices do not pile up.
        """
        self.clear(name)
        for other in [key for key, line in self._shown.items() if not line.attention]:
            if not attention:
                self.clear(other)
        line = _Sentence(self, name, sentence, attention, acts)
        self._shown[name] = line
        self._column.insertWidget(self._column.count() - 1, line)
        self.setAccessibleName(sentence)
        self.show()
        announce(self, sentence, urgent=attention)

    def clear(self, name: str) -> None:
        """Put the sentence of that name away; nothing happens when there is none."""
        line = self._shown.pop(name, None)
        if line is not None:
            self._column.removeWidget(line)
            line.hide()
            line.deleteLater()
        self.setVisible(bool(self._shown))

    def text(self, name: str) -> str:
        """The sentence shown under a name, "" when there is none."""
        line = self._shown.get(name)
        return line.label.text() if line else ""
